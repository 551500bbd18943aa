//! The small chart: which height of the strings goes with which saddle, and what brings it.

use crate::canvas::{Anchor, Block, Canvas, Lettering, LineKind, Point};
use crate::figures::Figures;
use assess::{ActionSample, Assessment, Limits, Remedy};

const SMALL: Lettering = Lettering::SMALL;
/// Room left of the plot for figures, mm.
const LEFT: f64 = 9.0;
/// Room right of the plot for the limits, mm.
const RIGHT: f64 = 22.0;
/// Height of the bar of remedies, mm.
const BAR: f64 = 5.0;
/// Between two texts, mm.
const AIR: f64 = 1.0;

/// The plot's scales.
struct Scales {
    x: (f64, f64),
    y: (f64, f64),
    left: f64,
    width: f64,
    top: f64,
    /// Height of the plot, mm.
    plot: f64,
}

impl Scales {
    fn x(&self, action: f64) -> f64 {
        self.left + self.width * (action - self.x.0) / (self.x.1 - self.x.0)
    }

    fn y(&self, exposure: f64) -> f64 {
        self.top + self.plot * (self.y.1 - exposure) / (self.y.1 - self.y.0)
    }
}

/// What the chart shows, in words; answers where they end.
fn heading(canvas: &mut Canvas, width: f64) -> f64 {
    let head = Lettering::BODY_BOLD;
    canvas.text(
        [0.0, head.capitals],
        "What if the strings stood higher or lower",
        head,
        Anchor::Start,
    );
    let mut y = head.line();
    let legend =
        "Upright: how far the saddle stands out of the bridge (full line: mean, dashed: least of all strings).";
    for line in crate::text::wrap(legend, width, SMALL.capitals, SMALL.bold) {
        canvas.text([0.0, y + SMALL.capitals], line, SMALL, Anchor::Start);
        y += SMALL.line();
    }
    y
}

/// Figures up the left side, and the limits across.
fn upright(canvas: &mut Canvas, figures: Figures, scales: &Scales, limits: &Limits) {
    let (left, right, top, foot) = (
        scales.left,
        scales.left + scales.width,
        scales.top,
        scales.top + scales.plot,
    );
    // Figures up the left side.
    let step = figures.tick() * if scales.y.1 - scales.y.0 > 8.0 { 2.0 } else { 1.0 };
    let mut tick = (scales.y.0 / step).ceil() * step;
    while tick <= scales.y.1 {
        let at = scales.y(tick);
        canvas.line([left - 1.2, at], [left, at], LineKind::Narrow);
        canvas.text(
            [left - 1.8, at + 0.5 * SMALL.capitals],
            figures.whole(tick),
            SMALL,
            Anchor::End,
        );
        tick += step;
    }
    // Limits.
    for (limit, word) in [
        (limits.least_exposure.value, "least"),
        (limits.most_exposure.value, "most"),
    ] {
        let at = scales.y(limit);
        if (top..=foot).contains(&at) {
            canvas.line([left, at], [right, at], LineKind::Centre);
            canvas.text(
                [right + 1.2, at + 0.5 * SMALL.capitals],
                format!("{word} {}", figures.show(limit)),
                SMALL,
                Anchor::Start,
            );
        }
    }
}

/// The figures of the action from `below` down; answers where they end.
fn actions(canvas: &mut Canvas, samples: &[ActionSample], figures: Figures, scales: &Scales, mut below: f64) -> f64 {
    let (left, right) = (scales.left, scales.left + scales.width);
    let shown = samples.iter().step_by(4);
    for s in shown {
        let at = scales.x(s.action);
        canvas.text(
            [at, below + SMALL.capitals],
            figures.action().one(s.action),
            SMALL,
            Anchor::Middle,
        );
        let bench = figures.action().bracket(s.action);
        canvas.text(
            [at, below + SMALL.line() + SMALL.capitals],
            bench,
            SMALL,
            Anchor::Middle,
        );
    }
    canvas.text(
        [right + 8.0, below + SMALL.capitals],
        figures.action().name(),
        SMALL,
        Anchor::Start,
    );
    let unit = format!("[{}]", figures.action().beside_name());
    canvas.text(
        [right + 8.0, below + SMALL.line() + SMALL.capitals],
        unit,
        SMALL,
        Anchor::Start,
    );
    below += 2.0 * SMALL.line();
    canvas.text(
        [0.5 * (left + right), below + SMALL.capitals],
        "height of the strings over fret 12, mean of the outer ones",
        SMALL,
        Anchor::Middle,
    );
    below + SMALL.line()
}

/// The chart, so wide, with a plot so high, mm; `None` if there is nothing to chart.
pub(super) fn chart(found: &Assessment, figures: Figures, [width, plot]: [f64; 2]) -> Option<Block> {
    let what_if = found.what_if.as_ref()?;
    let samples = &what_if.actions;
    let (first, last) = (samples.first()?, samples.last()?);
    if last.action <= first.action {
        return None;
    }
    let mut canvas = Canvas::default();
    let y = heading(&mut canvas, width);
    let lowest = samples.iter().map(|s| s.least).fold(0.0, f64::min);
    let limits = &found.limits;
    let highest = samples
        .iter()
        .map(|s| s.mean)
        .fold(limits.most_exposure.value, f64::max);
    let scales = Scales {
        x: (first.action, last.action),
        y: (lowest.floor(), highest.ceil()),
        left: LEFT,
        width: width - LEFT - RIGHT,
        // The word over the plot.
        top: y + SMALL.line() + AIR,
        plot,
    };
    let (left, top, foot) = (scales.left, scales.top, scales.top + scales.plot);
    canvas
        .rectangle([left, top], scales.width, plot, LineKind::Narrow)
        .id("chart");
    upright(&mut canvas, figures, &scales, limits);
    let curve = |value: fn(&ActionSample) -> f64| -> Vec<Point> {
        samples
            .iter()
            .map(|s| [scales.x(s.action), scales.y(value(s))])
            .collect()
    };
    canvas.path(curve(|s| s.mean), LineKind::Outline).id("mean-exposure");
    canvas.path(curve(|s| s.least), LineKind::Hidden).id("least-exposure");
    // The target.
    if let Some(target) = samples.iter().find(|s| s.change.abs() < 1e-9) {
        let at = scales.x(target.action);
        canvas.line([at, top - 1.0], [at, foot], LineKind::Narrow).id("target");
        canvas.text([at, top - 1.6], "as wanted", SMALL, Anchor::Middle);
    }
    // The remedies under the plot, then the figures of the action.
    remedies(
        &mut canvas,
        samples,
        &scales,
        [what_if.saddle_from, what_if.saddle_to],
        foot,
    );
    let height = actions(&mut canvas, samples, figures, &scales, foot + BAR + AIR);
    Some(Block { canvas, width, height })
}

/// A bar under the plot, cut where the remedy changes.
fn remedies(canvas: &mut Canvas, samples: &[ActionSample], scales: &Scales, changes: [Option<f64>; 2], foot: f64) {
    let (Some(first), Some(last)) = (samples.first(), samples.last()) else {
        return;
    };
    let place = |change: f64| {
        let share = (change - first.change) / (last.change - first.change);
        scales.x(first.action + share * (last.action - first.action))
    };
    let mut cuts = vec![scales.left];
    cuts.extend(changes.into_iter().flatten().map(place));
    cuts.push(scales.left + scales.width);
    cuts.sort_by(f64::total_cmp);
    let bar = foot + BAR;
    canvas.rectangle([scales.left, foot], scales.width, BAR, LineKind::Narrow);
    for pair in cuts.windows(2) {
        let &[from, to] = pair else { continue };
        canvas.line([from, foot], [from, bar], LineKind::Narrow);
        let middle = 0.5 * (from + to);
        let nearest = samples.iter().min_by(|a, b| {
            (scales.x(a.action) - middle)
                .abs()
                .total_cmp(&(scales.x(b.action) - middle).abs())
        });
        let names = match nearest.map(|s| s.remedy) {
            Some(Remedy::Neck) => ["set the neck", "neck"],
            Some(Remedy::Saddle) => ["saddle alone", "saddle"],
            Some(Remedy::Bridge) => ["taller bridge", "bridge"],
            None => continue,
        };
        // What the room holds, or nothing.
        if let Some(name) = names.into_iter().find(|name| SMALL.width(name) + 2.0 < to - from) {
            canvas.text(
                [middle, foot + 0.5 * (BAR + SMALL.capitals)],
                name,
                SMALL,
                Anchor::Middle,
            );
        }
    }
}
