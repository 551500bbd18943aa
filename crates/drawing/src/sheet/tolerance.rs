//! The chart for how sure a plan is.

use super::bound::{check_options, finished, title_of};
use super::draft::{Area, Draft, GAP, fits};
use super::setting::fewest;
use super::words::Words;
use super::{Sheet, SheetOptions};
use crate::DrawingError;
use crate::canvas::{Block, Lettering};
use crate::figures::Figures;
use crate::text::{clean, shorten};
use crate::views::filed::cents;
use crate::views::spread::{Chart, PITCH, Row, chart, chart_height, percent, ranking};
use instrument::Reading;
use machining::PartKind;
use saddle::Plan;
use saddle::tolerance::{Band, Spread, StringSpread, Tolerance};

/// Room that the ranked readings have at least, mm.
const RANKING: f64 = 56.0;
/// The same where the words then need no sheet of their own, mm.
const LEAST_RANKING: f64 = 46.0;
/// Share of the width that the chart of action takes; it has the longer figures.
const ACTION_SHARE: f64 = 0.54;
/// Longest note's name, mm.
const NAME: f64 = 9.0;

/// The chart of `bonewright tolerance`: every string's spread of action and cents against the band, and the readings ranked by
/// their share. It stands on the first sheet; notes that find no room there follow on others.
///
/// `name` tells what a reading is called; `options.notes` may say in words what follows from the chart.
///
/// # Errors
/// No strings, another number of strings in `tolerance` than in `plan`, places that are not numbers, too little room on the
/// paper, or a font that cannot be read.
pub fn tolerance_sheets(
    plan: &Plan,
    tolerance: &Tolerance,
    band: Band,
    name: &dyn Fn(Reading) -> String,
    options: &SheetOptions,
) -> Result<Vec<Sheet>, DrawingError> {
    check_options(plan, options)?;
    if tolerance.strings.is_empty() || tolerance.strings.len() != plan.strings.len() {
        return Err(DrawingError::NoStrings);
    }
    if !numbers(tolerance, band).all(f64::is_finite) {
        return Err(DrawingError::NotFinite {
            sheet: title_of(options),
        });
    }
    let area = Area::of(options.paper);
    let figures = Figures::new(options.bench);
    let action_mark = |mm: f64| vec![figures.signed(mm)];
    let cents_mark = |c: f64| vec![cents(c)];
    let unit = format!("{} from the target", figures.name());
    let small = format!(
        "Bar: the middle 95 % of what may come, tick: its mean, {unit}. Hatched: within {} of the target.",
        figures.show(band.action)
    );
    let action = Chart {
        id: "action",
        title: "Action at fret 12",
        small: &small,
        heads: &["target", "from", "to"],
        rows: rows(
            plan,
            tolerance,
            |s| s.action,
            |plan, s| {
                vec![
                    figures.one(plan.action_12),
                    figures.signed(s.action.low),
                    figures.signed(s.action.high),
                ]
            },
        ),
        band: band.action,
        mark: &action_mark,
    };
    let small = format!(
        "Cents from the plan. Hatched: within {:.1} cents. White: in tolerance, black: outside. Good: chance that the string ends in tolerance.",
        band.cents
    );
    let pitch_chart = Chart {
        id: "cents",
        title: "Cents at fret 12",
        small: &small,
        heads: &["from", "to", "good", "too low"],
        rows: rows(
            plan,
            tolerance,
            |s| s.cents,
            |_, s| {
                vec![
                    cents(s.cents.low),
                    cents(s.cents.high),
                    percent(s.within),
                    percent(s.too_low),
                ]
            },
        ),
        band: band.cents,
        mark: &cents_mark,
    };
    let wide = ACTION_SHARE * (area.width - 2.0 * GAP);
    let narrow = area.width - 2.0 * GAP - wide;
    let height = |pitch: f64| chart_height(&action, wide, pitch).max(chart_height(&pitch_chart, narrow, pitch));
    let rows = f64::from(u32::try_from(plan.strings.len()).unwrap_or(u32::MAX));
    let most = ((area.height - RANKING - GAP - height(0.0)) / rows).clamp(PITCH.0, PITCH.1);
    let shares: Vec<(String, f64)> = tolerance
        .first_order
        .shares
        .iter()
        .map(|s| (name(s.reading), s.of_all))
        .collect();
    let mut notes = vec![chances(tolerance)];
    notes.extend(options.notes.iter().cloned());
    let words = Words::after(options.hazards, &notes);
    // Rows closer to each other, or fewer readings, where the words then need no sheet of their own.
    let mut ways = Vec::new();
    for pitch in [most, 0.5 * (most + PITCH.0), PITCH.0] {
        for ranking_most in [f64::INFINITY, RANKING, LEAST_RANKING] {
            // Both charts' rows stand at one height.
            let charts = [chart(&action, wide, pitch), chart(&pitch_chart, narrow, pitch)];
            let below = area.below(charts[0].height.max(charts[1].height) + GAP);
            let ranked = ranking(
                "Readings that make the spread",
                "Share of each, over all strings, action and cents counted against their tolerance.",
                &shares,
                narrow,
                below.height.min(ranking_most),
            );
            // Not so few that none is left.
            let has_first = ranked
                .canvas
                .items
                .iter()
                .any(|item| item.id.as_deref() == Some("share-1"));
            if !has_first && !ways.is_empty() {
                continue;
            }
            ways.push(vec![placed(charts, ranked, below, [wide, narrow], area)?]);
        }
    }
    finished(plan, options, "none: a chart", fewest(ways, &words, area))
}

/// Both charts side by side, `wide` and `narrow` mm, and the ranking `below` the right one.
fn placed(
    [left, right]: [Block; 2],
    ranked: Block,
    below: Area,
    [wide, narrow]: [f64; 2],
    area: Area,
) -> Result<Draft, DrawingError> {
    let mut draft = Draft::new("Tolerance");
    let ranked_height = ranked.height;
    for block in [&left, &right, &ranked] {
        fits(block, area, PartKind::Saddle)?;
    }
    draft.canvas.place(left.canvas, [area.left, area.top]);
    let x = area.left + wide + 2.0 * GAP;
    draft.canvas.place(right.canvas, [x, area.top]);
    draft.canvas.place(ranked.canvas, [x, below.top]);
    draft.leave([area.left, below.top], wide, below.height);
    let under = below.top + ranked_height + GAP;
    draft.leave([x, under], narrow, area.bottom() - under);
    Ok(draft)
}

/// The chances for the whole set, in a sentence.
fn chances(tolerance: &Tolerance) -> String {
    format!(
        "Of {} instruments that may stand behind the readings, {} end with every string in tolerance, and {} with some string too low.",
        tolerance.samples,
        percent(tolerance.all_within),
        percent(tolerance.any_too_low)
    )
}

fn rows(
    plan: &Plan,
    tolerance: &Tolerance,
    spread: impl Fn(&StringSpread) -> Spread,
    figures: impl Fn(&saddle::StringPlan, &StringSpread) -> Vec<String>,
) -> Vec<Row> {
    let all = plan.strings.iter().zip(&tolerance.strings);
    all.map(|(plan, s)| Row {
        number: s.number,
        name: shorten(&clean(&plan.note), NAME, Lettering::FIGURE.capitals, false),
        spread: spread(s),
        figures: figures(plan, s),
    })
    .collect()
}

/// Every number that the chart draws or writes.
fn numbers(tolerance: &Tolerance, band: Band) -> impl Iterator<Item = f64> {
    let strings = tolerance.strings.iter().flat_map(|s| {
        let of = |s: Spread| [s.mean, s.low, s.high];
        of(s.action).into_iter().chain(of(s.cents)).chain([s.within, s.too_low])
    });
    let shares = tolerance.first_order.shares.iter().map(|s| s.of_all);
    let whole = [
        band.action,
        band.cents,
        tolerance.all_within,
        tolerance.any_too_low,
        tolerance.proud,
    ];
    strings.chain(shares).chain(whole)
}
