//! The finished saddle as a closed surface of triangles.

use crate::outline::{ShapeError, along, chords, places, span};
use saddle::{Crown, Plan, Section};

/// Points of a section nearer to each other than this along b are one, mm; far above what the numbers of an STL file resolve.
const SAME_POINT: f64 = 1e-3;

/// A closed surface, mm. X runs along the blank (u), Y forward from the front face (-b, so the body lies at Y from
/// minus the thickness to 0) and Z up from the bottom edge (v); in this order the axes are right-handed, as the blank's are.
/// For a left-handed instrument X is mirrored.
#[derive(Debug, Clone, PartialEq)]
pub struct Mesh {
    /// Corners, mm.
    pub vertices: Vec<[f64; 3]>,
    /// Corners of each triangle, anticlockwise as seen from outside.
    pub triangles: Vec<[usize; 3]>,
}

impl Mesh {
    /// Volume by the divergence theorem, mm3; positive if the triangles look outward.
    #[must_use]
    pub fn volume(&self) -> f64 {
        let six = self.corners().map(|[a, b, c]| {
            a[0] * (b[1] * c[2] - b[2] * c[1]) + a[1] * (b[2] * c[0] - b[0] * c[2]) + a[2] * (b[0] * c[1] - b[1] * c[0])
        });
        six.sum::<f64>() / 6.0
    }

    /// Least and largest X, Y, Z, mm.
    #[must_use]
    pub fn bounds(&self) -> ([f64; 3], [f64; 3]) {
        let by = |keep: fn(f64, f64) -> f64, start: f64| {
            self.vertices.iter().fold([start; 3], |kept, v| {
                [keep(kept[0], v[0]), keep(kept[1], v[1]), keep(kept[2], v[2])]
            })
        };
        (by(f64::min, f64::INFINITY), by(f64::max, f64::NEG_INFINITY))
    }

    /// The corners of every triangle.
    pub(crate) fn corners(&self) -> impl Iterator<Item = [[f64; 3]; 3]> + '_ {
        self.triangles.iter().map(|t| t.map(|i| self.vertices[i]))
    }

    fn vertex(&mut self, plan: &Plan, u: f64, b: f64, v: f64) -> usize {
        self.vertices.push([along(plan, u), -b, v]);
        self.vertices.len() - 1
    }

    /// Adds a triangle, unless two of its corners are one: the tip of a rounded end makes such.
    fn triangle(&mut self, t: [usize; 3]) {
        if t[0] != t[1] && t[1] != t[2] && t[2] != t[0] {
            self.triangles.push(t);
        }
    }
}

/// A cut through the body: its corners on the bottom, and its top from front to back.
struct Cut {
    bottom: [usize; 2],
    /// Corner and row; a row keeps its number from cut to cut.
    top: Vec<(usize, u32)>,
}

impl Cut {
    fn first(&self) -> usize {
        self.top[0].0
    }

    fn last(&self) -> usize {
        self.top[self.top.len() - 1].0
    }
}

/// The finished saddle of a plan.
///
/// # Errors
/// [`ShapeError`] if the plan leaves no part to make.
pub fn mesh(plan: &Plan) -> Result<Mesh, ShapeError> {
    let places = places(plan)?;
    let normals = normals(&plan.crown);
    let mut mesh = Mesh {
        vertices: Vec::new(),
        triangles: Vec::new(),
    };
    let cuts: Vec<Cut> = places.iter().map(|&u| cut(&mut mesh, plan, u, &normals)).collect();
    for pair in cuts.windows(2) {
        join(&mut mesh, &pair[0], &pair[1]);
    }
    if let [first, .., last] = cuts.as_slice() {
        // Each end is convex: a fan from its front bottom corner.
        let [corner, other] = first.bottom;
        mesh.triangle([corner, other, first.last()]);
        for pair in first.top.windows(2) {
            mesh.triangle([corner, pair[1].0, pair[0].0]);
        }
        let [corner, other] = last.bottom;
        for pair in last.top.windows(2) {
            mesh.triangle([corner, pair[0].0, pair[1].0]);
        }
        mesh.triangle([corner, last.last(), other]);
    }
    if plan.left_handed {
        // The mirror turned every triangle inside out.
        mesh.triangles.iter_mut().for_each(|t| t.swap(1, 2));
    }
    Ok(mesh)
}

/// Directions of the rounding's normals (radians, back positive) at which it is given a row of corners.
fn normals(crown: &Crown) -> Vec<f64> {
    let (from, turn) = (-crown.front_fall, crown.front_fall + crown.back_fall);
    // A rounding too small to see is a plain ridge.
    if crown.rounding * turn < SAME_POINT {
        return vec![from + 0.5 * turn];
    }
    let steps = chords(crown.rounding, turn);
    (0..=steps)
        .map(|k| from + turn * f64::from(k) / f64::from(steps))
        .collect()
}

fn cut(mesh: &mut Mesh, plan: &Plan, u: f64, normals: &[f64]) -> Cut {
    let section = plan.crown.section(u);
    let (low, high) = span(plan, u);
    if high - low < SAME_POINT {
        let middle = 0.5 * (low + high);
        let bottom = mesh.vertex(plan, u, middle, 0.0);
        let top = mesh.vertex(plan, u, middle, section.height(middle).min(plan.cap(u)));
        return Cut {
            bottom: [bottom; 2],
            top: vec![(top, 0)],
        };
    }
    let bottom = [low, high].map(|b| mesh.vertex(plan, u, b, 0.0));
    // Even rows are places of the crown; an odd one between two is where a blended end cuts it off.
    let mut points = vec![(low, section.height(low), 0)];
    let mut row = 0;
    let mut before = low;
    for angle in normals {
        row += 2;
        let (b, v) = section.on_rounding(*angle);
        if b > before + SAME_POINT && b < high - SAME_POINT {
            points.push((b, v, row));
            before = b;
        }
    }
    points.push((high, section.height(high), row + 2));
    let top = capped(&points, &section, plan.cap(u));
    let top = top.into_iter().map(|(b, v, row)| (mesh.vertex(plan, u, b, v), row));
    let top = top.collect();
    Cut { bottom, top }
}

/// Points of a section, as b, v and row, cut off at the height `cap`, mm.
fn capped(points: &[(f64, f64, u32)], section: &Section, cap: f64) -> Vec<(f64, f64, u32)> {
    if points.iter().all(|p| p.1 <= cap) {
        return points.to_vec();
    }
    let mut cut = Vec::new();
    for pair in points.windows(2) {
        let [(from, v, row), (to, next, _)] = [pair[0], pair[1]];
        cut.push((from, v.min(cap), row));
        if (v > cap) != (next > cap) {
            let b = crossing(section, (from, to), v > cap, cap);
            if b > from + SAME_POINT && b < to - SAME_POINT {
                cut.push((b, cap, row + 1));
            }
        }
    }
    cut.extend(points.last().map(|p| (p.0, p.1.min(cap), p.2)));
    cut
}

/// b between two places at which the crown passes the height `cap`.
fn crossing(section: &Section, (mut from, mut to): (f64, f64), falls: bool, cap: f64) -> f64 {
    for _ in 0..40 {
        let middle = 0.5 * (from + to);
        if (section.height(middle) > cap) == falls {
            from = middle;
        } else {
            to = middle;
        }
    }
    0.5 * (from + to)
}

/// Top, walls and bottom between two neighbouring cuts.
fn join(mesh: &mut Mesh, a: &Cut, b: &Cut) {
    let (mut i, mut j) = (0, 0);
    loop {
        let (next_a, next_b) = (a.top.get(i + 1), b.top.get(j + 1));
        // The lower row first, so that equal rows are joined across.
        let on_a = match (next_a, next_b) {
            (Some(a), Some(b)) => a.1 <= b.1,
            (None, None) => break,
            (next_a, _) => next_a.is_some(),
        };
        if on_a {
            mesh.triangle([a.top[i].0, a.top[i + 1].0, b.top[j].0]);
            i += 1;
        } else {
            mesh.triangle([a.top[i].0, b.top[j + 1].0, b.top[j].0]);
            j += 1;
        }
    }
    mesh.triangle([a.first(), b.first(), b.bottom[0]]);
    mesh.triangle([a.first(), b.bottom[0], a.bottom[0]]);
    mesh.triangle([b.last(), a.last(), a.bottom[1]]);
    mesh.triangle([b.last(), a.bottom[1], b.bottom[1]]);
    mesh.triangle([a.bottom[0], b.bottom[0], b.bottom[1]]);
    mesh.triangle([a.bottom[0], b.bottom[1], a.bottom[1]]);
}
