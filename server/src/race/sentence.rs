//! A ruling as one plain sentence for the teacher. Decides nothing.

use super::Note;
use super::ruling::{Class, Place};
use handround_protocol::time::Micros;

/// A claim moved by less changes nothing that two decimals show; the record has it.
const TOLD_FROM: Micros = Micros::from_ms(20);

/// One sentence; `{n}` stands for the name at seat n.
pub(super) fn sentence(places: &[Place], void: bool) -> String {
    let mut told: Vec<String> = places.iter().map(told).collect();
    let last = places.last().filter(|place| place.class != Class::Silent && !void);
    if let (Some(_), Some(told)) = (last, told.last_mut()) {
        told.push_str(" and was last");
    }
    let end = if void { "; the link was gone, so the round does not count." } else { "." };
    format!("{}{end}", told.join("; "))
}

fn told(place: &Place) -> String {
    let seat = place.runner.seat;
    let how = match place.class {
        Class::OwnFour => "saw four alike".to_owned(),
        Class::Measured => format!("reacted in {}", seconds(place.at)),
        Class::Room => "answered the room".to_owned(),
        Class::Silent => "did not tap".to_owned(),
    };
    let why = place.measured.as_ref().and_then(|measured| {
        let notes = &measured.notes;
        let claim = measured.claim.unwrap_or(measured.reaction);
        let moved = claim.0.abs_diff(measured.reaction.0);
        if notes.contains(&Note::AnswersHeldBack) {
            let free = "its tablet answered late though the link was free";
            let said = measured.claim.map_or("nothing".to_owned(), seconds);
            Some(format!(" (by our own times; {free}; it said {said})"))
        } else if moved >= TOLD_FROM.0 {
            Some(format!(" (by our own times; its device said {})", seconds(claim)))
        } else if notes.contains(&Note::NoClaim) {
            Some(" (by our own times; its device said nothing)".to_owned())
        } else if notes.contains(&Note::SpikeOnCue) {
            Some(" (the cue was slow on its way, which does not count)".to_owned())
        } else if notes.contains(&Note::SpikeOnGrab) {
            Some(" (the tap was slow on its way, which does not count)".to_owned())
        } else {
            None
        }
    });
    let draw = match (place.drawn, place.class) {
        (false, _) | (_, Class::Silent) => "",
        _ => ", so close that the draw decided",
    };
    format!("{{{seat}}} {how}{}{draw}", why.unwrap_or_default())
}

/// Seconds with two decimals, rounded down.
fn seconds(span: Micros) -> String {
    let ms = span.ms();
    format!("{}.{:02} s", ms / 1000, ms % 1000 / 10)
}
