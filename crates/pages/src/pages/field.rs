//! One answer of the survey on the page: its input, what it offers to take, and what was said of it.

use ::survey::{AnswerCheck, BETWEEN, Interview, Kind, NOT_READ, Question, Spread, Step, ValueAt};
use maud::{Markup, html};

use super::picture;
use super::readings::block_key;
use crate::answers::is_choice;
use crate::pictures::how;
use crate::plain::plain;
use crate::said::{Said, Told};

/// Choices up to this many are shown side by side, more as a list to pull down.
const SIDE_BY_SIDE: usize = 4;

impl Said {
    pub(super) fn of(verdict: &AnswerCheck) -> Self {
        match verdict {
            AnswerCheck::Keep(_) => Self::Kept,
            AnswerCheck::Doubt { why, .. } => Self::Doubt(why.clone()),
            AnswerCheck::Refuse(why) => Self::Refused(why.clone()),
        }
    }

    pub(super) fn state(&self) -> &'static str {
        match self {
            Self::Nothing => "",
            Self::Kept => "kept",
            Self::Doubt(_) | Self::Missing(_) => "doubt",
            Self::Refused(_) => "refused",
        }
    }

    /// In words; `key` is that of the answer.
    pub(super) fn html(&self, key: &str) -> Markup {
        html! {
            @match self {
                Self::Nothing => {}
                Self::Kept => { span.mark aria-hidden="true" { "✓" } " Kept." }
                Self::Doubt(why) => {
                    span.mark aria-hidden="true" { "?" } " Doubtful, not kept yet: " (plain(why)) " "
                    button.sure name={ "sure." (key) } value="yes" { "Keep it all the same" }
                }
                Self::Missing(why) => { span.mark aria-hidden="true" { "?" } " " (why) }
                Self::Refused(why) => { span.mark aria-hidden="true" { "✕" } " Not kept: " (plain(why)) }
            }
        }
    }
}

/// How the answers of a page are shown.
pub(super) struct Shown<'a> {
    pub(super) interview: &'a Interview,
    /// What was typed and not kept, or has just been.
    pub(super) told: &'a Told,
    /// The question of which every string is shown, besides those that are so already.
    pub(super) each: Option<&'a str>,
    /// Whether they stand on a screen of their own: what usually goes there stands in the fields then, to be kept with the rest.
    pub(super) alone: bool,
}

/// Steps that stand in one block: one question with both its ends.
pub(super) fn blocks(steps: &[Step]) -> Vec<Vec<Step>> {
    let together =
        |a: &Step, b: &Step| a.question.key == b.question.key && matches!(b.part, ValueAt::Treble | ValueAt::Common);
    steps.chunk_by(together).map(<[Step]>::to_vec).collect()
}

/// What stands between the strings' texts in a list of them, and for a string that was not read.
pub(super) fn list_form(question: &Question) -> (&'static str, &'static str) {
    let between = if question.kind == Kind::Cents { " " } else { BETWEEN };
    let unread = match (question.spread, question.kind) {
        (Spread::Listed | Spread::Sparse, _) => NOT_READ,
        // The first of them is the usual one.
        (Spread::AllOrEach, Kind::Choice([(usual, _), ..])) => usual,
        _ => "",
    };
    (between, unread)
}

/// The label of one of two ends.
fn end(step: &Step) -> &'static str {
    match (step.part, step.question.spread) {
        (ValueAt::Bass, Spread::Strings | Spread::Sparse | Spread::Listed) => "Bass string",
        (ValueAt::Treble, Spread::Strings | Spread::Sparse | Spread::Listed) => "Treble string",
        (ValueAt::Bass, _) => "Bass end",
        (ValueAt::Common, _) => "In common",
        (ValueAt::Whole, _) => "Sure to",
        _ => "Treble end",
    }
}

/// What is said of an end that has no value while the other has one; `None` where nothing is missing.
pub(super) fn missing(interview: &Interview, step: &Step) -> Option<Said> {
    let other = interview.other_end(step).filter(|_| interview.is_missing(step))?;
    let other = end(&other).to_lowercase();
    // Only the bass end is emptied first.
    let both = step.part == ValueAt::Bass && interview.may_skip(step);
    let or = if both {
        " To leave out both, empty that as well."
    } else {
        ""
    };
    Some(Said::Missing(format!("Still missing: the {other} is given.{or}")))
}

impl Shown<'_> {
    /// A question with its words, its drawing and its fields.
    pub(super) fn question(&self, block: &[Step]) -> Markup {
        let Some(first) = block.first() else {
            return html! {};
        };
        let asked = first.question;
        let (key, pair) = (first.key(), block.len() > 1);
        let title = if pair { asked.title.to_owned() } else { first.title() };
        let strings = self.list_of(first);
        let group = pair || strings.is_some() || is_choice(asked.kind);
        html! {
            div.ask id={ "b-" (key) } {
                div.ask-words {
                    (self.heading(&key, &title, group))
                    p.how id={ "how-" (key) } { (plain(asked.how)) @if let Some(usual) = self.left_empty(asked) { " Left empty: " (usual) "." } }
                    @match &strings {
                        Some(texts) => { (self.list(first, texts)) }
                        None => {
                            div.ends[pair] { @for step in block { (self.field(step, pair)) } }
                            @if self.may_be_list(first) { button.quiet.each name="each" value=(asked.key) { "Each string by itself" } }
                        }
                    }
                    @if !asked.help.is_empty() { details { summary { "More" } p { (plain(asked.help)) } } }
                }
                @if let Some(svg) = how(asked, self.interview) { (picture(svg)) }
            }
        }
    }

    /// What holds where a setting is left empty, in the bench's unit.
    fn left_empty(&self, question: &Question) -> Option<String> {
        let said = question.how.contains("Usual:") || question.how.contains("Left empty");
        let setting = question.station.is_setting() && !said && !is_choice(question.kind);
        question.usual_words(self.interview.bench()).filter(|_| setting)
    }

    /// The heading of a question, one below that of its station.
    fn heading(&self, key: &str, title: &str, group: bool) -> Markup {
        let words = html! { @if group { (title) } @else { label for={ "f-" (key) } { (title) } } };
        let id = group.then(|| format!("l-{key}"));
        html! {
            @if self.alone { h2 id=[id] { (words) } } @else { h3 id=[id] { (words) } }
        }
    }

    /// What was typed at a step, and what is said of it.
    fn said(&self, step: &Step) -> (Option<&str>, Said) {
        let key = step.key();
        let told = self.told.iter().find(|(of, ..)| *of == key);
        match told {
            Some((_, typed, said)) => (Some(typed), said.clone()),
            None => (None, missing(self.interview, step).unwrap_or(Said::Nothing)),
        }
    }

    /// What stands in a step's field.
    fn now(&self, step: &Step) -> String {
        let key = step.key();
        if let (Some(typed), _) = self.said(step) {
            return typed.to_owned();
        }
        let given = self
            .interview
            .answers
            .get(&key)
            .map(|text| step.question.today(text).to_owned());
        // What is missing is asked, and does not look as if it were there.
        let usual = || {
            let there = self.alone && !self.interview.is_missing(step);
            self.interview.enter(step).filter(|_| there)
        };
        given.or_else(usual).unwrap_or_default()
    }

    /// Whether every string could have a field of its own.
    fn may_be_list(&self, step: &Step) -> bool {
        let spread = step.question.spread;
        let strings = matches!(
            spread,
            Spread::Strings | Spread::Sparse | Spread::AllOrEach | Spread::Listed
        );
        strings && step.part != ValueAt::Treble && self.strings() > 2
    }

    fn strings(&self) -> usize {
        self.interview
            .string_count()
            .and_then(|count| usize::try_from(count).ok())
            .unwrap_or(0)
    }

    /// The texts of every string, bass to treble, where each is shown.
    fn list_of(&self, step: &Step) -> Option<Vec<String>> {
        if !self.may_be_list(step) {
            return None;
        }
        let now = self.now(step);
        let cents = step.question.kind == Kind::Cents;
        let typed: Vec<&str> = if cents {
            now.split_whitespace().collect()
        } else {
            now.split(';').map(str::trim).collect()
        };
        let listed = typed.len() == self.strings();
        let wanted = listed
            || self.each == Some(step.question.key)
            || step.question.spread == Spread::Listed && (now.is_empty() || cents);
        wanted.then(|| {
            // What holds for all stands at each, to go on from.
            let all = (step.question.spread == Spread::AllOrEach).then_some(now.as_str());
            let text = |i: usize| match typed.get(i).filter(|_| listed) {
                Some(text) => Some(*text).filter(|text| *text != NOT_READ),
                None => all,
            };
            (0..self.strings())
                .map(|i| text(i).unwrap_or_default().to_owned())
                .collect()
        })
    }

    /// A field for every string.
    fn list(&self, step: &Step, texts: &[String]) -> Markup {
        let key = step.key();
        let (_, said) = self.said(step);
        let (separator, blank) = list_form(step.question);
        html! {
            div.field data-key=(key) data-state=(said.state()) data-join=(separator) data-blank=(blank) {
                div.each-string role="group" aria-labelledby={ "l-" (key) } {
                    @for (i, text) in texts.iter().enumerate() {
                        @let number = texts.len() - i;
                        @let (id, name) = (format!("f-{key}-{number}"), format!("l.{key}"));
                        label {
                            span { (number) }
                            @if is_choice(step.question.kind) { (self.choice_of_string(step, &id, &name, text)) } @else { (self.input(step, &id, &name, text, None, &said)) }
                        }
                    }
                }
                p.say.(said.state()) id={ "say-" (key) } role="status" aria-live="polite" { (said.html(&key)) }
            }
        }
    }

    /// A choice for one string.
    fn choice_of_string(&self, step: &Step, id: &str, name: &str, now: &str) -> Markup {
        let key = step.key();
        html! {
            select id=(id) name=(name) aria-labelledby={ "l-" (key) " " (id) } aria-describedby={ "how-" (key) " say-" (key) } {
                option value="" selected[now.is_empty()] { "as usual" }
                @for (value, _) in self.interview.choices(step) { option value=(value) selected[now == value] { (value) } }
            }
        }
    }

    /// One field with what it offers and what was said of it.
    pub(super) fn field(&self, step: &Step, pair: bool) -> Markup {
        let key = step.key();
        let (_, said) = self.said(step);
        html! {
            div.field data-key=(key) data-state=(said.state()) {
                input type="hidden" name="shown" value=(key);
                (self.inside(step, pair, &format!("v.{key}")))
            }
        }
    }

    /// What stands in a field's frame; `name` is what it is sent under.
    pub(super) fn inside(&self, step: &Step, pair: bool, name: &str) -> Markup {
        let key = step.key();
        let now = self.now(step);
        let (_, said) = self.said(step);
        let usual = self.interview.enter(step).filter(|_| now.is_empty());
        let assumed = self.interview.is_assumed(step);
        let may_be_assumed = self.interview.assumable(step).filter(|_| now.is_empty());
        html! {
            div.entry {
                @if pair { label for={ "f-" (key) } { (end(step)) } }
                (self.control(step, name, &now, &said))
                @if assumed {
                    span.tag { "assumed" }
                    button.quiet.take name={ "read." (key) } value="yes" { "I have read it" }
                }
                @if let Some(usual) = usual {
                    button.quiet.take name={ "take." (key) } value=(usual) { "Take " (usual) }
                }
                @if let Some(usual) = may_be_assumed {
                    button.quiet.take name={ "assume." (key) } value="yes" { "Assume " (usual) }
                }
            }
            p.say.(said.state()) id={ "say-" (key) } role="status" aria-live="polite" { (said.html(&key)) }
        }
    }

    /// The input itself.
    fn control(&self, step: &Step, name: &str, now: &str, said: &Said) -> Markup {
        let key = step.key();
        let mut choices = self.interview.choices(step);
        let several = matches!(step.question.kind, Kind::Names(_) | Kind::Several(_));
        // What was set can be taken back.
        if step.question.station.is_setting() && !choices.is_empty() && !several {
            choices.insert(0, (String::new(), String::new()));
        }
        let shown = |value: &str| {
            if value.is_empty() {
                "as usual".to_owned()
            } else {
                value.to_owned()
            }
        };
        let described = format!("how-{} say-{key}", block_key(step));
        let usual = self.interview.enter(step).filter(|_| now.is_empty());
        html! {
            @if several {
                @let chosen: Vec<&str> = now.split(BETWEEN.trim()).map(str::trim).collect();
                fieldset.choices aria-labelledby={ "l-" (key) } aria-describedby=(described) {
                    @for (i, (value, meaning)) in choices.iter().enumerate() {
                        label {
                            input type="checkbox" id={ "f-" (key) @if i > 0 { "-" (i) } } name=(name) value=(value) checked[chosen.contains(&value.as_str())];
                            span { (value) @if !meaning.is_empty() { span.meaning { (meaning) } } }
                        }
                    }
                }
            } @else if choices.is_empty() {
                (self.input(step, &format!("f-{key}"), name, now, usual.as_deref(), said))
            } @else if choices.len() <= SIDE_BY_SIDE {
                fieldset.choices aria-labelledby={ "l-" (key) } aria-describedby=(described) {
                    @for (i, (value, meaning)) in choices.iter().enumerate() {
                        label {
                            input type="radio" id={ "f-" (key) @if i > 0 { "-" (i) } } name=(name) value=(value) checked[now == value];
                            span { (shown(value)) @if !meaning.is_empty() { span.meaning { (meaning) } } }
                        }
                    }
                }
            } @else {
                select id={ "f-" (key) } name=(name) aria-labelledby={ "l-" (key) } aria-describedby=(described) {
                    @if now.is_empty() && !step.question.station.is_setting() { option value="" selected { "choose" } }
                    @for (value, meaning) in &choices {
                        option value=(value) selected[now == value] { (shown(value)) @if !meaning.is_empty() { " (" (meaning) ")" } }
                    }
                }
            }
        }
    }

    /// A line to type in. A length opens the page's own keys on a touch screen.
    fn input(&self, step: &Step, id: &str, name: &str, now: &str, usual: Option<&str>, said: &Said) -> Markup {
        let key = step.key();
        let of_string = name.starts_with("l.");
        let labelled = of_string.then(|| format!("l-{key} {id}"));
        let keys = match step.question.kind {
            Kind::Length | Kind::Angle | Kind::Cents => Some("length"),
            Kind::Whole | Kind::Number(_) => Some("number"),
            _ => None,
        };
        let unit = self.interview.unit().name();
        html! {
            input id=(id) name=(name) value=(now) placeholder=[usual] data-keys=[keys] data-unit=[keys.map(|_| unit)]
                autocomplete="off" autocapitalize="none" spellcheck="false" enterkeyhint="next"
                inputmode=[(keys == Some("number")).then_some("decimal")]
                aria-labelledby=[labelled]
                aria-describedby={ "how-" (block_key(step)) " say-" (key) } aria-invalid=[matches!(said, Said::Refused(_)).then_some("true")];
        }
    }
}
