//! The top of a job file: format, title, units, sides, paper.

use units::{BenchUnit, Decimal, LengthUnit};

use crate::Paper;
use crate::fields::f;
use crate::node::Node;
use crate::problem::ProblemKind as P;
use crate::table::Table;

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
    let by_unit = if inches { BenchUnit::THOU } else { BenchUnit::METRIC };
    let units = [BenchUnit::THOU, BenchUnit::IMPERIAL, BenchUnit::METRIC];
    let bench = top.choice(f!("bench"), units).or(by_unit);
    source.bench.set(bench.unwrap_or(by_unit));
    format(top);
    Head {
        unit,
        bench,
        title: top.may(f!("title"), title).given(),
        notes: top.may(f!("notes"), |n| n.prose(true)).or(""),
        left_handed: top.yes(f!("left_handed")),
        paper: top.choice(f!("paper"), [Paper::A4, Paper::Letter]).given(),
    }
}

/// Unit of bare numbers and mark of decimals, from here on.
pub(crate) fn length_unit(top: &Table) -> Option<LengthUnit> {
    let unit = top
        .choice(f!("unit"), [LengthUnit::Millimetre, LengthUnit::Inch, LengthUnit::Thou])
        .given();
    top.node.source.unit.set(unit);
    let decimal = top.choice(f!("decimal"), Decimal::ALL).given();
    top.node.source.decimal.set(decimal.unwrap_or_default());
    unit
}

fn title<'a>(node: &Node<'a>) -> Option<&'a str> {
    let title = node.prose(false)?;
    if title.trim().is_empty() {
        return node.refused(P::NoTitle {});
    }
    let long = title.chars().count();
    if long > MOST_TITLE {
        return node.refused(P::LongTitle { long, most: MOST_TITLE });
    }
    Some(title)
}

pub(crate) fn format(top: &Table) {
    if let Some(node) = top.need(f!("format"))
        && node.whole().is_some_and(|format| format != FORMAT)
    {
        node.refuse(P::OtherFormat { format: FORMAT });
    }
}
