//! A race's record as a small picture: one bar of reaction a seat with the interval that the
//! server measured, for the teacher's page and the wall display. Knows no names but those given.

use super::{Note, Placed, Ruling};
use handround_protocol::time::Micros;
use std::fmt::Write as _;

/// Height of one seat's row, in the picture's units.
const ROW: usize = 28;
/// Where bars begin, behind the names.
const BARS_FROM: u64 = 110;
/// Width for the longest time shown.
const BARS_WIDTH: u64 = 380;
/// Bars longer than this are cut: nobody compares reactions beyond it.
const LONGEST: Micros = Micros::from_s(5);

/// An SVG document with its own title and description; `names` by seat number. Colour carries no
/// meaning of its own: what a bar is stands beside it in words.
pub fn picture(ruling: &Ruling, names: &[&str]) -> String {
    let shown = |placed: &Placed| {
        let ends = [placed.reaction, placed.interval.map(|ends| ends.1), placed.claim];
        ends.into_iter().flatten().max().unwrap_or_default().min(LONGEST)
    };
    let longest =
        ruling.order.iter().map(shown).max().unwrap_or_default().max(Micros::from_ms(500));
    let x = |span: Micros| BARS_FROM + span.min(LONGEST).0 * BARS_WIDTH / longest.0;
    let height = ROW * (ruling.order.len() + 1);
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 640 {height}\" role=\"img\" \
         font-family=\"sans-serif\" font-size=\"13\"><title>One race</title><desc>{}</desc>",
        escape(&named(&ruling.sentence, names)),
    );
    for (row, placed) in ruling.order.iter().enumerate() {
        let top = ROW * row;
        let (bar, text) = (top + 8, top + 20);
        let name = name(names, placed);
        let _ = write!(svg, "<text x=\"4\" y=\"{text}\" fill=\"#2b2622\">{}</text>", escape(name));
        if let (Some(reaction), Some((quickest, slowest))) = (placed.reaction, placed.interval) {
            let width = x(reaction) - BARS_FROM;
            let (from, to) = (x(quickest), x(slowest));
            let (upper, middle, lower) = (bar + 3, bar + 7, bar + 11);
            let _ = write!(
                svg,
                "<rect x=\"{BARS_FROM}\" y=\"{bar}\" width=\"{width}\" height=\"14\" fill=\"#7a9a6a\"/>\
                 <path d=\"M{from} {upper}V{lower}M{to} {upper}V{lower}M{from} {middle}H{to}\" \
                 stroke=\"#2b2622\" fill=\"none\"/>"
            );
        }
        let label = label(placed);
        let from = x(shown(placed)) + 8;
        let _ = write!(svg, "<text x=\"{from}\" y=\"{text}\" fill=\"#2b2622\">{label}</text>");
    }
    let foot = height - 8;
    let _ = write!(
        svg,
        "<text x=\"{BARS_FROM}\" y=\"{foot}\" fill=\"#5c544c\" font-size=\"11\">bar: reaction; line: \
         what our own times allow</text></svg>"
    );
    svg
}

/// The same in words, one line a seat, fastest first, for whoever does not look at pictures.
pub fn lines(ruling: &Ruling, names: &[&str]) -> Vec<String> {
    let line = |placed: &Placed| {
        let told = format!("{}: {}", name(names, placed), label(placed));
        match placed.interval {
            None => told,
            Some((quickest, slowest)) => {
                format!("{told}; our own times allow {} to {} ms", quickest.ms(), slowest.ms())
            }
        }
    };
    ruling.order.iter().map(line).collect()
}

fn label(placed: &Placed) -> String {
    let Some(reaction) = placed.reaction else { return "no measured reaction".to_owned() };
    let mut label = format!("{} ms", reaction.ms());
    if placed.drawn {
        label.push_str(", drawn");
    }
    let word = match placed.notes.first() {
        None => return label,
        Some(Note::NoClaim) => "no claim",
        Some(Note::QuickerThanLink | Note::CreditCapped) => "claimed less",
        Some(Note::SlowerThanLink) => "claimed more",
        Some(Note::ShownLate) => "shown late",
        Some(Note::SpikeOnCue) => "cue held up",
        Some(Note::SpikeOnGrab) => "tap held up",
        Some(Note::PongsLate) => "pings answered late",
        Some(Note::AnswersHeldBack) => "answers held back",
        Some(Note::ClockDiffers) => "its clock says otherwise",
    };
    let _ = write!(label, ", {word}");
    label
}

fn name<'a>(names: &[&'a str], placed: &Placed) -> &'a str {
    names.get(usize::from(placed.seat.0)).copied().unwrap_or("?")
}

/// The sentence with names in their places.
pub fn named(sentence: &str, names: &[&str]) -> String {
    names.iter().enumerate().fold(sentence.to_owned(), |sentence, (seat, name)| {
        sentence.replace(&format!("{{{seat}}}"), name)
    })
}

fn escape(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}
