//! `bonewright replay`: verifies a program that someone edited, by its text alone.

use crate::failure::Failure;
use crate::part::{WhichPart, of_name};
use crate::source::{self, JobArgs, ProfileArgs};
use crate::{files, speak};
use clap::{Args, ValueEnum};
use job::CutJob;
use machining::{
    Check, CutTolerance, EventKind, Header, HeightMap, Marks, Motion, MotionKind, Part, PartKind, Plane, Report, Setup,
    SetupKind, ToolLengths, header, header_title, prepare, read, replay, setup_name, target, verify,
};
use serde_json::{Value, json};
use std::path::PathBuf;
use work::{Planned, unprepared};

/// Verify a program that was edited by hand
///
/// It is read, simulated and judged as if it had just been made; that it was edited is told. The programs that come before it are
/// taken as "cut" makes them. A program that was made from another state of the job, or for another sheet than the one at hand, is
/// refused. Nothing is written; the exit code is 4 if it is not in order.
#[derive(Args)]
pub struct ReplayArgs {
    /// The program, RS-274 text
    #[arg(value_name = "FILE")]
    program: PathBuf,
    /// The job that it cuts
    #[arg(long, value_name = "JOB")]
    job: PathBuf,
    #[command(flatten)]
    profiles: ProfileArgs,
    /// What it cuts: saddle, nut, or one of several saddles by its name [default: as the program's head says, or the saddle]
    #[arg(long, value_name = "PART")]
    part: Option<WhichPart>,
    /// Which way the blank lies [default: as the program's head says, else of the job, or on-edge]
    #[arg(long, value_name = "WAY")]
    setup: Option<Way>,
    /// The machine, by the name of its profile [default: of the job]
    #[arg(long, value_name = "NAME")]
    machine: Option<String>,
    /// Number of the tool in the spindle at the start [default: the first that the program names]
    #[arg(long, value_name = "N")]
    tool: Option<u32>,
    /// The mark of this program on the setup sheet at hand; another one is refused
    #[arg(long, value_name = "MARK")]
    mark: Option<String>,
    /// Print findings and motions as JSON, for other programs
    #[arg(long)]
    json: bool,
}

#[derive(Clone, Copy, ValueEnum)]
enum Way {
    /// Standing in a vise
    OnEdge,
    /// Lying on its front face
    Flat,
    /// A nut standing on its end
    OnEnd,
}

/// # Errors
/// As [`source::planned`]; [`Failure::Refused`] if the program is not in order.
pub fn run(args: &ReplayArgs) -> Result<(), Failure> {
    let job = JobArgs {
        path: args.job.clone(),
        profiles: args.profiles.clone(),
    };
    let text = files::read(&args.program)?;
    let planned = source::planned(&job)?.planned;
    let head = header(&text).map_err(|wrong| {
        let way = "Mend that line, or make the program again with \"cut\"";
        Failure::Use(format!("{}: {wrong}. {way}.", files::shown(&args.program)))
    })?;
    let done = job_of(args, &planned, &head)?;
    let (part, cut) = part_of(args, done, head.setup.map(|(part, _)| part))?;
    let mut cut = cut.clone();
    if let Some(machine) = job.machine(args.machine.as_deref())? {
        cut.machine = machine;
    }
    let asked = args.setup.map(|way| match way {
        Way::OnEdge => SetupKind::OnEdge,
        Way::Flat => SetupKind::Flat,
        Way::OnEnd => SetupKind::OnEnd,
    });
    let kind = match (asked, head.setup) {
        (Some(asked), Some((of, said))) if asked != said => {
            return Err(Failure::Use(format!(
                "{} says at its head that it is for the setup {}, and --setup says {}. Leave --setup out, or name the \
                 program that you mean.",
                files::shown(&args.program),
                setup_name(of, said),
                asked.name()
            )));
        }
        (asked, said) => asked
            .or(said.map(|(_, kind)| kind))
            .or(cut.kinds.first().copied())
            .unwrap_or(SetupKind::OnEdge),
    };
    let most = cut.machine.line_most;
    if !head.title.is_empty() && head.title != header_title(&done.job.title, most) {
        speak::error(&format!(
            "note: the program was made for the job \"{}\", and this job is \"{}\".",
            head.title, &done.job.title
        ));
    }
    let told = |words: String| {
        speak::error(words.trim_end());
        Failure::Refused
    };
    let outlined = kind != SetupKind::Flat
        && match head.setup {
            Some((PartKind::Saddle, said)) if said == kind => head.outlined,
            _ => cut.outlined(kind),
        };
    let setup = unprepared(part, &cut, kind, outlined).map_err(|error| told(report::cut_refusal(&error, &cut)))?;
    let edited = of_this_job(args, &head, part, &setup, &text).map_err(|words| {
        let words = format!("{}: {words}", files::shown(&args.program));
        told(report::wrapped(&words, "error: ", "  "))
    })?;
    if let Some(words) = told_of_edits(edited) {
        speak::error(&format!("note: {words}"));
    }
    let loaded = args
        .tool
        .or_else(|| first_tool(&text))
        .or(head.tool)
        .unwrap_or(setup.rougher.number);
    let (report, last) =
        judged(part, &done.job.title, &setup, &text, loaded).map_err(|words| told(format!("error: {words}")))?;
    let name = files::shown(&args.program);
    if args.json {
        let page = as_json(&report, &setup, head.marks.as_ref(), edited);
        speak::result(&format!("{page:#}\n"))?;
    } else if report.in_order() {
        speak::result(&in_order(&name, &report, last))?;
    }
    if report.in_order() {
        return Ok(());
    }
    if !args.json {
        speak::error(&format!(
            "{name} is not in order:\n{}",
            report::findings(&report.findings)
        ));
    }
    Err(Failure::Refused)
}

/// Whether the program was edited since it was written; `None` where it carries no marks.
///
/// # Errors
/// In words, why it is not of this job, or not of the sheet at hand.
fn of_this_job(
    args: &ReplayArgs,
    head: &Header,
    part: Part,
    setup: &Setup,
    text: &str,
) -> Result<Option<bool>, String> {
    let Some(marks) = &head.marks else {
        return match &args.mark {
            None => Ok(None),
            Some(mark) => Err(format!(
                "it carries no mark, and the sheet has {mark}. Make the program and its sheet again with \"cut\"."
            )),
        };
    };
    if let Some(mark) = args.mark.as_deref().map(str::trim)
        && !mark.eq_ignore_ascii_case(&marks.mark)
    {
        return Err(format!(
            "it carries the mark {}, and the sheet has {mark}: they do not belong together. Take the sheet that was written with it.",
            marks.mark
        ));
    }
    let machine = head.machine.as_deref().filter(|name| *name != setup.machine.name);
    let other = machine.map_or_else(String::new, |name| {
        format!(
            " It was made for the machine \"{name}\", and this is \"{}\".",
            setup.machine.name
        )
    });
    marks.edited(part, setup, text).map(Some).map_err(|fault| {
        format!("{fault}.{other} Make it again with \"cut\", with its sheet, or name the job as it was.")
    })
}

fn told_of_edits(edited: Option<bool>) -> Option<&'static str> {
    match edited {
        None => Some(
            "the program carries no mark, so nobody can say what it was made from. It is judged against the job as it is.",
        ),
        Some(true) => Some("the program was edited since it was written. It is judged as it is now."),
        Some(false) => None,
    }
}

/// The first tool that a text calls for, read as the machine would; not every machine takes a T word.
fn first_tool(text: &str) -> Option<u32> {
    let done = replay(&read(text).ok()?, 0).ok()?;
    done.events.iter().find_map(|event| match event.kind {
        EventKind::Tool(number) | EventKind::Select(number) => Some(number),
        _ => None,
    })
}

/// The job that the program was made in: the one read; where it has several saddles, that of the saddle which is named, or which stands
/// in the program's head.
fn job_of<'a>(args: &ReplayArgs, planned: &'a Planned, head: &Header) -> Result<&'a Planned, Failure> {
    if let Some(WhichPart::Named(name)) = &args.part {
        return Ok(of_name(planned, name)?.done);
    }
    let nut = matches!(args.part, Some(WhichPart::Nut)) || matches!(head.setup, Some((PartKind::Nut, _)));
    if !planned.is_split() || nut {
        return Ok(planned);
    }
    let entitled = |one: &&Planned| {
        let most = one
            .saddle()
            .map_or(usize::MAX, |saddle| saddle.made.cut.machine.line_most);
        header_title(&one.job.title, most) == head.title
    };
    let mut found = planned.saddles().filter(entitled);
    match (found.next(), found.next()) {
        (Some(one), None) => Ok(one),
        _ => {
            let names: Vec<&str> = planned.saddles().filter_map(|one| one.job.name.as_deref()).collect();
            Err(Failure::Use(format!(
                "{} does not say which saddle of this job it cuts. Name it with --part: {}.",
                files::shown(&args.program),
                names.join(" or ")
            )))
        }
    }
}

/// The part that the program cuts, and how the job cuts it.
fn part_of<'a>(
    args: &ReplayArgs,
    done: &'a Planned,
    said: Option<PartKind>,
) -> Result<(Part<'a>, &'a CutJob), Failure> {
    let asked = match &args.part {
        None => None,
        Some(WhichPart::Saddle | WhichPart::Named(_)) => Some(PartKind::Saddle),
        Some(WhichPart::Nut) => Some(PartKind::Nut),
        Some(WhichPart::Both) => {
            return Err(Failure::Use(
                "--part: a program cuts one part. Name saddle or nut.".to_owned(),
            ));
        }
    };
    if let (Some(asked), Some(said)) = (asked, said)
        && asked != said
    {
        return Err(Failure::Use(format!(
            "{} says at its head that it cuts a {}, and --part says {}. Leave --part out, or name the program that you mean.",
            files::shown(&args.program),
            said.name(),
            asked.name()
        )));
    }
    let missing = |what: &str| {
        Failure::Use(format!(
            "the program cuts a {what}, and this job has none to make. Name the job that it was made from."
        ))
    };
    let saddle = done
        .saddle()
        .map(|saddle| (Part::Saddle(saddle.plan), &saddle.made.cut));
    let nut = done.nut().map(|nut| (Part::Nut(nut.plan), &nut.made.cut));
    match asked.or(said) {
        Some(PartKind::Nut) => nut.ok_or_else(|| missing("nut")),
        Some(PartKind::Saddle) => saddle.ok_or_else(|| missing("saddle")),
        None => saddle.or(nut).ok_or_else(|| missing("part")),
    }
}

/// The report on `text`, after the programs of this setup that come before one with its first tool; and whether it is the last.
fn judged(part: Part, title: &str, setup: &Setup, text: &str, loaded: u32) -> Result<(Report, bool), String> {
    let surface = target(part, setup).map_err(|error| format!("{error}."))?;
    let mut start: Option<HeightMap> = None;
    let mut last = true;
    if setup.machine.tool_lengths == ToolLengths::OneProgram && setup.kind != SetupKind::Flat {
        // What the programs before it leave is not in the text, so it is taken as this program makes it.
        match prepare(part, title, setup) {
            Ok(made) => {
                let count = made.programs.len();
                let at = made
                    .programs
                    .iter()
                    .position(|one| one.tools.contains(&loaded))
                    .unwrap_or(0);
                last = at + 1 == count;
                let before = at.checked_sub(1);
                start = before.and_then(|i| made.programs.into_iter().nth(i)?.report.left);
            }
            Err(_) if loaded == setup.rougher.number && setup.part == PartKind::Saddle => last = false,
            Err(error) => {
                return Err(format!(
                    "the programs before this one cannot be made, so what it meets is not known: {error}."
                ));
            }
        }
    }
    let check = Check {
        setup,
        target: surface.as_ref(),
        limits: CutTolerance::of(setup),
        loaded,
        start: start.as_ref(),
        last,
    };
    Ok((verify(text, &check), last))
}

fn in_order(name: &str, report: &Report, last: bool) -> String {
    let time = report.time;
    let mut text = format!(
        "{name} is in order: {} motions, {:.0} s cutting, {:.0} s in the air, {:.0} s waiting, {:.0} mm3 taken.\n",
        report.motions.len(),
        time.cutting,
        time.air,
        time.other,
        report.removed
    );
    if let Some(deviation) = &report.deviation {
        // What another program takes off is not left over.
        let words = if last {
            deviation.words("micrometres")
        } else {
            format!("at most {:.0} micrometres too deep", 1000.0 * deviation.gouge)
        };
        text += &report::wrapped(&format!("Simulated: {words}."), "", "");
    }
    text + "AIR-CUT FIRST: run it above the stock, a hand on the stop.\n"
}

/// Lengths in mm, feeds in mm/min.
fn as_json(report: &Report, setup: &Setup, marks: Option<&Marks>, edited: Option<bool>) -> Value {
    let findings: Vec<Value> = report
        .findings
        .iter()
        .map(|f| json!({ "line": f.line, "place": f.place, "what": f.fault.to_string(), "more": f.more }))
        .collect();
    json!({
        "in_order": report.in_order(),
        "mark": marks.map(|marks| &marks.mark),
        "edited": edited,
        "findings": findings,
        "safe_z": setup.safe_z(),
        "travel": setup.machine.travel,
        "seconds": { "cutting": report.time.cutting, "air": report.time.air, "other": report.time.other },
        "removed": report.removed,
        "motions": report.motions.iter().map(motion).collect::<Vec<_>>(),
    })
}

fn motion(m: &Motion) -> Value {
    let mut value = json!({
        "line": m.line, "from": m.from, "to": m.to, "feed": m.feed, "spindle": m.spindle, "tool": m.tool,
        "kind": match m.kind {
            MotionKind::Rapid => "rapid",
            MotionKind::Line => "line",
            MotionKind::Arc { .. } => "arc",
        },
    });
    if let MotionKind::Arc {
        plane,
        centre,
        clockwise,
        turn,
    } = m.kind
    {
        value["plane"] = json!(match plane {
            Plane::Xy => "XY",
            Plane::Zx => "XZ",
            Plane::Yz => "YZ",
        });
        value["centre"] = json!(centre);
        value["clockwise"] = json!(clockwise);
        value["turn"] = json!(turn);
    }
    value
}
