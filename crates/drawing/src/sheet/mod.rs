//! From a plan to sheets: what goes where.

mod cutting;
mod filing;
mod frame;
mod layout;
mod nut;
mod patterns;
mod sections;
mod tolerance;
mod words;

pub use self::nut::nut_sheets;
use crate::DrawingError;
use crate::canvas::{Item, Shape, Text};
use crate::figures::Figures;
use crate::text::{clean, fonts_readable};
use crate::views::{Scene, views};
pub use cutting::{CutOutcome, CutPart, CutSetup, Extent, cut_sheets, outcome_sheet};
pub use filing::{FiledSection, filing_sheets};
use frame::{MARGIN, Title, frame};
use layout::{Area, Draft, fits, part_sheets, set_words, station_sheets};
use saddle::{BlankKind, Hold, Plan};
pub use tolerance::tolerance_sheets;
use units::BenchUnit;
use words::{SADDLE_STEPS, Words};

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
        crate::svg::write(self)
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

/// The sheets of a saddle at true scale.
///
/// # Errors
/// A plan without strings, a part too large for the paper, places that are not numbers, or a font that cannot be read.
pub fn saddle_sheets(plan: &Plan, options: &SheetOptions) -> Result<Vec<Sheet>, DrawingError> {
    check_options(plan, options)?;
    let area = Area::of(options.paper);
    let figures = Figures::new(options.bench);
    let scene = Scene::new(plan, figures)?;
    let views = views(&scene, area.height);
    fits(&views, area)?;
    let mut drafts = station_sheets(&scene, views, area);
    drafts.extend(part_sheets(&scene, area)?);
    let mut notes: Vec<String> = held_note(plan).into_iter().collect();
    notes.extend(options.notes.iter().cloned());
    set_words(&mut drafts, Words::new(&SADDLE_STEPS, &notes), area);
    finished(plan, options, "1:1 unless said", drafts)
}

/// What every sheet needs before it is drawn.
fn check_options(plan: &Plan, options: &SheetOptions) -> Result<(), DrawingError> {
    drawable(plan.strings.len(), figures_of(plan), title_of(options))
}

/// The same of any part: it has strings, the font reads, and every figure that is written out is a number.
fn drawable(strings: usize, mut figures: impl Iterator<Item = f64>, sheet: String) -> Result<(), DrawingError> {
    if strings == 0 {
        return Err(DrawingError::NoStrings);
    }
    if !fonts_readable() {
        return Err(DrawingError::Font);
    }
    if figures.any(|v| !v.is_finite()) {
        return Err(DrawingError::NotFinite { sheet });
    }
    Ok(())
}

/// Numbers the drafts of a saddle, and sets frame, bars and title block round each.
fn finished(
    plan: &Plan,
    options: &SheetOptions,
    scale: &'static str,
    drafts: Vec<Draft>,
) -> Result<Vec<Sheet>, DrawingError> {
    bound(options, &title_of(options), drafts, |numbers, name| {
        block(plan, options, scale, numbers, name)
    })
}

/// Sets frame, bars and title block round each draft; `block` gets the sheet's number, how many there are, and its name.
fn bound(
    options: &SheetOptions,
    title: &str,
    drafts: Vec<Draft>,
    block: impl Fn([usize; 2], &str) -> Title,
) -> Result<Vec<Sheet>, DrawingError> {
    let (width, height) = options.paper.size();
    let of = drafts.len();
    let number = |(i, draft): (usize, Draft)| {
        let block = block([i + 1, of], draft.name);
        let mut canvas = frame(options.paper, &block);
        canvas.place(draft.canvas, [0.0, 0.0]);
        let sheet = Sheet {
            width,
            height,
            heading: format!("{title}: {}", draft.name),
            title: title.to_owned(),
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
            "Held, string{} {}: the contact wanted lies outside the land, so it stands at the land and stays somewhat out of tune. A square round the contact marks it. The plan lists the ways out.",
            if held.len() > 1 { "s" } else { "" },
            held.join(", ")
        )
    })
}

fn block(plan: &Plan, options: &SheetOptions, scale: &'static str, [number, of]: [usize; 2], name: &str) -> Title {
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
        form: (
            "Crown: falls, rounding",
            format!(
                "front {}°, back {}°, R {}",
                trimmed(crown.front_fall.to_degrees(), 2),
                trimmed(crown.back_fall.to_degrees(), 2),
                short_mm(crown.rounding)
            ),
        ),
        units: format!("mm [{}]", figures.beside_name()),
        scale,
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
