//! What is done at the nut or the zero fret for a saddle's plan.

use saddle::SaddleSurvey;

/// A nut, or the crown of a zero fret, that moves less than this stays where it is, mm.
pub(crate) const NUT_MOVES: f64 = 0.0005;

/// How far work on a zero fret raises its crown, string by string; `None` where it stays, or where there is none.
pub(crate) fn zero_fret_work(survey: &SaddleSurvey) -> Option<Vec<(u32, f64)>> {
    let each = survey.strings.iter().filter_map(|s| Some((s.number, s.zero_fret?)));
    let each: Vec<(u32, f64)> = each.collect();
    each.iter().any(|(_, rise)| rise.abs() >= NUT_MOVES).then_some(each)
}
