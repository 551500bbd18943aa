//! The readings after stringing up, asked one by one. Prompts go to standard error, so that the result stands alone.

use crate::failure::Failure;
use crate::tools::tools;
use crate::{source, speak};
use job::{Job, Profiles, Severity, StrungReadings};
use std::io::{self, BufRead, Write};
use units::{LengthUnit, parse_cents, parse_length};

/// What is asked of every string: key of `[strung]`, and the words of the prompt.
const ASKED: [(&str, &str); 3] = [
    ("action_12", "action over fret 12"),
    ("first_fret_clearance", "gap over fret 1, string open"),
    ("cents_12", "cents at fret 12 against the open octave, sharp plus"),
];

/// Name of the answers in messages.
const NAME: &str = "the answers";

/// Asks for every reading until all are given or input ends; Enter alone is one not read.
///
/// # Errors
/// [`Failure::Use`] if a tool is unknown; [`Failure::Job`] if no action was read; [`Failure::File`] if standard input cannot be read.
pub(super) fn readings(job: &Job, with: &[String], profiles: &Profiles) -> Result<StrungReadings, Failure> {
    let with = &tools("--with", with, profiles)?;
    let file = Answers { job, with, profiles };
    speak::error(&format!(
        "Readings at pitch, bass to treble. Lengths as \"1/32 in\", \"12 thou\" or \"2.4 mm\"; a bare number is in {}.\nEnter alone: not read. End of input: no more.",
        job.unit.name()
    ));
    let mut given: [Vec<Option<String>>; 3] = [(); 3].map(|()| vec![None; job.instrument.strings.len()]);
    let mut input = io::stdin().lock();
    'all: for (k, (key, words)) in ASKED.iter().enumerate() {
        for (i, string) in job.instrument.strings.iter().enumerate() {
            let (number, note) = (string.number, &string.note);
            loop {
                let Some(answer) = prompt(&mut input, &format!("String {number} ({note}), {words}: "))? else {
                    break 'all;
                };
                if answer.is_empty() {
                    break;
                }
                if let Err(why) = readable(key, &answer, job.unit) {
                    speak::error(&format!("Not taken: {why}"));
                    continue;
                }
                given[k][i] = Some(answer);
                let Some(why) = file.refusal(&given, key) else {
                    break;
                };
                speak::error(&format!("Not taken: {why}"));
                given[k][i] = None;
            }
        }
    }
    match job::read_strung(&file.text(&given), job, profiles) {
        Ok((read, mut warnings)) => {
            warnings.iter_mut().for_each(|w| w.line = None);
            source::tell(NAME, &warnings);
            Ok(read)
        }
        Err(mut problems) => {
            problems.iter_mut().for_each(|p| p.line = None);
            source::tell(NAME, &problems);
            Err(Failure::Job)
        }
    }
}

fn prompt(input: &mut impl BufRead, words: &str) -> Result<Option<String>, Failure> {
    let mut err = io::stderr().lock();
    // If standard error is closed, there is no one to ask; the answers are read all the same.
    let _ = write!(err, "{words}").and_then(|()| err.flush());
    let mut line = Vec::new();
    let read = input
        .read_until(b'\n', &mut line)
        .map_err(|error| Failure::file("standard input could not be read", error))?;
    if read == 0 {
        let _ = writeln!(err);
        return Ok(None);
    }
    Ok(Some(String::from_utf8_lossy(&line).trim().to_owned()))
}

fn readable(key: &str, answer: &str, unit: LengthUnit) -> Result<f64, units::ReadError> {
    if key == "cents_12" {
        parse_cents(answer)
    } else {
        parse_length(answer, unit)
    }
}

/// What the answers are of.
struct Answers<'a> {
    job: &'a Job,
    /// Tools that they are read with.
    with: &'a [String],
    profiles: &'a Profiles,
}

impl Answers<'_> {
    /// Why the job's own checks refuse the answer just given under `key`.
    fn refusal(&self, given: &[Vec<Option<String>>; 3], key: &str) -> Option<String> {
        let problems = job::read_strung(&self.text(given), self.job, self.profiles).err()?;
        let field = format!("strung.{key}");
        problems
            .into_iter()
            .find(|p| p.severity == Severity::Error && p.field.starts_with(&field))
            .map(|p| p.what())
    }

    /// As a file of readings.
    fn text(&self, given: &[Vec<Option<String>>; 3]) -> String {
        let mut text = format!("format = 1\nunit = \"{}\"\n[strung]\n", self.job.unit.name());
        if !self.with.is_empty() {
            text += &format!("with = {:?}\n", self.with);
        }
        for ((key, _), answers) in ASKED.iter().zip(given) {
            if *key != "action_12" && answers.iter().all(Option::is_none) {
                continue;
            }
            // An answer has been read as a length or as cents, so all it can hold that TOML minds is the inch mark.
            let cells: Vec<String> = answers
                .iter()
                .map(|a| format!("\"{}\"", a.as_deref().unwrap_or("-").replace('"', "\\\"")))
                .collect();
            text += &format!("{key} = [{}]\n", cells.join(", "));
        }
        text
    }
}
