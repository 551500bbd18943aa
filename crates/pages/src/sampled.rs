//! What was sampled of jobs as they are kept, so that a page that is looked at again is not sampled again.

use std::collections::VecDeque;
use std::sync::{Mutex, MutexGuard, PoisonError};

use work::{Heights, SaddleWork};

use crate::jobs::Version;

/// Most saddles that are remembered.
const MOST: usize = 32;

/// What stands beside the heights of saddles, by the version of their job and their name; the latest first.
#[derive(Default)]
pub(crate) struct Sampled(Mutex<VecDeque<(Key, Heights)>>);

/// The version of a job, and the name of its saddle where it has several.
type Key = (String, String);

impl Sampled {
    /// Of a saddle of a job as it is kept: to the digit what the command tells.
    pub(crate) fn heights(&self, version: &Version, saddle: &SaddleWork) -> Heights {
        self.known(version, saddle).unwrap_or_else(|| {
            let heights = saddle.heights();
            let mut all = self.locked();
            all.push_front((key(version, saddle), heights.clone()));
            all.truncate(MOST);
            heights
        })
    }

    /// Of a saddle while a value of its job is typed: as sure as the kept one was, if that was looked at.
    pub(crate) fn while_typing(&self, version: &Version, saddle: &SaddleWork) -> Heights {
        let kept = self.known(version, saddle);
        saddle.heights_as_sure_as(&kept.unwrap_or_default())
    }

    fn known(&self, version: &Version, saddle: &SaddleWork) -> Option<Heights> {
        let key = key(version, saddle);
        let all = self.locked();
        all.iter()
            .find(|(of, _)| *of == key)
            .map(|(_, heights)| heights.clone())
    }

    fn locked(&self) -> MutexGuard<'_, VecDeque<(Key, Heights)>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn key(version: &Version, saddle: &SaddleWork) -> Key {
    let name = saddle.job.name.clone();
    (version.as_str().to_owned(), name.unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;
    use job::Profiles;
    use work::Planned;

    fn planned(text: &str) -> Planned {
        work::planned(job::read(text, &Profiles::built_in()).unwrap().job)
    }

    const SOUND: &str = include_str!("../../../examples/sound.toml");

    #[test]
    fn a_kept_job_has_the_command_s_figures_and_a_changed_one_its_own() {
        let sampled = Sampled::default();
        let changed = SOUND.replace("bass = 2.4, treble = 1.8", "bass = 2.6, treble = 2.0");
        assert_ne!(changed, SOUND);
        for text in [SOUND, &changed, SOUND] {
            let done = planned(text);
            let saddle = done.saddle().unwrap();
            assert_eq!(sampled.heights(&Version::of(text), &saddle), saddle.heights());
        }
        assert_eq!(sampled.0.lock().unwrap().len(), 2);
    }

    #[test]
    fn while_a_value_is_typed_it_is_as_sure_as_it_was() {
        let sampled = Sampled::default();
        let typed = planned(&SOUND.replace("bass = 2.4, treble = 1.8", "bass = 2.6, treble = 2.0"));
        let (typed, version) = (typed.saddle().unwrap(), Version::of(SOUND));
        // Nobody has looked at the kept one.
        assert_eq!(sampled.while_typing(&version, &typed).proud, None);
        let kept = planned(SOUND);
        let kept = sampled.heights(&version, &kept.saddle().unwrap());
        let heights = sampled.while_typing(&version, &typed);
        assert_eq!(heights.proud, kept.proud);
        for (now, was) in heights.strings.iter().zip(&kept.strings) {
            assert_eq!(now.sure_to, was.sure_to);
            // The old saddle would have to lose about 0.4 mm less.
            let less = was.off_old.unwrap() - now.off_old.unwrap();
            assert!((less - 0.4).abs() < 0.02, "{less}");
        }
    }
}
