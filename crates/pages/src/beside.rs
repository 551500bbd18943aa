//! What is kept beside a job and is no part of it: answers that only steer the survey, skipped questions, ticks.

use std::collections::{BTreeMap, BTreeSet};

use toml::{Table, Value};

/// Most ticks kept: those of readings long gone are dropped.
const MOST_TICKS: usize = 400;

/// What is kept beside a job.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Beside {
    /// Answers under `ask.` keys.
    pub steering: BTreeMap<String, String>,
    /// Questions that were skipped.
    pub skipped: BTreeSet<String>,
    /// Lines of the work list that are ticked.
    pub ticked: BTreeSet<String>,
    /// Whether the job is put away: still there, and not in the list.
    pub put_away: bool,
}

impl Beside {
    /// Reads what was kept; what cannot be read is left out, because nothing of it is lost for good.
    #[must_use]
    pub fn read(text: &str) -> Self {
        let table: Table = text.parse().unwrap_or_default();
        let words = |key: &str| -> BTreeSet<String> {
            let list = table.get(key).and_then(Value::as_array);
            list.into_iter()
                .flatten()
                .filter_map(|v| v.as_str().map(str::to_owned))
                .collect()
        };
        let steering = table.get("steering").and_then(Value::as_table);
        Self {
            steering: steering
                .into_iter()
                .flatten()
                .filter_map(|(key, value)| Some((key.clone(), value.as_str()?.to_owned())))
                .collect(),
            skipped: words("skipped"),
            ticked: words("ticked"),
            put_away: table.get("put_away").and_then(Value::as_bool).unwrap_or(false),
        }
    }

    /// As it is kept.
    #[must_use]
    pub fn text(&self) -> String {
        let list = |words: &BTreeSet<String>| {
            Value::Array(words.iter().take(MOST_TICKS).cloned().map(Value::String).collect())
        };
        let mut table = Table::new();
        table.insert("skipped".to_owned(), list(&self.skipped));
        table.insert("ticked".to_owned(), list(&self.ticked));
        if self.put_away {
            table.insert("put_away".to_owned(), Value::Boolean(true));
        }
        let steering = self.steering.iter().map(|(k, v)| (k.clone(), Value::String(v.clone())));
        table.insert("steering".to_owned(), Value::Table(steering.collect()));
        format!("# Kept by the bench page beside the job: ticks, and answers that only steer the survey.\n{table}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn read_back_whole() {
        let mut beside = Beside::default();
        beside.steering.insert("ask.nut".into(), "new".into());
        beside.skipped.insert("notes".into());
        beside.ticked.insert("make:fit \"it\"".into());
        assert_eq!(Beside::read(&beside.text()), beside);
        beside.put_away = true;
        assert_eq!(Beside::read(&beside.text()), beside);
        assert_eq!(Beside::read("= nonsense"), Beside::default());
    }
}
