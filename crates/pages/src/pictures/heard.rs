//! What was heard of a string: a tick for each partial where it stands against the straight scale of a limp string, a row each, and the curve of
//! the series that they agree on.

use listen::{Heard, cents};
use numerics::{fixed, trimmed};

use super::pen::Pen;

/// Width, user units, and room for numbers left of the rows, at their head, and for the scale under them.
const WIDE: f64 = 360.0;
const LEFT: f64 = 30.0;
const HEAD: f64 = 20.0;
const FOOT: f64 = 40.0;
/// From row to row, and half of a tick that counts and of one that does not.
const ROW: f64 = 9.0;
const TICK: (f64, f64) = (3.6, 1.8);
/// No partial above this one is drawn: those above say the same.
const ROWS: u32 = 30;
/// Every so many rows have their number.
const NUMBERED: u32 = 5;
/// Least width of the scale, cents, and what it has left and right of the partials.
const LEAST: f64 = 10.0;
const AIR: f64 = 3.0;
/// Most steps of the scale.
const STEPS: f64 = 6.0;

/// The picture; `name` is the string's, as "E2".
#[must_use]
pub fn heard(heard: &Heard, name: &str) -> String {
    let shown = || heard.partials.iter().filter(|partial| partial.number <= ROWS);
    let off = |frequency: f64, limp: f64| cents(frequency, limp);
    let each = || shown().map(|partial| (partial, off(partial.frequency, partial.limp)));
    let (least, most) = each().fold((0.0, LEAST), |(least, most): (f64, f64), (_, off)| {
        (least.min(off), most.max(off))
    });
    let (least, most) = (least - AIR, most + AIR);
    let highest = shown().map(|partial| partial.number).max().unwrap_or(1);
    let x = |cents: f64| LEFT + (WIDE - LEFT - 10.0) * (cents - least) / (most - least);
    let y = |number: u32| HEAD + ROW * (f64::from(number) - 0.5);
    let end = HEAD + ROW * f64::from(highest);
    let last = each().next_back().map_or_else(String::new, |(partial, off)| {
        format!(": number {} stands {} cents over it", partial.number, fixed(off, 1))
    });
    let title = format!("Partials of {name} against the straight scale of a limp string{last}");
    let mut pen = Pen::new("view heard", WIDE, end + FOOT, &title);
    pen.text("t small", [0.0, 12.0], "Partial");
    pen.line("limp", [x(0.0), HEAD - 4.0], [x(0.0), end]);
    pen.line("thin", [x(least), end], [x(most), end]);
    let step = step(most - least);
    let mut at = (least / step).ceil() * step;
    while at <= most {
        pen.line("tick", [x(at), end], [x(at), end + 4.0]);
        pen.text("t mid", [x(at), end + 16.0], &trimmed(at, 1));
        at += step;
    }
    pen.text("t end small", [WIDE - 4.0, end + 32.0], "cents over a limp string");
    let b = heard.inharmonicity.value;
    let series = (1..=highest).map(|number| {
        let squared = f64::from(number).powi(2);
        [x(0.5 * cents((1.0 + b * squared).max(0.1), 1.0)), y(number)]
    });
    pen.path("series", series, false);
    for (partial, off) in each() {
        let (at, middle) = (x(off), y(partial.number));
        let half = if partial.counts < 0.5 { TICK.1 } else { TICK.0 };
        pen.line("partial", [at, middle - half], [at, middle + half]);
    }
    for number in (1..=highest).filter(|number| *number == 1 || number % NUMBERED == 0) {
        pen.text("t end", [LEFT - 10.0, y(number) + 4.0], &number.to_string());
    }
    pen.done()
}

/// A round step that divides so much into a few.
fn step(width: f64) -> f64 {
    let rough = width / STEPS;
    let ten = 10f64.powf(rough.log10().floor());
    let ways = [1.0, 2.0, 5.0, 10.0].map(|by| by * ten);
    ways.into_iter().find(|step| *step >= rough).unwrap_or(rough)
}
