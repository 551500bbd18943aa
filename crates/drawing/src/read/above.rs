//! Neck and bridge from above, with a mark at every place that was read.

use super::layout::{ReadLayout, Spot};
use super::mark::{RADIUS, mark};
use crate::canvas::{Anchor, Block, Canvas, Fill, Lettering, LineKind, Point};
use instrument::At;
use work::{Along, Rounds};

const TEXT: Lettering = Lettering::BENCH;
const BOLD: Lettering = Lettering::BENCH_BOLD;
/// How far the bridge is wider than the board, at each side, mm.
const BRIDGE: f64 = 2.0;
/// From the picture to the words over and under it, mm.
const AIR: f64 = 1.6;
/// Two rows of numbers where they would stand closer than this, mm.
const STAGGER: f64 = 4.4;

/// Where a round's number stands under the picture.
pub(super) struct Foot {
    /// Middle of the number, and its baseline, mm.
    pub at: Point,
}

/// The picture, with the foot of every round; numbers go on from `first`. The picture's left edge is that of the layout.
pub(super) fn above(read: &Rounds, layout: &ReadLayout, first: usize) -> (Block, Vec<Foot>) {
    let mut canvas = Canvas::default();
    let half = layout.half + BRIDGE;
    let top = TEXT.capitals + AIR;
    let middle = top + half;
    let place = |x: f64, slant: f64, treble: f64| {
        let [x, y] = layout.place(x, slant, treble);
        [x, middle + y]
    };
    let across = |canvas: &mut Canvas, x: f64, slant: f64, half: f64, kind: LineKind| {
        canvas.line(place(x, slant, -half), place(x, slant, half), kind);
    };
    instrument(&mut canvas, read, layout, &place, &across);
    // The side that is down on the paper.
    let down = if layout.bass_up { 1.0 } else { -1.0 };
    let tiers = if layout.pitch < STAGGER { 2 } else { 1 };
    let mut feet = Vec::new();
    for (i, round) in read.rounds.iter().enumerate() {
        let (x, slant) = layout.columns[i];
        let highest = round
            .marks
            .iter()
            .map(|mark| down * layout.toward_treble(mark.at))
            .fold(f64::INFINITY, f64::min);
        let foot = place(x, slant, down * half);
        if highest.is_finite() {
            let tier = (i % tiers) as f64 * TEXT.line();
            let end = [foot[0], foot[1] + AIR + tier - 0.4];
            canvas.path(vec![place(x, slant, down * highest), foot, end], LineKind::Narrow);
            let at = [foot[0], foot[1] + AIR + tier + BOLD.capitals];
            canvas.text(at, (first + i).to_string(), BOLD, Anchor::Middle);
            feet.push(Foot { at });
        }
    }
    for (i, round) in read.rounds.iter().enumerate() {
        for one in &round.marks {
            let [x, y] = layout.mark(i, one.at);
            let name = match one.at {
                At::Whole => "whole".to_owned(),
                At::End(0) => "bass".to_owned(),
                At::End(_) => "treble".to_owned(),
                At::String(s) => read
                    .lanes
                    .get(s)
                    .map_or_else(String::new, |lane| lane.number.to_string()),
            };
            mark(&mut canvas, [x, middle + y], one).id(format!("read-{}-{name}", first + i));
        }
    }
    let height = middle + half + AIR + tiers as f64 * TEXT.line();
    let width = layout.width;
    (Block { canvas, width, height }, feet)
}

/// What there is to read: nut, crowns, strings, bridge, slot and ridge, with their names.
fn instrument(
    canvas: &mut Canvas,
    read: &Rounds,
    layout: &ReadLayout,
    place: &impl Fn(f64, f64, f64) -> Point,
    across: &impl Fn(&mut Canvas, f64, f64, f64, LineKind),
) {
    let (half, pitch) = (layout.half, layout.pitch);
    let wide = half + BRIDGE;
    let band = |canvas: &mut Canvas, from: f64, to: f64, slant: f64, half: f64, line: LineKind| {
        let corners = vec![
            place(from, slant, -half),
            place(to, slant, -half),
            place(to, slant, half),
            place(from, slant, half),
        ];
        canvas.polygon(corners, Some(line), Fill::None);
    };
    let (Some(nut), Some(ridge), Some(bridge)) = (layout.spot(Along::Nut), layout.spot(Along::Ridge), layout.bridge())
    else {
        return;
    };
    let front = layout.nut_front();
    band(
        canvas,
        front - layout.nut_thick(),
        front,
        nut.station.slant,
        half,
        LineKind::Outline,
    );
    // The board ends behind the last place over it.
    let last = layout
        .spots
        .iter()
        .rev()
        .find(|spot| !spot.station.along.is_at_bridge() && spot.station.along != Along::OpenString);
    if let Some(last) = last {
        let end = last.from_to[1] + 0.8 * pitch;
        for side in [-half, half] {
            canvas.line(
                place(front, nut.station.slant, side),
                place(end, last.station.slant, side),
                LineKind::Outline,
            );
        }
        across(canvas, end, last.station.slant, half, LineKind::Outline);
    }
    for spot in layout.spots.iter().filter(|spot| has_crown(spot.station.along)) {
        let [from, to] = layout.crown(spot);
        band(canvas, from, to, spot.station.slant, half, LineKind::Narrow);
    }
    let slant = ridge.station.slant;
    let [from, to] = layout.bridge_ends();
    band(canvas, from, to, slant, wide, LineKind::Outline);
    let [from, to] = layout.saddle_ends(read.has_slot);
    band(canvas, from, to, slant, half, LineKind::Narrow);
    across(canvas, ridge.middle(), slant, half - 0.5 * RADIUS, LineKind::Narrow);
    for (lane, treble) in read.lanes.iter().zip(&layout.across) {
        let start = front - layout.nut_thick();
        let end = layout.bridge_ends()[1];
        let from = place(start, nut.station.slant, *treble);
        canvas.line(from, place(end, slant, *treble), LineKind::Narrow);
        canvas.text(
            [from[0] - AIR, from[1] + 0.5 * TEXT.capitals],
            lane.number.to_string(),
            TEXT,
            Anchor::End,
        );
    }
    names(canvas, layout, bridge, place);
}

/// Whether a fret's crown stands at a place.
pub(super) fn has_crown(along: Along) -> bool {
    matches!(along, Along::Fret(_) | Along::MidSpan)
}

/// Names over the picture, as far as there is room for them.
fn names(canvas: &mut Canvas, layout: &ReadLayout, bridge: &Spot, place: &impl Fn(f64, f64, f64) -> Point) {
    let up = if layout.bass_up { -1.0 } else { 1.0 };
    let over = layout.half + BRIDGE;
    let mut free = f64::NEG_INFINITY;
    for spot in &layout.spots {
        let words: Vec<String> = match spot.station.along {
            Along::Nut => vec!["nut".to_owned()],
            Along::Fret(0) => vec!["zero fret".to_owned(), "0".to_owned()],
            Along::Fret(n) => vec![format!("fret {n}"), n.to_string()],
            Along::MidSpan => vec!["mid-span".to_owned()],
            along if along == bridge.station.along => vec!["bridge".to_owned()],
            _ => continue,
        };
        let x = if matches!(spot.station.along, Along::Nut) {
            layout.nut_front() - 0.5 * layout.nut_thick()
        } else if spot == bridge {
            0.5 * (layout.bridge_ends()[0] + layout.bridge_ends()[1])
        } else {
            spot.middle()
        };
        let [x, y] = place(x, spot.station.slant, up * over);
        let fits = words.into_iter().find(|words| x - 0.5 * TEXT.width(words) > free + AIR);
        if let Some(words) = fits {
            free = x + 0.5 * TEXT.width(&words);
            canvas.text([x, y - AIR], words, TEXT, Anchor::Middle);
        }
    }
}
