//! `[strung]`: readings after stringing up.

use instrument::StrungString;

use crate::fields::{Field, f};
use crate::node::Node;
use crate::problem::{ProblemKind as P, Why};
use crate::some_strings::{SomeStrings, at_frets, some_strings};

const FRET_AND_CENTS: [&Field; 2] = [f!("strung.cents_at:fret"), f!("strung.cents_at:cents")];

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
    let others = table
        .may(f!("strung.cents_at"), |n| at_frets(n, FRET_AND_CENTS))
        .or(Vec::new());
    let (action, clearance, cents_12, others) = (action?, clearance?, cents_12?, others?);
    let at = |values: &SomeStrings, i: usize| Some(values.get(i)?.as_ref()?.value);
    let each = (0..node.source.strings.get()?).map(|i| StrungString {
        action_12: at(&action, i),
        clearance: at(&clearance, i),
        cents_12: at(&cents_12, i),
        others: others
            .iter()
            .filter_map(|(fret, cents)| Some((fret.value, at(cents, i)?)))
            .collect(),
    });
    Some(each.collect())
}
