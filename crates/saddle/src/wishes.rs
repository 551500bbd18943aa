//! What becomes of wishes that share a line or a contact, and what each loses by that.

use crate::solved::Side;
use crate::{Plan, SaddleSurvey, StringPlan, StringSurvey};
use serde::Serialize;
use strings::{Criterion, FRETS, FrettedString, Point, rms, setback};

/// Wishes that had to be weighed against each other, strings bass to treble.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Wishes {
    /// Actions wished at two frets; empty where only that at fret 12 is.
    pub actions: Vec<StringActions>,
    /// Tunings and sets that one contact serves, the main one first; empty where there is only one.
    pub tunings: Vec<Tuning>,
}

/// Both wished actions of one string.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StringActions {
    /// String number; 1 is the treble-most.
    pub number: u32,
    /// Note name of the open string.
    pub note: String,
    /// At fret 12, then at the other fret.
    pub wishes: [ActionLeft; 2],
}

/// What becomes of one wished action.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ActionLeft {
    /// The fret.
    pub fret: u32,
    /// Weight of the wish, no unit.
    pub weight: f64,
    /// Action that is wanted, mm.
    pub wanted: f64,
    /// Action that will be, mm.
    pub planned: f64,
    /// What the wish loses: planned less wanted, mm, positive where the string will stand higher.
    pub off: f64,
}

/// One tuning or set on the shared contacts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tuning {
    /// Its name; `None` for the main one, that of the survey.
    pub name: Option<String>,
    /// Weight of its errors; 1 for the main one.
    pub weight: f64,
    /// Sum of the tensions, N.
    pub tension: f64,
    /// Its strings.
    pub strings: Vec<TunedString>,
}

/// One string in one tuning.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TunedString {
    /// String number; 1 is the treble-most.
    pub number: u32,
    /// Note name of the open string.
    pub note: String,
    /// Error at fret 12 on the shared contact, cents, sharp positive.
    pub cents_12: f64,
    /// Root mean square of the errors at frets 1 to 12 there, cents.
    pub rms_cents: f64,
    /// What a contact for this tuning alone would leave.
    pub alone: Alone,
    /// What this tuning loses by sharing, cents: by how much what the criterion looks at is larger than alone. That is the size of the error at fret 12
    /// for the octave and the root mean square otherwise; where the contact is given, 0.
    pub loses: f64,
    /// Tension, N.
    pub tension: f64,
}

/// A string with a contact of its own.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Alone {
    /// Setback of the saddle, mm, held at the land where that must be.
    pub setback: f64,
    /// Setback of the nut, mm; negative is toward the bridge.
    pub nut_setback: f64,
    /// Error at fret 12, cents.
    pub cents_12: f64,
    /// Root mean square of the errors at frets 1 to 12, cents.
    pub rms_cents: f64,
}

impl Wishes {
    /// What becomes of the wishes of `survey` in its plan; `None` where nothing shares. `planned` is the survey that the plan was made
    /// from: the same, or with a straight shift of the nut in it.
    #[must_use]
    pub fn of(survey: &SaddleSurvey, planned: &SaddleSurvey, plan: &Plan) -> Option<Self> {
        let strings = || survey.strings.iter().zip(&plan.strings);
        let actions: Vec<StringActions> = strings().filter_map(|(from, s)| actions(survey, from, s)).collect();
        let count = survey.strings.iter().map(|s| s.also.len()).max().unwrap_or(0);
        let tunings = if count == 0 { 0 } else { 1 + count };
        let tunings: Vec<Tuning> = (0..tunings).filter_map(|t| tuning(planned, plan, t)).collect();
        (!actions.is_empty() || !tunings.is_empty()).then_some(Self { actions, tunings })
    }

    /// The tuning of the most tension, if that is not the main one.
    #[must_use]
    pub fn tightest(&self) -> Option<&Tuning> {
        let most = self
            .tunings
            .iter()
            .reduce(|a, b| if b.tension > a.tension { b } else { a })?;
        most.name.is_some().then_some(most)
    }
}

fn actions(survey: &SaddleSurvey, from: &StringSurvey, s: &StringPlan) -> Option<StringActions> {
    let wish = from.action_at?;
    let left = |fret: u32, weight: f64, wanted: f64| {
        let planned = s.line.action(&survey.board, &s.run, fret);
        ActionLeft {
            fret,
            weight,
            wanted,
            planned,
            off: planned - wanted,
        }
    };
    Some(StringActions {
        number: s.number,
        note: s.note.clone(),
        wishes: [
            left(12, 1.0, from.target_action),
            left(wish.fret, wish.weight, wish.action),
        ],
    })
}

/// Tuning `t` of the shared ones, 0 the main one.
fn tuning(survey: &SaddleSurvey, plan: &Plan, t: usize) -> Option<Tuning> {
    let also = |from: &StringSurvey| t.checked_sub(1).and_then(|t| from.also.get(t)).cloned();
    let first = survey.strings.first().and_then(also);
    let each = survey.strings.iter().zip(&plan.strings).map(|(from, s)| {
        let (string, _) = *from.shared(&s.string).get(t)?;
        let note = also(from).map_or_else(|| s.note.clone(), |also| also.note);
        let contact = Point {
            x: s.position.x,
            z: s.position.z,
        };
        let (cents, tension) = match t {
            0 => (s.cents, s.tension),
            _ => (string.cents(s.nut, contact), string.tension(s.nut, contact)),
        };
        let alone = alone(plan, s, &string, from.criterion)?;
        let (cents_12, rms_cents) = (cents[FRETS - 1], rms(&cents));
        Some(TunedString {
            number: s.number,
            note,
            cents_12,
            rms_cents,
            alone,
            loses: match from.criterion {
                Criterion::Offset(_) => 0.0,
                Criterion::Octave => cents_12.abs() - alone.cents_12.abs(),
                Criterion::BestFit | Criterion::BestFitWithNut => rms_cents - alone.rms_cents,
            },
            tension,
        })
    });
    let strings: Vec<TunedString> = each.collect::<Option<_>>()?;
    Some(Tuning {
        weight: first.as_ref().map_or(1.0, |also| also.weight),
        name: first.map(|also| also.name),
        tension: strings.iter().map(|s| s.tension).sum(),
        strings,
    })
}

/// A string of the plan with both ends where its own errors alone would have them; `None` without such a place.
fn alone(plan: &Plan, s: &StringPlan, string: &FrettedString, criterion: Criterion) -> Option<Alone> {
    let twelve = string.crowns[FRETS - 1];
    let side = Side {
        nut: s.nut_path.from,
        path: s.nut_path,
        target: Point {
            x: twelve.x,
            z: twelve.z + s.action_12,
        },
        run: s.run,
        lower: 0.0,
    };
    let found = setback(string, side.path, side.height(), criterion).ok()?;
    let side = side.with_setback(found.nut);
    let (_, x) = side.held(&plan.frame, &plan.blank, string.scale_end() + found.saddle);
    let cents = string.cents(side.nut, side.contact(x));
    Some(Alone {
        setback: x - string.scale_end(),
        // Nought has no sign.
        nut_setback: found.nut + 0.0,
        cents_12: cents[FRETS - 1],
        rms_cents: rms(&cents),
    })
}
