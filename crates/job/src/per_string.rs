//! Values per string: one for all, one for each outer string, or a list.

use crate::node::{Got, Node};
use crate::problem::{ProblemKind, Values};

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
    pub(crate) fn read(node: &Node<'a>) -> Option<Self> {
        if let Some(parts) = node.list() {
            if !fits(node, parts.len()) {
                return None;
            }
            let each: Vec<_> = parts.iter().map(|part| Some(part.got(part.figure()?))).collect();
            return each.into_iter().collect::<Option<_>>().map(Self::Each);
        }
        if node.is_table() {
            return node.pair().map(Self::Outer);
        }
        node.figure().map(|value| Self::All(node.got(value)))
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

    /// Whether each string has a value of its own.
    pub(crate) fn is_each(&self) -> bool {
        matches!(self, Self::Each(_))
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

/// A value for every string, or for some.
pub(crate) enum Sparse<'a> {
    /// For every string.
    Every(PerString<'a>),
    /// A list, bass to treble, in which `"-"` stands where there is none.
    Listed(Vec<Option<Got<'a, f64>>>),
}

impl<'a> Sparse<'a> {
    pub(crate) fn read(node: &Node<'a>) -> Option<Self> {
        if node.list().is_some() {
            return gaps(node).map(Self::Listed);
        }
        PerString::read(node).map(Self::Every)
    }

    /// The value of every string, as [`PerString::resolve`].
    pub(crate) fn resolve(&self, shares: &[f64]) -> Vec<Option<f64>> {
        match self {
            Self::Every(every) => every.resolve(shares).into_iter().map(Some).collect(),
            Self::Listed(each) => each.iter().map(|got| got.as_ref().map(|got| got.value)).collect(),
        }
    }

    /// Every value as written, with its place.
    pub(crate) fn written(&self) -> Vec<&Got<'a, f64>> {
        match self {
            Self::Every(every) => every.written().iter().collect(),
            Self::Listed(each) => each.iter().flatten().collect(),
        }
    }
}

/// A list, bass to treble, in which `"-"` stands where there is no value.
pub(crate) fn gaps<'a>(node: &Node<'a>) -> Option<Vec<Option<Got<'a, f64>>>> {
    let parts = node.list()?;
    // All of them are looked at before any is given up.
    let each: Vec<_> = parts
        .iter()
        .map(|part| match part.as_text() {
            Some("-") => Some(None),
            _ => part.figure().map(|value| Some(part.got(value))),
        })
        .collect();
    if !fits(node, parts.len()) {
        return None;
    }
    each.into_iter().collect()
}

/// Whether a list is as long as there are strings; reports if not.
pub(crate) fn fits(node: &Node, values: usize) -> bool {
    match node.source.strings.get() {
        Some(strings) if strings != values => {
            node.refuse(ProblemKind::Count {
                values: Values(values),
                strings,
            });
            false
        }
        _ => true,
    }
}
