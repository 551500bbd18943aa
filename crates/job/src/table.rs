//! A table of the job file with its known keys: unknown ones are refused, missing ones named.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::node::{Got, Node, SourceText};
use crate::problem::{nearest, printable};
use crate::schema::{ENDS, Keys};
use crate::{Problem, Severity};

/// A table with its known keys.
#[derive(Clone)]
pub(crate) struct Table<'a> {
    pub(crate) node: Node<'a>,
    table: &'a DeTable<'a>,
    keys: &'static Keys,
}

impl<'a> Table<'a> {
    /// The whole file.
    pub(crate) fn root(
        source: &'a SourceText<'a>,
        root: &'a Spanned<DeTable<'a>>,
        empty: &'a DeValue<'a>,
        keys: &'static Keys,
    ) -> Self {
        let node = Node {
            source,
            field: String::new(),
            value: empty,
            span: 0..0,
        };
        Self::new(node, root.as_ref(), keys)
    }

    /// Without a look at its keys.
    pub(crate) fn quiet(node: Node<'a>, table: &'a DeTable<'a>, keys: &'static Keys) -> Self {
        Self { node, table, keys }
    }

    pub(crate) fn new(node: Node<'a>, table: &'a DeTable<'a>, keys: &'static Keys) -> Self {
        let this = Self { node, table, keys };
        for (key, value) in table {
            let name: &str = key.as_ref();
            if keys.keys.iter().any(|(known, _)| *known == name) {
                continue;
            }
            let unknown = Node {
                field: this.path(&printable(name)),
                span: key.span(),
                value: value.as_ref(),
                ..this.node.clone()
            };
            let advice = match nearest(name, keys.keys.iter().map(|(known, _)| *known)) {
                Some(near) => format!("Did you mean `{near}`?"),
                None => {
                    let known: Vec<_> = keys.keys.iter().map(|(known, _)| format!("`{known}`")).collect();
                    format!("It may have {}.", known.join(", "))
                }
            };
            this.node.source.report(Problem {
                severity: Severity::Error,
                line: Some(this.node.source.line(unknown.span.start)),
                field: unknown.field,
                read: None,
                what: format!("`{}` is not known in {}. {advice}", printable(name), keys.table),
            });
        }
        this
    }

    fn path(&self, key: &str) -> String {
        if self.node.field.is_empty() {
            key.to_owned()
        } else {
            format!("{}.{key}", self.node.field)
        }
    }

    /// The value of a key, if it is there.
    pub(crate) fn get(&self, key: &str) -> Option<Node<'a>> {
        debug_assert!(
            self.keys.keys.iter().any(|(known, _)| *known == key),
            "{key} is in the schema"
        );
        self.table.get(key).map(|value| Node {
            source: self.node.source,
            field: self.path(key),
            value: value.as_ref(),
            span: value.span(),
        })
    }

    /// The value of a key that must be there.
    pub(crate) fn need(&self, key: &str) -> Option<Node<'a>> {
        let found = self.get(key);
        if found.is_none() {
            self.lacks(key, "");
        }
        found
    }

    /// Reports that a key is missing, and why it is needed.
    pub(crate) fn lacks(&self, key: &str, why: &str) {
        let expects = self
            .keys
            .keys
            .iter()
            .find(|(known, _)| *known == key)
            .map_or("a value", |(_, e)| *e);
        let why = if why.is_empty() {
            String::new()
        } else {
            format!(" {why}")
        };
        let source = self.node.source;
        source.report(Problem {
            severity: Severity::Error,
            line: (!self.node.field.is_empty()).then(|| source.line(self.node.span.start)),
            field: self.path(key),
            read: None,
            what: format!("`{key}` is missing from {}.{why} Expected {expects}.", self.keys.table),
        });
    }
}

impl<'a> Node<'a> {
    /// A table whose keys are all known; unknown ones are reported.
    pub(crate) fn table(&self, keys: &'static Keys) -> Option<Table<'a>> {
        let Some(table) = self.value.as_table() else {
            self.refuse(format!("Expected {}.", table_of(keys)));
            return None;
        };
        Some(Table::new(self.clone(), table, keys))
    }

    /// A table that another reader reports on: unknown keys and other values are passed over.
    pub(crate) fn known_table(&self, keys: &'static Keys) -> Option<Table<'a>> {
        Some(Table::quiet(self.clone(), self.value.as_table()?, keys))
    }

    /// One value for both ends, or `{ bass, treble }`.
    pub(crate) fn ends(&self, read: impl Fn(&Self) -> Option<f64>) -> Option<[Got<'a, f64>; 2]> {
        if !self.is_table() {
            let both = self.got(read(self)?);
            return Some([both.clone(), both]);
        }
        self.pair(read)
    }

    /// `{ bass, treble }`; where there is one string both must be the same.
    pub(crate) fn pair(&self, read: impl Fn(&Self) -> Option<f64>) -> Option<[Got<'a, f64>; 2]> {
        let table = self.table(&ENDS)?;
        let [bass, treble] = ["bass", "treble"].map(|key| {
            let node = table.need(key)?;
            Some(node.got(read(&node)?))
        });
        let (bass, treble) = (bass?, treble?);
        if self.source.strings.get() == Some(1) && bass.value != treble.value {
            treble.at.refuse(
                "One string has one place, so bass and treble cannot differ. Give one value, without bass and treble.",
            );
            return None;
        }
        Some([bass, treble])
    }
}

fn table_of(keys: &Keys) -> String {
    let names: Vec<_> = keys.keys.iter().map(|(name, _)| format!("`{name}`")).collect();
    format!("a table with {}", names.join(", "))
}
