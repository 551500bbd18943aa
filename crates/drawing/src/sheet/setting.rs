//! Words into the rooms that the drawing leaves, and on sheets of their own where these are too few: whole passages, lists in one place, no
//! head alone, and no sheet for a few lines.

use super::draft::{Area, Draft, GAP};
use super::words::{HEAD_LEAD, Passages, Room};
use std::collections::HashMap;
use std::ops::Range;
use std::rc::Rc;

/// A room is parted into two columns where it is wider, mm: longer lines are hard to read.
const WIDE: f64 = 160.0;
/// Share of a sheet of words that they fill at least, where there are enough.
const FILLED: f64 = 0.4;
/// A sheet that uses more of its room than another by this share is fuller.
const FULLER: f64 = 0.08;
/// Cost of a share that such a sheet is short of that; a part in two places costs 1.
const SHORT: f64 = 10.0;
/// Cost of standing a room later than the first, beside the cost of a part in two places, for each of [`Passages::early`].
const LATER: f64 = 0.01;

/// Room for one column.
struct Column {
    /// Number of its draft.
    draft: usize,
    room: Room,
}

/// A run of a part's passages in a column.
struct Run {
    part: usize,
    passages: Range<usize>,
    column: usize,
    /// Below the column's top, mm.
    down: f64,
}

/// Of these drafts of one set of sheets those with which the words need the fewest sheets, of several those whose emptiest sheet is
/// fuller by [`FULLER`], and then the first; with their words.
pub(super) fn fewest(all: impl IntoIterator<Item = Vec<Draft>>, parts: &[Passages], area: Area) -> Vec<Draft> {
    let mut measured = Measured::of(parts, area);
    let all = all.into_iter().map(|drafts| {
        let set = measured.set(drafts, area);
        let emptiest = set.iter().map(|draft| draft.used(area)).fold(1.0, f64::min);
        (set, emptiest)
    });
    let better = |one: (Vec<Draft>, f64), other: (Vec<Draft>, f64)| {
        let fewer = other.0.len() < one.0.len();
        let fuller = other.0.len() == one.0.len() && other.1 > one.1 + FULLER;
        if fewer || fuller { other } else { one }
    };
    all.reduce(better).map(|(drafts, _)| drafts).unwrap_or_default()
}

/// Parts as they are set, and how high their passages are in columns of the widths that were asked for: one set of sheets tries many
/// places, and breaking lines takes the time.
struct Measured {
    parts: Vec<Passages>,
    heights: HashMap<(usize, u64), Rc<[f64]>>,
}

impl Measured {
    fn of(parts: &[Passages], area: Area) -> Self {
        let page = page_columns(area)[0];
        Self {
            parts: parts
                .iter()
                .map(|part| part.broken_for(page.width, page.height))
                .collect(),
            heights: HashMap::new(),
        }
    }

    /// Of each part in each column.
    fn heights(&mut self, columns: &[Column]) -> Vec<Vec<Rc<[f64]>>> {
        let Self { parts, heights } = self;
        let of = |(i, part): (usize, &Passages), width: f64| {
            let known = heights.entry((i, width.to_bits()));
            Rc::clone(known.or_insert_with(|| part.heights(width).into()))
        };
        let mut of = of;
        let each = parts.iter().enumerate();
        each.map(|part| columns.iter().map(|column| of(part, column.room.width)).collect())
            .collect()
    }

    /// Sets the parts into what rooms the drafts leave, and adds sheets for what finds none.
    fn set(&mut self, mut drafts: Vec<Draft>, area: Area) -> Vec<Draft> {
        let own = drafts.len();
        let page = page_columns(area);
        let mut columns: Vec<Column> = Vec::new();
        for (draft, from) in drafts.iter_mut().enumerate() {
            let rooms = std::mem::take(&mut from.free).into_iter().flat_map(parted);
            columns.extend(rooms.map(|room| Column { draft, room }));
        }
        let runs = loop {
            let heights = self.heights(&columns);
            if let Some(runs) = best(&columns, &self.parts, &heights, own) {
                break runs;
            }
            columns.extend(page.map(|room| Column {
                draft: drafts.len(),
                room,
            }));
            drafts.push(Draft::new("Notes"));
        };
        for run in &runs {
            let same: Vec<usize> = (0..runs.len()).filter(|i| runs[*i].part == run.part).collect();
            let number = same
                .iter()
                .filter(|i| runs[**i].passages.start <= run.passages.start)
                .count();
            let Column { draft, room } = &columns[run.column];
            let at = [room.at[0], room.at[1] + run.down];
            let canvas = &mut drafts[*draft].canvas;
            self.parts[run.part].set(canvas, run.passages.clone(), [number, same.len()], at, room.width);
        }
        drafts
    }
}

/// The columns of a sheet of words.
fn page_columns(area: Area) -> [Room; 2] {
    let width = 0.5 * (area.width - 2.0 * GAP);
    [area.left, area.left + width + 2.0 * GAP].map(|left| Room {
        at: [left, area.top],
        width,
        height: area.height,
    })
}

fn parted(room: Room) -> Vec<Room> {
    if room.width <= WIDE {
        return vec![room];
    }
    let width = 0.5 * (room.width - 2.0 * GAP);
    let lefts = [room.at[0], room.at[0] + width + 2.0 * GAP];
    lefts
        .map(|left| Room {
            at: [left, room.at[1]],
            width,
            ..room
        })
        .to_vec()
}

/// The cheapest way to set all of it into these columns, if there is one; drafts from `own` on are sheets of words.
fn best(columns: &[Column], parts: &[Passages], heights: &[Vec<Rc<[f64]>>], own: usize) -> Option<Vec<Run>> {
    let mut best: Option<(f64, Vec<Run>)> = None;
    let mut starts = vec![0; parts.len()];
    loop {
        if let Some((cost, runs)) = set_from(columns, parts, heights, &starts, own)
            && best.as_ref().is_none_or(|(least, _)| cost < *least)
        {
            best = Some((cost, runs));
        }
        // The next number in a system whose digits are the columns.
        let Some(digit) = starts.iter().rposition(|start| start + 1 < columns.len()) else {
            return best.map(|(_, runs)| runs);
        };
        starts[digit] += 1;
        starts[digit + 1..].fill(0);
    }
}

/// Every part from its starting column on, if they find room so, with what that costs.
fn set_from(
    columns: &[Column],
    parts: &[Passages],
    heights: &[Vec<Rc<[f64]>>],
    starts: &[usize],
    own: usize,
) -> Option<(f64, Vec<Run>)> {
    let mut used = vec![0.0; columns.len()];
    let mut runs = Vec::new();
    let mut cost = 0.0;
    for (i, part) in parts.iter().enumerate() {
        let before = runs.len();
        let mut from = 0;
        let mut column = starts[i];
        while from < part.count() {
            let own_heights = heights[i].get(column)?;
            let down = used[column] + if used[column] > 0.0 { HEAD_LEAD } else { 0.0 };
            let mut y = down + Passages::head_height();
            let fits = own_heights[from..].iter().take_while(|height| {
                let fits = y + **height <= columns[column].room.height;
                y += if fits { **height } else { 0.0 };
                fits
            });
            let taken = fits.count();
            if part.whole && taken < part.count() {
                return None;
            }
            if taken > 0 {
                runs.push(Run {
                    part: i,
                    passages: from..from + taken,
                    column,
                    down,
                });
                used[column] = y;
                from += taken;
            }
            column += 1;
        }
        cost += (runs.len() - before).saturating_sub(1) as f64 + LATER * part.early * starts[i] as f64;
    }
    let sheets = columns
        .iter()
        .map(|column| column.draft)
        .max()
        .map_or(0, |last| last + 1);
    for sheet in own..sheets {
        let of = columns.iter().zip(&used).filter(|(column, _)| column.draft == sheet);
        let [filled, all] = of.fold([0.0, 0.0], |[filled, all], (column, used)| {
            [filled + used, all + column.room.height]
        });
        cost += SHORT * (FILLED - filled / all).max(0.0);
    }
    Some((cost, runs))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::canvas::Shape;
    use crate::sheet::words::{CUTTING_STEPS, Words};
    use job::Paper;
    use work::Hazards;

    fn heads(draft: &Draft) -> Vec<String> {
        let items = draft.canvas.items.iter();
        let texts = items.filter_map(|item| match &item.shape {
            Shape::Text(text) => Some(text),
            _ => None,
        });
        let bold = texts.filter(|text| text.lettering.bold);
        bold.map(|text| text.content.clone()).collect()
    }

    fn set(rooms: &[f64], parts: &[Passages]) -> Vec<Vec<String>> {
        let area = Area::of(Paper::A4);
        let mut draft = Draft::new("setup");
        for (left, height) in [0.0, 120.0].into_iter().zip(rooms) {
            draft.leave([left, 0.0], 110.0, *height);
        }
        Measured::of(parts, area)
            .set(vec![draft], area)
            .iter()
            .map(heads)
            .collect()
    }

    #[test]
    fn lists_stay_whole() {
        let parts = Words::of(Hazards::default(), &CUTTING_STEPS, &["A note.".to_owned()]);
        let [notes, order, cautions] = [0, 1, 2].map(|i| parts[i].height(110.0));
        let all = vec![vec!["Notes", "Cautions", "Order of work"]];
        let mut set_all = set(&[notes + cautions + HEAD_LEAD + 0.1, order + 0.1], &parts);
        set_all[0].sort();
        let mut wanted = all;
        wanted[0].sort_unstable();
        assert_eq!(set_all, wanted);
        // No room at all, and so little that a sheet of words is needed: then it is not for one of them alone.
        assert_eq!(
            set(&[], &parts),
            vec![vec![], vec!["Notes", "Order of work", "Cautions"]]
        );
        let two = set(&[order + 0.1], &parts);
        assert_eq!(two[1].len(), 3, "{two:?}");
    }

    #[test]
    fn notes_go_on_between_whole_notes_and_say_so() {
        let notes: Vec<String> = (0..40).map(|i| format!("Note {i} has words enough for one line, and some more for another one that is shorter.\n1. One way.\n2. Another way.")).collect();
        let parts = Words::of(Hazards::default(), &[""; 0], &notes);
        let sheets = set(&[80.0], &parts);
        assert!(sheets.len() > 2, "{sheets:?}");
        let numbered: Vec<&String> = sheets
            .iter()
            .flatten()
            .filter(|head| head.contains("Notes, part"))
            .collect();
        assert!(
            numbered.len() > 2 && numbered[1].starts_with("Notes, part 2 of "),
            "{numbered:?}"
        );
    }

    #[test]
    fn a_list_longer_than_a_sheet_is_parted_between_its_items_and_a_passage_between_its_words() {
        let steps: Vec<String> = (1..60).map(|i| format!("{i}. A step of the work that takes up one line or rather two of them, for it is a long one to read.")).collect();
        let parts = Words::of(Hazards::default(), &steps, &["word ".repeat(2000)]);
        let sheets = set(&[], &parts);
        assert!(
            sheets
                .iter()
                .flatten()
                .any(|head| head.starts_with("Order of work, part 2 of ")),
            "{sheets:?}"
        );
        assert!(
            sheets
                .iter()
                .flatten()
                .any(|head| head.starts_with("Notes, part 2 of ")),
            "{sheets:?}"
        );
    }
}
