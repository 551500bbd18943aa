//! Fields of a form with what was said of each: of a thing of the shop, of what a job has beside its survey.

use job::{FormFault, FormField, FormTake, FormTyped};
use maud::{Markup, html};

/// What stands before the key of a field in the form, so that none is another's name.
pub(super) const TYPED: &str = "v.";

/// What is said of a field.
pub(super) struct FormSaid {
    /// The key of the field; empty where it is of none alone.
    pub(super) key: String,
    pub(super) words: Markup,
    /// It is doubtful, and no more.
    pub(super) doubt: bool,
}

impl FormSaid {
    pub(super) fn of_fault((key, why): &FormFault) -> Self {
        Self {
            key: key.clone(),
            words: html! { (why) },
            doubt: false,
        }
    }

    /// Its sign, and its words.
    fn html(&self) -> Markup {
        html! { span.mark aria-hidden="true" { @if self.doubt { "?" } @else { "\u{2715}" } } " " (self.words) }
    }

    /// Of what it is said, as styles have it.
    fn class(&self) -> &'static str {
        if self.doubt { "doubt" } else { "refused" }
    }

    /// As a line of its own.
    pub(super) fn line(&self) -> Markup {
        html! { p.say.(self.class()) role="alert" { (self.html()) } }
    }
}

/// That something was refused.
pub(super) fn refused_words(why: &str) -> Markup {
    html! { p.say.refused role="alert" { span.mark aria-hidden="true" { "\u{2715}" } " " (why) } }
}

/// Fields that belong together, under what they are called together.
pub(super) fn block(group: &str, fields: &[&FormField], typed: &FormTyped, faults: &[FormSaid]) -> Markup {
    let is_named = fields.iter().any(|field| !field.group.is_empty());
    let how = fields.first().filter(|field| !field.how.is_empty());
    html! {
        @match (group.is_empty(), is_named) {
            (true, _) => { @for field in fields { (one(field, typed, faults, true)) } }
            (false, false) => {
                div.together.axes { @for field in fields { (one(field, typed, faults, false)) } }
                @if let Some(field) = how { p.how id={ (id_of(field)) "-how" } { (field.how) } }
            }
            (false, true) => {
                fieldset { legend { (group) } div.together { @for field in fields { (one(field, typed, faults, true)) } } }
            }
        }
    }
}

/// What a field is called by in the page.
fn id_of(field: &FormField) -> String {
    format!("f-{}", field.key.replace(['.', ' ', '[', ']'], "-"))
}

/// One field; its line of what it is stands with it, or elsewhere.
pub(super) fn one(field: &FormField, typed: &FormTyped, faults: &[FormSaid], told: bool) -> Markup {
    let id = id_of(field);
    let (how, say) = (format!("{id}-how"), format!("{id}-say"));
    let name = format!("{TYPED}{}", field.key);
    let text = typed.get(&field.key);
    let why: Vec<&FormSaid> = faults.iter().filter(|said| said.key == field.key).collect();
    let mut about = Vec::new();
    if !field.how.is_empty() {
        about.push(how.as_str());
    }
    if !why.is_empty() {
        about.push(say.as_str());
    }
    let about = (!about.is_empty()).then(|| about.join(" "));
    let invalid = why.iter().any(|said| !said.doubt).then_some("true");
    let unit = field.take.unit();
    html! {
        p.shop-field.wide[matches!(field.take, FormTake::List)] {
            label for=(id) { (field.title) @if !unit.is_empty() { span.unit { " " (unit) } } }
            @match &field.take {
                FormTake::Choice(list) => select id=(id) name=(name) aria-describedby=[about] aria-invalid=[invalid] {
                    @for (value, shown) in list { option value=(value) selected[value == text] { (shown) } }
                    // What the file names and nobody knows any more is not exchanged for the first of the list.
                    @if !list.iter().any(|(value, _)| value == text) && !text.is_empty() { option value=(text) selected { (text) } }
                },
                FormTake::YesNo => select id=(id) name=(name) aria-describedby=[about] aria-invalid=[invalid] {
                    @for value in ["no", "yes"] { option value=(value) selected[value == text] { (value) } }
                },
                take => input id=(id) name=(name) value=(text) autocomplete="off" autocapitalize="none" spellcheck="false"
                    inputmode=[matches!(take, FormTake::Number(_) | FormTake::Whole(_)).then_some("decimal")] aria-describedby=[about] aria-invalid=[invalid];
            }
            @if told && !field.how.is_empty() { span.how id=(how) { (field.how) } }
            @if !why.is_empty() { span id=(say) { @for said in &why { span.say.(said.class()) { (said.html()) } } } }
        }
    }
}
