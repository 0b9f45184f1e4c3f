//! Lesson by lesson: how it went for one child and for the class, by deck. Decks of one name show the
//! same range, so that their lessons can stand under each other. Nothing is concluded from two bars
//! that differ, and no child stands beside another.

use super::bounds::CHANCES_MIN;
use super::report::{Played, SkillLine, skills};
use super::stats::{Interval, clustered};
use handround_protocol::id::LessonId;
use handround_protocol::time::Micros;
use serde::Serialize;
use std::collections::BTreeMap;

/// What tells a lesson from others: two on one day differ in their time, and may in their name.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Lesson {
    /// The lesson.
    pub lesson: LessonId,
    /// Its name.
    pub name: String,
    /// When its first cards were dealt.
    pub at: Micros,
}

/// What was played in one lesson, by every child of the class list in its order.
#[derive(Clone, Debug)]
pub struct LessonPlayed {
    /// The lesson.
    pub lesson: Lesson,
    /// The children.
    pub children: Vec<Played>,
}

/// One child in one lesson.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Look {
    /// The lesson.
    #[serde(flatten)]
    pub lesson: Lesson,
    /// By deck; those of which there was no card are missing.
    pub skills: Vec<SkillLine>,
}

/// The class in one lesson.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClassLook {
    /// The lesson.
    #[serde(flatten)]
    pub lesson: Lesson,
    /// By deck.
    pub skills: Vec<ClassSkill>,
}

/// All children's chances to match of one deck together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClassSkill {
    /// The deck's name.
    pub skill: String,
    /// Taken.
    pub kept: usize,
    /// Chances to match.
    pub chances: usize,
    /// Children with a chance.
    pub children: usize,
    /// 95 %, wider the more the children differ; missing below eight chances or two children.
    pub interval: Option<Interval>,
}

/// Every child's decisions of all lessons. Whose speed is hidden in one lesson, it is in all.
pub(super) fn whole(lessons: &[LessonPlayed]) -> Vec<Played> {
    let mut all: Vec<Played> = Vec::new();
    for lesson in lessons {
        for (place, child) in lesson.children.iter().enumerate() {
            match all.get_mut(place) {
                Some(own) => {
                    own.unhurried |= child.unhurried;
                    own.decisions.extend(child.decisions.iter().cloned());
                }
                None => all.push(child.clone()),
            }
        }
    }
    for child in &mut all {
        child.decisions.sort_by_key(|(one, _)| one.at);
    }
    all
}

/// Lesson by lesson for the child at this place; lessons in which it did nothing are missing.
pub(super) fn trend(lessons: &[LessonPlayed], place: usize) -> Vec<Look> {
    let look = |lesson: &LessonPlayed| {
        let skills = skills(lesson.children.get(place)?);
        (!skills.is_empty()).then(|| Look { lesson: lesson.lesson.clone(), skills })
    };
    lessons.iter().filter_map(look).collect()
}

/// Lesson by lesson for the class.
pub(super) fn class_trend(lessons: &[LessonPlayed]) -> Vec<ClassLook> {
    let look = |lesson: &LessonPlayed| {
        let mut by_skill: BTreeMap<String, Vec<(usize, usize)>> = BTreeMap::new();
        for line in lesson.children.iter().flat_map(skills) {
            let own = line.recognition;
            if own.chances > 0 {
                by_skill.entry(line.skill).or_default().push((own.kept, own.chances));
            }
        }
        let skill = |(skill, counts): (String, Vec<(usize, usize)>)| {
            let kept = counts.iter().map(|(kept, _)| kept).sum();
            let chances = counts.iter().map(|(_, chances)| chances).sum();
            let interval = clustered(&counts).filter(|_| chances >= CHANCES_MIN);
            ClassSkill { skill, kept, chances, children: counts.len(), interval }
        };
        let skills: Vec<ClassSkill> = by_skill.into_iter().map(skill).collect();
        (!skills.is_empty()).then(|| ClassLook { lesson: lesson.lesson.clone(), skills })
    };
    lessons.iter().filter_map(look).collect()
}
