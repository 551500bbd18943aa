//! The answers so far, and the last look before the file is written.

use std::io::{self, BufRead, Write};

use ::survey::{Interview, Step};
use job::Severity;

use super::talk::{Talk, printable};

/// What the user wants after the last look.
pub(super) enum Review {
    /// Write the file.
    Write,
    /// Change this answer.
    Change(Step),
    /// Leave; the draft stays.
    Leave,
}

/// The answered steps, in order: their place from 1 is the number in the list.
fn answered(interview: &Interview) -> Vec<Step> {
    interview
        .steps()
        .into_iter()
        .filter(|step| interview.answers.get(&step.key()).is_some())
        .collect()
}

/// The step of a number in the list.
pub(super) fn numbered(interview: &Interview, number: usize) -> Option<Step> {
    answered(interview).get(number.checked_sub(1)?).copied()
}

/// Shows the answers so far, numbered.
pub(super) fn list<R: BufRead, W: Write>(talk: &mut Talk<R, W>, interview: &Interview) -> io::Result<()> {
    let steps = answered(interview);
    if steps.is_empty() {
        return talk.say("Nothing is answered yet.");
    }
    let mut station = None;
    for (i, step) in steps.iter().enumerate() {
        if station != Some(step.question.station) {
            station = Some(step.question.station);
            talk.say(step.question.station.title())?;
        }
        let text = printable(interview.answers.given(&step.key()).unwrap_or("skipped"));
        talk.tell_in(&format!("{}. {}: {text}", i + 1, step.title()))?;
    }
    Ok(())
}

/// Shows the answers and what the check says, and asks what to do.
pub(super) fn review<R: BufRead, W: Write>(talk: &mut Talk<R, W>, interview: &Interview) -> io::Result<Review> {
    talk.blank()?;
    talk.say("ALL ANSWERED")?;
    list(talk, interview)?;
    let sound = problems(talk, interview)?;
    talk.blank()?;
    loop {
        let line = if sound {
            talk.prompt("Enter writes the file, a number changes that answer", None)?
        } else {
            talk.say("`write` writes the file as it is, to be mended by hand.")?;
            talk.prompt("Number of the answer to change", None)?
        };
        let Some(line) = line else { return Ok(Review::Leave) };
        match line.as_str() {
            "" if sound => return Ok(Review::Write),
            "write" => return Ok(Review::Write),
            "quit" => return Ok(Review::Leave),
            "back" => {
                if let Some(step) = interview.steps().last() {
                    return Ok(Review::Change(*step));
                }
            }
            "list" => list(talk, interview)?,
            "?" => {
                problems(talk, interview)?;
            }
            other => {
                let number = other.trim_start_matches("back").trim().parse().ok();
                if let Some(step) = number.and_then(|number| numbered(interview, number)) {
                    return Ok(Review::Change(step));
                }
                talk.say("Give a number of the list, `write` or `quit`.")?;
            }
        }
    }
}

/// Shows what the check of the file says, with the number of the answer to mend. Whether there is no error.
fn problems<R: BufRead, W: Write>(talk: &mut Talk<R, W>, interview: &Interview) -> io::Result<bool> {
    let problems = interview.problems();
    let steps = answered(interview);
    talk.blank()?;
    if problems.is_empty() {
        talk.say("The check finds no problem.")?;
    }
    for (problem, step) in &problems {
        let at = step.and_then(|step| steps.iter().position(|other| *other == step));
        let way = at.map_or_else(String::new, |at| format!(" (answer {})", at + 1));
        let what = match problem.severity {
            Severity::Error => "Error",
            Severity::Warning => "Doubtful",
        };
        let title = step.map_or_else(|| problem.field.clone(), |step| step.title());
        talk.tell(&format!("{what}, {title}{way}: {}", problem.what()))?;
    }
    Ok(problems
        .iter()
        .all(|(problem, _)| problem.severity == Severity::Warning))
}
