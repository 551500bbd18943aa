//! From the programs of a setup to the plain figures of its sheet, in program coordinates (mm).

use super::facts::{to_know, to_set};
use crate::canvas::Point;
use crate::names::program_name;
use machining::{Motion, Part, PartKind, Prepared, Prism, Setup, SetupKind, grooves, target};
use report::{SettingTable, check_table, setup_words, time, touch_table};
use units::{BenchUnit, MM_PER_INCH};
use work::Made;

/// Places along the part at which its top is drawn.
const PLACES: u32 = 160;
/// Steps in which the top is looked for across the part.
const ACROSS: u32 = 24;

/// A box in program coordinates: least and greatest X, Y and Z, mm.
pub(super) type Extent = [[f64; 2]; 3];

/// How one setup is held and cut.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct CutSetup {
    /// Name of the sheet.
    pub(super) name: &'static str,
    /// The stock.
    pub(super) stock: Extent,
    /// The jaws; none when it is taped.
    pub(super) jaws: Vec<Extent>,
    /// Height of rapid moves, mm.
    pub(super) safe: f64,
    /// The finished part seen from above, lines of X and Y.
    pub(super) above: Vec<Vec<Point>>,
    /// The finished part seen from the side, lines of X and Z.
    pub(super) side: Vec<Vec<Point>>,
    /// What to set: name and value.
    pub(super) to_set: Vec<[String; 2]>,
    /// What to know beside it.
    pub(super) to_know: Vec<[String; 2]>,
    /// How every tool is touched off.
    pub(super) touch: SettingTable,
    /// What to measure before the part is let go.
    pub(super) check: SettingTable,
    /// Programs in order: program, tool and what it does, speed and feed, time in the cut and beside it.
    pub(super) programs: Vec<Vec<String>>,
    /// Remarks in plain words.
    pub(super) remarks: Vec<String>,
}

/// Lines on a sheet, each of points in mm.
type Lines = Vec<Vec<Point>>;

/// What the setup sheet shows.
/// `stem` goes before the names of programs.
pub(super) fn cut_setup(part: Part, made: &Made, stem: &str, bench: BenchUnit) -> CutSetup {
    let Made { setup, prepared, .. } = made;
    let [x0, y0, x1, y1] = setup.stock_plan();
    let (mut above, mut side) = outlines(part, setup);
    for [a, z] in groove_lines(part, setup) {
        above.push(vec![[a[0], a[1]], [z[0], z[1]]]);
        if setup.kind == SetupKind::OnEnd {
            side.push(vec![[setup.stock.height, z[2]], [z[0], z[2]]]);
        }
    }
    let jaws = setup.jaws().into_iter().map(|jaw| -> Extent {
        [
            [jaw.plan[0], jaw.plan[2]],
            [jaw.plan[1], jaw.plan[3]],
            [setup.seat_z(), jaw.top],
        ]
    });
    let mut remarks = prepared.notes.clone();
    remarks.insert(0, prepared.registration.to_owned());
    CutSetup {
        name: setup_words(setup.part, setup.kind),
        stock: [[x0, x1], [y0, y1], [setup.seat_z(), setup.raw_top()]],
        jaws: jaws.collect(),
        safe: setup.safe_z(),
        above,
        side,
        to_set: to_set(part, made, bench),
        to_know: to_know(made),
        touch: touch_table(part, made),
        check: check_table(part, made, bench),
        programs: programs(setup, prepared, stem),
        remarks,
    }
}

/// The finished part from above and from the side.
fn outlines(part: Part, setup: &Setup) -> (Lines, Lines) {
    let Ok(target) = target(part, setup) else {
        return (Vec::new(), Vec::new());
    };
    let [x0, y0, x1, y1] = target.bounds();
    let walls = target.walls();
    let above = if walls.is_empty() {
        vec![vec![[x0, y0], [x1, y0], [x1, y1], [x0, y1], [x0, y0]]]
    } else {
        let closed = |mut wall: Vec<[f64; 2]>| {
            wall.extend(wall.first().copied());
            wall
        };
        walls.into_iter().map(closed).collect()
    };
    let share = |i: u32, of: u32| (f64::from(i) + 0.5) / f64::from(of);
    let top: Vec<[f64; 2]> = (0..PLACES)
        .filter_map(|i| {
            let x = x0 + (x1 - x0) * share(i, PLACES);
            let heights = (0..ACROSS).filter_map(|j| target.height(x, y0 + (y1 - y0) * share(j, ACROSS)));
            let [px, _, pz] = setup.from_map([x, 0.0, heights.reduce(f64::max)?]);
            Some([px, pz])
        })
        .collect();
    if setup.kind == SetupKind::OnEnd {
        let [x0, y0, x1, y1] = setup.stock_plan();
        return (vec![vec![[x0, y0], [x1, y0], [x1, y1], [x0, y1], [x0, y0]]], vec![top]);
    }
    (above, vec![top])
}

/// Where the bottoms of a nut's grooves run, from face to face, in the machine's axes.
fn groove_lines(part: Part, setup: &Setup) -> Vec<[[f64; 3]; 2]> {
    let Part::Nut(plan) = part else { return Vec::new() };
    let Ok(prism) = Prism::new(plan, setup) else {
        return Vec::new();
    };
    let (made, _) = grooves(plan, &prism, setup);
    let lines = made.iter().map(|g| [g.front, g.back].map(|at| setup.from_map(at)));
    lines.collect()
}

/// Programs in order, as the table of the sheet has them.
fn programs(setup: &Setup, prepared: &Prepared, stem: &str) -> Vec<Vec<String>> {
    prepared
        .programs
        .iter()
        .map(|program| {
            let tools: Vec<String> = program.tools.iter().map(u32::to_string).collect();
            let work: Vec<&str> = program
                .tools
                .iter()
                .map(|number| match (setup.kind, *number == setup.rougher.number) {
                    (SetupKind::OnEnd, _) => "start the slots",
                    (SetupKind::OnEdge, _) if setup.part == PartKind::Nut => "start the slots",
                    (SetupKind::OnEdge, true) => "rough the crown",
                    (SetupKind::OnEdge, false) => "finish the crown",
                    (SetupKind::Flat, _) => "cut the outline",
                })
                .collect();
            let most = |of: fn(&Motion) -> f64| program.report.motions.iter().map(of).fold(0.0, f64::max);
            let t = program.report.time;
            vec![
                format!("{}\nmark {}", program_name(stem, program), program.marks.mark),
                format!("{}: {}", tools.join(", "), work.join(", ")),
                format!("{:.0} /min\nto {}", most(|m| m.spindle), feed(setup, most(|m| m.feed))),
                format!("{}\nand {}", time(t.cutting), time(t.air + t.other)),
            ]
        })
        .collect()
}

/// A feed as the controller shows it; it is inside in mm/min.
fn feed(setup: &Setup, feed: f64) -> String {
    if setup.machine.inch {
        format!("{:.1} in/min", feed / MM_PER_INCH)
    } else {
        format!("{feed:.0} mm/min")
    }
}
