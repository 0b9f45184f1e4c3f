//! The table as text. Pure: a view and a face sheet in, lines out.

use crate::keys::KEYS;
use handround_protocol::face::FaceSheet;
use handround_protocol::house::HouseRule;
use handround_protocol::id::{FaceIndex, SeatIndex};
use handround_protocol::view::{
    HandView, Phase, RoundEnd, RulingView, SeatKind, SeatPublic, SeatView, TableView, TakeUp, Tap,
    VoidReason,
};
use std::fmt::Write as _;

/// The whole screen.
pub fn screen(view: &SeatView, sheet: &FaceSheet) -> String {
    let mut text = String::new();
    let table = &view.table;
    let begun = table.phase != Phase::Waiting;
    let _ = writeln!(text, "{} · game {}, round {}", sheet.name, table.game, table.round);
    if begun {
        let _ = writeln!(text, "{}", house(&table.house));
    }
    for (place, seat) in table.seats.iter().enumerate() {
        let _ = writeln!(text, "{}", seat_line(seat, place, view));
    }
    if begun {
        let (draw, discard) = (table.draw_pile, table.discard_pile);
        let _ = writeln!(text, "draw pile {draw} · discard pile {discard} · {}", tokens(view));
    }
    text.push('\n');
    match (&view.hand, table.phase) {
        _ if table.paused => text.push_str("The teacher has stopped the table.\n"),
        (_, Phase::Naming) => text.push_str("The words of the pictures are being named.\n"),
        (_, Phase::Waiting) => text.push_str("The game begins when the teacher starts it.\n"),
        (Some(hand), Phase::Dealt | Phase::Playing) => {
            text.push_str(&own_cards(hand, view.you == table.dealer, sheet));
        }
        (None, Phase::Dealt | Phase::Playing) => text.push_str("You watch this game.\n"),
        (_, Phase::RoundOver | Phase::GameOver) => {}
    }
    if let Some(ruling) = &view.ruling {
        text.push_str(&round_end(ruling, table, sheet));
    }
    text.push_str(tap(view));
    let _ = writeln!(text, "[{KEYS}]");
    text
}

fn house(house: &HouseRule) -> String {
    match house {
        HouseRule::Stay { rounds } => format!("everybody stays in; rounds: {rounds}"),
        HouseRule::Letters { word } => format!("the last one collects a letter of {word}"),
        HouseRule::Out { shield: false } => "the last one is out".into(),
        HouseRule::Out { shield: true } => "the last one is out, though not twice in a row".into(),
        HouseRule::Calm { rounds } => format!("lay down four that match; rounds: {rounds}"),
    }
}

fn seat_line(seat: &SeatPublic, place: usize, view: &SeatView) -> String {
    let mut line = String::from(if place == usize::from(view.you.0) { "> " } else { "  " });
    let _ = write!(line, "{:<20}", seat.name);
    let begun = view.table.phase != Phase::Waiting;
    if begun && place == usize::from(view.table.dealer.0) {
        line.push_str(" deals");
    }
    if seat.kind == SeatKind::Partner {
        line.push_str(" (garden helper)");
    }
    let notes = [
        (begun && !seat.in_play, "watches".to_owned()),
        (seat.waiting > 0, format!("{} waiting", seat.waiting)),
        (seat.considering, "looks at a card".to_owned()),
        (seat.cards_pass_by, "cards on their way".to_owned()),
        (seat.letters > 0, format!("letters: {}", seat.letters)),
        (seat.shielded, "shielded".to_owned()),
        (!seat.laid_down.is_empty(), "has laid down four".to_owned()),
    ];
    for (_, note) in notes.iter().filter(|(shown, _)| *shown) {
        let _ = write!(line, " · {note}");
    }
    line
}

/// Tokens as this seat may see them: one is missing once its own cue came or it took one itself.
fn tokens(view: &SeatView) -> String {
    if !view.table.house.has_tokens() {
        return "no tokens".into();
    }
    let missing = view.grab.cue.is_some() || view.grab.tap == Tap::Taken;
    let there = usize::from(view.table.tokens).saturating_sub(missing.into());
    let pebbles = "o ".repeat(there) + if missing { "_" } else { "" };
    let live = if view.grab.live { "" } else { " (not yet)" };
    format!("pebbles: {}{live}", pebbles.trim_end())
}

fn own_cards(hand: &HandView, dealer: bool, sheet: &FaceSheet) -> String {
    let mut text = String::from("Your cards:\n");
    for (place, card) in hand.cards.iter().enumerate() {
        let glow = if hand.hint.contains(&card.id) { " *" } else { "" };
        let _ = writeln!(text, "  {}  {}{glow}", place + 1, value(sheet, card.face));
    }
    match &hand.considering {
        Some(card) => {
            let _ = writeln!(text, "In front of you: {}", value(sheet, card.face));
        }
        None => text.push_str(match hand.take_up {
            TakeUp::FromPile => "You can take a card from the pile.\n",
            TakeUp::FromTray => "A card is waiting for you.\n",
            TakeUp::NextTrayFull => "Your neighbour's tray is full; wait a moment.\n",
            TakeUp::PilesEmpty => "The pile is empty; a card will come round.\n",
            TakeUp::LaidDown => "Your four lie open; cards pass by.\n",
            TakeUp::TrayEmpty if dealer => "Wait a moment.\n",
            TakeUp::TrayEmpty => "No card is waiting yet.\n",
            TakeUp::DecideFirst | TakeUp::NotNow => "\n",
        }),
    }
    if hand.stand_in {
        text.push_str("A garden helper keeps your seat warm; your next move takes it back.\n");
    }
    text
}

fn value(sheet: &FaceSheet, face: FaceIndex) -> &str {
    sheet.faces.get(usize::from(face.0)).map_or("an unknown face", |face| &face.label_after)
}

fn name(table: &TableView, seat: SeatIndex) -> &str {
    table.seats.get(usize::from(seat.0)).map_or("somebody", |seat| &seat.name)
}

fn round_end(ruling: &RulingView, table: &TableView, sheet: &FaceSheet) -> String {
    let mut text = match ruling.end {
        RoundEnd::Last { seat, out, shielded, .. } => {
            let name = name(table, seat);
            match (out, shielded) {
                (true, _) => format!("{name} was last and watches now."),
                (_, true) => format!("{name} was last; it does not count this time."),
                _ => format!("{name} was last this time."),
            }
        }
        RoundEnd::AllLaidDown => "Everybody has laid down four.".into(),
        RoundEnd::Void { reason } => {
            let why = match reason {
                VoidReason::LinkLost => "a tablet had no link",
                VoidReason::Restarted => "the server was started again",
                VoidReason::Unattended => "nobody was there",
                VoidReason::Stopped => "the game was stopped",
                VoidReason::Frozen => "the teacher stopped the table",
            };
            format!("This round does not count, since {why}.")
        }
    };
    text.push('\n');
    if !ruling.four.is_empty() {
        let four: Vec<&str> = ruling.four.iter().map(|face| value(sheet, *face)).collect();
        let _ = writeln!(text, "The four: {}", four.join(" · "));
    }
    if table.phase == Phase::GameOver {
        let winners: Vec<&str> = ruling.winners.iter().map(|seat| name(table, *seat)).collect();
        let _ = writeln!(text, "The game is over. Still in: {}", winners.join(", "));
    }
    text
}

fn tap(view: &SeatView) -> &'static str {
    let racing = matches!(view.table.phase, Phase::Dealt | Phase::Playing);
    match view.grab.tap {
        _ if !racing => "",
        Tap::None if view.grab.cue.is_some() => "A pebble is missing! g takes one.\n",
        Tap::None => "",
        Tap::Taken => "You have a pebble.\n",
        Tap::FalseGrab { .. } => "Not four that match yet; look again.\n",
        Tap::Excited { .. } => "Slowly; look at your cards first.\n",
        Tap::TooSoon { .. } => "That was too soon; try again.\n",
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use handround_protocol::face::{Face, FaceKind};
    use handround_protocol::id::{CardId, DeckId, GameNumber, GroupIndex, Nonce, RoundNumber};
    use handround_protocol::picture::Picture;
    use handround_protocol::view::{CardView, CareView, GrabView};

    const NUMBERS: [&str; 4] = ["one", "two", "three", "four"];

    /// Face 0 to 3 are a to d, one group each.
    fn sheet() -> FaceSheet {
        let face = |group: usize| Face {
            kind: FaceKind::Numeral,
            group: GroupIndex(group as u16),
            svg: String::new(),
            label: "numeral".into(),
            label_after: format!("numeral, {}", NUMBERS[group]),
        };
        let faces = (0..NUMBERS.len()).map(face).collect();
        FaceSheet::plain(DeckId([0; 16]), "Numbers 1 to 4".into(), faces)
    }

    /// A seat between two others; hand and card under consideration as letters.
    pub fn view(hand: &str, considering: &str) -> SeatView {
        let card = |id: usize, letter: u8| CardView {
            id: CardId([id as u8; 8]),
            face: FaceIndex(u16::from(letter - b'a')),
            helper: None,
        };
        let seat = |name: &str| SeatPublic {
            name: name.into(),
            picture: Picture::Boat,
            kind: SeatKind::Pupil,
            in_play: true,
            waiting: 0,
            considering: false,
            cards_pass_by: false,
            letters: 0,
            shielded: false,
            laid_down: Vec::new(),
        };
        SeatView {
            table: TableView {
                game: GameNumber(1),
                round: RoundNumber(2),
                phase: Phase::Playing,
                paused: false,
                house: HouseRule::Letters { word: "LEAF".into() },
                dealer: SeatIndex(0),
                tokens: 2,
                draw_pile: 9,
                discard_pile: 1,
                seats: ["Mika", "Ada", "Noor"].map(seat).to_vec(),
                cheers: None,
            },
            you: SeatIndex(1),
            hand: Some(HandView {
                cards: hand.bytes().enumerate().map(|(id, letter)| card(id, letter)).collect(),
                considering: considering.bytes().next().map(|letter| card(hand.len(), letter)),
                take_up: TakeUp::FromTray,
                can_undo: false,
                hint: Vec::new(),
                reminded: false,
                stand_in: false,
            }),
            grab: GrabView {
                live: true,
                cue: None,
                cue_sound: false,
                tap: Tap::None,
                taps: 0,
                nudged: false,
            },
            ruling: None,
            sorting: Vec::new(),
            care: CareView::default(),
        }
    }

    #[test]
    fn a_table_reads_like_this() {
        let mut seen = view("abca", "b");
        seen.table.seats[2].waiting = 2;
        seen.table.seats[0].letters = 1;
        let expected = "\
Numbers 1 to 4 · game 1, round 2
the last one collects a letter of LEAF
  Mika                 deals · letters: 1
> Ada                 
  Noor                 · 2 waiting
draw pile 9 · discard pile 1 · pebbles: o o

Your cards:
  1  numeral, one
  2  numeral, two
  3  numeral, three
  4  numeral, one
In front of you: numeral, two
[t take up · 1-4 keep it in that place · n pass on · g grab · u undo · l lay down · q quit]
";
        assert_eq!(screen(&seen, &sheet()), expected);
    }

    #[test]
    fn before_the_first_game_nobody_watches_or_deals() {
        let mut seen = view("abcd", "");
        seen.table.phase = Phase::Waiting;
        seen.hand = None;
        for seat in &mut seen.table.seats {
            seat.in_play = false;
        }
        let text = screen(&seen, &sheet());
        assert!(text.contains("The game begins when the teacher starts it."), "{text}");
        assert!(!text.contains("watches") && !text.contains("deals"), "{text}");
    }

    #[test]
    fn exactly_one_token_shows_as_missing() {
        let mut seen = view("abcd", "");
        let pebbles = |seen: &SeatView| tokens(seen);
        assert_eq!(pebbles(&seen), "pebbles: o o");
        seen.grab.cue = Some(Nonce([1; 16]));
        assert_eq!(pebbles(&seen), "pebbles: o _");
        assert!(screen(&seen, &sheet()).contains("A pebble is missing!"));
        seen.grab.tap = Tap::Taken;
        assert_eq!(pebbles(&seen), "pebbles: o _", "the own token is the missing one");
    }

    #[test]
    fn the_end_of_a_round_is_told_and_no_hand_is_shown() {
        let mut seen = view("abcd", "");
        seen.table.phase = Phase::GameOver;
        seen.ruling = Some(RulingView {
            round: RoundNumber(2),
            end: RoundEnd::Last { seat: SeatIndex(2), letters: 4, out: true, shielded: false },
            four: vec![FaceIndex(0); 4],
            winners: vec![SeatIndex(0), SeatIndex(1)],
            next_deal_ms: 0,
        });
        let text = screen(&seen, &sheet());
        assert!(text.contains("Noor was last and watches now."), "{text}");
        assert!(text.contains("Still in: Mika, Ada") && !text.contains("Your cards"), "{text}");
    }
}
