//! The editor of a job file's text: what is set is read back, and every other line stays as it was.

use std::path::Path;
use std::sync::LazyLock;

use job::{Edit, EditError, Value};
use proptest::prelude::*;
use toml::Table;

/// Every way of writing a table, out of order and with remarks everywhere.
const BY_HAND: &str = "# head\nformat = 1\ntitle = \"x\" # mine\nnut = { held_at_3 = \"4 thou\", new_clearance = \"18 thou\" } # feeler\n\
    string = [{ number = 6, core = \"17\" }, { number = 1, gauge = 12 }]\nslot.depth.bass = 5 # rod\nslot.reference.height = 3\n\n\
    # neck\n[instrument.relief]\n# straightedge\ngap = 0.2\n\n[cut] # machine\nfeed = 3\n\n# board\n[instrument]\nscale = 640\n\n\
    [uncertainty]\n  saddle.x = 1   # odd\n# end\n";

/// The examples and the text above, by line feeds and without a byte order mark.
static TEXTS: LazyLock<Vec<String>> = LazyLock::new(|| {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    let mut paths: Vec<_> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    paths.sort();
    let jobs = paths
        .iter()
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"));
    let texts = jobs.map(|path| std::fs::read_to_string(path).unwrap());
    texts.chain([BY_HAND.to_owned()]).collect()
});

/// Values that most of the texts do not have, among them such whose table is missing.
const MORE: [&str; 12] = [
    "notes",
    "slot.depth",
    "slot.reference.action_12",
    "slot.under_tension.lean",
    "string.6.stretch_factor",
    "string.11.gauge",
    "present.action_12",
    "strung.cents_12",
    "filing.crown",
    "nut_blank.seat",
    "bridge.behind_slot.bass",
    "instrument.relief.gap",
];

/// The names of all values, those within a line too.
fn names(table: &Table, path: &str, found: &mut Vec<String>) {
    for (key, value) in table {
        let name = format!("{path}{key}");
        match value {
            toml::Value::Table(inner) => names(inner, &format!("{name}."), found),
            toml::Value::Array(list) if key == "string" => {
                for inner in list.iter().map(|inner| inner.as_table().unwrap()) {
                    names(inner, &format!("{name}.{}.", inner["number"]), found);
                }
            }
            // Tables without a number are edited by hand alone.
            _ if key == "saddle" => {}
            _ if key != "number" => found.push(name),
            _ => {}
        }
    }
}

/// A table of the model, which is made if `make`; `None` also where something else stands.
fn table<'a>(mut table: &'a mut Table, path: &[&str], make: bool) -> Option<&'a mut Table> {
    let mut path = path.iter();
    while let Some(&part) = path.next() {
        if part == "string" {
            let number: i64 = path.next()?.parse().unwrap();
            let list = match (table.contains_key(part), make) {
                (false, false) => return None,
                _ => table.entry(part).or_insert_with(|| toml::Value::Array(Vec::new())),
            };
            let list = list.as_array_mut()?;
            if make && list.iter().all(|one| one["number"].as_integer() != Some(number)) {
                list.push(toml::Value::Table(Table::from_iter([(
                    "number".to_owned(),
                    number.into(),
                )])));
            }
            let own = list.iter_mut().find(|one| one["number"].as_integer() == Some(number));
            table = own?.as_table_mut()?;
            continue;
        }
        if make {
            table.entry(part).or_insert_with(|| Table::new().into());
        }
        table = table.get_mut(part)?.as_table_mut()?;
    }
    Some(table)
}

/// Without tables that hold nothing: one in dotted keys is gone with its last.
fn pruned(table: &mut Table) {
    for (_, value) in table.iter_mut() {
        if let toml::Value::Table(inner) = value {
            pruned(inner);
        }
    }
    table.retain(|_, value| value.as_table().is_none_or(|inner| !inner.is_empty()));
}

fn value() -> impl Strategy<Value = Value> {
    prop_oneof![
        "\\PC{0,8}".prop_map(Value::from),
        (-9..9i64).prop_map(Value::from),
        (-9..9i64).prop_map(|halves| Value::from(halves as f64 / 2.0)),
        any::<bool>().prop_map(Value::from),
        prop::collection::vec("[a-z0-9 #\"]{0,5}", 0..4).prop_map(Value::from_iter),
        (1..9i64, 1..9i64).prop_map(|(bass, treble)| Value::from_iter([("bass", bass), ("treble", treble)])),
    ]
}

/// Lines of the first that are not in the second, and of the second that are not in the first; what stands together.
fn changed<'a>(first: &'a str, second: &'a str) -> (Vec<&'a str>, Vec<&'a str>) {
    let [first, second]: [Vec<_>; 2] =
        [first, second].map(|text| text.trim_start_matches('\u{feff}').lines().collect());
    let same = first.iter().zip(&second).take_while(|(a, b)| a == b).count();
    let ends = first[same..].iter().rev().zip(second[same..].iter().rev());
    let after = ends.take_while(|(a, b)| a == b).count();
    (
        first[same..first.len() - after].to_vec(),
        second[same..second.len() - after].to_vec(),
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    /// A row of changes to any text, in any form.
    #[test]
    fn what_is_set_is_read_back_and_other_lines_stay(
        which in any::<prop::sample::Index>(),
        mark in any::<bool>(),
        long in any::<bool>(),
        changes in prop::collection::vec((any::<prop::sample::Index>(), prop::option::weighted(0.7, value())), 1..8),
    ) {
        let plain = which.get(&TEXTS);
        let end = if long { "\r\n" } else { "\n" };
        let mut text = format!("{}{}", if mark { "\u{feff}" } else { "" }, plain.replace('\n', end));
        let mut model: Table = plain.parse().unwrap();
        let mut fields: Vec<String> = MORE.map(str::to_owned).to_vec();
        names(&model, "", &mut fields);
        prop_assert_eq!(Edit::of(&text).unwrap().text(), &text[..]);
        for (field, value) in changes {
            let field = field.get(&fields);
            let mut path: Vec<&str> = field.split('.').collect();
            let key = path.pop().unwrap();
            let mut edit = Edit::of(&text).unwrap();
            let was = table(&mut model.clone(), &path, false).and_then(|table| table.get(key).cloned());
            if let Some(value) = value {
                let read: Table = format!("a = {value}").parse().unwrap();
                let done = edit.set(field, value);
                let Some(into) = table(&mut model, &path, true) else {
                    // A value stands where the table should.
                    prop_assert!(matches!(done, Err(EditError::NoTable(_))));
                    prop_assert_eq!(edit.text(), &text[..]);
                    return Ok(());
                };
                prop_assert_eq!(done, Ok(()));
                into.insert(key.to_owned(), read["a"].clone());
            } else {
                let gone = table(&mut model, &path, false).and_then(|table| table.remove(key));
                prop_assert_eq!(edit.remove(field), gone.is_some());
            }
            let now = edit.text();
            prop_assert_eq!(now.matches('\u{feff}').count(), usize::from(mark), "{}", &now);
            prop_assert_eq!(now.matches('\n').count(), now.matches(end).count(), "{}", &now);
            let mut read: Table = now.trim_start_matches('\u{feff}').parse().unwrap_or_else(|e| panic!("{e}\n{now}"));
            let mut wanted = model.clone();
            pruned(&mut read);
            pruned(&mut wanted);
            prop_assert_eq!(read, wanted, "{}: {}", field, &now);
            let (old, new) = changed(&text, &now);
                        let lines = old.iter().filter(|line| !line.is_empty() && !line.starts_with('#')).count();
            match was {
                // A new one within a line changes that line.
                None => prop_assert!(old.len() <= 1 && new.len() <= 5, "{}: {:?} {:?}", field, old, new),
                Some(toml::Value::Table(_)) => {}
                Some(_) => prop_assert!(lines <= 1 && new.len() <= 1, "{}: {:?} {:?}", field, old, new),
            }
            text = now;
        }
    }
}

#[test]
fn a_missing_table_stands_in_its_place() {
    let text = "format = 1\n\n[slot] # read\ndepth = 3\n\n# mine\n[slot.reference]\nheight = 2\n\n[blank]\nkind = \"through\"\n";
    let mut edit = Edit::of(text).unwrap();
    for (field, value) in [
        ("strung.action_12", 2),
        ("nut.setback", 0),
        ("bridge.behind_slot", 7),
        ("string.6.gauge", 9),
        ("string.1.gauge", 3),
    ] {
        edit.set(field, value).unwrap();
    }
    edit.write("present.action_12", "# how\n", 12, 4.into()).unwrap();
    edit.table("target").unwrap();
    edit.remark("bridge.behind_slot", "ruler");
    let wanted = "format = 1\n\n[[string]]\nnumber = 6\ngauge = 9\n\n[[string]]\nnumber = 1\ngauge = 3\n\n[nut]\nsetback = 0\n\n\
        [present]\n# how\naction_12    = 4\n\n[target]\n\n[slot] # read\ndepth = 3\n\n# mine\n[slot.reference]\nheight = 2\n\n\
        [bridge]\nbehind_slot = 7 # ruler\n\n[blank]\nkind = \"through\"\n\n[strung]\naction_12 = 2\n";
    assert_eq!(edit.text(), wanted);
    assert!(edit.remove("string.6") && edit.remove("string.1") && !edit.remove("string.1"));
    assert!(!edit.text().contains("string"));
}

#[test]
fn every_way_of_writing_a_table_is_kept() {
    let mut edit = Edit::of(BY_HAND).unwrap();
    for field in [
        "nut.setback",
        "string.6.stretch_factor",
        "string.2.gauge",
        "slot.depth.treble",
        "slot.width",
        "slot.under_tension.lean",
        "instrument.relief.gap",
    ] {
        edit.set(field, 7).unwrap();
        edit.remark(field, "ours");
    }
    let text = edit.text();
    for line in [
        "nut = { held_at_3 = \"4 thou\", new_clearance = \"18 thou\" , setback = 7 } # feeler",
        "slot.depth.bass = 5 # rod",
        "slot.depth.treble = 7 # ours",
        "slot.under_tension.lean = 7 # ours",
        "slot.width = 7 # ours",
        "gap = 7 # ours",
    ] {
        assert!(text.lines().any(|had| had == line), "{line}\n{text}");
    }
    edit.remark("slot.depth.bass", "ours");
    edit.remark("slot.depth.bass", "ours");
    edit.set("slot.depth.bass", 6).unwrap();
    assert!(
        edit.text().contains("slot.depth.bass = 6 # rod; ours\n"),
        "{}",
        edit.text()
    );
    // A table of its own may give way to one value.
    edit.set("slot.depth", "5 mm").unwrap();
    edit.set("instrument.relief", 0).unwrap();
    let read: Table = edit.text().parse().unwrap();
    assert_eq!(read["slot"]["depth"].as_str(), Some("5 mm"));
    assert_eq!(read["instrument"]["relief"].as_integer(), Some(0));
    assert_eq!(read["string"].as_array().unwrap().len(), 3);
}

#[test]
fn what_is_in_the_way_is_said_and_nothing_changes() {
    assert!(matches!(Edit::of("= 1"), Err(EditError::Syntax(_))));
    let mut edit = Edit::of(BY_HAND).unwrap();
    for field in [
        "title.more",
        "title.6.more",
        "format.a.b",
        "nut.6.a",
        "string.gauge",
        "cut.feed.least",
        "",
        ".",
        "string.6",
    ] {
        let refused = edit.set(field, 1);
        assert!(matches!(refused, Err(EditError::NoTable(_))), "{field}: {refused:?}");
        assert_eq!(edit.text(), BY_HAND, "{field}");
    }
    for field in ["", "title.6", "nut.6", "string.7", "a.b", "string.6.a"] {
        assert!(!edit.remove(field), "{field}");
        assert_eq!(edit.text(), BY_HAND, "{field}");
    }
}
