//! Clock faces with hands, and a clock of digits. The minute hand stands at 6 degrees a minute; the
//! hour hand moves on with it, 30 degrees an hour and half a degree a minute, so that at 10:30 it is
//! half-way between 10 and 11. It is the shorter and thicker one. All twelve numerals are there.

use super::paper::{BERRY, CENTRE_X, CENTRE_Y, INK, LEAF, PAPER, SOFT_INK, WOOD};
use super::print;
use crate::deck::shown::Time;
use crate::deck::svg::{Drawing, Paint};

/// How one style of clock looks; lengths in units of the card.
struct Look {
    numerals_radius: f64,
    numeral_height: f64,
    /// Outer and inner radius of the marks.
    marks: (f64, f64),
    hour: (f64, f64),
    minute: (f64, f64),
    minute_colour: &'static str,
}

const ROUND: Look = Look {
    numerals_radius: 82.0,
    numeral_height: 19.0,
    marks: (103.0, 96.0),
    hour: (44.0, 10.0),
    minute: (68.0, 5.5),
    minute_colour: INK,
};

const SQUARE: Look = Look {
    numerals_radius: 74.0,
    numeral_height: 15.0,
    marks: (98.0, 90.0),
    hour: (37.0, 8.0),
    minute: (62.0, 4.5),
    minute_colour: BERRY,
};

pub(super) fn round(to: &mut Drawing, time: Time) -> Option<()> {
    to.circle("", (CENTRE_X, CENTRE_Y), 107.0, Paint { fill: PAPER, stroke: INK, width: 5.0 });
    face(to, &ROUND, time, 5)
}

pub(super) fn square(to: &mut Drawing, time: Time) -> Option<()> {
    let frame = Paint { fill: WOOD, stroke: INK, width: 4.0 };
    to.rect("", (15.0, CENTRE_Y - 110.0), (220.0, 220.0), 26.0, frame);
    to.circle("", (CENTRE_X, CENTRE_Y), 102.0, Paint { fill: PAPER, stroke: SOFT_INK, width: 2.0 });
    face(to, &SQUARE, time, 1)
}

/// A place at an angle clockwise from twelve.
fn at(degrees: f64, radius: f64) -> (f64, f64) {
    let (sin, cos) = degrees.to_radians().sin_cos();
    (CENTRE_X + radius * sin, CENTRE_Y - radius * cos)
}

fn face(to: &mut Drawing, look: &Look, time: Time, marks_every: u16) -> Option<()> {
    for minute in (0..60).step_by(usize::from(marks_every)) {
        let (degrees, full) = (f64::from(minute) * 6.0, minute % 5 == 0);
        let (inner, pen) = if full { (look.marks.1, 3.0) } else { (look.marks.0 - 3.0, 1.4) };
        to.line("", at(degrees, inner), at(degrees, look.marks.0), Paint::line(SOFT_INK, pen));
    }
    for hour in 1..=12_u8 {
        let place = at(f64::from(hour) * 30.0, look.numerals_radius);
        print::label(to, &hour.to_string(), place, look.numeral_height, INK)?;
    }
    let minute = f64::from(time.minute);
    let hour = f64::from(time.hour % 12) * 30.0 + minute / 2.0;
    let centre = (CENTRE_X, CENTRE_Y);
    let paint = Paint::line(look.minute_colour, look.minute.1);
    to.line("hand", centre, at(minute * 6.0, look.minute.0), paint);
    to.line("hand", centre, at(hour, look.hour.0), Paint::line(INK, look.hour.1));
    to.circle("", centre, 7.0, Paint::fill(INK));
    Some(())
}

/// A little clock of digits on feet.
pub(super) fn digital(to: &mut Drawing, time: Time) -> Option<()> {
    for x in [68.0, 182.0] {
        to.line("", (x, CENTRE_Y + 60.0), (x, CENTRE_Y + 72.0), Paint::line(INK, 12.0));
    }
    let case = Paint { fill: LEAF, stroke: INK, width: 4.0 };
    to.rect("", (14.0, CENTRE_Y - 66.0), (222.0, 128.0), 26.0, case);
    let glass = Paint { fill: PAPER, stroke: INK, width: 3.0 };
    to.rect("", (28.0, CENTRE_Y - 50.0), (194.0, 96.0), 12.0, glass);
    let text = format!("{}:{:02}", time.hour, time.minute);
    print::label(to, &text, (CENTRE_X, CENTRE_Y - 2.0), 54.0, INK)
}
