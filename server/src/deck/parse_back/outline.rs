//! Reads a flat shape by its geometry: the number of sides, their lengths, angles and directions.

use super::scan::Shape;
use super::{NEAR, parts};
use crate::deck::shown::Outline;

/// Lengths this much apart, as a share of the longer one, are still equal.
const EVEN: f64 = 0.01;

pub(super) fn outline(shapes: &[Shape]) -> Result<Outline, &'static str> {
    let [shape] = parts(shapes, "shape")[..] else { return Err("there is one shape") };
    let Some(path) = shape.paths.first() else {
        return if shape.r > 0.0 { Ok(Outline::Circle) } else { Err("the shape has no outline") };
    };
    let path = path.strip_suffix('Z').ok_or("the outline is open")?;
    let (mut points, mut arcs) = (Vec::new(), Vec::new());
    for piece in path.split(['M', 'L']).skip(1) {
        let mut parts = piece.split('A');
        points.push(point(parts.next().unwrap_or_default())?);
        for arc in parts {
            let numbers: Vec<f64> = arc.split(' ').filter_map(|text| text.parse().ok()).collect();
            let [across, up, _, _, _, x, y] = numbers[..] else { return Err("an arc is broken") };
            arcs.push((across, up));
            points.push((x, y));
        }
    }
    match arcs[..] {
        [] => polygon(&points),
        [(across, up)] => {
            let chord = points.windows(2).map(|pair| distance(pair[0], pair[1])).sum::<f64>();
            let half = (across - up).abs() < NEAR && (chord - 2.0 * across).abs() < NEAR;
            if half && points.len() == 2 {
                Ok(Outline::HalfCircle)
            } else {
                Err("it is no half-circle")
            }
        }
        [one, other]
            if one == other && points.len() == 3 && distance(points[0], points[2]) < NEAR =>
        {
            // A round oval would be taken for a circle.
            let (long, short) = (one.0.max(one.1), one.0.min(one.1));
            if long > short * 1.2 { Ok(Outline::Oval) } else { Err("the oval is too round") }
        }
        _ => Err("the outline is no shape with a name"),
    }
}

fn point(text: &str) -> Result<(f64, f64), &'static str> {
    let numbers = text.split_once(' ').and_then(|(x, y)| Some((x.parse().ok()?, y.parse().ok()?)));
    numbers.ok_or("a corner is broken")
}

fn distance(one: (f64, f64), other: (f64, f64)) -> f64 {
    (one.0 - other.0).hypot(one.1 - other.1)
}

fn polygon(points: &[(f64, f64)]) -> Result<Outline, &'static str> {
    let count = points.len();
    let side = |index: usize| {
        let (from, end) = (points[index % count], points[(index + 1) % count]);
        (end.0 - from.0, end.1 - from.1)
    };
    let cross = |one: (f64, f64), other: (f64, f64)| one.0 * other.1 - one.1 * other.0;
    // All corners turn the same way, and each clearly: five sides are not four with a dent.
    let sine = |index: usize| {
        let (one, other) = (side(index), side(index + 1));
        cross(one, other) / (one.0.hypot(one.1) * other.0.hypot(other.1))
    };
    if count < 3 || !(0..count).all(|i| sine(i) > 0.15) && !(0..count).all(|i| sine(i) < -0.15) {
        return Err("corners turn both ways or hardly at all");
    }
    match count {
        3 => Ok(Outline::Triangle),
        4 => quadrilateral(&[side(0), side(1), side(2), side(3)]),
        5 => Ok(Outline::Pentagon),
        6 => Ok(Outline::Hexagon),
        8 => Ok(Outline::Octagon),
        _ => Err("no name is known for so many sides"),
    }
}

/// The most exact name; one that is nearly another's is no fair card.
fn quadrilateral(sides: &[(f64, f64); 4]) -> Result<Outline, &'static str> {
    let length = |index: usize| sides[index].0.hypot(sides[index].1);
    let (shortest, longest) = (0..4)
        .map(length)
        .fold((f64::MAX, 0.0), |ends: (f64, f64), l| (ends.0.min(l), ends.1.max(l)));
    let equal = longest - shortest < EVEN * longest;
    let right = (0..4).all(|i| {
        let (one, other) = (sides[i], sides[(i + 1) % 4]);
        (one.0 * other.0 + one.1 * other.1).abs() < EVEN * length(i) * length((i + 1) % 4)
    });
    let parallel = |i: usize| {
        let (one, other) = (sides[i], sides[i + 2]);
        (one.0 * other.1 - one.1 * other.0).abs() < EVEN * length(i) * length(i + 2)
    };
    match (right, equal, [parallel(0), parallel(1)]) {
        (true, true, _) => Ok(Outline::Square),
        (true, false, _) if longest > shortest * 1.25 => Ok(Outline::Rectangle),
        (false, true, _) => Ok(Outline::Rhombus),
        (false, false, [true, false] | [false, true]) => Ok(Outline::Trapezoid),
        _ => Err("it is no shape with four sides that has a name here"),
    }
}
