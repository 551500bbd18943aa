//! What is told of several saddles: each as of one alone, and once what is of all.

use crate::figures::{list, strings};
use crate::page::{closing, opening};
use crate::{whole_short, wrapped};
use job::Job;
use units::BenchUnit;
use work::{Fitted, Hazards, Planned, Remark, SaddleWork, Whole};

/// Which saddle carries which strings, and which is to be looked at first.
#[must_use]
pub fn split_headline(done: &Planned) -> String {
    let saddles: Vec<SaddleWork> = done.saddles().filter_map(Planned::saddle).collect();
    let carries: Vec<String> = saddles
        .iter()
        .map(|saddle| format!("{} ({})", name(saddle.job), carried(saddle.job)))
        .collect();
    let count = ["No", "One", "Two", "Three", "Four", "Five", "Six"].get(saddles.len());
    let count = count.map_or_else(|| saddles.len().to_string(), |word| (*word).to_owned());
    let text = format!("{count} saddles carry the strings: {}.", list(&carries));
    let Some(worst) = saddles.iter().filter_map(trouble).min() else {
        return text;
    };
    let worst_off = saddles.iter().filter(|saddle| trouble(saddle) == Some(worst));
    let names: Vec<String> = worst_off.map(|saddle| name(saddle.job).to_owned()).collect();
    let what = match worst {
        Trouble::Stop => "Not to be made as it stands",
        Trouble::Doubted => "A reading does not fit the others, and is taken again first",
        Trouble::NotYet => "Something else comes first, or instead",
        Trouble::OutOfTune => "Held strings stay out of tune",
    };
    format!("{text} {what}: {}.", list(&names))
}

/// What is the matter with a saddle, the worst first.
#[derive(PartialEq, Eq, PartialOrd, Ord, Clone, Copy)]
enum Trouble {
    Stop,
    Doubted,
    NotYet,
    OutOfTune,
}

fn trouble(saddle: &SaddleWork) -> Option<Trouble> {
    let remarks = saddle.remarks();
    if remarks.iter().any(Remark::stops) {
        Some(Trouble::Stop)
    } else if !saddle.doubted.is_empty() {
        Some(Trouble::Doubted)
    } else if remarks.iter().any(|remark| matches!(remark, Remark::NotYet(_))) {
        Some(Trouble::NotYet)
    } else {
        saddle.plan.ways_out.as_ref().map(|_| Trouble::OutOfTune)
    }
}

fn name(job: &Job) -> &str {
    job.name.as_deref().unwrap_or("the saddle")
}

/// `strings 6 to 3`, `string 1`.
fn carried(job: &Job) -> String {
    let numbers: Vec<u32> = job.instrument.strings.iter().map(|string| string.number).collect();
    match &numbers[..] {
        [bass, _, .., treble] if numbers.len() > 2 => format!("strings {bass} to {treble}"),
        few => strings(few),
    }
}

/// Pages of several parts as one text: the cautions stand once, below the last, for all of them.
#[must_use]
pub fn pages_of(pages: Vec<(String, Hazards)>) -> String {
    if let [(page, _)] = &pages[..] {
        return page.clone();
    }
    let mut all = Hazards::default();
    let mut texts = Vec::new();
    for (page, hazards) in pages {
        all = all.and(hazards);
        let body = page.strip_suffix(&closing(hazards)).unwrap_or(&page);
        texts.push(body.to_owned());
    }
    texts.join("\n\n") + &closing(all)
}

/// JSON documents of saddles and of a nut as one: the only one as it is, several as an object. A saddle that is one of several stands
/// under its name.
#[must_use]
pub fn documents(saddles: Vec<(&Job, String)>, nut: Option<String>) -> String {
    let (key, saddles) = match &saddles[..] {
        [] => return nut.unwrap_or_default(),
        [(job, only)] => match (&job.name, &nut) {
            (_, None) => return only.clone(),
            _ => ("saddle", only.trim_end().to_owned()),
        },
        several => {
            let each = several.iter().map(|(job, text)| {
                let name = job.name.as_deref().unwrap_or_default();
                // A name is letters and digits alone.
                format!("{{\n\"name\": \"{name}\",\n\"saddle\": {}\n}}", text.trim_end())
            });
            ("saddles", format!("[\n{}\n]", each.collect::<Vec<_>>().join(",\n")))
        }
    };
    match nut {
        None => format!("{{\n\"{key}\": {saddles}\n}}\n"),
        Some(nut) => format!("{{\n\"{key}\": {saddles},\n\"nut\": {}\n}}\n", nut.trim_end()),
    }
}

/// What is left to do on each of several saddles in short, then on all of them; nothing where there is one.
#[must_use]
pub fn fits_headline(title: &str, fits: &[(&Job, &Fitted)], bench: BenchUnit) -> String {
    if fits.len() < 2 {
        return String::new();
    }
    let mut text = opening(title);
    text += "EACH SADDLE\n\n";
    for (job, fitted) in fits {
        text += &wrapped(&format!("{}: {}", name(job), whole_short(fitted, bench)), "- ", "  ");
    }
    text + &format!("\nALL SADDLES\n\n{}\n\n", wrapped(&fits_words(fits), "", ""))
}

/// What is left to do on all of several saddles together, in a sentence or two.
#[must_use]
pub fn fits_words(fits: &[(&Job, &Fitted)]) -> String {
    let those = |test: fn(&Whole) -> bool| {
        let names = fits.iter().filter(|(_, fitted)| test(&fitted.whole()));
        let names: Vec<String> = names.map(|(job, _)| name(job).to_owned()).collect();
        (!names.is_empty()).then(|| list(&names))
    };
    if let Some(names) = those(|whole| matches!(whole, Whole::ReadAgain)) {
        format!("First take the doubtful readings over {names} again. File nothing on any saddle until then.")
    } else if those(|whole| matches!(whole, Whole::SlotsFirst)).is_some() {
        "First bring the nut's slots right. File nothing on any saddle until then.".to_owned()
    } else if let Some(names) =
        those(|whole| matches!(whole, Whole::NewSaddle(_) | Whole::ShimOrNew(_) | Whole::Shim(_)))
    {
        format!("Bring {names} up first. Then string up and read all strings again before any file.")
    } else if let Some(names) = those(|whole| matches!(whole, Whole::File)) {
        format!("File {names}, and leave what says nothing of a file. Then string up and read all strings again.")
    } else {
        "Nothing is left to file on any saddle.".to_owned()
    }
}
