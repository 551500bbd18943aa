//! `[strung]`: readings after stringing up.

use instrument::StrungString;

use crate::fields::{Field, f};
use crate::node::Node;
use crate::per_string::gaps;
use crate::problem::{ProblemKind as P, Why};

/// Readings of every string, bass to treble.
pub(crate) fn strung(node: &Node) -> Option<Vec<StrungString>> {
    let table = node.table()?;
    let read = |row: &'static Field| table.may(row, some_strings).or(Vec::new());
    let row = f!("strung.action_12");
    if table.get(row).is_none() {
        table.lacks(row, Why::OuterStrings {});
    }
    let action = read(row);
    if let (Some(n), Some(action)) = (table.get(row), &action)
        && action.iter().all(Option::is_none)
    {
        n.refuse(P::NoActionRead {});
    }
    let clearance = read(f!("strung.first_fret_clearance"));
    let cents_12 = read(f!("strung.cents_12"));
    let others = table.may(f!("strung.cents_at"), other_frets).or(Vec::new());
    let (action, clearance, cents_12, others) = (action?, clearance?, cents_12?, others?);
    let at = |values: &[Option<f64>], i: usize| values.get(i).copied().flatten();
    let each = (0..node.source.strings.get()?).map(|i| StrungString {
        action_12: at(&action, i),
        clearance: at(&clearance, i),
        cents_12: at(&cents_12, i),
        others: others
            .iter()
            .filter_map(|(fret, cents)| Some((*fret, at(cents, i)?)))
            .collect(),
    });
    Some(each.collect())
}

/// `{ bass, treble }` are the outer strings and no others; a list has `"-"` where none was read.
fn some_strings(node: &Node) -> Option<Vec<Option<f64>>> {
    let count = node.source.strings.get();
    if node.list().is_some() {
        let read = gaps(node)?;
        return Some(read.into_iter().map(|got| got.map(|got| got.value)).collect());
    }
    if node.is_table() {
        let [bass, treble] = node.pair()?.map(|got| got.value);
        let mut each = vec![None; count?];
        if let Some(first) = each.first_mut() {
            *first = Some(bass);
        }
        if let Some(last) = each.last_mut() {
            *last = Some(treble);
        }
        return Some(each);
    }
    let one = node.figure()?;
    if count == Some(1) {
        return Some(vec![Some(one)]);
    }
    node.refused(P::WhichStrings {})
}

fn other_frets(node: &Node) -> Option<Vec<(u32, Vec<Option<f64>>)>> {
    let Some(parts) = node.list() else {
        return node.unexpected();
    };
    let mut seen = Vec::new();
    let each: Vec<_> = parts
        .iter()
        .map(|part| {
            let table = part.table()?;
            let cents = table.may(f!("strung.cents_at:cents"), some_strings).given();
            let fret_node = table.need(f!("strung.cents_at:fret"))?;
            let fret = fret_node.whole()?;
            if seen.contains(&fret) {
                return fret_node.refused(P::FretTwice { fret });
            }
            seen.push(fret);
            Some((fret, cents?))
        })
        .collect();
    each.into_iter().collect()
}
