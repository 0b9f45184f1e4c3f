//! A reader for the small part of SVG that our drawings use. It is strict: what it does not know
//! is an error and never a guess.

use super::Misread;

/// One marked shape. Lengths that an element does not have are 0.
#[derive(Clone, Debug, Default)]
pub(super) struct Shape {
    /// The `data-part` mark; empty for decoration.
    pub part: String,
    /// Left edge, centre, start of a line, or place of a glyph.
    pub x: f64,
    /// Upper edge, centre, start of a line, or place of a glyph.
    pub y: f64,
    /// End of a line.
    pub x2: f64,
    /// End of a line.
    pub y2: f64,
    pub width: f64,
    pub height: f64,
    /// Radius of a circle.
    pub r: f64,
    /// Stroke width.
    pub pen: f64,
    /// Scale of a glyph.
    pub scale: f64,
    /// Colour of the inside.
    pub fill: String,
    /// Paths of a glyph, or the one of a path.
    pub paths: Vec<String>,
}

impl Shape {
    /// Whether a circle lies wholly inside this rectangle.
    pub(super) fn holds(&self, circle: &Shape) -> bool {
        circle.x - circle.r >= self.x
            && circle.x + circle.r <= self.x + self.width
            && circle.y - circle.r >= self.y
            && circle.y + circle.r <= self.y + self.height
    }

    /// Whether a point lies inside this circle.
    pub(super) fn rings(&self, (x, y): (f64, f64)) -> bool {
        (self.x - x).hypot(self.y - y) < self.r
    }

    /// How far a point lies outside this rectangle; 0 inside.
    pub(super) fn distance_outside(&self, (x, y): (f64, f64)) -> f64 {
        let right = (self.x - x).max(x - self.x - self.width).max(0.0);
        let down = (self.y - y).max(y - self.y - self.height).max(0.0);
        right.hypot(down)
    }

    /// Whether this slanted line crosses an upright one between its ends.
    pub(super) fn crosses_upright(&self, upright: &Shape) -> bool {
        let share = (upright.x - self.x) / (self.x2 - self.x);
        let y = self.y + share * (self.y2 - self.y);
        (0.0..=1.0).contains(&share) && (upright.y..=upright.y2).contains(&y)
    }
}

/// All marked shapes of a drawing.
pub(super) fn shapes(svg: &str) -> Result<Vec<Shape>, Misread> {
    let mut found: Vec<Shape> = Vec::new();
    let mut open: Vec<&str> = Vec::new();
    let mut in_glyph = false;
    for tag in svg.split('<').skip(1) {
        let (tag, text) = tag.split_once('>').ok_or(Misread::Broken("a tag is not closed"))?;
        if !text.is_empty() {
            return Err(Misread::Broken("there is text between tags"));
        }
        if let Some(name) = tag.strip_prefix('/') {
            if open.pop() != Some(name) {
                return Err(Misread::Broken("tags are not nested"));
            }
            in_glyph = in_glyph && name != "g";
            continue;
        }
        let (tag, closed) = match tag.strip_suffix('/') {
            Some(tag) => (tag, true),
            None => (tag, false),
        };
        let (name, attributes) = tag.split_once(' ').unwrap_or((tag, ""));
        match (name, closed) {
            ("svg", false) if open.is_empty() => {}
            ("g", false) => {}
            ("rect" | "circle" | "line" | "path", true) => {}
            _ => return Err(Misread::Broken("an element does not belong on a card")),
        }
        if !closed {
            open.push(name);
        }
        match (name, in_glyph) {
            ("svg", _) => {}
            ("path", true) => {
                let path = attribute(attributes, "d").ok_or(Misread::Broken("a path is empty"))?;
                if let Some(glyph) = found.last_mut() {
                    glyph.paths.push(path.to_owned());
                }
            }
            (_, true) => return Err(Misread::Broken("a letter is made of paths")),
            _ => {
                let shape = shape(attributes)?;
                in_glyph = shape.part == "glyph";
                if !shape.part.is_empty() {
                    found.push(shape);
                }
            }
        }
    }
    if open.is_empty() { Ok(found) } else { Err(Misread::Broken("a tag is left open")) }
}

fn attribute<'a>(attributes: &'a str, name: &str) -> Option<&'a str> {
    let start = format!(r#" {name}=""#);
    let from = format!(" {attributes}").find(&start)? + start.len() - 1;
    attributes[from..].split('"').next()
}

fn shape(attributes: &str) -> Result<Shape, Misread> {
    let length = |names: [&str; 2]| match names.iter().find_map(|name| attribute(attributes, name))
    {
        Some(text) => text.parse().map_err(|_| Misread::Broken("a length is no number")),
        None => Ok(0.0),
    };
    let mut shape = Shape {
        part: attribute(attributes, "data-part").unwrap_or_default().to_owned(),
        x: length(["x", "cx"])? + length(["x1", "x1"])?,
        y: length(["y", "cy"])? + length(["y1", "y1"])?,
        x2: length(["x2", "x2"])?,
        y2: length(["y2", "y2"])?,
        width: length(["width", "width"])?,
        height: length(["height", "height"])?,
        r: length(["r", "r"])?,
        pen: length(["stroke-width", "stroke-width"])?,
        scale: 1.0,
        fill: attribute(attributes, "fill").unwrap_or_default().to_owned(),
        paths: attribute(attributes, "d").map(str::to_owned).into_iter().collect(),
    };
    if let Some(transform) = attribute(attributes, "transform") {
        let numbers: Vec<f64> = transform
            .split(|letter: char| !(letter.is_ascii_digit() || letter == '.' || letter == '-'))
            .filter_map(|number| number.parse().ok())
            .collect();
        let [x, y, scale] = numbers[..] else {
            return Err(Misread::Broken("a transform is not a move and a scale"));
        };
        (shape.x, shape.y, shape.scale) = (x, y, scale);
    }
    Ok(shape)
}
