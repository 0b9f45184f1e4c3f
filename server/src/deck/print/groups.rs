//! The sheet of match groups, for the adult: what belongs together, and whether a card is missing.

use super::lettering::Pencil;
use super::margin;
use super::page::{Page, Words};
use super::paper::{CARD_HEIGHT, CARD_SCALE, CARD_WIDTH, Paper};
use krilla::graphic::Graphic;

const TITLE: Words = Words { pencil: Pencil::Broad, size: 17.0 };
const TEXT: Words = Words { pencil: Pencil::Fine, size: 11.5 };
/// Blank on the left and right, in mm.
const SIDE: f64 = 16.0;
/// Where the first group begins, and how much stays blank at the foot, in mm.
const TOP: f64 = 36.0;
const FOOT: f64 = 12.0;
/// Between two cards of a group and between two groups, in mm.
const GAP: f64 = 1.5;
const GROUP_GAP: f64 = 6.0;
/// Widths of the small cards that are tried, in mm; the largest deck fits the last one.
const WIDTHS: [f64; 13] = [19.0, 17.0, 15.0, 13.0, 12.0, 11.0, 10.0, 9.0, 8.0, 7.0, 6.0, 5.0, 4.0];

/// Draws the groups, each a row of its cards. `cards` has each group's cards.
pub(super) fn draw(page: &mut Page<'_>, paper: Paper, name: &str, cards: &[Vec<&Graphic>]) {
    let (_, height) = paper.size();
    page.words("What belongs together", (SIDE, 18.0), TITLE);
    let total: usize = cards.iter().map(Vec::len).sum();
    let said = format!("{total} cards in {} match groups. Are all of them here?", cards.len());
    page.words(&said, (SIDE, 27.0), TEXT);
    let room = height - TOP - FOOT;
    let fits = WIDTHS.into_iter().find(|width| flow(paper, cards, *width).1 <= room);
    let width = fits.unwrap_or(WIDTHS[WIDTHS.len() - 1]);
    let scale = width / CARD_WIDTH;
    for (group, (x, y)) in cards.iter().zip(flow(paper, cards, width).0) {
        for (index, card) in group.iter().enumerate() {
            let left = x + index as f64 * (width + GAP);
            page.place(card, (left, TOP + y), CARD_SCALE * scale);
        }
    }
    margin::draw(page, paper, &format!("{name}  \u{2022}  match groups"));
}

/// Where each group begins when its cards are this wide, and the height of them all.
fn flow(paper: Paper, cards: &[Vec<&Graphic>], width: f64) -> (Vec<(f64, f64)>, f64) {
    let line = paper.size().0 - 2.0 * SIDE;
    let height = width / CARD_WIDTH * CARD_HEIGHT;
    let mut places = Vec::new();
    let (mut x, mut y) = (0.0, 0.0);
    for group in cards {
        let long = group.len() as f64 * (width + GAP) - GAP;
        if x > 0.0 && x + long > line {
            x = 0.0;
            y += height + GROUP_GAP;
        }
        // A group longer than the line does not fit at this width.
        let too_long = if long > line { f64::INFINITY } else { 0.0 };
        places.push((SIDE + x, y + too_long));
        x += long + GROUP_GAP;
    }
    let end = places.iter().map(|place| place.1).fold(0.0, f64::max) + height;
    (places, end)
}
