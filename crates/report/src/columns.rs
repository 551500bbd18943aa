//! Columns that several tables share.

use crate::grid::Group;
use units::BenchUnit;

/// What stands in a cell without a value.
pub(crate) const NONE: &str = "-";

/// The column that names the strings.
pub(crate) fn names<'a>(strings: impl Iterator<Item = (u32, &'a str)>) -> Group {
    let strings: Vec<(u32, &str)> = strings.collect();
    let longest = strings.iter().map(|s| s.1.chars().count()).max().unwrap_or(0);
    Group::new(&[]).column(
        "string",
        strings
            .into_iter()
            .map(move |(number, note)| format!("{number} {note:<longest$}")),
    )
}

/// Lengths in mm under one head, in `bench` alone.
pub(crate) fn in_bench(bench: BenchUnit, head: &[&str], values: impl Iterator<Item = Option<f64>>) -> Group {
    add(Group::new(head), bench, values)
}

/// One more column of lengths in mm.
pub(crate) fn add(group: Group, unit: BenchUnit, values: impl Iterator<Item = Option<f64>>) -> Group {
    group.column(
        unit.name(),
        values.map(|v| v.map_or_else(|| NONE.to_owned(), |mm| unit.number(mm))),
    )
}

/// Lengths in mm under one head, in `bench` and the unit beside it.
pub(crate) fn in_both(bench: BenchUnit, head: &[&str], values: impl Iterator<Item = Option<f64>> + Clone) -> Group {
    add(add(Group::new(head), bench, values.clone()), bench.other(), values)
}

/// Words, aligned left.
pub(crate) fn words(head: &str, cells: impl Iterator<Item = String>) -> Group {
    let cells: Vec<String> = cells.collect();
    let wide = cells
        .iter()
        .map(|c| c.chars().count())
        .max()
        .unwrap_or(0)
        .max(head.chars().count());
    Group::new(&[&format!("{head:<wide$}")]).column("", cells.into_iter().map(move |c| format!("{c:<wide$}")))
}
