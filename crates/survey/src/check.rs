//! Whether one answer can be read, and in what form it is kept.

use job::{Wanted, contour_places, same_word, unreadable};
use strings::frequency;
use units::{BenchUnit, LengthUnit, ReadError, parse_angle, parse_cents, parse_length};

use crate::flow::{Interview, Step, ValueAt, key_of};
use crate::question::{has_gaps, of_strings};
use crate::values::{BETWEEN, SAME, course_sizes, is_list, list, words};
use crate::{Kind, List, Spread, Start};

/// Stands in a list for a string that was not read.
pub const NOT_READ: &str = "-";

/// What is said to "don't know" where the job cannot be made without an answer.
const NEEDED: &str = "This is needed, so the question stays open. Leave the survey and come back when you have it: what you have answered \
                      so far is kept.";

/// Ways of saying that something is not known, in small letters and with plain apostrophes.
const UNKNOWN: [&str; 16] = [
    "?",
    "??",
    "???",
    "don't know",
    "dont know",
    "do not know",
    "i don't know",
    "i dont know",
    "not known",
    "not measured",
    "not read",
    "not sure",
    "no idea",
    "unknown",
    "n/a",
    "n.a.",
];

/// Most characters of an answer: a line at the bench is shorter.
const MAX_CHARS: usize = 400;

/// What becomes of an answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum AnswerCheck {
    /// It is kept in this form.
    Keep(String),
    /// It can be kept in this form, but is doubtful: why. The user should confirm it.
    Doubt {
        /// The form in which it would be kept.
        text: String,
        /// Why it is doubtful, in sentences.
        why: String,
    },
    /// It cannot be kept: why, and what is expected.
    Refuse(String),
}

impl Interview {
    /// The unit of bare numbers; mm until it is answered.
    #[must_use]
    pub fn unit(&self) -> LengthUnit {
        self.answers
            .given("unit")
            .and_then(LengthUnit::parse)
            .unwrap_or(LengthUnit::Millimetre)
    }

    /// How the bench measures; by its unit until that is answered.
    #[must_use]
    pub fn bench(&self) -> BenchUnit {
        let inches = self.unit() != LengthUnit::Millimetre;
        let usual = if inches { BenchUnit::THOU } else { BenchUnit::METRIC };
        self.answers.given("bench").and_then(BenchUnit::parse).unwrap_or(usual)
    }

    /// What is said of a text that is no figure: what the job file would say of it.
    fn refusal(&self, step: &Step, error: &ReadError) -> String {
        let wanted = Wanted {
            field: step.question,
            one: true,
        };
        format!(
            "read `{}`: {}",
            error.read(),
            unreadable(wanted, error, false).words(self.bench())
        )
    }

    /// Reads one answer by itself, without the checks of the job file: the form in which it is kept, or why it is refused.
    #[must_use]
    pub fn read(&self, step: &Step, text: &str) -> AnswerCheck {
        let text = unquoted(text.trim(), step.question.kind);
        if text.is_empty() {
            return if self.may_skip(step) {
                AnswerCheck::Keep(String::new())
            } else {
                AnswerCheck::Refuse("An answer is needed here.".to_owned())
            };
        }
        if text.chars().count() > MAX_CHARS {
            return AnswerCheck::Refuse(format!("That is too long: {MAX_CHARS} characters are the most."));
        }
        if text.chars().any(char::is_control) {
            return AnswerCheck::Refuse("There is a character in it that cannot be seen. Type it again.".to_owned());
        }
        match self.kept(step, text) {
            Ok(kept) => AnswerCheck::Keep(kept),
            Err(_) if is_unknown(text) && self.may_skip(step) => AnswerCheck::Keep(String::new()),
            Err(_) if is_unknown(text) => AnswerCheck::Refuse(NEEDED.to_owned()),
            Err(why) => AnswerCheck::Refuse(why),
        }
    }

    /// What Enter stands for at a step: its present answer, else what usually goes there. `None`: nothing, or skipping.
    #[must_use]
    pub fn enter(&self, step: &Step) -> Option<String> {
        if let Some(text) = self.answers.given(&step.key()).filter(|text| self.is_fine(step, text)) {
            return Some(text.to_owned());
        }
        match step.question.start {
            Start::None => None,
            Start::Text(text) => Some(text.to_owned()),
            Start::TextSame(text) if step.part == ValueAt::Bass => Some(text.to_owned()),
            Start::Same | Start::TextSame(_) => (step.part == ValueAt::Treble).then(|| SAME.to_owned()),
            Start::Copy(key) => self
                .answers
                .given(&key_of(key, step.part))
                .filter(|text| self.is_fine(step, text))
                .map(str::to_owned),
            Start::Bench => Some(
                if self.answers.given("unit") == Some("mm") {
                    BenchUnit::METRIC
                } else {
                    BenchUnit::THOU
                }
                .key()
                .to_owned(),
            ),
        }
    }

    /// The answer that usually goes at a step, where it needs no reading.
    #[must_use]
    pub fn usual(&self, step: &Step) -> Option<String> {
        match (step.question.start, step.part) {
            (Start::Text(text), _) | (Start::TextSame(text), ValueAt::Bass) => Some(text.to_owned()),
            (Start::TextSame(_), ValueAt::Treble) => Some(SAME.to_owned()),
            (Start::Bench, _) => self.answers.given("unit").and(self.enter(step)),
            _ => None,
        }
    }

    /// The first step without a sound answer; `None` when all is answered. A [`short`](Interview::short) one does not wait for what stands
    /// folded and may be left out.
    #[must_use]
    pub fn next(&self) -> Option<Step> {
        let is_next = |step: &Step| {
            let unanswered = self.answers.get(&step.key()).is_none();
            self.waits(step) || self.asks_all() && unanswered
        };
        self.steps().into_iter().find(is_next)
    }

    /// Whether a step waits for an answer: it has none that is sound, and does not stand folded with the job sound without it.
    #[must_use]
    pub fn waits(&self, step: &Step) -> bool {
        match self.answers.get(&step.key()) {
            Some(text) => !self.is_fine(step, text),
            None if step.question.station.is_setting() => false,
            None if self.is_missing(step) => true,
            None => {
                let does_without = || self.may_skip(step) || self.usual(step).is_some() && !step.question.needed;
                !(step.question.folded && does_without())
            }
        }
    }

    fn is_fine(&self, step: &Step, text: &str) -> bool {
        matches!(self.read(step, text), AnswerCheck::Keep(_))
    }

    fn kept(&self, step: &Step, text: &str) -> Result<String, String> {
        let unit = self.unit();
        if step.part == ValueAt::Treble && text.eq_ignore_ascii_case(SAME) {
            return Ok(SAME.to_owned());
        }
        if step.part == ValueAt::Common {
            return number(text, true);
        }
        let said = |error: ReadError| self.refusal(step, &error);
        match step.question.kind {
            Kind::Text | Kind::Table | Kind::Other => {}
            Kind::Contour => return contour(text, unit).map_err(said),
            Kind::Choice(_) if step.question.spread == Spread::AllOrEach && is_list(text) => {
                self.counted(list(text).count(), "value")?;
                return self.each_chosen(step, text);
            }
            Kind::YesNo | Kind::Choice(_) | Kind::Name(_) => return self.chosen(step, text),
            Kind::Names(_) | Kind::Several(_) => return self.each_chosen(step, text),
            Kind::Length | Kind::Angle if let Some(dotted) = dotted(text, unit) => return self.kept(step, &dotted),
            Kind::Length | Kind::Angle if of_strings(step.question) && step.part == ValueAt::Bass && is_list(text) => {
                self.counted(list(text).count(), "value")?;
                let unread = |part: &str| has_gaps(step.question) && part == NOT_READ;
                let one = if step.question.kind == Kind::Angle {
                    angle
                } else {
                    length
                };
                let parts: Result<Vec<String>, String> = list(text)
                    .map(|part| {
                        if unread(part) {
                            Ok(part.to_owned())
                        } else {
                            one(part, unit).map_err(said)
                        }
                    })
                    .collect();
                return parts.map(|parts| parts.join(BETWEEN));
            }
            Kind::Length => return length(text, unit).map_err(said),
            Kind::Angle => return angle(text, unit).map_err(said),
            Kind::Whole => {
                let (least, most) = (step.question.range.least, step.question.range.most);
                let number = text
                    .parse::<u32>()
                    .ok()
                    .filter(|n| (least..=most).contains(&f64::from(*n)));
                return number
                    .map(|n| n.to_string())
                    .ok_or_else(|| format!("read `{text}`: expected a whole number from {least} to {most}"));
            }
            Kind::Number(_) => return number(text, step.question.range.least <= 0.0),
            Kind::Note => drop(frequency(text, 440.0).map_err(|e| e.to_string())?),
            Kind::Notes => {
                self.counted(words(text).count(), "note")?;
                words(text).try_for_each(|note| frequency(note, 440.0).map(drop).map_err(|e| e.to_string()))?;
            }
            Kind::Courses => return self.courses(text),
            Kind::Cents if step.question.spread != Spread::Listed => drop(parse_cents(text).map_err(said)?),
            Kind::Cents => {
                self.counted(words(text).count(), "number")?;
                words(text)
                    .filter(|word| *word != NOT_READ)
                    .try_for_each(|cents| parse_cents(cents).map(drop).map_err(said))?;
            }
        }
        Ok(text.to_owned())
    }

    /// Several choices, each as [`Interview::chosen`].
    fn each_chosen(&self, step: &Step, text: &str) -> Result<String, String> {
        let each: Result<Vec<String>, String> = list(text).map(|one| self.chosen(step, one)).collect();
        each.map(|each| each.join(BETWEEN))
    }

    /// A choice by number, by name, or by the beginning of one name.
    fn chosen(&self, step: &Step, text: &str) -> Result<String, String> {
        let choices = self.choices(step);
        let text = step.question.today(text);
        let low = text.to_lowercase();
        let by_number = || {
            let at: usize = text.parse().ok()?;
            choices.get(at.checked_sub(1)?)
        };
        let by_name = || {
            let exact = choices.iter().find(|(value, _)| value.to_lowercase() == low);
            exact.or_else(|| choices.iter().find(|(value, _)| same_word(value, text)))
        };
        let by_start = || {
            let mut starting = choices
                .iter()
                .filter(|(value, _)| value.to_lowercase().starts_with(&low));
            starting.next().filter(|_| starting.next().is_none())
        };
        if let Some((value, _)) = by_name().or_else(by_number).or_else(by_start) {
            return Ok(value.clone());
        }
        Err(match step.question.kind {
            Kind::YesNo => format!("read `{text}`: expected yes or no"),
            Kind::Name(List::Sets) => format!("read `{text}`: expected the number or name of a set"),
            _ => {
                let names: Vec<&str> = choices.iter().map(|(value, _)| value.as_str()).collect();
                format!("read `{text}`: expected one of: {} (or its number)", names.join(", "))
            }
        })
    }

    fn courses(&self, text: &str) -> Result<String, String> {
        let count = self.string_count();
        match text.to_lowercase().as_str() {
            "single" => return Ok("single".to_owned()),
            "pairs" if count.is_some_and(|count| count % 2 == 1) => {
                return Err("pairs need an even number of strings".to_owned());
            }
            "pairs" => return Ok("pairs".to_owned()),
            _ => {}
        }
        let sizes = course_sizes(text).ok_or_else(|| {
            format!("read `{text}`: expected single, pairs, or a 1 or 2 for each course such as 1 2 2 1")
        })?;
        match count {
            Some(count) if sizes.iter().sum::<u32>() != count => Err(format!(
                "read `{text}`: that makes {} strings, but there are {count}",
                sizes.iter().sum::<u32>()
            )),
            _ => Ok(text.to_owned()),
        }
    }

    /// Refuses a list that does not fit the strings.
    fn counted(&self, given: usize, what: &str) -> Result<(), String> {
        match self.string_count().and_then(|count| usize::try_from(count).ok()) {
            Some(count) if given != count => Err(format!(
                "expected {count} {what}s, one for each string bass to treble, but there are {given}"
            )),
            _ => Ok(()),
        }
    }
}

/// Whether an answer says that it is not known.
fn is_unknown(text: &str) -> bool {
    let said = text.to_lowercase().replace(['’', '‘'], "'");
    let said = said.trim_end_matches(['.', '!']);
    UNKNOWN.iter().any(|word| word.trim_end_matches('.') == said)
}

/// An answer without the quotes around it. Those of one kind at both ends alone are taken off: one at the end is an inch mark.
fn unquoted(text: &str, kind: Kind) -> &str {
    let curly = |c: char| matches!(c, '“' | '”' | '„' | '‟' | '«' | '»');
    let single = |c: char| matches!(c, '‘' | '’' | '‚' | '‛');
    // A title may have plain quotes of its own.
    let plain = |c: char| kind != Kind::Text && c == '"';
    let mut inside = text.chars();
    let (Some(first), Some(last)) = (inside.next(), inside.next_back()) else {
        return text;
    };
    let pair = [first, last];
    let quoted = pair.into_iter().all(curly) || pair.into_iter().all(single) || pair.into_iter().all(plain);
    if quoted { inside.as_str().trim() } else { text }
}

/// A plain decimal number above 0, or from 0 up.
fn number(text: &str, nought: bool) -> Result<String, String> {
    let plain = text.len() <= 12 && text.chars().all(|c| c.is_ascii_digit() || c == '.');
    let value = text
        .parse::<f64>()
        .ok()
        .filter(|value| plain && value.is_finite() && (nought || *value > 0.0));
    let from = if nought {
        "from 0 up, without a unit, such as 0.5"
    } else {
        "above 0, without a unit, such as 10.04"
    };
    value
        .map(|value| value.to_string())
        .ok_or_else(|| format!("read `{text}`: expected a decimal number {from}"))
}

/// A text with points for its decimal commas, where it is plain that they are such: at most two figures follow each, no point stands
/// anywhere, and what it is of is a millimetre or a degree, of which nobody parts thousands. `None` where nothing is to be changed.
fn dotted(text: &str, unit: LengthUnit) -> Option<String> {
    let metric = |part: &str| {
        let name = part.trim_start_matches(|c: char| !c.is_alphabetic()).trim();
        matches!(name, "mm" | "deg") || name.is_empty() && (part.ends_with('°') || unit == LengthUnit::Millimetre)
    };
    let decimal = |part: &str| match part.split_once(',') {
        None => true,
        Some((whole, rest)) => {
            let figures = rest.chars().take_while(char::is_ascii_digit).count();
            let whole = whole.trim_start_matches(['+', '-']);
            !whole.is_empty()
                && whole.chars().all(|c| c.is_ascii_digit())
                && (1..=2).contains(&figures)
                && !rest.contains(',')
                && metric(part)
        }
    };
    let plain = text.contains(',') && !text.contains('.') && list(text).all(decimal);
    plain.then(|| text.replace(',', "."))
}

/// A length with its unit added where it has none, so that it still means the same when the unit is changed.
fn length(text: &str, unit: LengthUnit) -> Result<String, ReadError> {
    let meant = parse_length(text, unit)?;
    let sure = LengthUnit::ALL
        .iter()
        .all(|other| parse_length(text, *other) == Ok(meant));
    let written = format!("{text} {}", unit.name());
    let same = LengthUnit::ALL
        .iter()
        .all(|other| parse_length(&written, *other) == Ok(meant));
    let bare = !sure || meant == 0.0 && text.chars().all(|c| c.is_ascii_digit() || ".+-".contains(c));
    Ok(if bare && same { written } else { text.to_owned() })
}

/// A contour, each length of it with its unit. What is not written as one is left to the job file, which says what it expects.
fn contour(text: &str, unit: LengthUnit) -> Result<String, ReadError> {
    let places: Option<Vec<(&str, &str)>> = contour_places(text).collect();
    let Some(places) = places else {
        return Ok(text.to_owned());
    };
    let places = places
        .into_iter()
        .map(|(inward, height)| Ok(format!("{}: {}", length(inward, unit)?, length(height, unit)?)));
    places.collect::<Result<Vec<_>, _>>().map(|places| places.join("; "))
}

/// An angle, with `deg` added where it is a bare number.
fn angle(text: &str, unit: LengthUnit) -> Result<String, ReadError> {
    let meant = parse_angle(text, unit)?;
    let written = format!("{text} deg");
    let bare = text.chars().all(|c| c.is_ascii_digit() || ".+-".contains(c));
    let same = parse_angle(&written, unit) == Ok(meant);
    Ok(if bare && same { written } else { text.to_owned() })
}
