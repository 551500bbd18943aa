//! The sheets of a nut.

use super::bound::{bound, drawable, short_mm};
use super::draft::{Area, Draft, GAP, fits};
use super::frame::Title;
use super::layout::set_words;
use super::sections::{SECTIONS_ACROSS, cell_width};
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
    let mut drafts = vec![];
    first(&scene, area, &mut drafts)?;
    second(&scene, area, &mut drafts)?;
    let stays = plan.lines.iter().any(|line| line.now.is_some());
    let mut steps = STEPS.to_vec();
    steps.extend([if stays { SADDLE_STAYS } else { WITH_SADDLE }, GAUGED]);
    set_words(&mut drafts, Words::new(options.hazards, &steps, &options.notes), area);
    finished(plan, options, "1:1 unless said", drafts)
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

/// Views, and the table beside them if it fits.
fn first(scene: &NutScene, area: Area, drafts: &mut Vec<Draft>) -> Result<(), DrawingError> {
    let fitting = |scale: f64| {
        let block = part::views(scene, scale);
        (block.width <= area.width && block.height <= area.height).then_some(block)
    };
    let views = SCALES
        .into_iter()
        .find_map(fitting)
        .unwrap_or_else(|| part::views(scene, 1.0));
    fits(&views, area, PartKind::Nut)?;
    let (width, height) = (views.width, views.height);
    let x = area.left + width + GAP;
    let room = area.left + area.width - x;
    let under = area.top + height + GAP;
    let slots = table(scene, room);
    let mut draft = Draft::new("Nut");
    draft.canvas.place(views.canvas, [area.left, area.top]);
    if slots.width <= room && slots.height <= area.height {
        let below = area.top + slots.height + GAP;
        draft.canvas.place(slots.canvas, [x, area.top]);
        draft.leave([x, below], room, area.bottom() - below);
        draft.leave([area.left, under], width, area.bottom() - under);
        drafts.push(draft);
        return Ok(());
    }
    draft.leave([x, area.top], room, area.height);
    draft.leave([area.left, under], width, area.bottom() - under);
    drafts.push(draft);
    let slots = table(scene, area.width);
    fits(&slots, area, PartKind::Nut)?;
    let mut next = Draft::new("Slots");
    let x = area.left + slots.width + GAP;
    let below = area.top + slots.height + GAP;
    next.leave([x, area.top], area.left + area.width - x, area.height);
    next.leave([area.left, below], slots.width, area.bottom() - below);
    next.canvas.place(slots.canvas, [area.left, area.top]);
    drafts.push(next);
    Ok(())
}

/// Sections, with the patterns below them if both fit.
fn second(scene: &NutScene, area: Area, drafts: &mut Vec<Draft>) -> Result<(), DrawingError> {
    let (strip, front) = (pattern::strip(scene), pattern::front(scene));
    fits(&strip, area, PartKind::Nut)?;
    fits(&front, area, PartKind::Nut)?;
    let beside = strip.width + GAP + front.width <= area.width;
    let tall = strip.height.max(front.height);
    let strings = scene.plan.strings.len();
    let lines = strings.div_ceil(SECTIONS_ACROSS);
    let across = strings.div_ceil(lines);
    let cell = cell_width(area, across);
    let share = |room: f64| (room - head()) / count(lines);
    let alone = || {
        section::fitting_scale(scene, cell, share(area.height)).ok_or_else(|| DrawingError::TooHigh {
            needed: head() + section::cell_height(scene, 1.0) * count(lines),
            room: area.height,
        })
    };
    let together =
        section::fitting_scale(scene, cell, share(area.height - tall - GAP)).filter(|k| *k >= LEAST_SCALE && beside);
    let mut draft = Draft::new(if together.is_some() {
        "Sections and patterns"
    } else {
        "Sections"
    });
    let scale = match together {
        Some(scale) => scale,
        None => alone()?,
    };
    let end = sections(&mut draft.canvas, scene, scale, (across, cell), area);
    let mut patterns = if together.is_some() {
        draft
    } else {
        draft.leave([area.left, end + GAP], area.width, area.bottom() - end - GAP);
        drafts.push(draft);
        Draft::new("Patterns")
    };
    if together.is_some() {
        let free = area.bottom() - tall - GAP - end - GAP;
        patterns.leave([area.left, end + GAP], area.width, free);
    }
    let top = if together.is_some() {
        area.bottom() - tall
    } else {
        area.top
    };
    let right = area.left + strip.width + GAP;
    if beside {
        let (low, rest) = (top + tall + GAP, right + front.width + GAP);
        patterns.leave([rest, top], area.left + area.width - rest, tall);
        patterns.leave([area.left, low], area.width, area.bottom() - low);
        patterns.canvas.place(strip.canvas, [area.left, top]);
        patterns.canvas.place(front.canvas, [right, top]);
    } else {
        let below = top + strip.height + GAP;
        if below + front.height > area.bottom() {
            return Err(DrawingError::TooHigh {
                needed: strip.height + GAP + front.height,
                room: area.height,
            });
        }
        let widest = strip.width.max(front.width);
        let rest = area.left + widest + GAP;
        patterns.leave([rest, top], area.left + area.width - rest, area.height);
        patterns.canvas.place(strip.canvas, [area.left, top]);
        patterns.canvas.place(front.canvas, [area.left, below]);
    }
    drafts.push(patterns);
    Ok(())
}

fn count(n: usize) -> f64 {
    f64::from(u32::try_from(n).unwrap_or(1))
}

fn head() -> f64 {
    Lettering::BODY_BOLD.line() + Lettering::SMALL.line() + 2.0
}

/// Sections in lines, left to right as in the front view; answers the y where they end.
fn sections(canvas: &mut Canvas, scene: &NutScene, scale: f64, (across, cell): (usize, f64), area: Area) -> f64 {
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
    let pitch = section::cell_height(scene, scale);
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
    let blank = &plan.blank;
    let material = clean(&blank.material);
    let front = match plan.front {
        Front::Plain => "no shelf".to_owned(),
        Front::Shelf => format!("shelf {}", short_mm(plan.front_x)),
        Front::Straight => format!("shift {}", short_mm(plan.front_x)),
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
            short_mm(blank.thickness),
            short_mm(blank.height),
            short_mm(blank.length)
        ),
        form: (
            "Nut: fall of slots, front",
            format!("{}°, {front}", trimmed(plan.fall.to_degrees(), 2)),
        ),
        units: format!("mm [{}]", Figures::new(options.bench).beside_name()),
        scale,
        number,
        of,
    }
}
