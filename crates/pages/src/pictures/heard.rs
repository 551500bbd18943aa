//! What was heard of a string: a tick for each partial where it stands against the straight scale of a limp string, a row each, and the curve of
//! the series that they agree on.

use listen::{AgainstLimp, Heard};
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
/// Most steps of the scale.
const STEPS: f64 = 6.0;

/// The picture; `name` is the string's, as "E2".
#[must_use]
pub fn heard(heard: &Heard, name: &str) -> String {
    let shown = || heard.partials.iter().filter(|partial| partial.number <= ROWS);
    let scale = AgainstLimp::of(shown());
    let AgainstLimp { least, most } = scale;
    let highest = shown().map(|partial| partial.number).max().unwrap_or(1);
    let x = |cents: f64| LEFT + (WIDE - LEFT - 10.0) * (cents - least) / (most - least);
    let y = |number: u32| HEAD + ROW * (f64::from(number) - 0.5);
    let end = HEAD + ROW * f64::from(highest);
    let last = shown().next_back().map_or_else(String::new, |partial| {
        format!(
            ": number {} stands {} cents over it",
            partial.number,
            fixed(partial.over_limp(), 1)
        )
    });
    let title = format!("Partials of {name} against the straight scale of a limp string{last}");
    let mut pen = Pen::new("view heard", WIDE, end + FOOT, &title);
    pen.text("t small", [0.0, 12.0], "Partial");
    pen.line("limp", [x(0.0), HEAD - 4.0], [x(0.0), end]);
    pen.line("thin", [x(least), end], [x(most), end]);
    for at in scale.ticks(STEPS) {
        pen.line("tick", [x(at), end], [x(at), end + 4.0]);
        pen.text("t mid", [x(at), end + 16.0], &trimmed(at, 1));
    }
    pen.text("t end small", [WIDE - 4.0, end + 32.0], "cents over a limp string");
    let series = (1..=highest).map(|number| [x(heard.series_over_limp(number)), y(number)]);
    pen.path("series", series, false);
    for partial in shown() {
        let (at, middle) = (x(partial.over_limp()), y(partial.number));
        let half = if partial.counts < 0.5 { TICK.1 } else { TICK.0 };
        pen.line("partial", [at, middle - half], [at, middle + half]);
    }
    for number in (1..=highest).filter(|number| *number == 1 || number % NUMBERED == 0) {
        pen.text("t end", [LEFT - 10.0, y(number) + 4.0], &number.to_string());
    }
    pen.done()
}
