//! What to set before a program runs: machine, stock, zero, holding, tools and heights, in words.

use crate::figures::Figures;
use machining::{CutterShape, Holding, Outline, Part, Prepared, Setup, SetupKind, THROUGH, Zero};
use report::{all_time, coordinate, deviation_words, ends_of};
use units::BenchUnit;
use work::Made;

/// What to set, as name and value: machine, stock, zero and holding. What a hand measures stands in the unit of the bench, what the
/// controller shows in that of its programs.
pub(super) fn to_set(part: Part, made: &Made, bench: BenchUnit) -> Vec<[String; 2]> {
    let figures = Figures::new(bench);
    let Made {
        setup,
        prepared,
        jaws_measured,
        ..
    } = made;
    let stock = &setup.stock;
    let mut facts = vec![
        fact("Machine", setup.machine.name.clone()),
        fact(
            "Stock",
            format!(
                "{}: {} thick, {} high, {} long",
                setup.material.name,
                figures.show(stock.thickness),
                figures.show(stock.height),
                figures.show(stock.length),
            ),
        ),
        fact("Holding", holding_words(part, setup, *jaws_measured, figures)),
    ];
    if matches!(part, Part::Saddle(_)) {
        facts.push(fact("Height", report::top_words(setup.leave_proud, bench)));
    }
    if let (Holding::Vise { jaw_height, .. }, SetupKind::OnEdge, Zero::Seat) = (setup.holding, setup.kind, setup.zero) {
        facts.push(fact(
            "Fixed jaw",
            format!(
                "measure with a depth rod, where the tools touch it, how far it stands over the parallel: all heights hang on it. If not \
                 {}, write vise = {{ jaw_height = .. }} in the job and cut anew",
                figures.show(jaw_height)
            ),
        ));
    }
    facts.push(fact("Zero", zero_words(part, setup)));
    facts.extend(tool_facts(setup, prepared, figures));
    if setup.kind == SetupKind::Flat {
        facts.push(fact(
            "Way round",
            format!(
                "over the top and both ends, and down to Y {}; the bottom edge is the stock's own, and the last lap only \
                 skims it true. The stop that sets Y zero is taken away once the tape holds. Put waste board under the tape",
                coordinate(&setup.machine, lowest_y(prepared))
            ),
        ));
    }
    facts
}

/// What to know beside it: the same way.
pub(super) fn to_know(made: &Made) -> Vec<[String; 2]> {
    let Made { setup, prepared, .. } = made;
    let mut facts = vec![fact(
        "Safe height",
        format!(
            "Z {}: rapid moves go no lower, but straight down into the air",
            coordinate(&setup.machine, setup.safe_z())
        ),
    )];
    facts.push(fact("Time", all_time(prepared)));
    if let Some(words) = deviation_words(prepared, "µm") {
        facts.push(fact("Simulated", words));
    }
    facts.push(fact("Figures from", setup.material.source.clone()));
    facts
}

fn fact(name: &str, value: String) -> [String; 2] {
    [name.to_owned(), value]
}

/// Least Y of the tip, mm.
fn lowest_y(prepared: &Prepared) -> f64 {
    let bounds = prepared.programs.iter().filter_map(|p| p.report.bounds);
    bounds.map(|(low, _)| low[1]).fold(0.0, f64::min)
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
fn holding_words(part: Part, setup: &Setup, jaws_measured: bool, figures: Figures) -> String {
    let (_, other) = ends_of(part);
    match setup.holding {
        Holding::Vise { jaw_height, .. } if setup.kind == SetupKind::OnEnd => format!(
            "vise, {other} end down on a parallel, front face on the fixed jaw; the jaws cover {} from the bottom edge, the \
             top edge looks past their side; they are taken to stand as high as the nut",
            figures.show(jaw_height)
        ),
        Holding::Vise {
            jaw_height,
            jaw_thickness,
            jaw_x: (from, to),
        } => {
            let (x0, x1) = setup.jaw_x().unwrap_or_default();
            let told = from.is_finite() && to.is_finite();
            format!(
                "vise, front face on the fixed jaw, bottom edge on a parallel; jaws stand {} above the parallel{}, are {} thick, from X {} to {}{}",
                figures.show(jaw_height),
                if jaws_measured { "" } else { " (assumed: measure yours)" },
                figures.show(jaw_thickness),
                coordinate(&setup.machine, x0),
                coordinate(&setup.machine, x1),
                if told { "" } else { " (ends assumed)" },
            )
        }
        Holding::Tape {
            tabs: 0, tab_height, ..
        } => {
            format!(
                "tape under the whole front face; a skin of {} stays",
                figures.show(tab_height)
            )
        }
        Holding::Tape {
            tab_length, tab_height, ..
        } => match Outline::new(part, setup).map_or(0, |outline| outline.tab_count()) {
            0 => format!(
                "tape under the whole front face, and nothing else; the cut goes {} into the waste board",
                figures.show(THROUGH)
            ),
            tabs => format!(
                "tape under the whole front face; {}, {} long and {} high; beside them the cut goes {} into the waste board",
                counted(tabs),
                figures.show(tab_length),
                figures.show(tab_height),
                figures.show(THROUGH)
            ),
        },
    }
}

/// `1 tab`, `2 tabs`.
fn counted(tabs: usize) -> String {
    format!("{tabs} tab{}", if tabs == 1 { "" } else { "s" })
}

/// The tools in the order of their work.
fn tool_facts(setup: &Setup, prepared: &Prepared, figures: Figures) -> Vec<[String; 2]> {
    let used: Vec<u32> = prepared.programs.iter().flat_map(|p| p.tools.clone()).collect();
    let mut told: Vec<u32> = Vec::new();
    let mut facts = Vec::new();
    for tool in setup.cutters().filter(|tool| used.contains(&tool.number)) {
        if told.contains(&tool.number) {
            continue;
        }
        told.push(tool.number);
        facts.push(fact(
            &format!("Tool {}", tool.number),
            format!(
                "{}: {}, {} edges {} {}; sticks out {} or more from the collet",
                tool.name,
                figures.show(tool.diameter),
                tool.flutes,
                figures.show(tool.cutting_length),
                if tool.shape == CutterShape::Saw {
                    "thick"
                } else {
                    "long"
                },
                figures.show(tool.stick_out),
            ),
        ));
    }
    facts
}
