//! Values per string: one for all, one for each outer string, or a list.

use crate::node::{Got, Node};
use crate::schema::ENDS;

/// A value for every string, as written.
#[derive(Clone)]
pub(crate) enum PerString<'a> {
    /// One for all.
    All(Got<'a, f64>),
    /// For the outer strings, bass and treble; inner ones by their place.
    Outer([Got<'a, f64>; 2]),
    /// For each, bass to treble.
    Each(Vec<Got<'a, f64>>),
}

impl<'a> PerString<'a> {
    /// Reads it; `count` is the number of strings, if known.
    pub(crate) fn read(node: &Node<'a>, count: Option<usize>, read: impl Fn(&Node<'a>) -> Option<f64>) -> Option<Self> {
        if let Some(parts) = node.list() {
            if !fits(node, parts.len(), count) {
                return None;
            }
            let each: Vec<_> = parts.iter().map(|part| Some(part.got(read(part)?))).collect();
            return each.into_iter().collect::<Option<_>>().map(Self::Each);
        }
        if node.is_table() {
            let table = node.table(&ENDS)?;
            let [bass, treble] = ["bass", "treble"].map(|key| {
                let end = table.need(key)?;
                Some(end.got(read(&end)?))
            });
            return Some(Self::Outer([bass?, treble?]));
        }
        read(node).map(|value| Self::All(node.got(value)))
    }

    /// The value of every string. `shares` are the strings' places at fret 12: 0 at the bass-most, 1 at the treble-most.
    pub(crate) fn resolve(&self, shares: &[f64]) -> Vec<f64> {
        match self {
            Self::All(one) => vec![one.value; shares.len()],
            Self::Outer([bass, treble]) => {
                // Exact at both ends.
                let between = |share: &f64| (1.0 - share) * bass.value + share * treble.value;
                shares.iter().map(between).collect()
            }
            Self::Each(each) => each.iter().map(|got| got.value).collect(),
        }
    }

    /// Every value as written, with its place.
    pub(crate) fn written(&self) -> &[Got<'a, f64>] {
        match self {
            Self::All(one) => std::slice::from_ref(one),
            Self::Outer(ends) => ends,
            Self::Each(each) => each,
        }
    }
}

/// Whether a list is as long as there are strings; reports if not.
pub(crate) fn fits(node: &Node, len: usize, count: Option<usize>) -> bool {
    match count {
        Some(count) if count != len => {
            node.refuse(format!(
                "The list has {len} {}, but there are {count} strings. Give one for each, from bass to treble.",
                if len == 1 { "value" } else { "values" }
            ));
            false
        }
        _ => true,
    }
}
