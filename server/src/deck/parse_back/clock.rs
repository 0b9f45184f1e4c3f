//! Reads a clock with hands: the longer and thinner one shows the minute, the other must stand where
//! the hour is at that minute.

use super::scan::Shape;
use super::{NEAR, parts, print};
use crate::deck::alphabet::Hand;
use crate::deck::shown::Time;

pub(super) fn hands(shapes: &[Shape]) -> Result<Time, &'static str> {
    let mut hands = parts(shapes, "hand");
    hands.sort_by(|one, other| length(one).total_cmp(&length(other)));
    let [short, long] = hands[..] else { return Err("a clock has two hands") };
    if length(long) < length(short) * 1.25 || long.pen >= short.pen {
        return Err("the hour hand is the shorter and thicker one");
    }
    if (short.x - long.x).hypot(short.y - long.y) > NEAR {
        return Err("the hands do not turn around one centre");
    }
    numerals(shapes, (short.x, short.y))?;
    let turn = degrees((short.x, short.y), (long.x2, long.y2)) / 6.0;
    let minute = turn.round();
    // Drawings are rounded to hundredths: far less than half a degree at the end of a hand.
    if (turn - minute).abs() * 6.0 > 0.5 {
        return Err("the minute hand stands between two minutes");
    }
    let minute = minute.rem_euclid(60.0);
    let place = degrees((short.x, short.y), (short.x2, short.y2)) / 30.0 - minute / 60.0;
    if (place - place.round()).abs() * 30.0 > 0.5 {
        return Err("the hour hand does not go with the minute hand");
    }
    let hour = place.round().rem_euclid(12.0) as u8;
    Ok(Time { hour: if hour == 0 { 12 } else { hour }, minute: minute as u8 })
}

fn length(hand: &Shape) -> f64 {
    (hand.x2 - hand.x).hypot(hand.y2 - hand.y)
}

/// Clockwise from straight up.
fn degrees(centre: (f64, f64), point: (f64, f64)) -> f64 {
    (point.0 - centre.0).atan2(centre.1 - point.1).to_degrees().rem_euclid(360.0)
}

/// All twelve numerals, each in its own direction.
fn numerals(shapes: &[Shape], centre: (f64, f64)) -> Result<(), &'static str> {
    let mut places: Vec<Vec<&Shape>> = vec![Vec::new(); 12];
    for glyph in parts(shapes, "glyph") {
        let at = print::centre(glyph).ok_or("strokes that are no letter")?;
        let direction = (degrees(centre, at) / 30.0).round() as usize % 12;
        places[direction].push(glyph);
    }
    for (direction, glyphs) in places.iter().enumerate() {
        let hour = if direction == 0 { 12 } else { direction };
        if print::text_of(Hand::Manuscript, glyphs)? != hour.to_string() {
            return Err("a numeral is missing or stands elsewhere");
        }
    }
    Ok(())
}
