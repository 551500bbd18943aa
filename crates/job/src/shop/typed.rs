//! What is typed into the form of one thing: from an entry of a profile file, and back to one that the reader has found sound.

use toml::{Table, Value};
use toml_edit::{Array, ArrayOfTables, Item, Table as Entry, value};

use crate::Problem;
use crate::as_typed::as_typed;
use crate::form::{FormFault, FormField, FormTake, FormTyped};
use crate::problem::ProblemKind;
use crate::profiles::{Profiles, length, reading_words};

use crate::profiles::kind::ShopKind;

/// What is called so in messages that name their file.
const FORM: &str = "the form";
/// Most characters of what is typed into one field.
const MOST: usize = 400;

impl FormTyped {
    /// How many strings there are.
    #[must_use]
    pub fn strings(&self) -> usize {
        let number = |key: &str| key.strip_prefix("string.")?.split('.').next()?.parse::<usize>().ok();
        self.keys().filter_map(number).max().unwrap_or(0)
    }

    /// An entry of a profile file as it would be typed.
    pub(super) fn of(entry: &Table) -> Self {
        let mut typed = Self::default();
        for (key, value) in entry {
            match (key.as_str(), value) {
                ("reads", Value::Array(all)) => all
                    .iter()
                    .filter_map(Value::as_table)
                    .for_each(|reads| typed.reads(reads)),
                ("string", Value::Array(all)) => {
                    for string in all.iter().filter_map(Value::as_table) {
                        let number = string.get("number").and_then(as_typed).unwrap_or_default();
                        for (key, value) in string.iter().filter(|(key, _)| *key != "number") {
                            typed.put(format!("string.{number}.{key}"), value);
                        }
                    }
                }
                ("g" | "m" | "courses", Value::Array(words)) => {
                    let words: Vec<String> = words.iter().filter_map(as_typed).collect();
                    typed.set(key, &words.join(" "));
                }
                (_, Value::Array(all)) => {
                    for (at, value) in all.iter().enumerate() {
                        typed.put(format!("{key}.{at}"), value);
                    }
                }
                // An older profile says by it that each tool has a program of its own, which is so where nothing is said.
                ("tool_change", _) => {}
                _ => typed.put(key.clone(), value),
            }
        }
        typed
    }

    fn reads(&mut self, reads: &Table) {
        let words = reads.get("of").and_then(Value::as_array).into_iter().flatten();
        for word in words.filter_map(Value::as_str) {
            for key in ["sure_to", "shared"] {
                if let Some(value) = reads.get(key) {
                    self.put(format!("reads.{word}.{key}"), value);
                }
            }
        }
    }

    /// The entry, if the reader of profiles finds it sound over these profiles.
    ///
    /// # Errors
    /// What is wrong, field by field.
    pub fn entry(&self, kind: ShopKind, fields: &[FormField], over: &Profiles) -> Result<Entry, Vec<FormFault>> {
        let mut faults: Vec<FormFault> = fields
            .iter()
            .filter_map(|field| Some((field.key.clone(), fault(field, self.get(&field.key))?)))
            .collect();
        if !faults.is_empty() {
            return Err(faults);
        }
        if kind == ShopKind::Tool {
            faults = self.of_readings(over);
        }
        let entry = self.built(fields);
        if faults.is_empty() {
            faults = read(kind, &entry, over)
                .into_iter()
                .map(|problem| placed(kind, self.get("name"), fields, &problem))
                .collect();
        }
        if faults.is_empty() { Ok(entry) } else { Err(faults) }
    }

    /// The readings of a tool, each by itself, so that what is wrong stands at its own.
    fn of_readings(&self, over: &Profiles) -> Vec<FormFault> {
        let mut faults = Vec::new();
        for (word, _) in reading_words() {
            let [sure, shared] = ["sure_to", "shared"].map(|key| format!("reads.{word}.{key}"));
            if self.get(&sure).is_empty() {
                if !self.get(&shared).is_empty() {
                    faults.push((sure, "How sure it is of this is missing.".to_owned()));
                }
                continue;
            }
            let mut alone = Self::new();
            alone.set("name", "a tool");
            alone.set("source", "typed");
            for key in [&sure, &shared] {
                alone.set(key, self.get(key));
            }
            let fields = super::fields::shop_fields(ShopKind::Tool, 0, over);
            let found = read(ShopKind::Tool, &alone.built(&fields), over);
            faults.extend(found.into_iter().map(|problem| {
                let key = if problem.field.ends_with(" shared") {
                    &shared
                } else {
                    &sure
                };
                (key.clone(), said(&problem))
            }));
        }
        faults
    }

    /// What is typed as an entry; the fields hold what they take.
    fn built(&self, fields: &[FormField]) -> Entry {
        let mut entry = Entry::new();
        let mut tables: Vec<(String, String, Entry)> = Vec::new();
        for field in fields {
            let text = self.get(&field.key);
            let parts: Vec<&str> = field.key.split('.').collect();
            match parts[..] {
                [key] => {
                    if let Some(item) = item(&field.take, text) {
                        entry.insert(key, item);
                    }
                }
                [key, _] => {
                    let list = entry.entry(key).or_insert_with(|| value(Array::new()));
                    if let (Some(list), Some(Item::Value(item))) = (list.as_array_mut(), item(&field.take, text)) {
                        list.push(item);
                    }
                }
                [list, which, key] => {
                    let at = tables.iter().position(|(of, one, _)| of == list && one == which);
                    let at = at.unwrap_or_else(|| {
                        let mut table = Entry::new();
                        if list == "reads" {
                            table.insert("of", value(Array::from_iter([which])));
                        } else if let Ok(number) = which.parse::<i64>() {
                            table.insert("number", value(number));
                        }
                        tables.push((list.to_owned(), which.to_owned(), table));
                        tables.len() - 1
                    });
                    if let (Some((_, _, table)), Some(item)) = (tables.get_mut(at), item(&field.take, text)) {
                        table.insert(key, item);
                    }
                }
                _ => {}
            }
        }
        for (list, _, table) in tables {
            // A reading of which nothing is said is none of this tool's.
            if list == "reads" && !table.contains_key("sure_to") {
                continue;
            }
            let all = entry
                .entry(&list)
                .or_insert_with(|| Item::ArrayOfTables(ArrayOfTables::new()));
            if let Some(all) = all.as_array_of_tables_mut() {
                all.push(table);
            }
        }
        if fields.iter().any(|field| field.key.starts_with("reads.")) {
            // The reader says what is missing where a tool reads nothing.
            entry.entry("reads").or_insert_with(|| value(Array::new()));
        }
        entry
    }
}

/// Why a text is nothing that a field takes, as far as the field itself tells.
fn fault(field: &FormField, text: &str) -> Option<String> {
    if text.is_empty() {
        return (!field.optional && !matches!(field.take, FormTake::List)).then(|| "It is missing.".to_owned());
    }
    if text.chars().count() > MOST || text.chars().any(char::is_control) {
        return Some(format!(
            "It is longer than {MOST} characters, or has signs that cannot be written."
        ));
    }
    match &field.take {
        FormTake::Words | FormTake::Sure | FormTake::List | FormTake::Letters => None,
        FormTake::Length => length("", text).err().map(|(_, why)| why),
        FormTake::Number(_) => {
            let read: Result<f64, _> = text.parse();
            (!read.is_ok_and(f64::is_finite)).then(|| format!("\"{text}\" is no number. Write it as 12 or 0.5."))
        }
        FormTake::Whole(_) => whole(text).is_none().then(|| format!("\"{text}\" is no whole number.")),
        FormTake::Wholes => {
            let all = text.split_whitespace().all(|word| whole(word).is_some());
            (!all).then(|| "They are whole numbers with spaces between them, as 2 2 1.".to_owned())
        }
        FormTake::Choice(list) => {
            (!list.iter().any(|(value, _)| value == text)).then(|| "Choose one of the list.".to_owned())
        }
        FormTake::YesNo => (!matches!(text, "yes" | "no")).then(|| "Choose yes or no.".to_owned()),
    }
}

fn whole(text: &str) -> Option<i64> {
    let plain = text.len() <= 9 && text.bytes().all(|digit| digit.is_ascii_digit());
    plain.then(|| text.parse().ok()).flatten()
}

/// What is typed as a value; `None` where nothing is.
fn item(take: &FormTake, text: &str) -> Option<Item> {
    if text.is_empty() && !matches!(take, FormTake::List) {
        return None;
    }
    Some(match take {
        FormTake::Words | FormTake::Length | FormTake::Sure | FormTake::Choice(_) => value(text),
        FormTake::Letters => value(text.split_whitespace().collect::<String>()),
        FormTake::Number(_) => match (whole(text), text.parse::<f64>()) {
            (Some(number), _) => value(number),
            (None, Ok(number)) => value(number),
            (None, Err(_)) => return None,
        },
        FormTake::Whole(_) => value(whole(text)?),
        FormTake::YesNo => value(text == "yes"),
        FormTake::List => value(Array::from_iter(text.split_whitespace())),
        FormTake::Wholes => value(Array::from_iter(text.split_whitespace().filter_map(whole))),
    })
}

/// What the reader of profiles says of an entry.
fn read(kind: ShopKind, entry: &Entry, over: &Profiles) -> Vec<Problem> {
    let mut all = ArrayOfTables::new();
    all.push(entry.clone());
    let mut document = toml_edit::DocumentMut::new();
    document.insert(kind.key(), Item::ArrayOfTables(all));
    over.clone()
        .add_text(FORM, &document.to_string())
        .err()
        .unwrap_or_default()
}

/// A problem without the name of its file, which is none here.
fn said(problem: &Problem) -> String {
    match &problem.kind {
        ProblemKind::Profile { what, .. } => what.trim_end().to_owned(),
        _ => problem.what(),
    }
}

/// A problem at its field, in the words of the form.
fn placed(kind: ShopKind, name: &str, fields: &[FormField], problem: &Problem) -> FormFault {
    let thing = format!("{} \"{name}\"", kind.key());
    let rest = problem
        .field
        .strip_prefix(&thing)
        .unwrap_or_default()
        .trim()
        .replace(' ', ".");
    let mut what = said(problem);
    if rest.is_empty() && what.starts_with("The name is") {
        return ("name".to_owned(), what);
    }
    for field in fields {
        let own = field.key.rsplit('.').next().unwrap_or_default();
        if let FormTake::Choice(list) = &field.take {
            for (value, shown) in list {
                what = what.replace(
                    &format!("{own} = \"{value}\""),
                    &format!("{} \u{201c}{shown}\u{201d}", lower(&field.title)),
                );
            }
        }
        what = what.replace(&format!("`{own}`"), &format!("\u{201c}{}\u{201d}", field.title));
    }
    let exact = fields.iter().find(|field| field.key == rest);
    let first = || {
        fields
            .iter()
            .find(|field| field.key.starts_with(&format!("{rest}.")) && !rest.is_empty())
    };
    // What the reader calls one thing may stand under another of its fields.
    let found = exact.or_else(first).map(|field| field.key.clone());
    let reads = || {
        fields
            .iter()
            .find(|field| kind == ShopKind::Tool && field.key.starts_with("reads."))
    };
    let of_readings = || reads().filter(|_| rest == "of").map(|field| field.key.clone());
    (found.or_else(of_readings).unwrap_or_default(), what)
}

/// A title within a sentence.
fn lower(title: &str) -> String {
    let mut letters = title.chars();
    let first = letters.next().into_iter().flat_map(char::to_lowercase);
    first.chain(letters).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::{ShopFile, shop_entry, shop_fields, shop_names};

    fn built_in(kind: ShopKind, name: &str) -> (FormTyped, Vec<FormField>) {
        let typed = shop_entry(kind, name).unwrap_or_else(|| panic!("{name}"));
        let fields = shop_fields(kind, typed.strings(), &Profiles::built_in());
        (typed, fields)
    }

    fn faults(kind: ShopKind, name: &str, changes: &[(&str, &str)]) -> Vec<FormFault> {
        let (mut typed, fields) = built_in(kind, name);
        for (key, text) in changes {
            assert!(fields.iter().any(|field| field.key == *key), "{key}");
            typed.set(key, text);
        }
        typed
            .entry(kind, &fields, &Profiles::built_in())
            .err()
            .unwrap_or_default()
    }

    /// Every built-in thing comes through the form as it was, with every figure.
    #[test]
    fn what_is_built_in_comes_back_unchanged() {
        let profiles = Profiles::built_in();
        let mut seen = 0;
        for kind in ShopKind::ALL {
            for name in shop_names(kind) {
                let (typed, fields) = built_in(kind, &name);
                let entry = typed.entry(kind, &fields, &profiles);
                let entry = entry.unwrap_or_else(|faults| panic!("{name}: {faults:?}"));
                let mut file = ShopFile::of("").unwrap();
                file.put(kind, None, entry);
                assert_eq!(file.names(kind), [name.as_str()]);
                assert_eq!(file.typed(kind, &name).as_ref(), Some(&typed), "{name}");
                let mut again = profiles.clone();
                again.add_text("again", &file.text()).unwrap();
                if kind == ShopKind::Tool {
                    let reads = |profiles: &Profiles| {
                        let tool = profiles.tool(&name).unwrap().clone();
                        reading_words()
                            .map(|(word, _)| format!("{:?}", tool.reads(crate::profiles::read_as(word))))
                            .collect::<Vec<_>>()
                    };
                    assert_eq!(reads(&again), reads(&profiles), "{name}");
                } else {
                    assert_eq!(again, profiles, "{name}");
                }
                seen += 1;
            }
        }
        assert!(seen > 60, "{seen}");
    }

    #[test]
    fn what_is_wrong_is_told_at_its_field_in_its_words() {
        let table = [
            (ShopKind::Machine, "small belt router", "travel.1", "200", "has no unit"),
            (ShopKind::Machine, "small belt router", "travel.0", "0 mm", "above 0"),
            (
                ShopKind::Machine,
                "small belt router",
                "feed_most.2",
                "fast",
                "\"fast\" is no number",
            ),
            (ShopKind::Machine, "small belt router", "spindle_up", "99", "0 to 60 s"),
            (ShopKind::Machine, "small belt router", "corner", "2 mm", "0 to 1 mm"),
            (
                ShopKind::Machine,
                "small belt router",
                "tool_lengths",
                "table",
                "needs G43, M6, T and H",
            ),
            (
                ShopKind::Machine,
                "small ballscrew mill",
                "top_z",
                "",
                "\u{201c}Top of the travel, Z\u{201d} is needed",
            ),
            (ShopKind::Machine, "small belt router", "g", "G0 X1", "is no G word"),
            (
                ShopKind::Machine,
                "small belt router",
                "line_most",
                "12",
                "from 60 to 256",
            ),
            (ShopKind::Machine, "small belt router", "name", "", "missing"),
            (ShopKind::Cutter, "flat 3 mm", "number", "0", "1 to 99"),
            (ShopKind::Cutter, "flat 3 mm", "tip", "0.1 mm", "Leave it out"),
            (ShopKind::Cutter, "V 60 degrees", "side_angle", "95", "less than 90"),
            (ShopKind::Cutter, "flat 3 mm", "flutes", "2.5", "no whole number"),
            (ShopKind::Tool, "feelers", "reads.action.sure_to", "0.05", "has no unit"),
            (ShopKind::Tool, "tuner", "reads.cents.sure_to", "3", "is not in cents"),
            (ShopKind::Tool, "tuner", "reads.cents.shared", "2", "from 0 to 1"),
            (ShopKind::Set, "tenor ukulele gCEA", "string.3.note", "H9", "."),
            (ShopKind::Set, "tenor ukulele gCEA", "courses", "2 1", "all together 4"),
            (
                ShopKind::Set,
                "extra light bronze 10-47",
                "string.6.core",
                "0.06 in",
                ".",
            ),
            (ShopKind::Material, "bone", "density", "-1", "above 0"),
            (ShopKind::Cutting, "bone", "step_over", "3", "share of the cutter"),
            (ShopKind::Cutting, "bone", "chip", "1 mm", "thinnest chip"),
        ];
        for (kind, name, key, text, words) in table {
            let faults = faults(kind, name, &[(key, text)]);
            let own = faults.iter().find(|(at, _)| {
                at == key
                    || at.split('.').next() == key.split('.').next() && !matches!(kind, ShopKind::Set | ShopKind::Tool)
            });
            let told = own.unwrap_or_else(|| panic!("{name} {key}: {faults:?}"));
            assert!(told.1.contains(words), "{name} {key}: {told:?}");
            assert!(!told.1.contains('`') && !told.1.contains(" = "), "{told:?}");
        }
    }

    #[test]
    fn a_tool_that_reads_nothing_is_refused() {
        let faults = faults(
            ShopKind::Tool,
            "radius gauges",
            &[("reads.radius.sure_to", ""), ("reads.radius.shared", "")],
        );
        assert_eq!(faults.len(), 1);
        assert!(
            faults[0].0.starts_with("reads.") && faults[0].1.contains("reads nothing"),
            "{faults:?}"
        );
    }

    #[test]
    fn what_is_typed_by_no_hand_is_refused_and_never_kept() {
        for text in ["a\nb", "\u{1b}[2J", &"x".repeat(500)] {
            assert_eq!(
                faults(ShopKind::Machine, "small belt router", &[("name", text)]).len(),
                1
            );
        }
        let quoted = "my \"big\" one \\ 'x'";
        assert_eq!(faults(ShopKind::Machine, "small belt router", &[("name", quoted)]), []);
    }

    #[test]
    fn what_stands_in_the_file_stays() {
        let by_hand =
            "# mine\n\n[[wrap]] # a wrap\nname = \"x\"\ndensity = 9\nsource = \"y\"\n\n[[machine]]\nname = \"a\"\n";
        let mut file = ShopFile::of(by_hand).unwrap();
        let (typed, fields) = built_in(ShopKind::Machine, "small belt router");
        let entry = typed.entry(ShopKind::Machine, &fields, &Profiles::built_in()).unwrap();
        file.put(ShopKind::Machine, Some("a"), entry.clone());
        file.put(ShopKind::Machine, None, {
            let mut b = entry;
            b["name"] = value("b");
            b
        });
        assert!(
            file.text().starts_with("# mine\n\n[[wrap]] # a wrap\n"),
            "{}",
            file.text()
        );
        assert_eq!(file.names(ShopKind::Machine), ["small belt router", "b"]);
        let mut profiles = Profiles::built_in();
        profiles.add_text("own", &file.text()).unwrap();
        let taken = file.take(ShopKind::Machine, "b").unwrap();
        profiles.add_text("taken", &taken).unwrap();
        assert_eq!(file.names(ShopKind::Machine), ["small belt router"]);
        file.take(ShopKind::Machine, "small belt router").unwrap();
        assert!(file.take(ShopKind::Machine, "b").is_none());
        assert_eq!(
            file.text().trim_end(),
            "# mine\n\n[[wrap]] # a wrap\nname = \"x\"\ndensity = 9\nsource = \"y\""
        );
        assert!(ShopFile::of("machine = 3").is_err() && ShopFile::of("x").is_err());
    }

    /// Strings stay with their set, wherever it is put.
    #[test]
    fn sets_are_changed_taken_out_and_put_back_among_others() {
        let profiles = Profiles::built_in();
        let mut file = ShopFile::of("").unwrap();
        let sets = ["tenor ukulele gCEA", "light bronze 12-string", "nylon normal tension"];
        for name in sets {
            let (typed, fields) = built_in(ShopKind::Set, name);
            file.put(
                ShopKind::Set,
                None,
                typed.entry(ShopKind::Set, &fields, &profiles).unwrap(),
            );
            let (machine, fields) = built_in(ShopKind::Machine, "small belt router");
            let mut machine = machine.entry(ShopKind::Machine, &fields, &profiles).unwrap();
            machine["name"] = value(name);
            file.put(ShopKind::Machine, None, machine);
            file = ShopFile::of(&file.text()).unwrap();
        }
        let holds = |file: &ShopFile| {
            let again = ShopFile::of(&file.text()).unwrap();
            for name in file.names(ShopKind::Set) {
                assert_eq!(
                    again.typed(ShopKind::Set, &name),
                    shop_entry(ShopKind::Set, &name),
                    "{name}\n{}",
                    file.text()
                );
            }
            assert_eq!(again.names(ShopKind::Set).len(), file.names(ShopKind::Set).len());
        };
        holds(&file);
        for name in sets {
            let (typed, fields) = built_in(ShopKind::Set, name);
            file.put(
                ShopKind::Set,
                Some(name),
                typed.entry(ShopKind::Set, &fields, &profiles).unwrap(),
            );
            holds(&file);
            let taken = file.take(ShopKind::Set, name).unwrap();
            holds(&file);
            file = file.joined(&taken).unwrap();
            holds(&file);
            assert_eq!(file.names(ShopKind::Set).len(), 3);
        }
        assert_eq!(file.names(ShopKind::Machine), sets);
    }
}
