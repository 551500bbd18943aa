//! The sheets of a nut.

use super::bound::{bound, drawable};
use super::draft::{Area, Draft, GAP, fits, too_large};
use super::frame::Title;
use super::layout::{beside_views, places, put, put_alone};
use super::sections::{SECTIONS_ACROSS, cell_width};
use super::setting::fewest;
use super::words::Words;
use super::{Sheet, SheetOptions};
use crate::DrawingError;
use crate::canvas::{Canvas, Lettering};
use crate::figures::Figures;
use crate::text::clean;
use crate::views::nut::{NutScene, part, pattern, section, table::table};
use machining::PartKind;
use numerics::trimmed;
use nut::{Front, NutPlan};

/// Enlargements of the two views, largest first.
const SCALES: [f64; 2] = [2.0, 1.0];
/// Sections keep at least this enlargement where the patterns share their sheet.
const LEAST_SCALE: f64 = 3.0;

/// How to use the sheets of a nut.
const STEPS: [&str; 5] = [
    "1. Measure both bars. If one is wrong, do not use this sheet.",
    "2. Bring the bottom and the front face of the blank dead flat and square; fit it to its seat.",
    "3. Glue the strip on the top and the pattern on the front face, bottom to bottom. Check which end is BASS.",
    "4. Saw the ends and the top outside the line. Start the slots with a thin saw along the strip's lines.",
    "5. Lay the feeler stack of the table and the depth to leave on the board in front of each slot, and file down to them: they stop the file. Files as wide as the slot; fall to the tuners as drawn.",
];
/// The step after them where a saddle is made too.
const WITH_SADDLE: &str = "6. Leave the saddle proud. String up to pitch and take each slot to its final gap at fret 1 in small strokes. Then the saddle, then the intonation.";
/// The same where the saddle stays.
const SADDLE_STAYS: &str = "6. The saddle stays. String up to pitch and take each slot to its final gap at fret 1 in small strokes. Then read the action at fret 12.";
/// The last step.
const GAUGED: &str = "7. A slot as narrow as a plain string is finished with gauged files, whatever began it. Too deep: fill it or make the nut again.";

/// The sheets of a nut at true scale. `names` are the notes of its strings, bass to treble.
///
/// # Errors
/// A plan without strings, a part too large for the paper, places that are not numbers, or a font that cannot be read.
pub fn nut_sheets(plan: &NutPlan, names: &[String], options: &SheetOptions) -> Result<Vec<Sheet>, DrawingError> {
    check_options(plan, options)?;
    let area = Area::of(options.paper);
    let scene = NutScene {
        plan,
        names,
        figures: Figures::new(options.bench),
    };
    let stays = plan.lines.iter().any(|line| line.now.is_some());
    let mut steps: Vec<&str> = options.steps.iter().map(String::as_str).collect();
    if steps.is_empty() {
        steps.extend(STEPS);
        steps.extend([if stays { SADDLE_STAYS } else { WITH_SADDLE }, GAUGED]);
    }
    let words = Words::of(options.hazards, &steps, &options.notes);
    let drafts = ways(&scene, &clean(&options.headline), area)?;
    finished(plan, options, "1:1 unless said", fewest(drafts, &words, area))
}

/// Ways to lay the sheets out, the best first: the table of slots beside the views, these as large as can be.
fn ways(scene: &NutScene, said: &str, area: Area) -> Result<Vec<Vec<Draft>>, DrawingError> {
    let first = |scale: f64| beside_views(said, area, |_| part::views(scene, scale));
    let least = first(1.0).map_err(|views| too_large(&views, area, PartKind::Nut))?;
    let mut firsts: Vec<Draft> = SCALES.into_iter().filter_map(|scale| first(scale).ok()).collect();
    firsts.push(least);
    let mut thens = vec![vec![patterns(scene, area, true)?, section_sheet(scene, area)?]];
    thens.extend(joint_sheet(scene, area)?.map(|joint| vec![joint]));
    let (mut beside, mut elsewhere) = (Vec::new(), Vec::new());
    for first in &firsts {
        let room = first.free.first().map_or(0.0, |room| room.width);
        let slots = table(scene, room);
        for then in &thens {
            let drafts = [vec![first.clone()], then.clone()].concat();
            for place in places(&drafts, &slots) {
                let way = put(&drafts, place, &slots);
                if place[0] == 0 {
                    beside.push(way)
                } else {
                    elsewhere.push(way)
                }
            }
            if beside.is_empty() {
                let slots = table(scene, area.width);
                fits(&slots, area, PartKind::Nut)?;
                elsewhere.push(put_alone(&drafts, &slots, area));
            }
        }
    }
    beside.extend(elsewhere);
    Ok(beside)
}

pub(super) fn check_options(plan: &NutPlan, options: &SheetOptions) -> Result<(), DrawingError> {
    drawable(plan.strings.len(), figures_of(plan), title_of(options))
}

/// Numbers the drafts of a nut, and sets frame, bars and title block round each.
pub(super) fn finished(
    plan: &NutPlan,
    options: &SheetOptions,
    scale: &'static str,
    drafts: Vec<Draft>,
) -> Result<Vec<Sheet>, DrawingError> {
    bound(options, &title_of(options), drafts, |numbers, name| {
        block(plan, options, scale, numbers, name)
    })
}

/// Patterns side by side, or one over the other; `alone` on their sheet, or with a room of their width below them.
fn patterns(scene: &NutScene, area: Area, alone: bool) -> Result<Draft, DrawingError> {
    let (strip, front) = (pattern::strip(scene), pattern::front(scene));
    fits(&strip, area, PartKind::Nut)?;
    fits(&front, area, PartKind::Nut)?;
    let mut draft = Draft::new(if alone { "Patterns" } else { "Patterns and checks" });
    let right = area.beside(strip.width + GAP);
    let (tall, wide) = if front.width <= right.width {
        draft.canvas.place(front.canvas, [right.left, right.top]);
        (strip.height.max(front.height), strip.width + GAP + front.width)
    } else {
        let below = area.below(strip.height + GAP);
        if front.height > below.height {
            return Err(DrawingError::TooHigh {
                needed: strip.height + GAP + front.height,
                room: area.height,
            });
        }
        draft.canvas.place(front.canvas, [below.left, below.top]);
        (strip.height + GAP + front.height, strip.width.max(front.width))
    };
    draft.canvas.place(strip.canvas, [area.left, area.top]);
    let (below, beside) = (area.below(tall + GAP), area.beside(wide + GAP));
    draft.leave([beside.left, beside.top], beside.width, tall);
    draft.leave([below.left, below.top], below.width, below.height);
    Ok(draft)
}

/// Patterns, with the sections below them if both fit.
fn joint_sheet(scene: &NutScene, area: Area) -> Result<Option<Draft>, DrawingError> {
    let mut draft = patterns(scene, area, false)?;
    let Some(below) = draft.free.pop().filter(|room| room.width >= area.width) else {
        return Ok(None);
    };
    let below = area.below(below.at[1] - area.top);
    let Some(fitting) = fitting(scene, below).filter(|(scale, _)| *scale >= LEAST_SCALE) else {
        return Ok(None);
    };
    let end = area.below(sections(&mut draft.canvas, scene, fitting, below) + GAP - area.top);
    draft.leave([end.left, end.top], end.width, end.height);
    Ok(Some(draft))
}

fn section_sheet(scene: &NutScene, area: Area) -> Result<Draft, DrawingError> {
    let fitting = fitting(scene, area).ok_or_else(|| DrawingError::TooHigh {
        needed: head() + section::cell_height(scene, 1.0) * count(scene.plan.strings.len().div_ceil(SECTIONS_ACROSS)),
        room: area.height,
    })?;
    let mut draft = Draft::new("Checks");
    let end = area.below(sections(&mut draft.canvas, scene, fitting, area) + GAP - area.top);
    draft.leave([end.left, end.top], end.width, end.height);
    Ok(draft)
}

/// The largest enlargement of the sections, and how many stand on a line: one line more than need be where they are larger so.
fn fitting(scene: &NutScene, area: Area) -> Option<(f64, usize)> {
    let strings = scene.plan.strings.len();
    let least = strings.div_ceil(SECTIONS_ACROSS);
    let with = |lines: usize| {
        let across = strings.div_ceil(lines);
        let share = (area.height - head()) / count(lines);
        section::fitting_scale(scene, cell_width(area, across), share).map(|scale| (scale, across))
    };
    let [few, more] = [with(least), with(least + 1)];
    few.into_iter()
        .chain(more)
        .reduce(|few, more| if more.0 > few.0 { more } else { few })
}

fn count(n: usize) -> f64 {
    f64::from(u32::try_from(n).unwrap_or(1))
}

fn head() -> f64 {
    Lettering::BODY_BOLD.line() + Lettering::SMALL.line() + 2.0
}

/// Sections in lines, left to right as in the front view; answers the y where they end.
fn sections(canvas: &mut Canvas, scene: &NutScene, (scale, across): (f64, usize), area: Area) -> f64 {
    let cell = cell_width(area, across);
    let (title, small) = section::heading(scene, scale);
    let mut heading = Canvas::default();
    crate::views::heading(&mut heading, 0.0, &title, &small, area.width);
    canvas.place(heading, [area.left, area.top]);
    let strings = scene.plan.strings.len();
    let order: Vec<usize> = if scene.plan.left_handed {
        (0..strings).rev().collect()
    } else {
        (0..strings).collect()
    };
    let high = section::cell_height(scene, scale);
    let lines = count(strings.div_ceil(across.max(1)));
    // What is left between lines is left below one line.
    let share = (area.height - head()) / lines;
    let pitch = if lines > 1.0 {
        high.max(share.min(high + 2.0 * GAP))
    } else {
        high
    };
    let mut top = area.top + head();
    for line in order.chunks(across.max(1)) {
        let mut x = area.left;
        for &index in line {
            canvas.place(section::section(scene, index, scale, cell).canvas, [x, top]);
            x += cell;
        }
        top += pitch;
    }
    top
}

/// Every number that a sheet writes out.
fn figures_of(plan: &NutPlan) -> impl Iterator<Item = f64> {
    let blank = &plan.blank;
    let part = [
        plan.board_width,
        plan.ends[0],
        plan.ends[1],
        plan.front_x,
        plan.fall,
        plan.proud,
        blank.thickness,
        blank.height,
        blank.length,
    ];
    let strings = plan.strings.iter().flat_map(|s| {
        [
            s.u, s.y, s.b, s.floor, s.stack, s.width, s.top, s.depth, s.shows, s.setback, s.back_y, s.board,
        ]
    });
    part.into_iter().chain(strings)
}

fn title_of(options: &SheetOptions) -> String {
    let title = clean(&options.title);
    if title.is_empty() { "New nut".to_owned() } else { title }
}

fn block(plan: &NutPlan, options: &SheetOptions, scale: &'static str, [number, of]: [usize; 2], name: &str) -> Title {
    let (blank, figures) = (&plan.blank, Figures::new(options.bench));
    let material = clean(&blank.material);
    let front = match plan.front {
        Front::Plain => "no shelf".to_owned(),
        Front::Shelf => format!("shelf {}", figures.trimmed(plan.front_x)),
        Front::Straight => format!("shift {}", figures.trimmed(plan.front_x)),
    };
    Title {
        title: title_of(options),
        sheet_name: name.to_owned(),
        material: if material.is_empty() {
            "–".to_owned()
        } else {
            material
        },
        blank: format!(
            "{} × {} × {} nut",
            figures.trimmed(blank.thickness),
            figures.trimmed(blank.height),
            figures.trimmed(blank.length)
        ),
        form: (
            "Nut: fall of slots, front",
            format!("{}°, {front}", trimmed(plan.fall.to_degrees(), 2)),
        ),
        units: format!("{} [{}]", figures.name(), figures.beside_name()),
        scale,
        number,
        of,
    }
}
