//! Border, title block and the bars that check the printer.

use crate::canvas::{Anchor, Block, Canvas, Fill, Lettering, LineKind, Point};
use crate::paper;
use crate::text::{shorten, wrap};
use job::Paper;

/// Between the edge of the paper and the border, mm: within reach of common desk printers.
pub(crate) const MARGIN: f64 = 10.0;
/// Height of the strip at the bottom with bars and title block, mm.
pub(crate) const STRIP: f64 = 31.0;
/// Air inside the border, mm.
pub(crate) const PAD: f64 = 4.0;
/// Width of the part with the bars, mm: 4 in and air.
const BARS: f64 = 114.0;
/// 4 in, mm.
const FOUR_INCHES: f64 = 101.6;
const CAPTION: Lettering = Lettering::SMALL;
const VALUE: Lettering = Lettering::SMALL_BOLD;

/// What the title block says.
#[derive(Debug, Clone)]
pub(crate) struct Title {
    pub title: String,
    pub sheet_name: String,
    pub material: String,
    pub blank: String,
    /// What the part's form is called, and the form.
    pub form: (&'static str, String),
    pub units: String,
    pub scale: &'static str,
    pub number: usize,
    pub of: usize,
}

/// Border, bars and title block for the whole sheet.
pub(crate) fn frame(paper: Paper, title: &Title) -> Canvas {
    let (width, height) = paper::size(paper);
    let mut canvas = Canvas::default();
    let (right, bottom) = (width - MARGIN, height - MARGIN);
    let top = bottom - STRIP;
    canvas.rectangle(
        [MARGIN, MARGIN],
        width - 2.0 * MARGIN,
        height - 2.0 * MARGIN,
        LineKind::Border,
    );
    canvas.line([MARGIN, top], [right, top], LineKind::Border);
    let split = MARGIN + BARS;
    canvas.line([split, top], [split, bottom], LineKind::Border);
    canvas.place(bars(), [MARGIN + 0.5 * (BARS - FOUR_INCHES), top]);
    canvas.place(block(paper, title, right - split).canvas, [split, top]);
    canvas
}

/// The two bars.
fn bars() -> Canvas {
    let mut canvas = Canvas::default();
    canvas.text(
        [0.0, 4.8],
        "Measure both bars before use.",
        Lettering::BODY_BOLD,
        Anchor::Start,
    );
    canvas.text(
        [0.0, 9.6],
        "Wrong length: print at 100 %, with no fit to page.",
        Lettering::SMALL,
        Anchor::Start,
    );
    bar(&mut canvas, [0.0, 16.0], 100.0, 10, "bar-100mm", "100 mm");
    bar(&mut canvas, [0.0, 26.0], FOUR_INCHES, 8, "bar-4in", "4 in = 101.6 mm");
    canvas
}

fn bar(canvas: &mut Canvas, [x, y]: Point, length: f64, parts: u32, id: &str, name: &str) {
    canvas.line([x, y], [x + length, y], LineKind::Outline).id(id);
    for i in 0..=parts {
        let at = x + length * f64::from(i) / f64::from(parts);
        let tall = if i == 0 || i == parts {
            2.6
        } else if 2 * i == parts {
            2.0
        } else {
            1.2
        };
        // Clear of the bar, whose ends are exact: a tick has a width of its own.
        canvas.line([at, y - 0.4], [at, y - tall], LineKind::Narrow);
    }
    canvas.text([x, y + 3.2], name, Lettering::SMALL, Anchor::Start);
}

/// The title block, `width` mm wide.
fn block(paper: Paper, t: &Title, width: f64) -> Block {
    let mut canvas = Canvas::default();
    let pad = 1.6;
    let tag = format!("Sheet {} of {}", t.number, t.of);
    // Row 1: title and sheet.
    let symbol = 17.0;
    let room = width - symbol - 2.0 * pad;
    let lines = wrap(&t.title, room, Lettering::TITLE.capitals, true);
    if let [title] = &lines[..] {
        canvas.text([pad, 6.9], title.clone(), Lettering::TITLE, Anchor::Start);
    } else {
        let lettering = Lettering::BODY_BOLD;
        let lines = wrap(&t.title, room, lettering.capitals, true);
        let rest = lines.get(1..).unwrap_or_default().join(" ");
        let rest = shorten(&rest, room, lettering.capitals, true);
        let first = lines.into_iter().next().unwrap_or_default();
        for (line, y) in [(first, 4.2), (rest, 8.8)]
            .into_iter()
            .filter(|(line, _)| !line.is_empty())
        {
            canvas.text([pad, y], line, lettering, Anchor::Start);
        }
    }
    projection(&mut canvas, [width - symbol, 5.4]);
    canvas.line([0.0, 10.4], [width, 10.4], LineKind::Narrow);
    // Rows 2 and 3: fields as (caption, value), as wide as their words need.
    let rows: [&[(&str, &str)]; 2] = [
        &[
            ("Material", &t.material),
            ("Blank: thick, high, long", &t.blank),
            (t.form.0, &t.form.1),
        ],
        &[
            (&tag, &t.sheet_name),
            ("Figures", &t.units),
            ("Scale", t.scale),
            ("Paper", paper::name(paper)),
            ("Drawn by", crate::PROGRAM),
        ],
    ];
    for (row, y) in rows.into_iter().zip([10.4, 20.7]) {
        let mut x = 0.0;
        for (j, ((caption, value), wide)) in row.iter().zip(shares(row, width, pad)).enumerate() {
            if j > 0 {
                canvas.line([x, y], [x, y + 10.3], LineKind::Narrow);
            }
            let room = wide - 2.0 * pad;
            for (text, down, lettering) in [(caption, 3.8, CAPTION), (value, 8.3, VALUE)] {
                let text = shorten(text, room, lettering.capitals, lettering.bold);
                canvas.text([x + pad, y + down], text, lettering, Anchor::Start);
            }
            x += wide;
        }
    }
    canvas.line([0.0, 20.7], [width, 20.7], LineKind::Narrow);
    Block {
        canvas,
        width,
        height: STRIP,
    }
}

/// Widths of the fields of a row: what their words need and an equal part of what is left; where that is less than nothing, the widest gives
/// way.
fn shares(row: &[(&str, &str)], width: f64, pad: f64) -> Vec<f64> {
    let needs = row
        .iter()
        .map(|(caption, value)| CAPTION.width(caption).max(VALUE.width(value)) + 2.0 * pad + 0.1);
    let mut needs: Vec<f64> = needs.collect();
    let left = width - needs.iter().sum::<f64>();
    if left < 0.0 {
        if let Some(widest) = needs.iter_mut().max_by(|a, b| a.total_cmp(b)) {
            *widest = (*widest + left).max(4.0 * pad);
        }
        let scale = (width / needs.iter().sum::<f64>()).min(1.0);
        needs.iter_mut().for_each(|need| *need *= scale);
    } else {
        let each = left / row.len() as f64;
        needs.iter_mut().for_each(|need| *need += each);
    }
    needs
}

/// The sign for third-angle projection (ISO 5456-2): the circles to the left of the cone.
fn projection(canvas: &mut Canvas, [x, y]: Point) {
    let (small, large) = (1.4, 2.8);
    let centre = [x + 3.2, y];
    canvas.circle(centre, large, Some(LineKind::Outline), Fill::None);
    canvas.circle(centre, small, Some(LineKind::Outline), Fill::None);
    canvas.line([x - 0.4, y], [x + 15.2, y], LineKind::Centre);
    canvas.line([centre[0], y - 3.6], [centre[0], y + 3.6], LineKind::Centre);
    let (near, far) = (x + 8.2, x + 13.8);
    canvas.polygon(
        vec![[near, y - small], [far, y - large], [far, y + large], [near, y + small]],
        Some(LineKind::Outline),
        Fill::None,
    );
}
