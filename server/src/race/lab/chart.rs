//! The table and the curve as pictures (SVG), readable without colour.

use super::curves::CurvePoint;
use super::rivals::Rival;
use super::score::Row;
use std::fmt::Write as _;

const INK: &str = "#2b2622";
const PALE: &str = "#5c544c";
/// Height of a row and where its dots begin.
const ROW: f64 = 30.0;
const FROM: f64 = 300.0;
/// The share of wrong losers that the right edge stands for.
const WRONG_MOST: f64 = 0.7;
const WIDTH: f64 = 560.0;

/// One letter for each rule, so that colour is not needed.
const LETTERS: [&str; 5] = ["O", "A", "T", "L", "H"];

/// Share of races whose loser is not the slowest, a row each; letters stand for the rules.
pub fn table_svg(rows: &[Row], seed: u64) -> String {
    let height = ROW * (rows.len() as f64 + 3.0);
    let width = FROM + WIDTH + 30.0;
    let mut svg = open(width, height, "Races whose loser was not the slowest");
    let key = std::iter::once("ours").chain(Rival::ALL.into_iter().map(Rival::name));
    let key: Vec<String> =
        LETTERS.iter().zip(key).map(|(letter, name)| format!("{letter} {name}")).collect();
    text(
        &mut svg,
        8.0,
        20.0,
        INK,
        &format!("Share of wrong losers, seed {seed}: {}", key.join(", ")),
    );
    for tenth in 0..=7 {
        let x = FROM + WIDTH * f64::from(tenth) / 10.0 / WRONG_MOST;
        let _ = write!(svg, "<path d=\"M{x} 34V{}\" stroke=\"#d8d0c4\"/>", height - 30.0);
        text(&mut svg, x - 8.0, height - 12.0, PALE, &format!("0.{tenth}"));
    }
    for (index, row) in rows.iter().enumerate() {
        let y = ROW * (index as f64 + 1.5) + 10.0;
        text(&mut svg, 8.0, y, INK, &row.profile.name);
        let scores = std::iter::once(&row.ours).chain(&row.rivals);
        for (letter, score) in LETTERS.iter().zip(scores) {
            let wrong = 1.0 - score.loser();
            if wrong.is_finite() {
                let x = FROM + WIDTH * (wrong / WRONG_MOST).min(1.0);
                let lift = if *letter == "O" { 4.0 } else { -6.0 };
                let weight = if *letter == "O" { "bold" } else { "normal" };
                let _ = write!(
                    svg,
                    "<circle cx=\"{x:.1}\" cy=\"{:.1}\" r=\"2.5\" fill=\"{INK}\"/>\
                     <text x=\"{:.1}\" y=\"{:.1}\" fill=\"{INK}\" font-size=\"11\" font-weight=\"{weight}\">{letter}</text>",
                    y - 4.0,
                    x + 4.0,
                    y + lift,
                );
            }
        }
    }
    svg.push_str("</svg>\n");
    svg
}

/// What a low claim is spared, and how many losers are wrong among honest seats, against the cap.
pub fn curve_svg(points: &[CurvePoint], seed: u64) -> String {
    let (width, height, left, top) = (640.0, 380.0, 60.0, 50.0);
    let (wide, high) = (540.0, 270.0);
    let mut svg = open(width, height, "Credit cap: what it costs and what it prevents");
    text(
        &mut svg,
        8.0,
        20.0,
        INK,
        &format!(
            "Share of last places spared, and of wrong losers, against the cap in ms (seed {seed})"
        ),
    );
    let cap_most = points.iter().map(|point| point.cap_ms).max().unwrap_or(1) as f64;
    // A square root spreads the small caps, among which the choice is.
    let x = |cap: u64| left + wide * (cap as f64 / cap_most).sqrt();
    let most = 0.3;
    let y = |share: f64| top + high * (1.0 - (share / most).clamp(0.0, 1.0));
    for tenth in 0..=3 {
        let at = y(f64::from(tenth) / 10.0);
        let _ = write!(svg, "<path d=\"M{left} {at}H{}\" stroke=\"#d8d0c4\"/>", left + wide);
        text(&mut svg, 24.0, at + 4.0, PALE, &format!("0.{tenth}"));
    }
    for point in points {
        text(&mut svg, x(point.cap_ms) - 8.0, top + high + 18.0, PALE, &point.cap_ms.to_string());
    }
    type Value = fn(&CurvePoint) -> f64;
    let lines: [(&str, &str, Value); 4] = [
        ("spared, Wi-Fi 60", "", |point| point.spared),
        ("spared, steady", "6 4", |point| point.spared_steady),
        ("wrong losers, honest", "2 3", |point| 1.0 - point.honest.loser()),
        ("the same, plain", "8 3 2 3", |point| 1.0 - point.honest_plain.loser()),
    ];
    for (index, (name, dashes, value)) in lines.into_iter().enumerate() {
        let path: Vec<String> = points
            .iter()
            .map(|point| format!("{:.1} {:.1}", x(point.cap_ms), y(value(point))))
            .collect();
        let _ = write!(
            svg,
            "<path d=\"M{}\" fill=\"none\" stroke=\"{INK}\" stroke-width=\"1.6\" stroke-dasharray=\"{dashes}\"/>",
            path.join("L")
        );
        let at = 340.0 + 18.0 * (index / 2) as f64;
        let from = 60.0 + 280.0 * (index % 2) as f64;
        let _ = write!(
            svg,
            "<path d=\"M{from} {0}h40\" stroke=\"{INK}\" stroke-width=\"1.6\" stroke-dasharray=\"{dashes}\"/>",
            at + 14.0
        );
        text(&mut svg, from + 48.0, at + 18.0, INK, name);
    }
    svg.push_str("</svg>\n");
    svg
}

fn open(width: f64, height: f64, title: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" role=\"img\" \
         font-family=\"sans-serif\" font-size=\"13\"><title>{title}</title>\
         <rect width=\"{width}\" height=\"{height}\" fill=\"#fffdf8\"/>"
    )
}

fn text(svg: &mut String, x: f64, y: f64, fill: &str, words: &str) {
    let _ = write!(svg, "<text x=\"{x:.1}\" y=\"{y:.1}\" fill=\"{fill}\">{words}</text>");
}
