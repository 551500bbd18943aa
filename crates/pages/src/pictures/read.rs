//! What was read: neck and bridge from above with a mark at every reading's place, as on the sheet, for the screen.

use drawing::{ReadLayout, ReadRoom, read_weight};
use work::{Along, Belief, Mark, Rounds};

use super::pen::Pen;

/// Width of the picture, and room left of the nut for the strings' numbers, in user units.
const WIDE: f64 = 360.0;
const NUMBERS: f64 = 20.0;
/// What there is room for beside the width.
const ROOM: ReadRoom = ReadRoom {
    width: WIDE - NUMBERS,
    height: 170.0,
    strings: (13.5, 20.0),
    pitch: 30.0,
};
/// Radius of a ring's hole and of the dot in it, and least and most width of the ring.
const HOLE: f64 = 3.0;
const DOT: f64 = 1.5;
const RING: [f64; 2] = [0.7, 3.4];
/// Half the reach of a stroke through a mark, across and up.
const STROKE: f64 = 7.5;
/// How far the bridge is wider than the board, at each side.
const BRIDGE: f64 = 5.0;
/// Height of a line of words, and of the words' own.
const LINE: f64 = 15.0;
const WORDS: f64 = 8.0;
/// Numbers nearer than this stand in two rows.
const STAGGER: f64 = 17.0;

/// The picture; numbers are those of the rounds, from 1.
#[must_use]
pub fn read(read: &Rounds) -> String {
    let layout = ReadLayout::of(read, ROOM);
    let middle = LINE + BRIDGE + layout.half;
    let tiers = if layout.pitch < STAGGER { 2.0 } else { 1.0 };
    let tall = middle + layout.half + BRIDGE + 4.0 + tiers * LINE;
    let left = NUMBERS + 0.5 * (ROOM.width - layout.width).max(0.0);
    let mut pen = Pen::new(
        "view read",
        WIDE,
        tall,
        "Neck and bridge from above, nut to the left, with a mark at every place that was read",
    );
    let place = |x: f64, slant: f64, treble: f64| {
        let [x, y] = layout.place(x, slant, treble);
        [left + x, middle + y]
    };
    instrument(&mut pen, read, &layout, &place);
    let down = if layout.bass_up { 1.0 } else { -1.0 };
    for (i, round) in read.rounds.iter().enumerate() {
        let Some(&(x, slant)) = layout.columns.get(i) else {
            continue;
        };
        let highest = round
            .marks
            .iter()
            .map(|mark| down * layout.toward_treble(mark.at))
            .fold(f64::INFINITY, f64::min);
        let foot = place(x, slant, down * (layout.half + BRIDGE));
        if highest.is_finite() {
            let tier = if tiers > 1.0 && i % 2 == 1 { LINE } else { 0.0 };
            pen.path(
                "lead",
                [place(x, slant, down * highest), foot, [foot[0], foot[1] + 2.0 + tier]],
                false,
            );
            pen.text(
                "t mid strong",
                [foot[0], foot[1] + 4.0 + tier + WORDS],
                &(i + 1).to_string(),
            );
        }
        for one in &round.marks {
            mark(&mut pen, place(x, slant, layout.toward_treble(one.at)), one);
        }
    }
    pen.done()
}

/// A mark by itself, for the words that explain it.
#[must_use]
pub fn sample(of: &Mark) -> String {
    const SIZE: f64 = 18.0;
    let mut pen = Pen::new("sample", SIZE, SIZE, "Mark");
    mark(&mut pen, [0.5 * SIZE, 0.5 * SIZE], of);
    pen.done()
}

fn mark(pen: &mut Pen, at: [f64; 2], of: &Mark) {
    let reach = 0.7 * STROKE;
    let stroke = |pen: &mut Pen, class: &str, way: f64| {
        let [x, y] = at;
        pen.line(class, [x - reach, y + way * reach], [x + reach, y - way * reach]);
    };
    match of.belief {
        Belief::StruckOut => {
            pen.circle("hole dashed", at, HOLE + RING[0]);
            stroke(pen, "out", 1.0);
        }
        _ => {
            pen.circle(
                "dot",
                at,
                HOLE + RING[0] + (RING[1] - RING[0]) * read_weight(of.takes_up),
            );
            pen.circle("hole", at, HOLE);
            if of.is_checked {
                pen.circle("dot", at, DOT);
            }
        }
    }
    let ways: &[f64] = match of.belief {
        Belief::Counted | Belief::StruckOut => &[],
        Belief::Suspected => &[1.0],
        Belief::Doubted => &[1.0, -1.0],
    };
    for class in ["beside", "strike"] {
        for way in ways {
            stroke(pen, class, *way);
        }
    }
}

fn instrument(pen: &mut Pen, read: &Rounds, layout: &ReadLayout, place: &impl Fn(f64, f64, f64) -> [f64; 2]) {
    let (half, pitch) = (layout.half, layout.pitch);
    let (Some(nut), Some(ridge)) = (layout.spot(Along::Nut), layout.spot(Along::Ridge)) else {
        return;
    };
    let band = |pen: &mut Pen, class: &str, [from, to]: [f64; 2], slant: f64, half: f64| {
        let corners = [(from, -half), (to, -half), (to, half), (from, half)];
        pen.path(class, corners.map(|(x, treble)| place(x, slant, treble)), true);
    };
    let front = layout.nut_front();
    let back = front - layout.nut_thick();
    let over_neck = |along: Along| !along.is_at_bridge() && along != Along::OpenString;
    if let Some(last) = layout.spots.iter().rev().find(|spot| over_neck(spot.station.along)) {
        let (end, slant) = (last.from_to[1] + 0.8 * pitch, last.station.slant);
        let corners = [
            place(front, nut.station.slant, -half),
            place(end, slant, -half),
            place(end, slant, half),
            place(front, nut.station.slant, half),
        ];
        pen.path("part", corners, true);
    }
    for spot in layout
        .spots
        .iter()
        .filter(|spot| matches!(spot.station.along, Along::Fret(_) | Along::MidSpan))
    {
        band(pen, "crown", layout.crown(spot), spot.station.slant, half);
    }
    band(pen, "part fill", [back, front], nut.station.slant, half);
    band(pen, "part", layout.bridge_ends(), ridge.station.slant, half + BRIDGE);
    band(
        pen,
        "thin",
        layout.saddle_ends(read.has_slot),
        ridge.station.slant,
        half,
    );
    pen.line(
        "thin",
        place(ridge.middle(), ridge.station.slant, -half),
        place(ridge.middle(), ridge.station.slant, half),
    );
    for (lane, treble) in read.lanes.iter().zip(&layout.across) {
        let from = place(back, nut.station.slant, *treble);
        pen.line(
            "thin",
            from,
            place(layout.bridge_ends()[1], ridge.station.slant, *treble),
        );
        pen.text(
            "t end small",
            [from[0] - 4.0, from[1] + 0.5 * WORDS],
            &lane.number.to_string(),
        );
    }
    names(pen, layout, place);
}

/// Names over the picture, as far as there is room for them.
fn names(pen: &mut Pen, layout: &ReadLayout, place: &impl Fn(f64, f64, f64) -> [f64; 2]) {
    /// About the width of a letter.
    const LETTER: f64 = 6.0;
    let up = if layout.bass_up { -1.0 } else { 1.0 };
    let mut free = f64::NEG_INFINITY;
    let bridge = layout.bridge_ends();
    let named = layout.spots.iter().filter_map(|spot| match spot.station.along {
        Along::Nut => Some((layout.nut_front() - 0.5 * layout.nut_thick(), vec!["nut".to_owned()])),
        Along::Fret(n) => Some((spot.middle(), vec![format!("fret {n}"), n.to_string()])),
        Along::Ridge => Some((0.5 * (bridge[0] + bridge[1]), vec!["bridge".to_owned()])),
        _ => None,
    });
    for (x, words) in named {
        let [x, y] = place(x, 0.0, up * (layout.half + BRIDGE));
        let half = |words: &str| 0.5 * LETTER * words.chars().count() as f64;
        if let Some(words) = words.into_iter().find(|words| x - half(words) > free) {
            free = x + half(&words) + LETTER;
            pen.text("t mid small", [x, y - 5.0], &words);
        }
    }
}
