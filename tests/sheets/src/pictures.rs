//! The sheets of filing and of tolerance: texts keep out of each other's way, and what is drawn is what was worked out.

use crate::invented::{Invented, invented, parlour};
use crate::texts::{check, options, words};
use drawing::{DrawingError, FiledSection, Point, Shape, Sheet, SheetOptions, filing_sheets, tolerance_sheets};
use fixtures::{Guitar, PARLOUR};
use instrument::{Reading, Uncertainty};
use job::Paper;
use proptest::prelude::*;
use saddle::Plan;
use saddle::filing::{Move, PresentCrown, Proud, Standing, Start, Stroke};
use saddle::tolerance::{Band, Sampling, Tolerance, tolerance};
use units::BenchUnit;
use work::Hazards;

/// Places on the sheet are written to 0.0001 mm; angles and lengths as computed.
const TOLERANCE: f64 = 1e-6;

/// A ridge askew to the string rises beside the contact by less than this over the whole crown, mm.
const ASKEW: f64 = 0.03;

fn plain(bench: BenchUnit) -> SheetOptions {
    SheetOptions {
        paper: Paper::A4,
        bench,
        title: "Parlour guitar".to_owned(),
        headline: String::new(),
        heights: work::Heights::default(),
        steps: Vec::new(),
        hazards: Hazards::default(),
        notes: Vec::new(),
    }
}

/// Every string on the crown, where it can stand.
fn standings<'a>(plan: &'a Plan, crown: PresentCrown, start: Start) -> Vec<(&'a saddle::StringPlan, Standing<'a>)> {
    let all = plan.strings.iter();
    all.filter_map(|s| Some((s, Standing::new(plan, s, crown, start).ok()?)))
        .collect()
}

fn filed<'a>(
    plan: &'a Plan,
    standings: &'a [(&'a saddle::StringPlan, Standing<'a>)],
    crown: PresentCrown,
    forward: f64,
    verdict: &[String],
) -> Vec<FiledSection<'a>> {
    let one = |(string, standing): &'a (&'a saddle::StringPlan, Standing<'a>)| FiledSection {
        string,
        standing,
        crown: "as it stands",
        stroke: standing.stroke(forward).ok(),
        proud: Proud::before(plan, string, crown, None, Move::Forward(forward))
            .ok()
            .map(|p| p.height),
        words: verdict.to_vec(),
    };
    standings.iter().map(one).collect()
}

fn item<'a>(sheets: &'a [Sheet], id: &str) -> Option<&'a Shape> {
    let mut items = sheets.iter().flat_map(|s| &s.items);
    items.find(|i| i.id.as_deref() == Some(id)).map(|i| &i.shape)
}

fn points<'a>(sheets: &'a [Sheet], id: &str) -> Option<&'a [Point]> {
    match item(sheets, id)? {
        Shape::Path { points, .. } => Some(points),
        _ => None,
    }
}

fn centre(sheets: &[Sheet], id: &str) -> Option<Point> {
    match item(sheets, id)? {
        Shape::Circle { centre, .. } => Some(*centre),
        _ => None,
    }
}

/// The enlargement that the heading names.
fn scale(sheets: &[Sheet], at: usize) -> f64 {
    let heading = sheets[at].texts().find(|t| t.content.ends_with(":1")).unwrap();
    let number = heading.content.rsplit(' ').next().unwrap();
    number.trim_end_matches(":1").parse().unwrap()
}

/// Contacts, strings and crown of one string's picture.
fn check_picture(plan: &Plan, section: &FiledSection, sheets: &[Sheet]) -> Result<(), TestCaseError> {
    let number = section.string.number;
    let on = |sheet: &Sheet| {
        let id = format!("filed-after-{number}");
        sheet.items.iter().any(|i| i.id.as_ref() == Some(&id))
    };
    let at = sheets.iter().position(on).unwrap();
    let k = scale(sheets, at);
    let from = centre(sheets, &format!("filed-from-{number}")).unwrap();
    let after = points(sheets, &format!("filed-after-{number}")).unwrap();
    let (end, line) = match section.stroke {
        None => (from, points(sheets, &format!("filed-string-before-{number}")).unwrap()),
        Some(stroke) => {
            let to = centre(sheets, &format!("filed-to-{number}")).unwrap();
            let old = section.standing.contact();
            let (sin, cos) = plan.lean.sin_cos();
            let (b, v) = (stroke.contact.b - old.b, stroke.contact.v - old.v);
            prop_assert!((to[0] - from[0] - k * (b * cos - v * sin)).abs() < TOLERANCE);
            prop_assert!((from[1] - to[1] - k * (b * sin + v * cos)).abs() < TOLERANCE);
            (to, points(sheets, &format!("filed-string-after-{number}")).unwrap())
        }
    };
    prop_assert!((line[1][0] - end[0]).hypot(line[1][1] - end[1]) < TOLERANCE);
    let rise = (line[1][1] - line[0][1]) / (line[1][0] - line[0][0]);
    // The string really ends there: the crown touches it at its end and stands nowhere above it (y points down).
    let over = after.iter().map(|p| end[1] + rise * (p[0] - end[0]) - p[1]);
    let highest = over.fold(f64::NEG_INFINITY, f64::max);
    prop_assert!(highest > -TOLERANCE, "string {number}: not on the crown, {highest}");
    prop_assert!(highest < k * ASKEW, "string {number}: {} over the string", highest / k);
    Ok(())
}

fn crowns() -> impl Strategy<Value = PresentCrown> {
    prop_oneof![
        Just(PresentCrown::Flat),
        (0.0..0.25f64).prop_map(|fall| PresentCrown::Facet { fall }),
        (0.6..6.0f64).prop_map(|radius| PresentCrown::Rounded { radius }),
        Just(PresentCrown::Planned),
    ]
}

/// A plan of an invented instrument, if there is one to draw.
fn drawable(of: &Invented) -> Option<Plan> {
    let plan = of.try_plan()?;
    // A blank that lies too low for any crown is refused by the plan's own sheets.
    plan.strings.iter().all(|s| s.contact.v > 0.5).then_some(plan)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, max_global_rejects: 2000, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn filing_is_drawn_as_it_is_worked_out(
        of in invented(), options in options(), crown in crowns(), forward in -0.8..0.9f64, proud in -0.1..0.4f64,
        verdict in proptest::collection::vec(0usize..16, 0..3),
    ) {
        let Some(plan) = drawable(&of) else { return Err(TestCaseError::reject("no plan")) };
        let start = Start { action_12: Some(plan.strings[0].action_12 + proud), back: None };
        let standings = standings(&plan, crown, start);
        prop_assume!(!standings.is_empty());
        let verdict: Vec<String> = verdict.into_iter().map(words).collect();
        let sections = filed(&plan, &standings, crown, forward, &verdict);
        let sheets = filing_sheets(&plan, &sections, &options).map_err(|e| TestCaseError::fail(e.to_string()))?;
        check(&sheets)?;
        for section in &sections {
            check_picture(&plan, section, &sheets)?;
        }
    }
}

fn sure(of: &Invented, plan: &Plan, times: f64) -> Tolerance {
    let mut uncertainty = Uncertainty::default();
    uncertainty.lean *= times;
    uncertainty.made_height *= times;
    uncertainty.stretch = Some(0.15 * times);
    let survey = of.survey();
    let sampling = Sampling {
        samples: 200,
        ..Sampling::default()
    };
    let whole = saddle::plan(&survey).unwrap();
    let mut found = {
        let evidence = survey.evidence(&uncertainty).unwrap();
        tolerance(&evidence, &survey, &whole, Band::default(), sampling, &|_| ()).unwrap()
    };
    found.strings.truncate(plan.strings.len());
    found
}

fn called(reading: Reading) -> String {
    format!("the reading of {reading:?}")
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, max_global_rejects: 2000, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn tolerance_is_drawn_as_it_is_worked_out(
        of in invented(), options in options(), times in 0.05..4.0f64, action in 0.01..0.5f64, cents in 0.2..9.0f64, long in 0usize..14,
    ) {
        let Some(plan) = drawable(&of) else { return Err(TestCaseError::reject("no plan")) };
        let found = sure(&of, &plan, times);
        let band = Band { action, cents };
        let name = |reading| format!("{} {}", called(reading), words(long));
        let sheets = tolerance_sheets(&plan, &found, band, &name, &options).map_err(|e| TestCaseError::fail(e.to_string()))?;
        check(&sheets)?;
        for (id, allowed) in [("action", band.action), ("cents", band.cents)] {
            let shade = points(&sheets, &format!("band-{id}")).unwrap();
            let (middle, per_unit) = (0.5 * (shade[0][0] + shade[1][0]), (shade[1][0] - shade[0][0]) / (2.0 * allowed));
            for s in &found.strings {
                let spread = if id == "action" { s.action } else { s.cents };
                let bar = points(&sheets, &format!("spread-{id}-{}", s.number)).unwrap();
                let mean = points(&sheets, &format!("mean-{id}-{}", s.number)).unwrap();
                for (x, value) in [(bar[0][0], spread.low), (bar[1][0], spread.high), (mean[0][0], spread.mean)] {
                    prop_assert!((x - middle - per_unit * value).abs() < TOLERANCE);
                }
            }
        }
        // The bars of the readings that have one are as long as their shares, the largest first.
        let first = points(&sheets, "share-1").unwrap();
        let per_share = (first[1][0] - first[0][0]) / found.first_order.shares[0].of_all;
        for (i, share) in found.first_order.shares.iter().enumerate().take(4) {
            let Some(bar) = points(&sheets, &format!("share-{}", i + 1)) else { continue };
            prop_assert!((bar[1][0] - bar[0][0] - per_share * share.of_all).abs() < TOLERANCE);
        }
    }
}

fn both(plan: &Plan, of: &Invented, bench: BenchUnit) -> Vec<Sheet> {
    let standings = standings(plan, PresentCrown::Flat, Start::default());
    let sections = filed(plan, &standings, PresentCrown::Flat, 0.4, &["go".to_owned()]);
    let mut sheets = filing_sheets(plan, &sections, &plain(bench)).unwrap();
    let found = sure(of, plan, 1.0);
    sheets.extend(tolerance_sheets(plan, &found, Band::default(), &called, &plain(bench)).unwrap());
    sheets
}

/// usvg reads every sheet, finds every shape by its id, and the same input gives the same bytes.
#[test]
fn the_sheets_read_back_and_repeat() {
    let of = Invented::from(Guitar { strings: 7, ..PARLOUR });
    let plan = of.plan();
    for bench in BenchUnit::ALL {
        let (sheets, again) = (both(&plan, &of, bench), both(&plan, &of, bench));
        // Seven strings stand four and three to a sheet.
        assert_eq!(sheets.len(), 3);
        for (sheet, again) in sheets.iter().zip(&again) {
            let svg = sheet.svg();
            assert_eq!(svg, again.svg());
            let tree = usvg::Tree::from_str(&svg, &usvg::Options::default()).unwrap();
            let ids = sheet.items.iter().filter_map(|i| i.id.as_deref());
            let mut seen = std::collections::HashSet::new();
            for id in ids {
                assert!(seen.insert(id), "{id} twice");
                assert!(tree.node_by_id(id).is_some(), "{id} is missing");
            }
            let unit = format!("{} [{}]", bench.name(), bench.other().name());
            assert!(sheet.texts().any(|t| t.content == unit));
        }
        assert_eq!(drawing::pdf(&sheets).unwrap(), drawing::pdf(&again).unwrap());
    }
}

/// The figures beside a section are those of the stroke, in the bench unit.
#[test]
fn figures_stand_beside_each_section() {
    let plan = parlour();
    let standings = standings(&plan, PresentCrown::Flat, Start::default());
    let sections = filed(
        &plan,
        &standings,
        PresentCrown::Flat,
        25.4 / 64.0,
        &["leave it".to_owned()],
    );
    let sheets = filing_sheets(&plan, &sections, &plain(BenchUnit::THOU)).unwrap();
    let has = |text: &str| {
        sheets
            .iter()
            .flat_map(Sheet::texts)
            .filter(|t| t.content == text)
            .count()
    };
    assert_eq!(has("15.5 thou"), 6);
    assert_eq!((has("leave it"), has("leave proud by"), has("lean 9.0°")), (6, 6, 6));
    for section in &sections {
        let Stroke { drop, loss_12, .. } = section.stroke.unwrap();
        for mm in [drop, loss_12, section.proud.unwrap()] {
            assert!(has(&BenchUnit::THOU.show(mm)) > 0, "{mm}");
        }
    }
}

#[test]
fn what_cannot_be_drawn_is_refused() {
    let of = Invented::from(PARLOUR);
    let plan = of.plan();
    let options = plain(BenchUnit::THOU);
    assert_eq!(filing_sheets(&plan, &[], &options), Err(DrawingError::NoStrings));
    let standings = standings(&plan, PresentCrown::Flat, Start::default());
    let mut sections = filed(&plan, &standings, PresentCrown::Flat, 0.4, &[]);
    sections[1].proud = Some(f64::NAN);
    assert!(matches!(
        filing_sheets(&plan, &sections, &options),
        Err(DrawingError::NotFinite { .. })
    ));
    let mut found = sure(&of, &plan, 1.0);
    let draw = |found: &Tolerance| tolerance_sheets(&plan, found, Band::default(), &called, &options);
    found.strings[0].action.low = f64::NEG_INFINITY;
    assert!(matches!(draw(&found), Err(DrawingError::NotFinite { .. })));
    found.strings.pop();
    assert_eq!(draw(&found), Err(DrawingError::NoStrings));
}
