//! Reads a drawing that a teacher sends, and paints it. Only plain shapes are allowed, a list of what a
//! drawing may have and not of what it may not; every element is counted as often as it would be drawn,
//! so that a small file cannot be endless work.

use super::picture::PictureFault;
use crate::limits::own::{SVG_BYTES_MAX, SVG_DEPTH_MAX, SVG_DRAWN_BYTES_MAX, SVG_ELEMENTS_MAX};
use image::RgbaImage;
use resvg::tiny_skia::{Pixmap, Transform};
use std::collections::BTreeMap;
use usvg::Tree;
use usvg::roxmltree::{Document, Node, ParsingOptions};

const SVG: &str = "http://www.w3.org/2000/svg";

/// Elements of a drawing. Text is missing since it would need the teacher's fonts, patterns and filters
/// since they can be endless work, pictures and links since they reach elsewhere.
const ELEMENTS: [&str; 22] = [
    "svg",
    "g",
    "defs",
    "title",
    "desc",
    "metadata",
    "style",
    "symbol",
    "use",
    "path",
    "rect",
    "circle",
    "ellipse",
    "line",
    "polyline",
    "polygon",
    "linearGradient",
    "radialGradient",
    "stop",
    "clipPath",
    "mask",
    "switch",
];

/// What a style sheet may not have: other files, and what makes elements refer to each other where the
/// count does not see it.
const STYLES: [&str; 7] =
    ["@import", "@font-face", "clip-path", "mask", "filter", "marker", "stroke-dasharray"];

/// Attributes that are endless work in a short text.
const ATTRIBUTES: [&str; 2] = ["stroke-dasharray", "filter"];

/// Reads a drawing.
pub(super) fn parse(file: &[u8]) -> Result<Tree, PictureFault> {
    let text = std::str::from_utf8(file).map_err(|_| PictureFault::UnknownFormat)?;
    if !text.contains("<svg") && !text.contains(":svg") {
        return Err(PictureFault::UnknownFormat);
    }
    if file.len() > SVG_BYTES_MAX {
        return Err(PictureFault::DrawingTooLarge);
    }
    let text = without_doctype(text)?;
    let elements_max = u32::try_from(8 * SVG_ELEMENTS_MAX).unwrap_or(u32::MAX);
    // Entities need a document type, so there are none, neither outside ones nor a billion laughs.
    let options =
        ParsingOptions { allow_dtd: false, nodes_limit: elements_max, ..ParsingOptions::default() };
    let document = Document::parse_with_options(&text, options).map_err(|error| match error {
        usvg::roxmltree::Error::NodesLimitReached => PictureFault::TooManyParts,
        _ => PictureFault::NotSvg,
    })?;
    let root = document.root_element();
    if !root.has_tag_name((SVG, "svg")) {
        return Err(PictureFault::NotSvg);
    }
    for node in document.descendants().filter(Node::is_element) {
        check(&node)?;
    }
    let named = document.descendants().filter_map(|node| Some((node.attribute("id")?, node)));
    let mut count = Count { named: named.collect(), elements: 0, bytes: 0 };
    count.follow(root, 0)?;
    let mut options = usvg::Options::default();
    options.image_href_resolver.resolve_string = Box::new(|_, _| None);
    options.image_href_resolver.resolve_data = Box::new(|_, _, _| None);
    Tree::from_xmltree(&document, &options).map_err(|_| PictureFault::NotSvg)
}

/// Older drawing programs write a document type that names a public one; nothing is lost without it. One
/// with declarations of its own is refused.
fn without_doctype(text: &str) -> Result<String, PictureFault> {
    let Some(start) = text.find("<!DOCTYPE") else { return Ok(text.to_owned()) };
    let end = text[start..].find(['>', '[']).map(|end| start + end).ok_or(PictureFault::NotSvg)?;
    if text[end..].starts_with('[') {
        return Err(PictureFault::NotAllowed { what: "DOCTYPE".to_owned() });
    }
    Ok(format!("{}{}", &text[..start], &text[end + 1..]))
}

fn check(node: &Node<'_, '_>) -> Result<(), PictureFault> {
    let not_allowed =
        |what: &str| Err(PictureFault::NotAllowed { what: what.chars().take(30).collect() });
    // What drawing programs note for themselves is never drawn.
    if node.tag_name().namespace() != Some(SVG) {
        return Ok(());
    }
    let name = node.tag_name().name();
    if !ELEMENTS.contains(&name) {
        return not_allowed(name);
    }
    if name == "style" {
        let sheet: String = node.text().unwrap_or_default().split_whitespace().collect();
        let sheet = sheet.to_lowercase().replace("stroke-dasharray:none", "");
        if let Some(unwanted) = STYLES.into_iter().find(|unwanted| sheet.contains(unwanted)) {
            return not_allowed(unwanted);
        }
    }
    let style = node.attribute("style").unwrap_or_default().split(';');
    let style = style.filter_map(|declaration| declaration.split_once(':'));
    let attributes = node.attributes().map(|attribute| (attribute.name(), attribute.value()));
    for (name, value) in attributes.chain(style) {
        let (name, value) = (name.trim(), value.trim());
        if ATTRIBUTES.contains(&name) && value != "none" {
            return not_allowed(name);
        }
        if name.get(..2).is_some_and(|start| start.eq_ignore_ascii_case("on")) {
            return not_allowed(name);
        }
        if name == "href" && !value.starts_with('#') {
            return Err(PictureFault::Link);
        }
        for (at, _) in value.match_indices("url(") {
            if !value[at + 4..].trim_start_matches([' ', '\'', '"']).starts_with('#') {
                return Err(PictureFault::Link);
            }
        }
    }
    Ok(())
}

/// How much there is to draw, with references followed.
struct Count<'a, 'input> {
    named: BTreeMap<&'a str, Node<'a, 'input>>,
    elements: usize,
    bytes: usize,
}

impl<'a, 'input> Count<'a, 'input> {
    /// Counts an element and all that it leads to. Its work is bounded by what it counts.
    fn follow(&mut self, node: Node<'a, 'input>, depth: usize) -> Result<(), PictureFault> {
        if depth > SVG_DEPTH_MAX {
            return Err(PictureFault::TooDeep);
        }
        self.elements += 1;
        self.bytes += node.attributes().map(|attribute| attribute.value().len()).sum::<usize>();
        if self.elements > SVG_ELEMENTS_MAX || self.bytes > SVG_DRAWN_BYTES_MAX {
            return Err(PictureFault::TooManyParts);
        }
        for attribute in node.attributes() {
            for target in references(attribute.name(), attribute.value()) {
                if let Some(target) = self.named.get(target).copied() {
                    self.follow(target, depth + 1)?;
                }
            }
        }
        for child in node.children().filter(Node::is_element) {
            self.follow(child, depth + 1)?;
        }
        Ok(())
    }
}

/// The ids that an attribute refers to.
fn references<'a>(name: &str, value: &'a str) -> Vec<&'a str> {
    if name == "href" {
        return value.trim().strip_prefix('#').into_iter().collect();
    }
    let after = |(at, _): (usize, &str)| {
        let rest = value[at + 4..].trim_start_matches([' ', '\'', '"']).strip_prefix('#')?;
        rest.split([')', '\'', '"', ' ']).next()
    };
    value.match_indices("url(").filter_map(after).collect()
}

/// Paints a drawing with its longer side in pixels.
pub(super) fn draw(tree: &Tree, side: u32) -> Result<RgbaImage, PictureFault> {
    let size = tree.size();
    let longer = size.width().max(size.height());
    if !(longer.is_finite() && longer > 0.0) {
        return Err(PictureFault::NotSvg);
    }
    let scale = side as f32 / longer;
    let pixels = |length: f32| ((length * scale).round() as u32).clamp(1, side);
    let (width, height) = (pixels(size.width()), pixels(size.height()));
    let mut pixmap = Pixmap::new(width, height).ok_or(PictureFault::TooManyPixels)?;
    resvg::render(tree, Transform::from_scale(scale, scale), &mut pixmap.as_mut());
    let bytes = pixmap.pixels().iter().flat_map(|pixel| {
        let colour = pixel.demultiply();
        [colour.red(), colour.green(), colour.blue(), colour.alpha()]
    });
    RgbaImage::from_raw(width, height, bytes.collect()).ok_or(PictureFault::Broken)
}
