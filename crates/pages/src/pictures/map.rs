//! The instrument as the form of the survey: its stations in the order of the work, what is there, what is missing and what is doubted.

use job::Severity;
use maud::{Markup, PreEscaped, html};
use numerics::math;
use survey::{Interview, Station, Visit};

use super::pen::Pen;
use crate::desk::Opened;
use crate::pages::to;

/// Width of the drawing, user units, and how far its parts stand down in it.
const WIDE: f64 = 360.0;
const MIDDLE: f64 = 40.0;
/// Height of the instrument's drawing; the stations stand below it in rows.
const DRAWN: f64 = 84.0;
const ROW: f64 = 44.0;
/// Most stations side by side, so that a thumb meets one alone.
const MOST: usize = 8;
/// Radius of a station's mark, and of what a thumb meets.
const MARK: f64 = 13.0;
const TOUCH: f64 = 22.0;

/// How a station stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Standing {
    Settled,
    Doubted,
    Waiting(usize),
}

impl Standing {
    fn class(self) -> &'static str {
        match self {
            Self::Settled => "settled",
            Self::Doubted => "doubted",
            Self::Waiting(_) => "waiting",
        }
    }

    fn words(self) -> String {
        match self {
            Self::Settled => "all there".to_owned(),
            Self::Doubted => "something is doubtful".to_owned(),
            Self::Waiting(0) => "not read yet".to_owned(),
            Self::Waiting(1) => "1 missing".to_owned(),
            Self::Waiting(count) => format!("{count} missing"),
        }
    }
}

/// The drawing, each station a link. One that only those visit who look for it is drawn once something is there.
#[must_use]
pub fn map(opened: &Opened, interview: &Interview, here: Option<Station>) -> Markup {
    let doubted: Vec<Station> = opened
        .judged
        .problems
        .iter()
        .filter(|problem| problem.severity == Severity::Warning)
        .filter_map(|problem| interview.step_of(&problem.field))
        .map(|step| step.question.station)
        .collect();
    let visits = interview.visits();
    let shown: Vec<&Visit> = visits
        .iter()
        .filter(|visit| visit.is_on_the_way() || here == Some(visit.station))
        .collect();
    let rows = shown.len().div_ceil(MOST).max(1);
    let in_row = shown.len().div_ceil(rows).max(1);
    let tall = DRAWN + ROW * float(rows);
    let mut pen = Pen::new("stations", WIDE, tall, "The instrument and the stations of the survey");
    instrument(&mut pen);
    let place = |i: usize| {
        let (row, column) = (i / in_row, i % in_row);
        let count = in_row.min(shown.len() - row * in_row);
        let pitch = WIDE / float(count);
        [pitch * (float(column) + 0.5), DRAWN + ROW * (float(row) + 0.5)]
    };
    for (i, visit) in shown.iter().enumerate() {
        let at = place(i);
        let on = spot(visit.station);
        pen.path("lead", [on, [at[0], at[1] - MARK]], false);
        pen.circle("dot", on, 2.0);
    }
    for (i, visit) in shown.iter().enumerate() {
        // Of a job that is planned nothing is missing: what is not here stands elsewhere in its file, as of several saddles.
        let missing = if opened.judged.planned().is_some() && opened.judged.errors() == 0 {
            0
        } else {
            visit.missing
        };
        let standing = match (missing, visit.given) {
            (0, 0) if visit.waiting > 0 => Standing::Waiting(0),
            (0, _) if doubted.contains(&visit.station) => Standing::Doubted,
            (0, _) => Standing::Settled,
            (missing, _) => Standing::Waiting(missing),
        };
        mark(
            &mut pen,
            opened,
            visit.station,
            (i + 1, place(i)),
            standing,
            here == Some(visit.station),
        );
    }
    html! { nav.stations aria-label="Stations of the survey" { (PreEscaped(pen.done().replace("role=\"img\"", "role=\"group\""))) } }
}

fn float(count: usize) -> f64 {
    u32::try_from(count).map_or(f64::MAX, f64::from)
}

fn mark(
    pen: &mut Pen,
    opened: &Opened,
    station: Station,
    (number, at): (usize, [f64; 2]),
    standing: Standing,
    here: bool,
) {
    let label = format!("{number}. {}: {}", station.title(), standing.words());
    let current = if here { " aria-current=\"step\"" } else { "" };
    pen.open(&format!(
        "a href=\"{}?at={}\" class=\"{}\" aria-label=\"{label}\"{current}",
        to(&opened.name, "ask"),
        station.key(),
        standing.class(),
    ));
    pen.open("title");
    pen.plain(&label);
    pen.close("title");
    pen.circle("touch", at, TOUCH);
    if here {
        pen.circle("here", at, MARK + 3.5);
    }
    pen.circle("mark", at, MARK);
    pen.text("t mid strong", [at[0], at[1] + 4.0], &number.to_string());
    // What stands beside the number says it without colour.
    let [x, y] = [at[0] + MARK - 2.0, at[1] - MARK + 3.0];
    match standing {
        Standing::Settled => pen.raw_path("tick", &format!("M{:.1} {y:.1}l3 3.5 6 -8", x - 3.0)),
        Standing::Doubted => pen.text("t strong", [x, y + 3.0], "?"),
        Standing::Waiting(_) => {}
    }
    pen.close("a");
}

/// The instrument from above, head to the left: nut, frets, body, bridge and saddle.
fn instrument(pen: &mut Pen) {
    let m = MIDDLE;
    pen.raw_path(
        "thin",
        &format!(
            "M186 {:.1}c8 -24 34 -30 60 -24s40 -12 70 -6 34 26 34 36 -4 30 -34 36 -44 -12 -70 -6 -52 0 -60 -24",
            m - 7.0
        ),
    );
    pen.raw_path("part", &format!("M34 {:.1}l-26 -5v22l26 -5z", m - 6.0));
    pen.rect("part", [34.0, m - 7.0], 186.0, 14.0);
    pen.rect("part fill", [34.0, m - 8.0], 4.0, 16.0);
    for n in 1..=17_u32 {
        let x = 38.0 + 300.0 * (1.0 - math::exp(-f64::from(n) / 12.0 * std::f64::consts::LN_2));
        if x < 220.0 {
            pen.line(if n == 12 { "fret twelve" } else { "fret" }, [x, m - 7.0], [x, m + 7.0]);
        }
    }
    pen.circle("thin", [244.0, m], 15.0);
    pen.rect("part", [298.0, m - 19.0], 18.0, 38.0);
    pen.raw_path("part fill", &format!("M304 {:.1}l4 -32h3l-4 32z", m + 16.0));
    for i in 0..6_u32 {
        let y = f64::from(i);
        pen.line("thin", [38.0, m - 5.0 + 2.0 * y], [306.0, m - 13.0 + 5.2 * y]);
    }
}

/// Where on the instrument a station is.
fn spot(station: Station) -> [f64; 2] {
    let m = MIDDLE;
    match station {
        Station::Job
        | Station::Book
        | Station::Cutting
        | Station::CuttingNut
        | Station::Crown
        | Station::Good
        | Station::Sure
        | Station::Limits
        | Station::Unasked => [16.0, m],
        Station::Wanted | Station::Each => [26.0, m],
        Station::Along => [188.0, m + 7.0],
        Station::Frets => [56.0, m + 7.0],
        Station::Board | Station::Seat | Station::NutBlank => [36.0, m + 8.0],
        Station::Bridge => [299.0, m + 19.0],
        Station::Over => [308.0, m + 8.0],
        Station::Tuner => [188.0, m],
        Station::Remedy => [316.0, m + 12.0],
        Station::Slot => [305.0, m + 16.0],
        Station::Old | Station::Blank => [306.0, m],
    }
}
