//! The outline of the finished blank as seen from the front, for cutting it flat.

mod curve;
mod number;

pub(crate) use curve::{Curve, Segment};

use crate::{Holding, Part, Prism, Setup, Surface, SurfaceError, THROUGH, Target};
use cavalier_contours::polyline::{PlineSource, PlineSourceMut, Polyline};
use number::Number;
use numerics::math;
use thiserror::Error;

/// Arcs stray from the crown's silhouette by no more than this, mm.
pub(crate) const ARC_FIT: f64 = 0.000_5;
/// Shortest arc or chord of the silhouette, mm: at a kink no arc is ever near enough.
const SHORTEST: f64 = 0.02;
/// Where the arc is compared with the silhouette, as parts of it.
const PARTS: u32 = 8;
/// A kink belongs to the piece after it, mm.
const KINK: f64 = 1e-9;
/// Places are the same within this, mm.
const SAME: f64 = 1e-9;
/// Pieces of the way round that are shorter than this are left out, mm: a program's decimals do not tell their ends apart.
const NO_PIECE: f64 = 1e-5;
/// Shares of the cutter's width beside the outline between which its kerf is judged over an area. Nearer, the walls themselves
/// are judged.
const KERF: (f64, f64) = (0.1, 0.9);

/// A cutter that would reach further than this into the part elsewhere does not fit an inner corner, mm.
const CORNER: f64 = 0.002;
/// Least stock beyond the cut for a tab to hold on to, mm. Common practice, no source.
const STRIP: f64 = 1.5;

/// Why the outline cannot be cut.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum OutlineError {
    /// No way round at this distance.
    #[error("the outline has no way round it for a cutter of {diameter:.2} mm")]
    NoOffset {
        /// Diameter, mm.
        diameter: f64,
    },
}

/// The part whose outline it is.
#[derive(Debug, Clone)]
enum Shape {
    Saddle(Box<Surface>),
    Nut(Prism),
}

impl Shape {
    fn new(part: Part, setup: &Setup) -> Result<Self, SurfaceError> {
        Ok(match part {
            Part::Saddle(plan) => Self::Saddle(Box::new(Surface::new(plan, setup)?)),
            Part::Nut(plan) => Self::Nut(Prism::new(plan, setup)?),
        })
    }

    fn ends_x(&self) -> (f64, f64) {
        match self {
            Self::Saddle(surface) => surface.ends_x(),
            Self::Nut(prism) => prism.ends_x(),
        }
    }

    /// Height over the bottom edge at `x`, mm.
    fn silhouette(&self, x: f64) -> f64 {
        match self {
            Self::Saddle(surface) => surface.silhouette(x),
            Self::Nut(prism) => prism.height(x),
        }
    }

    /// X where the silhouette may have a kink.
    fn kinks_x(&self) -> Vec<f64> {
        match self {
            Self::Saddle(surface) => surface.kinks.iter().map(|u| surface.x(*u)).collect(),
            Self::Nut(prism) => prism.kinks_x().collect(),
        }
    }
}

/// The outline in program coordinates, flat: the top's silhouette, ends and bottom edge.
#[derive(Debug, Clone)]
pub struct Outline {
    shape: Shape,
    curve: Curve,
    /// The same as points.
    wall: Vec<[f64; 2]>,
    /// Z of the raw face that lies up.
    top: f64,
    /// Z of the table and of what may stay of the kerf.
    seat: f64,
    left: f64,
    width: f64,
    tabs: Vec<Tab>,
    /// Most stock beyond the crown or an end where a tab was looked for, and what a tab needs there, mm.
    room: (f64, f64),
}

/// Which side of the part a tab joins to the stock around it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    /// The crown; places count along X.
    Top,
    /// The end with the lower X; places count along Y.
    Low,
    /// The end with the greater X; places count along Y.
    High,
}

/// A bridge of stock from the part to the stock around it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Tab {
    pub(crate) side: Side,
    pub(crate) from: f64,
    pub(crate) to: f64,
}

impl Outline {
    /// # Errors
    /// [`SurfaceError`] if the stock does not hold the blank.
    pub fn new<'a>(part: impl Into<Part<'a>>, setup: &Setup) -> Result<Self, SurfaceError> {
        let shape = Shape::new(part.into(), setup)?;
        let curve = Curve::closed(segments(&shape));
        let seat = setup.seat_z();
        let (mut tabs, mut left, mut most) = (Vec::new(), seat, 0.0);
        let need = setup.rougher.diameter + setup.rough_allowance + STRIP;
        if let Holding::Tape {
            tabs: count,
            tab_length,
            tab_height,
        } = setup.holding
        {
            if count == 0 {
                left = seat + tab_height;
            }
            (tabs, most) = places(&shape, setup, count, tab_length, need);
        }
        Ok(Self {
            shape,
            wall: curve.points(2.0 * ARC_FIT),
            curve,
            top: setup.raw_top(),
            seat,
            left,
            width: setup.rougher.diameter,
            tabs,
            room: (most, need),
        })
    }

    /// Y of the silhouette at `x`, mm.
    pub(crate) fn silhouette(&self, x: f64) -> f64 {
        self.shape.silhouette(x)
    }

    /// How many tabs hold the part: fewer than the setup asks for where the stock does not reach far enough.
    #[must_use]
    pub fn tab_count(&self) -> usize {
        self.tabs.len()
    }

    /// Most stock beyond the crown or an end where a tab was looked for, and what a tab needs there, mm.
    pub(crate) fn room(&self) -> (f64, f64) {
        self.room
    }

    pub(crate) fn ends_x(&self) -> (f64, f64) {
        self.shape.ends_x()
    }

    pub(crate) fn tabs(&self) -> &[Tab] {
        &self.tabs
    }

    /// As [`Self::around`], without the bottom edge, which is the stock's own: up one end, over the crown and down the other.
    pub(crate) fn over(&self, distance: f64) -> Result<Curve, OutlineError> {
        let segments = self.around(distance)?.segments().to_vec();
        let above = |s: &Segment| s.from[1].max(s.to[1]) > NO_PIECE;
        Ok(Curve::open(segments.into_iter().filter(above).collect()))
    }

    /// The closed way of an axis that keeps `distance` from the outline, clockwise, so that a cutter climbs; it starts at the
    /// bottom edge's end with the greater X.
    pub(crate) fn around(&self, distance: f64) -> Result<Curve, OutlineError> {
        let none = OutlineError::NoOffset {
            diameter: 2.0 * distance,
        };
        let mut line = Polyline::new_closed();
        for segment in self.curve.segments() {
            line.add(Number(segment.from[0]), Number(segment.from[1]), Number(segment.bulge));
        }
        let ways = line.parallel_offset(Number(-distance));
        let longest = ways
            .into_iter()
            .max_by(|a, b| a.area().0.abs().total_cmp(&b.area().0.abs()));
        let way = longest.ok_or(none)?;
        let way = way.remove_repeat_pos(Number(NO_PIECE)).unwrap_or(way);
        let vertices: Vec<(f64, f64, f64)> = way.iter_vertexes().map(|v| (v.x.0, v.y.0, v.bulge.0)).collect();
        let count = vertices.len();
        // Backwards: an arc's bulge belongs to its other end then, and turns the other way.
        let mut back: Vec<Segment> = (0..count)
            .rev()
            .map(|i| {
                let (a, z) = (vertices[(i + 1) % count], vertices[i]);
                Segment {
                    from: [a.0, a.1],
                    to: [z.0, z.1],
                    bulge: -z.2,
                }
            })
            .collect();
        let lowest = |s: &Segment| s.from[1].max(s.to[1]) - 1e-3 * (s.from[0] - s.to[0]);
        let start = (0..back.len()).min_by(|a, b| lowest(&back[*a]).total_cmp(&lowest(&back[*b])));
        back.rotate_left(start.unwrap_or(0));
        Ok(Curve::closed(back))
    }
}

/// Tabs that hold: spread along the crown where the stock reaches `need` mm beyond it, then on the ends, `count` in all; and the
/// most room that there is.
fn places(shape: &Shape, setup: &Setup, count: u32, long: f64, need: f64) -> (Vec<Tab>, f64) {
    let (x0, x1) = shape.ends_x();
    let mut most = 0.0f64;
    let mut tabs: Vec<Tab> = Vec::new();
    for i in 0..count {
        let middle = x0 + (x1 - x0) * (f64::from(i) + 0.5) / f64::from(count);
        let (from, to) = (middle - 0.5 * long, middle + 0.5 * long);
        let high = [from, middle, to].map(|x| shape.silhouette(x.clamp(x0, x1)));
        let room = setup.stock.height - high.into_iter().fold(0.0, f64::max);
        most = most.max(room);
        let apart = tabs.last().is_none_or(|t| from - t.to > setup.rougher.diameter);
        if room >= need && apart && from > x0 && to < x1 {
            tabs.push(Tab {
                side: Side::Top,
                from,
                to,
            });
        }
    }
    for (side, x, room) in [(Side::Low, x0, x0), (Side::High, x1, setup.stock.length - x1)] {
        if tabs.len() >= count as usize {
            break;
        }
        most = most.max(room);
        let middle = 0.5 * shape.silhouette(x);
        let (from, to) = (middle - 0.5 * long, middle + 0.5 * long);
        // The rounded ends of a tab stay clear of both corners.
        if room >= need && from > 0.5 * setup.rougher.diameter {
            tabs.push(Tab { side, from, to });
        }
    }
    (tabs, most)
}

/// Counter-clockwise from the bottom's first end.
fn segments(shape: &Shape) -> Vec<Segment> {
    let (x0, x1) = shape.ends_x();
    let inside = |x: &f64| *x > x0 + SHORTEST && *x < x1 - SHORTEST;
    let mut kinks: Vec<f64> = shape.kinks_x().into_iter().filter(inside).collect();
    // Only the sections' heights matter here, not their width.
    kinks.extend([x0, x1]);
    kinks.sort_by(f64::total_cmp);
    let top = |x: f64| [x, shape.silhouette(x)];
    let straight = |from: [f64; 2], to: [f64; 2]| Segment { from, to, bulge: 0.0 };
    let mut out = vec![straight([x0, 0.0], [x1, 0.0])];
    let mut last = [x1, 0.0];
    for pair in kinks.windows(2).rev() {
        let (from, to) = (pair[1] - KINK, pair[0] + KINK);
        let start = top(from);
        if (start[1] - last[1]).abs() > SAME {
            out.push(straight(last, [last[0], start[1]]));
            last = [last[0], start[1]];
        }
        let mut ends = vec![to];
        let mut at = from;
        while let Some(&end) = ends.last() {
            let (a, m, z) = (top(at), top(0.5 * (at + end)), top(end));
            let arc = Segment::through(a, m, z);
            let near = (1..PARTS).all(|i| {
                let p = top(at + (end - at) * f64::from(i) / f64::from(PARTS));
                arc.distance(p) < ARC_FIT
            });
            if near || at - end < SHORTEST {
                out.push(Segment { from: last, ..arc });
                last = z;
                at = end;
                ends.pop();
            } else {
                ends.push(0.5 * (at + end));
            }
        }
    }
    out.push(straight(last, [x0, 0.0]));
    if let [.., before, end] = out.as_mut_slice() {
        // The top ends over the bottom's first end exactly.
        before.to[0] = x0;
        end.from[0] = x0;
    }
    out
}

impl Target for Outline {
    fn height(&self, x: f64, y: f64) -> Option<f64> {
        let (x0, x1) = self.ends_x();
        (x > x0 && x < x1 && y > 0.0 && y < self.silhouette(x)).then_some(self.top)
    }

    fn bounds(&self) -> [f64; 4] {
        let (x0, x1) = self.ends_x();
        let high = self.curve.segments().iter().map(|s| s.from[1]).fold(0.0, f64::max);
        [x0, 0.0, x1, high]
    }

    fn kerf(&self, x: f64, y: f64) -> Option<f64> {
        self.floor(x, y, (KERF.0 * self.width, KERF.1 * self.width))
    }

    fn foot(&self, x: f64, y: f64) -> Option<f64> {
        let floor = self.floor(x, y, (0.0, KERF.1 * self.width))?;
        // The cutter's axis where its edge would touch the wall here: it must not reach into the part elsewhere.
        let wall = nearest(&self.wall, [x, y]);
        let (dx, dy) = (x - wall[0], y - wall[1]);
        let share = 0.5 * self.width / math::hypot(dx, dy);
        let axis = [wall[0] + share * dx, wall[1] + share * dy];
        let near = nearest(&self.wall, axis);
        (math::hypot(axis[0] - near[0], axis[1] - near[1]) > 0.5 * self.width - CORNER).then_some(floor)
    }

    fn walls(&self) -> Vec<Vec<[f64; 2]>> {
        vec![self.wall.clone()]
    }
}

/// The place of a closed line of points that is nearest to `p`.
fn nearest(line: &[[f64; 2]], p: [f64; 2]) -> [f64; 2] {
    let mut best = (f64::INFINITY, p);
    for (a, b) in line.iter().zip(line.iter().cycle().skip(1)) {
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        let along = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy);
        let t = if along.is_finite() { along.clamp(0.0, 1.0) } else { 0.0 };
        let place = [a[0] + t * dx, a[1] + t * dy];
        let off = math::hypot(place[0] - p[0], place[1] - p[1]);
        if off < best.0 {
            best = (off, place);
        }
    }
    best.1
}

impl Outline {
    /// Floor of the kerf at a place that lies within a range of distances from the outline, over the crown or beside the ends.
    fn floor(&self, x: f64, y: f64, (near, reach): (f64, f64)) -> Option<f64> {
        let (x0, x1) = self.ends_x();
        let over = y - self.silhouette(x.clamp(x0, x1));
        let (aside, inside) = ((x0 - x).max(x - x1), x >= x0 && x <= x1);
        let (side, at) = if inside && over > near && over < reach {
            (Side::Top, x)
        } else if !inside && aside > near && aside < reach && y > 0.0 && over < 0.0 {
            (if x < x0 { Side::Low } else { Side::High }, y)
        } else {
            return None;
        };
        // The rounded ends of a tab belong to it.
        let half = 0.5 * self.width;
        let tab = |t: &Tab| t.side == side && at > t.from - half && at < t.to + half;
        (!self.tabs.iter().any(tab)).then_some(self.left)
    }

    /// Z down to which the kerf is cut, and Z of the seat. Where no skin stays, the cut goes a hair into the waste board.
    pub(crate) fn depths(&self) -> (f64, f64) {
        let skin = self.left > self.seat;
        (if skin { self.left } else { self.seat - THROUGH }, self.seat)
    }
}
