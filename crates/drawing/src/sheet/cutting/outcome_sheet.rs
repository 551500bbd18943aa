//! What the programs of a setup leave, in colours, and the way of the tools.

use super::outcome::{CutOutcome, outcome};
use super::part::{check, finished};
use crate::DrawingError;
use crate::canvas::{Anchor, Canvas, Lettering, LineKind};
use crate::colour::Raster;
use crate::sheet::draft::{Area, Draft, GAP};
use crate::sheet::{Sheet, SheetOptions};
use machining::Part;
use work::Made;

/// Room at the side of the map, mm.
const SIDE: f64 = 12.0;
/// Height that the deviation is drawn at, at most, mm.
const MAP_HEIGHT: f64 = 34.0;
/// Height of the view of the path from above, at most, mm.
const PATH_HEIGHT: f64 = 34.0;
/// Colours of the legend, from low to high.
const LEGEND: u32 = 60;

/// The sheet of what one setup of a part leaves, and the coloured maps that belong on it; `None` if nothing was simulated.
///
/// # Errors
/// As [`cut_sheets`](crate::cut_sheets()).
#[must_use]
pub fn outcome_sheet(
    part: Part,
    made: &Made,
    options: &SheetOptions,
) -> Option<Result<(Sheet, Vec<Raster>), DrawingError>> {
    Some(drawn(part, &outcome(made)?, options))
}

fn drawn(part: Part, outcome: &CutOutcome, options: &SheetOptions) -> Result<(Sheet, Vec<Raster>), DrawingError> {
    check(part, options)?;
    let area = Area::of(options.paper);
    let mut draft = Draft::new(outcome.name);
    let canvas = &mut draft.canvas;
    let size = [0, 1].map(|i| cells(outcome.count[i]) * outcome.cell);
    let across = (area.width - SIDE) / size[0].max(1.0);
    let up = (MAP_HEIGHT / size[1].max(0.1)).min(across * 8.0);
    let left = area.left + 0.5 * SIDE;
    let mut top = area.top + 4.0;
    canvas.text(
        [area.left, top],
        format!(
            "Left over (+) or cut too deep (−), {}; along the part {across:.1}:1, across {up:.1}:1",
            outcome.seen
        ),
        Lettering::BODY_BOLD,
        Anchor::Start,
    );
    top += 3.0;
    let [deep, high] = outcome.limits;
    let range = [-deep, high];
    let map = Raster {
        at: [left, top],
        width: size[0] * across,
        height: size[1] * up,
        count: outcome.count,
        colours: outcome.values.iter().map(|v| colour(*v, range)).collect(),
    };
    canvas.rectangle(map.at, map.width, map.height, LineKind::Narrow);
    top += map.height + 4.0;
    let legend = Raster {
        at: [left, top],
        width: 120.0,
        height: 5.0,
        count: [LEGEND as usize, 1],
        colours: (0..LEGEND)
            .map(|i| {
                colour(
                    range[0] + (range[1] - range[0]) * (f64::from(i) + 0.5) / f64::from(LEGEND),
                    range,
                )
            })
            .collect(),
    };
    canvas.rectangle([left, top], legend.width, legend.height, LineKind::Narrow);
    let micrometres = |mm: f64| format!("{} µm", numerics::signed((1000.0 * mm).round(), 0)).replace('-', "−");
    for (value, anchor) in [
        (range[0], Anchor::Start),
        (0.0, Anchor::Middle),
        (range[1], Anchor::End),
    ] {
        let x = left + legend.width * (value - range[0]) / (range[1] - range[0]);
        canvas.line([x, top + 5.0], [x, top + 6.2], LineKind::Narrow);
        let text = if value == 0.0 {
            "0".to_owned()
        } else {
            micrometres(value)
        };
        canvas.text([x, top + 9.2], text, Lettering::SMALL, anchor);
    }
    canvas.text(
        [left + legend.width + 6.0, top + 3.6],
        format!(
            "Found: {} to {}. The ends of the scale are the limits. Grey: no part of the finished piece.",
            micrometres(-outcome.found[0]),
            micrometres(outcome.found[1])
        ),
        Lettering::SMALL,
        Anchor::Start,
    );
    top += 17.0;
    for (title, axis) in [
        ("Way of the tools, from above", 1),
        ("Way of the tools, from the front", 2),
    ] {
        let (used, view) = ways(outcome, axis, area, title);
        canvas.place(view, [left, top]);
        top += used + 2.0 * GAP;
    }
    let mut sheets = finished(part, options, vec![draft])?;
    match sheets.pop() {
        Some(sheet) => Ok((sheet, vec![map, legend])),
        None => Err(DrawingError::NoSheets),
    }
}

/// The path along one axis of sight: its height and its drawing.
fn ways(outcome: &CutOutcome, axis: usize, area: Area, title: &str) -> (f64, Canvas) {
    let mut canvas = Canvas::default();
    let all = || outcome.feeds.iter().chain(&outcome.rapids).flatten();
    let reach = |axis: usize| {
        all().fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], p| {
            [low.min(p[axis]), high.max(p[axis])]
        })
    };
    let (x, y) = (reach(0), reach(axis));
    if !(x[1] > x[0] && y[1] >= y[0]) {
        return (0.0, canvas);
    }
    let across = (area.width - SIDE) / (x[1] - x[0]);
    let up = (PATH_HEIGHT / (y[1] - y[0]).max(0.1)).min(across * 8.0);
    canvas.text(
        [0.0, 2.0],
        format!(
            "{title}; along X {across:.1}:1, along {} {up:.1}:1. Dashed: rapid",
            ["X", "Y", "Z"][axis]
        ),
        Lettering::BODY_BOLD,
        Anchor::Start,
    );
    let at = |p: &[f64; 3]| [(p[0] - x[0]) * across, 5.0 + (y[1] - p[axis]) * up];
    for (lines, kind) in [(&outcome.feeds, LineKind::Narrow), (&outcome.rapids, LineKind::Hidden)] {
        for line in lines {
            canvas.path(line.iter().map(at).collect(), kind);
        }
    }
    (5.0 + (y[1] - y[0]) * up, canvas)
}

#[allow(clippy::cast_precision_loss)] // some thousand cells
fn cells(count: usize) -> f64 {
    count as f64
}

/// White at nought, blue to the deepest allowed, red to the highest allowed, black beyond either; grey for no part.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a share times 255
fn colour(value: f64, [low, high]: [f64; 2]) -> [u8; 3] {
    if value.is_nan() {
        return [215, 215, 215];
    }
    if value < low || value > high {
        return [0, 0, 0];
    }
    let fade = |share: f64| (255.0 * (1.0 - share.clamp(0.0, 1.0))).round() as u8;
    if value < 0.0 {
        let f = fade(value / low);
        [f, f, 255]
    } else {
        let f = fade(value / high);
        [255, f, f]
    }
}

#[cfg(test)]
mod tests {
    use super::colour;

    #[test]
    fn colours_say_which_way_it_is_off() {
        let range = [-0.01, 0.015];
        assert_eq!(colour(0.0, range), [255; 3]);
        assert_eq!(colour(-0.01, range), [0, 0, 255]);
        assert_eq!(colour(0.015, range), [255, 0, 0]);
        assert_eq!(colour(0.016, range), [0; 3]);
        assert_eq!(colour(-0.011, range), [0; 3]);
        assert_eq!(colour(f64::NAN, range), [215; 3]);
        assert!(colour(-0.005, range)[0] < colour(-0.002, range)[0]);
    }
}
