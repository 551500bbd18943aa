//! From a plan to sheets: what goes where.

mod frame;
mod words;

use crate::canvas::{Block, Canvas, Item, Lettering, Text};
use crate::figures::Figures;
use crate::text::{clean, fonts_readable};
use crate::views::{Scene, pattern, section, table::table, views};
use crate::{DrawingError, canvas::Shape};
use frame::{MARGIN, PAD, STRIP, Title, frame};
use saddle::{BlankKind, Hold, Plan};
use units::BenchUnit;

/// Paper, used lying (landscape).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// 297 by 210 mm (ISO 216).
    A4,
    /// 11 by 8.5 in: 279.4 by 215.9 mm (ANSI/ASME Y14.1, size A).
    Letter,
}

impl Paper {
    /// Width and height of the sheet as it lies, mm.
    #[must_use]
    pub fn size(self) -> (f64, f64) {
        match self {
            Self::A4 => (297.0, 210.0),
            Self::Letter => (279.4, 215.9),
        }
    }

    /// Name, for title blocks.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::Letter => "Letter",
        }
    }
}

/// How sheets are written. There is no date: the same plan and options give the same bytes.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetOptions {
    /// Paper.
    pub paper: Paper,
    /// Unit in brackets beside millimetres; thou if the bench unit is the millimetre.
    pub bench: BenchUnit,
    /// Title, for the title block; too long a title is wrapped, then cut with an ellipsis.
    pub title: String,
    /// Notes in plain words, a paragraph each.
    pub notes: Vec<String>,
}

/// A sheet, drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Width of the paper, mm.
    pub width: f64,
    /// Height of the paper, mm.
    pub height: f64,
    /// What the sheet shows, for file names and window titles.
    pub heading: String,
    /// Title of the whole set.
    pub title: String,
    /// Everything drawn, mm from the top left corner.
    pub items: Vec<Item>,
}

impl Sheet {
    /// The sheet as SVG; the user unit is 1 mm.
    #[must_use]
    pub fn svg(&self) -> String {
        crate::svg::write(self, crate::svg::Reader::Any)
    }

    /// Every text of the sheet.
    pub fn texts(&self) -> impl Iterator<Item = &Text> {
        self.items.iter().filter_map(|item| match &item.shape {
            Shape::Text(text) => Some(text),
            _ => None,
        })
    }

    /// The rectangle inside the border, mm: left, top, right, bottom.
    #[must_use]
    pub fn border(&self) -> [f64; 4] {
        [MARGIN, MARGIN, self.width - MARGIN, self.height - MARGIN]
    }
}

/// Up to this many strings, everything but the patterns goes on one sheet if it fits.
const ONE_SHEET: usize = 6;
/// Sections on one line.
const SECTIONS_ACROSS: usize = 6;
/// Widest cell of a section, mm.
const WIDEST_CELL: f64 = 60.0;
/// Sections smaller than this enlargement go to a sheet of their own.
const LEAST_SCALE: f64 = 3.0;
/// Between blocks, mm.
const GAP: f64 = 4.0;

/// A sheet before it is numbered.
#[derive(Default)]
struct Draft {
    name: &'static str,
    canvas: Canvas,
}

/// The part of the sheet inside the border and above the strip, mm.
#[derive(Clone, Copy)]
struct Area {
    left: f64,
    top: f64,
    width: f64,
    height: f64,
}

impl Area {
    fn of(paper: Paper) -> Self {
        let (width, height) = paper.size();
        Self {
            left: MARGIN + PAD,
            top: MARGIN + PAD,
            width: width - 2.0 * (MARGIN + PAD),
            height: height - 2.0 * MARGIN - STRIP - 2.0 * PAD,
        }
    }
}

/// The sheets of a saddle at true scale.
///
/// # Errors
/// A plan without strings, a part too large for the paper, places that are not numbers, or a font that cannot be read.
pub fn saddle_sheets(plan: &Plan, options: &SheetOptions) -> Result<Vec<Sheet>, DrawingError> {
    if plan.strings.is_empty() {
        return Err(DrawingError::NoStrings);
    }
    if !fonts_readable() {
        return Err(DrawingError::Font);
    }
    let area = Area::of(options.paper);
    let figures = Figures::new(options.bench);
    let scene = Scene::new(plan, figures)?;
    let views = views(&scene);
    fits(&views, area)?;
    let mut drafts = station_sheets(&scene, views, area);
    drafts.extend(pattern_sheets(&scene, options, area)?);
    let (width, height) = options.paper.size();
    let of = drafts.len();
    let title = title_of(options);
    let number = |(i, draft): (usize, Draft)| {
        let mut canvas = frame(options.paper, &block(plan, options, draft.name, i + 1, of));
        canvas.place(draft.canvas, [0.0, 0.0]);
        let sheet = Sheet {
            width,
            height,
            heading: format!("{title}: {}", draft.name),
            title: title.clone(),
            items: canvas.items,
        };
        if sheet.items.iter().all(Item::is_finite) {
            Ok(sheet)
        } else {
            Err(DrawingError::NotFinite { sheet: sheet.heading })
        }
    };
    drafts.into_iter().enumerate().map(number).collect()
}

fn title_of(options: &SheetOptions) -> String {
    let title = clean(&options.title);
    if title.is_empty() {
        "Replacement saddle".to_owned()
    } else {
        title
    }
}

fn fits(block: &Block, area: Area) -> Result<(), DrawingError> {
    if block.width > area.width {
        return Err(DrawingError::TooLong {
            needed: block.width,
            room: area.width,
        });
    }
    if block.height > area.height {
        return Err(DrawingError::TooHigh {
            needed: block.height,
            room: area.height,
        });
    }
    Ok(())
}

/// Views, table and sections: on one sheet if they fit.
fn station_sheets(scene: &Scene, views: Block, area: Area) -> Vec<Draft> {
    let plan = scene.plan;
    let table = table(plan, scene.figures);
    let beside = views.width + GAP + table.width <= area.width && table.height <= area.height;
    let below = area.height - views.height.max(if beside { table.height } else { 0.0 }) - GAP;
    let strings = plan.strings.len();
    let mut first = Draft {
        name: "Views and stations",
        canvas: Canvas::default(),
    };
    let mut drafts = Vec::new();
    let views_width = views.width;
    first.canvas.place(views.canvas, [area.left, area.top]);
    let mut table = Some(table);
    if let Some(block) = table.take_if(|_| beside) {
        // Centred in the room beside the views.
        let x = area.left + views_width + 0.5 * (area.width - views_width - block.width);
        first.canvas.place(block.canvas, [x, area.top]);
    }
    let mut sections_done = false;
    if strings <= ONE_SHEET && beside && below > 0.0 {
        let head = section_head();
        let cell = cell_width(area, strings);
        if let Some(scale) = section::fitting_scale(scene, cell, below - head).filter(|k| *k >= LEAST_SCALE) {
            let top = area.top + area.height - head - section::cell_height(scene, scale);
            sections(&mut first.canvas, scene, scale, 0..strings, area, top);
            sections_done = true;
        }
    }
    drafts.push(first);
    if let Some(block) = table {
        let mut draft = Draft {
            name: "Stations",
            canvas: Canvas::default(),
        };
        draft.canvas.place(block.canvas, [area.left, area.top]);
        drafts.push(draft);
    }
    if !sections_done {
        drafts.extend(section_sheets(scene, area));
    }
    drafts
}

fn cell_width(area: Area, strings: usize) -> f64 {
    let across = u32::try_from(strings.clamp(1, SECTIONS_ACROSS)).unwrap_or(1);
    (area.width / f64::from(across)).min(WIDEST_CELL)
}

fn section_head() -> f64 {
    Lettering::BODY_BOLD.line() + Lettering::SMALL.line() + 2.0
}

/// One line of sections under its heading.
fn sections(canvas: &mut Canvas, scene: &Scene, scale: f64, range: std::ops::Range<usize>, area: Area, top: f64) {
    let plan = scene.plan;
    let (title, small) = section::heading(scene, scale);
    let mut head = Canvas::default();
    crate::views::heading(&mut head, 0.0, &title, &small);
    canvas.place(head, [area.left, top]);
    let cell = cell_width(area, plan.strings.len());
    // Left to right as in the front view.
    let mut chosen: Vec<_> = plan.strings[range].iter().collect();
    if !plan.left_handed {
        chosen.reverse();
    }
    let mut x = area.left;
    for string in chosen {
        let block = section::section(scene, string, scale, cell);
        canvas.place(block.canvas, [x, top + section_head()]);
        x += cell;
    }
}

/// Sections on sheets of their own, two lines a sheet where there are more than six.
fn section_sheets(scene: &Scene, area: Area) -> Vec<Draft> {
    let plan = scene.plan;
    let strings = plan.strings.len();
    let lines = strings.div_ceil(SECTIONS_ACROSS).max(1);
    let head = section_head();
    let cell = cell_width(area, strings);
    let share = area.height / f64::from(u32::try_from(lines).unwrap_or(1));
    let scale = section::fitting_scale(scene, cell, share - head).unwrap_or(1.0);
    let mut draft = Draft {
        name: "Sections",
        canvas: Canvas::default(),
    };
    let per_line = strings.div_ceil(lines);
    // In a right-handed front view the treble comes first, from the end of the list.
    for line in 0..lines {
        let (from, to) = (line * per_line, ((line + 1) * per_line).min(strings));
        let range = if plan.left_handed {
            from..to
        } else {
            strings - to..strings - from
        };
        let top = area.top + share * f64::from(u32::try_from(line).unwrap_or(0));
        sections(&mut draft.canvas, scene, scale, range, area, top);
    }
    vec![draft]
}

/// Patterns to the left, words to the right; words that are left over go on.
fn pattern_sheets(scene: &Scene, options: &SheetOptions, area: Area) -> Result<Vec<Draft>, DrawingError> {
    let blocks = [
        pattern::face(scene, pattern::Face::Front),
        pattern::strip(scene),
        pattern::face(scene, pattern::Face::Back),
    ];
    let mut draft = Draft {
        name: "Patterns and cautions",
        canvas: Canvas::default(),
    };
    let mut drafts = Vec::new();
    let mut y = 0.0;
    let mut widest: f64 = 0.0;
    for block in blocks {
        fits(&block, area)?;
        if y + block.height > area.height {
            drafts.push(std::mem::replace(
                &mut draft,
                Draft {
                    name: "Patterns and cautions",
                    canvas: Canvas::default(),
                },
            ));
            y = 0.0;
        }
        draft.canvas.place(block.canvas, [area.left, area.top + y]);
        y += block.height + 2.0 * GAP;
        widest = widest.max(block.width);
    }
    let mut x = widest + 2.0 * GAP;
    let mut room = area.width - x;
    if room < 70.0 {
        // Too narrow beside the patterns: a sheet of words.
        drafts.push(std::mem::replace(
            &mut draft,
            Draft {
                name: "Cautions and notes",
                canvas: Canvas::default(),
            },
        ));
        x = 0.0;
        room = 0.5 * (area.width - 2.0 * GAP);
    }
    let mut lines = words::lines("Order of work", &words::STEPS, room);
    let spaced = |mut more: Vec<words::Line>| {
        if let Some(first) = more.first_mut() {
            first.lead = 3.0;
        }
        more
    };
    lines.extend(spaced(words::lines("Cautions", &words::CAUTIONS, room)));
    let mut notes: Vec<String> = held_note(scene.plan).into_iter().collect();
    notes.extend(options.notes.iter().cloned());
    if !notes.is_empty() {
        lines.extend(spaced(words::lines("Notes", &notes, room)));
    }
    loop {
        let before = lines.len();
        let block = words::column(&mut lines, room, area.height);
        draft.canvas.place(block.canvas, [area.left + x, area.top]);
        if lines.is_empty() || lines.len() == before {
            break;
        }
        x += room + 2.0 * GAP;
        if x + room > area.width + 1e-9 {
            drafts.push(std::mem::replace(
                &mut draft,
                Draft {
                    name: "Notes",
                    canvas: Canvas::default(),
                },
            ));
            x = 0.0;
        }
    }
    drafts.push(draft);
    Ok(drafts)
}

/// Which strings are held, in words.
fn held_note(plan: &Plan) -> Option<String> {
    let held: Vec<String> = plan
        .strings
        .iter()
        .filter(|s| s.hold != Hold::Free)
        .map(|s| s.number.to_string())
        .collect();
    (!held.is_empty()).then(|| {
        format!(
            "HELD (string {}): the contact wanted lies outside the land, so it stands at the land and stays somewhat out of tune. A square round the contact marks it. The plan lists the ways out.",
            held.join(", ")
        )
    })
}

fn block(plan: &Plan, options: &SheetOptions, name: &str, number: usize, of: usize) -> Title {
    let blank = &plan.blank;
    let kind = match blank.kind {
        BlankKind::Through => "through",
        BlankKind::DropIn => "drop-in",
    };
    let material = clean(&blank.material);
    let figures = Figures::new(options.bench);
    let crown = &plan.crown;
    Title {
        title: title_of(options),
        sheet_name: name.to_owned(),
        material: if material.is_empty() {
            "–".to_owned()
        } else {
            material
        },
        blank: format!(
            "{} × {} × {} {kind}",
            short_mm(blank.thickness),
            short_mm(blank.height),
            short_mm(blank.length)
        ),
        crown: format!(
            "front {}°, back {}°, R {}",
            trimmed(crown.front_fall.to_degrees(), 2),
            trimmed(crown.back_fall.to_degrees(), 2),
            short_mm(crown.rounding)
        ),
        units: format!("mm [{}]", figures.beside_name()),
        number,
        of,
    }
}

fn short_mm(mm: f64) -> String {
    trimmed(mm, 3)
}

/// At most `decimals` decimals, without trailing noughts.
fn trimmed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}
