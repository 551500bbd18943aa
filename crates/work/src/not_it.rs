//! Strings that do not sound like those that the job describes.

use instrument::{At, Of, Readings, StretchKnown, SurveyedString};
use known::{Evidence, Figure};
use numerics::math;
use std::f64::consts::PI;
use strings::Material;

/// Beyond so many standard deviations B is not that of the string that the job describes. A string at a time, and no proof: it sends one to
/// look at the string. What is so far off that the survey is doubted is another matter, with the limit of all its readings.
pub(crate) const NOT_IT: f64 = 2.5;
/// A wound string as stiff as this share of a plain wire of its mass is one: the core of a wound string bends by a third of that at
/// most, derived here from the sets of the profiles. Our own choice.
const AS_PLAIN: f64 = 0.7;
/// A plain wire that bends by no more than this share of what it should has a core and a wrap. Our own choice.
const AS_WOUND: f64 = 0.5;

/// A string whose B, as it was heard, is not that of the string that the job describes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NotTheString {
    /// Its number.
    pub number: u32,
    /// B as it was heard over B as described.
    pub over_described: f64,
    /// What it sounds like.
    pub like: SoundsLike,
}

/// What a string sounds like that is not the one described.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SoundsLike {
    /// A plain wire, where the job has a wound string.
    Plain,
    /// A wound string, where the job has a plain wire.
    Wound,
    /// A string of another core or gauge, or of another material.
    Another,
}

/// B of a string as it is described, and its standard uncertainty, a share of it, by all that is known. `None` where nothing doubts it.
pub(crate) fn described(evidence: &Evidence, string: usize) -> Option<(f64, f64)> {
    let (known, covariance) = (&evidence.known, &evidence.known.estimate.covariance);
    let (bending, mass) = (known.at(Figure::Bending(string))?, known.at(Figure::Mass(string))?);
    let of_b = covariance[(bending, bending)] + covariance[(mass, mass)] - 2.0 * covariance[(bending, mass)];
    let (one, scale) = of(evidence, string)?;
    let reach = one.model.clamped_length(scale, one.frequency) / scale;
    Some((math::powi(PI * reach, 2), of_b.max(0.0).sqrt()))
}

/// A string and its scale, mm.
fn of(evidence: &Evidence, string: usize) -> Option<(&SurveyedString, f64)> {
    let one = evidence.instrument.strings.get(string)?;
    Some((one, evidence.instrument.board.scale(&one.run)))
}

/// B of a plain steel wire of a string's mass: `I = A^2 / (4 pi)` of a round section.
fn as_plain_wire(evidence: &Evidence, string: usize) -> Option<f64> {
    let (one, scale) = of(evidence, string)?;
    let area = one.model.linear_density / Material::STEEL.density;
    // GPa is 1e3 N/mm2.
    let bending = 1e3 * Material::STEEL.modulus * area * area / (4.0 * PI);
    Some(PI * PI * bending / (one.model.tension(scale, one.frequency) * scale * scale))
}

/// How many standard deviations B lies off what is described, `sure_to` and `unsure` as shares.
pub(crate) fn apart(over_described: f64, sure_to: f64, unsure: f64) -> f64 {
    math::ln(over_described).abs() / math::hypot(unsure, sure_to)
}

/// Strings whose B contradicts the job, bass to treble. What is doubted already, by these strings' indices, is left out where no more can be
/// said of it than that.
pub(crate) fn not_it(evidence: &Evidence, doubted: impl Fn(usize) -> bool) -> Vec<NotTheString> {
    let is_b = |of: Of| of == Of::Inharmonicity;
    let taken = &evidence.readings.taken;
    if !taken.iter().any(|one| is_b(one.of) && !one.doubted) {
        return Vec::new();
    }
    // B is held against what is known without any.
    let readings = Readings {
        taken: taken.iter().filter(|one| !is_b(one.of)).cloned().collect(),
        ..evidence.readings.clone()
    };
    let without = Evidence::of(evidence.instrument.clone(), evidence.slot, readings, evidence.unsure);
    let Ok(without) = without else {
        return Vec::new();
    };
    let one = |string: usize| {
        let own = taken
            .iter()
            .filter(|one| is_b(one.of) && !one.doubted && one.at == At::String(string) && one.value > 0.0);
        // By logarithms, each as surely as it was heard.
        let (sum, weight) = own.fold((0.0, 0.0), |(sum, weight), one| {
            let own = math::powi((one.unsure.total() / one.value).max(1e-6), -2);
            (sum + own * math::ln(one.value), weight + own)
        });
        let (described, unsure) = described(&without, string).filter(|_| weight > 0.0)?;
        let heard = math::exp(sum / weight);
        let over_described = heard / described;
        let known = evidence.instrument.strings.get(string)?.known;
        let like = match known {
            StretchKnown::Core | StretchKnown::CoreOfSet | StretchKnown::CoreByRule
                if heard > AS_PLAIN * as_plain_wire(evidence, string)? =>
            {
                SoundsLike::Plain
            }
            StretchKnown::PlainWire if over_described < AS_WOUND => SoundsLike::Wound,
            _ => SoundsLike::Another,
        };
        let is = apart(over_described, weight.sqrt().recip(), unsure) > NOT_IT;
        let says_more = like != SoundsLike::Another || !doubted(string);
        (is && says_more).then_some(NotTheString {
            number: evidence.instrument.strings.get(string)?.number,
            over_described,
            like,
        })
    };
    (0..evidence.instrument.strings.len()).filter_map(one).collect()
}
