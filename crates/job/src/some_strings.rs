//! Readings of some of the strings: the outer ones, or a list with gaps; and lists of them by fret.

use crate::fields::Field;
use crate::node::{Got, Node};
use crate::per_string::gaps;
use crate::problem::ProblemKind as P;

/// A reading of each string, bass to treble, where there is one.
pub(crate) type SomeStrings<'a> = Vec<Option<Got<'a, f64>>>;

/// `{ bass, treble }` are the outer strings and no others; a list has `"-"` where none was read.
pub(crate) fn some_strings<'a>(node: &Node<'a>) -> Option<SomeStrings<'a>> {
    let count = node.source.strings.get();
    if node.list().is_some() {
        return gaps(node);
    }
    if node.is_table() {
        let [bass, treble] = node.pair()?;
        let mut each = vec![None; count?];
        if let Some(first) = each.first_mut() {
            *first = Some(bass);
        }
        if let Some(last) = each.last_mut() {
            *last = Some(treble);
        }
        return Some(each);
    }
    let one = node.got(node.figure()?);
    if count == Some(1) {
        return Some(vec![Some(one)]);
    }
    node.refused(P::WhichStrings {})
}

/// A list of tables, each with a fret, by the row `fret`, and the readings of some strings there, by the row `readings`.
pub(crate) fn at_frets<'a>(
    node: &Node<'a>,
    [fret_row, readings_row]: [&'static Field; 2],
) -> Option<Vec<(Got<'a, u32>, SomeStrings<'a>)>> {
    let Some(parts) = node.list() else {
        return node.unexpected();
    };
    let mut seen = Vec::new();
    let each: Vec<_> = parts
        .iter()
        .map(|part| {
            let table = part.table()?;
            let readings = table.may(readings_row, some_strings).given();
            let fret_node = table.need(fret_row)?;
            let fret = fret_node.whole()?;
            if seen.contains(&fret) {
                return fret_node.refused(P::FretTwice { fret });
            }
            seen.push(fret);
            Some((fret_node.got(fret), readings?))
        })
        .collect();
    // All of them are looked at before any is given up.
    each.into_iter().collect()
}
