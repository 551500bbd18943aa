//! The station table.

use super::short;
use crate::canvas::{Anchor, Block, Canvas, Lettering, LineKind};
use crate::figures::Figures;
use saddle::{Hold, Plan, StringPlan};
use work::{Heights, StringHeight};

/// Air at each side of a cell, mm; the first that keeps the table inside its room is taken.
const PADS: [f64; 3] = [1.4, 1.0, 0.8];
/// From baseline to baseline in a cell, mm.
const LINE: f64 = 1.6 * CELL.capitals;
/// Air over and under a row, mm.
const LEAD: f64 = 1.2;
const CELL: Lettering = Lettering::FIGURE;
const HEAD: Lettering = Lettering::SMALL;

pub(crate) struct Column {
    head: Vec<String>,
    cells: Vec<Vec<String>>,
}

impl Column {
    fn new<T: Into<String>>(plan: &Plan, head: &[&str], cell: impl Fn(&StringPlan) -> Vec<T>) -> Self {
        let cells = plan
            .strings
            .iter()
            .map(|s| cell(s).into_iter().map(Into::into).collect());
        Self::of(head, cells.collect())
    }

    /// A column of cells of one line or more.
    pub fn of(head: &[&str], cells: Vec<Vec<String>>) -> Self {
        Self {
            head: head.iter().map(|h| (*h).to_owned()).collect(),
            cells,
        }
    }

    fn width(&self, pad: f64) -> f64 {
        let all = self.cells.iter().flatten().map(|t| CELL.width(t));
        let heads = self.head.iter().map(|t| HEAD.width(t));
        all.chain(heads).fold(0.0, f64::max) + 2.0 * pad
    }
}

/// What to make at every string, bass to treble, no wider than `room` mm if it can be; in both units, or in the bench's alone.
pub(crate) fn heights(plan: &Plan, figures: Figures, both: bool, beside: &Heights, room: f64) -> Block {
    let columns = height_columns(plan, figures, both, beside);
    filled(
        "At every string",
        &columns,
        plan.strings.len(),
        room,
        &height_note(plan, figures, both, beside),
    )
}

/// The same with setbacks and with what filing costs.
pub(crate) fn whole(plan: &Plan, figures: Figures, beside: &Heights, room: f64) -> Block {
    let mut columns = height_columns(plan, figures, true, beside);
    columns.extend(cost_columns(plan, figures));
    let note = format!("{} {COST_NOTE}", height_note(plan, figures, true, beside));
    filled("At every string", &columns, plan.strings.len(), room, &note)
}

/// Setbacks, and what filing costs, bass to treble.
pub(crate) fn costs(plan: &Plan, figures: Figures) -> Block {
    let mut columns = vec![Column::new(plan, &["string"], |s| {
        vec![format!("{} {}", s.number, name(s))]
    })];
    columns.extend(cost_columns(plan, figures));
    let note = format!("{}. {COST_NOTE}", figures.name());
    filled(
        "Setback, and what filing costs",
        &columns,
        plan.strings.len(),
        f64::INFINITY,
        &note,
    )
}

const COST_NOTE: &str = "Lost: for each 1/64 in filed forward; action at fret 12.";

/// The note that a string is tuned to.
fn name(s: &StringPlan) -> String {
    crate::text::shorten(&crate::text::clean(&s.note), 14.0, CELL.capitals, false)
}

fn height_columns(plan: &Plan, figures: Figures, both: bool, beside: &Heights) -> Vec<Column> {
    let two = |mm: f64| {
        if both {
            figures.stacked(mm)
        } else {
            vec![figures.one(mm)]
        }
    };
    let named = |s: &StringPlan| {
        let (number, name) = (s.number.to_string(), name(s));
        if both {
            vec![number, name]
        } else {
            vec![format!("{number} {name}")]
        }
    };
    let mut columns = vec![
        Column::new(plan, &["string"], named),
        Column::new(plan, &["up from", "bottom", "edge"], |s| two(s.contact.v)),
    ];
    if let Some(proud) = beside.proud.filter(|by| *by > 0.0) {
        columns.push(Column::new(plan, &["proud,", "first", "to"], |s| {
            two(s.contact.v + proud)
        }));
    }
    columns.push(Column::new(plan, &["back from", "front", "face"], |s| two(s.contact.b)));
    let mut add = |head: &[&str], value: fn(&StringHeight) -> Option<f64>| {
        if beside.strings.iter().any(|s| value(s).is_some()) {
            let cell = |s| vec![value(s).map_or_else(|| "–".to_owned(), |mm| figures.one(mm))];
            columns.push(Column::of(head, beside.strings.iter().map(cell).collect()));
        }
    };
    add(&["sure", "to"], |s| s.sure_to);
    add(&["off the", "old"], |s| s.off_old);
    columns.push(Column::new(plan, &["along from", "bass end"], |s| {
        two(s.contact.u - plan.ends.0)
    }));
    if plan.mouth.is_some() {
        columns.push(Column::new(plan, &["exposure"], |s| {
            s.exposure.map_or_else(|| vec!["–".to_owned()], two)
        }));
    }
    if any_held(plan) {
        let held = |s: &StringPlan, side: &str| {
            let lines = [format!("■ {side}"), format!("{} short", figures.one(short(s).abs()))];
            if both { lines.to_vec() } else { vec![lines.join(", ")] }
        };
        columns.push(Column::new(plan, &["held", "at land"], |s| match s.hold {
            Hold::Free => vec!["no".to_owned()],
            Hold::Front => held(s, "FRONT"),
            Hold::Back => held(s, "BACK"),
        }));
    }
    columns
}

fn height_note(plan: &Plan, figures: Figures, both: bool, beside: &Heights) -> String {
    let mut note = if both {
        format!("{}, [{}] below.", figures.name(), figures.beside_name())
    } else {
        format!("{}.", figures.name())
    };
    let words = report::beside_words(beside);
    if !words.is_empty() {
        note += &format!(" {words}");
    }
    if any_held(plan) {
        note + " Held, and a square round the mark: the contact wanted lies outside the land, short by the figure given."
    } else {
        note
    }
}

fn any_held(plan: &Plan) -> bool {
    plan.strings.iter().any(|s| s.hold != Hold::Free)
}

fn cost_columns(plan: &Plan, figures: Figures) -> Vec<Column> {
    let shown = |mm: f64| vec![figures.one(mm)];
    let bass = plan.strings.first().map_or(0.0, |s| s.contact.u);
    let mut columns = vec![
        Column::new(plan, &["from bass", "string"], |s| shown(s.contact.u - bass)),
        Column::new(plan, &["setback"], |s| shown(s.setback)),
    ];
    if plan.strings.iter().any(|s| s.nut_setback != 0.0) {
        columns.push(Column::new(plan, &["nut", "setback"], |s| shown(s.nut_setback)));
    }
    columns.push(Column::new(plan, &["lost at", "crown"], |s| shown(s.filing.drop)));
    columns.push(Column::new(plan, &["lost of", "action"], |s| {
        shown(s.filing.action_loss)
    }));
    columns
}

/// The columns as a table no wider than `room` mm if it can be, with `note` under it.
pub(crate) fn filled(title: &str, columns: &[Column], rows: usize, room: f64, note: &str) -> Block {
    let width = |pad: f64| columns.iter().map(|c| c.width(pad)).sum::<f64>();
    let pad = PADS.into_iter().find(|pad| width(*pad) <= room).unwrap_or(PADS[0]);
    let mut block = set(title, columns, rows, pad);
    for line in crate::text::wrap(note, block.width, HEAD.capitals, false) {
        block.height += HEAD.line();
        block.canvas.text([0.0, block.height - 0.4], line, HEAD, Anchor::Start);
    }
    block
}

fn set(title: &str, columns: &[Column], rows: usize, pad: f64) -> Block {
    let mut canvas = Canvas::default();
    let widths: Vec<f64> = columns.iter().map(|c| c.width(pad)).collect();
    let width: f64 = widths.iter().sum();
    let line = LINE;
    let tall = |texts: usize| f64::from(u32::try_from(texts).unwrap_or(u32::MAX));
    canvas.text(
        [0.0, Lettering::BODY_BOLD.capitals],
        title,
        Lettering::BODY_BOLD,
        Anchor::Start,
    );
    let top = Lettering::BODY_BOLD.line();
    let head = columns.iter().map(|c| c.head.len()).max().unwrap_or(0);
    let mut y = top;
    let rule = |canvas: &mut Canvas, y: f64, kind: LineKind| {
        canvas.line([0.0, y], [width, y], kind);
    };
    rule(&mut canvas, y, LineKind::Outline);
    let row = |canvas: &mut Canvas, y: f64, lettering: Lettering, texts: &dyn Fn(usize) -> Vec<String>| {
        let mut x = 0.0;
        for (i, w) in widths.iter().enumerate() {
            for (j, text) in texts(i).into_iter().enumerate() {
                let baseline = y + LEAD + CELL.capitals + tall(j) * line;
                canvas.text([x + 0.5 * w, baseline], text, lettering, Anchor::Middle);
            }
            x += w;
        }
    };
    row(&mut canvas, y, HEAD, &|i| columns[i].head.clone());
    y += tall(head) * line + LEAD;
    rule(&mut canvas, y, LineKind::Outline);
    for r in 0..rows {
        row(&mut canvas, y, CELL, &|i| columns[i].cells[r].clone());
        let lines = columns.iter().map(|c| c.cells[r].len()).fold(1, usize::max);
        y += tall(lines) * line + LEAD;
        let kind = if r + 1 == rows {
            LineKind::Outline
        } else {
            LineKind::Narrow
        };
        rule(&mut canvas, y, kind);
    }
    Block {
        canvas,
        width,
        height: y,
    }
}
