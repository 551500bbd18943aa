//! How many fields one value of the file has in a form, and its way there and back.

use toml::Value as Read;
use toml_edit::{Array, InlineTable, Value};
use units::parse_cents;

use crate::as_typed::as_typed;
use crate::fields::{Field, Kind};
use crate::form::FormTyped;

/// What stands in a list for a string that was not read.
const NOT_READ: &str = "-";
/// What stands for every string in the words of a doubt.
const ALL: &str = "all";

/// What fields a value has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Shape {
    /// One.
    One,
    /// One, words with spaces between them: a list in the file.
    Words,
    /// One for each end.
    Ends,
    /// One for each of so many strings, any of which may be empty.
    Some(usize),
    /// One for each of so many strings; the outer ones stand for all between them.
    All(usize),
    /// A gap, and the fret where it was read.
    Gap,
    /// So many times a fret, and one for each of so many strings.
    AtFrets(usize, usize),
    /// One: all of it, an end, or the numbers of strings.
    Struck,
}

/// The key of the readings in a table of [`Shape::AtFrets`].
pub(super) fn within(row: &Field) -> &'static str {
    if row.name() == "cents_at" { "cents" } else { "action" }
}

impl Shape {
    /// What a form adds to the key of a value, for each of its fields.
    pub(super) fn endings(self, row: &Field) -> Vec<String> {
        let each =
            |stem: &str, count: usize| -> Vec<String> { (1..=count).map(|at| format!("{stem}[{at}]")).collect() };
        match self {
            Self::One | Self::Words | Self::Struck => vec![String::new()],
            Self::Ends => vec![".bass".to_owned(), ".treble".to_owned()],
            Self::Some(count) | Self::All(count) => each("", count),
            Self::Gap => vec![".gap".to_owned(), ".fret".to_owned()],
            Self::AtFrets(count, strings) => (1..=count)
                .flat_map(|at| {
                    let readings = each(&format!("[{at}].{}", within(row)), strings);
                    std::iter::once(format!("[{at}].fret")).chain(readings)
                })
                .collect(),
        }
    }

    /// Types what the file has into the fields of this key. What they cannot show stays in the file.
    pub(super) fn show(self, row: &Field, key: &str, value: &Read, typed: &mut FormTyped) {
        if let (Self::AtFrets(_, strings), Read::Array(list)) = (self, value) {
            for (at, part) in (1..).zip(list) {
                if let Some(fret) = part.get("fret") {
                    Self::One.show(row, &format!("{key}[{at}].fret"), fret, typed);
                }
                if let Some(value) = part.get(within(row)) {
                    Self::Some(strings).show(row, &format!("{key}[{at}].{}", within(row)), value, typed);
                }
            }
            return;
        }
        let mut put = |ending: &str, value: &Read| {
            if let Some(text) = as_typed(value).filter(|text| text != NOT_READ) {
                typed.set(&format!("{key}{ending}"), &text);
            }
        };
        match (self, value) {
            (Self::Struck, Read::Boolean(true)) => put("", &Read::from(ALL)),
            (Self::Struck, Read::Array(list)) | (Self::Words, Read::Array(list)) => {
                let words: Vec<String> = list.iter().filter_map(as_typed).collect();
                put("", &Read::from(words.join(" ")));
            }
            (Self::Ends, Read::Table(ends)) => {
                for (end, value) in ends {
                    put(&format!(".{end}"), value);
                }
            }
            (Self::Ends, one) => [".bass", ".treble"].iter().for_each(|end| put(end, one)),
            (Self::Some(_) | Self::All(_), Read::Array(list)) => {
                for (at, value) in (1..).zip(list) {
                    put(&format!("[{at}]"), value);
                }
            }
            (Self::Some(count) | Self::All(count), Read::Table(ends)) => {
                for (at, end) in [(1, "bass"), (count, "treble")] {
                    if let Some(value) = ends.get(end) {
                        put(&format!("[{at}]"), value);
                    }
                }
            }
            (Self::Some(count) | Self::All(count), one) => (1..=count).for_each(|at| put(&format!("[{at}]"), one)),
            (Self::Gap, Read::Table(parts)) => {
                for (part, value) in parts {
                    put(&format!(".{part}"), value);
                }
            }
            (Self::Gap, one) => put(".gap", one),
            (_, one) => put("", one),
        }
    }

    /// What stands in the fields of this key as a value of the file; `None` if nothing does.
    pub(super) fn value(self, row: &Field, key: &str, typed: &FormTyped) -> Option<Value> {
        let text = |ending: &str| typed.get(&format!("{key}{ending}"));
        let of = |ending: &str| Some(scalar(row, text(ending))).filter(|_| !text(ending).is_empty());
        let parts = |parts: &[&str]| {
            let found: InlineTable = parts
                .iter()
                .filter_map(|part| Some((*part, of(&format!(".{part}"))?)))
                .collect();
            (!found.is_empty()).then(|| Value::from(found))
        };
        match self {
            Self::One => of(""),
            Self::Words => {
                let words: Array = text("").split_whitespace().map(word).collect();
                (!words.is_empty()).then(|| words.into())
            }
            Self::Struck if text("").eq_ignore_ascii_case(ALL) => Some(true.into()),
            Self::Struck => {
                let list = text("").split([' ', ',']).filter(|word| !word.is_empty());
                let numbers: Option<Array> = list.map(|word| word.parse::<i64>().ok().map(Value::from)).collect();
                match numbers {
                    Some(numbers) if !numbers.is_empty() => Some(numbers.into()),
                    _ => of(""),
                }
            }
            Self::Ends => parts(&["bass", "treble"]),
            Self::Gap if text(".fret").is_empty() => of(".gap"),
            Self::Gap => parts(&["gap", "fret"]),
            Self::Some(count) => self.listed(row, key, count, typed),
            Self::All(count) => {
                let [first, last] = [1, count].map(|at| text(&format!("[{at}]")));
                let mut all = (1..=count).map(|at| text(&format!("[{at}]")));
                if all.clone().all(|one| one == first) {
                    return of("[1]");
                }
                if all.all(|one| !one.is_empty()) || count < 3 || first.is_empty() || last.is_empty() {
                    return self.listed(row, key, count, typed);
                }
                let ends = [("bass", first), ("treble", last)].map(|(end, text)| (end, scalar(row, text)));
                Some(InlineTable::from_iter(ends).into())
            }
            Self::AtFrets(count, strings) => {
                let each = (1..=count).filter_map(|at| {
                    let name = within(row);
                    let stem = format!("{key}[{at}]");
                    let fret = of(&format!("[{at}].fret"));
                    let readings = Self::Some(strings).value(row, &format!("{stem}.{name}"), typed);
                    let parts = [("fret", fret), (name, readings)];
                    let found: InlineTable = parts
                        .into_iter()
                        .filter_map(|(key, value)| Some((key, value?)))
                        .collect();
                    (!found.is_empty()).then(|| Value::from(found))
                });
                let each: Array = each.collect();
                (!each.is_empty()).then(|| each.into())
            }
        }
    }

    fn listed(self, row: &Field, key: &str, count: usize, typed: &FormTyped) -> Option<Value> {
        let text = |at: usize| typed.get(&format!("{key}[{at}]"));
        if (1..=count).all(|at| text(at).is_empty()) {
            return None;
        }
        let each = (1..=count).map(|at| match text(at) {
            "" => NOT_READ.into(),
            text => scalar(row, text),
        });
        Some(each.collect::<Array>().into())
    }
}

/// What is typed as one value: a number in its digits, cents without their word, else the text.
fn scalar(row: &Field, text: &str) -> Value {
    match (row.kind, text) {
        (Kind::YesNo, "yes") => return true.into(),
        (Kind::YesNo, "no") => return false.into(),
        (Kind::Text | Kind::Note | Kind::Name(_) | Kind::Choice(_), _) => return text.into(),
        _ => {}
    }
    let is_cents = row.kind == Kind::Cents || row.name() == "cents_at";
    match parse_cents(text) {
        Ok(cents) if is_cents => number(&cents.to_string()).unwrap_or_else(|| text.into()),
        _ => number(text).unwrap_or_else(|| text.into()),
    }
}

fn word(word: &str) -> Value {
    word.parse::<i64>().map_or_else(|_| word.into(), Value::from)
}

/// A number in the digits that it was given in; no infinity, and nothing that the file would read as another kind.
fn number(text: &str) -> Option<Value> {
    let read: f64 = text.parse().ok()?;
    let plain = text
        .bytes()
        .all(|sign| sign.is_ascii_digit() || matches!(sign, b'.' | b'-' | b'e'));
    let mut value: Value = text.parse().ok().filter(|_| plain && read.is_finite())?;
    value.decor_mut().clear();
    matches!(value, Value::Integer(_) | Value::Float(_)).then_some(value)
}
