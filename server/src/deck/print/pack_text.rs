//! The words of a lesson's pack: who sits where, the rule of the day, and the guide for all tables.

use super::guide_text::{Section, credits, listed, manners, round, safety};
use super::names::is_printed;
use super::pack::{Pack, PackTable};
use handround_protocol::house::HouseRule;

/// Tables on one page: names of six children each still fit at the smallest print.
const TABLES_ON_PAGE: usize = 12;

/// The pages that say who sits where; the first one begins with the rule of the day.
pub(super) fn seatings(pack: &Pack) -> Vec<Vec<Section>> {
    let mut pages = Vec::new();
    for (page, tables) in pack.tables.chunks(TABLES_ON_PAGE).enumerate() {
        let mut sections = Vec::new();
        if page == 0 {
            sections.push(house(&pack.house));
            let mut players = pack.tables.iter().flat_map(|table| &table.players);
            if !players.all(|name| is_printed(name)) {
                let how = "Where a line stands for a name, write it by hand before the lesson; the word \
                           beside it is the child's picture.";
                sections.push(listed("Names to write", vec![how.to_owned()]));
            }
        }
        let line = |(number, table)| seating(pack, number, table);
        sections.extend((page * TABLES_ON_PAGE..).zip(tables).map(line));
        pages.push(sections);
    }
    pages
}

fn seating(pack: &Pack, number: usize, table: &PackTable) -> Section {
    let deck = pack.deck(table).map_or("", |sheet| sheet.name.as_str());
    let mark = Pack::mark(number).name();
    let mut items = vec![table.players.join(", "), format!("Deck: {deck}, cards with the {mark}.")];
    if table.players.len() < 2 {
        items.push("An adult plays along.".to_owned());
    } else if table.partners > 0 {
        items.push("On paper the practice partner's chair stays free.".to_owned());
    }
    items.retain(|item| !item.is_empty());
    listed(&table.name, items)
}

/// The house rule in play, in words for the one who leads a table.
fn house(rule: &HouseRule) -> Section {
    let rounds = |rounds: u8| match rounds {
        1 => "one round".to_owned(),
        more => format!("{more} rounds"),
    };
    let (name, mut items) = match rule {
        HouseRule::Stay { rounds: count } => (
            "Stay",
            vec![format!(
                "Play {}; nobody goes out. Whoever gets no token in a round is simply last this \
                 time and plays on.",
                rounds(*count)
            )],
        ),
        HouseRule::Letters { word } => (
            "Letters",
            vec![format!(
                "Who is last takes the next letter card of the word {word}. Who has the whole word \
                 watches until the next game. The game ends when one player is left."
            )],
        ),
        HouseRule::Out { shield } => {
            let mut items = vec![
                "Who is last watches until the next game and sorts the discarded cards. The game \
                 ends when one player is left."
                    .to_owned(),
            ];
            if *shield {
                items
                    .push("The first time is a warning: that player stays in and is safe in the next round.".into());
            }
            ("Out", items)
        }
        HouseRule::Calm { rounds: count } => (
            "Calm",
            vec![format!(
                "Play {} without tokens. Who has four alike lays them down open and passes every \
                 card on; the round ends when all have laid four down.",
                rounds(*count)
            )],
        ),
    };
    if let HouseRule::Letters { word } = rule
        && !word.chars().all(|letter| letter.is_ascii_alphabetic())
    {
        items.push("Write the letters of this word on slips of paper.".to_owned());
    }
    listed(&format!("The rule of this lesson: {name}"), items)
}

/// The guide for all tables: cautions first, since they hold for every rule.
pub(super) fn guide(pack: &Pack) -> Vec<Section> {
    let first = "Every table takes the cards with its own mark. Look at them together first and say \
                 which belong together; the page of groups in front of them tells.";
    let mut all = vec![
        safety(),
        house(&pack.house),
        round(first.to_owned(), pack.house.has_tokens()),
        manners(),
        making(pack),
    ];
    all.extend(credits(&pack.decks.iter().collect::<Vec<_>>(), None));
    all
}

fn making(pack: &Pack) -> Section {
    let mut items = vec![
        "Print on one side, on stiff paper at actual size; the 50 mm line at the edge tells. Cut \
         along the grey lines and round the corners. Cutting tools are for adults."
            .to_owned(),
    ];
    if pack.house.has_tokens() {
        items.push(format!(
            "All tables together need {} tokens. Glue the pebbles onto felt or craft foam before \
             cutting.",
            pack.tokens()
        ));
    }
    items.push(
        "This page and the list of tables have children's names or rules for adults: keep \
                the list out of sight, and destroy it after the lesson as your school asks."
            .into(),
    );
    listed("Print, cut, put away", items)
}
