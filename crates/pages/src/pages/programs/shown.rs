//! What the page shows of the programs: with what a part is cut, and each setup with its verdict.

use job::CutJob;
use machining::{CutTolerance, Cutter, CutterShape, Holding, Part, PartKind, SetupKind};
use maud::{Markup, html};
use report::SettingTable;
use units::BenchUnit;
use work::{Made, Tried};

use super::part::OfPart;
use crate::desk::Opened;
use crate::kept::Kept;
use crate::pages::{address, download, picture, stops};
use crate::pictures::deviation::deviation;

/// One part under its heading: with what it is cut, and its setups once they are `made`.
pub(super) fn part(opened: &Opened, of: OfPart, made: Option<&Kept>) -> Markup {
    let OfPart { name, part, cut, top } = of;
    let bench = opened.judged.planned().map_or(BenchUnit::METRIC, |done| done.job.bench);
    let heading = match (part, name) {
        (Part::Saddle(_), None) => "The saddle".to_owned(),
        (Part::Saddle(_), Some(name)) => format!("The {name} saddle"),
        (Part::Nut(_), _) => "The nut".to_owned(),
    };
    let made = made.and_then(|made| Some((made, made.of(name)?)));
    html! {
        section aria-label=(heading) {
            h2 { (heading) }
            @if cut.part == PartKind::Nut && cut.kinds != [SetupKind::Flat] {
                p { "The programs only start the slots: gauged files finish them." }
            }
            dl.facts { @for (name, value) in facts(&of, bench) { dt { (name) } dd { (value) } } }
            @if let Some(advice) = top.and_then(|top| report::top_advice(&top, bench)) {
                p { (advice) " “Left proud” below “Cutting the saddle” sets it." }
            }
            @if let Some(stops) = stops(&opened.judged, &[cut.part]) {
                (stops)
            } @else if let Some((made, own)) = made {
                @for tried in own.setups.iter().filter(|tried| tried.part == cut.part) { (setup(opened, part, &own.stem, tried)) }
                (setup_sheets(opened, cut.part, &own.stem, made))
            }
        }
    }
}

/// The setup sheets of a part, which go to the machine with its programs.
fn setup_sheets(opened: &Opened, part: PartKind, stem: &str, made: &Kept) -> Markup {
    let begin = format!("{}-setup", drawing::part_stem(stem, part));
    let names = made
        .files(opened.judged.planned())
        .iter()
        .flatten()
        .map(|(name, _)| name.as_str());
    let (print, seen): (Vec<&str>, Vec<&str>) = names
        .filter(|name| name.starts_with(&begin))
        .partition(|name| name.ends_with(".pdf"));
    html! {
        @for pdf in print {
            h3 { "Setup sheets" }
            p { a.button.main href=(download(opened, pdf)) download { "Download the setup sheets" } }
            p.how { "Print them at 100 %, and read them before the first program." }
        }
        @for (number, name) in (1..).zip(seen) {
            figure.sheet {
                a href=(address(opened, name)) { img src=(address(opened, name)) alt={ "Setup sheet " (number) " of the " (part.name()) }; }
            }
        }
    }
}

/// With what a part is cut, and how it is held.
fn facts(of: &OfPart, bench: BenchUnit) -> Vec<(&'static str, String)> {
    let OfPart { part, cut, top, .. } = *of;
    let mut facts = vec![("Machine", cut.machine.name.clone())];
    if cut.part == PartKind::Saddle {
        facts.push(("Rougher", cut.rougher.name.clone()));
        facts.push(("Finisher", cut.finisher.name.clone()));
    } else {
        let wanted = |kind| cut.kinds.contains(&kind);
        let named = |saws: bool| {
            let fits = |c: &&Cutter| (c.shape == CutterShape::Saw) == saws;
            let names: Vec<&str> = cut.groovers.iter().filter(fits).map(|c| c.name.as_str()).collect();
            names.join(", ")
        };
        if wanted(SetupKind::Flat) {
            facts.push(("Outline", cut.rougher.name.clone()));
        }
        if wanted(SetupKind::OnEdge) {
            facts.push(("Slots", named(false)));
        }
        if wanted(SetupKind::OnEnd) {
            facts.push(("Slots, on end", named(true)));
        }
    }
    let material = cut.material.as_ref();
    facts.push((
        "Material",
        material.map_or_else(|| "no profile says how it is cut".to_owned(), |m| m.name.clone()),
    ));
    facts.push(("Stock", stock(cut, bench)));
    facts.extend(top.map(|top| ("Height", format!("{}.", report::top_words(top.proud, bench)))));
    facts.extend(jaws(part, cut, bench).map(|jaws| ("Jaws", jaws)));
    facts
}

fn stock(cut: &CutJob, bench: BenchUnit) -> String {
    let s = &cut.stock;
    let [thick, high, long] = [s.thickness, s.height, s.length].map(|mm| report::length(bench, mm));
    let size = format!("{thick} thick, {high} high, {long} long");
    let from = match (cut.stock_measured, cut.part) {
        (true, _) => "as measured, in the job.",
        (false, PartKind::Saddle) => {
            "not measured, so taken to be the blank itself. Measure it: higher stock meets deeper cuts than are simulated."
        }
        (false, PartKind::Nut) => "not measured, so taken to be the blank itself. Measure it.",
    };
    let later = match cut.part {
        PartKind::Nut if cut.kinds != [SetupKind::Flat] => " For the slots, it is the nut with its outline cut.",
        PartKind::Saddle if cut.outlined(SetupKind::OnEdge) && cut.kinds.contains(&SetupKind::OnEdge) => {
            " For the crown, it is the saddle with its outline cut."
        }
        _ => "",
    };
    format!("{size}: {from}{later}")
}

/// How far the jaws reach; `None` if nothing goes into a vise.
fn jaws(part: Part, cut: &CutJob, bench: BenchUnit) -> Option<String> {
    let on_end = cut.kinds.contains(&SetupKind::OnEnd);
    let kind = if on_end { SetupKind::OnEnd } else { SetupKind::OnEdge };
    if !cut.kinds.contains(&kind) {
        return None;
    }
    // What does not fit the stock is told by its setup.
    let held = cut.setup_for(part, kind, cut.outlined(kind)).ok().flatten();
    let Holding::Vise { jaw_height, .. } = held.map_or(cut.vise, |setup| setup.holding) else {
        return None;
    };
    let height = report::length(bench, jaw_height);
    let reach = if on_end {
        format!("cover {height} from the bottom edge")
    } else {
        format!("stand {height} above the parallel")
    };
    Some(match (cut.jaws_measured, on_end) {
        (true, _) => format!("{reach}, as in the job."),
        (false, true) => format!("not measured, so taken to {reach}. Measure yours: the saw runs into wider ones."),
        (false, false) => {
            format!("not measured, so taken to {reach}. Measure yours: the cutter runs into higher ones.")
        }
    })
}

fn name(kind: SetupKind) -> &'static str {
    match kind {
        SetupKind::OnEdge => "On edge",
        SetupKind::Flat => "Flat",
        SetupKind::OnEnd => "On end",
    }
}

fn setup(opened: &Opened, part: Part, stem: &str, tried: &Tried) -> Markup {
    html! {
        section.setup aria-label={ (tried.part.name()) ": " (name(tried.kind)) } {
            h3 { (name(tried.kind)) }
            @match &tried.made {
                Ok(made) => (in_order(opened, part, stem, made)),
                Err(error) => {
                    p.verdict.refused { span.mark aria-hidden="true" { "✕" } " Refused: there is nothing to download." }
                    ul.problems { @for line in report::cut_faults(error, &tried.cut) { li.error { (line) } } }
                    @for hint in report::cut_hints(error, &tried.cut) { p { (hint) } }
                    @if let Some((left, limits)) = &tried.left { (picture(deviation(left, limits))) }
                }
            }
        }
    }
}

fn in_order(opened: &Opened, part: Part, stem: &str, made: &Made) -> Markup {
    let Made { setup, prepared, .. } = made;
    let seen = if setup.kind == SetupKind::OnEnd {
        "onto its top edge"
    } else {
        "from above"
    };
    html! {
        p.verdict.kept { span.mark aria-hidden="true" { "✓" } " In order: simulated from the text of the programs." }
        p { (prepared.registration) }
        ol.files { @for program in &prepared.programs {
            @let tools: Vec<String> = program.tools.iter().map(u32::to_string).collect();
            li {
                a href={ (download(opened, &drawing::program_name(stem, program))) "&mark=" (program.marks.mark) } download { (program.name) }
                ": tool " (tools.join(" and ")) ", " (format!("{:.0}", program.report.time.total())) " s, mark " code { (program.marks.mark) }
            }
        } }
        p.how { "The mark stands at the head of the program and on its setup sheet: the three belong together only where it is the same." }
        @let of = format!("{}, {}", if matches!(part, Part::Saddle(_)) { "The saddle" } else { "The nut" }, name(setup.kind));
        (setting(&of, "words", &report::touch_table(part, made)))
        @if let Some(done) = opened.judged.planned() { (setting(&of, "figures", &report::check_table(part, made, done.job.bench))) }
        @if let Some(left) = prepared.programs.last().and_then(|program| program.report.deviation.as_ref()) {
            figure {
                (picture(deviation(left, &CutTolerance::of(setup))))
                figcaption { (format!("Against the plan, seen {seen}: {}.", left.words("µm"))) }
            }
        }
        @for note in &prepared.notes { p { (note) } }
        p { strong { "Run each program above the stock first, a hand on the stop." } }
    }
}

/// What is set or measured at the machine for one setup, as a table of words or of figures.
fn setting(setup: &str, class: &str, of: &SettingTable) -> Markup {
    html! {
        h4 { (of.head) }
        div.scroll tabindex="0" role="region" aria-label={ (setup) ": " (of.head) } { table class=(class) {
            thead { tr { @for head in &of.columns { th scope="col" { (head) } } } }
            tbody { @for row in &of.rows { tr {
                @for (i, cell) in row.iter().enumerate() {
                    @if i == 0 { th scope="row" { (cell) } } @else { td { (cell) } }
                }
            } } }
        } }
        p.how { (of.note) }
    }
}
