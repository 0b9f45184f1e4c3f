//! The sheet of match groups, for the adult: what belongs together, and whether a card is missing.

use super::book::KeptFace;
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
/// Between two cards of a group, and between two groups, for cards one mm wide.
const GAP: f64 = 0.09;
const GROUP_GAP: f64 = 0.35;
/// Widths of the small cards that are tried, in mm. The last one fits `CARDS_MAX` cards however they
/// are grouped: 30 and more to a line, 31 lines and more to a page.
const WIDTHS: [f64; 13] = [19.0, 17.0, 15.0, 13.0, 12.0, 11.0, 10.0, 9.0, 8.0, 7.0, 6.0, 5.0, 4.0];

/// Draws the groups, each a row of its cards with the deck's mark on them. `cards` has each group's
/// cards.
pub(super) fn draw(
    page: &mut Page<'_>,
    paper: Paper,
    name: &str,
    cards: &[Vec<&KeptFace>],
    mark: &Graphic,
) {
    let (_, height) = paper.size();
    page.words("What belongs together", (SIDE, 18.0), TITLE);
    let total: usize = cards.iter().map(Vec::len).sum();
    let said = format!("{total} cards in {} match groups. Are all of them here?", cards.len());
    page.words(&said, (SIDE, 27.0), TEXT);
    let room = height - TOP - FOOT;
    let line = paper.size().0 - 2.0 * SIDE;
    let sizes: Vec<usize> = cards.iter().map(Vec::len).collect();
    let fits = WIDTHS.into_iter().find(|width| flow(line, &sizes, *width).1 <= room);
    let width = fits.unwrap_or(WIDTHS[WIDTHS.len() - 1]);
    let scale = CARD_SCALE * width / CARD_WIDTH;
    for (card, (x, y)) in cards.iter().flatten().zip(flow(line, &sizes, width).0) {
        page.place(&card.drawing, (SIDE + x, TOP + y), scale);
        page.place(mark, (SIDE + x, TOP + y), scale);
    }
    margin::draw(page, paper, &format!("{name}  \u{2022}  match groups"));
    if cards.iter().flatten().any(|card| card.has_emoji) {
        margin::credit(page, paper);
    }
}

/// Where each card lies on lines this long when it is this wide, group by group, and the height of
/// them all. A group stays on one line if it can.
fn flow(line: f64, groups: &[usize], width: f64) -> (Vec<(f64, f64)>, f64) {
    let (step, group_gap) = (width * (1.0 + GAP), width * GROUP_GAP);
    let next_line = width * (CARD_HEIGHT / CARD_WIDTH + GROUP_GAP);
    let mut places = Vec::new();
    let (mut x, mut y) = (0.0, 0.0);
    for cards in groups {
        let length = *cards as f64 * step - width * GAP;
        if x > 0.0 && x + length > line {
            (x, y) = (0.0, y + next_line);
        }
        for _ in 0..*cards {
            if x > 0.0 && x + width > line {
                (x, y) = (0.0, y + next_line);
            }
            places.push((x, y));
            x += step;
        }
        x += group_gap;
    }
    (places, y + width * CARD_HEIGHT / CARD_WIDTH)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::limits::print::CARDS_MAX;

    /// However a deck is grouped, its smallest cards fit the smaller of the papers.
    #[test]
    fn the_largest_deck_fits_one_page() {
        let (width, height) = (Paper::A4.size().0, Paper::Letter.size().1);
        let (line, room) = (width - 2.0 * SIDE, height - TOP - FOOT);
        for size in 1..=CARDS_MAX {
            let groups = vec![size; CARDS_MAX.div_ceil(size)];
            let (places, end) = flow(line, &groups, WIDTHS[WIDTHS.len() - 1]);
            assert!(end <= room, "groups of {size}: {end} mm");
            assert!(places.iter().all(|(x, _)| *x >= 0.0 && x + 4.0 <= line));
        }
    }
}
