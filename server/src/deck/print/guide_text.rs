//! The words of the guide: rules as in the design, section 3, put for real cards; table manners;
//! cautions. Sizes of small parts: 16 CFR 1501.4 (31.7 mm wide, 25.4 to 57.1 mm deep) and CPSC fact
//! sheet 282 (small balls to 44.4 mm).

use super::{SetMark, Sheets};
use crate::deck::face::CREDIT;
use handround_protocol::face::{FaceKind, FaceSheet};
use handround_protocol::limits::HAND_CARDS;

/// A part of the guide.
pub(super) struct Section {
    pub heading: String,
    /// A sign in front, such as `1.`, and the words.
    pub items: Vec<(String, String)>,
}

pub(super) fn numbered(heading: &str, items: Vec<String>) -> Section {
    let items = items.into_iter().zip(1..).map(|(item, n)| (format!("{n}."), item)).collect();
    Section { heading: heading.to_owned(), items }
}

pub(super) fn listed(heading: &str, items: Vec<String>) -> Section {
    let items = items.into_iter().map(|item| ("\u{2022}".to_owned(), item)).collect();
    Section { heading: heading.to_owned(), items }
}

/// All sections, in the order in which an adult needs them.
pub(super) fn sections(sheets: &Sheets<'_>) -> Vec<Section> {
    let mut all = vec![safety(), play(sheets), counting(sheets), manners(), making(sheets)];
    all.extend(credits(&[sheets.sheet], sheets.options.credit.as_ref()));
    all
}

/// Whom to thank for pictures: the art of emoji is thanked wherever one is printed.
pub(super) fn credits(decks: &[&FaceSheet], more: Option<&String>) -> Option<Section> {
    let has_emoji = decks.iter().flat_map(|deck| &deck.faces).any(|f| f.kind == FaceKind::Emoji);
    let own = has_emoji.then(|| CREDIT.to_owned());
    let items: Vec<String> = own.into_iter().chain(more.cloned()).collect();
    (!items.is_empty()).then(|| listed("Pictures", items))
}

fn owned(items: &[&str]) -> Vec<String> {
    items.iter().map(|item| (*item).to_owned()).collect()
}

pub(super) fn safety() -> Section {
    listed(
        "For the adult: keep it safe",
        owned(&[
            "An adult stays with the table. Your school's policy and the law where you are come \
             before this sheet.",
            "Tokens are soft, in one piece and wider than 45 mm (1.8 in) in every direction: felt \
             or foam discs, bean bags, folded socks.",
            "Nothing small, hard, sharp, metal or magnetic: no coins, marbles, pencils, spoons, \
             scissors, magnets or button cells. No glass, food, balloons or latex.",
            "Not for children under three; keep cards and tokens out of their reach. What fits \
             whole into a cylinder 31.7 mm (1.25 in) wide and up to 57.1 mm (2.25 in) deep is a \
             small part that can choke (16 CFR 1501). Take torn cards and loose pieces away.",
            "No diving for a token. Clear the floor, leave an arm's length between chairs.",
        ]),
    )
}

fn play(sheets: &Sheets<'_>) -> Section {
    let first = format!(
        "Look at the cards together first and say which belong together: there are {} cards in {} \
         match groups, enough for 2 to {} players. 3 or 4 at a table play best.",
        sheets.cards(),
        sheets.groups.len(),
        sheets.largest_table(),
    );
    round(first, true)
}

/// How a round goes, from its first step on, with tokens in the middle or without.
pub(super) fn round(first: String, tokens: bool) -> Section {
    let mut items = vec![
        first,
        "Lay tokens in the middle, one fewer than players, where all can reach them. Shuffle all \
         cards well and deal four to each player; the rest is the dealer's draw pile."
            .to_owned(),
    ];
    items.extend(owned(&[
        "The dealer takes the top card, looks at it alone and keeps it or not: one card of the \
         five goes face down to the next player, who does the same. The last player lays cards \
         on the discard pile, face down. Nobody waits for a turn, but at most three cards wait \
         in front of a player. When the draw pile is empty, shuffle the discards.",
        "Whoever has four cards that match takes a token, quickly or quietly. As soon as one \
         token is gone, everybody may take one. Who gets none is last.",
        "Look at the four together and say why they match. If they do not, put the tokens back \
         and play on; nobody is told off. Then shuffle all cards; the next player deals.",
    ]));
    if !tokens {
        items[1] =
            "Shuffle all cards well and deal four to each player; the rest is the dealer's draw \
                    pile."
                .to_owned();
        items[3] =
            "Whoever has four cards that match lays them down open and passes every card on."
                .to_owned();
        items[4] =
            "Look at the fours together and say why they match. If some do not, take them up \
                    and play on. Then shuffle all cards; the next player deals."
                .to_owned();
    }
    numbered("Play", items)
}

fn counting(sheets: &Sheets<'_>) -> Section {
    let letters = match &sheets.options.letters {
        Some(word) => format!(
            "Letters: who is last takes the next letter card of the word {word}. Who has the \
             whole word watches until the next game."
        ),
        None => "Letters: who is last collects the next letter of a short word. Who has the \
                 whole word watches until the next game."
            .to_owned(),
    };
    let mut items =
        owned(&["Stay: play a set number of rounds; nobody goes out. Best at five and \
                             six years."]);
    items.push(letters);
    items.push(
        "Out: who is last watches until the next game. Watchers sort discarded cards.".to_owned(),
    );
    items.push(
        "Calm: no tokens. Who has four alike lays them down open and passes every card on. Right \
         for children who move or see differently, and whenever it gets wild."
            .to_owned(),
    );
    listed("How a round counts: the teacher chooses", items)
}

pub(super) fn manners() -> Section {
    listed(
        "At the table",
        owned(&[
            "Chairs stay on four feet and bottoms on chairs. One hand, flat and open.",
            "No leaning across, no pulling from a hand. Two hands on one token: both let go, and \
             the round is played again.",
        ]),
    )
}

fn making(sheets: &Sheets<'_>) -> Section {
    let backs = if sheets.options.backs {
        "Print on both sides, turned along the long edge"
    } else {
        "Print on one side"
    };
    let mark: SetMark = sheets.mark;
    listed(
        "Print and cut",
        vec![
            format!(
                "{backs}, on stiff paper at actual size; the 50 mm line at the edge tells. Cut \
                 along the grey lines and round the corners; glue the pebbles onto felt or craft \
                 foam first. Cutting tools are for adults."
            ),
            format!(
                "The {} on each card is this deck's mark, for sorting mixed decks. The sprout \
                 stands at the foot of a card. To play with fewer groups, leave whole groups out, \
                 but keep {HAND_CARDS} cards for each player and {} more.",
                mark.name(),
                2 * HAND_CARDS,
            ),
        ],
    )
}
