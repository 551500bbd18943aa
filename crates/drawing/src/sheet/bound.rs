//! From drafts to sheets: what every sheet needs before it is drawn, and the frame and title block round it.

use super::draft::Draft;
use super::frame::{Title, frame};
use super::{Sheet, SheetOptions};
use crate::DrawingError;
use crate::canvas::Item;
use crate::figures::Figures;
use crate::paper;
use crate::text::{clean, fonts_readable};
use numerics::trimmed;
use saddle::{BlankKind, Plan};

/// What every sheet needs before it is drawn.
pub(super) fn check_options(plan: &Plan, options: &SheetOptions) -> Result<(), DrawingError> {
    drawable(plan.strings.len(), figures_of(plan), title_of(options))
}

/// The same of any part: it has strings, the font reads, and every figure that is written out is a number.
pub(super) fn drawable(
    strings: usize,
    mut figures: impl Iterator<Item = f64>,
    sheet: String,
) -> Result<(), DrawingError> {
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
pub(super) fn finished(
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
pub(super) fn bound(
    options: &SheetOptions,
    title: &str,
    drafts: Vec<Draft>,
    block: impl Fn([usize; 2], &str) -> Title,
) -> Result<Vec<Sheet>, DrawingError> {
    let (width, height) = paper::size(options.paper);
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

pub(super) fn title_of(options: &SheetOptions) -> String {
    let title = clean(&options.title);
    if title.is_empty() {
        "Replacement saddle".to_owned()
    } else {
        title
    }
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
            figures.trimmed(blank.thickness),
            figures.trimmed(blank.height),
            figures.trimmed(blank.length)
        ),
        form: (
            "Crown: falls, rounding",
            format!(
                "front {}°, back {}°, R {}",
                trimmed(crown.front_fall.to_degrees(), 2),
                trimmed(crown.back_fall.to_degrees(), 2),
                figures.trimmed(crown.rounding)
            ),
        ),
        units: format!("{} [{}]", figures.name(), figures.beside_name()),
        scale,
        number,
        of,
    }
}
