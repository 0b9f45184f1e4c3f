//! Writing a few SVG shapes with presentation attributes alone. A page with a strict content
//! security policy, a print sheet and a plain viewer all draw these alike: no style, no script, no
//! ids, no links, no text.

use std::fmt::Write as _;

/// A length as text: at most two decimals, no trailing zeros, never `-0`.
pub(super) fn number(value: f64) -> String {
    let hundredths = (value * 100.0).round() as i64;
    let (whole, part) = (hundredths.abs() / 100, hundredths.abs() % 100);
    let sign = if hundredths < 0 { "-" } else { "" };
    match part {
        0 => format!("{sign}{whole}"),
        _ if part % 10 == 0 => format!("{sign}{whole}.{}", part / 10),
        _ => format!("{sign}{whole}.{part:02}"),
    }
}

/// A drawing in the making. Coordinates are units of the card's viewBox.
#[derive(Debug, Default)]
pub(super) struct Drawing {
    text: String,
}

/// How a shape looks: its fill, its stroke and the stroke's width.
#[derive(Clone, Copy, Debug)]
pub(super) struct Paint {
    pub fill: &'static str,
    pub stroke: &'static str,
    pub width: f64,
}

impl Paint {
    pub(super) const fn line(stroke: &'static str, width: f64) -> Paint {
        Paint { fill: "none", stroke, width }
    }
    pub(super) const fn fill(fill: &'static str) -> Paint {
        Paint { fill, stroke: "none", width: 0.0 }
    }

    /// Every stroke has round ends and joins, like a crayon.
    fn attributes(self) -> String {
        let mut text = format!(r#" fill="{}""#, self.fill);
        if self.stroke != "none" {
            let _ = write!(
                text,
                r#" stroke="{}" stroke-width="{}" stroke-linecap="round" stroke-linejoin="round""#,
                self.stroke,
                number(self.width)
            );
        }
        text
    }
}

/// Marks a shape as one that is counted; decoration carries no mark.
fn marked(part: &str) -> String {
    if part.is_empty() { String::new() } else { format!(r#" data-part="{part}""#) }
}

impl Drawing {
    /// A rectangle by its upper left corner, with rounded corners of this radius.
    pub(super) fn rect(&mut self, part: &str, at: (f64, f64), size: (f64, f64), r: f64, p: Paint) {
        let round = if r > 0.0 { format!(r#" rx="{}""#, number(r)) } else { String::new() };
        let _ = write!(
            self.text,
            r#"<rect{} x="{}" y="{}" width="{}" height="{}"{round}{}/>"#,
            marked(part),
            number(at.0),
            number(at.1),
            number(size.0),
            number(size.1),
            p.attributes()
        );
    }

    pub(super) fn circle(&mut self, part: &str, centre: (f64, f64), radius: f64, p: Paint) {
        let _ = write!(
            self.text,
            r#"<circle{} cx="{}" cy="{}" r="{}"{}/>"#,
            marked(part),
            number(centre.0),
            number(centre.1),
            number(radius),
            p.attributes()
        );
    }

    pub(super) fn line(&mut self, part: &str, from: (f64, f64), to: (f64, f64), p: Paint) {
        let _ = write!(
            self.text,
            r#"<line{} x1="{}" y1="{}" x2="{}" y2="{}"{}/>"#,
            marked(part),
            number(from.0),
            number(from.1),
            number(to.0),
            number(to.1),
            p.attributes()
        );
    }

    pub(super) fn path(&mut self, part: &str, d: &str, p: Paint) {
        let _ = write!(self.text, r#"<path{} d="{d}"{}/>"#, marked(part), p.attributes());
    }

    /// A line of evenly spaced short dashes.
    pub(super) fn dashed(&mut self, from: (f64, f64), to: (f64, f64), dash: f64, p: Paint) {
        let _ = write!(
            self.text,
            r#"<line x1="{}" y1="{}" x2="{}" y2="{}" stroke-dasharray="{} {}"{}/>"#,
            number(from.0),
            number(from.1),
            number(to.0),
            number(to.1),
            number(dash),
            number(dash * 1.5),
            p.attributes()
        );
    }

    /// One letter or digit: its strokes on the em grid, moved and scaled onto the card.
    pub(super) fn glyph(&mut self, strokes: &[&str], at: (f64, f64), scale: f64, p: Paint) {
        let _ = write!(
            self.text,
            r#"<g data-part="glyph" transform="translate({} {}) scale({})"{}>"#,
            number(at.0),
            number(at.1),
            number(scale),
            p.attributes()
        );
        for stroke in strokes {
            let _ = write!(self.text, r#"<path d="{stroke}"/>"#);
        }
        self.text.push_str("</g>");
    }

    /// A ready picture, moved and scaled onto the card.
    pub(super) fn picture(&mut self, shapes: &str, at: (f64, f64), scale: f64) {
        let _ = write!(
            self.text,
            r#"<g data-part="picture" transform="translate({} {}) scale({})">{shapes}</g>"#,
            number(at.0),
            number(at.1),
            number(scale)
        );
    }

    /// A PNG file in base64, which must be checked to be no more than that.
    pub(super) fn image(&mut self, part: &str, at: (f64, f64), size: (f64, f64), base64: &str) {
        let _ = write!(
            self.text,
            r#"<image{} x="{}" y="{}" width="{}" height="{}" href="data:image/png;base64,{base64}"/>"#,
            marked(part),
            number(at.0),
            number(at.1),
            number(size.0),
            number(size.1)
        );
    }

    pub(super) fn into_text(self) -> String {
        self.text
    }
}
