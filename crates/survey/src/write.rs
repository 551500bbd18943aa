//! The job file: what was answered, in order, with how to take each reading as a comment.

use std::fmt::Write as _;

use toml::Value;
use units::parse_cents;

use crate::check::SAME;
use crate::flow::{Interview, Step, ValueAt};
use crate::values;
use crate::{Kind, Question, SPELLED_OUT, Spread};
use job::SADDLE_MADE;

/// Version of the job file's format.
const FORMAT: u32 = 1;

/// Tables of the job file that the survey writes, in their order; the first, without a name, is the top of the file, and `string` is a
/// list of tables.
pub const TABLES: [&str; 13] = [
    "",
    "instrument",
    "strings",
    "string",
    "nut",
    "nut_blank",
    "present",
    "target",
    "slot",
    "slot.reference",
    "bridge",
    "blank",
    "crown",
];

/// Two values that are the same are written as one, or are kept apart so that a problem names the right end.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ends {
    Joined,
    Apart,
}

/// One key of the file.
struct Entry {
    table: String,
    /// String number in a `[[string]]` table.
    number: Option<u32>,
    key: &'static str,
    /// Field of an inline table.
    inline: Option<&'static str>,
    value: String,
    title: &'static str,
    how: &'static str,
}

impl Interview {
    /// The job file that the answers make: only what was answered, each key below a comment that says how to read it.
    #[must_use]
    pub fn job_text(&self) -> String {
        self.text(Ends::Joined)
    }

    pub(crate) fn text(&self, ends: Ends) -> String {
        let entries = self.entries(ends);
        let mut out = format!(
            "# A survey by `bonewright new`. Edit it; `bonewright check` finds slips.\n\
             # Lengths as at the bench: \"25 3/8 in\", \"5/64 in\", \"10 thou\", \"3.2 mm\".\n\n\
             format = {FORMAT}\n"
        );
        for table in TABLES {
            let of_table: Vec<&Entry> = entries.iter().filter(|entry| entry.table == table).collect();
            if table == "string" {
                write_strings(&mut out, &of_table);
            } else if table == "slot" && of_table.is_empty() && self.saddle_to_come(&entries) {
                // An empty table, so that the file is not taken for that of a nut alone.
                out += "\n[slot]\n";
            } else if !of_table.is_empty() {
                if !table.is_empty() {
                    let _ = writeln!(out, "\n[{table}]");
                }
                write_keys(&mut out, &of_table);
            }
        }
        out
    }

    /// A nut is answered, and a saddle is to be made of which nothing is answered yet.
    fn saddle_to_come(&self, entries: &[Entry]) -> bool {
        let nut = entries.iter().any(|entry| entry.table == "nut_blank");
        nut && self.holds(SADDLE_MADE, ValueAt::Whole)
    }

    fn entries(&self, ends: Ends) -> Vec<Entry> {
        let mut entries = Vec::new();
        for step in self.steps() {
            if step.part == ValueAt::Treble {
                continue; // written with the bass
            }
            let question = step.question;
            // Without an action of its own, a saddle that stays has this one word of the target.
            if question.key == "ask.setbacks" && self.answers.given("ask.setbacks") == Some("yes") {
                entries.push(entry(&step, "target.intonation", "\"best-fit-with-nut\"".to_owned()));
            }
            if question.key == "ask.board" && self.answers.given("ask.board") == Some("flat") {
                entries.push(Entry {
                    key: "board_radius",
                    value: "\"flat\"".to_owned(),
                    ..entry(&step, "instrument.board_radius", String::new())
                });
            }
            if !question.is_written() {
                continue;
            }
            if let Some(value) = self.value(&step, ends) {
                entries.push(entry(&step, question.key, value));
            }
        }
        entries
    }

    /// The value of a step and, at the bass end, of the treble end with it, as TOML.
    fn value(&self, step: &Step, ends: Ends) -> Option<String> {
        let question = step.question;
        let text = self.answers.given(&step.key()).filter(|text| *text != SPELLED_OUT)?;
        let scalar = |text: &str| scalar(question, text);
        if question.spread == Spread::Strings && values::is_list(text) {
            let values: Vec<String> = values::list(text).map(scalar).collect();
            return Some(format!("[{}]", values.join(", ")));
        }
        let bass = scalar(text);
        let treble_step = Step {
            part: ValueAt::Treble,
            ..*step
        };
        let treble = self
            .answers
            .given(&treble_step.key())
            .filter(|_| step.part == ValueAt::Bass && self.string_count() != Some(1));
        Some(match treble {
            Some(text) => {
                let treble = if text == SAME { bass.clone() } else { scalar(text) };
                if treble == bass && ends == Ends::Joined {
                    bass
                } else {
                    format!("{{ bass = {bass}, treble = {treble} }}")
                }
            }
            None => bass,
        })
    }
}

/// An entry from a key such as `instrument.relief:gap`.
fn entry(step: &Step, key: &'static str, value: String) -> Entry {
    let (path, inline) = match key.split_once(':') {
        Some((path, inline)) => (path, Some(inline)),
        None => (key, None),
    };
    let (table, key) = path.rsplit_once('.').unwrap_or(("", path));
    Entry {
        table: table.to_owned(),
        number: match step.part {
            ValueAt::Number(n) => Some(n),
            _ => None,
        },
        key,
        inline,
        value,
        title: step.question.title,
        how: step.question.how,
    }
}

/// One value as TOML.
fn scalar(question: &Question, text: &str) -> String {
    let quoted = |text: &str| Value::String(text.to_owned()).to_string();
    let array = |values: Vec<String>| format!("[{}]", values.join(", "));
    match question.kind {
        Kind::YesNo => (text == "yes").to_string(),
        Kind::Whole | Kind::Number(_) => text.to_owned(),
        Kind::Notes => array(values::words(text).map(quoted).collect()),
        Kind::Cents => array(
            values::words(text)
                .map(|word| parse_cents(word).map_or_else(|_| quoted(word), |c| c.to_string()))
                .collect(),
        ),
        Kind::Courses => match values::course_sizes(text) {
            Some(sizes) => array(sizes.iter().map(u32::to_string).collect()),
            None => quoted(text),
        },
        _ => quoted(text),
    }
}

fn write_strings(out: &mut String, entries: &[&Entry]) {
    let mut numbers: Vec<u32> = entries.iter().filter_map(|entry| entry.number).collect();
    numbers.dedup();
    let mut explained: Vec<&str> = Vec::new();
    for number in numbers {
        let _ = writeln!(out, "\n[[string]]\nnumber = {number}");
        let of_string: Vec<&Entry> = entries
            .iter()
            .filter(|entry| entry.number == Some(number))
            .copied()
            .collect();
        // What an earlier string explained is not explained again.
        let width = of_string.iter().map(|entry| entry.key.len()).max().unwrap_or(0);
        for entry in of_string {
            if !explained.contains(&entry.key) {
                explained.push(entry.key);
                write_comment(out, entry);
            }
            let _ = writeln!(out, "{:width$} = {}", entry.key, entry.value);
        }
    }
}

fn write_keys(out: &mut String, entries: &[&Entry]) {
    let width = entries.iter().map(|entry| entry.key.len()).max().unwrap_or(0);
    let mut rest = entries;
    while let Some(first) = rest.first() {
        let (same, after) = rest.split_at(rest.iter().take_while(|entry| entry.key == first.key).count());
        rest = after;
        for entry in same {
            write_comment(out, entry);
        }
        let value = match same {
            [
                Entry {
                    inline: None, value, ..
                },
            ] => value.clone(),
            // A relief without its fret was read at mid-span.
            [
                Entry {
                    inline: Some("gap"),
                    value,
                    ..
                },
            ] => value.clone(),
            _ => {
                let fields: Vec<String> = same
                    .iter()
                    .map(|entry| format!("{} = {}", entry.inline.unwrap_or_default(), entry.value))
                    .collect();
                format!("{{ {} }}", fields.join(", "))
            }
        };
        let _ = writeln!(out, "{:width$} = {value}", first.key);
    }
}

fn write_comment(out: &mut String, entry: &Entry) {
    let _ = writeln!(out, "# {}:\n# {}", entry.title, entry.how);
}
