//! From a plan to sheets: what goes where.

mod frame;
mod words;

use crate::DrawingError;
use crate::canvas::{Block, Canvas, Item, Lettering, Point, Shape, Text};
use crate::figures::Figures;
use crate::text::{clean, fonts_readable};
use crate::views::{Scene, pattern, section, table::table, views};
use frame::{MARGIN, PAD, STRIP, Title, frame};
use saddle::{BlankKind, Hold, Plan};
use units::BenchUnit;
use words::{Room, Words};

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

/// Sections on one line.
const SECTIONS_ACROSS: usize = 6;
/// Widest cell of a section, mm.
const WIDEST_CELL: f64 = 60.0;
/// Patterns go below the sections only if these keep at least this enlargement.
const LEAST_SCALE: f64 = 4.0;
/// Between blocks, mm.
const GAP: f64 = 5.0;
/// Least room worth filling with words, mm.
const LEAST_ROOM: (f64, f64) = (60.0, 14.0);

/// A sheet before it is numbered.
#[derive(Default)]
struct Draft {
    name: &'static str,
    canvas: Canvas,
    /// Rooms left for words.
    free: Vec<Room>,
}

impl Draft {
    fn new(name: &'static str) -> Self {
        Self {
            name,
            ..Self::default()
        }
    }

    fn leave(&mut self, [left, top]: Point, width: f64, height: f64) {
        if width >= LEAST_ROOM.0 && height >= LEAST_ROOM.1 {
            self.free.push(Room {
                at: [left, top],
                width,
                height,
            });
        }
    }
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
    fn bottom(self) -> f64 {
        self.top + self.height
    }

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
    if figures_of(plan).any(|v| !v.is_finite()) {
        return Err(DrawingError::NotFinite {
            sheet: title_of(options),
        });
    }
    let area = Area::of(options.paper);
    let figures = Figures::new(options.bench);
    let scene = Scene::new(plan, figures)?;
    let views = views(&scene, area.height);
    fits(&views, area)?;
    let mut drafts = station_sheets(&scene, views, area);
    drafts.extend(part_sheets(&scene, area)?);
    let mut notes: Vec<String> = held_note(plan).into_iter().collect();
    notes.extend(options.notes.iter().cloned());
    set_words(&mut drafts, &notes, area);
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

/// Every number that a sheet writes out.
fn figures_of(plan: &Plan) -> impl Iterator<Item = f64> {
    let (blank, crown) = (&plan.blank, &plan.crown);
    let part = [
        plan.lean,
        plan.ends.0,
        plan.ends.1,
        blank.thickness,
        blank.height,
        blank.length,
        blank.land,
        crown.front_fall,
        crown.back_fall,
        crown.rounding,
    ];
    let strings = plan.strings.iter().flat_map(|s| {
        [
            s.contact.b,
            s.contact.u,
            s.contact.v,
            s.wanted.b,
            s.setback,
            s.nut_setback,
            s.exposure.unwrap_or(0.0),
            s.filing.drop,
            s.filing.action_loss,
        ]
    });
    part.into_iter().chain(strings)
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

/// Views, and the table beside them if it fits.
fn station_sheets(scene: &Scene, views: Block, area: Area) -> Vec<Draft> {
    let table = table(scene.plan, scene.figures);
    let x = area.left + views.width + GAP;
    let room = area.left + area.width - x;
    let mut first = Draft::new("Views and stations");
    let under = area.top + views.height + GAP;
    first.canvas.place(views.canvas, [area.left, area.top]);
    if table.width <= room && table.height <= area.height {
        let below = area.top + table.height + GAP;
        first.canvas.place(table.canvas, [x, area.top]);
        first.leave([x, below], room, area.bottom() - below);
        first.leave([area.left, under], views.width, area.bottom() - under);
        return vec![first];
    }
    first.name = "Views";
    first.leave([x, area.top], room, area.height);
    first.leave([area.left, under], views.width, area.bottom() - under);
    let mut second = Draft::new("Stations");
    let x = area.left + table.width + GAP;
    second.canvas.place(table.canvas, [area.left, area.top]);
    second.leave([x, area.top], area.left + area.width - x, area.height);
    vec![first, second]
}

/// Sections, with the patterns below them if both fit.
fn part_sheets(scene: &Scene, area: Area) -> Result<Vec<Draft>, DrawingError> {
    let patterns = Patterns::of(scene);
    patterns.check(area)?;
    let strings = scene.plan.strings.len();
    if strings <= SECTIONS_ACROSS && patterns.two_columns_width() <= area.width {
        let room = area.height - patterns.two_columns_height() - GAP;
        let cell = cell_width(area, strings);
        let scale = section::fitting_scale(scene, cell, room - section_head()).filter(|k| *k >= LEAST_SCALE);
        if let Some(scale) = scale {
            let mut draft = Draft::new("Sections and patterns");
            sections(
                &mut draft.canvas,
                scene,
                scale,
                0..strings,
                [area.left, area.top + section_head()],
                cell,
            );
            section_heading(&mut draft.canvas, scene, scale, [area.left, area.top], area.width);
            let top = area.bottom() - patterns.two_columns_height();
            let under = top + patterns.front.height + GAP;
            draft.leave([area.left, under], patterns.front.width, area.bottom() - under);
            patterns.two_columns(&mut draft.canvas, [area.left, top], area.width);
            return Ok(vec![draft]);
        }
    }
    let mut drafts = vec![section_sheet(scene, area)];
    drafts.extend(patterns.sheets(area));
    Ok(drafts)
}

/// The three patterns.
struct Patterns {
    front: Block,
    strip: Block,
    back: Block,
}

impl Patterns {
    fn of(scene: &Scene) -> Self {
        Self {
            front: pattern::face(scene, pattern::Face::Front),
            strip: pattern::strip(scene),
            back: pattern::face(scene, pattern::Face::Back),
        }
    }

    fn check(&self, area: Area) -> Result<(), DrawingError> {
        [&self.front, &self.strip, &self.back]
            .into_iter()
            .try_for_each(|block| fits(block, area))
    }

    fn two_columns_width(&self) -> f64 {
        self.front.width.max(self.back.width) + GAP + self.strip.width
    }

    fn two_columns_height(&self) -> f64 {
        (self.front.height).max(self.strip.height + GAP + self.back.height)
    }

    /// Front pattern to the left; strip and back pattern to the right.
    fn two_columns(self, canvas: &mut Canvas, [left, top]: Point, width: f64) {
        let right = left + width - self.back.width.max(self.strip.width);
        let below = top + self.strip.height + GAP;
        canvas.place(self.front.canvas, [left, top]);
        canvas.place(self.strip.canvas, [right, top]);
        canvas.place(self.back.canvas, [right, below]);
    }

    /// One under the other, on as many sheets as they need.
    fn sheets(self, area: Area) -> Vec<Draft> {
        let width = self.front.width.max(self.strip.width).max(self.back.width);
        let mut drafts: Vec<Draft> = Vec::new();
        let mut y = f64::INFINITY;
        for block in [self.front, self.strip, self.back] {
            if y + block.height > area.bottom() {
                let mut draft = Draft::new("Patterns");
                let x = area.left + width + GAP;
                draft.leave([x, area.top], area.left + area.width - x, area.height);
                drafts.push(draft);
                y = area.top;
            }
            if let Some(draft) = drafts.last_mut() {
                draft.canvas.place(block.canvas, [area.left, y]);
            }
            y += block.height + 2.0 * GAP;
        }
        drafts
    }
}

fn cell_width(area: Area, strings: usize) -> f64 {
    let across = u32::try_from(strings.clamp(1, SECTIONS_ACROSS)).unwrap_or(1);
    (area.width / f64::from(across)).min(WIDEST_CELL)
}

fn section_head() -> f64 {
    Lettering::BODY_BOLD.line() + Lettering::SMALL.line() + 2.0
}

fn section_heading(canvas: &mut Canvas, scene: &Scene, scale: f64, at: Point, width: f64) {
    let (title, small) = section::heading(scene, scale);
    let mut head = Canvas::default();
    crate::views::heading(&mut head, 0.0, &title, &small, width);
    canvas.place(head, at);
}

/// One line of sections, left to right as in the front view.
fn sections(
    canvas: &mut Canvas,
    scene: &Scene,
    scale: f64,
    range: std::ops::Range<usize>,
    [left, top]: Point,
    cell: f64,
) {
    let mut chosen: Vec<_> = scene.plan.strings[range].iter().collect();
    if !scene.plan.left_handed {
        chosen.reverse();
    }
    let mut x = left;
    for string in chosen {
        let block = section::section(scene, string, scale, cell);
        canvas.place(block.canvas, [x, top]);
        x += cell;
    }
}

/// Sections on a sheet of their own, in two lines where there are more than six.
fn section_sheet(scene: &Scene, area: Area) -> Draft {
    let strings = scene.plan.strings.len();
    let lines = strings.div_ceil(SECTIONS_ACROSS).max(1);
    let per_line = strings.div_ceil(lines);
    let cell = cell_width(area, per_line);
    let count = |n: usize| f64::from(u32::try_from(n).unwrap_or(1));
    let top = area.top + section_head();
    let share = (area.height - section_head()) / count(lines);
    let scale = section::fitting_scale(scene, cell, share).unwrap_or(1.0);
    let mut draft = Draft::new("Sections");
    section_heading(&mut draft.canvas, scene, scale, [area.left, area.top], area.width);
    let pitch = section::cell_height(scene, scale).max(share.min(section::cell_height(scene, scale) + 2.0 * GAP));
    for line in 0..lines {
        // In a right-handed front view the treble comes first, from the end of the list.
        let (from, to) = (line * per_line, ((line + 1) * per_line).min(strings));
        let range = if scene.plan.left_handed {
            from..to
        } else {
            strings - to..strings - from
        };
        let at = [area.left, top + pitch * count(line)];
        sections(&mut draft.canvas, scene, scale, range, at, cell);
    }
    let end = top + pitch * count(lines) + GAP;
    draft.leave([area.left, end], area.width, area.bottom() - end);
    draft
}

/// Sets the words into what room the drafts leave, and adds sheets for the rest.
fn set_words(drafts: &mut Vec<Draft>, notes: &[String], area: Area) {
    let mut words = Words::new(notes);
    for draft in drafts.iter_mut() {
        for room in std::mem::take(&mut draft.free) {
            words.head_again();
            words.fill(&mut draft.canvas, room);
        }
    }
    while !words.is_empty() {
        let mut draft = Draft::new("Notes");
        words.head_again();
        let width = 0.5 * (area.width - 2.0 * GAP);
        for left in [area.left, area.left + width + 2.0 * GAP] {
            let room = Room {
                at: [left, area.top],
                width,
                height: area.height,
            };
            words.fill(&mut draft.canvas, room);
        }
        drafts.push(draft);
    }
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
            "Held, string {}: the contact wanted lies outside the land, so it stands at the land and stays somewhat out of tune. A square round the contact marks it. The plan lists the ways out.",
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
