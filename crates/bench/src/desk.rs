//! One job opened: its text, its answers, what the checks say, its plan; and what one more answer would make of it.

use job::{Checked, Job, Problem, Profiles, Severity};
use saddle::{Plan, PlanError};
use survey::{Answers, Interview, Step, Verdict};
use toml::Table;

use crate::answers::{fill, from_job, settled};
use crate::beside::Beside;
use crate::name::JobName;
use crate::patch::patched;
use crate::store::{Store, StoreError, Version};

/// Tables whose bare numbers the survey does not ask for, so that the unit cannot be changed under them.
const UNASKED: [&str; 10] = [
    "string",
    "filing",
    "strung",
    "tolerance",
    "uncertainty",
    "cut",
    "nut_cut",
    "nut_blank",
    "neck",
    "assess",
];

/// The folder of jobs and the profiles.
#[derive(Debug)]
pub struct Desk {
    /// Jobs on disk.
    pub store: Store,
    /// String sets and materials.
    pub profiles: Profiles,
}

/// What the checks and the plan say of a job's text.
#[derive(Debug)]
pub struct Judged {
    /// Problems and doubts, in line order.
    pub problems: Vec<Problem>,
    /// The job, if it has no errors.
    pub job: Option<Job>,
    /// Its plan, or why there is none; `None` without a job.
    pub plan: Option<Result<Plan, Vec<PlanError>>>,
}

impl Judged {
    /// Job and plan, if both are there.
    #[must_use]
    pub fn planned(&self) -> Option<(&Job, &Plan)> {
        Some((self.job.as_ref()?, self.plan.as_ref()?.as_ref().ok()?))
    }

    /// How many errors stand in the way.
    #[must_use]
    pub fn errors(&self) -> usize {
        let refused = match &self.plan {
            Some(Err(errors)) => errors.len(),
            _ => 0,
        };
        refused + self.problems.iter().filter(|p| p.severity == Severity::Error).count()
    }
}

/// A job as it is now.
#[derive(Debug)]
pub struct Opened {
    /// Its name.
    pub name: JobName,
    /// The text of its file.
    pub text: String,
    /// The version of that.
    pub version: Version,
    /// What is kept beside it.
    pub beside: Beside,
    /// The survey over it; `None` if the text is no TOML.
    pub interview: Option<Interview>,
    /// What the checks say.
    pub judged: Judged,
    /// Whether there is something to undo, and something to do again.
    pub steps: (bool, bool),
}

impl Opened {
    /// Title of the job, or its name until it has one.
    #[must_use]
    pub fn title(&self) -> String {
        let given = self.interview.as_ref().and_then(|i| i.answers.given("title"));
        given.map_or_else(|| self.name.as_str().to_owned(), str::to_owned)
    }
}

/// What one answer would make of a job.
#[derive(Debug)]
pub struct Attempt {
    /// Where it was answered.
    pub step: Step,
    /// What becomes of the answer.
    pub verdict: Verdict,
    /// The job with it, unless it is refused.
    pub made: Option<Made>,
}

/// A job with one more answer, not yet saved.
#[derive(Debug)]
pub struct Made {
    /// Text of the file.
    pub text: String,
    /// What is kept beside it.
    pub beside: Beside,
    /// The survey over it.
    pub interview: Interview,
}

impl Desk {
    /// Checks and plans a text.
    #[must_use]
    pub fn judge(&self, text: &str) -> Judged {
        match job::read(text, &self.profiles) {
            Err(problems) => Judged {
                problems,
                job: None,
                plan: None,
            },
            Ok(Checked { job, warnings }) => Judged {
                plan: Some(saddle::plan(&job.survey)),
                problems: warnings,
                job: Some(job),
            },
        }
    }

    /// Opens a job.
    ///
    /// # Errors
    /// [`StoreError`].
    pub fn open(&self, name: &JobName) -> Result<Opened, StoreError> {
        let text = self.store.read(name)?;
        let beside = Beside::read(&self.store.read_beside(name));
        let table: Option<Table> = text.parse().ok();
        Ok(Opened {
            name: name.clone(),
            version: Version::of(&text),
            interview: table.map(|table| {
                let mut interview = settled(from_job(&table, &beside), self.profiles.clone());
                // What only steers the survey is in no file; where nothing tells, it is as usual.
                fill(&mut interview, |key| key.starts_with("ask."));
                interview
            }),
            judged: self.judge(&text),
            steps: self.store.steps(name),
            beside,
            text,
        })
    }

    /// The text of a new job of this title, with the usual answers in it, and of a string set if one is named.
    #[must_use]
    pub fn fresh(&self, title: &str, set: Option<&str>) -> String {
        let mut answers = Answers::default();
        answers.set("title", title);
        if let Some(set) = set {
            answers.set("strings.set", set);
        }
        let mut interview = Interview::new(answers, self.profiles.clone());
        fill(&mut interview, |_| true);
        interview.job_text()
    }

    /// What an answer would make of a job. `None`: nothing of this key is asked now.
    #[must_use]
    pub fn attempt(&self, opened: &Opened, key: &str, text: &str) -> Option<Attempt> {
        let before = opened.interview.as_ref()?;
        let step = before.steps().into_iter().find(|step| step.key() == key)?;
        let verdict = match refused_unit(opened, key, text) {
            Some(why) => Verdict::Refuse(why),
            None => before.check(&step, text),
        };
        let (Verdict::Keep(kept) | Verdict::Doubt { text: kept, .. }) = &verdict else {
            return Some(Attempt {
                step,
                verdict,
                made: None,
            });
        };
        match make(opened, before, &step, kept) {
            Ok(made) => Some(Attempt {
                step,
                verdict,
                made: Some(made),
            }),
            Err(why) => Some(Attempt {
                step,
                verdict: Verdict::Refuse(why),
                made: None,
            }),
        }
    }

    /// Saves a job with one more answer.
    ///
    /// # Errors
    /// [`StoreError`].
    pub fn save(&self, opened: &Opened, made: &Made) -> Result<Version, StoreError> {
        let version = self.store.save(&opened.name, &opened.version, &made.text)?;
        self.store.change_beside(&opened.name, |now| {
            let ticked = Beside::read(now).ticked;
            Beside {
                ticked,
                ..made.beside.clone()
            }
            .text()
        })?;
        Ok(version)
    }
}

/// Why the unit of bare numbers cannot be changed here.
fn refused_unit(opened: &Opened, key: &str, text: &str) -> Option<String> {
    let now = opened.interview.as_ref()?.answers.given("unit")?;
    let table: Table = opened.text.parse().ok()?;
    let other = key == "unit" && text.trim() != now;
    let there = UNASKED.iter().find(|name| table.contains_key(**name))?;
    other.then(|| {
        format!(
            "This file also has `[{there}]`, whose numbers may count on the unit {now}. Change the unit in the text of the file, together with them."
        )
    })
}

fn make(opened: &Opened, before: &Interview, step: &Step, kept: &str) -> Result<Made, String> {
    let mut interview = before.clone();
    interview.answers.set(&step.key(), kept);
    let known: Vec<String> = before.steps().iter().map(Step::key).collect();
    fill(&mut interview, |key| !known.iter().any(|old| old == key));
    // The unit of bare numbers changes: every number of the survey gets the unit that it was read in.
    let old = if step.key() == "unit" {
        String::new()
    } else {
        before.job_text()
    };
    let text = patched(&opened.text, &old, &interview.job_text())?;
    let mut beside = opened.beside.clone();
    for step in interview.steps() {
        let key = step.key();
        match interview.answers.get(&key) {
            Some("") => {
                beside.skipped.insert(key);
            }
            Some(text) if !step.question.is_written() => {
                beside.steering.insert(key, text.to_owned());
            }
            _ => {
                beside.skipped.remove(&key);
            }
        }
    }
    Ok(Made {
        text,
        beside,
        interview,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::examples::EXAMPLES;

    fn desk() -> (tempfile::TempDir, Desk) {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(folder.path()).unwrap();
        let profiles = Profiles::built_in();
        (folder, Desk { store, profiles })
    }

    fn name(text: &str) -> JobName {
        JobName::parse(text).unwrap()
    }

    fn answer(desk: &Desk, name: &JobName, key: &str, text: &str) -> Verdict {
        let opened = desk.open(name).unwrap();
        let attempt = desk
            .attempt(&opened, key, text)
            .unwrap_or_else(|| panic!("{key} is not asked"));
        if let Some(made) = &attempt.made {
            desk.save(&opened, made).unwrap();
        }
        attempt.verdict
    }

    #[test]
    fn one_answer_changes_one_line_of_a_file_written_by_hand() {
        let (_folder, desk) = desk();
        for (stem, text) in EXAMPLES {
            let name = name(stem);
            desk.store.create(&name, text).unwrap();
            let verdict = answer(&desk, &name, "blank.land", "0.6 mm");
            assert!(!matches!(verdict, Verdict::Refuse(_)), "{stem}: {verdict:?}");
            let now = desk.store.read(&name).unwrap();
            let lines = |text: &str| text.lines().map(str::to_owned).collect::<Vec<_>>();
            let changed = lines(&now).iter().filter(|line| !text.contains(line.as_str())).count();
            assert!((1..=3).contains(&changed), "{stem}: {now}");
            assert!(desk.open(&name).unwrap().judged.planned().is_some());
        }
    }

    #[test]
    fn refused_with_the_words_of_the_command() {
        let (_folder, desk) = desk();
        let a = name("a");
        desk.store.create(&a, EXAMPLES[0].1).unwrap();
        let Verdict::Refuse(why) = answer(&desk, &a, "slot.depth.bass", "55 in") else {
            panic!("kept");
        };
        let line = EXAMPLES[0].1.replace(
            "bass = \"7/32\", treble = \"0.209\"",
            "bass = \"55 in\", treble = \"0.209\"",
        );
        let problems = job::read(&line, &desk.profiles).unwrap_err();
        assert!(problems.iter().any(|p| p.what == why), "{why}\n{problems:?}");
    }

    #[test]
    fn an_empty_job_asks_and_keeps_what_is_answered() {
        let (_folder, desk) = desk();
        let a = name("a");
        desk.store.create(&a, &desk.fresh("A guitar", None)).unwrap();
        assert_eq!(answer(&desk, &a, "unit", "mm"), Verdict::Keep("mm".into()));
        assert_eq!(
            answer(&desk, &a, "instrument.nut_to_12", "325"),
            Verdict::Keep("325 mm".into())
        );
        assert_eq!(answer(&desk, &a, "ask.scale", "scale"), Verdict::Keep("scale".into()));
        let opened = desk.open(&a).unwrap();
        assert_eq!(opened.interview.unwrap().answers.given("ask.scale"), Some("scale"));
        assert_eq!(answer(&desk, &a, "notes", ""), Verdict::Keep(String::new()));
        assert!(desk.open(&a).unwrap().beside.skipped.contains("notes"));
    }

    #[test]
    fn another_unit_changes_no_reading() {
        let (_folder, desk) = desk();
        let a = name("a");
        desk.store.create(&a, EXAMPLES[2].1).unwrap();
        let before = desk.open(&a).unwrap().judged.job.unwrap().survey;
        let other = if EXAMPLES[2].1.contains("unit = \"mm\"") {
            "in"
        } else {
            "mm"
        };
        let verdict = answer(&desk, &a, "unit", other);
        let after = desk.open(&a).unwrap().judged.job.unwrap().survey;
        let plans = [before, after].map(|survey| saddle::plan(&survey).unwrap());
        let [before, after] = plans.map(|plan| plan.strings.iter().map(|s| s.contact.v).collect::<Vec<_>>());
        assert!(
            before.iter().zip(&after).all(|(a, b)| (a - b).abs() < 1e-9),
            "{verdict:?}"
        );
    }

    #[test]
    fn the_unit_stays_where_other_tables_count_on_it() {
        let (_folder, desk) = desk();
        let a = name("a");
        desk.store.create(&a, EXAMPLES[0].1).unwrap();
        let verdict = answer(&desk, &a, "unit", "mm");
        assert!(matches!(verdict, Verdict::Refuse(_)), "{verdict:?}");
    }
}
