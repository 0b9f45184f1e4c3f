//! One page to draw on: millimetres from the upper left corner in, points of a PDF out. It knows
//! drawings, lines and words, not what a card or a guide is.

use super::PrintError;
use super::lettering::{Lettering, Pencil};
use crate::limits::print::DRAWING_BYTES_MAX;
use krilla::color::rgb;
use krilla::geom::{PathBuilder, Point, Size, Transform};
use krilla::graphic::Graphic;
use krilla::num::NormalizedF32;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke};
use krilla::surface::Surface;
use krilla_svg::{SurfaceExt as _, SvgSettings};
use std::f64::consts::FRAC_1_SQRT_2;

/// Points of a PDF in one millimetre: 72 to an inch of 25.4 mm.
pub(super) const POINTS: f64 = 72.0 / 25.4;

/// Where something is, or how large, in mm.
pub(super) type At = (f64, f64);

/// Colours of the page itself, dark enough to read and light enough to spare ink.
pub(super) const INK: &str = "#2b2a33";
/// Cut lines: seen by the one who cuts, hardly by the players.
pub(super) const CUT: &str = "#8d8a92";

/// Both thicknesses of the font.
pub(super) struct Letterings {
    fine: Lettering,
    broad: Lettering,
}

impl Letterings {
    pub(super) fn draw() -> Result<Letterings, PrintError> {
        Ok(Letterings {
            fine: Lettering::draw(Pencil::Fine)?,
            broad: Lettering::draw(Pencil::Broad)?,
        })
    }

    fn of(&self, pencil: Pencil) -> &Lettering {
        match pencil {
            Pencil::Fine => &self.fine,
            Pencil::Broad => &self.broad,
        }
    }

    /// Width in mm of a text of this size in points.
    pub(super) fn width(&self, text: &str, pencil: Pencil, size: f64) -> f64 {
        self.of(pencil).width(text) * size / POINTS
    }
}

/// How words look.
#[derive(Clone, Copy)]
pub(super) struct Words {
    pub pencil: Pencil,
    /// In points.
    pub size: f64,
}

/// A page being drawn.
pub(super) struct Page<'a> {
    surface: Surface<'a>,
    letterings: &'a Letterings,
}

impl<'a> Page<'a> {
    pub(super) fn new(surface: Surface<'a>, letterings: &'a Letterings) -> Page<'a> {
        Page { surface, letterings }
    }

    pub(super) fn letterings(&self) -> &'a Letterings {
        self.letterings
    }

    /// A drawing that is stored once and can be placed often, here and on later pages of the same
    /// document. Its size is its viewBox, 1 unit to 1 point.
    pub(super) fn keep(&mut self, svg: &str) -> Result<Graphic, Broken> {
        if svg.len() > DRAWING_BYTES_MAX {
            return Err(Broken("it is too large"));
        }
        // No fonts, no files: a drawing has neither text nor links (`FaceSheet`).
        let mut options = usvg::Options::default();
        options.image_href_resolver.resolve_string = Box::new(|_, _| None);
        let tree = usvg::Tree::from_str(svg, &options).map_err(|_| Broken("it is no SVG"))?;
        let size = Size::from_wh(tree.size().width(), tree.size().height())
            .ok_or(Broken("it has no size"))?;
        let mut kept = self.surface.stream_builder();
        let mut surface = kept.surface();
        let drawn = surface.draw_svg(&tree, size, SvgSettings::default());
        surface.finish();
        drawn.ok_or(Broken("it cannot be drawn"))?;
        Ok(Graphic::new(kept.finish(), false))
    }

    /// Places a kept drawing with its upper left corner here, this many mm to a unit.
    pub(super) fn place(&mut self, graphic: &Graphic, at: At, scale: f64) {
        let scale = (scale * POINTS) as f32;
        let (x, y) = (points(at.0), points(at.1));
        self.surface.push_transform(&Transform::from_row(scale, 0.0, 0.0, scale, x, y));
        self.surface.draw_graphic(graphic.clone());
        self.surface.pop();
    }

    /// A straight line of this width in mm.
    pub(super) fn line(&mut self, from: At, to: At, width: f64, colour: &str) {
        let mut path = PathBuilder::new();
        path.move_to(points(from.0), points(from.1));
        path.line_to(points(to.0), points(to.1));
        self.draw(path, width, colour);
    }

    /// A quarter circle about a centre, on the side that `towards` points to: (-1, -1) is up left.
    pub(super) fn quarter(&mut self, centre: At, radius: f64, towards: At, width: f64, c: &str) {
        // The usual cubic for a quarter circle, off by less than 0.03 % of the radius.
        let handle = 4.0 / 3.0 * (2.0 * FRAC_1_SQRT_2 - 1.0) * radius;
        let (dx, dy) = towards;
        let at = |x: f64, y: f64| (points(centre.0 + dx * x), points(centre.1 + dy * y));
        let (start, one, two, end) =
            (at(radius, 0.0), at(radius, handle), at(handle, radius), at(0.0, radius));
        let mut path = PathBuilder::new();
        path.move_to(start.0, start.1);
        path.cubic_to(one.0, one.1, two.0, two.1, end.0, end.1);
        self.draw(path, width, c);
    }

    fn draw(&mut self, path: PathBuilder, width: f64, colour: &str) {
        let Some(path) = path.finish() else { return };
        self.surface.set_fill(None);
        self.surface.set_stroke(Some(Stroke {
            paint: rgb(colour).into(),
            width: points(width),
            line_cap: LineCap::Butt,
            line_join: LineJoin::Miter,
            ..Stroke::default()
        }));
        self.surface.draw_path(&path);
    }

    /// One line of words whose base line begins here.
    pub(super) fn words(&mut self, text: &str, base: At, words: Words) {
        self.surface.set_stroke(None);
        self.surface.set_fill(Some(Fill {
            paint: rgb(INK).into(),
            opacity: NormalizedF32::ONE,
            rule: FillRule::NonZero,
        }));
        let lettering = self.letterings.of(words.pencil);
        let start = Point::from_xy(points(base.0), points(base.1));
        let glyphs = lettering.set(text);
        let size = words.size as f32;
        self.surface.draw_glyphs(start, &glyphs, lettering.font(), text, size, false);
    }

    /// One line of words, turned about its beginning by this many degrees; -90 runs upwards.
    pub(super) fn words_turned(&mut self, text: &str, base: At, words: Words, degrees: f32) {
        let turn = Transform::from_rotate_at(degrees, points(base.0), points(base.1));
        self.surface.push_transform(&turn);
        self.words(text, base, words);
        self.surface.pop();
    }
}

/// Why a drawing cannot be printed.
pub(super) struct Broken(pub(super) &'static str);

/// Millimetres as points.
pub(super) fn points(millimetres: f64) -> f32 {
    (millimetres * POINTS) as f32
}

/// A colour `#rrggbb`; ink if it is none.
fn rgb(colour: &str) -> rgb::Color {
    let byte = |at| u8::from_str_radix(colour.get(at..at + 2).unwrap_or("2b"), 16).unwrap_or(0x2b);
    rgb::Color::new(byte(1), byte(3), byte(5))
}
