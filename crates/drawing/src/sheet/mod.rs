//! From a plan to sheets: what goes where.

mod bound;
mod cutting;
mod draft;
mod drawn;
mod filing;
mod frame;
mod layout;
mod nut;
mod options;
mod patterns;
mod sections;
mod tolerance;
mod words;

pub use self::nut::nut_sheets;
use crate::DrawingError;
use crate::figures::Figures;
use crate::views::{Scene, views};
use bound::{check_options, finished};
pub use cutting::{cut_sheets, outcome_sheet};
use draft::{Area, fits};
pub use drawn::Sheet;
pub use filing::filing_sheets;
pub(crate) use frame::MARGIN;
use layout::{part_sheets, set_words, station_sheets};
use machining::PartKind;
pub use options::{SheetOptions, paragraphs};
use saddle::{Hold, Plan};
pub use tolerance::tolerance_sheets;
use words::{SADDLE_STEPS, Words};

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
    fits(&views, area, PartKind::Saddle)?;
    let mut drafts = station_sheets(&scene, views, area);
    drafts.extend(part_sheets(&scene, area)?);
    let mut notes: Vec<String> = held_note(plan).into_iter().collect();
    notes.extend(options.notes.iter().cloned());
    set_words(&mut drafts, Words::new(options.hazards, &SADDLE_STEPS, &notes), area);
    finished(plan, options, "1:1 unless said", drafts)
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
            "Held, string{} {}: the contact wanted lies outside the land, so it stands at the land and stays somewhat out of tune. A square round the contact marks it.{}",
            if held.len() > 1 { "s" } else { "" },
            held.join(", "),
            if plan.ways_out.is_some() { " The plan lists the ways out." } else { "" },
        )
    })
}
