//! The outline flat: levels around it, then the last of it.

use super::{GAP, PassError, Toolpath, Toolpaths, Way, levels};
use crate::outline::{Curve, Outline, Segment};
use crate::{CutterShape, FeedNote, Holding, Setup, feeds};
use saddle::Plan;

/// Slope of a ramp down into the stock. Common practice, no source.
const RAMP: f64 = 0.05;
/// Chords of arcs on a machine that takes none, mm.
const CHORDS: f64 = 0.001;

pub(super) fn toolpaths(plan: &Plan, setup: &Setup) -> Result<Toolpaths, PassError> {
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
    let outline = Outline::new(plan, setup)?;
    let mut notes = Vec::new();
    let step = setup.material.step_down * cutter.diameter;
    let feeds = feeds(cutter, &setup.material, &setup.machine, setup.spindle, step)?;
    let mut way = Way::new(setup, &feeds);
    let (bottom, seat) = outline.depths();
    let top = setup.raw_top();
    let high = seat + tab_height;
    // A tab of stock joins the part to what stands above it.
    let joined = high_enough(&outline, setup);
    if tabs > 0 && !joined {
        notes.push("The stock does not reach far enough above the crown for tabs to hold on to; the tape alone holds the part at the end.".to_owned());
    }
    if tabs == 0 {
        notes.push(format!(
            "A skin of {tab_height:.2} mm is left under the outline. Cut it with a knife or a saw and sand it flush."
        ));
    }
    let mut offsets = vec![cutter.radius() + setup.rough_allowance];
    if setup.rough_allowance > 0.0 {
        offsets.push(cutter.radius());
    }
    let levels = levels(top, bottom, step);
    for offset in offsets {
        let curve = outline.around(offset)?;
        let laps = Laps {
            tabs: if tabs > 0 {
                tab_ranges(&outline, &curve, cutter.diameter)
            } else {
                Vec::new()
            },
            high,
            arcs: setup.machine.arcs,
            curve,
        };
        let mut before = top;
        for level in &levels {
            laps.one(&mut way, before, *level, offset > cutter.radius());
            before = *level;
        }
    }
    let path: Toolpath = way.finish("cut the outline", cutter);
    let said = path.feeds.notes.iter().map(FeedNote::to_string);
    let notes = said.chain(notes).collect();
    Ok(Toolpaths {
        paths: vec![path],
        notes,
    })
}

fn high_enough(outline: &Outline, setup: &Setup) -> bool {
    outline.tabs().iter().all(|(a, z)| {
        let top = outline.silhouette(0.5 * (a + z));
        setup.stock.height > top + setup.rougher.diameter
    })
}

/// Ranges of length along `curve` where the axis passes a tab, widened by the cutter.
fn tab_ranges(outline: &Outline, curve: &Curve, diameter: f64) -> Vec<(f64, f64)> {
    let mut ranges = Vec::new();
    for (a, z) in outline.tabs() {
        let (a, z) = (a - 0.5 * diameter, z + 0.5 * diameter);
        let mut before = 0.0;
        let mut range: Option<(f64, f64)> = None;
        for segment in curve.segments() {
            let long = segment.length();
            // Along the top only: it is gone along from less to more X.
            let run = segment.to[0] - segment.from[0];
            if run > 0.0 && segment.from[1] > 0.0 && segment.from[0] < z && segment.to[0] > a {
                let share = |x: f64| ((x - segment.from[0]) / run).clamp(0.0, 1.0) * long + before;
                let (from, to) = (share(a), share(z));
                range = Some(range.map_or((from, to), |r| (r.0.min(from), r.1.max(to))));
            }
            before += long;
        }
        ranges.extend(range);
    }
    ranges.sort_by(|a, b| a.0.total_cmp(&b.0));
    ranges
}

struct Laps {
    curve: Curve,
    tabs: Vec<(f64, f64)>,
    high: f64,
    arcs: bool,
}

impl Laps {
    /// Once round at `level`: down a ramp along the bottom edge from `before`, round, and over the ramp again.
    fn one(&self, way: &mut Way, before: f64, level: f64, rough: bool) {
        let long = self.curve.length();
        let bottom = self.curve.segments().first().map_or(0.0, Segment::length);
        let ramp = ((before - level) / RAMP).min(0.9 * bottom);
        let [x, y] = self.curve.start();
        if rough {
            way.enter([x, y, before], before + GAP);
            let down = self.curve.between(0.0, ramp);
            self.along(way, &down, before, level, way.feeds.ramp);
        } else {
            // The last of the outline is met from the air beside the bottom edge.
            let [ax, ay] = self.curve.segments().first().map_or([x, y], |s| s.at(0.5));
            way.enter([ax, ay - GAP, level], level + GAP);
            way.cut([ax, ay, level]);
            self.flat(way, 0.5 * bottom, long, level);
            self.flat(way, 0.0, 0.5 * bottom, level);
            way.cut([ax, ay - GAP, level]);
            way.leave();
            return;
        }
        self.flat(way, ramp, long, level);
        self.flat(way, 0.0, ramp, level);
    }

    /// Along the curve at `level`, over the tabs.
    fn flat(&self, way: &mut Way, from: f64, to: f64, level: f64) {
        let mut at = from;
        let feed = way.feeds.cut;
        // Every lap is split at the tabs, so that the rounded figures of its arcs are the same at every level.
        for (a, z) in &self.tabs {
            if *a <= at || *z >= to {
                continue;
            }
            let over = level.max(self.high);
            self.along(way, &self.curve.between(at, *a), level, level, feed);
            self.rise(way, over, feed);
            self.along(way, &self.curve.between(*a, *z), over, over, feed);
            self.rise(way, level, way.feeds.plunge);
            at = *z;
        }
        self.along(way, &self.curve.between(at, to), level, level, feed);
    }

    fn rise(&self, way: &mut Way, z: f64, feed: f64) {
        if let Some([x, y, _]) = way.at() {
            way.line([x, y, z], feed);
        }
    }

    fn along(&self, way: &mut Way, segments: &[Segment], from: f64, to: f64, feed: f64) {
        let whole: f64 = segments.iter().map(Segment::length).sum();
        let mut done = 0.0;
        for segment in segments {
            let start = done;
            done += segment.length();
            let z = |length: f64| from + (to - from) * (length / whole).min(1.0);
            if segment.straight() {
                way.line([segment.to[0], segment.to[1], z(done)], feed);
            } else if self.arcs {
                let end = [segment.to[0], segment.to[1], z(done)];
                way.arc(end, segment.centre(), segment.bulge < 0.0, feed);
            } else {
                let chords = segment.chords(CHORDS);
                let count = chords.len().max(1) as f64;
                for (i, [x, y]) in chords.into_iter().enumerate() {
                    let length = start + segment.length() * (i as f64 + 1.0) / count;
                    way.line([x, y, z(length)], feed);
                }
            }
        }
    }
}
