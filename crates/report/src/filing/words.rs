//! Words of the filing page.

use crate::figures::{cents_of, degrees, fixed, length, signed};
use saddle::LIKE;
use saddle::filing::{FilingError, Limit, PresentCrown};
use units::BenchUnit;
use work::{FiledString, FilingVerdict, STAYS};

/// The crown as it stands.
pub(super) fn crown(crown: PresentCrown, bench: BenchUnit) -> String {
    match crown {
        PresentCrown::Flat => "flat top".to_owned(),
        PresentCrown::Facet { fall } => format!("facet, falls {}", degrees(fall)),
        PresentCrown::Rounded { radius } => format!("rounded, {}", bench.show(radius)),
        PresentCrown::Planned => "as planned".to_owned(),
    }
}

/// The verdict, short enough for a table.
pub(super) fn verdict(s: &FiledString, bench: BenchUnit) -> String {
    match s.verdict {
        FilingVerdict::Still => "no move".to_owned(),
        FilingVerdict::NotWorth => "leave it".to_owned(),
        FilingVerdict::Go if s.untuned.is_some() => "go, out of tune".to_owned(),
        FilingVerdict::Go => "go".to_owned(),
        FilingVerdict::LeaveProud(by) => format!("leave {} proud first", bench.show(by)),
        FilingVerdict::EndsLow(by) => format!("will end {} low", bench.show(by)),
        FilingVerdict::OutsideLand(_) => "past the land".to_owned(),
        FilingVerdict::Rises(_) => "rises: see below".to_owned(),
        FilingVerdict::OffBlank => "runs off the blank".to_owned(),
        FilingVerdict::OutOfReach => "out of reach".to_owned(),
    }
}

/// The same as a sentence.
pub(super) fn verdict_sentence(s: &FiledString, bench: BenchUnit) -> String {
    let show = |mm: f64| length(bench, mm);
    let tuning = s.untuned.map_or_else(String::new, |u| {
        let side = if u.off < 0.0 { "flat" } else { "sharp" };
        format!(
            "{} cents {side} at fret 12, {} worse than now",
            fixed(u.off.abs(), 1),
            fixed(u.worse, 1)
        )
    });
    match s.verdict {
        FilingVerdict::Still => "No move is asked.".to_owned(),
        FilingVerdict::NotWorth => format!("Leave it: {}.", not_worth(s, bench)),
        FilingVerdict::Go if !tuning.is_empty() => format!("Go, but it ends {tuning}."),
        FilingVerdict::Go => "Go: the action ends no lower than allowed.".to_owned(),
        FilingVerdict::LeaveProud(by) => {
            let and = if tuning.is_empty() {
                String::new()
            } else {
                format!(" It then ends {tuning}.")
            };
            format!(
                "Leave the contact {} proud first, or the string ends too low.{and}",
                show(by)
            )
        }
        FilingVerdict::OutsideLand(by) => format!(
            "Do not: the contact would end {} outside the land, further out than it stands. The edge breaks away there.",
            show(by)
        ),
        FilingVerdict::Rises(by) => format!(
            "Filing takes material off, yet the string would rise by {}: the crown is not as it was given. Say in [filing] how the crown stands, and read the contact again.",
            show(by)
        ),
        FilingVerdict::EndsLow(by) => format!(
            "The string would end {} too low, and the saddle is at its height already.",
            show(by)
        ),
        FilingVerdict::OffBlank => format!(
            "The contact would run off the blank: it can go {} forward and {} back at most.",
            show(s.reach.0),
            show(s.reach.1)
        ),
        FilingVerdict::OutOfReach => "No move on this blank does that.".to_owned(),
    }
}

/// Why a move is worth no stroke.
fn not_worth(s: &FiledString, bench: BenchUnit) -> String {
    let moved = s.stroke.map_or(0.0, |stroke| stroke.forward.abs());
    if moved < STAYS {
        return format!(
            "no file moves a ridge by so little ({}); {} is the least",
            bench.show(moved),
            bench.show(STAYS)
        );
    }
    let changes = s.stroke.map_or(0.0, |stroke| stroke.cents_12 - s.before.cents_12);
    format!(
        "the move changes fret 12 by {} cents, and no ridge is moved for less than {}",
        fixed(changes.abs(), 1),
        cents_of(LIKE)
    )
}

/// What stops a contact on its way forward.
pub(super) fn furthest(limit: Limit) -> (Option<f64>, &'static str) {
    match limit {
        Limit::Floor(forward) => (Some(forward), "floor"),
        Limit::Land(forward) => (Some(forward), "land"),
        Limit::Already => (None, "already low"),
    }
}

/// Why a string has no stroke, as a sentence.
pub(super) fn refusal(s: &FiledString, error: &FilingError, bench: BenchUnit) -> String {
    let show = |mm: f64| length(bench, mm);
    let why = match *error {
        FilingError::LeavesBlank { forward, back } => format!(
            "the contact would run off the blank or its crown; from where it stands it can move {} forward and {} back at most",
            show(forward.max(0.0)),
            show(back.max(0.0))
        ),
        FilingError::OutOfReach { wanted, least, most } => format!(
            "no move on this blank changes fret 12 by {} cents; it can change by {} to {} cents",
            signed(wanted, 1),
            signed(least, 1),
            signed(most, 1)
        ),
        other => start(&other, bench),
    };
    format!("String {}: {why}.", s.plan.number)
}

/// Why a string cannot stand as given.
pub(super) fn start(error: &FilingError, bench: BenchUnit) -> String {
    let show = |mm: f64| length(bench, mm);
    match *error {
        FilingError::StartOffBlank(back) => {
            format!(
                "the present contact {} back from the front face is not on the blank",
                show(back)
            )
        }
        FilingError::Radius(radius) => format!("the crown's radius {} is not a positive length", show(radius)),
        FilingError::NoStart(range) => {
            format!(
                "no height within {} of the target makes the action end on it",
                show(range)
            )
        }
        other => other.to_string(),
    }
}
