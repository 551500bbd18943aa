//! The sheets: seen first, then downloaded; and the other files of a job.

use drawing::{DrawingError, Sheet, SheetOptions};
use job::Job;
use maud::{Markup, html};
use saddle::Plan;

use super::{Tab, frame, live, no_plan, opened, trouble};
use crate::Bench;
use crate::desk::Opened;
use crate::talk::{Ask, Reply};

/// Dots per inch of a PNG picture.
const DPI: f64 = 150.0;

/// The page.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let main = match opened.judged.planned() {
        None => no_plan(&opened),
        Some((job, plan)) => shown(&opened, job, plan),
    };
    Reply::Page(200, frame(bench, &opened.title(), Some((&opened, Tab::Sheets)), &main))
}

fn shown(opened: &Opened, job: &Job, plan: &Plan) -> Markup {
    let name = &opened.name;
    // The version in the address makes the browser fetch a picture anew when the job has changed.
    let version = opened.version.as_str();
    let file = |ending: &str| format!("/job/{name}/out/{name}{ending}");
    html! {
        h1 { "Sheets" }
        @match sheets(job, plan) {
            Err(error) => p.say.refused role="alert" { span.mark aria-hidden="true" { "✕" } " " (error) },
            Ok(sheets) => {
                p { a.button.main href={ (file(".pdf")) "?save=yes" } download { "Download the PDF" } }
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
        h2 { "Files" }
        ul.files {
            @for (ending, label, what) in [
                (".pdf", "PDF", "all sheets at true size, for printing"),
                (".dxf", "DXF", "outline, ridge and stations in mm"),
                (".stl", "STL", "the finished saddle as a solid in mm, for a trial piece"),
                (".txt", "Text", "the plan as the command prints it"),
                (".toml", "Job file", "the survey itself, as the command reads it"),
            ] {
                li { a href={ (file(ending)) "?save=yes" } download { (label) } ": " (what) }
            }
        }
        (live::closing(job))
    }
}

fn sheets(job: &Job, plan: &Plan) -> Result<Vec<Sheet>, DrawingError> {
    let paragraphs = |note: &report::Note| -> Vec<String> {
        let points = note
            .points
            .iter()
            .enumerate()
            .map(|(i, point)| format!("{}. {point}", i + 1));
        std::iter::once(note.text.clone()).chain(points).collect()
    };
    drawing::saddle_sheets(
        plan,
        &SheetOptions {
            paper: match job.paper {
                job::Paper::A4 => drawing::Paper::A4,
                job::Paper::Letter => drawing::Paper::Letter,
            },
            bench: job.bench,
            title: job.title.clone(),
            notes: report::notes(plan, &job.survey, job.bench)
                .iter()
                .flat_map(paragraphs)
                .collect(),
        },
    )
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
    if let Some(text) = rest
        .strip_prefix('-')
        .filter(|rest| rest.contains(|c: char| c.is_ascii_alphabetic()))
    {
        let program = super::programs::text(bench, &opened, &format!("{text}.{ending}"));
        return program.map_or_else(missing, |text| {
            done(ask, "text/plain; charset=utf-8", text.into_bytes())
        });
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
    if (number, ending) == (None, "toml") {
        return done(ask, "application/toml; charset=utf-8", opened.text.clone().into_bytes());
    }
    let Some((job, plan)) = opened.judged.planned() else {
        return trouble(
            bench,
            ask,
            404,
            "This job has no plan yet, so there is nothing to draw.",
            &back,
        );
    };
    let made = match (number, ending) {
        (None, "pdf") => sheets(job, plan)
            .and_then(|sheets| drawing::pdf(&sheets))
            .map(|c| ("application/pdf", c)),
        (Some(n), "svg" | "png") => match sheets(job, plan) {
            Err(error) => Err(error),
            Ok(sheets) => match sheets.get(n - 1) {
                None => return missing(),
                Some(sheet) if ending == "svg" => Ok(("image/svg+xml", sheet.svg().into_bytes())),
                Some(sheet) => drawing::png(sheet, DPI).map(|c| ("image/png", c)),
            },
        },
        (None, "dxf") => drawing::dxf(plan)
            .map(|c| ("image/vnd.dxf", c.into_bytes()))
            .map_err(DrawingError::from),
        (None, "stl") => drawing::stl(plan).map(|c| ("model/stl", c)).map_err(DrawingError::from),
        (None, "txt") => Ok(("text/plain; charset=utf-8", text(job, plan).into_bytes())),
        _ => return missing(),
    };
    match made {
        Ok((kind, content)) => done(ask, kind, content),
        Err(error) => trouble(bench, ask, 422, &format!("This cannot be drawn: {error}."), &back),
    }
}

fn text(job: &Job, plan: &Plan) -> String {
    let notes = report::notes(plan, &job.survey, job.bench);
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
