//! The job file: what was answered, in order, with how to take each reading as a comment.

use job::{Edit, EditError, SADDLE_MADE, Value};
use units::parse_cents;

use crate::check::NOT_READ;
use crate::flow::{Interview, Step, ValueAt, key_of};
use crate::question::{is_some, of_strings};
use crate::values;
use crate::values::SAME;
use crate::{Kind, Question, SPELLED_OUT, Spread};

/// Version of the job file's format.
const FORMAT: i64 = 1;

/// Remark above the whole.
const HEAD: &str = "# A survey by `bonewright new`. Edit it; `bonewright check` finds slips.\n\
                    # Lengths as at the bench: \"25 3/8 in\", \"5/64 in\", \"10 thou\", \"3.2 mm\".\n\n";

/// Two values that are the same are written as one, or are kept apart so that a problem names the right end.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ends {
    Joined,
    Apart,
}

/// One key of the file.
struct Entry {
    /// Its table, as an edit of a job file names it; with the number in a `[[string]]` table.
    table: String,
    key: &'static str,
    /// Field of an inline table.
    inline: Option<&'static str>,
    value: Value,
    question: &'static Question,
}

impl Interview {
    /// The job file that the answers make: only what was answered, each key below a comment that says how to read it.
    #[must_use]
    pub fn job_text(&self) -> String {
        self.text(Ends::Joined)
    }

    pub(crate) fn text(&self, ends: Ends) -> String {
        // Nothing is in the way in a text that begins empty.
        self.written(&self.entries(ends)).unwrap_or_default()
    }

    fn written(&self, entries: &[Entry]) -> Result<String, EditError> {
        let mut edit = Edit::of("")?;
        edit.set("format", FORMAT)?;
        if self.saddle_to_come(entries) {
            // An empty table, so that the file is not taken for that of a nut alone.
            edit.table("slot")?;
        }
        let mut explained: Vec<&str> = Vec::new();
        for same in entries.chunk_by(|a, b| (&a.table, a.key) == (&b.table, b.key)) {
            let Entry { table, key, .. } = &same[0];
            // What an earlier string explained is not explained again.
            let known = table.starts_with("string.") && explained.contains(key);
            explained.push(key);
            let remark = |entry: &Entry| format!("# {}:\n# {}\n", entry.question.title, entry.question.how);
            let remarks: String = same.iter().filter(|_| !known).map(remark).collect();
            let beside = entries.iter().filter(|entry| entry.table == *table);
            let width = beside.map(|entry| entry.key.len()).max().unwrap_or(0);
            let value = match same {
                // A relief without its fret was read at mid-span.
                [one] if matches!(one.inline, None | Some("gap")) => one.value.clone(),
                _ => same
                    .iter()
                    .map(|one| (one.inline.unwrap_or_default(), one.value.clone()))
                    .collect(),
            };
            edit.write(&format!("{table}.{key}"), &remarks, width, value)?;
        }
        Ok(edit.text_below(HEAD))
    }

    /// A nut is answered, and a saddle is to be made of which nothing is answered yet.
    fn saddle_to_come(&self, entries: &[Entry]) -> bool {
        let nut = entries.iter().any(|entry| entry.table == "nut_blank");
        nut && self.holds(SADDLE_MADE, ValueAt::Whole)
    }

    fn entries(&self, ends: Ends) -> Vec<Entry> {
        let mut entries = Vec::new();
        let mut assumed: Vec<Entry> = Vec::new();
        for step in self.everything() {
            if matches!(step.part, ValueAt::Treble | ValueAt::Common) {
                continue; // written with the bass, with the whole
            }
            let question = step.question;
            // Without an action of its own, a saddle that stays has this one word of the target.
            if question.key == "ask.setbacks" && self.answers.given("ask.setbacks") == Some("yes") {
                entries.push(entry(&step, "target.intonation", "best-fit-with-nut".into()));
            }
            if question.key == "ask.board" && self.answers.given("ask.board") == Some("flat") {
                entries.push(entry(&step, "instrument.board_radius", "flat".into()));
            }
            if !question.is_written() {
                continue;
            }
            if let Some(value) = self.value(&step, ends) {
                entries.push(entry(&step, question.key, value));
                assumed.extend(self.assumption(&step));
            }
        }
        // Both radii of a board stand under one key.
        assumed.dedup_by_key(|entry| entry.key);
        entries.extend(assumed);
        entries
    }

    /// The entry that says of a step's value that it was not read.
    fn assumption(&self, step: &Step) -> Option<Entry> {
        let (key, _) = step.question.assumed.filter(|_| self.is_assumed(step))?;
        let question = job::fields().find(|field| field.key == key)?;
        Some(Entry {
            question,
            ..entry(step, key, true.into())
        })
    }

    /// The value of a step and, at the bass end, of the treble end with it.
    fn value(&self, step: &Step, ends: Ends) -> Option<Value> {
        let question = step.question;
        if question.spread == Spread::Paired {
            return self.paired(question);
        }
        let Some(text) = self.answers.given(&step.key()).filter(|text| *text != SPELLED_OUT) else {
            return self.treble_alone(step, ends);
        };
        let may_be_list = of_strings(question) || question.spread == Spread::AllOrEach;
        if may_be_list && values::is_list(text) {
            return Some(values::list(text).map(|text| scalar(question, text)).collect());
        }
        let treble = key_of(question.key, ValueAt::Treble);
        let both = step.part == ValueAt::Bass && self.string_count() != Some(1);
        let treble = self.answers.given(&treble).filter(|_| both);
        let bass = scalar(question, text);
        let Some(treble) = treble else {
            // Of some strings, it says which one was read.
            let others = self.string_count().unwrap_or(1).saturating_sub(1);
            return Some(if is_some(question) && others > 0 {
                std::iter::once(bass)
                    .chain((0..others).map(|_| NOT_READ.into()))
                    .collect()
            } else if both && step.part == ValueAt::Bass && ends == Ends::Joined {
                // What nobody read at the other end is not taken to be the same; a first end is judged by itself all the same.
                Value::from_iter([("bass", bass)])
            } else {
                bass
            });
        };
        let treble = scalar(question, if treble == SAME { text } else { treble });
        // A reading of both outer strings is none of all of them.
        if ends == Ends::Joined && !is_some(question) && treble.to_string() == bass.to_string() {
            return Some(bass);
        }
        Some(Value::from_iter([("bass", bass), ("treble", treble)]))
    }

    /// The value of a treble end whose bass end is still open, so that it is not lost meanwhile. The file then misses the bass end.
    fn treble_alone(&self, step: &Step, ends: Ends) -> Option<Value> {
        let question = step.question;
        let open = step.part == ValueAt::Bass && self.answers.get(&step.key()).is_none();
        let treble = self.answers.given(&key_of(question.key, ValueAt::Treble));
        let treble = treble.filter(|text| open && *text != SAME && self.string_count() != Some(1))?;
        let treble = scalar(question, treble);
        let others = self.string_count().unwrap_or(1).saturating_sub(1);
        Some(if is_some(question) && others > 0 {
            (0..others)
                .map(|_| NOT_READ.into())
                .chain(std::iter::once(treble))
                .collect()
        } else if ends == Ends::Joined {
            Value::from_iter([("treble", treble)])
        } else {
            treble
        })
    }

    /// How sure a reading is: one figure, or its total with the share that readings have in common. Of a share alone the total is as usual.
    fn paired(&self, question: &Question) -> Option<Value> {
        let given = |part| self.answers.given(&key_of(question.key, part));
        let total = given(ValueAt::Whole);
        let Some(common) = given(ValueAt::Common) else {
            return total.map(|total| scalar(question, total));
        };
        let total = scalar(question, total.unwrap_or(question.default));
        Some(Value::from_iter([("total", total), ("correlation", as_typed(common))]))
    }
}

/// An entry from a key such as `instrument.relief:gap`.
fn entry(step: &Step, key: &'static str, value: Value) -> Entry {
    let (path, inline) = match key.split_once(':') {
        Some((path, inline)) => (path, Some(inline)),
        None => (key, None),
    };
    let (table, key) = path.rsplit_once('.').unwrap_or(("", path));
    Entry {
        table: match step.part {
            ValueAt::Number(number) => format!("{table}.{number}"),
            _ => table.to_owned(),
        },
        key,
        inline,
        value,
        question: step.question,
    }
}

/// One value.
fn scalar(question: &Question, text: &str) -> Value {
    match question.kind {
        Kind::YesNo => (text == "yes").into(),
        Kind::Whole | Kind::Number(_) => as_typed(text),
        Kind::Notes => values::words(text).collect(),
        Kind::Cents if question.spread != Spread::Listed => {
            parse_cents(text).map_or_else(|_| text.into(), |cents| as_typed(&cents.to_string()))
        }
        Kind::Cents => values::words(text)
            .map(|word| parse_cents(word).map_or_else(|_| word.into(), |cents| as_typed(&cents.to_string())))
            .collect(),
        Kind::Names(_) | Kind::Several(_) => values::list(text).map(Value::from).collect(),
        Kind::Courses => match values::course_sizes(text) {
            Some(sizes) => sizes.into_iter().map(i64::from).collect(),
            None => text.into(),
        },
        _ => text.into(),
    }
}

/// A number in the digits it was given in.
fn as_typed(text: &str) -> Value {
    let mut value: Value = text.parse().unwrap_or_else(|_| text.into());
    value.decor_mut().clear();
    value
}
