//! Neck and bridge from the side, heights many times too large: what each round measures, under its number.

use super::above::{Foot, has_crown};
use super::layout::ReadLayout;
use crate::canvas::{Block, Canvas, Fill, LineKind, Point};
use crate::dimension::{ARROW, arrow};
use instrument::Of;
use numerics::math;
use work::{Along, Round, Rounds};

/// Heights over the plane of the crowns, mm on the paper: the string at the nut and at the ridge, the board's surface and underside, bridge
/// top and underside, and the slot's floor.
const AT_NUT: f64 = 4.2;
const RIDGE: f64 = 10.0;
const SURFACE: f64 = -1.5;
const UNDER_BOARD: f64 = -5.0;
const BRIDGE_TOP: f64 = -2.6;
const UNDER_BRIDGE: f64 = -11.5;
const FLOOR: f64 = -8.5;
/// Dip of the crowns at mid-span, mm.
const DIP: f64 = 2.0;
/// How far the saddle's top falls from the ridge to its faces, mm.
const FALL: f64 = 2.2;
/// How far the front wall's foot lies behind its top, mm.
const LEAN: f64 = 1.4;
/// Lengths along stand under the board in rows, from here down and so far apart, mm.
const ROWS: (f64, f64) = (-14.0, 3.4);
/// How far the lines at their ends run on beyond them, mm.
const BEYOND: f64 = 0.8;
/// Over which the lines from the numbers come to their places, where frets are fanned, mm.
const KNEE: f64 = 2.2;
/// Over the ridge, mm.
const OVER: f64 = 1.0;
/// Chords of a crown.
const CHORDS: u32 = 8;
/// What is shorter has its arrowheads outside, mm.
const SHORT: f64 = 3.0 * ARROW;
/// Tail of an arrow that points in, mm.
const TAIL: f64 = 1.2;

/// The instrument from the side.
struct Side<'a> {
    layout: &'a ReadLayout,
    read: &'a Rounds,
    /// x of what the string leaves, nut or zero fret, of fret 12, of the ridge, and of the saddle's front at the bridge top and back.
    start: f64,
    twelve: f64,
    ridge: f64,
    front: f64,
    back: f64,
}

impl Side<'_> {
    fn at(&self, x: f64, z: f64) -> Point {
        [x, RIDGE + OVER - z]
    }

    /// The string over x.
    fn string(&self, x: f64) -> f64 {
        AT_NUT + (RIDGE - AT_NUT) * ((x - self.start) / (self.ridge - self.start)).clamp(0.0, 1.0)
    }

    /// The crowns' tops over x: they dip between the nut and fret 12.
    fn crown(&self, x: f64) -> f64 {
        let nut = self.layout.nut_front();
        let share = ((x - nut) / (self.twelve - nut)).clamp(0.0, 1.0);
        -4.0 * DIP * share * (1.0 - share)
    }

    /// The saddle's top over x.
    fn top(&self, x: f64) -> f64 {
        let side = if x < self.ridge { self.front } else { self.back };
        let share = ((x - self.ridge) / (side - self.ridge)).clamp(0.0, 1.0);
        RIDGE - FALL * share * share
    }

    /// The saddle's bottom.
    fn bottom(&self) -> f64 {
        if self.read.has_slot { FLOOR } else { BRIDGE_TOP }
    }

    /// The front face, which leans, at a height.
    fn face(&self, z: f64) -> f64 {
        if self.read.has_slot {
            self.front + LEAN * (BRIDGE_TOP - z) / (BRIDGE_TOP - FLOOR)
        } else {
            self.front
        }
    }
}

/// The picture, under the feet of its rounds.
pub(super) fn side(read: &Rounds, layout: &ReadLayout, feet: &[Foot], foot_y: f64) -> Block {
    let mut canvas = Canvas::default();
    let middle = |along: Along| layout.spot(along).map_or(0.0, super::layout::Spot::middle);
    let [front, back] = layout.saddle_ends(read.has_slot);
    let side = Side {
        layout,
        read,
        start: layout
            .spot(Along::Fret(0))
            .map_or(layout.nut_front(), super::layout::Spot::middle),
        twelve: middle(Along::Fret(12)),
        ridge: middle(Along::Ridge),
        front,
        back,
    };
    there(&mut canvas, &side);
    for (i, (round, foot)) in read.rounds.iter().zip(feet).enumerate() {
        let x = layout.columns[i].0;
        let reached = measured(&mut canvas, &side, round, x);
        // From the number down to it: upright past the other numbers.
        let to = side.at(x, reached);
        let mut way = vec![[foot.at[0], foot.at[1] - foot_y + 1.0]];
        if foot.at[0] != x {
            way.extend([[foot.at[0], 0.0], [x, to[1].min(KNEE)]]);
        }
        way.push(to);
        canvas.path(way, LineKind::Narrow);
    }
    let rows = read.rounds.iter().filter_map(|round| along_row(read, round.of));
    let deepest = rows.map(|z| z - BEYOND).fold(UNDER_BRIDGE, f64::min);
    Block {
        canvas,
        width: layout.width,
        height: RIDGE + OVER - deepest,
    }
}

/// Height of the row of a length along: that from fret 12 to the contact stands under that to the slot.
fn along_row(read: &Rounds, of: Of) -> Option<f64> {
    match of {
        Of::NutTo12 | Of::SlotEdge => Some(ROWS.0),
        Of::Contact if read.rounds.iter().any(|round| round.of == Of::SlotEdge) => Some(ROWS.0 - ROWS.1),
        Of::Contact => Some(ROWS.0),
        _ => None,
    }
}

/// What is there.
fn there(canvas: &mut Canvas, side: &Side) {
    let layout = side.layout;
    let nut = layout.nut_front();
    let last = layout
        .spots
        .iter()
        .rev()
        .find(|spot| !spot.station.along.is_at_bridge() && spot.station.along != Along::OpenString);
    let end = last.map_or(nut, |spot| spot.from_to[1] + 0.8 * layout.pitch);
    // The board's surface follows its crowns.
    let steps = (0..=24).map(|i| nut + (end - nut) * f64::from(i) / 24.0);
    let mut board: Vec<Point> = steps.map(|x| side.at(x, side.crown(x) + SURFACE)).collect();
    board.extend([side.at(end, UNDER_BOARD - DIP), side.at(nut, UNDER_BOARD - DIP)]);
    canvas.polygon(board, Some(LineKind::Outline), Fill::None);
    let back = nut - layout.nut_thick();
    let top = if side.start > nut { AT_NUT - 1.4 } else { AT_NUT };
    let corners = [[back, UNDER_BOARD], [nut, UNDER_BOARD], [nut, top], [back, top - 0.8]];
    canvas.polygon(
        corners.map(|[x, z]| side.at(x, z)).to_vec(),
        Some(LineKind::Outline),
        Fill::Paper,
    );
    for spot in layout.spots.iter().filter(|spot| has_crown(spot.station.along)) {
        let [from, to] = layout.crown(spot);
        let x = spot.middle();
        let arc = (0..=CHORDS).map(|i| {
            let turn = std::f64::consts::PI * f64::from(i) / f64::from(CHORDS);
            let (sin, cos) = math::sin_cos(turn);
            // Flat over the rounds that stand on it.
            let out = x - 0.5 * (to - from) * cos.signum() * cos.abs().sqrt();
            let surface = side.crown(x) + SURFACE;
            // A zero fret carries the string.
            let top = if spot.station.along == Along::Fret(0) {
                AT_NUT
            } else {
                side.crown(x)
            };
            side.at(out, surface + (top - surface) * sin)
        });
        canvas.polygon(arc.collect(), Some(LineKind::Narrow), Fill::Paper);
    }
    bridge(canvas, side);
    // The string, and the straightedge on the crowns where something is read against it.
    let leaves = layout.bridge_ends()[1];
    let from = if side.start > nut { AT_NUT - 1.4 } else { AT_NUT - 0.8 };
    let path = [
        [back, from],
        [side.start, AT_NUT],
        [side.ridge, RIDGE],
        [leaves, BRIDGE_TOP],
    ];
    canvas.path(path.map(|[x, z]| side.at(x, z)).to_vec(), LineKind::Narrow);
    let against = |round: &Round| matches!(round.of, Of::Relief | Of::BridgeTop | Of::ZeroFret);
    if side.read.rounds.iter().any(against) {
        let from = layout.spot(Along::Fret(1)).map_or(nut, |spot| layout.crown(spot)[0]);
        canvas.line(side.at(from, 0.0), side.at(side.face(0.0) - 0.6, 0.0), LineKind::Hidden);
    }
}

fn bridge(canvas: &mut Canvas, side: &Side) {
    let [from, to] = side.layout.bridge_ends();
    let wood: Vec<[f64; 2]> = if side.read.has_slot {
        vec![
            [from, BRIDGE_TOP],
            [side.front, BRIDGE_TOP],
            [side.face(FLOOR), FLOOR],
            [side.back + LEAN, FLOOR],
            [side.back, BRIDGE_TOP],
            [to, BRIDGE_TOP],
            [to, UNDER_BRIDGE],
            [from, UNDER_BRIDGE],
        ]
    } else {
        vec![
            [from, BRIDGE_TOP],
            [to, BRIDGE_TOP],
            [to, UNDER_BRIDGE],
            [from, UNDER_BRIDGE],
        ]
    };
    let place = |all: Vec<[f64; 2]>| all.into_iter().map(|[x, z]| side.at(x, z)).collect();
    canvas.polygon(place(wood), Some(LineKind::Outline), Fill::None);
    let bottom = side.bottom();
    let (front, back) = (
        side.face(RIDGE - FALL),
        side.back - (side.front - side.face(RIDGE - FALL)),
    );
    let steps = (0..=16).map(|i| front + (back - front) * f64::from(i) / 16.0);
    let mut saddle: Vec<[f64; 2]> = steps.map(|x| [x, side.top(x)]).collect();
    let lean = if side.read.has_slot { LEAN } else { 0.0 };
    saddle.extend([[side.back + lean, bottom], [side.face(bottom), bottom]]);
    canvas.polygon(place(saddle), Some(LineKind::Outline), Fill::None);
}

/// What a round measures, at its own x; answers the height down to which its number leads.
fn measured(canvas: &mut Canvas, side: &Side, round: &Round, x: f64) -> f64 {
    let row = along_row(side.read, round.of).unwrap_or(ROWS.0);
    let (string, crown) = (side.string(x), side.crown(spot_x(side, round, x)));
    let mut upright = |low: f64, high: f64| {
        dimension(canvas, side.at(x, low), side.at(x, high));
        if high - low < SHORT { high + ARROW + TAIL } else { high }
    };
    match round.of {
        Of::Clearance | Of::HeldAtThree | Of::Action { .. } => upright(crown, string),
        Of::Relief => upright(crown, 0.0),
        Of::ZeroFret => upright(0.0, AT_NUT),
        Of::OverBridge => upright(BRIDGE_TOP, string),
        Of::BridgeTop => upright(BRIDGE_TOP, 0.0),
        Of::SlotDepth => upright(FLOOR, BRIDGE_TOP),
        Of::Exposure => upright(BRIDGE_TOP, side.top(x)),
        Of::SaddleHeight => upright(side.bottom(), side.top(x)),
        Of::SaddleBack => {
            let z = RIDGE - FALL - 2.0;
            canvas.line(
                side.at(side.ridge, z - 0.8),
                side.at(side.ridge, RIDGE),
                LineKind::Narrow,
            );
            dimension(canvas, side.at(side.face(z), z), side.at(side.ridge, z));
            z
        }
        Of::Lean => {
            // Against an upright from the wall's foot.
            let foot = side.face(FLOOR);
            let height = 0.5 * (FLOOR + BRIDGE_TOP);
            canvas.line(side.at(foot, FLOOR), side.at(foot, BRIDGE_TOP + 1.0), LineKind::Centre);
            canvas.line(side.at(foot + 0.3, height), side.at(x, height), LineKind::Narrow);
            height
        }
        Of::NutTo12 => along(canvas, side, [side.start, side.twelve], row),
        Of::SlotEdge => along(canvas, side, [side.twelve, side.front], row),
        Of::Contact => along(canvas, side, [side.twelve, side.ridge], row),
        Of::RadiusAtNut | Of::RadiusAt12 => {
            // The gauge on the board.
            let surface = if round.of == Of::RadiusAtNut {
                side.crown(x) + SURFACE
            } else {
                crown
            };
            let arc = [-1.0, -0.5, 0.0, 0.5, 1.0]
                .map(|share: f64| side.at(x + 1.4 * share, surface + 0.9 - 0.9 * share * share));
            canvas.path(arc.to_vec(), LineKind::Outline);
            surface + 0.9
        }
        Of::Cents { .. } | Of::Inharmonicity => {
            canvas.circle(side.at(x, string), 0.5, None, Fill::Ink);
            string
        }
    }
}

/// Rounds over one crown are all read over its top.
fn spot_x(side: &Side, round: &Round, x: f64) -> f64 {
    side.layout
        .spot(round.station.along)
        .map_or(x, super::layout::Spot::middle)
}

/// A length along, in its row under the board, with a line down to each end; answers its height.
fn along(canvas: &mut Canvas, side: &Side, ends: [f64; 2], z: f64) -> f64 {
    for x in ends {
        canvas.line(side.at(x, UNDER_BRIDGE - 0.6), side.at(x, z - BEYOND), LineKind::Narrow);
    }
    dimension(canvas, side.at(ends[0], z), side.at(ends[1], z));
    z
}

/// A dimension line without a figure; a short one has its arrowheads outside.
fn dimension(canvas: &mut Canvas, from: Point, to: Point) {
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let length = math::hypot(dx, dy);
    if length <= 0.0 {
        return;
    }
    let unit = [dx / length, dy / length];
    let back = [-unit[0], -unit[1]];
    if length >= SHORT {
        canvas.line(from, to, LineKind::Narrow);
        arrow(canvas, from, back);
        arrow(canvas, to, unit);
    } else {
        let out = ARROW + TAIL;
        let moved = |p: Point, way: Point| [p[0] + out * way[0], p[1] + out * way[1]];
        canvas.line(moved(from, back), moved(to, unit), LineKind::Narrow);
        arrow(canvas, from, unit);
        arrow(canvas, to, back);
    }
}
