//! How every job stands, for the list of them: what was found out of one that has not changed since is not found out again.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use toml::{Table, Value};

use crate::beside::Beside;
use crate::desk::Desk;
use crate::jobs::{Stamp, StoreError, Version};
use crate::name::JobName;
use crate::naming;

/// The table of what is written of a job that no geometry depends on.
const BOOK: &str = "book";

/// How a job stands, in the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Summary {
    /// Its title, or its name until it has one.
    pub(crate) title: String,
    /// How far it is, in a few words.
    pub(crate) state: String,
    /// Whether nothing stands in the way of a plan.
    pub(crate) is_planned: bool,
    /// Whether it is put away.
    pub(crate) put_away: bool,
    /// The words that it is found by, as they are searched.
    pub(crate) words: String,
}

#[derive(Debug)]
struct Known {
    stamp: Option<Stamp>,
    version: Version,
    /// Of the shop's own profiles.
    own: Version,
    summary: Arc<Summary>,
}

/// What is known of the jobs.
#[derive(Debug, Default)]
pub(crate) struct Summaries {
    known: Mutex<BTreeMap<JobName, Known>>,
    judged: AtomicUsize,
}

impl Summaries {
    /// How a job stands.
    ///
    /// # Errors
    /// As [`crate::Jobs::read`].
    pub(crate) fn of(&self, desk: &Desk, name: &JobName) -> Result<Arc<Summary>, StoreError> {
        let own = desk.stocked().version();
        // Before it is read: what changes meanwhile is seen the next time.
        let stamp = desk.store.stamp(name);
        if let Some(known) = self.locked().get(name)
            && stamp.is_some()
            && known.stamp == stamp
            && known.own == own
        {
            return Ok(Arc::clone(&known.summary));
        }
        let text = desk.store.read(name)?;
        let put_away = Beside::read(&desk.store.read_beside(name)).put_away;
        let version = Version::of(&text);
        let same = self
            .locked()
            .get(name)
            .filter(|known| known.version == version && known.own == own)
            .map(|known| Arc::clone(&known.summary));
        let summary = match same {
            Some(same) if same.put_away == put_away => same,
            Some(same) => Arc::new(Summary {
                put_away,
                ..(*same).clone()
            }),
            None => {
                self.judged.fetch_add(1, Ordering::Relaxed);
                Arc::new(Summary::of(desk, name, &text, put_away))
            }
        };
        let known = Known {
            stamp,
            version,
            own,
            summary: Arc::clone(&summary),
        };
        self.locked().insert(name.clone(), known);
        Ok(summary)
    }

    /// Forgets all jobs but these.
    pub(crate) fn only(&self, names: &[JobName]) {
        self.locked().retain(|name, _| names.binary_search(name).is_ok());
    }

    /// How many jobs were judged so far.
    #[cfg(test)]
    pub(crate) fn judged(&self) -> usize {
        self.judged.load(Ordering::Relaxed)
    }

    fn locked(&self) -> MutexGuard<'_, BTreeMap<JobName, Known>> {
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Summary {
    fn of(desk: &Desk, name: &JobName, text: &str, put_away: bool) -> Self {
        let table: Option<Table> = text.parse().ok();
        let given = |key: &str| table.as_ref()?.get(key)?.as_str();
        let title = given("title")
            .filter(|title| !title.trim().is_empty())
            .unwrap_or(name.as_str());
        let mut words = vec![title.to_owned(), name.to_string()];
        words.extend(given("notes").map(str::to_owned));
        if let Some(book) = table.as_ref().and_then(|table| table.get(BOOK)) {
            texts(book, &mut words);
        }
        let judged = desk.judge(text);
        let errors = judged.errors();
        let state = match &judged.done {
            _ if table.is_none() => "the file has a slip".to_owned(),
            Some(done) if errors == 0 => report::progress_words(done.progress()).to_owned(),
            _ => format!("{errors} to go"),
        };
        Self {
            title: title.to_owned(),
            state,
            is_planned: errors == 0,
            put_away,
            words: naming::folded(&words.join(" ")),
        }
    }
}

/// Every text in a value.
fn texts(value: &Value, found: &mut Vec<String>) {
    match value {
        Value::String(text) => found.push(text.clone()),
        Value::Array(list) => list.iter().for_each(|value| texts(value, found)),
        Value::Table(table) => table.values().for_each(|value| texts(value, found)),
        other => found.push(other.to_string()),
    }
}
