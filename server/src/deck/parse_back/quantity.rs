//! Reads pictures of two numbers and of equal groups, base-ten blocks and the number path.

use super::scan::Shape;
use super::{NEAR, count, dots, parts, print};
use crate::deck::alphabet::Hand;
use crate::deck::shown::Shown;

/// Blocks by the cells that their cuts make: every cell a square of one size, nothing but squares of
/// a hundred, rods of ten and cubes, none touching another, at most nine of each.
pub(super) fn blocks(shapes: &[Shape]) -> Result<u16, &'static str> {
    let blocks = parts(shapes, "block");
    let cuts = parts(shapes, "cuts");
    let cube = blocks.iter().map(|block| block.width).fold(f64::MAX, f64::min);
    let mut counts = [0_u16; 3];
    let (mut cut_used, mut side) = (vec![false; cuts.len()], None);
    for (index, block) in blocks.iter().enumerate() {
        let own = cuts.iter().position(|cut| {
            ends(cut).first().is_some_and(|from| block.distance_outside(*from) < NEAR)
        });
        let (across, up) = match own {
            Some(own) => {
                cut_used[own] = true;
                cells(block, cuts[own])?
            }
            None => (1, 1),
        };
        let cell = (block.width / f64::from(across), block.height / f64::from(up));
        let side = *side.get_or_insert(cell.0);
        if (cell.0 - side).abs().max((cell.1 - side).abs()) > NEAR {
            return Err("cells differ in size");
        }
        let place = [(10, 10), (1, 10), (1, 1)].iter().position(|size| *size == (across, up));
        counts[place.ok_or("a block is no square, rod or cube")?] += 1;
        for other in &blocks[..index] {
            let apart = (block.x - other.x - other.width)
                .max(other.x - block.x - block.width)
                .max(block.y - other.y - other.height)
                .max(other.y - block.y - block.height);
            if apart < NEAR {
                return Err("a block touches another");
            }
        }
    }
    if cut_used.contains(&false) || counts.iter().any(|count| *count > 9) || cube <= 0.0 {
        return Err("there are stray cuts or more than nine blocks of a size");
    }
    Ok(counts[0] * 100 + counts[1] * 10 + counts[2])
}

/// The end points of straight lines, pair by pair.
fn ends(path: &Shape) -> Vec<(f64, f64)> {
    let numbers: Vec<f64> = path
        .paths
        .iter()
        .flat_map(|path| path.split(['M', 'L', ' ']))
        .filter_map(|number| number.parse().ok())
        .collect();
    numbers.chunks_exact(2).map(|point| (point[0], point[1])).collect()
}

/// Into how many cells across and up the cuts divide a block; each goes from edge to edge and all are
/// equally far apart.
fn cells(block: &Shape, cuts: &Shape) -> Result<(u8, u8), &'static str> {
    let (mut across, mut up) = (1_u8, 1_u8);
    let (mut xs, mut ys) =
        (vec![block.x, block.x + block.width], vec![block.y, block.y + block.height]);
    for pair in ends(cuts).chunks_exact(2) {
        let ((x, y), (x2, y2)) = (pair[0], pair[1]);
        if (x - x2).abs() < NEAR && ((y2 - y).abs() - block.height).abs() < NEAR {
            across = across.saturating_add(1);
            xs.push(x);
        } else if (y - y2).abs() < NEAR && ((x2 - x).abs() - block.width).abs() < NEAR {
            up = up.saturating_add(1);
            ys.push(y);
        } else {
            return Err("a cut does not go from edge to edge");
        }
    }
    let even = |places: &mut Vec<f64>, step: f64| {
        places.sort_by(f64::total_cmp);
        places.windows(2).all(|pair| (pair[1] - pair[0] - step).abs() < NEAR)
    };
    let steps = (block.width / f64::from(across), block.height / f64::from(up));
    if even(&mut xs, steps.0) && even(&mut ys, steps.1) {
        Ok((across, up))
    } else {
        Err("cells differ in size")
    }
}

/// The number between its two written neighbours.
pub(super) fn path(shapes: &[Shape]) -> Result<u16, &'static str> {
    let mut stones = parts(shapes, "stone");
    stones.sort_by(|one, other| one.x.total_cmp(&other.x));
    let written: Vec<Option<u16>> = stones
        .iter()
        .map(|stone| number_in(shapes, |at| stone.distance_outside(at) == 0.0))
        .collect::<Result<_, _>>()?;
    match written[..] {
        [Some(before), None, Some(after)] if before + 2 == after => Ok(before + 1),
        _ => Err("the stones do not follow each other around one gap"),
    }
}

/// The number written inside an area, if any.
fn number_in(
    shapes: &[Shape],
    inside: impl Fn((f64, f64)) -> bool,
) -> Result<Option<u16>, &'static str> {
    let glyphs: Vec<&Shape> = parts(shapes, "glyph")
        .into_iter()
        .filter(|glyph| print::centre(glyph).is_some_and(&inside))
        .collect();
    if glyphs.is_empty() {
        return Ok(None);
    }
    let text = print::text_of(Hand::Manuscript, &glyphs)?;
    text.parse().map(Some).map_err(|_| "these digits are no number")
}

/// The dots on the upper and on the lower tile.
pub(super) fn domino(shapes: &[Shape]) -> Result<Shown, &'static str> {
    dots(shapes)?;
    let mut tiles = parts(shapes, "tile");
    tiles.sort_by(|one, other| one.y.total_cmp(&other.y));
    let [upper, lower] = tiles[..] else { return Err("a domino has two tiles") };
    let on =
        |tile: &Shape| count(parts(shapes, "dot").iter().filter(|dot| tile.holds(dot)).count());
    Ok(Shown::Parts(on(upper)?, on(lower)?))
}

/// The ring above is the whole, the rings below are its parts.
pub(super) fn bond(shapes: &[Shape]) -> Result<Shown, &'static str> {
    let mut rings = parts(shapes, "ring");
    rings.sort_by(|one, other| one.y.total_cmp(&other.y).then(one.x.total_cmp(&other.x)));
    let [whole, left, right] = rings[..] else { return Err("a bond has three rings") };
    let written = |ring: &Shape| number_in(shapes, |at| ring.rings(at));
    match (written(whole)?, written(left)?, written(right)?) {
        (None, Some(one), Some(other)) => Ok(Shown::Bond { whole: false, parts: (one, other) }),
        (Some(whole), Some(one), Some(other)) if whole == one + other => {
            Ok(Shown::Bond { whole: true, parts: (one, other) })
        }
        _ => Err("the parts do not make the whole"),
    }
}

/// Full and open counters, each in a cell of one ten frame.
pub(super) fn frame(shapes: &[Shape]) -> Result<Shown, &'static str> {
    let cells = parts(shapes, "cell");
    let (full, open) = (parts(shapes, "counter"), parts(shapes, "open"));
    let mut taken = vec![false; cells.len()];
    for counter in full.iter().chain(&open) {
        let home =
            cells.iter().position(|cell| cell.holds(counter)).ok_or("a counter has no cell")?;
        if std::mem::replace(&mut taken[home], true) {
            return Err("two counters share a cell");
        }
    }
    if cells.len() != 10 {
        return Err("a frame has ten cells");
    }
    Ok(Shown::Parts(count(full.len())?, count(open.len())?))
}

/// Rows of equally many dots, one under the other.
pub(super) fn array(shapes: &[Shape]) -> Result<Shown, &'static str> {
    let dots = parts(shapes, "dot");
    let mut rows: Vec<(f64, Vec<f64>)> = Vec::new();
    for dot in &dots {
        match rows.iter_mut().find(|(y, _)| (y - dot.y).abs() < NEAR) {
            Some((_, row)) => row.push(dot.x),
            None => rows.push((dot.y, vec![dot.x])),
        }
    }
    for (_, row) in &mut rows {
        row.sort_by(f64::total_cmp);
    }
    let first = rows.first().map(|(_, row)| row.clone()).ok_or("there are no dots")?;
    let same = |row: &[f64]| {
        row.len() == first.len() && row.iter().zip(&first).all(|(x, y)| (x - y).abs() < NEAR)
    };
    if !rows.iter().all(|(_, row)| same(row)) {
        return Err("the rows are not equal");
    }
    Ok(Shown::Rows { rows: count(rows.len())?, each: count(first.len())? })
}

/// Rings apart from each other with equally many dots in each.
pub(super) fn groups(shapes: &[Shape]) -> Result<Shown, &'static str> {
    let (rings, dots) = (parts(shapes, "ring"), parts(shapes, "dot"));
    for (index, ring) in rings.iter().enumerate() {
        if rings[..index]
            .iter()
            .any(|other| (ring.x - other.x).hypot(ring.y - other.y) < ring.r + other.r + NEAR)
        {
            return Err("rings touch each other");
        }
    }
    let inside: Vec<usize> = rings
        .iter()
        .map(|ring| {
            let room = |dot: &&&Shape| (dot.x - ring.x).hypot(dot.y - ring.y) + dot.r < ring.r;
            dots.iter().filter(room).count()
        })
        .collect();
    let each = inside.first().copied().unwrap_or(0);
    if inside.iter().any(|dots| *dots != each) || each * rings.len() != dots.len() {
        return Err("the groups are not equal");
    }
    Ok(Shown::Rows { rows: count(rings.len())?, each: count(each)? })
}
