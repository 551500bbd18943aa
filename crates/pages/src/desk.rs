//! One job opened: its text, its answers, what the checks say, its plan; and what one more answer would make of it.

use std::sync::{Arc, Mutex, PoisonError};

use job::{Problem, ProblemKind, Profiles, Severity};
use survey::{AnswerCheck, Answers, Instrument, Interview, SAME, Step, ValueAt};
use toml::Table;
use work::{NutWork, Planned, SaddleWork};

use crate::answers::{from_job, settled};
use crate::beside::Beside;
use crate::jobs::{Jobs, StoreError, Version};
use crate::name::JobName;
use crate::patch::patched;

/// Tables whose bare numbers the survey does not ask for, so that the unit cannot be changed under them.
const UNASKED: [&str; 6] = ["string", "saddle", "strung", "readings", "uncertainty", "cut"];

/// The jobs and the profiles.
#[derive(Debug)]
pub struct Desk {
    /// Where the jobs are kept.
    pub store: Box<dyn Jobs>,
    /// The profiles without the shop's own.
    given: Profiles,
    /// The last that were read.
    last: Mutex<Arc<Stocked>>,
}

/// The profiles as they are now: those given, and the shop's own over them.
#[derive(Debug)]
pub struct Stocked {
    /// All of them.
    pub profiles: Profiles,
    /// The file of the shop's own, as it was read.
    pub text: String,
    /// Why the file does not count as it stands; then the shop has nothing of its own.
    pub trouble: Vec<String>,
}

impl Stocked {
    fn of(given: &Profiles, text: Result<String, StoreError>) -> Self {
        let mut profiles = given.clone();
        let (text, trouble) = match text {
            Ok(text) => {
                let problems = profiles.add_text("", &text).err().unwrap_or_default();
                (text, problems.iter().map(told).collect())
            }
            Err(error) => (String::new(), vec![error.to_string()]),
        };
        Self {
            profiles,
            text,
            trouble,
        }
    }

    /// The version of the file.
    #[must_use]
    pub fn version(&self) -> Version {
        Version::of(&self.text)
    }
}

/// A problem of the file of the shop's own, which has been changed by hand.
fn told(problem: &Problem) -> String {
    let what = match &problem.kind {
        ProblemKind::Profile { what, .. } => what.clone(),
        _ => problem.what(),
    };
    let line = problem.line.map_or_else(String::new, |line| format!("Line {line}: "));
    format!("{line}{what}").replace('`', "")
}

/// What the checks and the plans say of a job's text.
#[derive(Debug, Default)]
pub struct Judged {
    /// Problems and doubts, in line order.
    pub problems: Vec<Problem>,
    /// The job with its plans, if it has no errors.
    pub done: Option<Planned>,
}

impl Judged {
    /// The saddles, bass to treble, as far as they are made and can be planned; each of several in a job of its own.
    #[must_use]
    pub fn saddles(&self) -> Vec<SaddleWork<'_>> {
        let done = self.done.iter();
        done.flat_map(Planned::saddles).filter_map(Planned::saddle).collect()
    }

    /// The nut, if one is made and can be planned.
    #[must_use]
    pub fn nut(&self) -> Option<NutWork<'_>> {
        self.done.as_ref()?.nut()
    }

    /// The job with its plans, once something is planned.
    #[must_use]
    pub fn planned(&self) -> Option<&Planned> {
        self.done
            .as_ref()
            .filter(|done| done.saddles().any(|one| one.saddle().is_some()) || done.nut().is_some())
    }

    /// Why parts cannot be planned, in sentences.
    #[must_use]
    pub fn refusals(&self) -> Vec<String> {
        let refusals = self.done.iter().flat_map(|done| {
            let bench = done.job.bench;
            done.refusals
                .iter()
                .map(move |refusal| report::refusal_words(refusal, bench))
        });
        refusals.map(|why| sentence(&why)).collect()
    }

    /// How many errors stand in the way.
    #[must_use]
    pub fn errors(&self) -> usize {
        self.refusals().len() + self.problems.iter().filter(|p| p.severity == Severity::Error).count()
    }
}

/// A text with its first letter large.
fn sentence(text: &str) -> String {
    let mut chars = text.chars();
    let first = chars.next().into_iter().flat_map(char::to_uppercase);
    first.chain(chars).collect()
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
    /// What it was judged with.
    pub stocked: Arc<Stocked>,
}

impl Opened {
    /// Title of the job, or its name until it has one.
    #[must_use]
    pub fn title(&self) -> String {
        let given = self.interview.as_ref().and_then(|i| i.answers.given("title"));
        given.map_or_else(|| self.name.as_str().to_owned(), str::to_owned)
    }
}

impl Opened {
    /// What is remembered of the job goes by this: its version, and that of the shop's own profiles where there are any.
    #[must_use]
    pub fn judged_as(&self) -> Version {
        if self.stocked.text.is_empty() {
            self.version.clone()
        } else {
            Version::of(&format!("{}\0{}", self.text, self.stocked.text))
        }
    }

    /// The job as one more answer makes it, not judged again, for the answer after that.
    #[must_use]
    pub fn with(self, made: &Made) -> Self {
        Self {
            text: made.text.clone(),
            beside: made.beside.clone(),
            interview: Some(made.interview.clone()),
            judged: Judged::default(),
            ..self
        }
    }
}

/// What one answer would make of a job.
#[derive(Debug)]
pub struct Attempt {
    /// Where it was answered.
    pub step: Step,
    /// What becomes of the answer.
    pub verdict: AnswerCheck,
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
    /// The jobs of a home, with these profiles and the shop's own, which are kept there.
    #[must_use]
    pub fn new(store: Box<dyn Jobs>, given: Profiles) -> Self {
        let none = Stocked::of(&given, Ok(String::new()));
        Self {
            store,
            given,
            last: Mutex::new(Arc::new(none)),
        }
    }

    /// The profiles of the moment: what was added in another window, or by hand, is among them.
    #[must_use]
    pub fn stocked(&self) -> Arc<Stocked> {
        let read = self.store.read_profiles();
        let mut last = self.last.lock().unwrap_or_else(PoisonError::into_inner);
        let same = matches!(&read, Ok(text) if *text == last.text);
        if !same || last.text.is_empty() && !last.trouble.is_empty() {
            *last = Arc::new(Stocked::of(&self.given, read));
        }
        Arc::clone(&last)
    }

    /// What the profiles would be with this file of the shop's own.
    ///
    /// # Errors
    /// Every problem.
    pub fn with_own(&self, text: &str) -> Result<Profiles, Vec<Problem>> {
        let mut profiles = self.given.clone();
        profiles.add_text("", text)?;
        Ok(profiles)
    }

    /// Checks and plans a text.
    #[must_use]
    pub fn judge(&self, text: &str) -> Judged {
        Self::judged(text, &self.stocked().profiles)
    }

    fn judged(text: &str, profiles: &Profiles) -> Judged {
        match job::read(text, profiles) {
            Err(problems) => Judged { problems, done: None },
            Ok(checked) => Judged {
                problems: checked.warnings,
                done: Some(work::planned(checked.job)),
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
        let stocked = self.stocked();
        let table: Option<Table> = text.parse().ok();
        Ok(Opened {
            name: name.clone(),
            version: Version::of(&text),
            interview: table.map(|table| {
                let mut interview = settled(from_job(&table, &beside), stocked.profiles.clone());
                // What only steers the survey is in no file; where nothing tells, it is as usual.
                interview.fill(|step| step.question.key.starts_with("ask."));
                interview
            }),
            judged: Self::judged(&text, &stocked.profiles),
            steps: self.store.steps(name),
            stocked,
            beside,
            text,
        })
    }

    /// The answers of a job, without its plans; `None` where it cannot be read.
    #[must_use]
    pub fn answers_of(&self, name: &JobName) -> Option<Interview> {
        let table: Table = self.store.read(name).ok()?.parse().ok()?;
        let beside = Beside::read(&self.store.read_beside(name));
        Some(settled(from_job(&table, &beside), self.stocked().profiles.clone()))
    }

    /// The text of a new job with these answers, with the usual ones in it and what is usual on the kind of instrument that they name; and
    /// what is kept beside it. Of what is `carried` into it, as typed elsewhere, what is asked and raises no doubt is taken.
    #[must_use]
    pub fn fresh(&self, given: &[(&str, &str)], carried: &[(&str, &str)]) -> (String, Beside) {
        let mut answers = Answers::default();
        for (key, text) in given {
            answers.set(key, text);
        }
        let kind = answers.given("ask.kind").and_then(Instrument::of);
        let mut interview = Interview::new(answers, self.stocked().profiles.clone());
        if let Some(kind) = kind {
            interview.begin(kind);
        }
        interview.fill(|_| true);
        for (key, text) in carried {
            if let Some(step) = interview.steps().into_iter().find(|step| step.key() == *key) {
                interview.answer(&step, text);
            }
        }
        let mut beside = Beside::default();
        keep_beside(&mut beside, &interview);
        (interview.job_text(), beside)
    }

    /// What an answer would make of a job, while `other` stands in the field of the treble end, where that is shown beside it. `None`: nothing
    /// of this key is asked now.
    #[must_use]
    pub fn attempt(&self, opened: &Opened, key: &str, text: &str, other: Option<&str>) -> Option<Attempt> {
        let before = opened.interview.as_ref()?;
        let step = before.everything().into_iter().find(|step| step.key() == key)?;
        // The treble end stays where the bass end alone is emptied.
        let open =
            step.part == ValueAt::Bass && text.trim().is_empty() && other.is_none_or(|other| !is_same_or_empty(other));
        if open && before.may_skip(&step) && before.other_end(&step).is_some_and(|treble| is_own(before, &treble)) {
            let made = make(opened, before, &step, |interview| interview.leave_open(&step));
            let (verdict, made) = match made {
                Ok(made) => (AnswerCheck::Keep(String::new()), Some(made)),
                Err(why) => (AnswerCheck::Refuse(why), None),
            };
            return Some(Attempt { step, verdict, made });
        }
        let verdict = match refused_unit(opened, key, text) {
            Some(why) => AnswerCheck::Refuse(why),
            None => before.check(&step, text),
        };
        let (AnswerCheck::Keep(kept) | AnswerCheck::Doubt { text: kept, .. }) = &verdict else {
            return Some(Attempt {
                step,
                verdict,
                made: None,
            });
        };
        match make(opened, before, &step, |interview| {
            interview.keep(&step, kept);
            // What is shown as taken is kept together with what it is the same as.
            if other.is_some_and(|other| other.trim().eq_ignore_ascii_case(SAME)) {
                interview.keep_same(&step);
            }
        }) {
            Ok(made) => Some(Attempt {
                step,
                verdict,
                made: Some(made),
            }),
            Err(why) => Some(Attempt {
                step,
                verdict: AnswerCheck::Refuse(why),
                made: None,
            }),
        }
    }

    /// What a job would be with what is usual in place of a reading. `None`: nothing of this key is asked now, or nothing is usual there.
    #[must_use]
    pub fn assume(&self, opened: &Opened, key: &str) -> Option<Attempt> {
        let before = opened.interview.as_ref()?;
        let step = before.everything().into_iter().find(|step| step.key() == key)?;
        let usual = before.assumable(&step)?;
        let made = make(opened, before, &step, |interview| {
            interview.assume(&step);
        });
        let (verdict, made) = match made {
            Ok(made) => (AnswerCheck::Keep(usual), Some(made)),
            Err(why) => (AnswerCheck::Refuse(why), None),
        };
        Some(Attempt { step, verdict, made })
    }

    /// Saves a job with one more answer.
    ///
    /// # Errors
    /// [`StoreError`].
    pub fn save(&self, opened: &Opened, made: &Made) -> Result<Version, StoreError> {
        self.save_of(&opened.name, &opened.version, made)
    }

    /// Saves what several answers made of the job of this name and version.
    ///
    /// # Errors
    /// [`StoreError`].
    pub fn save_of(&self, name: &JobName, from: &Version, made: &Made) -> Result<Version, StoreError> {
        let version = self.store.save(name, from, &made.text)?;
        self.store.change_beside(name, &|now| {
            let now = Beside::read(now);
            Beside {
                ticked: now.ticked,
                put_away: now.put_away,
                ..made.beside.clone()
            }
            .text()
        })?;
        Ok(version)
    }
}

/// Whether what stands at a treble end says nothing by itself.
fn is_same_or_empty(text: &str) -> bool {
    text.trim().is_empty() || text.trim().eq_ignore_ascii_case(SAME)
}

/// Whether a treble end has a value of its own.
fn is_own(interview: &Interview, treble: &Step) -> bool {
    interview.answers.given(&treble.key()).is_some_and(|text| text != SAME)
}

/// Why the unit of bare numbers cannot be changed here.
fn refused_unit(opened: &Opened, key: &str, text: &str) -> Option<String> {
    let now = opened.interview.as_ref()?.answers.given("unit")?;
    let table: Table = opened.text.parse().ok()?;
    let other = key == "unit" && text.trim() != now;
    let there = UNASKED.iter().find(|name| table.contains_key(**name))?;
    other.then(|| {
        format!(
            "This file also has `{there}`, whose numbers may count on the unit {now}. Change the unit in the text of the file, together with them."
        )
    })
}

fn make(opened: &Opened, before: &Interview, step: &Step, change: impl Fn(&mut Interview)) -> Result<Made, String> {
    let mut interview = before.clone();
    change(&mut interview);
    let known: Vec<Step> = before.steps();
    interview.fill(|step| !known.contains(step));
    // The unit of bare numbers changes: every number of the survey gets the unit that it was read in.
    let old = if step.key() == "unit" {
        String::new()
    } else {
        before.job_text()
    };
    let text = patched(&opened.text, &old, &interview.job_text())?;
    let mut beside = opened.beside.clone();
    keep_beside(&mut beside, &interview);
    Ok(Made {
        text,
        beside,
        interview,
    })
}

/// What the file does not hold of the answers.
fn keep_beside(beside: &mut Beside, interview: &Interview) {
    for step in interview.everything() {
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
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::examples::EXAMPLES;
    use crate::memory::MemoryJobs;

    fn desk() -> Desk {
        let store = Box::<MemoryJobs>::default();
        Desk::new(store, Profiles::built_in())
    }

    fn name(text: &str) -> JobName {
        JobName::parse(text).unwrap()
    }

    fn answer(desk: &Desk, name: &JobName, key: &str, text: &str) -> AnswerCheck {
        let opened = desk.open(name).unwrap();
        let attempt = desk
            .attempt(&opened, key, text, None)
            .unwrap_or_else(|| panic!("{key} is not asked"));
        if let Some(made) = &attempt.made {
            desk.save(&opened, made).unwrap();
        }
        attempt.verdict
    }

    #[test]
    fn one_answer_changes_one_line_of_a_file_written_by_hand() {
        let desk = desk();
        for (stem, text) in EXAMPLES {
            let name = name(stem);
            desk.store.create(&name, text).unwrap();
            let (key, value) = if text.contains("\n[blank]") {
                ("blank.land", "0.6 mm")
            } else {
                ("nut_blank.seat", "3.1 mm")
            };
            let verdict = answer(&desk, &name, key, value);
            assert!(!matches!(verdict, AnswerCheck::Refuse(_)), "{stem}: {verdict:?}");
            let now = desk.store.read(&name).unwrap();
            let lines = |text: &str| text.lines().map(str::to_owned).collect::<Vec<_>>();
            let changed = lines(&now).iter().filter(|line| !text.contains(line.as_str())).count();
            assert!((1..=3).contains(&changed), "{stem}: {now}");
            let judged = desk.open(&name).unwrap().judged;
            assert_eq!(judged.errors(), 0);
            assert_eq!(!judged.saddles().is_empty(), text.contains("\n[blank]"));
            assert_eq!(judged.nut().is_some(), text.contains("\n[nut_blank]"));
        }
    }

    #[test]
    fn refused_with_the_words_of_the_command() {
        let desk = desk();
        let a = name("a");
        desk.store.create(&a, EXAMPLES[0].1).unwrap();
        let AnswerCheck::Refuse(why) = answer(&desk, &a, "slot.depth.bass", "55 in") else {
            panic!("kept");
        };
        let line = EXAMPLES[0].1.replace(
            "bass = \"7/32\", treble = \"0.209\"",
            "bass = \"55 in\", treble = \"0.209\"",
        );
        let problems = job::read(&line, &desk.stocked().profiles).unwrap_err();
        assert!(problems.iter().any(|p| p.what() == why), "{why}\n{problems:?}");
    }

    #[test]
    fn an_empty_job_asks_and_keeps_what_is_answered() {
        let desk = desk();
        let a = name("a");
        desk.store
            .create(&a, &desk.fresh(&[("title", "A guitar")], &[]).0)
            .unwrap();
        assert_eq!(answer(&desk, &a, "unit", "mm"), AnswerCheck::Keep("mm".into()));
        assert_eq!(
            answer(&desk, &a, "instrument.nut_to_12", "325"),
            AnswerCheck::Keep("325 mm".into())
        );
        assert_eq!(
            answer(&desk, &a, "ask.scale", "scale"),
            AnswerCheck::Keep("scale".into())
        );
        let opened = desk.open(&a).unwrap();
        assert_eq!(opened.interview.unwrap().answers.given("ask.scale"), Some("scale"));
        assert_eq!(answer(&desk, &a, "notes", ""), AnswerCheck::Keep(String::new()));
        assert!(desk.open(&a).unwrap().beside.skipped.contains("notes"));
    }

    #[test]
    fn another_unit_changes_no_reading() {
        let desk = desk();
        let a = name("a");
        desk.store.create(&a, EXAMPLES[2].1).unwrap();
        let before = desk.open(&a).unwrap().judged.done.unwrap().job.saddle.unwrap().survey;
        let other = if EXAMPLES[2].1.contains("unit = \"mm\"") {
            "in"
        } else {
            "mm"
        };
        let verdict = answer(&desk, &a, "unit", other);
        let after = desk.open(&a).unwrap().judged.done.unwrap().job.saddle.unwrap().survey;
        let plans = [before, after].map(|survey| saddle::plan(&survey).unwrap());
        let [before, after] = plans.map(|plan| plan.strings.iter().map(|s| s.contact.v).collect::<Vec<_>>());
        assert!(
            before.iter().zip(&after).all(|(a, b)| (a - b).abs() < 1e-9),
            "{verdict:?}"
        );
    }

    #[test]
    fn another_unit_changes_no_slot() {
        let desk = desk();
        let a = name("a");
        let text = EXAMPLES.iter().find(|(stem, _)| *stem == "nut-only").unwrap().1;
        desk.store.create(&a, text).unwrap();
        let floors = || -> Vec<f64> {
            let judged = desk.open(&a).unwrap().judged;
            let shown = judged.nut().unwrap();
            shown
                .plan
                .strings
                .iter()
                .flat_map(|s| [s.floor, s.u, s.width])
                .collect()
        };
        let before = floors();
        let verdict = answer(&desk, &a, "unit", "mm");
        assert!(desk.store.read(&a).unwrap().contains("unit = \"mm\""), "{verdict:?}");
        assert!(before.iter().zip(floors()).all(|(a, b)| (a - b).abs() < 1e-9));
    }

    #[test]
    fn the_unit_stays_where_other_tables_count_on_it() {
        let desk = desk();
        let a = name("a");
        desk.store.create(&a, EXAMPLES[0].1).unwrap();
        let verdict = answer(&desk, &a, "unit", "mm");
        assert!(matches!(verdict, AnswerCheck::Refuse(_)), "{verdict:?}");
        // A job whose unit can be changed, until it has further readings.
        let b = name("b");
        let (_, text) = EXAMPLES.iter().find(|(stem, _)| *stem == "parlour-both").unwrap();
        let more = format!("{text}\n[[readings]]\nrelief = 0\n");
        desk.store.create(&b, &more).unwrap();
        let other = if more.contains("unit = \"mm\"") { "in" } else { "mm" };
        let verdict = answer(&desk, &b, "unit", other);
        assert!(
            matches!(&verdict, AnswerCheck::Refuse(why) if why.contains("`readings`")),
            "{verdict:?}"
        );
    }

    /// From a saddle to a nut alone: what is read in the slot goes from the file, what the nut needs comes; and back.
    #[test]
    fn the_part_can_be_changed() {
        let desk = desk();
        let a = name("a");
        let text = EXAMPLES.iter().find(|(stem, _)| *stem == "parlour-both").unwrap().1;
        desk.store.create(&a, text).unwrap();
        assert_eq!(answer(&desk, &a, "ask.part", "nut"), AnswerCheck::Keep("nut".into()));
        let now = desk.store.read(&a).unwrap();
        assert!(
            !now.contains("[slot]") && !now.contains("[blank]") && now.contains("[nut_blank]"),
            "{now}"
        );
        for (key, value) in [
            ("present.action_12.bass", "2.2 mm"),
            ("present.action_12.treble", "1.7 mm"),
            ("nut.first_fret_clearance.bass", "0.3 mm"),
            ("nut.first_fret_clearance.treble", "0.2 mm"),
            ("present.contact_from_fret_12.bass", "308 mm"),
            ("present.contact_from_fret_12.treble", "306.5 mm"),
            ("ask.setbacks", "no"),
        ] {
            let verdict = answer(&desk, &a, key, value);
            assert!(matches!(verdict, AnswerCheck::Keep(_)), "{key}: {verdict:?}");
        }
        let judged = desk.open(&a).unwrap().judged;
        assert!(
            judged.planned().is_some() && judged.saddles().is_empty(),
            "{:?}",
            judged.problems
        );
        let nut = judged.nut().unwrap();
        assert!(
            nut.plan
                .lines
                .iter()
                .all(|line| line.action_12() > line.now.unwrap().action_12)
        );
        assert_eq!(judged.planned().unwrap().strings().count(), 6);
        assert_eq!(answer(&desk, &a, "ask.part", "both"), AnswerCheck::Keep("both".into()));
        let opened = desk.open(&a).unwrap();
        assert_eq!(opened.interview.unwrap().answers.given("ask.part"), Some("both"));
        assert!(opened.text.contains("[slot]") && opened.judged.errors() > 0);
    }

    /// The page plans both ends together, as the command does: with a straight shift of the nut in the saddle.
    #[test]
    fn a_straight_shift_moves_the_saddle_too() {
        let desk = desk();
        let text = include_str!("../../../examples/nylon-nut.toml");
        let job = job::read(text, &desk.stocked().profiles).unwrap().job;
        let survey = job.saddle.unwrap().survey;
        let done = nut::together(&survey, &job.nut.unwrap().survey).unwrap();
        let judged = desk.judge(text);
        assert_eq!(judged.saddles()[0].plan, &done.saddle);
        assert_eq!(judged.nut().unwrap().plan, &done.nut);
        assert_eq!(judged.saddles()[0].survey, &done.survey);
        let alone = saddle::plan(&survey).unwrap();
        let moved = |plan: &saddle::Plan| plan.strings.iter().map(|s| s.position.x).collect::<Vec<_>>();
        assert!(
            moved(&alone)
                .iter()
                .zip(moved(&done.saddle))
                .any(|(a, b)| (a - b).abs() > 0.05)
        );
    }

    /// A nut that cannot be is told, and the saddle is still shown.
    #[test]
    fn a_nut_that_cannot_be_is_told_beside_the_saddle() {
        let desk = desk();
        let text = include_str!("../../../examples/parlour-both.toml").replace("seat = \"1/8\"", "seat = \"0.01\"");
        let judged = desk.judge(&text);
        assert!(!judged.saddles().is_empty() && judged.nut().is_none());
        assert!(
            judged.errors() == 1 && judged.refusals()[0].starts_with("The nut: "),
            "{:?}",
            judged.refusals()
        );
    }
}
