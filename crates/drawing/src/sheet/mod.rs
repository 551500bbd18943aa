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
mod setting;
mod tolerance;
mod words;

pub use self::nut::nut_sheets;
use crate::DrawingError;
use crate::canvas::Block;
use crate::figures::Figures;
use crate::text::clean;
use crate::views::{Scene, table};
use bound::{check_options, finished};
pub use cutting::{cut_sheets, outcome_sheet};
use draft::{Area, Draft};
pub use drawn::Sheet;
pub use filing::filing_sheets;
pub(crate) use frame::MARGIN;
use layout::{first_sheet, joint_sheet, parted_sheets, places, put, put_alone};
pub use options::{SheetOptions, paragraphs};
use saddle::Plan;
use setting::fewest;
pub use tolerance::tolerance_sheets;
use words::Words;
use work::Heights;

/// The sheets of a saddle at true scale.
///
/// # Errors
/// A plan without strings, a part too large for the paper, places that are not numbers, or a font that cannot be read.
pub fn saddle_sheets(plan: &Plan, options: &SheetOptions) -> Result<Vec<Sheet>, DrawingError> {
    check_options(plan, options)?;
    let area = Area::of(options.paper);
    let figures = Figures::new(options.bench);
    let scene = Scene::new(plan, figures)?;
    let first = first_sheet(&scene, &clean(&options.headline), area)?;
    let joint = joint_sheet(&scene, area)?.map(|joint| vec![joint]);
    // As few sheets as there must be; else larger sections.
    let ways = [Some(parted_sheets(&scene, area)?), joint];
    let ways = ways
        .into_iter()
        .flatten()
        .map(|then| [vec![first.clone()], then].concat());
    let drafts = ways.flat_map(|drafts| with_tables(&scene, &drafts, &options.heights, area));
    let words = Words::of(options.hazards, &options.steps, &options.notes);
    finished(plan, options, "1:1 unless said", fewest(drafts, &words, area))
}

/// These drafts with the figures of every string: beside the views, where there is room for all of them; else the rest stands elsewhere.
fn with_tables(scene: &Scene, drafts: &[Draft], beside: &Heights, area: Area) -> Vec<Vec<Draft>> {
    let (plan, figures) = (scene.plan, scene.figures);
    let room = drafts
        .first()
        .and_then(|first| first.free.first())
        .map_or(0.0, |room| room.width);
    let whole = table::whole(plan, figures, beside, room);
    if let Some(place) = places(&drafts[..1], &whole).first() {
        return vec![put(drafts, *place, &whole)];
    }
    let costs = table::costs(plan, figures);
    let [both, one] = [true, false].map(|both| table::heights(plan, figures, both, beside, room));
    // What to make stands beside the views, if need be in one unit.
    let beside_views = |table: &Block| places(&drafts[..1], table).first().copied();
    let first = match (beside_views(&both), beside_views(&one), places(drafts, &both).first()) {
        (Some(place), _, _) => put(drafts, place, &both),
        (None, Some(place), _) => put(drafts, place, &one),
        (None, None, Some(place)) => put(drafts, *place, &both),
        (None, None, None) => put_alone(drafts, &both, area),
    };
    let behind = places(&first, &costs).into_iter().rev();
    let mut all: Vec<Vec<Draft>> = behind.map(|place| put(&first, place, &costs)).collect();
    all.push(put_alone(&first, &costs, area));
    all
}
