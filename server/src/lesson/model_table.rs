//! The model table: one round with a deck's own cards, played by practice partners in simulated time and
//! told step by step, all hands open. The rules are the real ones (`game::simulation`); only the deal is
//! chosen, so that a class sees a keep, a pass, four alike, a race and a ruling before its patience ends.
//! Pure: one deck and one age band give one model for ever. It knows no lesson and no wall.

use crate::game::rules::GameDeck;
use crate::game::simulation::Simulation;
use crate::game::{Event, Rules, Table};
use crate::limits::lesson::{MODEL_DEALS_MAX, MODEL_STEPS_MAX};
use handround_protocol::hand::four_alike;
use handround_protocol::house::{AgeBand, HouseRule, MissedFour};
use handround_protocol::id::{FaceIndex, GroupIndex, SeatIndex};
use handround_protocol::limits::{GROUP_CARDS_MAX, HAND_CARDS, SEATS_MIN};
use handround_protocol::partner::Temper;
use handround_protocol::picture::Picture;
use handround_protocol::refusal::Refusal;
use handround_protocol::view::{LessonPlan, RoundEnd, Tap};
use handround_protocol::wall::{ModelSeat, WallModel};

/// Players at the model table at the most: few enough that a class can follow all hands. A deck that
/// serves two players alone is shown by two.
const SEATS: usize = 3;

/// What a class should have seen once.
#[derive(Clone, Copy, Debug, Default)]
struct Seen {
    kept: bool,
    passed: bool,
    four: bool,
    raced: bool,
    ruled: bool,
    /// Something that would need a long explanation.
    odd: bool,
}

impl Seen {
    fn all(self) -> bool {
        self.kept && self.passed && self.four && self.raced && self.ruled && !self.odd
    }
}

/// The steps of the model table with these cards.
///
/// # Errors
/// `DeckTooSmall` for a deck that no two players can play with either, or `RuleNotPlayable` if no deal comes
/// to a ruling, which no deck of ours does.
pub fn model_table(deck: &GameDeck, ages: AgeBand) -> Result<Vec<WallModel>, Refusal> {
    let seats = seats_served(deck.groups.len());
    let faces = few_cards(&deck.groups, cards_needed(seats));
    let groups = faces.iter().map(|face| deck.groups[usize::from(face.0)]).collect();
    let cards = GameDeck { id: deck.id, groups };
    cards.check(seats)?;
    for seed in 0..MODEL_DEALS_MAX {
        if let Some(steps) = play(&cards, (&faces, seats), ages, seed)? {
            return Ok(steps);
        }
    }
    Err(Refusal::RuleNotPlayable)
}

/// The fewest cards that serve so many players (design, section 3, rule 1).
fn cards_needed(seats: usize) -> usize {
    (seats + 2) * HAND_CARDS
}

/// How many sit at the model table.
fn seats_served(cards: usize) -> usize {
    (SEATS_MIN..=SEATS).rev().find(|seats| cards_needed(*seats) <= cards).unwrap_or(SEATS_MIN)
}

/// So many cards: four of each of the first few groups, and more of them where there are too few groups.
fn few_cards(groups: &[GroupIndex], wanted: usize) -> Vec<FaceIndex> {
    let mut known: Vec<GroupIndex> = groups.to_vec();
    known.sort_unstable();
    known.dedup();
    known.truncate(wanted / HAND_CARDS);
    let mut members: Vec<Vec<FaceIndex>> = vec![Vec::new(); known.len()];
    for (face, group) in (0..).map(FaceIndex).zip(groups) {
        if let Some(place) = known.iter().position(|one| one == group) {
            members[place].push(face);
        }
    }
    let fours = members.iter().flat_map(|own| own.iter().take(HAND_CARDS));
    // The fifth cards of all groups, then the sixth ones, so that no group is much larger than another.
    let rest = (HAND_CARDS..GROUP_CARDS_MAX)
        .flat_map(|place| members.iter().filter_map(move |own| own.get(place)));
    let mut faces: Vec<FaceIndex> = fours.chain(rest).copied().take(wanted).collect();
    faces.sort_unstable();
    faces
}

/// One deal; `None` if it shows too little or takes too long.
fn play(
    cards: &GameDeck,
    (faces, seats): (&[FaceIndex], usize),
    ages: AgeBand,
    seed: u64,
) -> Result<Option<Vec<WallModel>>, Refusal> {
    let usual = Temper::for_ages(ages);
    let temper = Temper { starts_races: true, slips_per_mille: 0, ..usual };
    let plan = LessonPlan {
        house: HouseRule::Stay { rounds: 1 },
        missed_four: MissedFour::FindItYourself,
        cards_come_by_themselves: false,
        ..LessonPlan::for_ages(ages)
    };
    let rules = Rules::from_plan(&plan);
    let mut simulation = Simulation::new(&vec![temper; seats], false, rules, cards.clone(), seed)?;
    let mut seen = Seen::default();
    let mut steps: Vec<WallModel> = Vec::new();
    let mut told = 0;
    while !seen.ruled && steps.len() <= MODEL_STEPS_MAX {
        while let Some(entry) = simulation.journal.get(told) {
            told += 1;
            if let Some((actor, words)) = tell(&entry.event, &simulation.table, cards, &mut seen) {
                let step = picture(&simulation.table, cards, faces, actor, words);
                // A hand that came too late, before the ruling says so, would look like a pebble too many.
                seen.odd |= step.seats.iter().filter(|seat| seat.token).count() >= seats;
                steps.push(step);
            }
        }
        if !seen.ruled && !simulation.step() {
            return Ok(None);
        }
    }
    if !seen.all() || steps.len() > MODEL_STEPS_MAX {
        return Ok(None);
    }
    let count = u16::try_from(steps.len()).unwrap_or(u16::MAX);
    for (number, step) in (1..).zip(&mut steps) {
        (step.step, step.steps) = (number, count);
    }
    Ok(Some(steps))
}

/// One plain sentence on what happened, and who did it; `None` for what a class need not see.
fn tell(
    event: &Event,
    table: &Table,
    cards: &GameDeck,
    seen: &mut Seen,
) -> Option<(Option<SeatIndex>, String)> {
    let name = |seat: SeatIndex| helper_name(table.seats()[usize::from(seat.0)].picture);
    let alike = |seat: SeatIndex| {
        let groups: Vec<GroupIndex> =
            table.hand(seat).iter().map(|card| cards.groups[usize::from(card.0)]).collect();
        four_alike(&groups).is_some()
    };
    match event {
        Event::Dealt { .. } => Some((
            None,
            "Everybody has four cards. There is one pebble fewer than players.".to_owned(),
        )),
        Event::TakenUp { seat, .. } => {
            Some((Some(*seat), format!("{} looks at one new card.", name(*seat))))
        }
        Event::Moved { seat, card, left, .. } if card == left => {
            seen.passed = true;
            Some((Some(*seat), format!("{} does not need it and passes it on.", name(*seat))))
        }
        Event::Moved { seat, .. } => {
            seen.kept = true;
            let words = if alike(*seat) {
                seen.four = true;
                format!("{} keeps it and gives another card away. Four that match!", name(*seat))
            } else {
                format!("{} keeps it and gives another card away.", name(*seat))
            };
            Some((Some(*seat), words))
        }
        Event::Grabbed { seat, .. } if alike(*seat) && !seen.raced => {
            seen.raced = true;
            let words = format!("{} has four that match and quietly takes a pebble.", name(*seat));
            Some((Some(*seat), words))
        }
        Event::Grabbed { seat, .. } => {
            Some((Some(*seat), format!("A pebble is missing! {} takes one too.", name(*seat))))
        }
        Event::RoundEnded { end: RoundEnd::Last { seat, .. }, .. } => {
            seen.ruled = true;
            let words =
                format!("All pebbles are gone and {} has none. A new round begins.", name(*seat));
            Some((Some(*seat), words))
        }
        Event::Reshuffled { .. }
        | Event::FalseGrab { .. }
        | Event::TooSoon { .. }
        | Event::Undone { .. }
        | Event::RoundEnded { .. } => {
            seen.odd = true;
            seen.ruled |= matches!(event, Event::RoundEnded { .. });
            None
        }
        _ => None,
    }
}

/// A garden helper by its kind, as a class would call it: `The bee`.
fn helper_name(picture: Picture) -> String {
    format!("The {}", format!("{picture:?}").to_lowercase())
}

/// The table as it lies, with the deck's own faces in place of the few cards' numbers.
fn picture(
    table: &Table,
    cards: &GameDeck,
    faces: &[FaceIndex],
    actor: Option<SeatIndex>,
    words: String,
) -> WallModel {
    let face = |card: FaceIndex| faces[usize::from(card.0)];
    let view = table.table_view();
    let seat = |(index, seat): (SeatIndex, &handround_protocol::view::SeatPublic)| {
        let own = table.seat_view(index);
        let considering = own.as_ref().and_then(|own| own.hand.as_ref()?.considering);
        ModelSeat {
            name: helper_name(seat.picture),
            picture: seat.picture,
            hand: table.hand(index).iter().map(|card| face(*card)).collect(),
            considering: considering.map(|card| face(card.face)),
            waiting: seat.waiting,
            token: own.is_some_and(|own| own.grab.tap == Tap::Taken),
            acts: actor == Some(index),
        }
    };
    let seats: Vec<ModelSeat> = (0..).map(SeatIndex).zip(&view.seats).map(seat).collect();
    // The ruling lays all tokens back for the next round; the class sees them as they were taken.
    let taken = seats.iter().filter(|seat| seat.token).count();
    WallModel {
        deck: cards.id,
        step: 0,
        steps: 0,
        words,
        tokens: u8::try_from((table.seats().len() - 1).saturating_sub(taken)).unwrap_or(0),
        draw_pile: view.draw_pile,
        seats,
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use crate::deck::DeckError;
    use crate::deck::families::skills_on_offer;
    use crate::lesson::decks::{HeldMaterial, make};
    use handround_protocol::id::DeckId;

    /// Source of the counts: the design, section 3, rules 1 and 5.
    #[test]
    fn every_skill_on_offer_has_a_model_that_ends_in_a_ruling() {
        let plans = plans_on_offer();
        assert!(plans.len() > 20, "{} skills", plans.len());
        for plan in plans {
            let draw = |plan: &LessonPlan| {
                make(plan, HeldMaterial::default().lend(), DeckId([7; 16]), [3; 32])
            };
            let (made, sheet) = match draw(&plan) {
                Err(DeckError::TooManyGroups { at_most, .. }) => {
                    let groups = at_most;
                    draw(&LessonPlan { groups, ..plan.clone() }).unwrap()
                }
                made => made.unwrap(),
            };
            assert_eq!(made.groups.len(), sheet.faces.len());
            let deck = GameDeck { id: made.deck, groups: made.groups.clone() };
            shows_a_round(&deck, plan.ages, &format!("{:?}", plan.skill));
        }
    }

    /// Decks of a teacher's own may be small: from the sixteen cards on with which two can play, however
    /// they are grouped, there is a model.
    #[test]
    fn the_smallest_deck_that_can_be_played_has_a_model() {
        for sizes in [
            "4 4 4 4",
            "8 8",
            "12 4",
            "10 6",
            "6 5 5",
            "4 4 8",
            "7 4 4 4",
            "4 4 4 4 4",
            "12 4 4",
            "7 7 6",
            "10 10",
            "12 12",
            "12 12 4",
            "4 4 4 12",
        ] {
            let sizes: Vec<usize> = sizes.split(' ').map(|size| size.parse().unwrap()).collect();
            let groups = (0..).map(GroupIndex).zip(&sizes);
            let groups: Vec<_> = groups.flat_map(|(group, size)| vec![group; *size]).collect();
            let deck = GameDeck { id: DeckId([7; 16]), groups };
            for ages in [AgeBand::FiveToSix, AgeBand::SixToSeven, AgeBand::SevenToEight] {
                shows_a_round(&deck, ages, &format!("groups of {sizes:?}"));
            }
        }
        let deck = GameDeck { id: DeckId([7; 16]), groups: vec![GroupIndex(0); 15] };
        let no = model_table(&deck, AgeBand::FiveToSix);
        assert!(matches!(no, Err(Refusal::DeckTooSmall { .. })), "{no:?}");
    }

    /// A model of this deck has everything that a class should see once, and ends with one seat without.
    fn shows_a_round(deck: &GameDeck, ages: AgeBand, of: &str) {
        let steps = model_table(deck, ages).unwrap_or_else(|no| panic!("{of}: {no:?}"));
        assert_eq!(steps, model_table(deck, ages).unwrap(), "the same for ever");
        let seats = SEATS.min(deck.groups.len() / HAND_CARDS - 2);
        assert!(steps.len() <= MODEL_STEPS_MAX, "{of}: {} steps", steps.len());
        let said = |words: &str| steps.iter().any(|step| step.words.contains(words));
        for words in ["looks at", "passes it on", "gives another card", "quietly"] {
            assert!(said(words), "{of}: nobody {words}");
        }
        // With one pebble there is none left to take.
        assert_eq!(said("is missing"), seats > 2, "{of}");
        assert!(steps.last().unwrap().words.contains("has none"));
        let last = &steps.last().unwrap().seats;
        assert_eq!(last.iter().filter(|seat| seat.token).count(), seats - 1);
        for step in &steps {
            assert!(!step.words.is_empty() && step.words.len() < 100, "{}", step.words);
            assert_eq!(usize::from(step.tokens) + taken(step), seats - 1, "{}", step.words);
            let mut all: Vec<FaceIndex> = Vec::new();
            for seat in &step.seats {
                assert_eq!(seat.hand.len(), HAND_CARDS);
                all.extend(seat.hand.iter().chain(&seat.considering));
            }
            assert!(all.iter().all(|face| usize::from(face.0) < deck.groups.len()));
            let count = all.len();
            all.sort_unstable();
            all.dedup();
            assert_eq!(all.len(), count, "no card lies in two places");
        }
        // Whoever starts the race holds four of one group, told from the deck and not from the game.
        let start = steps.iter().find(|step| step.words.contains("quietly")).unwrap();
        let starter = start.seats.iter().find(|seat| seat.acts).unwrap();
        let mut groups: Vec<_> =
            starter.hand.iter().map(|face| deck.groups[usize::from(face.0)]).collect();
        groups.dedup();
        assert_eq!(groups.len(), 1, "{of}");
    }

    /// The demo's own names stand in for a class; an own deck's cards are the teacher's.
    fn plans_on_offer() -> Vec<LessonPlan> {
        let offers = skills_on_offer().into_iter();
        offers
            .flat_map(|offer| {
                offer.settings.into_iter().map(move |setting| LessonPlan {
                    skill: setting.skill,
                    ..LessonPlan::for_ages(offer.ages.0)
                })
            })
            .collect()
    }

    fn taken(step: &WallModel) -> usize {
        step.seats.iter().filter(|seat| seat.token).count()
    }
}
