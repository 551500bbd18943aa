//! `[strung]`: readings after stringing up.

use instrument::StrungString;

use crate::limits;
use crate::node::Node;
use crate::per_string::gaps;
use crate::schema::{CENTS_AT, STRUNG};

/// Readings of every string, bass to treble.
pub(crate) fn strung(node: &Node, count: Option<usize>) -> Option<Vec<StrungString>> {
    let table = node.table(&STRUNG)?;
    let read = |key: &str, value: &dyn Fn(&Node) -> Option<f64>| match table.get(key) {
        None => Some(Vec::new()),
        Some(n) => some_strings(&n, count, value),
    };
    if table.get("action_12").is_none() {
        table.lacks("action_12", "The fit needs it for the outer strings at least.");
    }
    let action = read("action_12", &|n: &Node| n.length(&limits::ACTION_12));
    if let (Some(n), Some(action)) = (table.get("action_12"), &action)
        && action.iter().all(Option::is_none)
    {
        n.refuse("No action was read. Read it over fret 12 for the outer strings at least.");
    }
    let clearance = read("first_fret_clearance", &|n: &Node| {
        n.length(&limits::FIRST_FRET_CLEARANCE)
    });
    let cents_12 = read("cents_12", &|n: &Node| n.cents(&limits::CENTS_12));
    let others = table
        .get("cents_at")
        .map_or(Some(Vec::new()), |n| other_frets(&n, count));
    let (action, clearance, cents_12, others) = (action?, clearance?, cents_12?, others?);
    let at = |values: &[Option<f64>], i: usize| values.get(i).copied().flatten();
    let each = (0..count?).map(|i| StrungString {
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
fn some_strings(node: &Node, count: Option<usize>, read: &dyn Fn(&Node) -> Option<f64>) -> Option<Vec<Option<f64>>> {
    if node.list().is_some() {
        let read = gaps(node, count, read)?;
        return Some(read.into_iter().map(|got| got.map(|got| got.value)).collect());
    }
    if node.is_table() {
        let [bass, treble] = node.pair(read)?.map(|got| got.value);
        let mut each = vec![None; count?];
        if let Some(first) = each.first_mut() {
            *first = Some(bass);
        }
        if let Some(last) = each.last_mut() {
            *last = Some(treble);
        }
        return Some(each);
    }
    let one = read(node)?;
    if count == Some(1) {
        return Some(vec![Some(one)]);
    }
    node.refuse(
        "One value does not say which strings were read. Give { bass = .., treble = .. } for the outer strings, or a list \
         from bass to treble with \"-\" where none was read.",
    );
    None
}

fn other_frets(node: &Node, count: Option<usize>) -> Option<Vec<(u32, Vec<Option<f64>>)>> {
    let Some(parts) = node.list() else {
        node.refuse("Expected a list such as [{ fret = 5, cents = [1, 1, 0, \"-\", 2, 1] }].");
        return None;
    };
    let mut seen = Vec::new();
    let each: Vec<_> = parts
        .iter()
        .map(|part| {
            let table = part.table(&CENTS_AT)?;
            let cents = table.need("cents");
            let cents = cents.and_then(|n| some_strings(&n, count, &|n: &Node| n.cents(&limits::CENTS_12)));
            let fret_node = table.need("fret")?;
            let fret = fret_node.whole(&limits::CENTS_FRET)?;
            if seen.contains(&fret) {
                fret_node.refuse(format!("Fret {fret} is given twice. Keep one list for each fret."));
                return None;
            }
            seen.push(fret);
            Some((fret, cents?))
        })
        .collect();
    each.into_iter().collect()
}
