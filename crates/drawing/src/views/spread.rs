//! How sure a plan is, as a chart: a bar for every string's spread against the band, and a bar for every reading's share.

use crate::canvas::{Anchor, Block, Canvas, Fill, Lettering, LineKind, Point};
use crate::hatch::hatch;
use crate::text::{clean, wrap};
use crate::views::callouts::{RING, ring};
use crate::views::heading;
use numerics::math;
use saddle::tolerance::Spread;

const LETTER: Lettering = Lettering::FIGURE;
/// Half the height of a spread's bar, mm.
const HALF_BAR: f64 = 1.2;
/// Half the height of the tick at the mean, mm.
const HALF_TICK: f64 = 2.0;
/// From row to row, mm: as much as there is room for between these.
pub(crate) const PITCH: (f64, f64) = (2.0 * RING + 0.4, 8.0);
/// Marks on an axis to each side of nought.
const MARKS: (f64, f64) = (2.0, 4.0);
/// Room for the axis below a chart, mm.
const AXIS: f64 = 10.0;
/// Between words and chart, mm.
const AIR: f64 = 3.0;
/// Air between the rows of two readings, and the height of a bar, mm.
const READING: (f64, f64) = (0.3, 1.6);
/// A reading's name, which has this share of the width; one that is longer has two lines.
const NAME: Lettering = Lettering::SMALL;
const NAME_MOST: f64 = 0.6;
/// A bar's length that is too short to be drawn, mm.
const NOTHING: f64 = 0.01;

/// One string's row.
pub(crate) struct Row {
    pub number: u32,
    /// Beside the ring.
    pub name: String,
    pub spread: Spread,
    /// Right of the chart, in columns.
    pub figures: Vec<String>,
}

/// One chart: its words, rows, band and how its axis is lettered.
pub(crate) struct Chart<'a> {
    /// Begins the ids of its shapes.
    pub id: &'a str,
    pub title: &'a str,
    pub small: &'a str,
    /// Over the columns of figures.
    pub heads: &'a [&'a str],
    pub rows: Vec<Row>,
    /// Allowed to each side.
    pub band: f64,
    /// One or two lines at a mark of the axis.
    pub mark: &'a dyn Fn(f64) -> Vec<String>,
}

/// The least step of 1, 2 or 5 times a power of ten that needs no more than `MARKS.1` marks to reach `reach`.
fn step(reach: f64) -> f64 {
    let mut step = math::powf(10f64, math::log10(reach / MARKS.1).floor());
    for times in [2.0, 2.5, 2.0] {
        if step * MARKS.1 >= reach {
            break;
        }
        step *= times;
    }
    step
}

/// The chart, `width` mm wide, rows `pitch` mm apart.
pub(crate) fn chart(chart: &Chart, width: f64, pitch: f64) -> Block {
    let mut canvas = Canvas::default();
    let head = heading(&mut canvas, 0.0, chart.title, chart.small, width) + 1.0;
    let widest = |texts: &mut dyn Iterator<Item = &str>| texts.map(|t| LETTER.width(t)).fold(0.0, f64::max);
    let names = widest(&mut chart.rows.iter().map(|r| r.name.as_str()));
    let columns: Vec<f64> = (0..chart.heads.len())
        .map(|i| {
            let cells = chart.rows.iter().filter_map(|r| r.figures.get(i)).map(String::as_str);
            widest(&mut cells.chain(chart.heads.get(i).copied()))
        })
        .collect();
    let left = 2.0 * RING + 1.2 + names + AIR;
    let right = width - columns.iter().map(|c| c + AIR).sum::<f64>();
    let top = head + if chart.heads.is_empty() { 0.0 } else { LETTER.line() };
    let bottom = top + pitch * count(chart.rows.len()) + 1.0;
    let reach = chart
        .rows
        .iter()
        .flat_map(|r| [r.spread.low.abs(), r.spread.high.abs()])
        .fold(1.25 * chart.band, f64::max);
    // Marks keep clear of the ends, where their figures would leave the chart.
    let step = step(reach);
    let most = (reach / step).ceil().max(MARKS.0);
    let at = |value: f64| left + (right - left) * 0.5 * (1.0 + value / (step * (most + 0.4)));
    let band = [at(-chart.band), at(chart.band)];
    let corners = [[band[0], top], [band[1], top], [band[1], bottom], [band[0], bottom]];
    hatch(&mut canvas, &corners);
    canvas
        .polygon(corners.to_vec(), Some(LineKind::Narrow), Fill::None)
        .id(format!("band-{}", chart.id));
    canvas.line([at(0.0), top], [at(0.0), bottom], LineKind::Centre);
    axis(&mut canvas, chart, [left, right], bottom, (step, most), &at);
    let mut x = right;
    let mut ends: Vec<f64> = Vec::new();
    for (head, column) in chart.heads.iter().zip(&columns) {
        x += AIR + column;
        ends.push(x);
        canvas.text([x, top - 1.4], *head, LETTER, Anchor::End);
    }
    for (i, row) in chart.rows.iter().enumerate() {
        let y = top + 0.5 + pitch * (count(i) + 0.5);
        let baseline = y + 0.5 * LETTER.capitals;
        ring(&mut canvas, [RING, y], row.number);
        canvas.text([2.0 * RING + 1.2, baseline], row.name.clone(), LETTER, Anchor::Start);
        bar(&mut canvas, chart, row, y, &at);
        for (figure, end) in row.figures.iter().zip(&ends) {
            canvas.text([*end, baseline], figure.clone(), LETTER, Anchor::End);
        }
    }
    Block {
        canvas,
        width,
        height: bottom + AXIS,
    }
}

/// Height of a chart with rows `pitch` mm apart, mm.
pub(crate) fn chart_height(of: &Chart, width: f64, pitch: f64) -> f64 {
    let mut canvas = Canvas::default();
    let head = heading(&mut canvas, 0.0, of.title, of.small, width) + 1.0;
    let heads = if of.heads.is_empty() { 0.0 } else { LETTER.line() };
    head + heads + pitch * count(of.rows.len()) + 1.0 + AXIS
}

fn axis(
    canvas: &mut Canvas,
    chart: &Chart,
    [left, right]: [f64; 2],
    y: f64,
    (step, most): (f64, f64),
    at: &impl Fn(f64) -> f64,
) {
    canvas.line([left, y], [right, y], LineKind::Outline);
    // Every mark gets a tick; figures stand at every one, every second and so on, as there is room, nought among them.
    let widest = |n: f64| {
        let lines = (chart.mark)(n * step);
        lines.iter().map(|l| LETTER.width(l)).fold(0.0, f64::max)
    };
    let mut every = 1.0;
    while every < most && widest(-most).max(widest(most)) + 1.0 > at(every * step) - at(0.0) {
        every += 1.0;
    }
    let mut n = -most;
    while n <= most {
        let x = at(n * step);
        canvas.line([x, y], [x, y + 1.2], LineKind::Narrow);
        let half = 0.5 * widest(n);
        if n % every == 0.0 && x - half >= left - AIR && x + half <= right + 0.5 * AIR {
            for (i, line) in (chart.mark)(n * step).into_iter().enumerate() {
                let baseline = y + 2.0 + LETTER.capitals + count(i) * LETTER.line();
                canvas.text([x, baseline], line, LETTER, Anchor::Middle);
            }
        }
        n += 1.0;
    }
}

/// White inside the band, black outside it.
fn bar(canvas: &mut Canvas, chart: &Chart, row: &Row, y: f64, at: &impl Fn(f64) -> f64) {
    let Spread { low, high, mean, .. } = row.spread;
    let box_of = |low: f64, high: f64| {
        let (a, b) = (at(low), at(high));
        vec![
            [a, y - HALF_BAR],
            [b, y - HALF_BAR],
            [b, y + HALF_BAR],
            [a, y + HALF_BAR],
        ]
    };
    canvas
        .polygon(box_of(low, high), Some(LineKind::Outline), Fill::Paper)
        .id(format!("spread-{}-{}", chart.id, row.number));
    for (from, to) in [(low, high.min(-chart.band)), (low.max(chart.band), high)] {
        if to > from {
            canvas.polygon(box_of(from, to), None, Fill::Ink);
        }
    }
    let x = at(mean);
    canvas
        .line([x, y - HALF_TICK], [x, y + HALF_TICK], LineKind::Outline)
        .id(format!("mean-{}-{}", chart.id, row.number));
}

fn count(n: usize) -> f64 {
    f64::from(u32::try_from(n).unwrap_or(u32::MAX))
}

/// A chance or share in percent; what is rare but happens is not called 0 %, nor what nearly always happens 100 %.
pub(crate) fn percent(share: f64) -> String {
    let hundred = 100.0 * share;
    if share > 0.0 && hundred < 0.5 {
        "<1 %".to_owned()
    } else if share < 1.0 && hundred > 99.5 {
        ">99 %".to_owned()
    } else {
        format!("{hundred:.0} %")
    }
}

/// Bars for the readings, the largest share first, `width` mm wide and no higher than `height` mm: what has no row is summed up.
pub(crate) fn ranking(title: &str, small: &str, shares: &[(String, f64)], width: f64, height: f64) -> Block {
    let mut canvas = Canvas::default();
    let top = heading(&mut canvas, 0.0, title, small, width) + 1.5;
    let figure = LETTER.width("100 %") + 1.5;
    let lines = |name: &str| wrap(&clean(name), NAME_MOST * width, NAME.capitals, NAME.bold);
    let tall = |name: &str| NAME.line() * count(lines(name).len().max(1)) + READING.0;
    let mut most = 0;
    let mut used = top;
    while most < shares.len() && used + tall(&shares[most].0) <= height {
        used += tall(&shares[most].0);
        most += 1;
    }
    let mut rows: Vec<(String, f64)> = shares.to_vec();
    if most < rows.len() {
        most = most.saturating_sub(1);
        let rest = rows.split_off(most);
        rows.push((
            format!("{} others together", rest.len()),
            rest.iter().map(|r| r.1).sum(),
        ));
    }
    let names: Vec<Vec<String>> = rows.iter().map(|(name, _)| lines(name)).collect();
    let left = names.iter().flatten().map(|n| NAME.width(n)).fold(0.0, f64::max) + AIR;
    let room = width - left - figure;
    let largest = rows.iter().map(|r| r.1).fold(1e-9, f64::max);
    let mut y = top;
    for (i, (name, (text, share))) in names.into_iter().zip(&rows).enumerate() {
        let whole = tall(text);
        let middle = y + 0.5 * whole;
        let first = middle + 0.5 * NAME.capitals - 0.5 * NAME.line() * (count(name.len()) - 1.0);
        for (k, line) in name.into_iter().enumerate() {
            canvas.text([left - AIR, first + count(k) * NAME.line()], line, NAME, Anchor::End);
        }
        let long = room * share / largest;
        let [a, b] = [middle - 0.5 * READING.1, middle + 0.5 * READING.1];
        if long > NOTHING {
            let corners: Vec<Point> = vec![[left, a], [left + long, a], [left + long, b], [left, b]];
            canvas
                .polygon(corners, None, Fill::Ink)
                .id(if i < most {
                    format!("share-{}", i + 1)
                } else {
                    "share-others".to_owned()
                })
                .data("share", crate::svg::number(*share));
        }
        let at = [left + long + 1.5, middle + 0.5 * LETTER.capitals];
        canvas.text(at, percent(*share), LETTER, Anchor::Start);
        y += whole;
    }
    canvas.line([left, top], [left, y], LineKind::Narrow);
    Block {
        canvas,
        width,
        height: y,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn steps_are_round_and_few(reach in 1e-4..1e4f64) {
            let step = step(reach);
            prop_assert!(step * MARKS.1 >= reach * (1.0 - 1e-9) && step * MARKS.1 <= 2.6 * reach);
            let first = step / math::powf(10f64, math::log10(step * 1.0001).floor());
            prop_assert!([1.0, 2.0, 5.0].iter().any(|s| (first - s).abs() < 1e-6), "{first}");
        }
    }
}
