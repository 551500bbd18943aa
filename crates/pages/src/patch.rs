//! One changed answer put into a job file that may have been written by hand: nothing else in it changes.

use std::collections::BTreeMap;

use job::TextForm;
use survey::TABLES;
use toml::{Table, Value};
use toml_edit::{ArrayOfTables, DocumentMut, Item, TableLike};

/// Tables that are changed key by key; the top of the file and the list of strings have ways of their own.
fn single_tables() -> impl Iterator<Item = &'static str> {
    TABLES.into_iter().filter(|table| !matches!(*table, "" | "string"))
}

/// The file with the difference between two surveys applied to it; each survey is the job file that the answers make.
///
/// # Errors
/// If a text is no TOML, or something stands where a table should.
pub fn patched(file: &str, before: &str, after: &str) -> Result<String, String> {
    let problem = |error: &dyn std::fmt::Display| format!("The job file cannot be changed here: {error}");
    let mut doc: DocumentMut = file.parse().map_err(|error| problem(&error))?;
    let old: Table = before.parse().map_err(|error| problem(&error))?;
    let new: Table = after.parse().map_err(|error| problem(&error))?;
    let model: DocumentMut = after.parse().map_err(|error| problem(&error))?;
    change(doc.as_table_mut(), &scalars(&old), &scalars(&new), model.as_table());
    for path in single_tables() {
        let (old, new) = (at(&old, path), at(&new, path));
        if old == new {
            continue;
        }
        let empty = toml_edit::Table::new();
        let like = find(&model, path).unwrap_or(&empty);
        let Some(table) = table_mut(&mut doc, path, !new.is_empty()) else {
            if new.is_empty() {
                continue;
            }
            return Err(format!("`{path}` in the job file is no table."));
        };
        change(table, &old, &new, like);
        if table.is_empty() {
            remove_table(&mut doc, path);
        }
    }
    strings(&mut doc, &old, &new, &model)?;
    Ok(TextForm::of(file).put(&doc.to_string()))
}

/// The values of a table that are no tables of their own.
fn scalars(table: &Table) -> BTreeMap<String, Value> {
    table
        .iter()
        .filter(|(key, _)| !TABLES.contains(&key.as_str()))
        .map(|(key, value)| (key.clone(), value.clone()))
        .collect()
}

/// The values under a table's path.
fn at(root: &Table, path: &str) -> BTreeMap<String, Value> {
    let mut table = root;
    for part in path.split('.') {
        let Some(Value::Table(next)) = table.get(part) else {
            return BTreeMap::new();
        };
        table = next;
    }
    table
        .iter()
        .filter(|(key, _)| !TABLES.contains(&format!("{path}.{key}").as_str()))
        .map(|(key, value)| (key.clone(), value.clone()))
        .collect()
}

/// Carries the difference of two sets of values into a table; new keys come with the comments of `model`.
fn change(
    table: &mut dyn TableLike,
    old: &BTreeMap<String, Value>,
    new: &BTreeMap<String, Value>,
    model: &toml_edit::Table,
) {
    for key in old.keys().filter(|key| !new.contains_key(*key)) {
        table.remove(key);
    }
    for (key, value) in new.iter().filter(|(key, value)| old.get(*key) != Some(*value)) {
        let Some((model_key, Item::Value(fresh))) = model.get_key_value(key) else {
            continue;
        };
        let mut fresh = fresh.clone();
        if let Some(Item::Value(present)) = table.get_mut(key) {
            // A comment behind the old value stays.
            *fresh.decor_mut() = present.decor().clone();
            *present = fresh;
        } else {
            let _ = value;
            table.entry_format(model_key).or_insert(Item::Value(fresh));
        }
    }
}

fn find<'a>(doc: &'a DocumentMut, path: &str) -> Option<&'a toml_edit::Table> {
    let mut table = doc.as_table();
    for part in path.split('.') {
        table = table.get(part)?.as_table()?;
    }
    Some(table)
}

/// The table at a path, made if `make` and it is not there.
fn table_mut<'a>(doc: &'a mut DocumentMut, path: &str, make: bool) -> Option<&'a mut dyn TableLike> {
    let mut table: &mut dyn TableLike = doc.as_table_mut();
    for part in path.split('.') {
        if table.get(part).is_none() {
            if !make {
                return None;
            }
            let mut fresh = toml_edit::Table::new();
            fresh.decor_mut().set_prefix("\n");
            table.insert(part, Item::Table(fresh));
        }
        table = table.get_mut(part)?.as_table_like_mut()?;
    }
    Some(table)
}

fn remove_table(doc: &mut DocumentMut, path: &str) {
    let (parent, last) = path
        .rsplit_once('.')
        .map_or(("", path), |(parent, last)| (parent, last));
    if parent.is_empty() {
        doc.as_table_mut().remove(last);
    } else if let Some(table) = table_mut(doc, parent, false) {
        table.remove(last);
    }
}

/// Number and values of each spelled-out string.
fn spelled(root: &Table) -> BTreeMap<i64, BTreeMap<String, Value>> {
    let list = root.get("string").and_then(Value::as_array);
    list.into_iter()
        .flatten()
        .filter_map(Value::as_table)
        .filter_map(|string| {
            let number = string.get("number")?.as_integer()?;
            let values = string.iter().map(|(key, value)| (key.clone(), value.clone()));
            Some((number, values.collect()))
        })
        .collect()
}

fn number(table: &toml_edit::Table) -> Option<i64> {
    table.get("number")?.as_integer()
}

fn strings(doc: &mut DocumentMut, old: &Table, new: &Table, model: &DocumentMut) -> Result<(), String> {
    let (old, new) = (spelled(old), spelled(new));
    if old == new {
        return Ok(());
    }
    let item = doc
        .as_table_mut()
        .entry("string")
        .or_insert_with(|| Item::ArrayOfTables(ArrayOfTables::new()));
    let Item::ArrayOfTables(list) = item else {
        return Err("`string` in the job file is no list of [[string]] tables.".to_owned());
    };
    list.retain(|table| number(table).is_none_or(|n| new.contains_key(&n) || !old.contains_key(&n)));
    let none = BTreeMap::new();
    // Bass to treble, as the survey writes them.
    for (n, values) in new.iter().rev() {
        let like = model
            .get("string")
            .and_then(Item::as_array_of_tables)
            .and_then(|models| models.iter().find(|table| number(table) == Some(*n)));
        let Some(like) = like else { continue };
        if let Some(table) = list.iter_mut().find(|table| number(table) == Some(*n)) {
            change(table, old.get(n).unwrap_or(&none), values, like);
        } else {
            list.push(like.clone());
        }
    }
    if list.is_empty() {
        doc.as_table_mut().remove("string");
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_differs_is_changed_and_comments_stay() {
        let file = "# mine\ntitle = \"a\" # behind\n\n[slot]\nwidth = \"3 mm\"   # caliper\nlean = 9\n\n[filing]\ncrown = \"flat\"\n";
        let before = "title = \"a\"\n[slot]\nwidth = \"3 mm\"\nlean = \"9 deg\"\n";
        let after = "title = \"a\"\n[slot]\nwidth = \"3.2 mm\"\nlean = \"9 deg\"\n[bridge]\n# Where:\n# how\nstring_exit = \"pin holes\"\n";
        let out = patched(file, before, after).unwrap();
        assert!(out.contains("# mine\ntitle = \"a\" # behind"), "{out}");
        assert!(out.contains("width = \"3.2 mm\"   # caliper\nlean = 9"), "{out}");
        assert!(
            out.contains("[bridge]\n# Where:\n# how\nstring_exit = \"pin holes\""),
            "{out}"
        );
        assert!(out.contains("[filing]\ncrown = \"flat\""), "{out}");
        let back = patched(&out, after, before).unwrap();
        assert!(!back.contains("[bridge]"), "{back}");
    }

    #[test]
    fn byte_order_mark_and_line_ends_stay() {
        let (before, after) = (
            "title = \"a\"\nnotes = \"n\"\n",
            "title = \"b\"\n[slot]\n# how\nwidth = \"3 mm\"\n",
        );
        for (mark, end) in [("", "\r\n"), ("\u{feff}", "\n"), ("\u{feff}", "\r\n")] {
            let file = format!("{mark}# mine\ntitle = \"a\" # behind\nnotes = \"n\"\n").replace('\n', end);
            let out = patched(&file, before, after).unwrap();
            let wanted = format!("{mark}# mine\ntitle = \"b\" # behind\n");
            assert!(out.starts_with(&wanted.replace('\n', end)), "{out:?}");
            assert_eq!(out.matches('\n').count(), out.matches(end).count(), "{out:?}");
            assert!(
                out.contains("[slot]") && !out[mark.len()..].contains('\u{feff}'),
                "{out:?}"
            );
        }
    }

    #[test]
    fn spelled_out_strings_follow_their_numbers() {
        let one = |n: u32, gauge: &str| format!("[[string]]\nnumber = {n}\ngauge = \"{gauge}\"\n");
        let before = one(2, "16 thou") + &one(1, "12 thou");
        let after = one(3, "24 thou") + &one(2, "17 thou");
        let out = patched(&before, &before, &after).unwrap();
        let read: Table = out.parse().unwrap();
        let found = spelled(&read);
        assert_eq!(found.keys().copied().collect::<Vec<_>>(), [2, 3]);
        assert_eq!(found[&2]["gauge"].as_str(), Some("17 thou"));
    }
}
