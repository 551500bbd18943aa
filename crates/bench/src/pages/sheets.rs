//! The sheets: seen first, then downloaded; and the other files of a job.

use drawing::{DrawingError, Sheet, SheetOptions};
use job::Job;
use maud::{Markup, html};
use saddle::Plan;

use super::{Tab, frame, live, no_plan, opened, trouble};
use crate::bench::Bench;
use crate::desk::{Judged, NutShown, Opened};
use crate::talk::{Ask, Reply};
use units::BenchUnit;

/// Dots per inch of a PNG picture.
const DPI: f64 = 150.0;

/// The page.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let main = if opened.judged.strings().is_some() {
        shown(&opened)
    } else {
        no_plan(&opened)
    };
    Reply::Page(200, frame(bench, &opened.title(), Some((&opened, Tab::Sheets)), &main))
}

fn shown(opened: &Opened) -> Markup {
    let judged = &opened.judged;
    let name = &opened.name;
    let file = |ending: &str| format!("/job/{name}/out/{name}{ending}");
    let saddle: &[(&str, &str, &str)] = &[
        (".pdf", "PDF", "all sheets at true size, for printing"),
        (".dxf", "DXF", "outline, ridge and stations in mm"),
        (".stl", "STL", "the finished saddle as a solid in mm, for a trial piece"),
        (".txt", "Text", "the plan as the command prints it"),
    ];
    let nut: &[(&str, &str, &str)] = &[
        ("-nut.pdf", "PDF of the nut", "its sheets at true size, for printing"),
        ("-nut.dxf", "DXF of the nut", "its outline and slots in mm"),
        ("-nut.txt", "Text of the nut", "its plan as the command prints it"),
    ];
    let own: &[(&str, &str, &str)] = &[(".toml", "Job file", "the survey itself, as the command reads it")];
    let mut files = Vec::new();
    if judged.planned().is_some() {
        files.extend(saddle);
    }
    if judged.nut_shown().is_some() {
        files.extend(nut);
    }
    files.extend(own);
    html! {
        h1 { "Sheets" }
        (super::refusals(judged))
        @if judged.planned().is_some() { (of_part(opened, "", sheets(judged), "Download the PDF")) }
        @if let Some(nut) = judged.nut_shown() { (of_part(opened, "-nut", nut_sheets(&nut), "Download the PDF of the nut")) }
        h2 { "Files" }
        ul.files {
            @for (ending, label, what) in files {
                li { a href={ (file(ending)) "?save=yes" } download { (label) } ": " (what) }
            }
        }
        (live::closing(judged))
    }
}

/// The sheets of one part, whose files have `infix` in their names.
fn of_part(opened: &Opened, infix: &str, sheets: Result<Vec<Sheet>, DrawingError>, pdf: &str) -> Markup {
    let name = &opened.name;
    // The version in the address makes the browser fetch a picture anew when the job has changed.
    let version = opened.version.as_str();
    let file = |ending: &str| format!("/job/{name}/out/{name}{infix}{ending}");
    html! {
        @match sheets {
            Err(error) => p.say.refused role="alert" { span.mark aria-hidden="true" { "✕" } " " (error) },
            Ok(sheets) => {
                p { a.button.main href={ (file(".pdf")) "?save=yes" } download { (pdf) } }
                p.how { "Print it at 100 %, and measure both bars on the paper before you use it." }
                @for (i, sheet) in sheets.iter().enumerate() {
                    figure.sheet {
                        a href={ (file(&format!("-{}.svg", i + 1))) "?v=" (version) } {
                            img src={ (file(&format!("-{}.svg", i + 1))) "?v=" (version) } width=(sheet.width) height=(sheet.height) loading="lazy" alt={ "Sheet " (i + 1) ": " (sheet.heading) };
                        }
                        figcaption {
                            (sheet.heading) ". "
                            a href={ (file(&format!("-{}.svg", i + 1))) "?save=yes" } download { "SVG" } " "
                            a href={ (file(&format!("-{}.png", i + 1))) "?save=yes" } download { "PNG" }
                        }
                    }
                }
            }
        }
    }
}

fn options(title: &str, paper: job::Paper, bench: BenchUnit, notes: &[report::Note]) -> SheetOptions {
    let paragraphs = |note: &report::Note| -> Vec<String> {
        let points = note
            .points
            .iter()
            .enumerate()
            .map(|(i, point)| format!("{}. {point}", i + 1));
        std::iter::once(note.text.clone()).chain(points).collect()
    };
    SheetOptions {
        paper: match paper {
            job::Paper::A4 => drawing::Paper::A4,
            job::Paper::Letter => drawing::Paper::Letter,
        },
        bench,
        title: title.to_owned(),
        notes: notes.iter().flat_map(paragraphs).collect(),
    }
}

/// The sheets of the saddle; none without a plan.
fn sheets(judged: &Judged) -> Result<Vec<Sheet>, DrawingError> {
    let Some((job, plan)) = judged.planned() else {
        return Ok(Vec::new());
    };
    let notes = report::notes(plan, judged.survey.as_ref().unwrap_or(&job.survey), job.bench);
    drawing::saddle_sheets(plan, &options(&job.title, job.paper, job.bench, &notes))
}

fn nut_sheets(nut: &NutShown) -> Result<Vec<Sheet>, DrawingError> {
    // The sheets have their own order of work.
    let mut notes = report::nut_notes(nut.plan, nut.bench);
    notes.retain(|note| note.topic != report::NoteTopic::OrderOfWork);
    let names: Vec<String> = nut.plan.lines.iter().map(|s| s.note.clone()).collect();
    drawing::nut_sheets(nut.plan, &names, &options(nut.title, nut.paper, nut.bench, &notes))
}

/// One file of a job.
#[must_use]
pub fn file(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let back = format!("/job/{}/sheets", opened.name);
    let missing = || trouble(bench, ask, 404, "There is no file of this name.", &back);
    let Some((rest, ending)) = ask
        .file
        .strip_prefix(opened.name.as_str())
        .and_then(|rest| rest.rsplit_once('.'))
    else {
        return missing();
    };
    let digits = |rest: &str| rest.is_empty() || rest.strip_prefix('-').is_some_and(|n| n.parse::<usize>().is_ok());
    let (of_nut, rest) = match rest.strip_prefix("-nut") {
        Some(rest) if digits(rest) => (true, rest),
        _ => (false, rest),
    };
    if let Some(text) = rest
        .strip_prefix('-')
        .filter(|rest| rest.contains(|c: char| c.is_ascii_alphabetic()))
    {
        let Some((program, mark)) = super::programs::text(bench, &opened, &format!("{text}.{ending}")) else {
            return missing();
        };
        // A page or a sheet that was made before the job was changed.
        if let Some(asked) = ask.fields.get("mark").filter(|asked| *asked != mark) {
            let why = format!(
                "This page shows the program with the mark {asked}, and the job now makes one with the mark {mark}: it was changed since. \
                 Make the programs again, and take their marks from there."
            );
            return trouble(bench, ask, 409, &why, &format!("/job/{}/programs", opened.name));
        }
        return done(ask, TEXT, program.into_bytes());
    }
    let number = match rest {
        "" => None,
        _ => match rest
            .strip_prefix('-')
            .and_then(|digits| digits.parse::<usize>().ok())
            .filter(|n| (1..=99).contains(n))
        {
            Some(number) => Some(number),
            None => return missing(),
        },
    };
    if (of_nut, number, ending) == (false, None, "toml") {
        return done(ask, "application/toml; charset=utf-8", opened.text.clone().into_bytes());
    }
    let judged = &opened.judged;
    let made = match (of_nut, judged.planned(), judged.nut_shown()) {
        (true, _, Some(nut)) => nut_file(&nut, number, ending),
        (false, Some((job, plan)), _) => saddle_file(judged, job, plan, number, ending),
        _ => {
            return trouble(
                bench,
                ask,
                404,
                "This job has no plan of that part, so there is nothing to draw.",
                &back,
            );
        }
    };
    match made {
        None => missing(),
        Some(Ok((kind, content))) => done(ask, kind, content),
        Some(Err(error)) => trouble(bench, ask, 422, &format!("This cannot be drawn: {error}."), &back),
    }
}

/// Kind of file and content, or why it cannot be drawn; `None` if there is no such file.
type Content = Option<Result<(&'static str, Vec<u8>), DrawingError>>;

/// What is drawn on sheets: all of them, or the picture of one.
fn on_sheets(sheets: Result<Vec<Sheet>, DrawingError>, number: Option<usize>, ending: &str) -> Content {
    let sheets = match sheets {
        Ok(sheets) => sheets,
        Err(error) => return Some(Err(error)),
    };
    let Some(number) = number else {
        return Some(drawing::pdf(&sheets).map(|c| ("application/pdf", c)));
    };
    let sheet = sheets.get(number.checked_sub(1)?)?;
    Some(if ending == "svg" {
        Ok(("image/svg+xml", sheet.svg().into_bytes()))
    } else {
        drawing::png(sheet, DPI).map(|c| ("image/png", c))
    })
}

fn saddle_file(judged: &Judged, job: &Job, plan: &Plan, number: Option<usize>, ending: &str) -> Content {
    match (number, ending) {
        (None, "pdf") | (Some(_), "svg" | "png") => on_sheets(sheets(judged), number, ending),
        (None, "dxf") => Some(
            drawing::dxf(plan)
                .map(|c| ("image/vnd.dxf", c.into_bytes()))
                .map_err(DrawingError::from),
        ),
        (None, "stl") => Some(drawing::stl(plan).map(|c| ("model/stl", c)).map_err(DrawingError::from)),
        (None, "txt") => Some(Ok((TEXT, text(judged, job, plan).into_bytes()))),
        _ => None,
    }
}

fn nut_file(nut: &NutShown, number: Option<usize>, ending: &str) -> Content {
    match (number, ending) {
        (None, "pdf") | (Some(_), "svg" | "png") => on_sheets(nut_sheets(nut), number, ending),
        (None, "dxf") => Some(drawing::nut_dxf(nut.plan).map(|c| ("image/vnd.dxf", c.into_bytes()))),
        (None, "txt") => Some(Ok((TEXT, super::nut::page(nut).into_bytes()))),
        _ => None,
    }
}

/// Kind of a text file.
const TEXT: &str = "text/plain; charset=utf-8";

fn text(judged: &Judged, job: &Job, plan: &Plan) -> String {
    let notes = report::notes(plan, judged.survey.as_ref().unwrap_or(&job.survey), job.bench);
    report::Page {
        title: &job.title,
        remarks: &job.notes,
        plan,
        notes: &notes,
        hazards: report::Hazards {
            synthetic: job.blank_material.dust == job::Dust::Synthetic,
            check_law: job.blank_material.check_law,
        },
        bench: job.bench,
    }
    .text()
}

fn done(ask: &Ask, kind: &'static str, content: Vec<u8>) -> Reply {
    Reply::File {
        kind,
        save_as: ask.fields.get("save").map(|_| ask.file.clone()),
        content,
    }
}
