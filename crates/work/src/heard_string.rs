//! What was heard of a string, and what that makes of the string that the job describes.

use crate::Planned;
use known::Figure;
use listen::{Heard, HeardAtTwelve, Sure};
use serde::Serialize;

/// Beyond so many standard deviations B is not that of the string that the job describes.
const NOT_IT: f64 = 2.5;

/// What was heard of a string.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HeardString {
    /// The note that it should give, as it was written.
    pub note: String,
    /// Its frequency, Hz; of a fretted string that of the fretted note.
    pub expected: f64,
    /// The fret at which it was held; 0 open.
    pub fret: u32,
    /// What was heard.
    pub heard: Heard,
    /// Cents off the note, sharp positive.
    pub off: Sure,
    /// Cents that its lowest partial alone is off the note; `None` where that was not heard.
    pub one_peak_off: Option<f64>,
    /// The same string fretted at 12, where that was recorded too.
    pub at_12: Option<HeardAtTwelve>,
    /// What B makes of the string's stretch; `None` without a job, and where no core is heard.
    pub stretch: Option<StretchHeard>,
}

impl HeardString {
    /// A string of which nothing but its note is known.
    #[must_use]
    pub fn of(note: String, expected: f64, fret: u32, heard: Heard) -> Self {
        Self {
            off: heard.off(expected),
            one_peak_off: heard.single_peak().map(|peak| listen::cents(peak, expected)),
            note,
            expected,
            fret,
            heard,
            at_12: None,
            stretch: None,
        }
    }
}

/// What B makes of a string's stretch stiffness E A, by all that is known of the instrument. Uncertainties are shares.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct StretchHeard {
    /// B of the string as the job describes it.
    pub described: f64,
    /// How sure that is, a share of it.
    pub described_sure_to: f64,
    /// B as it was heard over that.
    pub over_described: f64,
    /// How sure E A was before, a share of it.
    pub before: f64,
    /// And is with B.
    pub after: f64,
    /// E A with B over what the job's description makes.
    pub factor: f64,
    /// B is not that of the string that the job describes.
    pub not_it: bool,
}

impl StretchHeard {
    /// Of a string by its number, of a job without and with what was heard. `None` where the job does not tell an instrument, or has no
    /// doubt of this string's stretch.
    #[must_use]
    pub fn of(before: &Planned, after: &Planned, number: u32, b: Sure) -> Option<Self> {
        let (was, described, unsure) = known(before, number)?;
        let (is, ..) = known(after, number)?;
        let ratio = b.value / described;
        let apart = ratio.ln().abs() / unsure.hypot(b.share());
        Some(Self {
            described,
            described_sure_to: unsure,
            over_described: ratio,
            before: was.1,
            after: is.1,
            factor: is.0.exp(),
            not_it: apart > NOT_IT,
        })
    }

    /// Share of the variance of the string's stretch that listening takes away, 0 to 1.
    #[must_use]
    pub fn taken_away(&self) -> f64 {
        1.0 - (self.after / self.before).powi(2)
    }
}

/// Of a string by its number: by how much the logarithm of E A is off the description, and how sure; B as described, and how sure, a share.
fn known(done: &Planned, number: u32) -> Option<((f64, f64), f64, f64)> {
    done.surveyed().into_iter().find_map(|one| {
        let evidence = one.evidence.as_ref()?;
        let strings = &evidence.instrument.strings;
        let at = strings.iter().position(|s| s.number == number)?;
        let string = strings.get(at)?;
        let (known, covariance) = (&evidence.known, &evidence.known.estimate.covariance);
        let axial = known.at(Figure::Axial(at))?;
        let (bending, mass) = (known.at(Figure::Bending(at))?, known.at(Figure::Mass(at))?);
        let scale = evidence.instrument.board.scale(&string.run);
        let reach = string.model.clamped_length(scale, string.frequency) / scale;
        let of_b = covariance[(bending, bending)] + covariance[(mass, mass)] - 2.0 * covariance[(bending, mass)];
        Some((
            (known.off(Figure::Axial(at)), covariance[(axial, axial)].sqrt()),
            (std::f64::consts::PI * reach).powi(2),
            of_b.sqrt(),
        ))
    })
}
