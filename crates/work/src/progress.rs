//! How far the work on all that a job makes is.

use crate::{Planned, SlotLeft, Whole};
use machining::PartKind;

/// How far the work on a job is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Progress {
    /// It makes nothing that can be planned.
    Unplanned,
    /// It is planned, and not to be made as it stands.
    Stopped,
    /// It is planned, and nothing was read over it yet.
    Planned,
    /// It was strung up, and something is left to do, or to read again.
    Left,
    /// It was strung up, and nothing is left that a file could mend.
    Done,
}

impl Planned {
    /// How far the work is, of all parts together: the least of them tells.
    #[must_use]
    pub fn progress(&self) -> Progress {
        let saddles = self.saddles().filter_map(Self::saddle).count();
        if saddles == 0 && self.nut().is_none() {
            return Progress::Unplanned;
        }
        let Some(read) = self.job.strung.as_deref() else {
            return if self.stops(&[PartKind::Saddle, PartKind::Nut]) {
                Progress::Stopped
            } else {
                Progress::Planned
            };
        };
        let of_saddles = self.read_by_saddle(read).all(|(one, read)| {
            let fitted = one.saddle().map(|saddle| saddle.fit(read).map(|fitted| fitted.whole()));
            matches!(fitted, None | Some(Ok(Whole::Good | Whole::AsNear)))
        });
        // A saddle's readings have its nut's in them.
        let of_nut = saddles > 0
            || self.nut().is_none_or(|nut| {
                let slots = nut.slots(read).slots;
                let is_done = |left| matches!(left, SlotLeft::Good | SlotLeft::Low(..));
                slots.iter().all(|slot| slot.is_some_and(|slot| is_done(slot.left)))
            });
        if of_saddles && of_nut {
            Progress::Done
        } else {
            Progress::Left
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use job::Profiles;

    fn progress(text: &str) -> Progress {
        crate::planned(job::read(text, &Profiles::built_in()).unwrap().job).progress()
    }

    #[test]
    fn how_far_a_job_is() {
        let sound = include_str!("../../../examples/sound.toml");
        let nut = include_str!("../../../examples/nut-only.toml");
        let far = "\n[strung]\naction_12 = { bass = \"4.4 mm\", treble = \"3.9 mm\" }\n";
        for (told, text, wanted) in [
            ("as it is surveyed", sound.to_owned(), Progress::Planned),
            ("strung up high", sound.to_owned() + far, Progress::Left),
            ("a nut", nut.to_owned(), Progress::Planned),
            (
                "a nut strung up high",
                nut.to_owned()
                    + "\n[strung]\naction_12 = { bass = \"2.4 mm\", treble = \"1.9 mm\" }\nfirst_fret_clearance = { bass = \"1 mm\", treble = \"1 mm\" }\n",
                Progress::Left,
            ),
        ] {
            assert_eq!(progress(&text), wanted, "{told}");
        }
    }
}
