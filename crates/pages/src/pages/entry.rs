//! One of what a job has beside its survey, as a form: added, changed, taken away. What is wrong with it stands at its field, and what is
//! doubtful is kept on a second word.

use job::{
    EntryKind, EntryPlace, FormTyped, Severity, entries, entry_fields, entry_question, kept_entry, without_entry,
};
use maud::{Markup, PreEscaped, html};
use units::LengthUnit;

use super::entries::{about, strings, there, words};
use super::entry_form::fields;
use super::form::{FormSaid, TYPED};
use super::strung::bare;
use super::{Tab, frame, hidden, opened, steps, store_trouble, to, trouble, unchanged};
use crate::bench::Bench;
use crate::desk::Opened;
use crate::notice::Notice;
use crate::patch::refused;
use crate::pictures::how;
use crate::plain::plain;
use crate::talk::{Ask, Fields, Reply};

/// The field that says that what is doubtful is meant.
const SURE: &str = "sure";

/// What a form is of.
struct Of<'a> {
    opened: &'a Opened,
    kind: EntryKind,
    at: Option<EntryPlace>,
    /// What of a round was chosen to be read.
    read: String,
    strings: Vec<(u32, String)>,
    typed: FormTyped,
}

impl<'a> Of<'a> {
    /// What a request is about; `sent` is the form as it was sent, if it was.
    fn asked(opened: &'a Opened, asked: &Fields, sent: Option<&Fields>) -> Option<Self> {
        let kind = EntryKind::of(asked.text("of"))?;
        let strings = strings(opened);
        let known = about(opened, &strings);
        let at = match (kind, asked.get("at").filter(|at| !at.is_empty())) {
            (EntryKind::Doubt, _) | (_, None) => None,
            (_, Some(at)) => Some(at.parse().ok()?),
        };
        let there_are = entries(&opened.text, kind, &known);
        let found = |at| {
            there_are
                .iter()
                .find(|(place, _)| *place == at)
                .map(|(_, typed)| typed.clone())
        };
        let mut of = match (kind, at) {
            (EntryKind::Doubt, _) => (there_are.first().map(|(at, _)| *at), found(1).unwrap_or_default()),
            // A string is there, whether its table is or not.
            (EntryKind::String, Some(at)) if strings.iter().any(|(number, _)| *number == at) => {
                (Some(at), found(at).unwrap_or_default())
            }
            (EntryKind::String, _) => return None,
            (_, Some(at)) => (Some(at), found(at)?),
            (_, None) => (None, FormTyped::new()),
        };
        if let Some(sent) = sent {
            of.1 = FormTyped::new();
            // With what was typed first there may be more fields.
            for _ in 0..2 {
                for field in entry_fields(kind, &known, &of.1) {
                    of.1.set(&field.key, sent.text(&format!("{TYPED}{}", field.key)));
                }
            }
        } else if at.is_none() && kind == EntryKind::Round {
            of.1.set("with", asked.text("with"));
        }
        Some(Self {
            kind,
            at: of.0,
            read: asked.text("read").to_owned(),
            typed: of.1,
            strings,
            opened,
        })
    }

    /// The name that its list has for it.
    fn heading(&self) -> String {
        let note = |at: u32| {
            self.strings
                .iter()
                .find(|(number, _)| *number == at)
                .map_or("", |(_, note)| note.as_str())
        };
        match (self.kind, self.at) {
            (EntryKind::Doubt, _) => "What does not count".to_owned(),
            (EntryKind::String, Some(at)) => format!("String {at} {}", note(at)).trim_end().to_owned(),
            (EntryKind::Round, None) => "Read again".to_owned(),
            (EntryKind::Round, Some(at)) => format!("Round {at} of readings"),
            (EntryKind::Tuning, None) => "Another tuning or set".to_owned(),
            (EntryKind::Tuning, Some(at)) => format!("Tuning {}", at.saturating_add(1)),
            (EntryKind::Saddle, Some(_)) if !self.typed.get("name").is_empty() => {
                format!("Saddle “{}”", self.typed.get("name"))
            }
            (EntryKind::Saddle | EntryKind::String, _) => "Another saddle".to_owned(),
        }
    }

    /// Where the list of its kind is.
    fn list(&self) -> String {
        format!("{}#{}", to(&self.opened.name, "more"), self.kind.key())
    }

    fn page(&self, bench: &Bench, why: &str, faults: &[FormSaid]) -> Markup {
        let known = about(self.opened, &self.strings);
        let all = entry_fields(self.kind, &known, &self.typed);
        let doubted = !faults.is_empty() && faults.iter().all(|said| said.doubt);
        let is_asked = |key: &str| match self.kind {
            EntryKind::Doubt => self.is_there(key),
            _ => !self.read.is_empty() && key.split(['.', '[']).next() == Some(self.read.as_str()),
        };
        html! {
            div.title-row.tight { p.where { a href=(self.list()) { "To “Beside the survey”" } } (steps(bench, self.opened, "more")) }
            h1 { (self.heading()) }
            p.how { (words(self.kind).intro) @if matches!(self.kind, EntryKind::Round | EntryKind::String | EntryKind::Saddle) { " A length without a unit is in " (self.bare()) "." } }
            @if !why.is_empty() { (super::form::refused_words(why)) }
            @if doubted { p.say.doubt role="alert" { span.mark aria-hidden="true" { "?" } " Nothing was kept yet: something is doubtful. Look at it, and mend it, or keep it all the same." } }
            @else if !faults.is_empty() { (super::form::refused_words("Nothing was kept. What is to be mended stands at its field.")) }
            @for said in faults.iter().filter(|said| said.key.is_empty()) { (said.line()) }
            @if self.strings.is_empty() { p.say.doubt { span.mark aria-hidden="true" { "!" } " Say first which strings there are: " a href={ (to(&self.opened.name, "ask")) "?at=wanted" } { "Strings and wishes" } "." } }
            form.stack.shop method="post" action=(to(&self.opened.name, "entry")) data-lies=(self.lies()) {
                (hidden(bench, Some(self.opened)))
                input type="hidden" name="of" value=(self.kind.key());
                @if let Some(at) = self.at { input type="hidden" name="at" value=(at); }
                @if !self.read.is_empty() { input type="hidden" name="read" value=(self.read); }
                @if let Some(drawing) = self.drawing() { (PreEscaped(drawing)) }
                (fields(self.kind, &all, &self.typed, faults, &is_asked))
                div.go {
                    button.main { "Keep" }
                    @if doubted { button.quiet name=(SURE) value="yes" { "Keep it all the same" } }
                    a.button.quiet href=(self.list()) { "Leave it as it was" }
                }
            }
            @if self.is_kept() {
                form.away method="post" action=(to(&self.opened.name, "entry-away")) {
                    (hidden(bench, Some(self.opened)))
                    input type="hidden" name="of" value=(self.kind.key());
                    @if let Some(at) = self.at { input type="hidden" name="at" value=(at); }
                    button.quiet { @if self.kind == EntryKind::String { "As in the set again" } @else { "Take it away" } }
                }
            }
        }
    }

    /// Under what the browser keeps what is typed and not kept: of a new one by how many there are.
    fn lies(&self) -> String {
        let known = about(self.opened, &self.strings);
        let next = || entries(&self.opened.text, self.kind, &known).len() + 1;
        let at = self.at.map_or_else(|| next().to_string(), |at| at.to_string());
        format!("{} {at}", self.kind.key())
    }

    /// What lengths without a unit are in.
    fn bare(&self) -> &'static str {
        let unit = match self
            .opened
            .interview
            .as_ref()
            .and_then(|interview| interview.answers.given("unit"))
        {
            Some("in") => LengthUnit::Inch,
            Some("thou") => LengthUnit::Thou,
            _ => LengthUnit::Millimetre,
        };
        bare(unit)
    }

    /// Whether the file has it.
    fn is_kept(&self) -> bool {
        let known = about(self.opened, &self.strings);
        let there_are = entries(&self.opened.text, self.kind, &known);
        self.at
            .is_some_and(|at| there_are.iter().any(|(place, _)| *place == at))
    }

    /// The drawing of how the chosen reading is taken.
    fn drawing(&self) -> Option<String> {
        let question = entry_question(self.kind, &self.read)?;
        how(question, self.opened.interview.as_ref()?)
    }

    /// Whether the survey has the reading that a field of a doubt is of.
    fn is_there(&self, key: &str) -> bool {
        let Some(question) = entry_question(self.kind, key) else {
            return false;
        };
        let interview = self.opened.interview.as_ref();
        let keys = ["", ".bass", ".treble"].map(|end| format!("{}{end}", question.key));
        interview.is_some_and(|interview| keys.iter().any(|key| interview.answers.given(key).is_some()))
            || question.key == "instrument.board_radius"
                && interview.is_some_and(|interview| interview.answers.given("ask.board").is_some())
    }
}

fn not_there(bench: &Bench, ask: &Ask, opened: &Opened) -> Reply {
    trouble(
        bench,
        ask,
        404,
        "The job has nothing of this kind there.",
        &to(&opened.name, "more"),
    )
}

/// The form.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let notice = bench.notices.of(ask);
    let (sent, why) = match notice.as_deref() {
        Some(Notice::Refused { fields, why, .. }) => (Some(fields), why.as_str()),
        _ => (None, ""),
    };
    let Some(of) = Of::asked(&opened, &ask.fields, sent) else {
        return not_there(bench, ask, &opened);
    };
    let faults = sent.map(|_| faults(&of)).unwrap_or_default();
    let main = of.page(bench, why, &faults);
    Reply::Page(200, frame(bench, &of.heading(), Some((&opened, Tab::Survey)), &main))
}

/// What the reader says of what stands in the form.
fn faults(of: &Of) -> Vec<FormSaid> {
    let known = about(of.opened, &of.strings);
    let kept = kept_entry(&of.opened.text, of.kind, of.at, &of.typed, &known, known.profiles);
    let faults = kept.map(|kept| kept.faults).unwrap_or_default();
    let said = faults.into_iter().map(|(key, problem)| FormSaid {
        words: html! { (plain(&problem.what())) },
        doubt: problem.severity == Severity::Warning,
        key,
    });
    said.collect()
}

/// Keeps what was typed, if it is sound.
#[must_use]
pub fn keep(bench: &Bench, ask: &Ask) -> Reply {
    let back = "more";
    let opened = match unchanged(bench, ask, back) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let Some(of) = Of::asked(&opened, &ask.fields, Some(&ask.fields)) else {
        return not_there(bench, ask, &opened);
    };
    let mut place = there(&opened, of.kind, of.at);
    if !of.read.is_empty() {
        place.push_str(&format!("&read={}", of.read));
    }
    let known = about(&opened, &of.strings);
    let kept = match kept_entry(&opened.text, of.kind, of.at, &of.typed, &known, known.profiles) {
        Ok(kept) => kept,
        Err(error) => return bench.notices.see(&place, Notice::refused(&ask.fields, &refused(error))),
    };
    let is_sure = ask.fields.get(SURE).is_some();
    if kept.is_refused() || !kept.faults.is_empty() && !is_sure {
        return bench.notices.see(&place, Notice::refused(&ask.fields, ""));
    }
    save(bench, ask, &of, &kept.text, "Kept.")
}

fn save(bench: &Bench, ask: &Ask, of: &Of, text: &str, words: &str) -> Reply {
    if let Err(error) = bench.desk().store.save(&of.opened.name, &of.opened.version, text) {
        return store_trouble(bench, ask, &error, &to(&of.opened.name, "more"));
    }
    let words = words.to_owned();
    bench.notices.see(&of.list(), Notice::Done { words, back: None })
}

/// Takes one away.
#[must_use]
pub fn away(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match unchanged(bench, ask, "more") {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let Some((of, at)) = Of::asked(&opened, &ask.fields, None).and_then(|of| {
        let at = of.at.filter(|_| of.is_kept())?;
        Some((of, at))
    }) else {
        return not_there(bench, ask, &opened);
    };
    match without_entry(&opened.text, of.kind, at) {
        Ok(text) => save(bench, ask, &of, &text, "Taken away. “Undo” brings it back."),
        Err(error) => trouble(bench, ask, 422, &refused(error), &to(&opened.name, "more")),
    }
}

#[cfg(test)]
mod tests {
    use job::Profiles;

    use super::*;
    use crate::memory::MemoryJobs;
    use crate::name::JobName;
    use crate::route::reply;
    use crate::talk::Method;

    fn bench(stems: &[&str]) -> Bench {
        let bench = Bench::new(Box::<MemoryJobs>::default(), Profiles::built_in(), "token".to_owned());
        for (stem, text) in crate::examples::EXAMPLES
            .iter()
            .filter(|(stem, _)| stems.contains(stem))
        {
            bench.desk().store.create(&JobName::parse(stem).unwrap(), text).unwrap();
        }
        bench
    }

    fn text(bench: &Bench, stem: &str) -> String {
        bench.desk().store.read(&JobName::parse(stem).unwrap()).unwrap()
    }

    fn get(bench: &Bench, path: &str) -> String {
        let (path, query) = path.split_once('?').unwrap_or((path, ""));
        match reply(bench, Method::Get, path, Fields::parse(query.as_bytes()), false) {
            Reply::Page(200, page) => page.into_string(),
            other => panic!("{path}: {other:?}"),
        }
    }

    /// Posts over the job as it is now, and shows the page that one is led to.
    fn post(bench: &Bench, stem: &str, page: &str, fields: &str) -> String {
        let version = crate::jobs::Version::of(&text(bench, stem));
        let fields = format!("token=token&version={}&{fields}", version.as_str());
        match reply(
            bench,
            Method::Post,
            &format!("/job/{stem}/{page}"),
            Fields::parse(fields.as_bytes()),
            false,
        ) {
            Reply::See(to) => get(bench, to.split('#').next().unwrap()),
            other => panic!("{other:?}"),
        }
    }

    /// From what to read next to the reading in the file, and to a plan that goes by it; taken away, all is as it was.
    #[test]
    fn what_is_to_be_read_next_is_typed_in_where_it_is_said() {
        let bench = bench(&["parlour"]);
        let before = text(&bench, "parlour");
        let sure = get(&bench, "/job/parlour/sureness");
        let to = sure.split("href=\"/job/parlour/entry?").nth(1).unwrap();
        let to = to.split('"').next().unwrap().replace("&amp;", "&");
        assert!(to.starts_with("of=readings&read=saddle_height&with=micrometer"), "{to}");
        let form = get(&bench, &format!("/job/parlour/entry?{to}"));
        assert!(
            form.contains("Height of the old saddle") && form.contains("how-picture"),
            "{form}"
        );
        assert!(
            form.contains("in inches") && form.contains("<option value=\"micrometer\" selected>"),
            "{form}"
        );
        let told = post(
            &bench,
            "parlour",
            "entry",
            "of=readings&read=saddle_height&v.with=tuner&v.saddle_height%5B1%5D=0.42",
        );
        assert!(
            told.contains("Nothing was kept") && told.contains("value=\"0.42\"") && text(&bench, "parlour") == before
        );
        let list = post(
            &bench,
            "parlour",
            "entry",
            "of=readings&v.with=micrometer&v.saddle_height%5B1%5D=0.42&v.saddle_height%5B6%5D=0.41",
        );
        assert!(
            list.contains("Height of the old saddle: 6 E2 0.42, 1 E4 0.41"),
            "{list}"
        );
        assert!(text(&bench, "parlour").contains("saddle_height = [0.42, \"-\", \"-\", \"-\", \"-\", 0.41]"));
        let list = post(&bench, "parlour", "entry-away", "of=readings&at=1");
        assert!(list.contains("Undo") && text(&bench, "parlour").trim_end() == before.trim_end());
    }

    /// What is doubtful is kept on a second word.
    #[test]
    fn a_doubtful_entry_is_kept_on_a_second_word() {
        let bench = bench(&["parlour"]);
        let before = text(&bench, "parlour");
        let typed = "of=string&at=5&v.gauge=0.043+in";
        let told = post(&bench, "parlour", "entry", typed);
        assert!(
            told.contains("Keep it all the same") && text(&bench, "parlour") == before,
            "{told}"
        );
        assert!(!told.contains('`') && !told.contains("[[string]]"), "{told}");
        post(&bench, "parlour", "entry", &format!("{typed}&sure=yes"));
        assert!(text(&bench, "parlour").contains("gauge = \"0.043 in\""));
    }

    /// A second saddle, from nothing: each is kept as it is typed, and what is still missing leads to its form.
    #[test]
    fn several_saddles_are_made_one_after_the_other() {
        let bench = bench(&["split-saddle"]);
        for _ in 0..2 {
            post(&bench, "split-saddle", "entry-away", "of=saddle&at=1");
        }
        let bare = text(&bench, "split-saddle");
        assert!(!bare.contains("[[saddle]]"), "{bare}");
        let slot = |bass: &str, treble: &str, length: u32| {
            let blank = f64::from(length) - 0.2;
            format!(
                "&v.slot.edge_from_fret_12.bass={bass}&v.slot.edge_from_fret_12.treble={treble}&v.slot.bridge_top.bass=0.8&v.slot.bridge_top.treble=0.7\
                 &v.slot.depth.bass=5&v.slot.depth.treble=5&v.slot.length={length}&v.blank.length={blank}\
                 &v.bridge.behind_slot.bass=10&v.bridge.behind_slot.treble=10"
            )
        };
        post(
            &bench,
            "split-saddle",
            "entry",
            &format!("of=saddle&v.name=bass&v.strings=6+5+4+3{}", slot("327.4", "324.7", 44)),
        );
        let survey = get(&bench, "/job/split-saddle/plan");
        assert!(
            survey.contains("/job/split-saddle/entry?of=saddle&amp;at=1"),
            "{survey}"
        );
        post(
            &bench,
            "split-saddle",
            "entry",
            &format!("of=saddle&v.name=treble&v.strings=2+1{}", slot("325.6", "324.4", 21)),
        );
        let opened = bench.desk().open(&JobName::parse("split-saddle").unwrap()).unwrap();
        assert_eq!(opened.judged.problems, [], "{}", opened.text);
        assert_eq!(opened.judged.saddles().len(), 2);
    }

    /// No page of these shows a key of the file, a bracket of a table or a backtick; every example has them all.
    #[test]
    fn no_key_of_the_file_stands_on_these_pages() {
        let stems: Vec<&str> = crate::examples::EXAMPLES.iter().map(|(stem, _)| *stem).collect();
        let bench = bench(&stems);
        for stem in stems {
            let list = get(&bench, &format!("/job/{stem}/more"));
            let link = format!("href=\"/job/{stem}/entry?");
            let forms = list.split(&link).skip(1);
            let forms: Vec<String> = forms
                .map(|rest| rest.split('"').next().unwrap().replace("&amp;", "&"))
                .collect();
            assert!(forms.len() >= 5, "{stem}: {forms:?}");
            let pages = forms
                .iter()
                .map(|form| get(&bench, &format!("/job/{stem}/entry?{form}")));
            for page in pages.chain([list.clone()]) {
                let main = page.split("<main").nth(1).unwrap();
                let seen: String = main
                    .split('<')
                    .map(|part| part.split_once('>').map_or("", |(_, text)| text))
                    .collect();
                let key = seen
                    .split(|c: char| !(c.is_ascii_alphanumeric() || c == '_'))
                    .find(|word| word.contains('_'));
                assert!(
                    !seen.contains('`') && !seen.contains("[[") && key.is_none(),
                    "{stem}: {key:?} {seen}"
                );
            }
        }
    }
}
