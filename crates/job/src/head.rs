//! The top of a job file: format, title, units, sides, paper.

use units::{BenchUnit, LengthUnit};

use crate::node::Node;
use crate::table::Table;
use crate::{Paper, limits};

/// The version of the job file that this program reads.
pub const FORMAT: u32 = 1;

/// Most characters of a title.
pub(crate) const MOST_TITLE: usize = 200;

/// Title, units and sides, at the top of the file.
pub(crate) struct Head<'a> {
    pub(crate) unit: Option<LengthUnit>,
    pub(crate) bench: Option<BenchUnit>,
    pub(crate) title: Option<&'a str>,
    pub(crate) notes: Option<&'a str>,
    pub(crate) left_handed: Option<bool>,
    pub(crate) paper: Option<Paper>,
}

/// Reads the top of the file; units hold from here on.
pub(crate) fn head<'a>(top: &Table<'a>) -> Head<'a> {
    let source = top.node.source;
    let unit = length_unit(top);
    let inches = matches!(unit, Some(LengthUnit::Inch | LengthUnit::Thou));
    let by_unit = if inches { BenchUnit::Thou } else { BenchUnit::Millimetre };
    let bench = top.get("bench").map_or(Some(by_unit), |n| {
        n.choice(&BenchUnit::ALL.map(|unit| (unit.name(), unit)))
    });
    source.bench.set(bench.unwrap_or(by_unit));
    format(top);
    let title = top.need("title").and_then(|n| title(&n));
    let notes = top.get("notes").map_or(Some(""), |n| n.prose(true));
    let left_handed = top.get("left_handed").map_or(Some(false), |n| n.boolean());
    let papers = [("A4", Paper::A4), ("Letter", Paper::Letter)];
    let paper = top.get("paper").map_or(Some(Paper::A4), |n| n.choice(&papers));
    Head {
        unit,
        bench,
        title,
        notes,
        left_handed,
        paper,
    }
}

/// Unit of bare numbers, from here on.
pub(crate) fn length_unit(top: &Table) -> Option<LengthUnit> {
    let unit = top
        .get("unit")
        .and_then(|n| n.choice(&LengthUnit::ALL.map(|unit| (unit.name(), unit))));
    top.node.source.unit.set(unit);
    unit
}

fn title<'a>(node: &Node<'a>) -> Option<&'a str> {
    let title = node.prose(false)?;
    if title.trim().is_empty() {
        node.refuse("The title is empty. Write what the job is, such as \"Parlour guitar: new saddle\".");
        return None;
    }
    let long = title.chars().count();
    if long > MOST_TITLE {
        node.refuse(format!(
            "The title is {long} characters long; {MOST_TITLE} is the most. Shorten it, and write the rest as notes."
        ));
        return None;
    }
    Some(title)
}

pub(crate) fn format(top: &Table) {
    let Some(node) = top.need("format") else { return };
    let limit = limits::Limit {
        least: 0.0,
        most: f64::from(u32::MAX),
        usual: (0.0, f64::from(u32::MAX)),
        hint: "Write format = 1.",
    };
    if node.whole(&limit).is_some_and(|format| format != FORMAT) {
        node.refuse(format!(
            "This program reads format {FORMAT}. Write format = {FORMAT}, or use the program that the file was made for."
        ));
    }
}
