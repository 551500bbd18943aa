//! What was heard of a string: a row for each partial, and how far it stands from where a limp string would have it.
//!
//! The limp string's partials are the straight line at nought; the curve is the series that the partials agree on. A tick is as long as the
//! partial counts; what the body pulls away from the curve stands beside it.

use crate::canvas::{Anchor, Canvas, Fill, Lettering, LineKind};
use crate::text::fonts_readable;
use crate::unscaled::{Frame, framed, room};
use crate::{DrawingError, Sheet, SheetOptions};
use job::Paper;
use listen::{AgainstLimp, Heard};
use numerics::{fixed, trimmed};
use units::BenchUnit;
use work::{Hazards, HeardString, Heights};

const TEXT: Lettering = Lettering::BENCH;
/// Room for numbers left of the rows, and for what stands at their heads and under them, mm.
const LEFT: f64 = 34.0;
const HEAD: f64 = 9.0;
const FOOT: f64 = 12.0;
/// Most from row to row, mm.
const ROW: f64 = 7.0;
/// Half of a tick that counts in full, and of one that does not count, as shares of a row.
const TICK: (f64, f64) = (0.42, 0.15);
/// Most steps of the scale.
const STEPS: f64 = 8.0;

/// The sheet of what was heard of a string.
///
/// # Errors
/// No partials, places that are not numbers, or a font that cannot be read.
pub fn heard_sheet(string: &HeardString, paper: Paper) -> Result<Sheet, DrawingError> {
    if string.heard.partials.is_empty() {
        return Err(DrawingError::NoStrings);
    }
    if !fonts_readable() {
        return Err(DrawingError::Font);
    }
    let options = SheetOptions {
        paper,
        bench: BenchUnit::METRIC,
        title: report::heard_headline(string),
        headline: String::new(),
        heights: Heights::default(),
        steps: Vec::new(),
        hazards: Hazards::default(),
        notes: Vec::new(),
    };
    let frame = Frame {
        name: "what was heard",
        under: "Ticks: where each partial stands. Line at 0: where a limp string's would. Curve: the series they agree on. Ring: not counted.",
        small: TEXT,
        number_of: [1, 1],
    };
    framed(rows(&string.heard, room(paper)), &frame, &options)
}

fn rows(heard: &Heard, [left, top, right, bottom]: [f64; 4]) -> Canvas {
    let mut canvas = Canvas::default();
    let scale = AgainstLimp::of(heard.partials.iter());
    let AgainstLimp { least, most } = scale;
    let across = right - left - LEFT;
    let x = |cents: f64| left + LEFT + across * (cents - least) / (most - least);
    let highest = heard.partials.last().map_or(1, |partial| partial.number);
    let row = ((bottom - top - HEAD - FOOT) / f64::from(highest)).min(ROW);
    let y = |number: f64| top + HEAD + row * (number - 0.5);
    let end = y(f64::from(highest) + 0.5);
    canvas.text([left, top + 4.0], "Partial", Lettering::BENCH_BOLD, Anchor::Start);
    canvas.text([left + LEFT - 6.0, top + 4.0], "Hz", Lettering::BENCH_BOLD, Anchor::End);
    // The scale, in cents.
    for at in scale.ticks(STEPS) {
        canvas.line([x(at), end], [x(at), end + 2.0], LineKind::Narrow);
        canvas.text([x(at), end + 5.5], trimmed(at, 1), TEXT, Anchor::Middle);
    }
    canvas.line([x(least), end], [x(most), end], LineKind::Narrow);
    canvas.text([x(most), end + 9.5], "cents over a limp string", TEXT, Anchor::End);
    canvas.line([x(0.0), top + HEAD - 2.0], [x(0.0), end], LineKind::Centre);
    let series = |number: u32| [x(heard.series_over_limp(number)), y(f64::from(number))];
    canvas.path((1..=highest).map(series).collect(), LineKind::Narrow);
    for partial in &heard.partials {
        let off = partial.over_limp();
        let at = y(f64::from(partial.number));
        let half = row * (TICK.1 + (TICK.0 - TICK.1) * partial.counts);
        canvas.line([x(off), at - half], [x(off), at + half], LineKind::Outline);
        if partial.counts < 0.5 {
            canvas.circle([x(off), at], 0.6, Some(LineKind::Narrow), Fill::Paper);
        }
        let base = at + 0.5 * TEXT.capitals;
        canvas.text([left + 8.0, base], partial.number.to_string(), TEXT, Anchor::End);
        canvas.text(
            [left + LEFT - 6.0, base],
            fixed(partial.frequency, 2),
            TEXT,
            Anchor::End,
        );
    }
    canvas
}
