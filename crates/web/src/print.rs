//! A job's plan as the command prints it: for a program that runs the module without a browser.

use job::{Profiles, Severity};
use machining::PartKind;
use serde::Deserialize;
use work::Planned;

/// How a plan is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Form {
    /// For people.
    Page,
    /// For other programs: of the saddle, or of the nut where that alone is made.
    Json,
    /// The same as a table of the saddle's strings.
    Csv,
}

/// What is printed, and what is told besides; `made`: whether the part may be made.
#[derive(Debug, Default)]
pub(crate) struct Printed {
    pub(crate) text: String,
    pub(crate) told: Vec<String>,
    pub(crate) made: bool,
}

/// Plans a job of this name and prints it.
pub(crate) fn print(name: &str, text: &str, form: Form) -> Printed {
    let mut printed = Printed::default();
    let checked = match job::read(text, &Profiles::built_in()) {
        Ok(checked) => checked,
        Err(problems) => {
            let (shown, more) = job::shown(&problems);
            printed
                .told
                .extend(shown.iter().map(|problem| problem.display(name).to_string()));
            if more > 0 {
                printed
                    .told
                    .push(format!("{name}: {more} more not shown. Mend these first."));
            }
            let errors = problems
                .iter()
                .filter(|problem| problem.severity == Severity::Error)
                .count();
            let count = if errors == 1 {
                "1 error".to_owned()
            } else {
                format!("{errors} errors")
            };
            printed.told.push(format!("{name}: {count}. Nothing was planned."));
            return printed;
        }
    };
    printed
        .told
        .extend(checked.warnings.iter().map(|warning| warning.display(name).to_string()));
    let done = work::planned(checked.job);
    let bench = done.job.bench;
    if !done.refusals.is_empty() {
        let refusals = done
            .refusals
            .iter()
            .map(|refusal| report::refusal_words(refusal, bench));
        printed.told.extend(refusals.map(|why| format!("error: {name}: {why}")));
        return printed;
    }
    let made: Vec<PartKind> = PartKind::ALL.into_iter().filter(|part| done.makes(*part)).collect();
    match text_of(&done, &made, form) {
        Ok(text) => printed.text = text,
        Err(why) => {
            printed.told.push(format!("error: {name}: {why}"));
            return printed;
        }
    }
    let stops = report::stop_words(&done, &made, bench);
    printed.made = stops.is_empty();
    printed
        .told
        .extend(stops.iter().map(|why| format!("error: {name}: {why}")));
    printed
}

fn text_of(done: &Planned, made: &[PartKind], form: Form) -> Result<String, String> {
    let told = |error: &dyn std::fmt::Display| error.to_string();
    // Other programs get the saddle, where there is one.
    let one = &made[..made.len().min(1)];
    match form {
        Form::Page => Ok(report::plan_page(done, made, done.job.bench)),
        Form::Json => report::plan_json(done, one, done.job.bench).map_err(|error| told(&error)),
        Form::Csv => match done.saddle() {
            Some(saddle) => report::csv(saddle.plan).map_err(|error| told(&error)),
            None => Err("CSV holds one saddle alone, and this job has none or several. Take JSON.".to_owned()),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SOUND: &str = include_str!("../../../examples/sound.toml");

    #[test]
    fn a_sound_job_is_printed_in_every_form_and_a_broken_one_says_why() {
        for (form, begins) in [
            (Form::Page, "Flat-top guitar"),
            (Form::Json, "{"),
            (Form::Csv, "number,note"),
        ] {
            let printed = print("sound.toml", SOUND, form);
            assert!(printed.made, "{:?}", printed.told);
            assert!(
                printed.text.to_lowercase().contains(&begins.to_lowercase()),
                "{}",
                printed.text
            );
        }
        let broken = print("x.toml", &SOUND.replace("lean =", "leen ="), Form::Page);
        assert!(!broken.made && broken.text.is_empty());
        assert!(
            broken.told.iter().any(|line| line.contains("leen")),
            "{:?}",
            broken.told
        );
    }
}
