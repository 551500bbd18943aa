//! What was heard of a string, and what that makes of the string that the job describes.

use crate::Planned;
use crate::not_it::{NOT_IT, apart, described};
use known::Figure;
use listen::{Heard, HeardAtTwelve, Sure};
use numerics::math;
use serde::Serialize;

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
        Some(Self {
            described,
            described_sure_to: unsure,
            over_described: ratio,
            before: was.1,
            after: is.1,
            factor: math::exp(is.0),
            not_it: apart(ratio, b.share(), unsure) > NOT_IT,
        })
    }

    /// Share of the variance of the string's stretch that listening takes away, 0 to 1.
    #[must_use]
    pub fn taken_away(&self) -> f64 {
        1.0 - math::powi(self.after / self.before, 2)
    }
}

/// Of a string by its number: by how much the logarithm of E A is off the description, and how sure; B as described, and how sure, a share.
fn known(done: &Planned, number: u32) -> Option<((f64, f64), f64, f64)> {
    done.surveyed().into_iter().find_map(|one| {
        let evidence = one.evidence.as_ref()?;
        let strings = &evidence.instrument.strings;
        let at = strings.iter().position(|s| s.number == number)?;
        let (known, covariance) = (&evidence.known, &evidence.known.estimate.covariance);
        let axial = known.at(Figure::Axial(at))?;
        let (b, unsure) = described(evidence, at)?;
        Some((
            (known.off(Figure::Axial(at)), covariance[(axial, axial)].sqrt()),
            b,
            unsure,
        ))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::planned;
    use instrument::Reading;
    use job::{HeardKey, Profiles, read, with_heard};
    use saddle::tolerance::Sampling;
    use std::collections::{BTreeMap, BTreeSet};

    const PARLOUR: &str = include_str!("../../../examples/parlour.toml");

    fn done(text: &str) -> Planned {
        planned(read(text, &Profiles::built_in()).unwrap().job)
    }

    /// B as the job describes each string, bass to treble.
    fn described(done: &Planned) -> Vec<(u32, f64)> {
        let strings = &done.job.instrument.strings;
        strings
            .iter()
            .map(|s| (s.number, known(done, s.number).unwrap().1))
            .collect()
    }

    /// The parlour with B of every string, as surely as a recording tells it.
    fn with_all(text: &str) -> String {
        let strings = described(&done(text));
        let each = strings.iter().enumerate();
        each.fold(text.to_owned(), |text, (at, (_, b))| {
            with_heard(&text, HeardKey::Inharmonicity, at, strings.len(), *b, 0.01 * b).unwrap()
        })
    }

    /// What each reading makes of the variance of cents at fret 12, of all strings together.
    fn cents(text: &str) -> BTreeMap<Reading, f64> {
        let done = done(text);
        let saddle = done.saddle().unwrap();
        let sampling = Sampling {
            samples: 2_000,
            ..saddle.job.tolerance.sampling
        };
        let first = saddle.sureness(sampling, &|_| {}).unwrap().tolerance.first_order;
        let of = |of_cents: &[f64]| {
            let each = of_cents.iter().zip(&first.cents);
            each.map(|(share, cents)| share * cents * cents).sum()
        };
        first
            .shares
            .iter()
            .map(|share| (share.reading, of(&share.of_cents)))
            .collect()
    }

    /// The parlour's strings, but for one, are of a set's name. What is left is not the stretch: where contacts come to lie, the scale, and
    /// the ends of the strings, of which sound says nothing. So the spread falls nearly as far as it would were the stretch known exactly,
    /// and no farther. With `--nocapture` it prints the table.
    #[test]
    #[allow(clippy::print_stdout)] // a table to read
    fn listening_takes_most_of_the_doubt_of_the_stretch_away() {
        let by_name = PARLOUR.replace("core = \"17.5 thou\"", "");
        assert_ne!(by_name, PARLOUR);
        let ends_held = |text: &str| format!("{text}\n[uncertainty]\nends = 0\n");
        let heard = [Reading::Stretch, Reading::Inharmonicity, Reading::Mass];
        for (what, text, spread) in [
            ("as it is", PARLOUR.to_owned(), 0.13),
            ("as it is, ends held", ends_held(PARLOUR), 0.24),
            ("all by name", by_name.clone(), 0.20),
            ("all by name, ends held", ends_held(&by_name), 0.34),
        ] {
            let (before, after) = (cents(&text), cents(&with_all(&text)));
            let all = |of: &BTreeMap<Reading, f64>| of.values().sum::<f64>();
            let of = |of: &BTreeMap<Reading, f64>, reading| of.get(&reading).copied().unwrap_or(0.0);
            let falls = |to: f64| 1.0 - (to / all(&before)).sqrt();
            let strings: f64 = heard.iter().map(|reading| of(&before, *reading)).sum();
            let (fell, most) = (falls(all(&after)), falls(all(&before) - strings));
            println!(
                "{what}: cents squared of six strings, {:.1} and with listening {:.1}; the spread falls by {:.0} %, at most {:.0}",
                all(&before),
                all(&after),
                100.0 * fell,
                100.0 * most
            );
            let readings: BTreeSet<Reading> = before.keys().chain(after.keys()).copied().collect();
            for reading in readings {
                let (was, is) = (of(&before, reading), of(&after, reading));
                if was + is > 0.1 {
                    println!("  {reading:<14?} {was:6.2} {is:6.2}");
                }
                // Nothing else is made surer, or less sure, than it was.
                let other = !heard.contains(&reading);
                assert!(
                    !other || (is - was).abs() < 0.03 * was + 0.001,
                    "{what}, {reading:?}: {was} {is}"
                );
            }
            assert!(
                of(&after, Reading::Stretch) + of(&after, Reading::Inharmonicity) < 0.1 * of(&before, Reading::Stretch),
                "{what}"
            );
            assert!(fell > spread && fell > 0.9 * most, "{what}: {fell} of {most}");
        }
    }

    #[test]
    fn what_is_heard_is_held_against_the_description() {
        let before = done(PARLOUR);
        let (number, b) = described(&before)[1];
        for (times, not_it) in [(1.0, false), (1.3, false), (3.5, true), (0.3, true)] {
            let heard = Sure {
                value: times * b,
                sure_to: 0.01 * times * b,
            };
            let text = with_heard(PARLOUR, HeardKey::Inharmonicity, 1, 6, heard.value, heard.sure_to).unwrap();
            let told = StretchHeard::of(&before, &done(&text), number, heard).unwrap();
            assert_eq!(told.not_it, not_it, "{told:?}");
            assert!((told.over_described / times - 1.0).abs() < 1e-9);
            assert!(told.after < 0.5 * told.before && told.taken_away() > 0.75, "{told:?}");
            // A core goes about as the root of B where its size is what is wrong.
            assert!(
                (math::ln(told.factor) - 0.5 * math::ln(times)).abs() < 0.1 + 0.1 * math::ln(times).abs(),
                "{told:?}"
            );
        }
        assert!(StretchHeard::of(&before, &before, 9, Sure { value: b, sure_to: b }).is_none());
    }
}
