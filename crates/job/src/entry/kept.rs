//! What is typed into a form, put into the job's text and judged there.

use toml::{Table, Value as Read};

use super::kind::{EntryKind, EntryPlace};
use super::rows::{EntryAbout, Row, rows};
use crate::edit::{Edit, EditError};
use crate::fields::f;
use crate::form::FormTyped;
use crate::profiles::Profiles;
use crate::{Problem, ProblemKind, Severity, read};

/// Most characters of what is typed into one field.
const MOST: usize = 400;

/// What the reader says of something typed: the key of its field, empty where it is of none alone, and the problem.
pub type EntryFault = (String, Problem);

/// A job's text with what was typed, as its reader judges it.
#[derive(Debug, Clone)]
pub struct EntryKept {
    /// The text.
    pub text: String,
    /// Where it stands now.
    pub place: EntryPlace,
    /// What is wrong or doubtful with what was typed.
    pub faults: Vec<EntryFault>,
}

impl EntryKept {
    /// Whether anything is wrong with it, or only doubtful.
    #[must_use]
    pub fn is_refused(&self) -> bool {
        self.faults
            .iter()
            .any(|(_, problem)| problem.severity == Severity::Error)
    }
}

/// What a job's text has of a kind: each with its place, and as it would be typed. Nothing of a text that is no TOML.
#[must_use]
pub fn entries(text: &str, kind: EntryKind, about: &EntryAbout) -> Vec<(EntryPlace, FormTyped)> {
    let Ok(table) = text.trim_start_matches('\u{feff}').parse::<Table>() else {
        return Vec::new();
    };
    let found: Vec<(EntryPlace, &Table)> = match (kind, table.get(kind.key())) {
        (EntryKind::Doubt, Some(Read::Table(table))) => vec![(1, table)],
        (EntryKind::Doubt, _) | (_, None) => Vec::new(),
        (_, Some(Read::Array(list))) => (1..)
            .zip(list)
            .filter_map(|(at, one)| {
                let one = one.as_table()?;
                let number = one.get(f!("string.number").name()).and_then(Read::as_integer);
                let place = if kind == EntryKind::String {
                    EntryPlace::try_from(number?).ok()?
                } else {
                    at
                };
                Some((place, one))
            })
            .collect(),
        _ => Vec::new(),
    };
    found
        .into_iter()
        .map(|(at, table)| (at, typed(table, kind, about)))
        .collect()
}

/// A table as it would be typed. What decides how many fields there are is typed first.
fn typed(table: &Table, kind: EntryKind, about: &EntryAbout) -> FormTyped {
    let mut typed = FormTyped::new();
    for _ in 0..2 {
        for row in rows(kind, about, &typed) {
            if let Some(value) = located(table, &row.key) {
                row.shape.show(row.field, &row.key, value, &mut typed);
            }
        }
    }
    typed
}

fn located<'t>(table: &'t Table, key: &str) -> Option<&'t Read> {
    let (tables, last) = key.rsplit_once('.').unwrap_or(("", key));
    let within = |table: Option<&'t Table>, part: &str| table?.get(part)?.as_table();
    let table = tables
        .split('.')
        .filter(|part| !part.is_empty())
        .fold(Some(table), within);
    table?.get(last)
}

/// The job's text with what was typed, in the place of what stands at `at`, or as one more.
///
/// # Errors
/// [`EditError`] where the text cannot be changed.
pub fn kept_entry(
    text: &str,
    kind: EntryKind,
    at: Option<EntryPlace>,
    typed: &FormTyped,
    about: &EntryAbout,
    profiles: &Profiles,
) -> Result<EntryKept, EditError> {
    let there = entries(text, kind, about);
    let old = at
        .and_then(|at| there.iter().find(|(place, _)| *place == at))
        .map(|(_, typed)| typed);
    let mut edit = Edit::of(text)?;
    let last = || {
        EntryPlace::try_from(count(text, kind))
            .unwrap_or(EntryPlace::MAX)
            .saturating_add(1)
    };
    let place = at.unwrap_or_else(last);
    if old.is_none() && !matches!(kind, EntryKind::Doubt | EntryKind::String) {
        edit.append(kind.key(), [])?;
    }
    let path = kind.path(place);
    for row in rows(kind, about, typed) {
        let same = |old: &FormTyped| {
            row.shown
                .iter()
                .all(|field| old.get(&field.key) == clean(typed.get(&field.key)))
        };
        if old.is_some_and(same) {
            continue;
        }
        put(&mut edit, &path, &row, typed)?;
    }
    // What says nothing any more goes.
    if matches!(kind, EntryKind::Doubt | EntryKind::String) && edit.says_nothing(&path) {
        edit.remove(&path);
    }
    let text_now = edit.text();
    let fields: Vec<String> = rows(kind, about, typed)
        .into_iter()
        .flat_map(|row| row.shown)
        .map(|field| field.key)
        .collect();
    let named = told_as(&text_now, kind, place);
    let [before, after] = [text, &text_now].map(|text| problems(text, profiles));
    let mut faults: Vec<EntryFault> = Vec::new();
    for problem in after {
        // With the first of several saddles the others are still to come.
        if matches!(problem.kind, ProblemKind::OneSaddle {}) {
            continue;
        }
        let key = match problem.field.strip_prefix(&named) {
            Some(rest) if rest.is_empty() || rest.starts_with(['.', '[']) => {
                nearest(rest.trim_start_matches('.'), &fields)
            }
            _ if kind == EntryKind::Saddle || before.iter().any(|old| alike(old, &problem)) => continue,
            _ => String::new(),
        };
        // What was doubtful before it was opened is no news.
        let is_old = problem.severity == Severity::Warning && before.iter().any(|old| alike(old, &problem));
        if !is_old && !faults.iter().any(|(at, old)| *at == key && alike(old, &problem)) {
            faults.push((key, problem));
        }
    }
    Ok(EntryKept {
        text: text_now,
        place,
        faults,
    })
}

/// How problems of a text name what stands in a place: strings too by where they stand.
fn told_as(text: &str, kind: EntryKind, place: EntryPlace) -> String {
    let table: Option<Table> = text.trim_start_matches('\u{feff}').parse().ok();
    let list = table.as_ref().and_then(|table| table.get(kind.key())?.as_array());
    let number = |one: &Read| one.get(f!("string.number").name()).and_then(Read::as_integer);
    let at = list.and_then(|list| list.iter().position(|one| number(one) == Some(place.into())));
    match (kind, at) {
        (EntryKind::String, Some(at)) => format!("{}[{}]", kind.key(), at + 1),
        _ => kind.path(place),
    }
}

/// How many tables of a kind there are.
fn count(text: &str, kind: EntryKind) -> usize {
    let table: Option<Table> = text.trim_start_matches('\u{feff}').parse().ok();
    let list = table.as_ref().and_then(|table| table.get(kind.key())?.as_array());
    list.map_or(0, Vec::len)
}

fn problems(text: &str, profiles: &Profiles) -> Vec<Problem> {
    match read(text, profiles) {
        Ok(checked) => checked.warnings,
        Err(problems) => problems,
    }
}

/// Whether two problems say the same, wherever their lines are.
fn alike(a: &Problem, b: &Problem) -> bool {
    (&a.field, &a.read, &a.kind, a.severity) == (&b.field, &b.read, &b.kind, b.severity)
}

/// The field of a problem's place: the same, the first within it, or the one that it lies in.
fn nearest(place: &str, fields: &[String]) -> String {
    let same = fields.iter().find(|key| *key == place);
    let inside = || fields.iter().find(|key| !place.is_empty() && key.starts_with(place));
    let around = || {
        fields
            .iter()
            .filter(|key| place.starts_with(key.as_str()))
            .max_by_key(|key| key.len())
    };
    same.or_else(inside).or_else(around).cloned().unwrap_or_default()
}

fn put(edit: &mut Edit, path: &str, row: &Row, typed: &FormTyped) -> Result<(), EditError> {
    let mut plain = FormTyped::new();
    for field in &row.shown {
        plain.set(&field.key, &clean(typed.get(&field.key)));
    }
    let field = format!("{path}.{}", row.key);
    match row.shape.value(row.field, &row.key, &plain) {
        Some(value) => edit.set(&field, value),
        None => {
            edit.remove(&field);
            // A table within that says nothing any more goes too.
            let (table, _) = field.rsplit_once('.').unwrap_or_default();
            if table != path && edit.says_nothing(table) {
                edit.remove(table);
            }
            Ok(())
        }
    }
}

/// What is typed, without what no file has on a line.
fn clean(text: &str) -> String {
    text.chars()
        .filter(|sign| !sign.is_control())
        .take(MOST)
        .collect::<String>()
        .trim()
        .to_owned()
}

/// The job's text without what stands in this place.
///
/// # Errors
/// [`EditError`] where the text cannot be changed.
pub fn without_entry(text: &str, kind: EntryKind, at: EntryPlace) -> Result<String, EditError> {
    let mut edit = Edit::of(text)?;
    edit.remove(&kind.path(at));
    Ok(edit.text())
}
