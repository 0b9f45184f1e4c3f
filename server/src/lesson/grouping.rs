//! Groups for a class list, as the teacher's page asks for them: who sits where, and in words what
//! she should know before anybody sits down. Pure; the choosing itself is done by `groups`, which
//! knows no names, and what play showed is said by `evidence`.

use super::class_list::{ClassList, Pupil};
use super::groups::{
    Apart, ByHandError, Class, Draw, Groups, Kept, Sitter, Way, by_hand, group, in_list_order,
    seat, together,
};
use crate::evidence::{ChildReport, together_why, unlike};
use handround_protocol::classes::{GroupTold, GroupsAsked, GroupsTold};
use handround_protocol::id::PupilIndex;

/// Why there are no groups.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
#[allow(missing_docs)] // Each sentence says what its variant means.
pub enum GroupingError {
    #[error("Nobody is here. Leave at least one child at a table.")]
    NobodyHere,
    #[error("{name} sits at two places.")]
    Twice { name: String },
    #[error("Table {table} has too many children. A table has room for six.")]
    TooMany { table: usize },
    #[error("Somebody at a table is not on the list any more. Load the page again.")]
    NotOnTheList,
}

/// Answers the page. `play` is what play showed of every child of the list; it may be empty unless
/// groups from play are asked for.
///
/// # Errors
/// One plain sentence.
pub fn answer(
    list: &ClassList,
    asked: &GroupsAsked,
    play: &[ChildReport],
) -> Result<GroupsTold, GroupingError> {
    match asked {
        GroupsAsked::Choose { here, way, draw } => {
            let here = on_the_list(list, here.iter().copied())?;
            if here.is_empty() {
                return Err(GroupingError::NobodyHere);
            }
            let Groups { tables, kept } = choose(list, &here, *way, Draw(*draw), play);
            let mut told = told(list, &tables, kept_sentence(&kept, &list.pupils));
            if *way == Way::FromPlay {
                for table in &mut told.tables {
                    table.why = together_why(&of(&table.pupils, play));
                }
            }
            Ok(told)
        }
        GroupsAsked::ByHand { tables, .. } => {
            let tables = check(list, tables)?;
            let pairs = together(&tables, &list.apart);
            Ok(told(list, &tables, by_hand_sentence(&pairs, &list.pupils)))
        }
    }
}

/// Tables by hand, without empty ones. Whoever sits at none is not here today.
///
/// # Errors
/// One plain sentence.
pub fn check(
    list: &ClassList,
    tables: &[Vec<PupilIndex>],
) -> Result<Vec<Vec<PupilIndex>>, GroupingError> {
    let here = on_the_list(list, tables.iter().flatten().copied())?;
    if here.is_empty() {
        return Err(GroupingError::NobodyHere);
    }
    by_hand(&here, tables).map_err(|error| match error {
        ByHandError::Twice { pupil } | ByHandError::Missing { pupil } => {
            GroupingError::Twice { name: name(&list.pupils, pupil).to_owned() }
        }
        ByHandError::NotHere => GroupingError::NotOnTheList,
        ByHandError::TooMany { table } => GroupingError::TooMany { table: table + 1 },
    })
}

/// Groups for a teacher who has not chosen any: in the order of her list, unless it says how ready
/// children are or whom to keep apart.
pub fn without_being_asked(list: &ClassList) -> Vec<Vec<PupilIndex>> {
    let count = u16::try_from(list.pupils.len()).unwrap_or(u16::MAX);
    let told = list.pupils.iter().any(|pupil| pupil.readiness.is_some()) || !list.apart.is_empty();
    if told {
        let here: Vec<PupilIndex> = (0..count).map(PupilIndex).collect();
        return choose(list, &here, Way::Mixed, Draw(0), &[]).tables;
    }
    let pupil = |sitter: &Sitter| match sitter {
        Sitter::Pupil(pupil) => Some(*pupil),
        Sitter::Partner => None,
    };
    let tables = in_list_order(count).tables;
    tables.iter().map(|table| table.iter().filter_map(pupil).collect()).collect()
}

/// What play showed of these children.
pub fn of<'a>(pupils: &[PupilIndex], play: &'a [ChildReport]) -> Vec<&'a ChildReport> {
    pupils.iter().filter_map(|pupil| play.get(usize::from(pupil.0))).collect()
}

fn choose(
    list: &ClassList,
    here: &[PupilIndex],
    way: Way,
    draw: Draw,
    play: &[ChildReport],
) -> Groups {
    let readiness: Vec<_> = list.pupils.iter().map(|pupil| pupil.readiness).collect();
    let unlike = if way == Way::FromPlay { unlike(play) } else { Vec::new() };
    group(Class { here, readiness: &readiness, apart: &list.apart, unlike: &unlike }, way, draw)
}

/// Each once, in the order of the list.
fn on_the_list(
    list: &ClassList,
    pupils: impl Iterator<Item = PupilIndex>,
) -> Result<Vec<PupilIndex>, GroupingError> {
    let mut here: Vec<PupilIndex> = pupils.collect();
    here.sort_unstable();
    here.dedup();
    match here.last() {
        Some(last) if usize::from(last.0) >= list.pupils.len() => Err(GroupingError::NotOnTheList),
        _ => Ok(here),
    }
}

fn told(list: &ClassList, tables: &[Vec<PupilIndex>], apart: Option<String>) -> GroupsTold {
    let seating = seat(tables);
    let table = |sitters: &Vec<Sitter>| {
        let pupil = |sitter: &Sitter| match sitter {
            Sitter::Pupil(pupil) => Some(*pupil),
            Sitter::Partner => None,
        };
        let pupils: Vec<PupilIndex> = sitters.iter().filter_map(pupil).collect();
        let partners = u8::try_from(sitters.len() - pupils.len()).unwrap_or(u8::MAX);
        GroupTold { pupils, partners, why: Vec::new(), deck: None }
    };
    let alone = alone_sentence(tables, &list.pupils);
    let tables = seating.tables.iter().map(table).collect();
    GroupsTold { tables, seating: seating.sentence, apart, alone }
}

/// A child at home sits beside at least one other child. Groups that the program chooses have no table of
/// one child but for a class of one (`groups/sizes.rs`); by hand there may be some.
fn alone_sentence(tables: &[Vec<PupilIndex>], pupils: &[Pupil]) -> Option<String> {
    let at_home =
        |pupil: PupilIndex| pupils.get(usize::from(pupil.0)).is_some_and(|pupil| pupil.at_home);
    let alone = tables.iter().filter_map(|table| match table.as_slice() {
        [only] if at_home(*only) => Some(name(pupils, *only)),
        _ => None,
    });
    let alone: Vec<&str> = alone.collect();
    let (verb, whom) = if alone.len() == 1 { ("plays", "this child") } else { ("play", "each") };
    (!alone.is_empty()).then(|| {
        format!(
            "{} {verb} at home without another child at the table. Seat a child beside {whom}.",
            alone.join(" and ")
        )
    })
}

fn kept_sentence(kept: &Kept, pupils: &[Pupil]) -> Option<String> {
    match kept {
        Kept::All => None,
        Kept::Impossible(pairs) => Some(format!(
            "{} in any groups of these sizes: it is not possible to keep everybody apart.",
            pairs_words(pairs, pupils, "cannot all be kept apart", "cannot be kept apart")
        )),
        Kept::NotFound(pairs) => Some(format!(
            "{}, and no better groups were found. Move a child by hand.",
            pairs_words(pairs, pupils, "share tables", "share a table")
        )),
    }
}

fn by_hand_sentence(pairs: &[Apart], pupils: &[Pupil]) -> Option<String> {
    let words = || pairs_words(pairs, pupils, "share tables", "share a table");
    (!pairs.is_empty()).then(|| format!("{}, though your list keeps them apart.", words()))
}

/// Such as `Ada and Bo share a table` or `Ada and Bo, Cleo and Dino share tables`.
fn pairs_words(pairs: &[Apart], pupils: &[Pupil], many: &str, one: &str) -> String {
    let pair = |pair: &Apart| pair.both().map(|pupil| name(pupils, pupil)).join(" and ");
    let words: Vec<String> = pairs.iter().map(pair).collect();
    format!("{} {}", words.join(", "), if pairs.len() == 1 { one } else { many })
}

fn name(pupils: &[Pupil], pupil: PupilIndex) -> &str {
    pupils.get(usize::from(pupil.0)).map_or("a child", |pupil| &pupil.name)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::evidence::{ItemLine, Played, Steadiness, child};
    use crate::lesson::class_list::read;

    fn indices(tables: &[&[u16]]) -> Vec<Vec<PupilIndex>> {
        tables.iter().map(|table| table.iter().copied().map(PupilIndex).collect()).collect()
    }

    fn asked_by_hand(tables: &[&[u16]]) -> GroupsAsked {
        GroupsAsked::ByHand { tables: indices(tables), with_decks: false }
    }

    #[test]
    fn impossible_pairs_are_named_in_a_sentence() {
        // Three children are one table, so two of them share it whatever anybody does.
        let list = read(b"Ada,,,Bo\nBo\nCleo").unwrap();
        let here = indices(&[&[0, 1, 2]]).remove(0);
        let asked = GroupsAsked::Choose { here, way: Way::Random, draw: 7 };
        let told = answer(&list, &asked, &[]).unwrap();
        assert_eq!(
            told.apart.unwrap(),
            "Ada and Bo cannot be kept apart in any groups of these sizes: it is not possible to \
             keep everybody apart."
        );
        assert_eq!(told.seating, "3 children sit at one table of three.");
    }

    /// What play showed of children of the list, each with the items that are not yet steady.
    fn play(list: &ClassList, shaky: &[&str]) -> Vec<ChildReport> {
        let report = |(pupil, shaky): (&Pupil, &&str)| {
            let name = pupil.name.clone();
            let mut report = child(&Played { name, unhurried: false, decisions: Vec::new() });
            report.items = shaky.split_whitespace().map(item).collect();
            report
        };
        list.pupils.iter().zip(shaky).map(report).collect()
    }

    fn item(title: &str) -> ItemLine {
        ItemLine {
            key: title.to_owned(),
            title: title.to_owned(),
            skill: "Numbers 1 to 10".to_owned(),
            of_skill: "Numbers".to_owned(),
            chances: 12,
            kept: Some(6),
            interval: None,
            known: None,
            says: Steadiness::NotYetSteady,
        }
    }

    #[test]
    fn groups_from_play_bring_the_same_practice_together_unless_children_are_kept_apart() {
        let choose = |file: &str, here: &[u16]| {
            let list = read(file.as_bytes()).unwrap();
            let play = play(&list, &["6 9", "3", "6 9", "3", "6 9", "3", "6", "3"]);
            let here = here.iter().copied().map(PupilIndex).collect();
            answer(&list, &GroupsAsked::Choose { here, way: Way::FromPlay, draw: 0 }, &play)
                .unwrap()
        };
        let tables = |told: &GroupsTold| {
            told.tables.iter().map(|table| table.pupils.clone()).collect::<Vec<_>>()
        };
        let names = "Ada\nBo\nCleo\nDino\nElif\nFinn\nGus\nHana";
        let told = choose(names, &[0, 1, 2, 3, 4, 5, 6, 7]);
        assert_eq!(tables(&told), indices(&[&[0, 2, 4, 6], &[1, 3, 5, 7]]));
        let why: Vec<&str> =
            told.tables.iter().flat_map(|table| &table.why).map(String::as_str).collect();
        assert_eq!(
            why,
            [
                "Together, since “6” is not yet steady for all.",
                "Together, since “3” is not yet steady for all."
            ]
        );
        // Ada and Cleo need the same and are to be kept apart; whoever is away has no place.
        let told = choose(&names.replace("Ada", "Ada,,,Cleo"), &[0, 1, 2, 3, 4, 5, 6]);
        assert_eq!(told.apart, None);
        assert!(
            !tables(&told)
                .iter()
                .any(|table| table.contains(&PupilIndex(0)) && table.contains(&PupilIndex(2)))
        );
        assert_eq!(tables(&told).concat().len(), 7);
        // One table for three: the pair is named.
        let told = choose(&names.replace("Ada", "Ada,,,Cleo"), &[0, 1, 2]);
        let apart = told.apart.unwrap();
        assert!(apart.starts_with("Ada and Cleo cannot be kept apart"), "{apart}");
    }

    #[test]
    fn groups_by_hand_are_taken_as_they_are_with_a_word_about_pairs() {
        let list = read(b"Ada,,,Bo\nBo\nCleo\nDino\nElif").unwrap();
        let by_hand = |tables: &[&[u16]]| answer(&list, &asked_by_hand(tables), &[]);
        let told = by_hand(&[&[4, 0, 1], &[], &[3]]).unwrap();
        let tables: Vec<_> = told.tables.iter().map(|table| table.pupils.clone()).collect();
        assert_eq!(tables, indices(&[&[4, 0, 1], &[3]]));
        assert_eq!(told.tables[1].partners, 2);
        let word = "Ada and Bo share a table, though your list keeps them apart.";
        assert_eq!(told.apart.as_deref(), Some(word));
        assert_eq!(by_hand(&[&[4, 0], &[3, 1]]).unwrap().apart, None);

        let twice = GroupingError::Twice { name: "Dino".to_owned() };
        assert_eq!(by_hand(&[&[3, 0], &[3]]), Err(twice));
        assert_eq!(by_hand(&[&[9]]), Err(GroupingError::NotOnTheList));
        assert_eq!(by_hand(&[&[]]), Err(GroupingError::NobodyHere));
    }

    #[test]
    fn a_list_without_readiness_is_seated_in_its_order_and_one_with_pairs_keeps_them() {
        let plain = read(b"Ada\nBo\nCleo\nDino\nElif\nFinn\nGus").unwrap();
        assert_eq!(without_being_asked(&plain), indices(&[&[0, 1, 2, 3], &[4, 5, 6]]));
        let pairs = read(b"Ada,,,Bo\nBo\nCleo\nDino\nElif\nFinn\nGus").unwrap();
        let tables = without_being_asked(&pairs);
        assert!(together(&tables, &pairs.apart).is_empty(), "{tables:?}");
    }

    /// In every size of class, with any of them at home, by every way of grouping.
    #[test]
    fn a_child_at_home_sits_beside_another_child_unless_the_teacher_wants_otherwise() {
        for children in 1..=30_u16 {
            let line =
                |child| format!("Child {child},{}\n", ["yes", ""][usize::from(child % 3 > 0)]);
            let lines: String = (0..children).map(line).collect();
            let list = read(format!("nickname,home\n{lines}").as_bytes()).unwrap();
            let here: Vec<PupilIndex> = (0..children).map(PupilIndex).collect();
            for way in [Way::Mixed, Way::Similar, Way::Random] {
                let asked = GroupsAsked::Choose { here: here.clone(), way, draw: 3 };
                let told = answer(&list, &asked, &[]).unwrap();
                assert_eq!(told.alone.is_some(), children == 1, "{children} children, {way:?}");
            }
        }
        let list = read(b"nickname,home\nAda,yes\nBo,\nCleo,yes\nDino,").unwrap();
        let by_hand = |tables: &[&[u16]]| answer(&list, &asked_by_hand(tables), &[]).unwrap().alone;
        assert_eq!(by_hand(&[&[0, 1], &[2, 3]]), None);
        assert_eq!(by_hand(&[&[0, 2], &[1], &[3]]), None, "in the room they sit as they sit");
        assert_eq!(
            by_hand(&[&[0], &[1, 2, 3]]).unwrap(),
            "Ada plays at home without another child at the table. Seat a child beside this child."
        );
        assert!(by_hand(&[&[0], &[2], &[1, 3]]).unwrap().starts_with("Ada and Cleo play at home"));
    }
}
