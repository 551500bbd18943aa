//! A table of the job file: unknown keys are refused, missing ones named, values read by their rows.

use toml::Spanned;
use toml::de::{DeTable, DeValue};
use units::{LengthUnit, parse_angle, parse_length};

use crate::Severity;
use crate::fields::{Field, Kind, f, fields};
use crate::may::May;
use crate::node::{Got, Node};
use crate::per_string::PerString;
use crate::problem::{ProblemKind as P, Why, nearest, printable};
use crate::said::one_of;
use crate::source::SourceText;

/// A value at each end, bass and treble.
pub(crate) type Ends<'a> = [Got<'a, f64>; 2];

/// A table with its known keys.
#[derive(Clone)]
pub(crate) struct Table<'a> {
    pub(crate) node: Node<'a>,
    table: &'a DeTable<'a>,
    /// Name under which the rows have its keys.
    path: &'static str,
}

/// The keys of a table.
fn keys(path: &str) -> impl Iterator<Item = &'static str> {
    fields()
        .filter(move |row| row.is_written() && row.place().0 == path)
        .map(Field::name)
}

impl<'a> Table<'a> {
    /// The whole file; `path` is empty for a job.
    pub(crate) fn root(
        source: &'a SourceText<'a>,
        root: &'a Spanned<DeTable<'a>>,
        empty: &'a DeValue<'a>,
        path: &'static str,
    ) -> Self {
        let node = Node {
            source,
            row: f!("format"),
            field: String::new(),
            value: empty,
            span: 0..0,
            one: false,
        };
        Self::new(node, root.as_ref(), path)
    }

    fn new(node: Node<'a>, table: &'a DeTable<'a>, path: &'static str) -> Self {
        let this = Self { node, table, path };
        for (key, _) in table {
            let name: &str = key.as_ref();
            if !keys(path).any(|known| known == name) {
                this.unknown(name, key.span().start);
            }
        }
        this
    }

    /// Refuses a key that its table does not have: the nearest one that it has is named, else the table that has this one.
    fn unknown(&self, name: &str, at: usize) {
        let source = self.node.source;
        let near = nearest(name, keys(self.path));
        let elsewhere = || {
            let homes = fields().filter(|row| row.is_written() && row.name() == name && row.kind != Kind::Table);
            homes.map(|row| row.place().0).find(|home| {
                !home.is_empty()
                    && !matches!(
                        *home,
                        "ends" | "paired" | "wing" | "sure_to" | "strung_file" | "saddle" | "doubt" | "assumed"
                    )
            })
        };
        let advice = match (near, elsewhere()) {
            (Some(near), _) => format!("Did you mean `{near}`?"),
            (None, Some("readings")) => "It belongs to [[readings]].".to_owned(),
            (None, Some(home)) => format!("It belongs to [{home}]."),
            (None, None) => format!(
                "It may have {}.",
                keys(self.path)
                    .map(|key| format!("`{key}`"))
                    .collect::<Vec<_>>()
                    .join(", ")
            ),
        };
        let kind = P::Unknown {
            key: printable(name),
            table: self.name(),
            advice,
        };
        source.report(
            Severity::Error,
            Some(source.line(at)),
            self.field(&printable(name)),
            None,
            kind,
        );
    }

    /// Its name for messages.
    fn name(&self) -> String {
        match (self.path, self.node.field.as_str()) {
            ("strung_file", _) => "a file of readings after stringing up".to_owned(),
            (_, "") => "the top of the file".to_owned(),
            ("string", _) => "[[string]]".to_owned(),
            ("also", _) => "[[also]]".to_owned(),
            ("saddle", _) => "[[saddle]]".to_owned(),
            ("readings", _) => "[[readings]]".to_owned(),
            ("ends", _) => "the pair of ends".to_owned(),
            ("paired", _) => "the uncertainty of a reading".to_owned(),
            (_, field) => format!("[{field}]"),
        }
    }

    fn field(&self, key: &str) -> String {
        let dot = if self.node.field.is_empty() { "" } else { "." };
        format!("{}{dot}{key}", self.node.field)
    }

    /// Its keys and values as they stand in the text.
    pub(crate) fn written(&self) -> &'a DeTable<'a> {
        self.table
    }

    /// The value of a row, if it is there.
    pub(crate) fn get(&self, row: &'static Field) -> Option<Node<'a>> {
        let key = row.name();
        self.table.get(key).map(|value| Node {
            source: self.node.source,
            row,
            field: self.field(key),
            value: value.as_ref(),
            span: value.span(),
            one: false,
        })
    }

    /// The value of a row that must be there.
    pub(crate) fn need(&self, row: &'static Field) -> Option<Node<'a>> {
        let found = self.get(row);
        if found.is_none() {
            self.lacks(row, Why::Needed {});
        }
        found
    }

    /// Reports that a row is missing, and why it is needed.
    pub(crate) fn lacks(&self, row: &'static Field, why: Why) {
        let source = self.node.source;
        let line = (!self.node.field.is_empty()).then(|| source.line(self.node.span.start));
        let kind = P::Missing {
            key: row.name(),
            table: self.name(),
            why,
            field: row,
        };
        source.report(Severity::Error, line, self.field(row.name()), None, kind);
    }

    /// The value of a row as `read` reads it; a missing one is reported where the row is needed.
    pub(crate) fn may<T>(&self, row: &'static Field, read: impl FnOnce(&Node<'a>) -> Option<T>) -> May<T> {
        let node = if row.needed { self.need(row) } else { self.get(row) };
        match node {
            None if row.needed => May::Unread,
            node => May::read(node, read),
        }
    }

    /// The figure of a row with its place.
    pub(crate) fn figure(&self, row: &'static Field) -> May<Got<'a, f64>> {
        self.may(row, |n| Some(n.got(n.figure()?)))
    }

    /// The figure of a row, or its default.
    pub(crate) fn value(&self, row: &'static Field) -> Option<f64> {
        self.may(row, Node::figure).or_else(|| default(row))
    }

    /// The value of a row at both ends.
    pub(crate) fn ends(&self, row: &'static Field) -> May<Ends<'a>> {
        self.may(row, Node::ends)
    }

    /// The same without their places.
    pub(crate) fn plain_ends(&self, row: &'static Field) -> May<[f64; 2]> {
        self.may(row, |n| n.ends().map(|ends| ends.map(|end| end.value)))
    }

    /// The value of a row for each string.
    pub(crate) fn strings(&self, row: &'static Field) -> May<PerString<'a>> {
        self.may(row, PerString::read)
    }

    /// The word of a row, or its default; the row's words stand for `values` in their order.
    pub(crate) fn choice<T: Copy, const N: usize>(&self, row: &'static Field, values: [T; N]) -> May<T> {
        let usual = || match row.kind {
            Kind::Choice(words) => {
                let at = words.iter().position(|(word, _)| *word == row.default);
                at.and_then(|at| values.get(at)).copied()
            }
            _ => None,
        };
        match self.may(row, |n| n.choice(values)) {
            May::Absent => usual().map_or(May::Absent, May::Read),
            found => found,
        }
    }

    /// Yes or no; no where nothing is said.
    pub(crate) fn yes(&self, row: &'static Field) -> Option<bool> {
        self.may(row, Node::boolean).or(false)
    }
}

/// The default of a row, as it would be read.
pub(crate) fn default(row: &Field) -> Option<f64> {
    match row.kind {
        Kind::Length => parse_length(row.default, LengthUnit::Millimetre).ok(),
        Kind::Angle => parse_angle(row.default, LengthUnit::Millimetre).ok(),
        _ => row.default.parse().ok(),
    }
}

impl<'a> Node<'a> {
    /// A table with the keys of its row; unknown ones are reported.
    pub(crate) fn table(&self) -> Option<Table<'a>> {
        self.table_of(self.row.key_of_table())
    }

    /// A table with the keys of another row's.
    pub(crate) fn table_of(&self, path: &'static str) -> Option<Table<'a>> {
        let Some(table) = self.value.as_table() else {
            let names: Vec<String> = keys(path).map(|name| format!("`{name}`")).collect();
            return self.refused(P::NoTable {
                keys: one_of(&names).replace(" or ", " and "),
            });
        };
        Some(Table::new(self.clone(), table, path))
    }

    /// A table that another reader reports on: unknown keys and other values are passed over.
    pub(crate) fn quiet_table(&self) -> Option<Table<'a>> {
        Some(Table {
            node: self.clone(),
            table: self.value.as_table()?,
            path: self.row.key_of_table(),
        })
    }

    /// One value for both ends, or `{ bass, treble }`.
    pub(crate) fn ends(&self) -> Option<Ends<'a>> {
        if self.is_table() {
            return self.pair();
        }
        let both = self.got(self.figure()?);
        Some([both.clone(), both])
    }

    /// `{ bass, treble }`; where there is one string both must be the same.
    pub(crate) fn pair(&self) -> Option<Ends<'a>> {
        let table = self.table_of("ends")?;
        let [bass, treble] = [f!("ends.bass"), f!("ends.treble")].map(|row| {
            let node = Node {
                row: self.row,
                one: true,
                ..table.need(row)?
            };
            Some(node.got(node.figure()?))
        });
        let (bass, treble) = (bass?, treble?);
        if self.source.strings.get() == Some(1) && bass.value != treble.value {
            return treble.at.refused(P::EndsOfOneString {});
        }
        Some([bass, treble])
    }
}
