//! The sheets: seen first, then downloaded; and the other files of a job.

use drawing::{DrawingError, FileKind, PICTURE_DPI, PartWork, SheetOptions, SheetSet};
use machining::PartKind;
use maud::{Markup, html};

use super::told::of_plan;
use super::{Tab, address, download, live, opened, stops, trouble};
use crate::bench::Bench;
use crate::desk::Opened;
use crate::talk::{Ask, Reply};
use work::Planned;

/// The page.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    of_plan(bench, ask, Tab::Sheets, None, |opened, _| shown(bench, opened))
}

/// What is drawn of a job, part by part.
fn drawn(opened: &Opened) -> impl Iterator<Item = PartWork<'_>> {
    let done = opened.judged.planned().into_iter();
    done.flat_map(|done| PartKind::ALL.into_iter().flat_map(|part| PartWork::all(done, part)))
}

/// What the names of a part's files begin with.
fn part_stem(opened: &Opened, part: &PartWork) -> String {
    let stem = drawing::job_stem(opened.name.as_str(), part.job());
    drawing::part_stem(&stem, part.kind())
}

/// The files of a part beside the single sheets: ending, name, what it is.
fn files(part: PartKind) -> &'static [(&'static str, &'static str, &'static str)] {
    match part {
        PartKind::Saddle => &[
            ("pdf", "PDF", "all sheets at true size, for printing"),
            ("dxf", "DXF", "outline, ridge and stations in mm"),
            ("stl", "STL", "the finished saddle as a solid in mm, for a trial piece"),
            ("txt", "Text", "the plan as the command prints it"),
        ],
        PartKind::Nut => &[
            ("pdf", "PDF of the nut", "its sheets at true size, for printing"),
            ("dxf", "DXF of the nut", "its outline and slots in mm"),
            ("txt", "Text of the nut", "its plan as the command prints it"),
        ],
    }
}

fn shown(bench: &Bench, opened: &Opened) -> Markup {
    let line = |file: &str, label: &str, what: &str| {
        html! { li { a href=(download(opened, file)) download { (label) } ": " (what) } }
    };
    html! {
        h1 { "Sheets" }
        (super::refusals(&opened.judged))
        @for part in drawn(opened) {
            @match stops(&opened.judged, &[part.kind()]) {
                Some(stops) => (stops),
                None => (of_part(bench, opened, &part)),
            }
        }
        h2 { "Files" }
        ul.files {
            @for part in drawn(opened) {
                @let stem = part_stem(opened, &part);
                @let of = part.job().name.as_ref().map_or_else(String::new, |name| format!(" of the {name} saddle"));
                @let only_words = stops(&opened.judged, &[part.kind()]).is_some();
                @for (ending, label, what) in files(part.kind()).iter().filter(|file| !only_words || file.0 == "txt") { (line(&format!("{stem}.{ending}"), &format!("{label}{of}"), what)) }
            }
            (line(&format!("{}.toml", opened.name), "Job file", "the survey itself, as the command reads it"))
        }
        (live::closing(&opened.judged))
    }
}

/// How the sheets of a part are written; what was sampled of it before is taken.
fn options(bench: &Bench, opened: &Opened, part: &PartWork, done: &Planned) -> SheetOptions {
    part.options_beside(done.job.bench, |saddle| {
        bench.sampled.heights(&opened.judged_as(), saddle)
    })
}

/// The sheets of one part.
fn of_part(bench: &Bench, opened: &Opened, part: &PartWork) -> Markup {
    let stem = part_stem(opened, part);
    let sheets = opened
        .judged
        .planned()
        .map(|done| part.sheets(&options(bench, opened, part, done)));
    let pdf = match (part.kind(), &part.job().name) {
        (PartKind::Saddle, None) => "Download the PDF".to_owned(),
        (PartKind::Saddle, Some(name)) => format!("Download the PDF of the {name} saddle"),
        (PartKind::Nut, _) => "Download the PDF of the nut".to_owned(),
    };
    html! {
        @if let PartWork::Saddle(saddle) = part { (live::of_saddle(saddle)) }
        @match sheets {
            None => {},
            Some(Err(error)) => p.say.refused role="alert" { span.mark aria-hidden="true" { "✕" } " " (error) },
            Some(Ok(sheets)) => {
                p { a.button.main href=(download(opened, &format!("{stem}.pdf"))) download { (pdf) } }
                p.how { "Print it at 100 %, and measure both bars on the paper before you use it." }
                @for (number, sheet) in (1..).zip(&sheets) {
                    @let file = |ending: &str| format!("{stem}-{number}.{ending}");
                    figure.sheet {
                        a href=(address(opened, &file("svg"))) {
                            img src=(address(opened, &file("svg"))) width=(sheet.width) height=(sheet.height) loading="lazy" alt={ "Sheet " (number) ": " (sheet.heading) };
                        }
                        figcaption {
                            (sheet.heading) ". "
                            a href=(download(opened, &file("svg"))) download { "SVG" } " "
                            a href=(download(opened, &file("png"))) download { "PNG" }
                        }
                    }
                }
            }
        }
    }
}

/// One file of a job.
#[must_use]
pub fn file(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let name = opened.name.as_str();
    if ask.file == format!("{name}.toml") {
        return saved(ask, "application/toml; charset=utf-8", opened.text.clone().into_bytes());
    }
    let back = format!("/job/{name}/sheets");
    // Also of what cannot be planned: it shows which readings are why.
    for one in opened.judged.done.iter().flat_map(Planned::surveyed) {
        let stem = drawing::job_stem(name, &one.job);
        let rounds = || one.rounds().ok_or(DrawingError::NoSheets);
        let draw = || drawing::read_sheets_of(&one.job, &rounds()?, one.job.bench);
        match SheetSet::Read.file(&stem, &ask.file, draw) {
            None => {}
            Some(Ok((kind, content))) => return saved(ask, media(kind), content),
            Some(Err(error)) => return trouble(bench, ask, 422, &format!("This cannot be drawn: {error}."), &back),
        }
    }
    for saddle in opened.judged.saddles() {
        let stem = drawing::job_stem(name, saddle.job);
        let unit = saddle.job.bench;
        let owner = || drawing::owner_sheets_of(&saddle, &saddle.assess(), unit);
        let after = || {
            let read = saddle.job.strung.clone().ok_or(DrawingError::NoSheets)?;
            let after = saddle.handed_back(&read).map_err(|_| DrawingError::NoSheets)?;
            drawing::handed_back_sheets_of(&saddle, &after, unit)
        };
        let found = SheetSet::Owner
            .file(&stem, &ask.file, owner)
            .or_else(|| SheetSet::HandedBack.file(&stem, &ask.file, after));
        match found {
            None => {}
            Some(Ok((kind, content))) => return saved(ask, media(kind), content),
            Some(Err(error)) => return trouble(bench, ask, 422, &format!("This cannot be drawn: {error}."), &back),
        }
    }
    let Some(done) = opened.judged.planned() else {
        let why = "This job has no plan yet, so there is nothing to draw.";
        return trouble(bench, ask, 404, why, &back);
    };
    // As the command writes it: of everything that the job makes.
    if ask.file == format!("{name}.txt") {
        let text = report::plan_page(done, &PartKind::ALL, done.job.bench);
        return saved(ask, TEXT, text.into_bytes());
    }
    for part in drawn(&opened) {
        let kind = part.kind();
        if ask.file == format!("{}.txt", part_stem(&opened, &part)) {
            let of =
                |(one, parts): &(&Planned, Vec<PartKind>)| one.job.name == part.job().name && parts.contains(&kind);
            let own = done.apart(&[kind]).into_iter().find(of);
            let text = own.map_or_else(String::new, |(one, _)| report::plan_page(one, &[kind], done.job.bench));
            return saved(ask, TEXT, text.into_bytes());
        }
        if done.stops(&[kind]) {
            continue;
        }
        let stem = drawing::job_stem(name, part.job());
        match drawing::part_file(
            &part,
            &stem,
            &options(bench, &opened, &part, done),
            &ask.file,
            PICTURE_DPI,
        ) {
            None => {}
            Some(Ok((kind, content))) => return saved(ask, media(kind), content),
            Some(Err(error)) => return trouble(bench, ask, 422, &format!("This cannot be drawn: {error}."), &back),
        }
    }
    if !is_of_cutting(name, &ask.file) {
        return trouble(bench, ask, 404, "There is no file of this name.", &back);
    }
    let found = match super::programs::file(bench, &opened, &ask.file) {
        Ok(Some(found)) => found,
        Ok(None) => return trouble(bench, ask, 404, "There is no file of this name.", &back),
        Err(why) => return trouble(bench, ask, 503, why.words(), &back),
    };
    // A page or a sheet that was made before the job was changed.
    if let (Some(asked), Some(mark)) = (ask.fields.get("mark"), &found.mark)
        && asked != mark
    {
        let why = format!(
            "This page shows the program with the mark {asked}, and the job now makes one with the mark {mark}: it was changed since. \
             Make the programs again, and take their marks from there."
        );
        return trouble(bench, ask, 409, &why, &format!("/job/{name}/programs"));
    }
    let kind = FileKind::ALL.into_iter().find(|kind| ask.file.ends_with(kind.ending()));
    saved(ask, kind.map_or(TEXT, media), found.content)
}

/// Whether a name may be that of a file of cutting, which has a word behind the part's, and not a sheet's number: programs are not made
/// to learn that there is none.
fn is_of_cutting(job: &str, file: &str) -> bool {
    let rest = file.strip_prefix(job).and_then(|rest| rest.rsplit_once('.'));
    let own = rest.map(|(rest, _)| rest.strip_prefix("-nut").unwrap_or(rest));
    own.and_then(|own| own.strip_prefix('-'))
        .is_some_and(|own| own.contains(|c: char| c.is_ascii_alphabetic()))
}

/// Media type of a text.
const TEXT: &str = "text/plain; charset=utf-8";

/// Media type of a kind of file.
fn media(kind: FileKind) -> &'static str {
    match kind {
        FileKind::Pdf => "application/pdf",
        FileKind::Svg => "image/svg+xml",
        FileKind::Png => "image/png",
        FileKind::Dxf => "image/vnd.dxf",
        FileKind::Stl => "model/stl",
    }
}

fn saved(ask: &Ask, kind: &'static str, content: Vec<u8>) -> Reply {
    Reply::File {
        kind,
        save_as: ask.fields.get("save").map(|_| ask.file.clone()),
        content,
    }
}
