//! A job file's text under change: the value that is meant changes; remarks, order, line ends and byte order mark stay.

use thiserror::Error;
use toml_edit::{ArrayOfTables, Decor, DocumentMut, Item, Key, Table, TableLike, Value};

use crate::problem::printable;
use crate::text_form::TextForm;

/// The tables of a job file in the order in which they are written.
const TABLES: &str = "instrument strings string nut nut_blank present target slot bridge blank crown filing strung readings doubt assumed tolerance \
                      uncertainty neck assess book cut nut_cut saddle also";

/// Places in the file between two tables that were there, so that new ones find room in their order; more than there are tables.
const ROOM: isize = 100;

/// Why a text cannot be changed.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum EditError {
    /// It is no TOML: why, in the parser's words.
    #[error("it is no TOML: {0}")]
    Syntax(String),
    /// Something else stands where a table, or a list of numbered tables, should.
    #[error("`{0}` is no table")]
    NoTable(String),
}

/// A job file's text under change.
///
/// A value is named as problems name it: `title`, `slot.depth`, `slot.reference.height`, `instrument.relief.gap`; of a list of
/// numbered tables by that number: `string.6.gauge`, the whole of it `string.6`; of another list by its place, from 1:
/// `readings[2].depth`, `readings[2]`. A table may have a header, stand in one line (`{ ... }`) or be written in dotted keys, and a
/// list `[[string]]` or `[{ ... }]`.
#[derive(Debug, Clone)]
pub struct Edit {
    document: DocumentMut,
    form: TextForm,
}

/// One step of a value's name, with which table it is if there is a list of them.
type Step<'a> = (&'a str, Option<Which>);

/// Which table of a list.
#[derive(Debug, Clone, Copy)]
enum Which {
    /// The one with this number.
    Number(i64),
    /// The one in this place, from 0.
    Place(usize),
}

impl Which {
    /// Where it is among these.
    fn among<'t, T: TableLike + ?Sized + 't>(self, mut list: impl Iterator<Item = Option<&'t T>>) -> Option<usize> {
        match self {
            Self::Number(number) => list.position(|table| table.and_then(number_of) == Some(number)),
            Self::Place(place) => list.nth(place).map(|_| place),
        }
    }
}

impl Edit {
    /// Begins with a text; the empty one begins a new job.
    ///
    /// # Errors
    /// [`EditError::Syntax`].
    pub fn of(text: &str) -> Result<Self, EditError> {
        let form = TextForm::of(text);
        let plain = text.trim_start_matches('\u{feff}');
        let mut document: DocumentMut = plain
            .parse()
            .map_err(|error: toml_edit::TomlError| EditError::Syntax(printable(error.message())))?;
        spread(document.as_table_mut());
        Ok(Self { document, form })
    }

    /// Sets a value. A remark behind the old one stays; a table that is missing is put in its place in the file.
    ///
    /// # Errors
    /// [`EditError::NoTable`]; then nothing is changed.
    pub fn set(&mut self, field: &str, value: impl Into<Value>) -> Result<(), EditError> {
        self.put(field, Decor::default(), value.into())
    }

    /// Sets a value as [`Edit::set`] does; a key that was missing comes below `remarks`, whole lines, and filled up to `width` characters.
    ///
    /// # Errors
    /// [`EditError::NoTable`]; then nothing is changed.
    pub fn write(&mut self, field: &str, remarks: &str, width: usize, value: Value) -> Result<(), EditError> {
        let key = field.rsplit('.').next().unwrap_or_default();
        let fill = " ".repeat(width.saturating_sub(key.len()) + 1);
        self.put(field, Decor::new(remarks, fill), value)
    }

    /// Puts a remark behind a value, after the one that is there, unless that ends with it. Within a line nothing can be remarked.
    pub fn remark(&mut self, field: &str, remark: &str) {
        let Some((value, false)) = self.value(field) else {
            return;
        };
        let behind = value.decor().suffix().and_then(|suffix| suffix.as_str());
        let behind = behind.unwrap_or_default().trim_end();
        let remark = match behind.contains('#') {
            true if behind.ends_with(remark) => behind.to_owned(),
            true => format!("{behind}; {remark}"),
            false => format!(" # {remark}"),
        };
        value.decor_mut().set_suffix(remark);
    }

    /// Adds a table, empty, if it is not there.
    ///
    /// # Errors
    /// [`EditError::NoTable`]; then nothing is changed.
    pub fn table(&mut self, name: &str) -> Result<(), EditError> {
        self.made(&steps(name)).map(drop)
    }

    /// Adds a table at the end of a list of tables that have no numbers, as `readings` is, with these values in their order.
    ///
    /// # Errors
    /// [`EditError::NoTable`] where something else stands; then nothing is changed.
    pub fn append(
        &mut self,
        name: &str,
        values: impl IntoIterator<Item = (&'static str, Value)>,
    ) -> Result<(), EditError> {
        let mut table: Table = values
            .into_iter()
            .map(|(key, value)| (Key::new(key), Item::Value(value)))
            .collect();
        let place = self.place(name);
        match self.document.get_mut(name) {
            None => {
                table.set_position(place);
                let list = ArrayOfTables::from_iter([table]);
                self.document.insert(name, Item::ArrayOfTables(list));
            }
            Some(Item::ArrayOfTables(list)) => list.push(table),
            Some(Item::Value(Value::Array(list))) => list.push(table.into_inline_table()),
            Some(_) => return Err(EditError::NoTable(name.to_owned())),
        }
        Ok(())
    }

    /// Takes out a value or a table, with the remark above it. Whether it was there.
    pub fn remove(&mut self, field: &str) -> bool {
        let mut path = steps(field);
        let Some((key, which)) = path.pop() else { return false };
        let Some((table, _)) = self.find(&path) else {
            return false;
        };
        let emptied = match (table.get_mut(key), which) {
            (_, None) => return table.remove(key).is_some(),
            (Some(Item::ArrayOfTables(list)), Some(which)) => {
                let at = which.among(list.iter().map(Some));
                at.map(|at| (list.remove(at), list.is_empty()).1)
            }
            (Some(Item::Value(Value::Array(list))), Some(which)) => {
                let at = which.among(list.iter().map(Value::as_inline_table));
                at.map(|at| (list.remove(at), list.is_empty()).1)
            }
            _ => None,
        };
        if emptied == Some(true) {
            table.remove(key);
        }
        emptied.is_some()
    }

    /// Carries over what differs between two other texts. New keys come with the remarks of `after`; a table that becomes empty goes.
    ///
    /// # Errors
    /// [`EditError::NoTable`].
    pub fn carry(&mut self, before: &Self, after: &Self) -> Result<(), EditError> {
        let [old, new] = [before, after].map(|edit| {
            let mut found = Vec::new();
            values(edit.document.as_table(), "", &mut found);
            found
        });
        for (field, ..) in old.iter().filter(|old| new.iter().all(|new| new.0 != old.0)) {
            // A table of a list goes as a whole.
            let field = field.strip_suffix(".number").unwrap_or(field);
            self.remove(field);
            let (table, _) = field.rsplit_once('.').unwrap_or_default();
            if self.find(&steps(table)).is_some_and(|(table, _)| table.is_empty()) {
                self.remove(table);
            }
        }
        for (field, key, value) in new {
            let same = |old: &(String, &Key, &Value)| old.0 == field && old.2.to_string() == value.to_string();
            if !old.iter().any(same) {
                self.put(&field, key.leaf_decor().clone(), value.clone())?;
            }
        }
        Ok(())
    }

    /// The text as it stands now.
    #[must_use]
    pub fn text(&self) -> String {
        self.text_below("")
    }

    /// The text below `head`, whole lines.
    #[must_use]
    pub fn text_below(&self, head: &str) -> String {
        self.form.put(&format!("{head}{}", self.document))
    }

    /// Whether there is a table of this name.
    pub(crate) fn has_table(&mut self, name: &str) -> bool {
        self.find(&steps(name)).is_some()
    }

    /// Whether a table of this name is there and has nothing but its number.
    pub(crate) fn says_nothing(&mut self, name: &str) -> bool {
        let found = self.find(&steps(name));
        found.is_some_and(|(table, _)| table.iter().all(|(key, _)| key == "number"))
    }

    /// A value, and whether it stands within a line.
    pub(crate) fn value(&mut self, field: &str) -> Option<(&mut Value, bool)> {
        let mut path = steps(field);
        let (key, _) = path.pop()?;
        let (table, inline) = self.find(&path)?;
        Some((table.get_mut(key)?.as_value_mut()?, inline))
    }

    fn put(&mut self, field: &str, decor: Decor, mut value: Value) -> Result<(), EditError> {
        let mut path = steps(field);
        let Some((key, None)) = path.pop() else {
            return Err(EditError::NoTable(field.to_owned()));
        };
        let table = self.made(&path)?;
        if let Some(item) = table.get_mut(key) {
            *value.decor_mut() = item.as_value().map(|old| old.decor().clone()).unwrap_or_default();
            *item = Item::Value(value);
        } else {
            value.decor_mut().clear();
            table
                .entry_format(&Key::new(key).with_leaf_decor(decor))
                .or_insert(Item::Value(value));
        }
        Ok(())
    }

    /// A table, and whether it stands within a line; the empty path is the top of the file.
    fn find(&mut self, path: &[Step]) -> Option<(&mut dyn TableLike, bool)> {
        let mut table: &mut dyn TableLike = self.document.as_table_mut();
        let mut inline = false;
        for &step in path {
            let (next, within) = child(table, step)?;
            (table, inline) = (next, inline || within);
        }
        Some((table, inline))
    }

    /// A table, which is added if it is missing.
    fn made(&mut self, path: &[Step]) -> Result<&mut dyn TableLike, EditError> {
        let mut place = path.first().and_then(|(name, _)| self.place(name));
        let mut table: &mut dyn TableLike = self.document.as_table_mut();
        for (depth, &step) in path.iter().enumerate() {
            if child(table, step).is_none() {
                add(table, step, place, depth + 1 < path.len());
            }
            place = None; // behind the table that it belongs to
            let no_table = || EditError::NoTable(path.iter().map(|(name, _)| *name).collect::<Vec<_>>().join("."));
            (table, _) = child(table, step).ok_or_else(no_table)?;
        }
        Ok(table)
    }

    /// Where a table of this name goes: behind the nearest of those before it that has a header.
    fn place(&self, name: &str) -> Option<isize> {
        let (rank, _) = (1..).zip(TABLES.split(' ')).find(|(_, table)| *table == name)?;
        let before = TABLES.split(' ').take_while(|table| *table != name);
        let last = before.filter_map(|table| last_place(self.document.get(table)?)).last();
        Some(last.unwrap_or(0) / ROOM * ROOM + rank)
    }
}

fn steps(field: &str) -> Vec<Step<'_>> {
    let mut steps: Vec<Step> = Vec::new();
    for part in field.split('.').filter(|part| !part.is_empty()) {
        match (part.parse(), steps.last_mut()) {
            (Ok(number), Some((_, of @ None))) => *of = Some(Which::Number(number)),
            _ => steps.push(placed(part).unwrap_or((part, None))),
        }
    }
    steps
}

/// `name[2]`: the second table of a list.
fn placed(part: &str) -> Option<Step<'_>> {
    let (name, place) = part.strip_suffix(']')?.split_once('[')?;
    let place: usize = place.parse().ok()?;
    Some((name, Some(Which::Place(place.checked_sub(1)?))))
}

fn number_of<T: TableLike + ?Sized>(table: &T) -> Option<i64> {
    table.get("number")?.as_integer()
}

/// A table in a table, and whether it stands within a line.
fn child<'a>(table: &'a mut dyn TableLike, (name, which): Step) -> Option<(&'a mut dyn TableLike, bool)> {
    match (table.get_mut(name)?, which) {
        (Item::Table(table), None) => Some((table, false)),
        (Item::Value(Value::InlineTable(table)), None) => Some((table, true)),
        (Item::ArrayOfTables(list), Some(which)) => {
            let at = which.among(list.iter().map(Some))?;
            Some((list.get_mut(at)?, false))
        }
        (Item::Value(Value::Array(list)), Some(which)) => {
            let at = which.among(list.iter().map(Value::as_inline_table))?;
            Some((list.get_mut(at)?.as_inline_table_mut()?, true))
        }
        _ => None,
    }
}

/// Adds a table, written as the one that it is in. One that only holds another has no header.
fn add(into: &mut dyn TableLike, (name, which): Step, place: Option<isize>, holds: bool) {
    let mut table = Table::new();
    table.set_position(place);
    let Some(which) = which else {
        table.set_dotted(into.is_dotted());
        table.set_implicit(holds);
        if !into.contains_key(name) {
            into.insert(name, Item::Table(table));
        }
        return;
    };
    // A place is that of a table that is there.
    let Which::Number(number) = which else { return };
    table.insert("number", number.into());
    match into.get_mut(name) {
        None => drop(into.insert(name, Item::ArrayOfTables(ArrayOfTables::from_iter([table])))),
        Some(Item::ArrayOfTables(list)) => {
            table.set_position(None); // behind the last
            list.push(table);
        }
        Some(Item::Value(Value::Array(list))) => list.push(table.into_inline_table()),
        Some(_) => {}
    }
}

/// Makes room between the tables.
fn spread(table: &mut Table) {
    table.set_position(table.position().map(|at| at * ROOM));
    for (_, item) in table.iter_mut() {
        match item {
            Item::Table(table) => spread(table),
            Item::ArrayOfTables(list) => list.iter_mut().for_each(spread),
            _ => {}
        }
    }
}

/// Where the last header of a table or a list stands.
fn last_place(item: &Item) -> Option<isize> {
    let of = |table: &Table| {
        let inner = table.iter().filter_map(|(_, item)| last_place(item));
        inner.chain(table.position()).max()
    };
    match item {
        Item::Table(table) => of(table),
        Item::ArrayOfTables(list) => list.iter().filter_map(of).max(),
        _ => None,
    }
}

/// Every value with its name and its key.
fn values<'a>(table: &'a Table, path: &str, found: &mut Vec<(String, &'a Key, &'a Value)>) {
    for (name, item) in table {
        let field = format!("{path}{name}");
        match item {
            Item::Value(value) => found.extend(table.key(name).map(|key| (field, key, value))),
            Item::Table(inner) => values(inner, &format!("{field}."), found),
            Item::ArrayOfTables(list) => {
                for (number, inner) in list.iter().filter_map(|inner| Some((number_of(inner)?, inner))) {
                    values(inner, &format!("{field}.{number}."), found);
                }
            }
            Item::None => {}
        }
    }
}
