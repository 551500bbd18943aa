//! A plan in words and figures: tables, notes, cautions, JSON and CSV. Nothing here reads or writes a file.
//!
//! [`Page`] is what `bonewright plan` prints: the [`table()`], the [`notes()`] and the [`cautions()`], at most [`WIDTH`] columns
//! wide. [`json()`] (described key by key in `JSON.md`) and [`csv()`] carry the same plan to other programs at full precision.
//! What filing costs, what is left after stringing up and how sure a plan is have a page and a JSON document each. What they
//! say is decided in `work`; here it is put into words.

mod agreed;
mod assess;
mod cautions;
mod columns;
mod csv;
mod cutting;
mod doubted;
mod figures;
mod filing;
mod fit;
#[cfg(test)]
mod fixture;
mod grid;
mod headline;
mod heard;
mod held;
mod json;
mod measure;
mod notes;
mod nut;
mod owner;
mod page;
mod plan;
mod progress;
mod read;
#[cfg(test)]
mod reference;
mod short;
mod split;
mod steps;
mod table;
mod taken;
mod tolerance;
mod wishes;
mod work_list;
mod wrap;

pub use agreed::{agreement_words, at_12_words, pluck_words};
pub use assess::{Assessed, FindingWords, SoundWords, assess_json, assess_page, assess_pages};
pub use cautions::{accepted, cautions};
pub use csv::csv;
pub use cutting::{
    SettingTable, all_time, check_table, coordinate, cut_faults, cut_hints, cut_refusal, cut_summary, deviation_words,
    ends_of, findings, setup_words, time, top_advice, top_words, touch_table,
};
pub use doubted::{doubts_after, refusal_words, unchecked_words};
pub use figures::length;
pub use filing::{
    FILING_ORDER, crown_words, filing_json, filing_page, filing_refusal, final_words, verdict_sentence, verdict_words,
};
pub use fit::{fit_json, fit_page, left_words, weighed_words, whole_short, whole_words};
pub use headline::headline;
pub use heard::{heard_headline, heard_json, heard_page, stretch_words, unheard_words};
pub use json::json;
pub use measure::{measure_json, measure_page, next_steps, now_words};
pub use notes::{Note, NoteTopic, notes};
pub use nut::{
    NutPage, both_page, nut_filing_json, nut_filing_page, nut_fit_json, nut_fit_page, nut_json, nut_notes,
    nut_tolerance_json, nut_tolerance_page, slots_left,
};
pub use owner::{OwnerPart, OwnerSheet, OwnerTable, handed_back_sheet, owner_sheet};
pub use page::{DO_NOT_MAKE, Page};
pub use plan::{
    first_words, nut_page, nut_sheet_notes, nut_work_notes, plan_json, plan_page, saddle_notes, saddle_stop_words,
    stop_words,
};
pub use progress::progress_words;
pub use read::{ReadWords, read_words};
pub use short::{in_all_units, short_doubts, short_json, short_lines, short_page, short_refusal, short_unread};
pub use split::{documents, fits_headline, fits_words, pages_of, split_headline};
pub use steps::{nut_sheet_steps, sheet_steps, stage_words, step_words};
pub use table::{beside_words, plan_heads, proud_words, table};
pub use tolerance::{chance_words, percent, reading_words, sure_advice, tolerance_json, tolerance_page};
pub use wishes::{ACTIONS_WORDS, TUNINGS_WORDS, tuning_head, weight, wish_lines};
pub use work_list::{STEPS_ORDER, steps_page};
pub use wrap::{WIDTH, wrapped};
