//! What differs between two versions of a job, in the words of its fields.

use ::survey::{Question, Spread, questions, settings};
use toml::{Table, Value};

/// Most characters of a value that is told.
const LONG: usize = 70;

/// One thing that differs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Difference {
    /// What, in the words of the survey.
    pub what: String,
    /// What it was; nothing where it is new.
    pub old: Option<String>,
    /// What it became; nothing where it was taken out.
    pub new: Option<String>,
}

impl Difference {
    /// In a line.
    #[must_use]
    pub fn words(&self) -> String {
        let what = &self.what;
        match (&self.old, &self.new) {
            (Some(old), Some(new)) => format!("{what}: {old} \u{2192} {new}"),
            (None, Some(new)) => format!("{what}: {new} (new)"),
            (Some(old), None) => format!("{what}: {old} (taken out)"),
            (None, None) => what.clone(),
        }
    }
}

/// What differs between two texts of a job, in the order of the survey and then of the file.
#[must_use]
pub fn differences(old: &str, new: &str) -> Vec<Difference> {
    let (Ok(old_table), Ok(new_table)) = (old.parse::<Table>(), new.parse::<Table>()) else {
        return lines(old, new);
    };
    let [old_values, new_values] = [old_table, new_table].map(|table| {
        let mut found = Vec::new();
        values(&table, "", &mut found);
        found
    });
    let at = |values: &[(String, String)], field: &str| {
        values
            .iter()
            .find(|(key, _)| key == field)
            .map(|(_, text)| text.clone())
    };
    let mut fields: Vec<&String> = old_values.iter().chain(&new_values).map(|(key, _)| key).collect();
    fields.sort_by_key(|field| (place(field), field.to_string()));
    fields.dedup();
    let found = fields.into_iter().filter_map(|field| {
        let (old, new) = (at(&old_values, field), at(&new_values, field));
        (old != new).then(|| Difference {
            what: what(field),
            old: old.map(|text| short(&text)),
            new: new.map(|text| short(&text)),
        })
    });
    let found: Vec<Difference> = found.collect();
    if found.is_empty() { lines(old, new) } else { found }
}

/// The first few of them in a sentence, to be read on a button.
#[must_use]
pub fn told(differences: &[Difference]) -> String {
    const MOST: usize = 2;
    let mut words: Vec<String> = differences.iter().take(MOST).map(Difference::words).collect();
    if differences.len() > MOST {
        words.push(format!("and {} more", differences.len() - MOST));
    }
    if words.is_empty() {
        "nothing that is read".to_owned()
    } else {
        words.join("; ")
    }
}

/// Every value of a file with its place: `slot.depth.bass`, `string.6.gauge`.
fn values(table: &Table, before: &str, found: &mut Vec<(String, String)>) {
    for (key, value) in table {
        let field = if before.is_empty() {
            key.clone()
        } else {
            format!("{before}.{key}")
        };
        match value {
            Value::Table(inner) => values(inner, &field, found),
            Value::Array(list) if list.iter().any(Value::is_table) => {
                for (i, inner) in list.iter().enumerate() {
                    let number = inner.get("number").and_then(Value::as_integer);
                    let at = number.map_or_else(|| format!("{}", i + 1), |number| number.to_string());
                    match inner {
                        Value::Table(inner) => values(inner, &format!("{field}.{at}"), found),
                        other => found.push((format!("{field}.{at}"), shown(other))),
                    }
                }
            }
            other => found.push((field, shown(other))),
        }
    }
}

/// A value as one would type it.
fn shown(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Boolean(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        Value::Array(list) => list.iter().map(shown).collect::<Vec<_>>().join("; "),
        other => other.to_string(),
    }
}

fn short(text: &str) -> String {
    let line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if line.chars().count() <= LONG {
        return line;
    }
    line.chars().take(LONG).chain(['\u{2026}']).collect()
}

/// The question of a value, and what of it this one is: an end, or the number of a string.
fn asked(field: &str) -> Option<(usize, &'static Question, Option<&str>)> {
    let by_key = |key: &str| {
        let is = |question: &&'static Question| {
            let (table, name) = question.place();
            let whole = if table.is_empty() {
                name.to_owned()
            } else {
                format!("{table}.{name}")
            };
            // A relief in one value is its gap.
            whole == key
                || question
                    .key
                    .split_once(':')
                    .is_some_and(|(table, name)| table == key && name == "gap")
        };
        questions()
            .chain(settings())
            .enumerate()
            .find(|(_, question)| is(question))
    };
    if let Some((at, question)) = by_key(field) {
        return Some((at, question, None));
    }
    let (table, end) = field.rsplit_once('.')?;
    if matches!(end, "bass" | "treble" | "total" | "correlation")
        && let Some((at, question)) = by_key(table)
    {
        return Some((at, question, Some(end)));
    }
    let (number, rest) = field.strip_prefix("string.")?.split_once('.')?;
    let (at, question) =
        by_key(&format!("string.{rest}")).filter(|(_, question)| question.spread == Spread::EachString)?;
    Some((at, question, Some(number)))
}

/// Where a value stands: those that are asked in the order of the survey, then the others.
fn place(field: &str) -> usize {
    asked(field).map_or(usize::MAX, |(at, ..)| at)
}

/// A value in words: its question's, else those of its place in the file.
fn what(field: &str) -> String {
    match asked(field) {
        Some((_, question, None)) => question.title.to_owned(),
        Some((_, question, Some(part))) if question.spread == Spread::EachString => {
            format!("String {part}: {}", small(question.title))
        }
        Some((_, question, Some("total"))) => question.title.to_owned(),
        Some((_, question, Some("correlation"))) => format!("{}, in common", question.title),
        Some((_, question, Some(end))) => format!("{}, {end}", question.title),
        None => {
            let words: Vec<String> = field.split('.').map(|part| part.replace('_', " ")).collect();
            let words = words.join(", ");
            let mut letters = words.chars();
            letters
                .next()
                .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
        }
    }
}

fn small(title: &str) -> String {
    let mut letters = title.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

/// The lines that differ, where no value does or one of the texts cannot be read: those between the first and the last of them.
fn lines(old: &str, new: &str) -> Vec<Difference> {
    /// Most lines that are told.
    const MOST: usize = 12;
    let (old, new): (Vec<&str>, Vec<&str>) = (old.lines().collect(), new.lines().collect());
    let before = old.iter().zip(&new).take_while(|(a, b)| a == b).count();
    let (old, new) = (&old[before..], &new[before..]);
    let after = old
        .iter()
        .rev()
        .zip(new.iter().rev())
        .take_while(|(a, b)| a == b)
        .count();
    let (old, new) = (&old[..old.len() - after], &new[..new.len() - after]);
    let each = (0..old.len().max(new.len())).take(MOST).map(|i| Difference {
        what: format!("Line {}", before + i + 1),
        old: old.get(i).map(|line| short(line)),
        new: new.get(i).map(|line| short(line)),
    });
    each.filter(|line| line.old != line.new).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(old: &str, new: &str) -> Vec<String> {
        differences(old, new).iter().map(Difference::words).collect()
    }

    #[test]
    fn what_differs_is_told_in_the_words_of_the_fields() {
        let text = include_str!("../../../examples/parlour.toml");
        let other = text
            .replace("title = \"", "title = \"Old ")
            .replace("bass = \"7/32\"", "bass = \"1/4\"");
        let told = words(text, &other);
        assert_eq!(told.len(), 2, "{told:?}");
        assert!(told[0].starts_with("Name of the job: Parlour"), "{told:?}");
        assert!(told[1].contains(", bass: 7/32 \u{2192} 1/4"), "{told:?}");
        assert!(words(text, text).is_empty());
    }

    #[test]
    fn every_kind_of_value_has_its_words() {
        for (old, new, wanted) in [
            (
                "[instrument]\nrelief = \"7 thou\"\n",
                "[instrument]\nrelief = \"8 thou\"\n",
                "7 thou \u{2192} 8 thou",
            ),
            (
                "[[string]]\nnumber = 6\ngauge = 1\n",
                "[[string]]\nnumber = 6\ngauge = 2\n",
                "String 6: ",
            ),
            ("", "[cut.vise]\njaw_height = \"9 mm\"\n", ": 9 mm (new)"),
            (
                "[uncertainty]\nslot_depth = { total = 1, correlation = 0.5 }\n",
                "[uncertainty]\nslot_depth = { total = 1, correlation = 0.4 }\n",
                "Depth of the slot, sure to, in common: 0.5 \u{2192} 0.4",
            ),
            ("", "[strung]\nwith = \"feelers\"\n", "Strung, with: feelers (new)"),
            ("left_handed = true\n", "", "Left-handed instrument: yes (taken out)"),
            ("# one\n", "# two\n", "Line 1: # one \u{2192} # two"),
            ("a = 1\nb = [\n", "a = 1\nb = 2\n", "Line 2: b = [ \u{2192} b = 2"),
        ] {
            let told = words(old, new);
            assert!(told.len() == 1 && told[0].contains(wanted), "{told:?}, not {wanted}");
        }
    }

    #[test]
    fn a_button_tells_the_first_of_many() {
        let of = |n: usize| Difference {
            what: format!("W{n}"),
            old: Some("a".into()),
            new: Some("b".into()),
        };
        let all: Vec<Difference> = (0..5).map(of).collect();
        assert_eq!(told(&all), "W0: a \u{2192} b; W1: a \u{2192} b; and 3 more");
        assert_eq!(told(&[]), "nothing that is read");
    }
}
