//! The three tables of a plan: what to make, how it will play, the load and what filing costs.

use crate::columns::in_bench;
use crate::figures::{NEWTONS_PER_POUND, degrees, fixed, length, signed};
use crate::grid::{Group, grid};
use crate::tolerance::percent;
use crate::wrap::wrapped;
use saddle::{Bearing, Hold, Plan, StringPlan};
use units::BenchUnit;
use work::{Heights, StringHeight};

/// What is read at arm's length, strings bass to treble: how high, how far back, how proud at first. At most 80 columns wide. What is
/// not to be made has another head, and is not left proud.
#[must_use]
pub fn first_table(plan: &Plan, heights: &Heights, to_be_made: bool, bench: BenchUnit) -> String {
    let held = plan.strings.iter().any(|s| s.hold != Hold::Free);
    let [make, _] = plan_heads(to_be_made).map(str::to_uppercase);
    let proud = heights.proud.filter(|_| to_be_made);
    let mut text = format!(
        "{make}\n\n{}",
        to_make(plan, heights, proud.filter(|by| *by > 0.0), bench)
    );
    if held {
        text += match (&plan.ways_out, plan.zero_fret) {
            (Some(_), false) => "* held at the land; the notes say what that costs and give three ways out\n",
            (Some(_), true) => "* held at the land; the notes say what that costs and give two ways out\n",
            (None, _) => "* held at the land; the notes say what that costs\n",
        };
    }
    text +=
        &proud_words(proud, heights, bench).map_or_else(String::new, |words| format!("\n{}", wrapped(&words, "", "")));
    text + &wrapped(&beside_words(heights), "", "")
}

/// The rest of the plan as tables, strings bass to treble, in `bench` with the other unit beside it. At most 80 columns wide. What is not
/// to be made has other heads.
#[must_use]
pub fn table(plan: &Plan, to_be_made: bool, bench: BenchUnit) -> String {
    let [_, plays] = plan_heads(to_be_made).map(str::to_uppercase);
    let mut text = format!("ALONG THE BLANK\n\n{}", along(plan, bench));
    text += &format!("\n{}", blank(plan, bench));
    text += &format!("\n{plays}\n\n{}", as_it_plays(plan, bench));
    text += &format!("\nLOAD, AND WHAT FILING COSTS\n\n{}", load_and_filing(plan, bench));
    text += &wrapped(
        &format!(
            "Filing: what is lost for each {} that a contact is moved toward the nut, filed down the front fall.",
            step(plan, bench)
        ),
        "",
        "",
    );
    text
}

/// Heads of the tables of what is made and how it plays.
#[must_use]
pub fn plan_heads(to_be_made: bool) -> [&'static str; 2] {
    if to_be_made {
        ["To make", "As it will play"]
    } else {
        ["Where the contacts would lie", "As it would play"]
    }
}

/// The column that names the strings.
fn names(plan: &Plan) -> [Group; 1] {
    let longest = plan.strings.iter().map(|s| s.note.chars().count()).max().unwrap_or(0);
    [Group::new(&[]).column(
        "string",
        plan.strings
            .iter()
            .map(move |s| format!("{} {:<longest$}", s.number, s.note)),
    )]
}

/// A length in both units under one head.
fn lengths(plan: &Plan, bench: BenchUnit, head: &[&str], value: impl Fn(&StringPlan) -> Option<f64>) -> Group {
    let column = |group: Group, unit: BenchUnit| {
        let cell = |s| value(s).map_or_else(|| "-".to_owned(), |mm| unit.number(mm));
        let cells: Vec<String> = plan.strings.iter().map(cell).collect();
        group.column(unit.name(), cells.into_iter())
    };
    column(column(Group::new(head), bench), bench.other())
}

/// How proud to leave the whole saddle, in words; `None` where that is not known.
#[must_use]
pub fn proud_words(proud: Option<f64>, heights: &Heights, bench: BenchUnit) -> Option<String> {
    let chance = percent(heights.chance);
    let proud = proud?;
    Some(if proud > 0.0 {
        format!(
            "Leave the whole saddle {} proud at first: with that the chance is {chance} that no string ends too low (\"bonewright tolerance\"). String up, read, and take the rest off the top.",
            length(bench, proud)
        )
    } else {
        format!("As planned, with a chance of {chance} no string ends too low: nothing need be left proud.")
    })
}

/// What the columns beside the heights say.
#[must_use]
pub fn beside_words(heights: &Heights) -> String {
    let mut words = Vec::new();
    if heights.strings.iter().any(|s| s.sure_to.is_some()) {
        words.push("Sure to: so near lies, in 95 of 100 cases, the height that brings the action.");
    }
    if heights.strings.iter().any(|s| s.off_old.is_some_and(|off| off >= 0.0)) {
        words.push("Off the old: what the old saddle's top would have to lose there.");
    }
    if heights.strings.iter().any(|s| s.off_old.is_some_and(|off| off < 0.0)) {
        words.push("Off the old, with a minus: so much too low the old saddle is.");
    }
    words.join(" ")
}

fn to_make(plan: &Plan, heights: &Heights, proud: Option<f64>, bench: BenchUnit) -> String {
    let height = lengths(plan, bench, &["up from", "the bottom"], |s| Some(s.contact.v));
    let mut back = lengths(plan, bench, &["back from", "the front face"], |s| Some(s.contact.b));
    if plan.strings.iter().any(|s| s.hold != Hold::Free) {
        let mark = |s: &StringPlan| if s.hold == Hold::Free { " " } else { "*" };
        back = back.column("", plan.strings.iter().map(|s| mark(s).to_owned()));
    }
    let [names] = names(plan);
    let mut groups = vec![names, height];
    if let Some(by) = proud {
        let first = plan.strings.iter().map(|s| Some(s.contact.v + by));
        groups.push(in_bench(bench, &["proud,", "first to"], first));
    }
    groups.push(back);
    let mut beside = |head: &[&str], value: fn(&StringHeight) -> Option<f64>| {
        if heights.strings.iter().any(|s| value(s).is_some()) {
            groups.push(in_bench(bench, head, heights.strings.iter().map(value)));
        }
    };
    beside(&["sure", "to"], |s| s.sure_to);
    beside(&["off", "the old"], |s| s.off_old);
    grid(&groups)
}

fn along(plan: &Plan, bench: BenchUnit) -> String {
    let along = lengths(plan, bench, &["along from", "the bass end"], |s| {
        Some(s.contact.u - plan.ends.0)
    });
    let [names] = names(plan);
    let exposure = lengths(plan, bench, &["exposure above", "the bridge"], |s| s.exposure);
    grid(&[names, along, exposure])
}

/// Blank and crown in words.
fn blank(plan: &Plan, bench: BenchUnit) -> String {
    let (blank, crown) = (&plan.blank, &plan.crown);
    let show = |mm| length(bench, mm);
    let indent = " ".repeat(7);
    let material = if blank.material.is_empty() {
        String::new()
    } else {
        format!("{}, ", blank.material)
    };
    let blank = format!(
        "{material}{} thick, {} high, {} long, leaning {}",
        show(blank.thickness),
        show(blank.height),
        length(bench.rule(), blank.length),
        degrees(plan.lean),
    );
    let crown = format!(
        "falls {} to the front and {} to the back, ridge rounded to a radius of {}",
        degrees(crown.front_fall),
        degrees(crown.back_fall),
        show(crown.rounding),
    );
    let mut text = wrapped(&blank, "Blank: ", &indent) + &wrapped(&crown, "Crown: ", &indent);
    if plan.zero_fret {
        text += &wrapped(
            "the open strings end on a zero fret; nothing is filed at a nut",
            "Other end: ",
            &indent,
        );
    }
    text
}

fn as_it_plays(plan: &Plan, bench: BenchUnit) -> String {
    let strings = || plan.strings.iter();
    let [names] = names(plan);
    let cents = Group::new(&["cents"])
        .column("at 12", strings().map(|s| signed(s.cents[11], 1)))
        .column("worst", strings().map(|s| signed(worst(s).1, 1)))
        .column("fret", strings().map(|s| worst(s).0.to_string()));
    grid(&[
        names,
        lengths(plan, bench.action(), &["action at 12"], |s| Some(s.action_12)),
        lengths(plan, bench, &["gap at fret 1"], |s| Some(s.action_1)),
        lengths(plan, bench, &["setback"], |s| Some(s.setback)),
        cents,
    ])
}

/// The fret with the largest error, and that error in cents.
fn worst(string: &StringPlan) -> (usize, f64) {
    string
        .cents
        .iter()
        .enumerate()
        .max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
        .map_or((12, 0.0), |(i, cents)| (i + 1, *cents))
}

fn step(plan: &Plan, bench: BenchUnit) -> String {
    let forward = plan.strings.first().map_or(0.0, |s| s.filing.forward);
    let beside = if bench.is_metric() { bench } else { bench.other() };
    format!("1/64 in ({})", beside.show(forward))
}

fn load_and_filing(plan: &Plan, bench: BenchUnit) -> String {
    let strings = || plan.strings.iter();
    let [names] = names(plan);
    let tension = Group::new(&["tension"])
        .column("N", strings().map(|s| fixed(s.tension, 1)))
        .column("lbf", strings().map(|s| fixed(s.tension / NEWTONS_PER_POUND, 1)));
    let bend = Group::new(&["break", "angle"]).column(
        "degrees",
        strings().map(|s| match s.termination.bearing {
            Bearing::Bears { break_angle } => fixed(break_angle.to_degrees(), 1),
            Bearing::Lifted => "lifted".to_owned(),
            Bearing::ExitUnknown => "-".to_owned(),
        }),
    );
    grid(&[
        names,
        tension,
        bend,
        lengths(plan, bench, &["filing lowers", "the contact by"], |s| {
            Some(s.filing.drop)
        }),
        lengths(plan, bench, &["filing lowers", "action at 12 by"], |s| {
            Some(s.filing.action_loss)
        }),
    ])
}
