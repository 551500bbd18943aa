//! A plan in words and figures: tables, notes, cautions, JSON and CSV. Nothing here reads or writes a file.
//!
//! [`Page`] is what `bonewright plan` prints: the [`table()`], the [`notes()`] and the [`cautions()`], at most [`WIDTH`] columns
//! wide. [`json()`] (described key by key in `JSON.md`) and [`csv()`] carry the same plan to other programs at full precision.
//! What filing costs ([`filing()`]), what is left after stringing up ([`Fitted`]) and how sure a plan is ([`Sureness`]) have
//! a page and a JSON document each.

mod assess;
mod cautions;
mod columns;
mod csv;
mod figures;
mod filing;
mod fit;
#[cfg(test)]
mod fixture;
mod grid;
mod held;
mod json;
mod notes;
mod nut;
mod page;
#[cfg(test)]
mod reference;
mod table;
mod tolerance;
mod wrap;

pub use assess::{Assessed, OwnerSheet, assess_json, assess_page, owner_sheet};
pub use cautions::{Hazards, cautions};
pub use csv::csv;
pub use filing::{
    FiledString, Filing, FilingAsk, FilingRefusal, FilingTerms, FilingVerdict, QUARTER_MM, SIXTY_FOURTH, STEPS, filing,
    filing_json, filing_page,
};
pub use fit::{Fitted, fit_json, fit_page};
pub use json::json;
pub use notes::{Note, NoteTopic, notes};
pub use nut::{
    NutPage, both_page, nut_filing_json, nut_filing_page, nut_fit_json, nut_fit_page, nut_json, nut_notes,
    nut_tolerance_json, nut_tolerance_page,
};
pub use page::Page;
pub use table::table;
pub use tolerance::{Sureness, tolerance_json, tolerance_page};
pub use wrap::{WIDTH, wrapped};
