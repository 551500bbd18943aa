//! From programs to the plain figures of their sheets.

use drawing::{CutOutcome, CutSetup, Extent};
use machining::{
    CutterShape, Holding, Motion, MotionKind, Outline, Part, Prepared, Prism, Setup, SetupKind, THROUGH, Zero, grooves,
    target,
};

use super::made::{Made, is_nut, name};
use super::told::{all_time, deviation, time};
use crate::speak;

/// Places along the part at which its top is drawn.
const PLACES: u32 = 160;
/// Steps in which the top is looked for across the part.
const ACROSS: u32 = 24;
/// Chords of an arc, mm.
const CHORD: f64 = 0.01;

/// Lines on a sheet, each of points in mm.
type Lines = Vec<Vec<[f64; 2]>>;

/// What the setup sheet shows.
pub fn setup_drawing(made: &Made, stem: &str) -> CutSetup {
    let Made {
        part,
        setup,
        prepared,
        jaws_measured,
        ..
    } = made;
    let [x0, y0, x1, y1] = setup.stock_plan();
    let (mut above, mut side) = outlines(*part, setup);
    for [a, z] in groove_lines(*part, setup) {
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
        name: name(*part, setup.kind),
        stock: [[x0, x1], [y0, y1], [setup.seat_z(), setup.raw_top()]],
        jaws: jaws.collect(),
        safe: setup.safe_z(),
        above,
        side,
        facts: facts(*part, setup, prepared, *jaws_measured),
        programs: programs(*part, setup, prepared, stem),
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

/// The part's end at X nought and the other.
fn ends_of(part: Part) -> (&'static str, &'static str) {
    let left_handed = match part {
        Part::Saddle(plan) => plan.left_handed,
        Part::Nut(plan) => plan.left_handed,
    };
    if left_handed {
        ("treble", "bass")
    } else {
        ("bass", "treble")
    }
}

/// Where X, Y and Z are nought.
fn zero_words(part: Part, setup: &Setup) -> String {
    let (end, _) = ends_of(part);
    let (y_at, z_at) = match (setup.kind, setup.zero) {
        (SetupKind::OnEdge, Zero::Seat) => ("front face, on the fixed jaw", "bottom edge, on the parallel"),
        (SetupKind::OnEdge, Zero::RawTop) if setup.outlined => {
            ("front face, on the fixed jaw", "highest place of the part's top")
        }
        (SetupKind::OnEdge, Zero::RawTop) => ("front face, on the fixed jaw", "raw top of the stock"),
        (SetupKind::Flat, Zero::Seat) => ("bottom edge", "front face, that is the top of the tape"),
        (SetupKind::Flat, Zero::RawTop) => ("bottom edge", "face that lies up"),
        (SetupKind::OnEnd, Zero::Seat) => ("front face, on the fixed jaw", "the end that stands down"),
        (SetupKind::OnEnd, Zero::RawTop) => ("front face, on the fixed jaw", "the end that stands up"),
    };
    let x_at = match (setup.kind, setup.outlined) {
        (SetupKind::OnEnd, _) => "bottom edge, against a stop (X toward the top edge)".to_owned(),
        (SetupKind::OnEdge, true) => format!(
            "{end} end of the {} itself (X to the other end)",
            if is_nut(part) { "nut" } else { "saddle" }
        ),
        _ => format!("{end} end of the stock (X to the other end)"),
    };
    format!("X: {x_at}. Y: {y_at}. Z: {z_at}.")
}

/// How the stock is held.
fn holding_words(part: Part, setup: &Setup, jaws_measured: bool) -> String {
    let (_, other) = ends_of(part);
    match setup.holding {
        Holding::Vise { jaw_height, .. } if setup.kind == SetupKind::OnEnd => format!(
            "vise, {other} end down on a parallel, front face on the fixed jaw; the jaws cover X 0 to {jaw_height:.2} mm, the \
             top edge looks past their side; they are taken to stand as high as the nut"
        ),
        Holding::Vise {
            jaw_height,
            jaw_thickness,
            jaw_x: (from, to),
        } => {
            let (x0, x1) = setup.jaw_x().unwrap_or_default();
            let told = from.is_finite() && to.is_finite();
            format!(
                "vise, front face on the fixed jaw, bottom edge on a parallel; jaws stand {jaw_height:.2} mm above the \
                 parallel{}, are {jaw_thickness:.1} mm thick, from X {x0:.1} to {x1:.1} mm{}",
                if jaws_measured { "" } else { " (assumed: measure yours)" },
                if told { "" } else { " (ends assumed)" },
            )
        }
        Holding::Tape {
            tabs: 0, tab_height, ..
        } => {
            format!("tape under the whole front face; a skin of {tab_height:.2} mm stays")
        }
        Holding::Tape {
            tab_length, tab_height, ..
        } => match Outline::new(part, setup).map_or(0, |outline| outline.tab_count()) {
            0 => format!(
                "tape under the whole front face, and nothing else; the cut goes {THROUGH:.1} mm into the waste board"
            ),
            tabs => format!(
                "tape under the whole front face; {}, {tab_length:.1} mm long and {tab_height:.2} mm high; \
                         beside them the cut goes {THROUGH:.1} mm into the waste board",
                speak::count(tabs, "tab")
            ),
        },
    }
}

/// The tools in the order of their work, and how each comes to its Z.
fn tool_facts(setup: &Setup, prepared: &Prepared) -> Vec<[String; 2]> {
    let mut facts = Vec::new();
    let used: Vec<u32> = prepared.programs.iter().flat_map(|p| p.tools.clone()).collect();
    let mut told: Vec<u32> = Vec::new();
    for tool in setup.cutters().filter(|tool| used.contains(&tool.number)) {
        if told.contains(&tool.number) {
            continue;
        }
        told.push(tool.number);
        let touch = prepared.touch_off.iter().find(|(number, _)| *number == tool.number);
        facts.push([
            format!("Tool {}", tool.number),
            format!(
                "{}: {:.2} mm, {} edges {:.1} mm {}; sticks out {:.1} mm or more from the collet. Z: {}.",
                tool.name,
                tool.diameter,
                tool.flutes,
                tool.cutting_length,
                if tool.shape == CutterShape::Saw {
                    "thick"
                } else {
                    "long"
                },
                tool.stick_out,
                touch.map_or("as the first tool", |(_, words)| words)
            ),
        ]);
    }
    facts
}

fn facts(part: Part, setup: &Setup, prepared: &Prepared, jaws_measured: bool) -> Vec<[String; 2]> {
    let stock = &setup.stock;
    let fact = |name: &str, value: String| [name.to_owned(), value];
    let mut facts = vec![
        fact("Machine", setup.machine.name.clone()),
        fact(
            "Stock",
            format!(
                "{:.2} mm thick, {:.2} mm high, {:.2} mm long, {}",
                stock.thickness, stock.height, stock.length, setup.material.name
            ),
        ),
        fact("Zero", zero_words(part, setup)),
        fact("Holding", holding_words(part, setup, jaws_measured)),
        fact(
            "Safe height",
            format!(
                "Z {:.2} mm: rapid moves go no lower, but straight down into the air",
                setup.safe_z()
            ),
        ),
    ];
    if let (Holding::Vise { jaw_height, .. }, SetupKind::OnEdge, Zero::Seat) = (setup.holding, setup.kind, setup.zero) {
        facts.push(fact(
            "Fixed jaw",
            format!(
                "measure with a depth rod, where the tools touch it, how far it stands over the parallel: all heights hang on it. If not \
                 {jaw_height:.2} mm, write vise = {{ jaw_height = .. }} in the job and cut anew"
            ),
        ));
    }
    facts.extend(tool_facts(setup, prepared));
    if setup.kind == SetupKind::Flat {
        facts.push(fact(
            "Way round",
            format!(
                "over the top and both ends, and down to Y {:.1} mm; the bottom edge is the stock's own, and the last lap only \
                 skims it true. The stop that sets Y zero is taken away once the tape holds. Put waste board under the tape",
                lowest_y(prepared)
            ),
        ));
    }
    for (i, words) in prepared.heights.iter().enumerate() {
        let (name, lead) = if i == 0 {
            ("Check", "before it is let go, ")
        } else {
            ("", "")
        };
        facts.push(fact(name, format!("{lead}{words}")));
    }
    facts.push(fact("Time", all_time(prepared)));
    if let Some(words) = deviation(prepared, "µm") {
        facts.push(fact("Simulated", words));
    }
    facts.push(fact("Figures from", setup.material.source.clone()));
    facts
}

/// Least Y of the tip, mm.
fn lowest_y(prepared: &Prepared) -> f64 {
    let bounds = prepared.programs.iter().filter_map(|p| p.report.bounds);
    bounds.map(|(low, _)| low[1]).fold(0.0, f64::min)
}

fn programs(part: Part, setup: &Setup, prepared: &Prepared, stem: &str) -> Vec<[String; 6]> {
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
                    (SetupKind::OnEdge, _) if is_nut(part) => "start the slots",
                    (SetupKind::OnEdge, true) => "rough the crown",
                    (SetupKind::OnEdge, false) => "finish the crown",
                    (SetupKind::Flat, _) => "cut the outline",
                })
                .collect();
            let most = |of: fn(&Motion) -> f64| program.report.motions.iter().map(of).fold(0.0, f64::max);
            let t = program.report.time;
            [
                format!("{stem}-{}\nmark {}", program.name, program.marks.mark),
                tools.join(", "),
                work.join("\n"),
                format!("{:.0} rev/min\nto {:.0} mm/min", most(|m| m.spindle), most(|m| m.feed)),
                time(t.cutting),
                format!("{}\n{}", time(t.air), time(t.other)),
            ]
        })
        .collect()
}

/// What the programs leave and how the tools go; `None` if nothing was simulated.
pub fn outcome(made: &Made) -> Option<CutOutcome> {
    let Made {
        part, setup, prepared, ..
    } = made;
    let last = prepared.programs.last()?.report.deviation.as_ref()?;
    let limits = machining::CutTolerance::of(setup);
    let (mut feeds, mut rapids) = (Vec::new(), Vec::new());
    for program in &prepared.programs {
        // The way up from wherever the tool stands is not known.
        for motion in program.report.motions.iter().skip(1) {
            let list = if motion.kind == MotionKind::Rapid {
                &mut rapids
            } else {
                &mut feeds
            };
            add(list, motion);
        }
    }
    Some(CutOutcome {
        name: match (part, setup.kind) {
            (Part::Saddle(_), SetupKind::OnEdge) => "Left by cutting on edge",
            (Part::Saddle(_), SetupKind::Flat) => "Left by cutting flat",
            (Part::Nut(_), SetupKind::OnEdge) => "Nut: left by cutting on edge",
            (Part::Nut(_), SetupKind::Flat) => "Nut: left by cutting flat",
            (_, SetupKind::OnEnd) => "Nut: left by sawing on end",
        },
        seen: if setup.kind == SetupKind::OnEnd {
            "onto the top edge"
        } else {
            "from above"
        },
        low: last.grid.low,
        cell: last.grid.cell,
        count: last.grid.count,
        values: last.values.clone(),
        limits: [limits.gouge, limits.excess],
        found: [last.gouge, last.excess.max(last.unreached)],
        feeds,
        rapids,
    })
}

/// Adds a motion to the line that ends where it begins, or begins a line.
fn add(lines: &mut Vec<Vec<[f64; 3]>>, motion: &Motion) {
    let count = motion.chord_count(CHORD);
    let points = (1..=count).map(|k| motion.at(f64::from(k) / f64::from(count)));
    match lines.last_mut() {
        Some(line) if line.last() == Some(&motion.from) => line.extend(points),
        _ => lines.push(std::iter::once(motion.from).chain(points).collect()),
    }
}
