//! The file of the shop's own profiles under change; and what is built in, to begin from.

use toml::{Table, Value};
use toml_edit::{ArrayOfTables, DocumentMut, Item, Table as Entry};

use crate::EditError;
use crate::problem::printable;
use crate::profiles::BUILT_IN;

use crate::form::FormTyped;
use crate::profiles::kind::ShopKind;

/// What a new file begins with.
const HEAD: &str = "# What this shop has of its own: machines, cutters, tools of the bench, string sets, materials of\n# strings and of blanks. The page writes it; it may be changed by hand as well, as any file of profiles.\n\n";

/// The file of the shop's own profiles under change: what is not meant stays as it was written.
#[derive(Debug, Clone)]
pub struct ShopFile {
    document: DocumentMut,
    is_new: bool,
}

impl ShopFile {
    /// Begins with a text; the empty one begins a new file.
    ///
    /// # Errors
    /// [`EditError::Syntax`]; [`EditError::NoTable`] where something else stands in the place of a kind's tables.
    pub fn of(text: &str) -> Result<Self, EditError> {
        let plain = text.trim_start_matches('\u{feff}');
        let mut document: DocumentMut = plain
            .parse()
            .map_err(|error: toml_edit::TomlError| EditError::Syntax(printable(error.message())))?;
        for kind in ShopKind::ALL {
            let Some(item) = document.get_mut(kind.key()) else {
                continue;
            };
            if !item.is_array_of_tables() {
                let tables = std::mem::take(item).into_array_of_tables();
                *item = Item::ArrayOfTables(tables.map_err(|_| EditError::NoTable(kind.key().to_owned()))?);
            }
        }
        Ok(Self {
            document,
            is_new: text.trim().is_empty(),
        })
    }

    /// The names of its things of a kind, in order.
    #[must_use]
    pub fn names(&self, kind: ShopKind) -> Vec<String> {
        let all = self.document.get(kind.key()).and_then(Item::as_array_of_tables);
        let names = all.into_iter().flatten();
        names.filter_map(|entry| Some(name(entry)?.to_owned())).collect()
    }

    /// What one of its things says, as it would be typed.
    #[must_use]
    pub fn typed(&self, kind: ShopKind, name: &str) -> Option<FormTyped> {
        typed(&self.document.to_string(), kind, name)
    }

    /// Puts an entry in the place of that of this name, or at the end.
    pub fn put(&mut self, kind: ShopKind, was: Option<&str>, entry: Entry) {
        let item = self
            .document
            .entry(kind.key())
            .or_insert_with(|| Item::ArrayOfTables(ArrayOfTables::new()));
        let Some(all) = item.as_array_of_tables_mut() else {
            return;
        };
        let at = was.and_then(|was| all.iter().position(|entry| name(entry) == Some(was)));
        match at.and_then(|at| all.get_mut(at)) {
            Some(old) => {
                let (decor, place) = (old.decor().clone(), old.position());
                *old = entry;
                *old.decor_mut() = decor;
                old.set_position(place);
            }
            None => all.push(entry),
        }
    }

    /// The file with all that another has, behind what stands in it.
    ///
    /// # Errors
    /// As [`ShopFile::of`].
    pub fn joined(&self, other: &str) -> Result<Self, EditError> {
        // As text: where a table stands in the one file says nothing of the other.
        Self::of(&format!("{}\n\n{other}", self.text().trim_end()))
    }

    /// Takes the thing of this name out: a file of it alone, to put it back with.
    pub fn take(&mut self, kind: ShopKind, of: &str) -> Option<String> {
        let all = self.document.get_mut(kind.key())?.as_array_of_tables_mut()?;
        let at = all.iter().position(|entry| name(entry) == Some(of))?;
        let mut alone = ArrayOfTables::new();
        alone.push(all.get(at)?.clone());
        all.remove(at);
        if all.is_empty() {
            self.document.remove(kind.key());
        }
        let mut document = DocumentMut::new();
        document.insert(kind.key(), Item::ArrayOfTables(alone));
        Some(document.to_string())
    }

    /// The text.
    #[must_use]
    pub fn text(&self) -> String {
        let text = self.document.to_string();
        if self.is_new {
            format!("{HEAD}{}", text.trim_start())
        } else {
            text
        }
    }
}

fn name(entry: &Entry) -> Option<&str> {
    entry.get("name")?.as_str()
}

fn typed(text: &str, kind: ShopKind, name: &str) -> Option<FormTyped> {
    let table: Table = text.parse().ok()?;
    let mut all = table.get(kind.key())?.as_array()?.iter().filter_map(Value::as_table);
    let found = all.find(|entry| entry.get("name").and_then(Value::as_str) == Some(name))?;
    Some(FormTyped::of(found))
}

/// What a built-in thing says, as it would be typed.
#[must_use]
pub fn shop_entry(kind: ShopKind, name: &str) -> Option<FormTyped> {
    BUILT_IN.iter().find_map(|(_, text)| typed(text, kind, name))
}

/// The names of the built-in things of a kind, in the order of their files.
#[must_use]
pub fn shop_names(kind: ShopKind) -> Vec<String> {
    let of = |text: &str| ShopFile::of(text).map(|file| file.names(kind)).unwrap_or_default();
    BUILT_IN.iter().flat_map(|(_, text)| of(text)).collect()
}
