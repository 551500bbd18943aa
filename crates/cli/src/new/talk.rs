//! Plain lines out, plain lines in.

use std::borrow::Cow;
use std::io::{self, BufRead, Write};

use ::survey::{AnswerCheck, Interview, Station, Step};
use textwrap::{Options, WordSplitter};

/// Widest line that is printed.
const WIDTH: usize = 79;
/// The word that takes what is usual in place of a reading.
const ASSUME: &str = "assume";
/// A blank at which no line is broken.
const GLUE: &str = "\u{a0}";

/// A talk with the user over lines of text.
pub(super) struct Talk<R, W> {
    input: R,
    out: W,
    /// Repeat what is read, because no terminal shows it.
    echo: bool,
}

/// A command in place of an answer.
pub(super) enum Reply {
    /// To the question before, or to the answer of this number.
    Back(Option<usize>),
    /// Show the answers.
    List,
    /// Explain the question.
    Help,
    /// Leave; also the end of input.
    Leave,
}

/// What came of asking a question once.
pub(super) enum Asked {
    /// The answer is kept.
    Kept,
    /// It was refused, with the reason told.
    Again,
    /// A command was given.
    Command(Reply),
}

impl<R: BufRead, W: Write> Talk<R, W> {
    /// A talk over these two; `echo` repeats what is read, for input that no terminal shows.
    pub(super) fn new(input: R, out: W, echo: bool) -> Self {
        Self { input, out, echo }
    }

    /// One line as it is.
    pub(super) fn say(&mut self, line: &str) -> io::Result<()> {
        writeln!(self.out, "{line}")
    }

    pub(super) fn blank(&mut self) -> io::Result<()> {
        self.say("")
    }

    /// Sentences, broken into lines that fit.
    pub(super) fn tell(&mut self, text: &str) -> io::Result<()> {
        wrapped(text, "").iter().try_for_each(|line| self.say(line))
    }

    /// Sentences, broken into lines that fit, each set in.
    pub(super) fn tell_in(&mut self, text: &str) -> io::Result<()> {
        wrapped(text, "  ").iter().try_for_each(|line| self.say(line))
    }

    pub(super) fn station(&mut self, station: Station) -> io::Result<()> {
        self.blank()?;
        self.say(&station.title().to_uppercase())?;
        station.intro().iter().try_for_each(|line| self.say(line))
    }

    /// Asks for a line; `None` at the end of input.
    pub(super) fn prompt(&mut self, title: &str, default: Option<&str>) -> io::Result<Option<String>> {
        match default {
            Some(default) => write!(self.out, "{title} [{default}]: ")?,
            None => write!(self.out, "{title}: ")?,
        }
        self.out.flush()?;
        let mut line = Vec::new();
        let read = self.input.read_until(b'\n', &mut line)?;
        if read == 0 {
            self.blank()?;
            return Ok(None);
        }
        let line = String::from_utf8_lossy(&line).trim().to_owned();
        if self.echo {
            self.say(&printable(&line))?;
        }
        Ok(Some(line))
    }

    /// Asks until yes or no is answered; `None` if the user leaves.
    pub(super) fn yes_or_no(&mut self, title: &str, default: Option<bool>) -> io::Result<Option<bool>> {
        let shown = default.map(|yes| if yes { "yes" } else { "no" });
        loop {
            let Some(line) = self.prompt(title, shown)? else {
                return Ok(None);
            };
            match (line.to_lowercase().as_str(), default) {
                ("", Some(default)) => return Ok(Some(default)),
                ("yes" | "y", _) => return Ok(Some(true)),
                ("no" | "n", _) => return Ok(Some(false)),
                ("quit", _) => return Ok(None),
                _ => self.say("Answer yes or no.")?,
            }
        }
    }

    /// Asks one question once.
    pub(super) fn ask(&mut self, interview: &mut Interview, step: &Step) -> io::Result<Asked> {
        self.blank()?;
        self.say(step.question.how)?;
        self.show_choices(&interview.choices(step))?;
        let enter = interview.enter(step);
        let may_skip = interview.may_skip(step);
        let shown = enter.as_deref().or(may_skip.then_some("skip"));
        let Some(line) = self.prompt(&step.title(), shown)? else {
            return Ok(Asked::Command(Reply::Leave));
        };
        if let Some(reply) = command(&line) {
            return Ok(Asked::Command(reply));
        }
        if line == ASSUME && interview.assume(step) {
            return Ok(Asked::Kept);
        }
        let text = match line.as_str() {
            "" => enter.unwrap_or_default(),
            "skip" if may_skip => String::new(),
            _ => line,
        };
        if interview.answers.given(&step.key()) == Some(&text) && !interview.is_assumed(step) {
            return Ok(Asked::Kept); // as it was, doubts and all
        }
        match interview.answer(step, &text) {
            AnswerCheck::Keep(_) => Ok(Asked::Kept),
            AnswerCheck::Refuse(why) => {
                self.tell(&format!("Not taken: {why}"))?;
                Ok(Asked::Again)
            }
            AnswerCheck::Doubt { text, why } => {
                self.tell(&format!("Doubtful: {why}"))?;
                match self.yes_or_no("Keep it, yes or no", None)? {
                    None => Ok(Asked::Command(Reply::Leave)),
                    Some(false) => Ok(Asked::Again),
                    Some(true) => {
                        interview.keep(step, &text);
                        Ok(Asked::Kept)
                    }
                }
            }
        }
    }

    /// More about a question, and the commands.
    pub(super) fn help(&mut self, interview: &Interview, step: &Step) -> io::Result<()> {
        self.tell(if step.question.help.is_empty() {
            step.question.how
        } else {
            step.question.help
        })?;
        if step.question.spread == ::survey::Spread::Strings {
            self.tell(
                "Answer for the outer strings; inner ones lie between. Or give one value for each string, bass to \
                 treble, with `;` between. At the treble string `same` takes the bass value.",
            )?;
        } else if step.question.spread == ::survey::Spread::Ends {
            self.tell("At the treble end `same` takes the bass value.")?;
        }
        if let Some(usual) = interview.assumable(step) {
            self.tell(&format!(
                "`{ASSUME}` takes {usual}, which is usual, where you cannot read it: it counts no more than that, and the plan says so."
            ))?;
        }
        self.tell(
            "Commands: `back` to the question before, `back 12` to answer 12, `list` your answers, `quit` to leave and \
             keep them. `skip` where [skip] is shown.",
        )
    }

    fn show_choices(&mut self, choices: &[(String, String)]) -> io::Result<()> {
        if choices.iter().any(|(value, _)| value == "yes") {
            return Ok(());
        }
        if choices.iter().all(|(_, meaning)| meaning.is_empty()) {
            let all = choices
                .iter()
                .enumerate()
                .map(|(i, (value, _))| format!("{} {value}", i + 1));
            return listed(all).iter().try_for_each(|line| self.say(line));
        }
        choices.iter().enumerate().try_for_each(|(i, (value, meaning))| {
            let colon = if meaning.is_empty() { "" } else { ": " };
            self.tell_in(&format!("{} {value}{colon}{meaning}", i + 1))
        })
    }
}

/// Short items in as few lines as fit, none broken.
fn listed(items: impl Iterator<Item = String>) -> Vec<String> {
    let glued: Vec<String> = items.map(|item| item.replace(' ', GLUE)).collect();
    let lines = wrapped(&glued.join(", "), "  ");
    lines.iter().map(|line| line.replace(GLUE, " ")).collect()
}

/// What was read, without characters that could upset a terminal.
pub(super) fn printable(line: &str) -> String {
    line.chars()
        .map(|c| if c.is_control() { '\u{fffd}' } else { c })
        .collect()
}

fn command(line: &str) -> Option<Reply> {
    let mut words = line.split_whitespace();
    let reply = match words.next()? {
        "?" => Reply::Help,
        "list" => Reply::List,
        "quit" => Reply::Leave,
        "back" => {
            return match (words.next().map(str::parse), words.next()) {
                (None, _) => Some(Reply::Back(None)),
                (Some(Ok(number)), None) => Some(Reply::Back(Some(number))),
                _ => None,
            };
        }
        _ => return None,
    };
    words.next().is_none().then_some(reply)
}

/// Text broken at spaces into lines that fit, each after `indent`.
fn wrapped(text: &str, indent: &str) -> Vec<String> {
    let options = Options::new(WIDTH)
        .initial_indent(indent)
        .subsequent_indent(indent)
        .word_splitter(WordSplitter::NoHyphenation)
        .break_words(false);
    let flat: Vec<&str> = text.split_ascii_whitespace().collect();
    textwrap::wrap(&flat.join(" "), options)
        .into_iter()
        .map(Cow::into_owned)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_fit_and_items_stay_whole() {
        let words = "word ".repeat(60);
        assert!(wrapped(&words, "  ").iter().all(|line| line.chars().count() <= WIDTH));
        let items: Vec<String> = (1..30).map(|i| format!("{i} two words")).collect();
        let lines = listed(items.iter().cloned());
        assert!(lines.iter().all(|line| line.chars().count() <= WIDTH));
        let joined: Vec<&str> = lines
            .iter()
            .flat_map(|line| line.trim().trim_end_matches(',').split(", "))
            .collect();
        assert_eq!(joined, items);
    }

    #[test]
    fn only_whole_commands_are_commands() {
        assert!(matches!(command("back"), Some(Reply::Back(None))));
        assert!(matches!(command("back 12"), Some(Reply::Back(Some(12)))));
        for answer in [
            "back pain guitar",
            "back 1 2",
            "list price",
            "quit it",
            "",
            "?!",
            "backs",
        ] {
            assert!(command(answer).is_none(), "{answer}");
        }
    }
}
