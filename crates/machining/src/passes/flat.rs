//! The outline flat: levels over ends and crown, then the last of it.
//!
//! The bottom edge is the stock's own and the datum of both setups: every level comes from the air beside it, goes up one end,
//! over the crown and down the other, and climbs all the way. The last lap closes along the bottom edge and skims it true.

use super::way::{GAP, Way, levels};
use super::{PassError, Toolpath, Toolpaths};
use crate::outline::{Curve, Outline, Segment, Side};
use crate::slots::front;
use crate::verify::SKIM;
use crate::{CutTolerance, CutterShape, FeedNote, Holding, Part, Setup, feeds};

/// Share of the judge's limits that the last lap uses: in inner corners and where it runs against a tab it takes more.
const SPARE: f64 = 0.7;
/// Chords of arcs on a machine that takes none, mm.
const CHORDS: f64 = 0.001;

pub(super) fn toolpaths(part: Part, setup: &Setup) -> Result<Toolpaths, PassError> {
    let cutter = &setup.rougher;
    let Holding::Tape {
        tabs,
        tab_length,
        tab_height,
    } = setup.holding
    else {
        return Err(PassError::Holding(
            "a blank that lies flat is held by tape, not in a vise: its outline is cut all round",
        ));
    };
    if !matches!(cutter.shape, CutterShape::Flat) {
        return Err(PassError::Rougher {
            cutter: cutter.name.clone(),
        });
    }
    let thick = setup.stock.thickness;
    if !(tab_height.is_finite()
        && tab_height >= 0.0
        && tab_height < thick
        && tab_length.is_finite()
        && tab_length >= 0.0)
    {
        return Err(PassError::Figure { what: "tab" });
    }
    let outline = Outline::new(part, setup)?;
    let step = setup.material.step_down * cutter.diameter;
    let feeds = feeds(cutter, &setup.material, &setup.machine, setup.spindle, step)?;
    let mut way = Way::new(setup, &feeds);
    let (bottom, seat) = outline.depths();
    let top = setup.raw_top();
    let mut offsets = vec![(cutter.radius() + setup.rough_allowance, step)];
    if setup.rough_allowance > 0.0 {
        offsets.push((cutter.radius(), finishing_step(setup)));
    }
    for (offset, step) in offsets {
        let curve = outline.over(offset)?;
        let laps = Laps {
            tabs: tab_ranges(&outline, &curve, cutter.diameter),
            high: seat + tab_height,
            arcs: setup.machine.arcs,
            below: -(offset + GAP),
            bottom: (offset <= cutter.radius()).then_some(-offset),
            curve,
        };
        for level in levels(top, bottom, step) {
            laps.one(&mut way, level);
        }
    }
    let path: Toolpath = way.finish("cut the outline", cutter);
    let said = path.feeds.notes.iter().map(FeedNote::to_string);
    let by_hand = match part {
        Part::Nut(plan) => front(plan),
        Part::Saddle(_) => None,
    };
    let notes = said
        .chain(holding_notes(&outline, tabs, tab_height))
        .chain(by_hand)
        .collect();
    Ok(Toolpaths {
        paths: vec![path],
        notes,
    })
}

/// Deepest pass of the last lap, mm. It skims a wall, so it may be deeper than a step down as long as its section stays within
/// that of a step and a step over, and the wall does not reach above the cutting edges.
fn finishing_step(setup: &Setup) -> f64 {
    let (cutter, material) = (&setup.rougher, &setup.material);
    let step = material.step_down * cutter.diameter;
    // The simulation sees whole cells.
    let wide = setup.rough_allowance + CutTolerance::of(setup).cell;
    if wide > SPARE * SKIM * cutter.diameter {
        return step;
    }
    let section = step * material.step_over * cutter.diameter;
    (SPARE * section / wide).min(cutter.cutting_length).max(step)
}

/// What is left to hold the part, in plain words.
fn holding_notes(outline: &Outline, wanted: u32, height: f64) -> Option<String> {
    let (found, (room, need)) = (outline.tab_count(), outline.room());
    if wanted == 0 {
        return Some(format!(
            "A skin of {height:.2} mm is left under the outline. Cut it with a knife or a saw and sand it flush."
        ));
    }
    if found >= wanted as usize {
        return None;
    }
    let why = format!("A tab needs {need:.1} mm of stock beyond the top or an end");
    Some(if found == 0 {
        format!(
            "{why}, and this stock reaches {:.1} mm at most: no tabs are left, and the tape alone holds the part while it is cut free. Press it down well, or take a higher or longer stock.",
            room.max(0.0)
        )
    } else {
        format!("{why}: {found} of {wanted} tabs found room.")
    })
}

/// Ranges of length along `curve` where the axis passes a tab, widened by the cutter.
fn tab_ranges(outline: &Outline, curve: &Curve, diameter: f64) -> Vec<(f64, f64)> {
    let (x0, x1) = outline.ends_x();
    let mut ranges = Vec::new();
    for tab in outline.tabs() {
        let (a, z) = (tab.from - 0.5 * diameter, tab.to + 0.5 * diameter);
        let mut before = 0.0;
        let mut range: Option<(f64, f64)> = None;
        for segment in curve.segments() {
            let long = segment.length();
            let (axis, here) = match tab.side {
                Side::Top => (0, segment.to[0] > x0 && segment.from[0] < x1),
                Side::Low => (1, segment.to[0] < x0),
                Side::High => (1, segment.from[0] > x1),
            };
            let (from, to) = (segment.from[axis], segment.to[axis]);
            if here && from != to && from.min(to) < z && from.max(to) > a {
                let share = |v: f64| ((v - from) / (to - from)).clamp(0.0, 1.0) * long + before;
                let (first, last) = (share(a).min(share(z)), share(a).max(share(z)));
                range = Some(range.map_or((first, last), |r| (r.0.min(first), r.1.max(last))));
            }
            before += long;
        }
        ranges.extend(range);
    }
    ranges.sort_by(|a, b| a.0.total_cmp(&b.0));
    ranges
}

struct Laps {
    /// From beside the bottom edge up one end, over the crown and down the other.
    curve: Curve,
    tabs: Vec<(f64, f64)>,
    high: f64,
    arcs: bool,
    /// Y at which the cutter is clear of the stock's bottom edge.
    below: f64,
    /// Y at which it skims the bottom edge; none while roughing.
    bottom: Option<f64>,
}

impl Laps {
    /// Once over at `level`, from the air and into the air beside the bottom edge: nothing is plunged or ramped into.
    fn one(&self, way: &mut Way, level: f64) {
        let ([x0, y0], [x1, _]) = (self.curve.start(), self.curve.end());
        way.enter([x0, self.below, level], level + GAP);
        way.cut([x0, y0, level]);
        self.flat(way, level);
        match self.bottom {
            Some(y) => {
                way.cut([x1, y, level]);
                way.cut([x0, y, level]);
            }
            None => way.cut([x1, self.below, level]),
        }
    }

    /// Along the curve at `level`, over the tabs.
    fn flat(&self, way: &mut Way, level: f64) {
        let (mut at, to) = (0.0, self.curve.length());
        let feed = way.feeds.cut;
        // Every lap is split at the tabs, so that the rounded figures of its arcs are the same at every level.
        for (a, z) in &self.tabs {
            if *a <= at || *z >= to {
                continue;
            }
            let over = level.max(self.high);
            self.along(way, &self.curve.between(at, *a), level);
            self.rise(way, over, feed);
            self.along(way, &self.curve.between(*a, *z), over);
            self.rise(way, level, way.feeds.plunge);
            at = *z;
        }
        self.along(way, &self.curve.between(at, to), level);
    }

    fn rise(&self, way: &mut Way, z: f64, feed: f64) {
        if let Some([x, y, _]) = way.at() {
            way.line([x, y, z], feed);
        }
    }

    fn along(&self, way: &mut Way, segments: &[Segment], z: f64) {
        let feed = way.feeds.cut;
        for segment in segments {
            let [x, y] = segment.to;
            if segment.straight() {
                way.line([x, y, z], feed);
            } else if self.arcs {
                way.arc([x, y, z], segment.centre(), segment.bulge < 0.0, feed);
            } else {
                for [x, y] in segment.chords(CHORDS) {
                    way.line([x, y, z], feed);
                }
            }
        }
    }
}
