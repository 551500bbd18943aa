//! What the owner of an instrument is told before work on a saddle: what is felt, what the work would change, and what else could be done.

use assess::{Assessment, Topic, Verdict};
use saddle::{Plan, Way};

use crate::{Fork, ForkEnd, SaddleWork};

/// A change of action at fret 12 that is less is not felt, mm. Common practice, no source.
pub const FELT: f64 = 0.1;

/// How one string stands at fret 12 before the work. mm and cents; `None` where it was not read.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Stood {
    /// Action.
    pub action: Option<f64>,
    /// Fretted note against the open octave, sharp positive.
    pub cents: Option<f64>,
}

/// One string at fret 12: how it stands, and how it would. mm and cents.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnerString {
    /// String number.
    pub number: u32,
    /// Its note.
    pub note: String,
    /// How it stands.
    pub now: Stood,
    /// The action that is wanted.
    pub wanted: f64,
    /// Error of the fretted note with the new saddle, sharp positive.
    pub cents_then: f64,
}

/// What the left hand feels of a change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Feel {
    /// Strings come down.
    Lower,
    /// Strings come up.
    Higher,
    /// Nothing.
    Same,
}

/// What the owner may have come with, as far as readings show it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Complaint {
    /// Strings stand so much over what is wanted, mm at fret 12, mean of the outer ones.
    High(f64),
    /// Strings stand so much under it, mm.
    Low(f64),
    /// Fretted notes are off by more than the limit of the job; the worst, cents, sharp positive.
    OutOfTune(f64),
}

/// What could be done instead of what is proposed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Instead {
    /// Compensate at a new nut; the worst note that stays, cents.
    NutMoved(f64),
    /// A thicker saddle in a wider slot; the same.
    WiderSlot(f64),
    /// The slot filled and cut again; the same.
    SlotAgain(f64),
    /// The new saddle in the slot as it is; the worst error at fret 12, cents.
    OutOfTune(f64),
    /// Higher strings, on which a saddle alone serves; so much over what is wanted at least, mm.
    HigherAction(f64),
    /// Lighter strings or a lower tuning.
    LighterStrings,
    /// A bridge that is planed thinner.
    ThinBridge,
    /// Another action than the wanted one: changes from here to there ask for nothing but another saddle, mm; `None`: no end was found.
    OtherAction(Option<f64>, Option<f64>),
    /// A neck set, which is not needed.
    NeckSet,
    /// Nothing.
    Leave,
}

/// What the owner is told beyond the findings.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposed {
    /// Whether a saddle is the remedy, and what comes first.
    pub fork: Fork,
    /// What the owner may have come with.
    pub complaints: Vec<Complaint>,
    /// Strings, bass to treble.
    pub strings: Vec<OwnerString>,
    /// What is felt of the change; `None` where no action was read.
    pub feel: Option<Feel>,
    /// What could be done instead, the mildest first; to do nothing is the last.
    pub instead: Vec<Instead>,
    /// The work is done within this of the wanted action, mm.
    pub good: f64,
    /// Readings do not fit one another.
    pub is_doubted: bool,
}

impl Proposed {
    /// Of a plan and what was found about it; `stood`: the strings before, bass to treble; `good`: within which of the wanted action the work
    /// is done, mm.
    #[must_use]
    pub fn of(plan: &Plan, found: &Assessment, fork: Fork, stood: &[Stood], good: f64) -> Self {
        let stood = stood.iter().copied().chain(std::iter::repeat(Stood::default()));
        let each = plan.strings.iter().zip(stood).map(|(s, now)| OwnerString {
            number: s.number,
            note: s.note.clone(),
            now,
            wanted: s.action_12,
            cents_then: s.cents[strings::FRETS - 1],
        });
        let strings: Vec<OwnerString> = each.collect();
        let change = change(&strings);
        Self {
            complaints: complaints(&strings, change, found.limits.most_cents.value),
            feel: change.map(Feel::of),
            instead: instead(plan, found, &fork),
            strings,
            fork,
            good,
            is_doubted: false,
        }
    }

    /// The outer strings, bass first; one where there is one.
    #[must_use]
    pub fn outer(&self) -> Vec<&OwnerString> {
        outer(&self.strings)
    }

    /// Whether a new saddle is what is proposed, whatever comes before it.
    #[must_use]
    pub fn is_saddle(&self) -> bool {
        matches!(
            self.fork.end,
            ForkEnd::NotInTune | ForkEnd::Watch | ForkEnd::Clear | ForkEnd::Once
        )
    }

    /// Largest error at fret 12 with the new saddle, cents, 0 or more.
    #[must_use]
    pub fn worst_then(&self) -> f64 {
        self.strings.iter().map(|s| s.cents_then.abs()).fold(0.0, f64::max)
    }
}

impl Feel {
    /// Of a change of action at fret 12, mm, positive upward.
    #[must_use]
    pub fn of(change: f64) -> Self {
        if change.abs() < FELT {
            Self::Same
        } else if change < 0.0 {
            Self::Lower
        } else {
            Self::Higher
        }
    }
}

/// The first and the last.
pub(crate) fn outer<T>(all: &[T]) -> Vec<&T> {
    match all {
        [] => Vec::new(),
        [one] => vec![one],
        [first, .., last] => vec![first, last],
    }
}

/// How far the outer strings would come up, mm, as the mean; `None` where one of them was not read.
fn change(strings: &[OwnerString]) -> Option<f64> {
    let outer = outer(strings);
    let changes: Option<Vec<f64>> = outer.iter().map(|s| Some(s.wanted - s.now.action?)).collect();
    let changes = changes.filter(|changes| !changes.is_empty())?;
    let count = u32::try_from(changes.len()).ok()?;
    Some(changes.iter().sum::<f64>() / f64::from(count))
}

fn complaints(strings: &[OwnerString], change: Option<f64>, most_cents: f64) -> Vec<Complaint> {
    let mut list = Vec::new();
    if let Some(change) = change {
        match Feel::of(change) {
            Feel::Lower => list.push(Complaint::High(-change)),
            Feel::Higher => list.push(Complaint::Low(change)),
            Feel::Same => {}
        }
    }
    let read = strings.iter().filter_map(|s| s.now.cents);
    let worst = read.fold(0.0, |a: f64, b| if b.abs() > a.abs() { b } else { a });
    if worst.abs() > most_cents {
        list.push(Complaint::OutOfTune(worst));
    }
    list
}

fn instead(plan: &Plan, found: &Assessment, fork: &Fork) -> Vec<Instead> {
    let mut list = Vec::new();
    let what_if = found.what_if.as_ref();
    match fork.end {
        ForkEnd::NotInTune => {
            let ways = plan.ways_out.iter().flat_map(|ways| &ways.order);
            list.extend(ways.map(|left| {
                let worst = left.worst.cents.abs();
                match left.way {
                    Way::Nut => Instead::NutMoved(worst),
                    Way::Thicker => Instead::WiderSlot(worst),
                    Way::Slot => Instead::SlotAgain(worst),
                }
            }));
            list.extend(found.slot.as_ref().map(|slot| Instead::OutOfTune(slot.worst_now)));
        }
        ForkEnd::NeckDue => {
            let higher = what_if.and_then(|what_if| what_if.saddle_from);
            list.extend(higher.filter(|higher| *higher >= FELT).map(Instead::HigherAction));
            list.extend([Instead::LighterStrings, Instead::ThinBridge]);
        }
        ForkEnd::Watch | ForkEnd::Clear | ForkEnd::Once => {
            let ends = what_if.map(|what_if| (what_if.saddle_from, what_if.saddle_to));
            list.extend(ends.map(|(from, to)| Instead::OtherAction(from, to)));
        }
        ForkEnd::Impossible | ForkEnd::Unsafe | ForkEnd::TooTall | ForkEnd::NotKnown => {}
    }
    let sound_neck = |f: &assess::Finding| f.topic == Topic::Neck && f.verdict == Verdict::Sound;
    if found.neck.is_some() && found.findings.iter().any(sound_neck) {
        list.push(Instead::NeckSet);
    }
    list.push(Instead::Leave);
    list
}

impl SaddleWork<'_> {
    /// How every string stands before the work, as it was read, bass to treble.
    #[must_use]
    pub fn stood(&self) -> Vec<Stood> {
        let read = self.job.instrument.strings.iter();
        read.map(|s| Stood {
            action: s.action_12,
            cents: s.cents_12,
        })
        .collect()
    }

    /// What the owner is told beyond what was found.
    #[must_use]
    pub fn proposed(&self, found: &Assessment) -> Proposed {
        let fork = Fork::of(found, &self.stops(), self.beside());
        Proposed {
            is_doubted: !self.doubted.is_empty(),
            ..Proposed::of(self.plan, found, fork, &self.stood(), self.job.tolerance.band.action)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn string(now: Option<f64>, cents: Option<f64>, wanted: f64) -> OwnerString {
        OwnerString {
            number: 1,
            note: "E4".to_owned(),
            now: Stood { action: now, cents },
            wanted,
            cents_then: 0.0,
        }
    }

    #[test]
    fn what_a_hand_feels() {
        for (change, feel) in [
            (0.0, Feel::Same),
            (0.09, Feel::Same),
            (-0.09, Feel::Same),
            (0.1, Feel::Higher),
            (-0.1, Feel::Lower),
        ] {
            assert_eq!(Feel::of(change), feel, "{change}");
        }
    }

    /// What is complained of is what was read, and only what is felt or over the limit.
    #[test]
    fn complaints_are_what_was_read() {
        type Row = ([Option<f64>; 2], [Option<f64>; 2], &'static [Complaint]);
        const ROWS: [Row; 6] = [
            ([Some(2.9), Some(2.3)], [None, None], &[Complaint::High(0.5)]),
            ([Some(2.0), Some(1.4)], [None, None], &[Complaint::Low(0.4)]),
            ([Some(2.45), Some(1.85)], [Some(2.0), Some(-3.0)], &[]),
            (
                [Some(2.4), None],
                [Some(2.0), Some(-7.0)],
                &[Complaint::OutOfTune(-7.0)],
            ),
            ([None, None], [None, None], &[]),
            (
                [Some(2.9), Some(2.3)],
                [Some(4.0), None],
                &[Complaint::High(0.5), Complaint::OutOfTune(4.0)],
            ),
        ];
        for (action, cents, want) in ROWS {
            let strings = [string(action[0], cents[0], 2.4), string(action[1], cents[1], 1.8)];
            let found = complaints(&strings, change(&strings), 3.0);
            assert_eq!(found.len(), want.len(), "{found:?}");
            for (found, want) in found.iter().zip(want) {
                let near = match (found, want) {
                    (Complaint::High(a), Complaint::High(b))
                    | (Complaint::Low(a), Complaint::Low(b))
                    | (Complaint::OutOfTune(a), Complaint::OutOfTune(b)) => (a - b).abs() < 1e-9,
                    _ => false,
                };
                assert!(near, "{found:?} {want:?}");
            }
        }
    }
}
