//! Grooves that start the slots of a nut: on edge with fine cutters, on end with a saw.

use super::way::{GAP, Way, levels};
use super::{PassError, Toolpath, Toolpaths};
use crate::jaws::{OVER_JAW, jaw_top};
use crate::slots::{Groove, Prism, front, grooves, told};
use crate::{Cutter, FeedNote, Feeds, Setup, SetupKind, feeds};
use numerics::math;
use nut::NutPlan;

/// A saw's way goes on past the faces by this much, mm, so that the whole of a floor that falls is cut.
const OVERRUN: f64 = 0.3;
/// Heights are the same within this, mm.
const SAME: f64 = 1e-9;

pub(super) fn toolpaths(plan: &NutPlan, setup: &Setup) -> Result<Toolpaths, PassError> {
    let prism = Prism::new(plan, setup)?;
    for cutter in setup.groovers() {
        cutter.check()?;
    }
    let (made, left) = grooves(plan, &prism, setup);
    if made.is_empty() {
        return Err(PassError::NoGroove(if setup.kind == SetupKind::OnEnd {
            "saw"
        } else {
            "cutter"
        }));
    }
    clear_of_jaws(&made, setup)?;
    let mut paths = Vec::new();
    for cutter in setup.groovers() {
        let mut own: Vec<&Groove> = made.iter().filter(|g| g.tool == cutter.number).collect();
        if own.is_empty() {
            continue;
        }
        own.sort_by(|a, b| a.front[0].total_cmp(&b.front[0]));
        let step = setup.step_down(cutter);
        let feeds = feeds(cutter, &setup.fine(), &setup.machine, setup.spindle, step)?;
        paths.push(path(&own, &prism, cutter, &feeds, setup));
    }
    let mut notes: Vec<String> = paths
        .iter()
        .flat_map(|p: &Toolpath| &p.feeds.notes)
        .map(FeedNote::to_string)
        .collect();
    notes.push(file_note(&made));
    if plan.fall > 0.0 {
        let wide = match setup.kind {
            SetupKind::OnEnd => "",
            _ => "; the wide upper part of a V groove goes with that",
        };
        notes.push(format!(
            "The top is still level from front to back. File it to fall back by {:.1} degrees as the slots do{wide}.",
            plan.fall.to_degrees()
        ));
    }
    notes.extend(front(plan));
    notes.extend(told(&left));
    Ok(Toolpaths { paths, notes })
}

fn clear_of_jaws(made: &[Groove], setup: &Setup) -> Result<(), PassError> {
    let lift = setup.map_lift();
    let lowest = made
        .iter()
        .flat_map(|g| [g.front[2], g.back[2]])
        .fold(f64::INFINITY, f64::min)
        - lift;
    // On end the jaws' side stands where their top stands on edge.
    let jaw = match setup.kind {
        SetupKind::OnEnd => setup.jaws().iter().map(|j| j.plan[2]).reduce(f64::max),
        _ => jaw_top(setup),
    };
    match jaw {
        Some(jaw) if lowest < jaw + OVER_JAW && setup.kind == SetupKind::OnEnd => {
            Err(PassError::JawsBeside { lowest, jaw })
        }
        Some(jaw) if lowest < jaw + OVER_JAW => Err(PassError::Jaws { lowest, jaw }),
        _ => Ok(()),
    }
}

/// What is left for the file, in one note.
fn file_note(made: &[Groove]) -> String {
    let left: Vec<String> = made.iter().map(|g| format!("{:.2} mm", g.left)).collect();
    let same = left.iter().all(|l| Some(l) == left.first());
    let all = match left.first() {
        Some(one) if same => format!("{one} in each"),
        _ => {
            let each = made.iter().zip(&left).map(|(g, l)| format!("{}: {l}", g.string));
            format!("by string {}", each.collect::<Vec<_>>().join(", "))
        }
    };
    format!(
        "Grooves only start the slots. Finish each with a file gauged to its string and stop by the feeler stack of the plan. Left \
         down to the floor: {all}."
    )
}

/// Most that stands over the line of a groove, mm.
fn deepest(groove: &Groove, prism: &Prism) -> f64 {
    let over = |[x, _, z]: [f64; 3]| prism.height(x) - z;
    let middle = [0, 1, 2].map(|i| 0.5 * (groove.front[i] + groove.back[i]));
    [groove.front, middle, groove.back]
        .map(over)
        .into_iter()
        .fold(0.0, f64::max)
}

fn path(own: &[&Groove], prism: &Prism, cutter: &Cutter, feeds: &Feeds, setup: &Setup) -> Toolpath {
    let mut way = Way::new(setup, feeds);
    let step = setup.step_down(cutter);
    for groove in own {
        // Lines parallel to the last one, each a step lower.
        let lifts = levels(deepest(groove, prism), 0.0, step);
        if setup.kind == SetupKind::OnEnd {
            saw(&mut way, groove, prism, cutter, &lifts, setup);
        } else {
            upright(&mut way, groove, cutter, &lifts, setup);
        }
    }
    way.finish("start the slots", cutter)
}

/// To and fro through the nut, from the air before one face to the air behind the other.
fn upright(way: &mut Way, groove: &Groove, cutter: &Cutter, lifts: &[f64], setup: &Setup) {
    let lower = |[x, y, z]: [f64; 3], lift: f64| [x, y, z + lift - setup.map_lift()];
    let [dx, dy] = [0, 1].map(|i| groove.back[i] - groove.front[i]);
    let length = math::hypot(dx, dy);
    let out = (cutter.radius() + GAP) / length;
    // Beyond the faces the way goes on level: the line itself would come down towards the jaw.
    let beyond = |[x, y, z]: [f64; 3], share: f64| [x + share * dx, y + share * dy, z];
    for (pass, lift) in lifts.iter().enumerate() {
        let (front, back) = (lower(groove.front, *lift), lower(groove.back, *lift));
        let mut ends = [beyond(front, -out), front, back, beyond(back, out)];
        if pass % 2 == 1 {
            ends.reverse();
        }
        if pass == 0 {
            way.enter(ends[0], ends[0][2] + GAP);
        } else {
            way.line(ends[0], way.feeds.plunge);
        }
        for to in &ends[1..] {
            way.cut(*to);
        }
    }
    way.leave();
}

/// In from beside the top edge, along the floor's slope, a step further in, and back; out again before the blade is lifted.
fn saw(way: &mut Way, groove: &Groove, prism: &Prism, cutter: &Cutter, lifts: &[f64], setup: &Setup) {
    let radius = cutter.radius();
    let run = groove.back[1] - groove.front[1];
    let slope = (groove.back[2] - groove.front[2]) / run;
    // The axis keeps the radius square from the floor's line.
    let (up, aside) = (
        radius / math::hypot(slope, 1.0),
        -radius * slope / math::hypot(slope, 1.0),
    );
    let z = setup.raw_top() - groove.front[0] - 0.5 * cutter.cutting_length;
    let axis = |share: f64, lift: f64| {
        let y = groove.front[1] + share * run;
        let v = groove.front[2] + share * (groove.back[2] - groove.front[2]);
        [v + lift + up, y + aside, z]
    };
    let over = OVERRUN / run.abs();
    let (start, end) = (-over, 1.0 + over);
    let clear = prism.crest() + radius + GAP;
    let first = axis(start, lifts.first().copied().unwrap_or(SAME));
    way.enter([clear, first[1], z], z + GAP);
    for (pass, lift) in lifts.iter().enumerate() {
        let (a, b) = if pass % 2 == 0 { (start, end) } else { (end, start) };
        // The teeth are on the rim: inward is no plunge.
        way.cut(axis(a, *lift));
        way.cut(axis(b, *lift));
    }
    if let Some([_, y, _]) = way.at() {
        way.cut([clear, y, z]);
    }
    way.leave();
}
