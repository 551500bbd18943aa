//! What is set and measured at the machine, as tables: how every tool is touched off, and what to check before the part is let go.

use crate::figures::length;
use machining::{HEIGHT_OFF, Height, Holding, Machine, Part, SetupKind, ToZ, ToolTouch, Touch, TouchWhen};
use units::{BenchUnit, MM_PER_INCH};
use work::Made;

/// Paper between a tool and what it touches, mm, for the example beside the figures. Common practice, no source.
const PAPER: f64 = 0.1;

/// A table of a setup.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SettingTable {
    /// The heading.
    pub head: &'static str,
    /// Heads of the columns.
    pub columns: Vec<String>,
    /// Rows, each with a cell for every column.
    pub rows: Vec<Vec<String>>,
    /// What is to be known beside it.
    pub note: String,
}

/// A place or a height as the controller shows it, in the unit of its programs.
#[must_use]
pub fn coordinate(machine: &Machine, mm: f64) -> String {
    if machine.inch {
        format!("{} in", numerics::fixed(mm / MM_PER_INCH, 4))
    } else {
        format!("{} mm", numerics::fixed(mm, 3))
    }
}

/// The part's end at X nought and the other.
#[must_use]
pub fn ends_of(part: Part) -> (&'static str, &'static str) {
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

/// What X counts from.
fn end_words(part: Part, made: &Made) -> String {
    let (end, _) = ends_of(part);
    if made.setup.outlined {
        format!("the {end} end of the {} itself", made.setup.part.name())
    } else {
        format!("the {end} end of the stock")
    }
}

/// How X, Y and the Z of every tool are set, in order.
#[must_use]
pub fn touch_table(part: Part, made: &Made) -> SettingTable {
    let setup = &made.setup;
    let mut rows = Vec::new();
    let set = |axis: &str| format!("{axis}: minus the sum of half its diameter and the paper");
    let side = match setup.kind {
        SetupKind::OnEdge => Some("the fixed jaw's face, from the front, before the stock goes in".to_owned()),
        SetupKind::Flat => Some("the bottom edge, from outside, once the stop is taken away".to_owned()),
        // A saw's stock sits against stops.
        SetupKind::OnEnd => None,
    };
    if let Some(side) = side {
        let end = format!("{}, from outside", end_words(part, made));
        for (axis, against) in [("X", end), ("Y", side)] {
            rows.push(vec![
                format!("{axis}, first, spindle stopped"),
                format!("edge finder or straight tool against {against}, paper between"),
                set(axis),
            ]);
        }
    }
    rows.extend(made.prepared.touch_off.iter().map(|touch| touch_row(touch, made)));
    SettingTable {
        head: "Touch off, in this order",
        columns: ["what, and when", "touch", "then type"].map(str::to_owned).to_vec(),
        rows,
        note: format!(
            "Lower it by hand onto paper or a gauge until that just drags, the same for every tool. Measure it (paper is about {}): that is what \
             to add.",
            coordinate(&setup.machine, PAPER)
        ),
    }
}

fn touch_row(touch: &ToolTouch, made: &Made) -> Vec<String> {
    let machine = &made.setup.machine;
    let tool = touch.tool;
    let name = made.setup.cutters().find(|cutter| cutter.number == tool);
    let name = name.map_or_else(String::new, |cutter| format!(", {}", cutter.name));
    let when = match touch.when {
        TouchWhen::BeforeFirst => "before the first program",
        TouchWhen::AtPause => "at the pause of the program (M0)",
        TouchWhen::BeforeOwn => "before its own program",
    };
    let z = |mm: f64| coordinate(machine, mm);
    let lower = |on: &Touch| format!("lower it on {}", on.words());
    let plus = |on: &Touch| {
        format!(
            "Z: {} plus the gauge; with paper of {}: {}",
            z(on.z),
            z(PAPER),
            z(on.z + PAPER)
        )
    };
    let (touched, then) = match touch.to_z {
        ToZ::Table(Some(on)) => (
            format!(
                "take it up (T{tool} M6, G43 H{tool}): its length stands in the controller's table. Then {}",
                lower(&on)
            ),
            plus(&on),
        ),
        ToZ::Table(None) => (
            format!("nothing: its length stands in the controller's table, and the program takes it up (G43 H{tool})"),
            "Do not set Z again".to_owned(),
        ),
        ToZ::Lowered(on) => (lower(&on), plus(&on)),
        ToZ::Noted { on, again } => (
            format!("{}; after that in the same way on {}", lower(&on), again.words()),
            format!(
                "there {}. On the second type nothing: write down what Z says, about {}: ________",
                plus(&on),
                z(again.z)
            ),
        ),
        ToZ::AsNoted { on, gone, of } => (
            format!("{}, the same gauge as before: {} is gone", lower(&on), gone.words()),
            format!("Z: what was written down for tool {of}, about {}", z(on.z)),
        ),
    };
    vec![format!("Z of tool {tool}{name}, {when}"), touched, then]
}

/// What to measure before the part is let go, string by string.
#[must_use]
pub fn check_table(part: Part, made: &Made, bench: BenchUnit) -> SettingTable {
    let (setup, prepared) = (&made.setup, &made.prepared);
    let shown = |mm: f64| length(bench, mm);
    // The other unit stands under the first.
    let cell = |mm: f64| shown(mm).replacen(" (", "\n(", 1);
    let jaw = match (setup.kind, setup.holding) {
        (SetupKind::OnEdge, Holding::Vise { jaw_height, .. }) => Some(jaw_height),
        _ => None,
    };
    let along = |h: &Height| match setup.kind {
        SetupKind::OnEnd => setup.raw_top() - h.at,
        SetupKind::OnEdge | SetupKind::Flat => h.at,
    };
    let from = match setup.kind {
        SetupKind::OnEnd => "down from the upper end".to_owned(),
        SetupKind::OnEdge | SetupKind::Flat => format!("along from {}", end_words(part, made)),
    };
    let over = match setup.kind {
        SetupKind::OnEdge => "height over the parallel",
        SetupKind::Flat | SetupKind::OnEnd => "height over the bottom edge",
    };
    let mut columns = vec!["string".to_owned(), from, over.to_owned()];
    columns.extend(jaw.map(|_| "over the fixed jaw".to_owned()));
    let rows = prepared.heights.iter().map(|h| {
        let mut row = vec![h.string.to_string(), cell(along(h)), cell(h.height)];
        row.extend(jaw.map(|jaw| cell(h.height - jaw)));
        row
    });
    let mut rows: Vec<Vec<String>> = rows.collect();
    if let Some(length) = prepared.length {
        rows.push(vec!["both".to_owned(), "from end to end".to_owned(), cell(length)]);
    }
    let what = match (part, setup.kind) {
        (_, SetupKind::Flat) => "To the top of the outline, the caliper's jaws in the cut.",
        (Part::Saddle(_), _) => "To the highest place of the crown there, with the depth rod of a caliper.",
        (Part::Nut(_), _) => "To the bottom of the groove at the front face, with the depth rod of a caliper.",
    };
    let mend = match setup.kind {
        SetupKind::Flat => "Measure the cutter; where too much stands, run the program again.",
        SetupKind::OnEdge => "Set Z right; where too much stands, run the last program again.",
        SetupKind::OnEnd => "Set X right; where too much stands, run the last program again.",
    };
    SettingTable {
        head: "Check before you let it go",
        columns,
        rows,
        note: format!(
            "{what} Off by more than {}? Leave the part held. {mend}",
            shown(HEIGHT_OFF)
        ),
    }
}
