//! What was heard of a string, written into a job file as a round of readings.

use crate::{Edit, EditError, Job};
use instrument::{At, Of};
use numerics::trimmed;
use toml_edit::{Array, Value};

/// The tool of the profiles that such a round is read with.
const RECORDING: &str = "recording";
/// Digits that are written of B: more than it is ever sure to.
const DIGITS: i32 = 4;
/// Nothing is written as surer than this share of B, or than these cents: what a nut or a body does to both is no more known.
const SUREST: (f64, f64) = (0.005, 0.1);

/// What was heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeardKey {
    /// B of the open string.
    Inharmonicity,
    /// Cents of the string fretted at 12 against itself open.
    Cents12,
}

impl HeardKey {
    /// Its key in the job file.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Inharmonicity => "inharmonicity",
            Self::Cents12 => "cents_12",
        }
    }

    fn of(self) -> Of {
        match self {
            Self::Inharmonicity => Of::Inharmonicity,
            Self::Cents12 => Of::Cents { fret: 12 },
        }
    }

    /// How many readings of it, with a recording, a job has of a string, counted from the bass; those that are struck out do not count.
    #[must_use]
    pub fn kept(self, job: &Job, string: usize) -> usize {
        let same = |of: Of, at: At, tool: &str| of == self.of() && at == At::String(string) && tool == RECORDING;
        let taken = job.readings.taken.iter().filter(|taken| !taken.doubted);
        taken.filter(|taken| same(taken.of, taken.at, &taken.tool)).count()
    }
}

/// The job file's text with what was heard of a string, counted from the bass of `strings`, as one more round of readings. `value` is B, or
/// cents; `sure_to` its standard uncertainty in the same.
///
/// # Errors
/// [`EditError`].
pub fn with_heard(
    text: &str,
    key: HeardKey,
    string: usize,
    strings: usize,
    value: f64,
    sure_to: f64,
) -> Result<String, EditError> {
    let mut edit = Edit::of(text)?;
    let (value, sure_to) = match key {
        HeardKey::Inharmonicity => {
            let share = (sure_to / value.abs()).max(SUREST.0);
            (digits(value), Value::from(trimmed(share, 4).parse().unwrap_or(share)))
        }
        HeardKey::Cents12 => (
            hundredths(value),
            Value::from(format!("{} cents", hundredths(sure_to.max(SUREST.1)))),
        ),
    };
    let each = (0..strings).map(|at| {
        if at == string {
            Value::from(value)
        } else {
            Value::from("-")
        }
    });
    let values = [
        ("with", Value::from(RECORDING)),
        ("sure_to", sure_to),
        (key.key(), Value::Array(each.collect::<Array>())),
    ];
    edit.append("readings", values)?;
    Ok(edit.text())
}

/// To a few digits.
fn digits(value: f64) -> f64 {
    let text = format!("{value:.*e}", usize::try_from(DIGITS - 1).unwrap_or(3));
    text.parse().unwrap_or(value)
}

fn hundredths(value: f64) -> f64 {
    trimmed(value, 2).parse().unwrap_or(value)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Profiles, read};

    const PARLOUR: &str = include_str!("../../../examples/parlour.toml");

    #[test]
    fn what_is_written_is_read_back() {
        let profiles = Profiles::built_in();
        let job = read(PARLOUR, &profiles).unwrap().job;
        assert_eq!(HeardKey::Inharmonicity.kept(&job, 0), 0);
        let text = with_heard(PARLOUR, HeardKey::Inharmonicity, 0, 6, 1.234_56e-4, 1.5e-6).unwrap();
        let text = with_heard(&text, HeardKey::Cents12, 4, 6, -1.237, 0.02).unwrap();
        assert!(
            text.starts_with(
                PARLOUR
                    .trim_end()
                    .split("[[string]]")
                    .next()
                    .unwrap()
                    .lines()
                    .next()
                    .unwrap()
            )
        );
        let job = read(&text, &profiles).unwrap().job;
        let [b, cents] = &job.readings.taken[..] else {
            panic!("{:?}", job.readings.taken)
        };
        assert_eq!((b.of, b.at, b.value), (Of::Inharmonicity, At::String(0), 1.235e-4));
        assert!(
            (b.unsure.total() - 0.0122 * b.value).abs() < 1e-9,
            "{}",
            b.unsure.total()
        );
        assert_eq!(
            (cents.of, cents.at, cents.value),
            (Of::Cents { fret: 12 }, At::String(4), -1.24)
        );
        assert!((cents.unsure.total() - 0.1).abs() < 1e-12);
        assert_eq!(HeardKey::Inharmonicity.kept(&job, 0), 1);
        assert_eq!(HeardKey::Inharmonicity.kept(&job, 1), 0);
        assert_eq!(HeardKey::Cents12.kept(&job, 4), 1);
    }

    #[test]
    fn what_is_no_list_stays() {
        let text = "[readings]\nrelief = 1\n";
        assert!(matches!(
            with_heard(text, HeardKey::Cents12, 0, 6, 1.0, 0.2),
            Err(EditError::NoTable(_))
        ));
    }
}
