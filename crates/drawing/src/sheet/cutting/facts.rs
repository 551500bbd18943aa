//! What to set before a program runs: machine, stock, zero, holding, tools and heights, in words.

use machining::{CutterShape, Holding, Outline, Part, Prepared, Setup, SetupKind, THROUGH, Zero};
use report::{all_time, deviation_words};
use work::Made;

/// What to set, as name and value: from the machine to what is checked and left.
pub(super) fn facts(part: Part, made: &Made) -> Vec<[String; 2]> {
    let Made {
        setup,
        prepared,
        jaws_measured,
        ..
    } = made;
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
        fact("Holding", holding_words(part, setup, *jaws_measured)),
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
    if let Some(words) = deviation_words(prepared, "µm") {
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
        (SetupKind::OnEdge, true) => format!("{end} end of the {} itself (X to the other end)", setup.part.name()),
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
                counted(tabs)
            ),
        },
    }
}

/// `1 tab`, `2 tabs`.
fn counted(tabs: usize) -> String {
    format!("{tabs} tab{}", if tabs == 1 { "" } else { "s" })
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
