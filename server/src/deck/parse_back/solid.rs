//! Reads a solid by the faces that are seen: how many corners they have, and how they lie.

use super::parts;
use super::scan::Shape;
use crate::deck::shown::Solid;

type Point = (f64, f64);

/// Lengths this much apart, as a share of the longer one, are equal.
const EVEN: f64 = 0.01;

pub(super) fn solid(shapes: &[Shape]) -> Result<Solid, &'static str> {
    let (faces, bodies) = (parts(shapes, "face"), parts(shapes, "body"));
    let (caps, balls) = (parts(shapes, "cap"), parts(shapes, "ball"));
    match (faces.len(), bodies.len(), balls.len()) {
        (0, 0, 1) if caps.is_empty() && balls[0].r > 0.0 => Ok(Solid::Sphere),
        (0, 1, 0) => round(bodies[0], caps.len()),
        (2.., 0, 0) if caps.is_empty() => flat(&faces),
        _ => Err("these faces make no solid"),
    }
}

/// The letters of a path, and where each of its strokes ends.
fn path(shape: &Shape) -> Result<(String, Vec<Point>), &'static str> {
    let text = shape.paths.first().ok_or("a face has no outline")?;
    let (mut letters, mut points) = (String::new(), Vec::new());
    let starts = text.match_indices(['M', 'L', 'A', 'Z']).map(|(at, _)| at).chain([text.len()]);
    let starts: Vec<usize> = starts.collect();
    for ends in starts.windows(2) {
        let piece = &text[ends[0]..ends[1]];
        letters.push_str(&piece[..1]);
        let numbers: Vec<f64> = piece[1..].split(' ').filter_map(|n| n.parse().ok()).collect();
        match (&piece[..1], &numbers[..]) {
            ("Z", []) => {}
            ("M" | "L", [x, y]) | ("A", [_, _, _, _, _, x, y]) => points.push((*x, *y)),
            _ => return Err("a stroke is broken"),
        }
    }
    Ok((letters, points))
}

fn distance(one: Point, other: Point) -> f64 {
    (one.0 - other.0).hypot(one.1 - other.1)
}

fn equal(one: f64, other: f64) -> bool {
    (one - other).abs() <= EVEN * one.max(other)
}

/// A curved face between two equal sides (a can) or with a point (a cone).
fn round(body: &Shape, caps: usize) -> Result<Solid, &'static str> {
    let (letters, points) = path(body)?;
    match (letters.as_str(), &points[..]) {
        ("MLAL", [a, b, c, d])
            if caps == 1
                && equal(distance(*a, *b), distance(*c, *d))
                && equal(distance(*a, *d), distance(*b, *c)) =>
        {
            Ok(Solid::Cylinder)
        }
        ("MLLAZ", [a, tip, b, back])
            if caps < 2 && a == back && equal(distance(*a, *tip), distance(*tip, *b)) =>
        {
            Ok(Solid::Cone)
        }
        _ => Err("the curved face is that of no solid"),
    }
}

fn flat(faces: &[&Shape]) -> Result<Solid, &'static str> {
    let mut polygons = Vec::new();
    for face in faces {
        let (letters, points) = path(face)?;
        if letters != format!("M{}Z", "L".repeat(points.len().saturating_sub(1))) {
            return Err("a flat face has a curve");
        }
        polygons.push(points);
    }
    polygons.sort_by_key(Vec::len);
    let shared = |one: &[Point], other: &[Point]| {
        one.iter()
            .filter(|corner| other.iter().any(|near| distance(**corner, *near) < 0.05))
            .count()
    };
    // Every two faces that are seen meet in an edge.
    let meet = (0..polygons.len())
        .all(|at| (0..at).all(|before| shared(&polygons[at], &polygons[before]) == 2));
    if !meet {
        return Err("two faces do not meet in an edge");
    }
    match polygons.iter().map(Vec::len).collect::<Vec<_>>()[..] {
        [3, 3] => Ok(Solid::Pyramid),
        [3, 4] => Ok(Solid::TriangularPrism),
        [4, 4, 4] => cuboid(&polygons),
        _ => Err("these faces make no solid"),
    }
}

/// A cube shows a square in front and goes back half as far; what is nearly a cube is no fair card.
fn cuboid(polygons: &[Vec<Point>]) -> Result<Solid, &'static str> {
    let upright = |points: &&Vec<Point>| {
        points.windows(2).all(|edge| {
            (edge[0].0 - edge[1].0).abs() < 0.05 || (edge[0].1 - edge[1].1).abs() < 0.05
        })
    };
    let front = polygons.iter().find(upright).ok_or("no face is seen from the front")?;
    let (width, height) = (distance(front[0], front[1]), distance(front[1], front[2]));
    let back = polygons
        .iter()
        .filter(|face| !upright(face))
        .flat_map(|face| face.windows(2))
        .map(|edge| (edge[1].0 - edge[0].0, edge[1].1 - edge[0].1))
        .find(|edge| edge.0.abs() > 0.05 && edge.1.abs() > 0.05)
        .map(|edge| edge.0.hypot(edge.1))
        .ok_or("no edge goes back")?;
    let longer = width.max(height) / width.min(height);
    match () {
        () if equal(width, height) && equal(back, width / 2.0) => Ok(Solid::Cube),
        () if longer > 1.25 => Ok(Solid::RectangularPrism),
        () => Err("the box is nearly a cube"),
    }
}
