//! Which questions are asked, in which order, given the answers so far.

use job::Profiles;

use crate::question::{is_some, of_strings};
use crate::values::{SAME, has_pairs, is_list, list};
use crate::{Answers, Kind, Lists, Question, SPELLED_OUT, SetName, Spread, When, questions, settings};

/// Which of a question's values a step asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ValueAt {
    /// The only one.
    Whole,
    /// The bass end or bass string; at a question for strings also the list of all.
    Bass,
    /// The treble end or treble string.
    Treble,
    /// Of how sure a reading is: the share of it that readings have in common.
    Common,
    /// The string of this number.
    Number(u32),
}

/// One thing to ask: a question, and which of its values.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Step {
    /// The question.
    pub question: &'static Question,
    /// Which of its values.
    pub part: ValueAt,
}

/// A guided survey: the answers so far and the names to choose from.
#[derive(Debug, Clone, PartialEq)]
pub struct Interview {
    /// The answers so far.
    pub answers: Answers,
    pub(crate) profiles: Profiles,
    lists: Lists,
    /// Whether what stands folded is asked as well.
    all: bool,
}

impl Step {
    /// The key of the answer: the question's, with the end or the string's number.
    #[must_use]
    pub fn key(&self) -> String {
        key_of(self.question.key, self.part)
    }

    /// What is asked, with the end or string.
    #[must_use]
    pub fn title(&self) -> String {
        let title = self.question.title;
        match (self.part, self.question.spread) {
            (ValueAt::Whole, _) => title.to_owned(),
            (ValueAt::Common, _) => format!("{title}, in common"),
            (ValueAt::Bass, Spread::Strings | Spread::Sparse | Spread::Listed) => format!("{title}, bass string"),
            (ValueAt::Treble, Spread::Strings | Spread::Sparse | Spread::Listed) => format!("{title}, treble string"),
            (ValueAt::Bass, _) => format!("{title}, bass end"),
            (ValueAt::Treble, _) => format!("{title}, treble end"),
            (ValueAt::Number(n), _) => format!("String {n}: {}", lower_first(title)),
        }
    }
}

fn lower_first(title: &str) -> String {
    let mut chars = title.chars();
    chars
        .next()
        .map_or_else(String::new, |first| first.to_lowercase().chain(chars).collect())
}

/// The key of an answer. `string.` keys take the string's number.
pub(crate) fn key_of(key: &str, part: ValueAt) -> String {
    match part {
        ValueAt::Whole => key.to_owned(),
        ValueAt::Bass => format!("{key}.bass"),
        ValueAt::Treble => format!("{key}.treble"),
        ValueAt::Common => format!("{key}.correlation"),
        ValueAt::Number(n) => key.replacen("string.", &format!("string.{n}."), 1),
    }
}

impl Interview {
    /// An interview that goes on from these answers, and offers the names in these profiles.
    #[must_use]
    pub fn new(answers: Answers, profiles: Profiles) -> Self {
        let lists = Lists::of(&profiles);
        Self {
            answers,
            profiles,
            lists,
            all: true,
        }
    }

    /// The same, which does not ask what stands folded.
    pub(crate) fn folded(self) -> Self {
        Self { all: false, ..self }
    }

    /// Whether what stands folded is asked as well.
    pub(crate) fn asks_all(&self) -> bool {
        self.all
    }

    /// Everything that is asked with the answers so far, in order. It grows and shrinks as answers are given.
    #[must_use]
    pub fn steps(&self) -> Vec<Step> {
        let mut steps = Vec::new();
        let mut rows = questions().peekable();
        while let Some(question) = rows.next() {
            if question.spread == Spread::EachString {
                let mut group = vec![question];
                while let Some(next) = rows.next_if(|next| next.spread == Spread::EachString) {
                    group.push(next);
                }
                steps.extend((1..=self.spelled_out()).rev().flat_map(|n| {
                    group
                        .iter()
                        .map(move |question| Step {
                            question,
                            part: ValueAt::Number(n),
                        })
                        .filter(|step| self.holds(step.question.when, step.part))
                }));
            } else if self.holds(question.when, ValueAt::Whole) {
                steps.extend(self.parts(question).iter().map(|&part| Step { question, part }));
            }
        }
        steps
    }

    /// The settings that go with the answers so far, in order; none of them waits.
    #[must_use]
    pub fn settings(&self) -> Vec<Step> {
        settings()
            .filter(|question| self.holds(question.when, ValueAt::Whole))
            .flat_map(|question| self.parts(question).iter().map(move |&part| Step { question, part }))
            .collect()
    }

    /// Everything that may be answered: what is asked, and the settings.
    #[must_use]
    pub fn everything(&self) -> Vec<Step> {
        let mut steps = self.steps();
        steps.extend(self.settings());
        steps
    }

    /// The values that a question asks for.
    fn parts(&self, question: &Question) -> &'static [ValueAt] {
        let list_given = || {
            self.answers
                .get(&key_of(question.key, ValueAt::Bass))
                .is_some_and(is_list)
        };
        match question.spread {
            Spread::One | Spread::EachString | Spread::AllOrEach => &[ValueAt::Whole],
            Spread::Paired => &[ValueAt::Whole, ValueAt::Common],
            Spread::Listed if !of_strings(question) => &[ValueAt::Whole],
            _ if self.string_count() == Some(1) => &[ValueAt::Bass],
            _ if of_strings(question) && list_given() => &[ValueAt::Bass],
            _ if self.skipped(question) => &[ValueAt::Bass],
            Spread::Ends | Spread::Strings | Spread::Sparse | Spread::Listed => &[ValueAt::Bass, ValueAt::Treble],
        }
    }

    /// Whether the bass value was skipped, so that there is no treble value either.
    fn skipped(&self, question: &Question) -> bool {
        self.answers.get(&key_of(question.key, ValueAt::Bass)) == Some("")
            && !self.holds(question.required, ValueAt::Whole)
    }

    /// Whether a condition holds with the answers so far.
    #[must_use]
    pub fn holds(&self, when: When, part: ValueAt) -> bool {
        let answer = |key: &str| self.live(key, part);
        match when {
            When::Always => true,
            When::Never => false,
            // Of each string by itself, one is enough.
            When::Is(key, value) => answer(key).is_some_and(|text| text == value || list(text).any(|one| one == value)),
            When::Given(key) => answer(key).is_some(),
            When::SetChosen => answer("strings.set").is_some_and(|set| set != SPELLED_OUT),
            When::Pairs => match self.set() {
                Some(set) => set.courses.contains(&2),
                None => answer("strings.courses").is_some_and(has_pairs),
            },
            When::ManyStrings => self.string_count().is_none_or(|count| count > 1),
            When::All(all) => all.iter().all(|when| self.holds(*when, part)),
            When::Any(any) => any.iter().any(|when| self.holds(*when, part)),
        }
    }

    /// The answer to the question of this key, as long as that is asked: an answer on a branch that was left says nothing.
    fn live(&self, key: &str, part: ValueAt) -> Option<&str> {
        let question = questions().chain(settings()).find(|question| question.key == key)?;
        let part = match (question.spread, part) {
            (Spread::EachString, part) => part,
            (Spread::Ends, _) => ValueAt::Bass,
            _ if of_strings(question) => ValueAt::Bass,
            _ => ValueAt::Whole,
        };
        let text = self.answers.given(&key_of(key, part))?;
        self.holds(question.when, part).then_some(text)
    }

    /// The set that was chosen.
    fn set(&self) -> Option<&SetName> {
        self.answers.given("strings.set").and_then(|name| self.lists.set(name))
    }

    /// How many strings there are, once that is known.
    #[must_use]
    pub fn string_count(&self) -> Option<u32> {
        match self.answers.given("strings.set")? {
            SPELLED_OUT => Some(self.spelled_out()).filter(|count| *count > 0),
            _ => u32::try_from(self.set()?.notes.len()).ok(),
        }
    }

    /// How many strings are spelled out.
    fn spelled_out(&self) -> u32 {
        let count = self.answers.given("ask.count").and_then(|text| text.parse().ok());
        count
            .filter(|_| self.answers.given("strings.set") == Some(SPELLED_OUT))
            .map_or(0, |n: u32| n.min(12))
    }

    /// What to do before the first reading that needs the strings off, in sentences.
    #[must_use]
    pub fn strings_off(&self) -> String {
        let out = match self.answers.given("ask.part") {
            Some("nut") => "nut",
            Some("both") => "saddle and the nut",
            _ => "saddle",
        };
        format!(
            "Now slacken the strings and take the {out} out. Wear eye protection: strings under tension whip. Nothing after this \
             needs the strings on."
        )
    }

    /// Whether Enter may skip a step.
    #[must_use]
    pub fn may_skip(&self, step: &Step) -> bool {
        // A reading at one end alone says nothing of the other.
        let other_given = || {
            let bass = key_of(step.question.key, ValueAt::Bass);
            step.part == ValueAt::Treble && !is_some(step.question) && self.answers.given(&bass).is_some()
        };
        !self.holds(step.question.required, step.part) && !other_given()
    }

    /// The other end or outer string of the same question, where that is asked too.
    #[must_use]
    pub fn other_end(&self, step: &Step) -> Option<Step> {
        let part = match step.part {
            ValueAt::Bass => ValueAt::Treble,
            ValueAt::Treble => ValueAt::Bass,
            _ => return None,
        };
        let question = step.question;
        let asked = self.parts(question).contains(&part);
        asked.then_some(Step { question, part })
    }

    /// Whether a step has no value while its other end has one: the job file then misses it.
    #[must_use]
    pub fn is_missing(&self, step: &Step) -> bool {
        let given = |step: &Step| self.answers.given(&step.key());
        // Of some strings, one is enough.
        !is_some(step.question)
            && given(step).is_none()
            && self
                .other_end(step)
                .and_then(|other| given(&other))
                .is_some_and(|text| text != SAME)
    }

    /// What a step offers to choose from: each answer with what it means. Empty where it is no choice.
    #[must_use]
    pub fn choices(&self, step: &Step) -> Vec<(String, String)> {
        match step.question.kind {
            Kind::Choice(choices) | Kind::Several(choices) => choices
                .iter()
                .map(|(value, meaning)| ((*value).to_owned(), (*meaning).to_owned()))
                .collect(),
            Kind::YesNo => vec![("yes".to_owned(), String::new()), ("no".to_owned(), String::new())],
            Kind::Name(list) | Kind::Names(list) => self.lists.names(list),
            _ => Vec::new(),
        }
    }

    /// The step before another; `None` at the first.
    #[must_use]
    pub fn before(&self, step: &Step) -> Option<Step> {
        let steps = self.steps();
        let at = steps.iter().position(|other| other == step)?;
        at.checked_sub(1).and_then(|before| steps.get(before).copied())
    }

    /// The step that a field of the job file comes from: that of the value where the field is a part of it, the first of
    /// a string where it is the whole `[[string]]`; `None` for another whole table.
    #[must_use]
    pub fn step_of(&self, field: &str) -> Option<Step> {
        let field = self.plain_field(field);
        let steps = self.everything();
        let mut at = field.as_str();
        loop {
            let from = |step: &&Step| {
                let question = step.question.key;
                let value = question.split_once(':').map_or(question, |(value, _)| value);
                let of_string = matches!(step.part, ValueAt::Number(_)) && step.key().starts_with(&format!("{at}."));
                step.key().replace(':', ".") == at || question.replace(':', ".") == at || value == at || of_string
            };
            if let Some(step) = steps.iter().find(from) {
                return Some(*step);
            }
            // A field of a value, such as one string of a list, comes from the value.
            at = at.rsplit_once(['.', '[']).filter(|(parent, _)| parent.contains('.'))?.0;
        }
    }

    /// A field as the job file names it, with the number of a `[[string]]` in place of its rank in the file, which lists
    /// them bass to treble.
    pub(crate) fn plain_field(&self, field: &str) -> String {
        let rank = field.strip_prefix("string[").and_then(|rest| rest.split_once(']'));
        let number =
            rank.and_then(|(rank, rest)| Some((self.spelled_out().checked_sub(rank.parse::<u32>().ok()?)?, rest)));
        match number {
            Some((below, rest)) => format!("string.{}{rest}", below + 1),
            None => field.to_owned(),
        }
    }
}
