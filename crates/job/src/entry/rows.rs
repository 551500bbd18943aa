//! The fields of a form, from the rows of the file's fields.

use super::kind::EntryKind;
use super::reading::asked;
use super::shape::Shape;
use crate::fields::{Field, Kind, List, Spread, f, fields};
use crate::form::{FormField, FormTake, FormTyped};
use crate::profiles::Profiles;

/// Tables of readings at other frets that a form has, beyond those that are there.
const MORE_FRETS: usize = 1;

/// How one says which strings' readings do not count.
const STRUCK: &str = "Numbers of strings, such as 6 1; or all. Left empty: all count.";

/// What a form has to know of its job.
#[derive(Debug, Clone, Copy)]
pub struct EntryAbout<'a> {
    /// Numbers and notes of the strings, bass to treble.
    pub strings: &'a [(u32, String)],
    /// What names are there.
    pub profiles: &'a Profiles,
}

/// One value of the file in a form.
#[derive(Debug, Clone)]
pub(super) struct Row {
    /// Its place in the table.
    pub(super) key: String,
    /// What is said of it in the list of fields.
    pub(super) field: &'static Field,
    pub(super) shape: Shape,
    /// Its fields.
    pub(super) shown: Vec<FormField>,
}

/// The fields of a form in their order.
#[must_use]
pub fn entry_fields(kind: EntryKind, about: &EntryAbout, typed: &FormTyped) -> Vec<FormField> {
    rows(kind, about, typed).into_iter().flat_map(|row| row.shown).collect()
}

/// The values of a form in their order; `typed` is what stands in it, by which it may have more of them.
pub(super) fn rows(kind: EntryKind, about: &EntryAbout, typed: &FormTyped) -> Vec<Row> {
    let made = |fields: Vec<&'static Field>| fields.into_iter().map(|field| row(field, about, typed)).collect();
    match kind {
        EntryKind::Round => made(of_table("readings")),
        EntryKind::Doubt => made(of_table("doubt")),
        EntryKind::Tuning => made(of_table("also")),
        EntryKind::String => made(of_table("string")),
        EntryKind::Saddle => saddle(about, typed),
    }
}

/// The rows of a table that stand there themselves.
fn of_table(table: &str) -> Vec<&'static Field> {
    let own = |field: &&Field| field.place().0 == table && !field.key.contains(':') && field.name() != "number";
    fields().filter(own).collect()
}

/// One of several saddles: what it is called, its strings, and what of the common tables is its own.
fn saddle(about: &EntryAbout, typed: &FormTyped) -> Vec<Row> {
    // However many numbers are typed, it carries no more than there are.
    let carried = typed.get("strings").split_whitespace().count().min(about.strings.len());
    let mut all = vec![
        row(f!("saddle.name"), about, typed),
        row(f!("saddle.strings"), about, typed),
    ];
    for (table, title) in [
        (f!("slot"), "Its slot"),
        (f!("bridge"), "The bridge around it"),
        (f!("blank"), "Its blank"),
        (f!("crown"), "Its crown"),
        (f!("filing"), "Its crown as it stands"),
        (f!("cut"), "How it is cut"),
    ] {
        let of = |field: &&Field| {
            let (of, _) = field.place();
            let inner = of == table.key || of.strip_prefix(table.key).is_some_and(|rest| rest.starts_with('.'));
            inner && !field.title.is_empty() && !field.key.contains(':')
        };
        for field in fields().filter(of) {
            all.push(shaped(field, field.key.to_owned(), title, carried, about, typed));
        }
    }
    all
}

fn row(field: &'static Field, about: &EntryAbout, typed: &FormTyped) -> Row {
    shaped(field, field.name().to_owned(), "", about.strings.len(), about, typed)
}

fn shaped(
    field: &'static Field,
    key: String,
    group: &str,
    strings: usize,
    about: &EntryAbout,
    typed: &FormTyped,
) -> Row {
    let shape = shape(field, &key, strings, typed);
    let take = take(field, about);
    let titled = if field.title.is_empty() {
        asked(field).unwrap_or(field)
    } else {
        field
    };
    let shown = shape.endings(field).into_iter().map(|ending| {
        let of_string = || {
            ending
                .rsplit_once('[')
                .and_then(|(_, at)| at.trim_end_matches(']').parse::<usize>().ok())
        };
        let (title, how) = match (shape, of_string()) {
            (Shape::Ends, _) if ending == ".bass" => ("Bass end".to_owned(), titled.how),
            (Shape::Ends, _) => ("Treble end".to_owned(), ""),
            (Shape::Gap, _) if ending == ".gap" => ("Gap".to_owned(), titled.how),
            (Shape::Gap, _) => ("Read over fret".to_owned(), ""),
            (Shape::AtFrets(..), _) if ending.ends_with("fret") => ("Fret".to_owned(), titled.how),
            (Shape::Some(_) | Shape::All(_) | Shape::AtFrets(..), Some(at)) => {
                let how = if at == 1 && !matches!(shape, Shape::AtFrets(..)) {
                    titled.how
                } else {
                    ""
                };
                (string_title(about, group, at, typed), how)
            }
            (Shape::Struck, _) => (
                titled.title.to_owned(),
                if matches!(take, FormTake::Words) { STRUCK } else { "" },
            ),
            // What Enter means is said to who is asked.
            _ => (
                titled.title.to_owned(),
                titled.how.split(" Enter:").next().unwrap_or_default(),
            ),
        };
        FormField {
            key: format!("{key}{ending}"),
            group: match (shape, group) {
                (Shape::One | Shape::Words | Shape::Struck, group) => group.to_owned(),
                (_, "") => titled.title.to_owned(),
                (_, group) => format!("{group}: {}", titled.title),
            },
            title,
            how,
            take: take.clone(),
            optional: !field.needed,
        }
    });
    Row {
        shown: shown.collect(),
        key,
        field,
        shape,
    }
}

/// What a string is called: its number and its note; of one saddle's strings those that it carries.
fn string_title(about: &EntryAbout, group: &str, at: usize, typed: &FormTyped) -> String {
    let mut all: Vec<&(u32, String)> = about.strings.iter().collect();
    if !group.is_empty() {
        let carried: Vec<u32> = typed
            .get("strings")
            .split_whitespace()
            .filter_map(|word| word.parse().ok())
            .collect();
        all.retain(|(number, _)| carried.contains(number));
    }
    let found = at.checked_sub(1).and_then(|at| all.get(at));
    found.map_or_else(
        || at.to_string(),
        |(number, note)| format!("{number} {note}").trim_end().to_owned(),
    )
}

fn shape(field: &Field, key: &str, strings: usize, typed: &FormTyped) -> Shape {
    match (field.place().0, field.name(), field.kind) {
        ("doubt", ..) => return Shape::Struck,
        ("readings", "action_at" | "cents_at", _) => {
            let last = (1..=strings.max(24))
                .rev()
                .find(|at| !typed.get(&format!("{key}[{at}].fret")).is_empty());
            return Shape::AtFrets(last.unwrap_or(0) + MORE_FRETS, strings);
        }
        ("readings", "relief", _) => return Shape::Gap,
        ("saddle", "strings", _) | (_, _, Kind::Notes | Kind::Names(_) | Kind::Several(_)) => return Shape::Words,
        _ => {}
    }
    match field.spread {
        Spread::Ends => Shape::Ends,
        Spread::Listed => Shape::Some(strings),
        Spread::Sparse => Shape::Some(strings),
        Spread::Strings | Spread::AllOrEach if strings > 0 => Shape::All(strings),
        Spread::One | Spread::EachString | Spread::Paired | Spread::Strings | Spread::AllOrEach => Shape::One,
    }
}

fn take(field: &Field, about: &EntryAbout) -> FormTake {
    let profiles = about.profiles;
    let one_of = |each: Vec<(String, String)>| {
        let none = (String::new(), none(field).to_owned());
        FormTake::Choice(std::iter::once(none).chain(each).collect())
    };
    let named = |names: Vec<&str>| {
        one_of(
            names
                .into_iter()
                .map(|name| (name.to_owned(), name.to_owned()))
                .collect(),
        )
    };
    if field.place().0 == EntryKind::Doubt.key() {
        return struck(field.spread);
    }
    match field.kind {
        Kind::YesNo => named(vec!["yes", "no"]),
        Kind::Choice(list) => one_of(
            list.iter()
                .map(|(word, means)| {
                    let shown = if means.is_empty() {
                        (*word).to_owned()
                    } else {
                        format!("{word}: {means}")
                    };
                    ((*word).to_owned(), shown)
                })
                .collect(),
        ),
        Kind::Name(List::Sets) => named(profiles.string_sets().collect()),
        Kind::Name(List::StringMaterials) => named(profiles.string_materials().collect()),
        Kind::Name(List::WrapMetals) => named(profiles.wraps().collect()),
        Kind::Name(List::Blanks) => named(profiles.materials().collect()),
        Kind::Name(List::Tools) => named(profiles.tools().iter().map(|tool| tool.name.as_str()).collect()),
        Kind::Name(List::Woods) => named(Profiles::woods().collect()),
        Kind::Name(List::Machines) => named(
            profiles
                .machines()
                .iter()
                .map(|machine| machine.name.as_str())
                .collect(),
        ),
        Kind::Name(List::Cutting) => named(profiles.cutting().iter().map(|cut| cut.name.as_str()).collect()),
        Kind::Name(list) => named(profiles.cutters_for(list).collect()),
        Kind::Whole => FormTake::Whole(""),
        Kind::Number(unit) => FormTake::Number(unit),
        _ => FormTake::Words,
    }
}

/// What of a reading may not be believed: all of it, or that of an end; of strings any of them.
fn struck(spread: Spread) -> FormTake {
    let all = [
        ("", "counts"),
        ("all", "does not count"),
        ("bass", "does not count at the bass end"),
        ("treble", "does not count at the treble end"),
    ];
    let first = match spread {
        Spread::Listed => return FormTake::Words,
        Spread::Ends => 4,
        _ => 2,
    };
    FormTake::Choice(
        all.iter()
            .take(first)
            .map(|(word, shown)| ((*word).to_owned(), (*shown).to_owned()))
            .collect(),
    )
}

/// What holds where nothing of a list is chosen.
fn none(field: &Field) -> &'static str {
    match field.place().0 {
        "readings" if field.kind == Kind::YesNo => "no",
        "readings" => "as usual for each reading",
        "also" => "the strings of the job",
        "string" => "as in the set",
        _ => "as for all saddles",
    }
}
