//! The project's alphabet as a font, made in memory, so that the words of a print sheet are real
//! text: they can be selected, searched and read aloud, and they look like the letters on the
//! cards. It knows shapes and widths, not lines or pages.

use super::PrintError;
use super::signs::{SIGNS, UNDRAWN};
use crate::deck::alphabet::{self, BASE, DESCENDER, Glyph, Hand, TOP};
use krilla::text::{Font, GlyphId, KrillaGlyph};
use kurbo::{BezPath, Cap, Join, PathEl, Point, Stroke, StrokeOpts};
use std::collections::BTreeMap;
use std::ops::Range;
use unicode_normalization::UnicodeNormalization as _;
use unicode_normalization::char::is_combining_mark;
use write_fonts::FontBuilder;
use write_fonts::OffsetMarker;
use write_fonts::tables::glyf::{GlyfLocaBuilder, Glyph as FontGlyph, SimpleGlyph};
use write_fonts::tables::head::Head;
use write_fonts::tables::hhea::Hhea;
use write_fonts::tables::hmtx::{Hmtx, LongMetric};
use write_fonts::tables::loca::LocaFormat;
use write_fonts::tables::maxp::Maxp;
use write_fonts::tables::name::{Name, NameRecord};
use write_fonts::types::{FWord, NameId, UfWord};

/// Units of the font for one unit of the alphabet's grid: capitals are 0.7 em tall, as in most
/// fonts (common practice, no source), and with the descenders a line is 1.05 em.
const UNITS: f64 = 7.0;
/// Units of one em.
const EM: u16 = 1000;
/// Running text is set closer than letters on writing lines.
const SPACING: f64 = 0.78;
/// How far an outline may stray from the stroke's true edge, in units of the font.
const STRAY: f64 = 0.3;

/// Two thicknesses of the pencil.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Pencil {
    /// Running text.
    Fine,
    /// Headings.
    Broad,
}

impl Pencil {
    /// Width of the stroke on the alphabet's grid.
    fn width(self) -> f64 {
        match self {
            Pencil::Fine => 11.0,
            Pencil::Broad => 18.0,
        }
    }

    /// PostScript names have no spaces.
    fn name(self) -> &'static str {
        match self {
            Pencil::Fine => "HandroundPrint-Fine",
            Pencil::Broad => "HandroundPrint-Broad",
        }
    }
}

/// What the cards' alphabet has, but for a sign that paper draws in its own way, and the signs.
fn drawn() -> impl Iterator<Item = &'static Glyph> {
    let is_sign = |glyph: &&Glyph| SIGNS.iter().any(|sign| sign.character == glyph.character);
    Hand::Manuscript.glyphs().filter(move |glyph| !is_sign(glyph)).chain(&SIGNS)
}

/// The character whose glyph stands for this one.
fn drawn_as(character: char) -> char {
    match character {
        '\u{2bc}' => '’',
        '\u{2010}'..='\u{2014}' | '\u{ad}' => '-',
        '\u{a0}' | '\u{202f}' => ' ',
        other => other,
    }
}

/// A text as it is written: what belongs to each letter, and the letter itself with all its marks;
/// `None` where Unicode has no single character for them.
fn letters(text: &str) -> impl Iterator<Item = (Range<usize>, Option<char>)> {
    let starts = text.char_indices().filter(|(at, sign)| *at == 0 || !is_combining_mark(*sign));
    let mut starts = starts.map(|(at, _)| at).peekable();
    std::iter::from_fn(move || {
        let start = starts.next()?;
        let range = start..starts.peek().copied().unwrap_or(text.len());
        let mut composed = text[range.clone()].nfc();
        let letter = composed.next().filter(|_| composed.next().is_none());
        Some((range, letter.map(drawn_as)))
    })
}

/// Whether paper shows all of a text; for what it cannot show it has a line to write on by hand.
pub(super) fn shows(text: &str) -> bool {
    letters(text).all(|(_, letter)| {
        letter.is_some_and(|letter| {
            letter != UNDRAWN
                && (alphabet::glyph(Hand::Manuscript, letter).is_some()
                    || SIGNS.iter().any(|sign| sign.character == letter))
        })
    })
}

/// The font in one thickness of the pencil.
pub(super) struct Lettering {
    font: Font,
    /// Glyph number and advance in em of each character.
    glyphs: BTreeMap<char, (u32, f64)>,
}

impl Lettering {
    /// Draws the font.
    pub(super) fn draw(pencil: Pencil) -> Result<Lettering, PrintError> {
        let drawn: Vec<&Glyph> = drawn().collect();
        let built = build(&drawn, pencil).map_err(|error| PrintError::Font(error.to_string()))?;
        let font = Font::new(built.into(), 0)
            .ok_or_else(|| PrintError::Font("the font is not well formed".to_owned()))?;
        let numbered = drawn.iter().zip(1..);
        let glyphs = numbered.map(|(glyph, id)| (glyph.character, (id, advance(glyph)))).collect();
        Ok(Lettering { font, glyphs })
    }

    pub(super) fn font(&self) -> Font {
        self.font.clone()
    }

    /// Glyph number and advance of a letter; one that nobody has drawn becomes a line to write on, while
    /// the text behind it stays what it was.
    fn glyph(&self, letter: Option<char>) -> (u32, f64) {
        let drawn = letter.and_then(|letter| self.glyphs.get(&letter));
        drawn.or_else(|| self.glyphs.get(&UNDRAWN)).copied().unwrap_or((0, 0.0))
    }

    /// Width of a text in em.
    pub(super) fn width(&self, text: &str) -> f64 {
        letters(text).map(|(_, letter)| self.glyph(letter).1).sum()
    }

    /// The glyphs of a text, for krilla.
    pub(super) fn set(&self, text: &str) -> Vec<KrillaGlyph> {
        let glyph = |(range, letter)| {
            let (id, advance) = self.glyph(letter);
            KrillaGlyph::new(GlyphId::new(id), advance as f32, 0.0, 0.0, 0.0, range, None)
        };
        letters(text).map(glyph).collect()
    }
}

fn advance(glyph: &Glyph) -> f64 {
    let grid = (glyph.left + glyph.right) * SPACING + glyph.width;
    (grid * UNITS).round() / f64::from(EM)
}

/// The outline of a glyph in units of the font, y upwards from the base line.
fn outline(glyph: &Glyph, pencil: Pencil) -> BezPath {
    let pen = Stroke::new(pencil.width() * UNITS).with_caps(Cap::Round).with_join(Join::Round);
    let mut outline = BezPath::new();
    for stroke in glyph.strokes {
        let place = |point: Point| {
            let x = point.x + glyph.left * SPACING;
            Point::new(x * UNITS, (BASE - point.y) * UNITS)
        };
        // The alphabet's strokes are constants that a test parses; a broken one draws nothing.
        let Ok(mut path) = BezPath::from_svg(stroke) else { continue };
        for element in path.elements_mut() {
            *element = map(*element, place);
        }
        let edge = kurbo::stroke(path, &pen, &StrokeOpts::default(), STRAY);
        push_as_quadratics(&mut outline, &edge);
    }
    outline
}

fn map(element: PathEl, place: impl Fn(Point) -> Point) -> PathEl {
    match element {
        PathEl::MoveTo(p) => PathEl::MoveTo(place(p)),
        PathEl::LineTo(p) => PathEl::LineTo(place(p)),
        PathEl::QuadTo(a, p) => PathEl::QuadTo(place(a), place(p)),
        PathEl::CurveTo(a, b, p) => PathEl::CurveTo(place(a), place(b), place(p)),
        PathEl::ClosePath => PathEl::ClosePath,
    }
}

/// TrueType outlines have quadratic curves only.
fn push_as_quadratics(to: &mut BezPath, edge: &BezPath) {
    let mut last = Point::ZERO;
    for element in edge.elements() {
        if let PathEl::CurveTo(a, b, end) = *element {
            for (_, _, quadratic) in kurbo::CubicBez::new(last, a, b, end).to_quads(STRAY) {
                to.quad_to(quadratic.p1, quadratic.p2);
            }
        } else {
            to.push(*element);
        }
        last = element.end_point().unwrap_or(last);
    }
}

/// A font file with what a PDF needs: outlines, widths, a name. Glyph 0 is the empty one that the
/// format asks for.
fn build(drawn: &[&Glyph], pencil: Pencil) -> Result<Vec<u8>, Box<dyn std::error::Error>> {
    let mut outlines = GlyfLocaBuilder::new();
    outlines.add_glyph(&FontGlyph::Empty)?;
    let mut metrics = vec![LongMetric::new(EM / 2, 0)];
    let mut head = Head { units_per_em: EM, ..Head::default() };
    for glyph in drawn {
        let outline = outline(glyph, pencil);
        let mut left = 0;
        if outline.elements().is_empty() {
            outlines.add_glyph(&FontGlyph::Empty)?;
        } else {
            let simple = SimpleGlyph::from_bezpath(&outline).map_err(|e| format!("{e:?}"))?;
            left = simple.bbox.x_min;
            head.x_min = head.x_min.min(simple.bbox.x_min);
            head.y_min = head.y_min.min(simple.bbox.y_min);
            head.x_max = head.x_max.max(simple.bbox.x_max);
            head.y_max = head.y_max.max(simple.bbox.y_max);
            outlines.add_glyph(&simple)?;
        }
        metrics.push(LongMetric::new((advance(glyph) * f64::from(EM)).round() as u16, left));
    }
    let (glyf, loca, format) = outlines.build();
    head.index_to_loc_format = i16::from(format == LocaFormat::Long);
    let count = u16::try_from(metrics.len())?;
    let widest = metrics.iter().map(|metric| metric.advance).max().unwrap_or(EM);
    let hhea = Hhea {
        ascender: FWord::new(((BASE - TOP) * UNITS) as i16),
        descender: FWord::new(((BASE - DESCENDER) * UNITS) as i16),
        advance_width_max: UfWord::new(widest),
        caret_slope_rise: 1,
        number_of_h_metrics: count,
        ..Hhea::default()
    };
    // Version 1.0, which outlines need; the limits that a hinting program would use are 0.
    let maxp = Maxp {
        num_glyphs: count,
        max_points: Some(0),
        max_contours: Some(0),
        max_composite_points: Some(0),
        max_composite_contours: Some(0),
        max_zones: Some(1),
        max_twilight_points: Some(0),
        max_storage: Some(0),
        max_function_defs: Some(0),
        max_instruction_defs: Some(0),
        max_stack_elements: Some(0),
        max_size_of_instructions: Some(0),
        max_component_elements: Some(0),
        max_component_depth: Some(0),
    };
    // Windows, Unicode, US English.
    let record = |id| NameRecord::new(3, 1, 0x409, id, OffsetMarker::new(pencil.name().to_owned()));
    let name = Name::new(vec![record(NameId::FAMILY_NAME), record(NameId::POSTSCRIPT_NAME)]);
    let mut font = FontBuilder::new();
    font.add_table(&head)?.add_table(&hhea)?.add_table(&maxp)?.add_table(&name)?;
    font.add_table(&Hmtx::new(metrics, Vec::new()))?.add_table(&glyf)?.add_table(&loca)?;
    Ok(font.build())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_stroke_of_the_alphabet_and_of_the_signs_has_an_outline() {
        for glyph in drawn() {
            for stroke in glyph.strokes {
                assert!(BezPath::from_svg(stroke).is_ok(), "{}: {stroke}", glyph.character);
            }
            let outline = outline(glyph, Pencil::Fine);
            assert_eq!(outline.is_empty(), glyph.strokes.is_empty());
        }
    }

    #[test]
    fn names_of_many_languages_are_spelt_with_their_marks() {
        let lettering = Lettering::draw(Pencil::Broad).expect("a font");
        let line = lettering.glyphs[&UNDRAWN].0;
        for name in [
            "José",
            "Núñez",
            "Françoise",
            "Åse",
            "Šárka",
            "João",
            "Strauß",
            "Søren",
            "Łukasz",
            "Ștefan",
            "Şerife",
            "Đorđe",
            "Þór",
            "Nguyễn Thị Hằng",
            "Ọlábísí",
            "Ķēniņš",
            "O’Neil",
            "O\u{2bc}Neil",
            "Anne\u{2011}Marie",
            "\u{2bb}Iolani",
            "Jose\u{301}",
        ] {
            let glyphs = lettering.set(name);
            assert!(
                shows(name) && glyphs.iter().all(|one| one.glyph_id.to_u32() != line),
                "{name}"
            );
            let ends: Vec<usize> = glyphs.iter().map(|glyph| glyph.text_range.end).collect();
            assert!(ends.is_sorted() && ends.last() == Some(&name.len()), "{name}: {ends:?}");
        }
    }

    /// A name may come with its marks apart, as some systems store it: the letter is the same.
    #[test]
    fn marks_apart_are_set_as_one_letter() {
        let lettering = Lettering::draw(Pencil::Fine).expect("a font");
        let ids =
            |text| lettering.set(text).iter().map(|one| one.glyph_id.to_u32()).collect::<Vec<_>>();
        assert_eq!(ids("Zoe\u{308}"), ids("Zoë"));
        assert!((lettering.width("Zoe\u{308}") - lettering.width("Zoë")).abs() < 1e-9);
    }

    #[test]
    fn a_letter_that_nobody_has_drawn_is_a_line_to_write_on_and_its_text_stays() {
        let lettering = Lettering::draw(Pencil::Fine).expect("a font");
        let glyphs = lettering.set("a\u{540d}b");
        let line = lettering.glyphs[&UNDRAWN].0;
        let ids: Vec<_> = glyphs.iter().map(|glyph| glyph.glyph_id.to_u32()).collect();
        assert_eq!(ids[1], line);
        assert!(ids[0] != line && ids[2] != line && glyphs[1].text_range == (1..4));
        assert!(!shows("a\u{540d}b") && shows("ab") && !shows("\u{25a1}"));
    }
}
