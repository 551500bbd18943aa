//! Sheets of what was worked out for a saddle, with the words of the report.

use crate::{
    DrawingError, FiledSection, Sheet, SheetOptions, filing_sheets, handed_back_sheets, owner_sheets, tolerance_sheets,
};
use assess::Assessment;
use report::{
    Assessed, DO_NOT_MAKE, crown_words, final_words, handed_back_sheet, owner_sheet, reading_words, saddle_stop_words,
    sheet_steps, sure_advice, verdict_words,
};
use saddle::filing::Standing;
use units::BenchUnit;
use work::{FiledString, Filing, HandedBack, SaddleWork, Sureness};

fn options(saddle: &SaddleWork, bench: BenchUnit, notes: Vec<String>) -> SheetOptions {
    SheetOptions {
        bench,
        ..SheetOptions::of(saddle.job, saddle.hazards(), notes)
    }
}

/// Every string's section before and after a stroke of the file, lengths in words in `bench`.
///
/// # Errors
/// As [`filing_sheets`].
pub fn filing_sheets_of(saddle: &SaddleWork, filing: &Filing, bench: BenchUnit) -> Result<Vec<Sheet>, DrawingError> {
    let plan = saddle.plan;
    let standing = |s: &FiledString| Standing::new(plan, s.plan, s.ask.crown, s.ask.start).ok();
    // Each stands, because its stroke was worked out.
    let standings: Vec<_> = filing.strings.iter().filter_map(|s| Some((s, standing(s)?))).collect();
    let crowns: Vec<String> = standings.iter().map(|(s, _)| crown_words(s, bench)).collect();
    let leave_proud = !filing.terms.at_height;
    let sections = standings
        .iter()
        .zip(&crowns)
        .map(|((s, standing), crown)| FiledSection {
            string: s.plan,
            standing,
            crown,
            stroke: s.stroke.ok(),
            proud: s.proud.ok().filter(|_| leave_proud).map(|proud| proud.height),
            words: verdict_words(s, bench),
        });
    let sections: Vec<FiledSection> = sections.collect();
    let stops = saddle_stop_words(saddle, bench);
    let mut notes: Vec<String> = stops.iter().map(|why| format!("{DO_NOT_MAKE}. {why}")).collect();
    notes.push(final_words(filing, plan.blank.kind));
    let mut options = options(saddle, bench, notes);
    if !stops.is_empty() {
        options.steps = sheet_steps(saddle, bench);
    }
    filing_sheets(plan, &sections, &options)
}

/// How sure a plan is, lengths in words in `bench`.
///
/// # Errors
/// As [`tolerance_sheets`].
pub fn tolerance_sheets_of(saddle: &SaddleWork, sure: &Sureness, bench: BenchUnit) -> Result<Vec<Sheet>, DrawingError> {
    let name = |reading| reading_words(sure, reading, bench);
    let options = options(saddle, bench, sure_advice(sure, bench));
    tolerance_sheets(sure.plan, &sure.tolerance, sure.band, &name, &options)
}

/// For the owner: whether a saddle is the remedy, lengths in words in `bench`.
///
/// # Errors
/// As [`owner_sheets`].
pub fn owner_sheets_of(saddle: &SaddleWork, found: &Assessment, bench: BenchUnit) -> Result<Vec<Sheet>, DrawingError> {
    let stops = saddle.stops();
    let told = Assessed::of(saddle, found, &stops, bench);
    let words = owner_sheet(&told, &saddle.proposed(found), saddle.hazards()).with_book(&saddle.job.book);
    owner_sheets(saddle.plan, found, &words, &options(saddle, bench, Vec::new()))
}

/// For the owner after the work, lengths in words in `bench`.
///
/// # Errors
/// As [`handed_back_sheets`].
pub fn handed_back_sheets_of(
    saddle: &SaddleWork,
    of: &HandedBack,
    bench: BenchUnit,
) -> Result<Vec<Sheet>, DrawingError> {
    let words = handed_back_sheet(of, bench, saddle.hazards()).with_book(&saddle.job.book);
    handed_back_sheets(&words, &options(saddle, bench, Vec::new()))
}
