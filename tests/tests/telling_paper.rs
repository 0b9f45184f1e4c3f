//! A telling on paper, read by poppler: all of its words in their order, over as many pages as they need,
//! within the margins, and bars where they say.
#![allow(clippy::unwrap_used)]

use handround_server::deck::print::{Paper, telling_pdf};
use handround_server::telling::{Bar, Block, Item, Row, Telling};
use handround_tests::paper::Pdf;

const FOOT: &str = "Not for grades, referral or placement.";

fn row(about: &str, bar: Option<Bar>) -> Row {
    Row {
        about: about.to_owned(),
        leads: None,
        of: "Numbers 1 to 20".to_owned(),
        bar,
        words: "not yet steady".to_owned(),
        count: "9 of 14".to_owned(),
    }
}

/// Long enough for three pages; every part has a number to find it by.
fn told() -> Telling {
    let bar = Bar { least: 0.25, seen: 0.5, greatest: 0.75 };
    let mut blocks = vec![Block::Rows(vec![row("José Núñez", Some(bar))])];
    for part in 0..14 {
        blocks.push(Block::Heading(format!("Heading {part}")));
        blocks.push(Block::Text(format!("Text {part} {}", "and some more words ".repeat(9))));
        blocks
            .push(Block::Rows((0..3).map(|one| row(&format!("Row {part} {one}"), None)).collect()));
        let item = Item { about: format!("Item {part}"), says: "says so".to_owned(), leads: None };
        blocks.push(Block::Items(vec![item]));
    }
    let cautions = vec!["Look with your own eyes first.".to_owned()];
    Telling { title: "Acorn class".to_owned(), cautions, blocks }
}

#[test]
fn every_part_is_printed_once_in_its_order_within_the_margins() {
    for paper in [Paper::A4, Paper::Letter] {
        let bytes = telling_pdf(&told(), "Practice report", FOOT, paper).unwrap();
        if let Some(folder) = std::env::var_os("HANDROUND_KEEP_PDF") {
            let file = std::path::Path::new(&folder).join(format!("telling-{paper:?}.pdf"));
            std::fs::write(file, &bytes).unwrap();
        }
        let pdf = Pdf::of(&bytes).unwrap();
        let pages = pdf.pages().unwrap();
        assert!((3..=5).contains(&pages), "{pages}");
        let (width, height) = paper.size();
        let points = 72.0 / 25.4;
        let mut found = Vec::new();
        for page in 1..=pages {
            let boxes = pdf.boxes(page).unwrap();
            for (word, [left, top, right, bottom]) in &boxes {
                let inside = *left >= 19.5 * points && *right <= (width - 19.5) * points;
                assert!(inside, "{paper:?} page {page}: {word} from {left} to {right}");
                assert!(*top >= 12.0 * points && *bottom <= (height - 5.0) * points, "{word}");
            }
            let words: Vec<&str> = boxes.iter().map(|(word, _)| word.as_str()).collect();
            let text = words.join(" ");
            assert!(text.contains(FOOT), "{text}");
            assert!(text.contains(&format!("page {page} of {pages}")), "{text}");
            // The last thing above the foot is never a heading.
            let above = text.split(FOOT).next().unwrap().trim_end();
            let last: Vec<&str> = above.rsplitn(3, ' ').collect();
            assert_ne!(last[1], "Heading", "{above}");
            for pair in
                words.windows(2).filter(|pair| ["Heading", "Text", "Item"].contains(&pair[0]))
            {
                found.push(format!("{} {}", pair[0], pair[1].trim_end_matches(':')));
            }
        }
        let parts = (0..14)
            .flat_map(|part| ["Heading", "Text", "Item"].map(|name| format!("{name} {part}")));
        assert_eq!(found, parts.collect::<Vec<_>>());
        assert!(pdf.words(1).unwrap().contains("José Núñez"));
    }
}

/// The bar is 45 mm long and begins 72 mm from the paper's edge: half of it is the plausible span, and
/// the mark stands in the middle.
#[test]
fn a_bar_reaches_from_the_least_to_the_greatest_with_a_mark_for_what_was_seen() {
    let pdf = Pdf::of(&telling_pdf(&told(), "Practice report", FOOT, Paper::A4).unwrap()).unwrap();
    let boxes = pdf.boxes(1).unwrap();
    let (_, name) = boxes.iter().find(|(word, _)| word == "José").unwrap();
    let points = 72.0 / 25.4;
    // The mark alone is taller than the span: look along the top of it.
    let page = pdf.picture(1, 300).unwrap();
    let middle = (name[1] + name[3]) / 2.0 / points;
    let seen = (0..40)
        .map(|step| page.lines_across(middle - 5.0 + f64::from(step) * 0.25, (75.0, 115.0)))
        .find(|found| !found.is_empty())
        .unwrap();
    assert_eq!(seen.len(), 1, "{seen:?}");
    assert!((seen[0] - (72.0 + 22.5)).abs() < 0.3, "{seen:?}");
    let grey = |x: f64| {
        let dots = |mm: f64| (mm / 25.4 * 300.0) as usize;
        let column = (0..40).map(|step| middle - 5.0 + f64::from(step) * 0.25);
        column.map(|y| page.grey(dots(x), dots(y))).min().unwrap()
    };
    let (ground, span) = (grey(72.0 + 3.0), grey(72.0 + 15.0));
    assert!(span < ground && ground < 255, "{span} {ground}");
    assert_eq!(grey(72.0 + 42.0), ground);
}
