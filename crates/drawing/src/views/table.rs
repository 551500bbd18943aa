//! The station table.

use super::short;
use crate::canvas::{Anchor, Block, Canvas, Lettering, LineKind};
use crate::figures::Figures;
use saddle::{Hold, Plan, StringPlan};

/// Air at each side of a cell, mm; the first that keeps the table inside its room is taken.
const PADS: [f64; 3] = [1.3, 0.9, 0.6];
/// Air over and under a row, mm.
const LEAD: f64 = 1.2;
const CELL: Lettering = Lettering::SMALL;
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

/// The table, bass to treble, no wider than `room` mm if it can be.
pub(crate) fn table(plan: &Plan, figures: Figures, room: f64) -> Block {
    let bass = plan.strings.first().map_or(0.0, |s| s.contact.u);
    let two = |mm: f64| figures.stacked(mm);
    let mut columns = vec![
        Column::new(plan, &["string"], |s| {
            let note = crate::text::shorten(&crate::text::clean(&s.note), 14.0, CELL.capitals, false);
            vec![format!("{}", s.number), note]
        }),
        Column::new(plan, &["along from", "bass end"], |s| two(s.contact.u - plan.ends.0)),
        Column::new(plan, &["along from", "bass", "string"], |s| two(s.contact.u - bass)),
        Column::new(plan, &["back from", "front", "face"], |s| two(s.contact.b)),
        Column::new(plan, &["up from", "bottom", "edge"], |s| two(s.contact.v)),
        Column::new(plan, &["setback"], |s| two(s.setback)),
    ];
    if plan.strings.iter().any(|s| s.nut_setback != 0.0) {
        columns.push(Column::new(plan, &["nut", "setback"], |s| two(s.nut_setback)));
    }
    if plan.mouth.is_some() {
        columns.push(Column::new(plan, &["exposure"], |s| {
            s.exposure.map_or_else(|| vec!["–".to_owned()], two)
        }));
    }
    columns.push(Column::new(plan, &["held", "at land"], |s| match s.hold {
        Hold::Free => vec!["no".to_owned()],
        Hold::Front => vec!["■ FRONT".to_owned(), format!("{} short", figures.one(short(s).abs()))],
        Hold::Back => vec!["■ BACK".to_owned(), format!("{} short", figures.one(short(s).abs()))],
    }));
    columns.push(Column::new(plan, &["1/64 in", "filed fwd:", "drop"], |s| {
        two(s.filing.drop)
    }));
    columns.push(Column::new(plan, &["1/64 in", "filed fwd:", "action 12"], |s| {
        two(-s.filing.action_loss)
    }));
    let note = format!(
        "{}, [{}] below. Held: the contact wanted lies outside the land, short by the figure given.",
        figures.name(),
        figures.beside_name()
    );
    filled("Stations", &columns, plan.strings.len(), room, &note)
}

/// The columns as a table no wider than `room` mm if it can be, with `note` under it.
pub(crate) fn filled(title: &str, columns: &[Column], rows: usize, room: f64, note: &str) -> Block {
    let width = |pad: f64| columns.iter().map(|c| c.width(pad)).sum::<f64>();
    let pad = PADS.into_iter().find(|pad| width(*pad) <= room).unwrap_or(PADS[0]);
    let mut block = set(title, columns, rows, pad);
    for line in crate::text::wrap(note, block.width, CELL.capitals, false) {
        block.height += CELL.line();
        block.canvas.text([0.0, block.height - 0.4], line, CELL, Anchor::Start);
    }
    block
}

fn set(title: &str, columns: &[Column], rows: usize, pad: f64) -> Block {
    let mut canvas = Canvas::default();
    let widths: Vec<f64> = columns.iter().map(|c| c.width(pad)).collect();
    let width: f64 = widths.iter().sum();
    let line = CELL.line();
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
    let row = |canvas: &mut Canvas, y: f64, texts: &dyn Fn(usize) -> Vec<String>| {
        let mut x = 0.0;
        for (i, w) in widths.iter().enumerate() {
            for (j, text) in texts(i).into_iter().enumerate() {
                let baseline = y + LEAD + CELL.capitals + tall(j) * line;
                canvas.text([x + 0.5 * w, baseline], text, CELL, Anchor::Middle);
            }
            x += w;
        }
    };
    row(&mut canvas, y, &|i| columns[i].head.clone());
    y += tall(head) * line + LEAD;
    rule(&mut canvas, y, LineKind::Outline);
    for r in 0..rows {
        row(&mut canvas, y, &|i| columns[i].cells[r].clone());
        let lines = columns.iter().map(|c| c.cells[r].len()).fold(2, usize::max);
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
