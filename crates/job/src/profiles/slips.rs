//! What a file of profiles is refused for before anything in it is understood: every unknown or missing key and every value of another
//! kind, each at its line, by the rows of the forms.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::kind::ShopKind;
use super::length::length;
use super::rows::{Made, reads, rows, string};
use crate::form::{FormField, FormTake};
use crate::node::meant;
use crate::problem::{nearest, printable};
use crate::said::one_of;

/// What machines of older files say beside their rows, and what those leave out.
const OLDER: (&str, &str) = ("tool_change", "tool_lengths");

/// One thing that is wrong: where it begins in the text, in which field, and what is expected.
pub(super) struct Slip {
    pub(super) at: usize,
    pub(super) field: String,
    pub(super) what: String,
}

/// Everything of this kind that is wrong with a text that is laid out as TOML.
pub(super) fn slips(text: &str) -> Vec<Slip> {
    let (root, _) = DeTable::parse_recoverable(text);
    let mut slips = Slips(Vec::new());
    for (key, value) in root.get_ref() {
        let Some(kind) = ShopKind::of(key.get_ref()) else {
            let kinds = ShopKind::ALL.map(ShopKind::key);
            slips.unknown(key.span().start, "", key.get_ref(), &kinds, |kind| {
                format!("[[{kind}]]")
            });
            continue;
        };
        let own = rows(kind, 0, &Made::default());
        let own: Vec<FormField> = own.into_iter().filter(|row| !row.key.starts_with("reads.")).collect();
        let (below, rows_below) = match kind {
            ShopKind::Tool => ("reads", reads().to_vec()),
            ShopKind::Set => ("string", with_number(string(&Made::default()))),
            _ => ("", Vec::new()),
        };
        for (number, (at, table)) in slips.tables(value, kind.key(), kind.key()).into_iter().enumerate() {
            let named = table.get("name").and_then(|name| name.get_ref().as_str());
            let title = match named {
                Some(name) => format!("{} \"{}\"", kind.key(), printable(name)),
                None => format!("{} {}", kind.key(), number + 1),
            };
            slips.entry(at, &title, table, &own, below);
            let Some(value) = table.get(below) else {
                if !below.is_empty() {
                    slips.missing(at, &title, below, &format!("tables [[{}.{below}]]", kind.key()));
                }
                continue;
            };
            let parts = slips.tables(value, &format!("{title} {below}"), &format!("{}.{below}", kind.key()));
            for (number, (at, part)) in parts.into_iter().enumerate() {
                let own_number = part.get("number").and_then(|n| n.get_ref().as_integer());
                let number = own_number.map_or((number + 1).to_string(), |own| own.as_str().to_owned());
                slips.entry(at, &format!("{title} {below} {number}"), part, &rows_below, "");
            }
        }
    }
    slips.0
}

/// The rows of a string in a file, which says its number too.
fn with_number(rows: [FormField; 11]) -> Vec<FormField> {
    let mut all = rows.to_vec();
    all.extend(rows.first().map(|row| FormField {
        key: "number".to_owned(),
        take: FormTake::Whole(""),
        ..row.clone()
    }));
    all
}

struct Slips(Vec<Slip>);

impl Slips {
    fn put(&mut self, at: usize, field: String, what: String) {
        self.0.push(Slip { at, field, what });
    }

    /// A key that is not known, with the one that it may mean, which is given back.
    fn unknown<'k>(
        &mut self,
        at: usize,
        title: &str,
        key: &str,
        known: &[&'k str],
        shown: impl Fn(&str) -> String,
    ) -> Option<&'k str> {
        let near = nearest(key, known.iter().copied());
        let all: Vec<String> = known.iter().map(|key| shown(key)).collect();
        let advice = near.map_or_else(
            || format!("Known are {}.", all.join(", ")),
            |near| format!("Did you mean {}?", shown(near)),
        );
        let key = printable(key);
        let field = format!("{title} {key}").trim().to_owned();
        self.put(at, field, format!("`{key}` is not known here. {advice}"));
        near
    }

    fn missing(&mut self, at: usize, title: &str, key: &str, expected: &str) {
        self.put(
            at,
            format!("{title} {key}"),
            format!("`{key}` is missing. Expected {expected}."),
        );
    }

    /// The tables of a list of them, with where each begins.
    fn tables<'t>(&mut self, value: &'t Spanned<DeValue>, field: &str, key: &str) -> Vec<(usize, &'t DeTable<'t>)> {
        let each = value.get_ref().as_array().and_then(|list| {
            let each = list
                .iter()
                .map(|one| Some((one.span().start, one.get_ref().as_table()?)));
            each.collect::<Option<Vec<_>>>()
        });
        each.unwrap_or_else(|| {
            let what = format!("Write each as a table of its own: [[{key}]] on a line, then its keys.");
            self.put(value.span().start, field.to_owned(), what);
            Vec::new()
        })
    }

    /// The keys of one table that these rows are of, and one that holds tables below it.
    fn entry(&mut self, at: usize, title: &str, table: &DeTable, rows: &[FormField], below: &str) {
        let own = |row: &FormField| row.key.split('.').next().unwrap_or_default().to_owned();
        let mut keys: Vec<String> = rows.iter().map(own).collect();
        keys.extend((!below.is_empty()).then(|| below.to_owned()));
        keys.dedup();
        let keys: Vec<&str> = keys.iter().map(String::as_str).collect();
        let mut misspelt = Vec::new();
        for (key, _) in table {
            let name: &str = key.get_ref();
            if !(keys.contains(&name) || name == OLDER.0 && title.starts_with("machine")) {
                misspelt.extend(self.unknown(key.span().start, title, name, &keys, |key| format!("`{key}`")));
            }
        }
        // Several values of one key stand in a list: the first row speaks for all.
        for row in rows
            .iter()
            .filter(|row| !row.key.contains('.') || row.key.ends_with(".0"))
        {
            let key = own(row);
            let several = rows.iter().filter(|other| own(other) == key).count();
            let several = row.key.contains('.').then_some(several);
            match table.get(key.as_str()) {
                Some(value) => {
                    if let Err(what) = held(&row.take, several, value.get_ref()) {
                        self.put(value.span().start, format!("{title} {key}"), what);
                    }
                }
                None if row.optional || key == OLDER.1 || misspelt.contains(&key.as_str()) => {}
                None => self.missing(at, title, &key, &expected(&row.take, several)),
            }
        }
    }
}

/// Whether a value is what a row takes, several of them where they stand in a list; else what is expected.
fn held(take: &FormTake, several: Option<usize>, value: &DeValue) -> Result<(), String> {
    if let Some(count) = several {
        let list = value.as_array().filter(|list| list.len() == count);
        let sound = list.is_some_and(|list| list.iter().all(|one| held(take, None, one.get_ref()).is_ok()));
        return if sound {
            Ok(())
        } else {
            Err(format!("Expected {}.", expected(take, several)))
        };
    }
    let text = value.as_str();
    let sound = match take {
        FormTake::Words | FormTake::Letters | FormTake::Sure => text.is_some(),
        FormTake::Length => match text {
            Some(text) => return length("", text).map(|_| ()).map_err(|(_, why)| why),
            None => false,
        },
        FormTake::Number(_) => value.is_float() || whole(value).is_some(),
        FormTake::Whole(_) => is_whole(value),
        FormTake::YesNo => value.is_bool(),
        // What names a material is looked up by the reader.
        FormTake::Choice(list) if is_named(list) => text.is_some(),
        FormTake::Choice(list) => list
            .iter()
            .any(|(word, _)| Some(word.as_str()) == text && !word.is_empty()),
        FormTake::List => value
            .as_array()
            .is_some_and(|list| list.iter().all(|one| one.get_ref().is_str())),
        FormTake::Wholes => value
            .as_array()
            .is_some_and(|list| list.iter().all(|one| is_whole(one.get_ref()))),
    };
    if sound {
        return Ok(());
    }
    let near = match take {
        FormTake::Choice(list) => text.and_then(|text| nearest(text, list.iter().map(|(word, _)| word.as_str()))),
        _ => None,
    };
    Err(format!("Expected {}.{}", expected(take, None), meant(near)))
}

fn is_named(list: &[(String, String)]) -> bool {
    list.len() == 1
}

fn is_whole(value: &DeValue) -> bool {
    whole(value).is_some_and(|whole| u32::try_from(whole).is_ok())
}

/// A whole number, if it is one and no longer than numbers are.
fn whole(value: &DeValue) -> Option<i64> {
    let written = value.as_integer()?;
    i64::from_str_radix(written.as_str(), written.radix()).ok()
}

/// What a row expects.
fn expected(take: &FormTake, several: Option<usize>) -> String {
    let unit = |unit: &str| {
        if unit.is_empty() {
            String::new()
        } else {
            format!(", in {unit}")
        }
    };
    let one = match take {
        FormTake::Words => "text in quotes".to_owned(),
        FormTake::Letters => "capital letters in quotes, as in \"XYZFS\"".to_owned(),
        FormTake::Length => "a length with its unit in quotes, as in \"3 mm\" or \"1/8 in\"".to_owned(),
        FormTake::Sure => {
            "how sure one reading is, in quotes with its unit, as in \"0.1 mm\", \"1 deg\", \"3 cents\" or \"5 %\""
                .to_owned()
        }
        FormTake::Number(of) => format!("a number without quotes{}", unit(of)),
        FormTake::Whole(of) => format!("a whole number without quotes{}", unit(of)),
        FormTake::YesNo => "true or false without quotes".to_owned(),
        FormTake::Choice(list) if is_named(list) => "a name in quotes".to_owned(),
        FormTake::Choice(list) => {
            let words = list.iter().filter(|(word, _)| !word.is_empty());
            one_of(&words.map(|(word, _)| format!("\"{word}\"")).collect::<Vec<_>>())
        }
        FormTake::List => "a list of words in quotes, as in [\"G0\", \"G1\"]".to_owned(),
        FormTake::Wholes => "a list of whole numbers, as in [2, 2, 1]".to_owned(),
    };
    match several {
        Some(count) => format!("a list of {count}, each {one}"),
        None => one,
    }
}
