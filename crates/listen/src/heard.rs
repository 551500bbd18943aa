//! What is heard of a string.

use crate::Sure;
use numerics::math;
use serde::Serialize;

/// From this share on, standard uncertainty of B over B, no core is heard.
const NO_CORE: f64 = 0.25;
/// And none is heard under this B: recorded steel strings have 1.6e-5 and more, threads of floss a hundredth of that. Our own choice between them.
const LEAST_CORE: f64 = 3e-6;

/// One partial.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct HeardPartial {
    /// Its number, from 1.
    pub number: u32,
    /// Where it stands once the string has come to rest, Hz.
    pub frequency: f64,
    /// Where that of a limp string of the same pitch would stand, Hz.
    pub limp: f64,
    /// How far it stands off the series that the others agree on, cents, sharp positive: what the body pulls it.
    pub pulled: f64,
    /// How loud it is at first, dB under the loudest; 0 and less.
    pub level: f64,
    /// How long it takes to fall by 60 dB, seconds; `None` where it does not fall, or stands out too briefly to tell.
    pub falls: Option<f64>,
    /// How much it counts in the series, 0 to 1; the first does not.
    pub counts: f64,
}

/// What is heard of a string.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Heard {
    /// Pitch of the series once the string has come to rest, Hz: f of `n f sqrt(1 + B n^2)`.
    pub pitch: Sure,
    /// B of the open string, no unit.
    pub inharmonicity: Sure,
    /// How sharp the string was at first, cents, over where it came to rest: what the pluck stretched it.
    pub began_sharp: f64,
    /// How far the body pulls partial n, cents times n squared, above its resonances.
    pub pull: f64,
    /// How far partials lie about the series, cents.
    pub scatter: f64,
    /// Partials, lowest first.
    pub partials: Vec<HeardPartial>,
    /// Seconds from the start of the recording to the pluck, and to the end of what was listened to.
    pub listened: [f64; 2],
    /// Stretches of the sound that were held against each other.
    pub stretches: usize,
}

impl Heard {
    /// Whether B is heard at all: a soft core leaves none.
    #[must_use]
    pub fn core_is_heard(&self) -> bool {
        self.inharmonicity.value > LEAST_CORE && self.inharmonicity.share() < NO_CORE
    }

    /// The lowest partial as a pitch, Hz: what a reading of one peak says. `None` where partials 1 and 2 are both missing.
    #[must_use]
    pub fn single_peak(&self) -> Option<f64> {
        let lowest = self.partials.first().filter(|partial| partial.number <= 2)?;
        Some(lowest.frequency / f64::from(lowest.number))
    }

    /// Cents off a frequency, Hz, sharp positive.
    #[must_use]
    pub fn off(&self, frequency: f64) -> Sure {
        Sure {
            value: cents(self.pitch.value, frequency),
            sure_to: self.pitch_cents(),
        }
    }

    /// How sure the pitch is, cents.
    #[must_use]
    pub fn pitch_cents(&self) -> f64 {
        cents(1.0 + self.pitch.share(), 1.0)
    }
}

/// From one frequency up to another, cents.
#[must_use]
pub fn cents(of: f64, over: f64) -> f64 {
    1200.0 * math::log2(of / over)
}

/// A string fretted at 12 against itself open, series against series.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct HeardAtTwelve {
    /// The fretted series' pitch over twice the open one's, cents, sharp positive.
    pub cents: Sure,
    /// The same by the lowest peak of each.
    pub by_single_peaks: Option<f64>,
    /// By how much the open string's second partial stands over twice its pitch for its stiffness alone, cents.
    pub second_over_octave: f64,
}

impl HeardAtTwelve {
    /// Of both.
    #[must_use]
    pub fn of(fretted: &Heard, open: &Heard) -> Self {
        let peaks = fretted.single_peak().zip(open.single_peak());
        let b = open.inharmonicity.value;
        Self {
            cents: Sure {
                value: cents(fretted.pitch.value, 2.0 * open.pitch.value),
                sure_to: math::hypot(fretted.pitch_cents(), open.pitch_cents()),
            },
            by_single_peaks: peaks.map(|(fretted, open)| cents(fretted, 2.0 * open)),
            second_over_octave: 0.5 * cents(1.0 + 4.0 * b, 1.0),
        }
    }
}
