//! Sheets for cutting the blank by machine: how it is set up, and what the programs leave. They take plain figures in
//! program coordinates (mm), so that nothing here depends on how programs are made.

use super::bound::{check_options, finished};
use super::draft::{Area, Draft, GAP, fits};
use super::layout::set_parts;
use super::words::{CUTTING_STEPS, HEAD_LEAD, Words};
use super::{Sheet, SheetOptions, nut as nut_sheet};
use crate::DrawingError;
use crate::canvas::{Anchor, Block, Canvas, Fill, Lettering, LineKind, Point};
use crate::colour::Raster;
use crate::text::{broken, clean, wrap};
use crate::views::table::{Column, filled};
use nut::NutPlan;
use saddle::Plan;

/// Largest enlargement of the views.
const SCALE_MOST: f64 = 2.0;
/// Room left of a view for the names of its axes, mm.
const SIDE: f64 = 12.0;
/// Share of the width that the views have; beside them stands what to set.
const VIEWS: f64 = 0.5;
/// Of a jaw so much is drawn across the blank, mm: the rest of it says nothing.
const JAW_SHOWN: f64 = 6.0;
/// Air on both sides of a jaw's name, mm.
const NAME_AIR: f64 = 2.0;
/// Share of the height that the views and their titles have, one above the other and side by side: words need the rest.
const VIEWS_HEIGHT: [f64; 2] = [0.38, 0.5];
/// Of these views' heights the first is taken with which the fewest sheets are needed.
const SHRUNK: [f64; 5] = [1.0, 0.9, 0.8, 0.7, 0.6];
/// Views are not shrunk below this scale: names and axes would lie on lines.
const SCALE_LEAST: f64 = 0.7;
/// From the title of a view to what is drawn, mm.
const UNDER_TITLE: f64 = 5.5;
/// Height that the deviation is drawn at, at most, mm.
const MAP_HEIGHT: f64 = 34.0;
/// Height of the view of the path from above, at most, mm.
const PATH_HEIGHT: f64 = 34.0;
/// Widest that a program's name is written on one line, mm.
const NAME_MOST: f64 = 60.0;
/// Colours of the legend, from low to high.
const LEGEND: u32 = 60;

/// What is cut.
#[derive(Debug, Clone, Copy)]
pub enum CutPart<'a> {
    /// A saddle.
    Saddle(&'a Plan),
    /// A nut.
    Nut(&'a NutPlan),
}

impl CutPart<'_> {
    fn check(self, options: &SheetOptions) -> Result<(), DrawingError> {
        match self {
            Self::Saddle(plan) => check_options(plan, options),
            Self::Nut(plan) => nut_sheet::check_options(plan, options),
        }
    }

    fn finished(self, options: &SheetOptions, drafts: Vec<Draft>) -> Result<Vec<Sheet>, DrawingError> {
        const SCALE: &str = "as said";
        match self {
            Self::Saddle(plan) => finished(plan, options, SCALE, drafts),
            Self::Nut(plan) => nut_sheet::finished(plan, options, SCALE, drafts),
        }
    }
}

/// A box in program coordinates: least and greatest X, Y and Z, mm.
pub type Extent = [[f64; 2]; 3];

/// How one setup is held and cut.
#[derive(Debug, Clone, PartialEq)]
pub struct CutSetup {
    /// Name of the sheet.
    pub name: &'static str,
    /// The stock.
    pub stock: Extent,
    /// The jaws; none when it is taped.
    pub jaws: Vec<Extent>,
    /// Height of rapid moves, mm.
    pub safe: f64,
    /// The finished part seen from above, lines of X and Y.
    pub above: Vec<Vec<Point>>,
    /// The finished part seen from the side, lines of X and Z.
    pub side: Vec<Vec<Point>>,
    /// What to set: name and value.
    pub facts: Vec<[String; 2]>,
    /// Programs in order: program, tool, what it does, speed and feed, cutting, air, other and whole time.
    pub programs: Vec<[String; 6]>,
    /// Remarks in plain words.
    pub remarks: Vec<String>,
}

/// What the programs of one setup leave, and the way of the tools.
#[derive(Debug, Clone, PartialEq)]
pub struct CutOutcome {
    /// Name of the sheet.
    pub name: &'static str,
    /// How the map looks at the part, such as "from above".
    pub seen: &'static str,
    /// Least X and Y of the map, mm.
    pub low: Point,
    /// Side of a cell, mm.
    pub cell: f64,
    /// Cells along X and Y.
    pub count: [usize; 2],
    /// Left over (+) or cut too deep (-), mm; rows along X, the first at least Y. Not a number outside the part.
    pub values: Vec<f64>,
    /// Deepest that is allowed, and highest, mm, both positive.
    pub limits: [f64; 2],
    /// Deepest found, and highest, mm, both positive.
    pub found: [f64; 2],
    /// Lines of the tip while feeding.
    pub feeds: Vec<Vec<[f64; 3]>>,
    /// Lines of the tip at rapid rate.
    pub rapids: Vec<Vec<[f64; 3]>>,
}

/// The setup sheets: one for each setup, with the words that follow.
///
/// # Errors
/// Places that are not numbers, too little room on the paper, or a font that cannot be read.
pub fn cut_sheets(part: CutPart, setups: &[CutSetup], options: &SheetOptions) -> Result<Vec<Sheet>, DrawingError> {
    part.check(options)?;
    let area = Area::of(options.paper);
    let mut drafts = Vec::new();
    for setup in setups {
        let notes: Vec<String> = setup.remarks.iter().chain(&options.notes).cloned().collect();
        let parts = Words::setup(&CUTTING_STEPS, &notes);
        let mut best: Option<Vec<Draft>> = None;
        for share in SHRUNK {
            let (draft, scale) = setup_draft(setup, area, share)?;
            let sheets = set_parts(draft, &parts, area);
            if best
                .as_ref()
                .is_none_or(|b| scale >= SCALE_LEAST && sheets.len() < b.len())
            {
                best = Some(sheets);
            }
        }
        drafts.extend(best.into_iter().flatten());
    }
    part.finished(options, drafts)
}

/// The sheet without its words, and the scale of its views.
fn setup_draft(setup: &CutSetup, area: Area, share: f64) -> Result<(Draft, f64), DrawingError> {
    let mut draft = Draft::new(setup.name);
    let (mut top, scale) = views(&mut draft.canvas, setup, area, share);
    let views = VIEWS * area.width;
    let beside = area.left + views + GAP;
    let width = area.width - views - GAP;
    let facts = facts(setup, width);
    fits(&facts, area)?;
    let under = area.top + facts.height + HEAD_LEAD;
    draft.canvas.place(facts.canvas, [beside, area.top]);
    let table = programs(setup, views);
    let room = area.bottom() - top - table.height;
    if room < 0.0 {
        return Err(DrawingError::TooHigh {
            needed: area.height - room,
            room: area.height,
        });
    }
    // A table wider than the views stands below what is to be set, too.
    let wide = table.width > views;
    if wide {
        fits(&table, area)?;
        top = top.max(under);
    }
    draft.canvas.place(table.canvas, [area.left, top]);
    if !wide {
        draft.leave([beside, under], width, area.bottom() - under);
    }
    top += table.height + GAP;
    draft.leave([area.left, top], views, area.bottom() - top);
    if wide {
        draft.leave([beside, top], width, area.bottom() - top);
    }
    Ok((draft, scale))
}

/// The stock, jaws and part from above and from the front, as high as `share` of what they may be; their lowest end and their scale.
fn views(canvas: &mut Canvas, setup: &CutSetup, area: Area, share: f64) -> (f64, f64) {
    let near = |jaw: &Extent| {
        let [x, y, z] = *jaw;
        let [front, back] = [setup.stock[1][0] - JAW_SHOWN, setup.stock[1][1] + JAW_SHOWN];
        [x, [y[0].max(front), y[1].min(back)], z]
    };
    let jaws: Vec<Extent> = setup.jaws.iter().map(near).collect();
    let all = || std::iter::once(&setup.stock).chain(&jaws);
    let reach = |axis: usize| {
        let low = all().map(|b| b[axis][0]).fold(0.0, f64::min);
        let high = all().map(|b| b[axis][1]).fold(0.0, f64::max);
        [low, high]
    };
    let (x, y, z) = (reach(0), reach(1), reach(2));
    let z = [z[0], z[1].max(setup.safe)];
    let long = (x[1] - x[0]).max(1.0);
    let (y_high, z_high) = ((y[1] - y[0]).max(0.5), (z[1] - z[0]).max(0.5));
    let views = VIEWS * area.width;
    let scales = |share: f64| {
        let room = VIEWS_HEIGHT.map(|most| share * most * area.height - 4.0 * GAP);
        let stacked = ((views - SIDE - GAP) / long).min(room[0] / (y_high + z_high));
        let beside = ((0.5 * views - SIDE - GAP) / long).min(room[1] / y_high.max(z_high));
        [stacked.min(SCALE_MOST), beside.min(SCALE_MOST)]
    };
    // A part that stands on end is seen larger with its views side by side.
    let [stacked, beside] = scales(1.0);
    let in_a_row = beside > stacked;
    let scale = scales(share)[usize::from(in_a_row)];
    let mut left = area.left;
    let mut top = area.top + 4.0;
    let ratio = if scale >= 1.0 {
        format!("{scale:.2}:1")
    } else {
        format!("1:{:.2}", 1.0 / scale)
    };
    for (title, second, lines, axis) in [
        ("From above", y, &setup.above, 1),
        ("From the front", z, &setup.side, 2),
    ] {
        let at = |[px, py]: Point| {
            [
                left + SIDE + (px - x[0]) * scale,
                top + UNDER_TITLE + (second[1] - py) * scale,
            ]
        };
        canvas.text(
            [left, top],
            format!("{title}, {ratio}"),
            Lettering::BODY_BOLD,
            Anchor::Start,
        );
        for jaw in &jaws {
            if axis == 1 {
                jaw_above(canvas, jaw, &at);
            } else {
                outline(canvas, jaw, axis, &at, LineKind::Narrow);
            }
        }
        outline(canvas, &setup.stock, axis, &at, LineKind::Before);
        for line in lines {
            canvas.path(line.iter().map(|p| at(*p)).collect(), LineKind::Outline);
        }
        if axis == 2 {
            canvas.line(at([x[0], setup.safe]), at([x[1], setup.safe]), LineKind::Hidden);
            let (end, anchor) = if in_a_row {
                (x[0], Anchor::Start)
            } else {
                (x[1], Anchor::End)
            };
            canvas.text(
                [at([end, setup.safe])[0], at([end, setup.safe])[1] - 1.0],
                "rapid moves no lower than this",
                Lettering::SMALL,
                anchor,
            );
        }
        zero(canvas, at([0.0, 0.0]), if axis == 1 { "Y" } else { "Z" });
        if in_a_row {
            left += 0.5 * views;
        } else {
            top += UNDER_TITLE + (second[1] - second[0]) * scale + 2.0 * GAP;
        }
    }
    if in_a_row {
        top += UNDER_TITLE + y_high.max(z_high) * scale + 2.0 * GAP;
    }
    (top, scale)
}

/// A box seen along an axis.
fn outline(canvas: &mut Canvas, extent: &Extent, axis: usize, at: &dyn Fn(Point) -> Point, kind: LineKind) {
    let ([x0, x1], [y0, y1]) = (extent[0], extent[axis]);
    let corners = [[x0, y0], [x1, y0], [x1, y1], [x0, y1]].map(at);
    canvas.polygon(corners.to_vec(), Some(kind), Fill::None);
}

/// A jaw from above, open where it goes on away from the blank, with its name inside, or right of it where it is narrow.
fn jaw_above(canvas: &mut Canvas, [[x0, x1], [y0, y1], _]: &Extent, at: &dyn Fn(Point) -> Point) {
    let fixed = *y0 >= 0.0;
    let (name, near, far) = if fixed {
        ("fixed jaw", *y0, *y1)
    } else {
        ("moving jaw", *y1, *y0)
    };
    let corners = [[*x0, far], [*x0, near], [*x1, near], [*x1, far]].map(at);
    canvas.path(corners.to_vec(), LineKind::Narrow);
    let [left, right] = [corners[0][0], corners[2][0]];
    let middle = 0.5 * (corners[0][1] + corners[1][1]) + 0.5 * Lettering::SMALL.capitals;
    let (x, anchor) = if Lettering::SMALL.width(name) + 2.0 * NAME_AIR > right - left {
        (right + NAME_AIR, Anchor::Start)
    } else {
        (0.5 * (left + right), Anchor::Middle)
    };
    canvas.text([x, middle], name, Lettering::SMALL, anchor);
}

/// The work's zero and its axes.
fn zero(canvas: &mut Canvas, [x, y]: Point, up: &str) {
    const ARM: f64 = 7.0;
    canvas.line([x, y], [x + ARM, y], LineKind::Border);
    canvas.line([x, y], [x, y - ARM], LineKind::Border);
    canvas.circle([x, y], 1.3, Some(LineKind::Outline), Fill::Paper);
    canvas.circle([x, y], 0.5, None, Fill::Ink);
    canvas.text([x - 2.2, y + 3.6], "zero", Lettering::SMALL_BOLD, Anchor::End);
    canvas.text([x - 1.2, y - ARM + 1.0], up, Lettering::SMALL_BOLD, Anchor::End);
    canvas.text([x + ARM - 1.0, y + 3.6], "X", Lettering::SMALL_BOLD, Anchor::Start);
}

fn programs(setup: &CutSetup, room: f64) -> Block {
    let heads: [&[&str]; 6] = [
        &["program"],
        &["tool"],
        &["work"],
        &["spindle", "and feed"],
        &["cutting"],
        &["in the air", "and waiting"],
    ];
    let columns: Vec<Column> = heads
        .iter()
        .enumerate()
        .map(|(i, head)| {
            let cells = setup
                .programs
                .iter()
                .map(|row| match i {
                    0 => row[0]
                        .lines()
                        .flat_map(|line| broken(&clean(line), NAME_MOST, Lettering::SMALL.capitals, false))
                        .collect(),
                    _ => row[i].lines().map(clean).collect(),
                })
                .collect();
            Column::of(head, cells)
        })
        .collect();
    filled(
        "Programs, in this order",
        &columns,
        setup.programs.len(),
        room,
        "Each program was simulated from its own text and found in order; its head has the same mark. AIR-CUT FIRST: run it above the stock, a hand on the stop.",
    )
}

fn facts(setup: &CutSetup, width: f64) -> Block {
    let mut canvas = Canvas::default();
    let lettering = Lettering::SMALL;
    canvas.text(
        [0.0, Lettering::BODY_BOLD.capitals],
        "Set up",
        Lettering::BODY_BOLD,
        Anchor::Start,
    );
    let column = 21.0;
    let mut y = Lettering::BODY_BOLD.line() + 1.5;
    for [name, value] in &setup.facts {
        canvas.text([0.0, y + 2.0], clean(name), Lettering::SMALL_BOLD, Anchor::Start);
        for line in wrap(&clean(value), width - column, lettering.capitals, false) {
            canvas.text([column, y + 2.0], line, lettering, Anchor::Start);
            y += lettering.line();
        }
        y += 0.5;
    }
    Block {
        canvas,
        width,
        height: y,
    }
}

/// The sheet of one setup's outcome, and the coloured map that belongs on it.
///
/// # Errors
/// As [`cut_sheets`].
pub fn outcome_sheet(
    part: CutPart,
    outcome: &CutOutcome,
    options: &SheetOptions,
) -> Result<(Sheet, Vec<Raster>), DrawingError> {
    part.check(options)?;
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
    let mut sheets = part.finished(options, vec![draft])?;
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
