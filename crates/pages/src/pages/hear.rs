//! Listening to the strings: one pluck after the other until they agree, then what they agree on, to be kept in the job.
//!
//! The page's script hands over the sound of one pluck, and what was heard of that string before. Nothing of it is kept here.

use ::work::{HeardPluck, HeardString, StretchHeard, cents_at_12, microphone};
use instrument::SurveyedString;
use job::HeardKey;
use listen::{Heard, Sure, recording};
use maud::{Markup, html};
use numerics::math;
use serde_json::json;

use super::told::why_no_plan;
use super::{Tab, frame, hidden, opened, picture, steps, store_trouble, to, trouble, unchanged};
use crate::bench::Bench;
use crate::desk::{Judged, Opened};
use crate::patch::refused;
use crate::pictures::heard::heard as partials;
use crate::plucks::Plucks;
use crate::talk::{Ask, Fields, Reply};

/// The page's name in its address, as undo goes back to it.
const PAGE: &str = "hear";
/// What is not heard by a page without its script.
const NO_SCRIPT: &str = "Without its script this page cannot listen. The command can, from a recording: ";

/// A string of the job that is listened to.
struct At<'a> {
    string: &'a SurveyedString,
    /// Counted from the bass.
    at: usize,
    /// 0 open, or 12.
    fret: u32,
}

impl<'a> At<'a> {
    /// The string and fret that a request names.
    fn of(strings: &'a [SurveyedString], fields: &Fields) -> Option<Self> {
        let number: u32 = fields.text("string").parse().ok()?;
        let at = strings.iter().position(|string| string.number == number)?;
        let fret = match fields.get("fret") {
            None | Some("0") => 0,
            Some("12") => 12,
            Some(_) => return None,
        };
        Some(Self {
            string: strings.get(at)?,
            at,
            fret,
        })
    }

    /// Hz of the note that it should give.
    fn expected(&self) -> f64 {
        self.string.frequency * math::exp2(f64::from(self.fret) / 12.0)
    }

    fn name(&self) -> String {
        match self.fret {
            0 => self.string.note.clone(),
            fret => format!("{} fretted at {fret}", self.string.note),
        }
    }

    /// What it may keep, as far as its plucks agree: B of the open string, or cents at 12 of both.
    fn to_keep(&self, plucks: &Plucks) -> Option<(HeardKey, Sure)> {
        let open = plucks.agreed(0)?;
        Some(match self.fret {
            0 => (HeardKey::Inharmonicity, open.inharmonicity?),
            fret => (HeardKey::Cents12, cents_at_12(plucks.agreed(fret)?.pitch, open.pitch)),
        })
    }
}

/// The strings of a job, bass to treble; none while it has errors.
fn strings(judged: &Judged) -> &[SurveyedString] {
    judged.done.as_ref().map_or(&[], |done| &done.job.instrument.strings)
}

/// The page.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match opened(bench, ask) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let all = strings(&opened.judged);
    let main = match At::of(all, &ask.fields).or_else(|| first(all)) {
        None => html! {
            h1 { "Listen to the strings" }
            (why_no_plan(&opened))
            p { a.button href=(to(&opened.name, "ask")) { "Go on with the survey" } }
        },
        Some(at) => html! {
            div.title-row { h1 { "Listen to the strings" } (steps(bench, &opened, PAGE)) }
            p.how { "Most of the doubt about pitch is how far a string gives. Its sound tells: a stiff string's partials stand higher than a limp one's. "
                "Damp the other strings with a cloth, hold the microphone two hands from the bridge, pluck once, softly, and let it ring for five seconds." }
            noscript { p.say.doubt { (NO_SCRIPT) code { "bonewright hear FILE.wav --job " (opened.name) ".toml --string " (at.string.number) " --keep" } } }
            div.beside { (listening(&at)) (list(&opened, all, &at)) }
            script src="/hear.js" defer {}
        },
    };
    Reply::Page(
        200,
        frame(bench, "Listen to the strings", Some((&opened, Tab::Survey)), &main),
    )
}

fn first(all: &[SurveyedString]) -> Option<At<'_>> {
    let string = all.first()?;
    Some(At { string, at: 0, fret: 0 })
}

/// What the script listens with. It goes by the figures that stand here.
fn listening(at: &At) -> Markup {
    html! {
        div.listening id="hear" hidden data-string=(at.string.number) data-quiet=(microphone::TOO_QUIET) data-loud=(microphone::TOO_LOUD)
            data-jump=(microphone::JUMP) data-before=(microphone::BEFORE) data-after=(microphone::AFTER) data-most=(microphone::MOST_SOUND) {
            h2 id="now" tabindex="-1" { (pluck_it(at.string, 0)) }
            div.go { button.main id="listen" type="button" { "Listen" } }
            div.level-row {
                div.level id="level" role="meter" aria-label="Level" aria-valuemin="0" aria-valuemax="100" aria-valuenow="0" { span {} }
                p.level-word id="level-word" { "off" }
            }
            p.how id="hear-state" {}
            div.say id="hear-say" role="status" aria-live="polite" {}
            div id="offer" {}
            div id="partials" {}
            p.entry { label for="sound" { "Or a recording of one pluck" } input id="sound" type="file" accept=".wav,audio/wav,audio/x-wav"; }
            p.how id="forgotten" { "Nothing of the sound is kept: it is heard in this computer's memory and forgotten." }
            p.how id="elsewhere" hidden { "Nothing of the sound is kept: it goes to the computer where bonewright runs, is heard in its memory and forgotten." }
        }
    }
}

/// What to do with a string, in large letters.
fn pluck_it(string: &SurveyedString, fret: u32) -> String {
    let (note, place) = (&string.note, ordinal(string.number));
    match fret {
        0 => format!("Pluck {note}, the {place}, open"),
        fret => format!("Pluck {note}, the {place}, held at fret {fret}"),
    }
}

fn ordinal(number: u32) -> String {
    let end = match (number % 100, number % 10) {
        (11..=13, _) => "th",
        (_, 1) => "st",
        (_, 2) => "nd",
        (_, 3) => "rd",
        _ => "th",
    };
    format!("{number}{end}")
}

/// The strings in order, with what was heard of each.
fn list(opened: &Opened, all: &[SurveyedString], here: &At) -> Markup {
    html! {
        section aria-labelledby="strings" {
            h2 id="strings" { "String by string" }
            table.heard-strings {
                thead { tr { th scope="col" { "String" } th scope="col" { "Open" } th scope="col" { "Held at 12" } } }
                tbody { @for (at, string) in all.iter().enumerate() {
                    tr data-row=(string.number) { (row(opened, &At { string, at, fret: 0 }, &Plucks::default(), at == here.at)) }
                } }
            }
        }
    }
}

fn row(opened: &Opened, at: &At, plucks: &Plucks, current: bool) -> Markup {
    let string = at.string;
    let cell = |key: HeardKey, fret: u32| {
        let expected = string.frequency * math::exp2(f64::from(fret) / 12.0);
        let heard = plucks.agreed(fret).map(|pluck| (pluck, "agreed"));
        let heard = heard.or_else(|| plucks.last(fret).map(|pluck| (pluck, "not agreed yet")));
        let kept = kept(opened, key, at.at) > 0;
        html! {
            @if let Some((pluck, how)) = heard { (report::pluck_words(&pluck, expected)) span.o { (how) } }
            @if kept { span.kept { span.mark aria-hidden="true" { "✓" } " " (if fret == 0 { "B kept" } else { "cents kept" }) } }
            @if heard.is_none() && !kept { "–" }
        }
    };
    html! {
        th scope="row" { a.button.quiet href={ "?string=" (string.number) } aria-current=[current.then_some("true")]
            data-string=(string.number) data-open=(pluck_it(string, 0)) data-fretted=(pluck_it(string, 12)) { (string.number) " " (string.note) } }
        td { (cell(HeardKey::Inharmonicity, 0)) }
        td { (cell(HeardKey::Cents12, 12)) }
    }
}

/// How many rounds of it the job has from a recording.
fn kept(opened: &Opened, key: HeardKey, at: usize) -> usize {
    let done = opened.judged.done.as_ref();
    done.map_or(0, |done| key.kept(&done.job, at))
}

/// What `then` replies to a post: with the job, if it is as the page showed it, and the string that the post names.
fn of_string(bench: &Bench, ask: &Ask, then: fn(&Bench, &Ask, &Opened, &At) -> Reply) -> Reply {
    let opened = match unchanged(bench, ask, PAGE) {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    match At::of(strings(&opened.judged), &ask.fields) {
        Some(at) => then(bench, ask, &opened, &at),
        None => {
            let why = "This job has no such string to be heard, open or at fret 12.";
            trouble(bench, ask, 422, why, &to(&opened.name, PAGE))
        }
    }
}

/// What is heard of one pluck, and whether it agrees with those before it. Keeps nothing.
#[must_use]
pub fn attempt(bench: &Bench, ask: &Ask) -> Reply {
    of_string(bench, ask, plucked)
}

fn plucked(bench: &Bench, ask: &Ask, opened: &Opened, at: &At) -> Reply {
    let heard = match heard(ask.sound.as_deref().unwrap_or_default(), at) {
        Ok(heard) => heard,
        Err(why) => {
            let say = html! { span.mark aria-hidden="true" { "✕" } " Not heard: " (why) };
            return Reply::Json(200, json!({ "state": "refused", "say": say.into_string() }));
        }
    };
    let mut plucks = Plucks::of(&ask.fields);
    let pluck = HeardPluck::of(&heard, at.fret);
    plucks.add(at.fret, pluck);
    let agreement = plucks.agreement(at.fret);
    let agreed = plucks.agreed(at.fret);
    let words = report::agreement_words(&agreement, at.expected(), at.fret != 0);
    let say = html! { span.mark aria-hidden="true" { (if agreed.is_some() { "✓" } else { "?" }) } " " (words) };
    let mut told = HeardString::of(at.string.note.clone(), at.expected(), at.fret, heard);
    let offer = agreed.is_some().then(|| {
        let to_keep = at.to_keep(&plucks);
        if let Some((HeardKey::Inharmonicity, b)) = to_keep {
            told.stretch = stretch(bench, opened, at, b);
        }
        offer(bench, opened, at, &plucks, to_keep, stretched(&told))
    });
    let told = html! {
        figure { (picture(partials(&told.heard, &at.name()))) figcaption { "Ticks: where each partial stands. Straight line: where a limp string's would. Thin line: what they agree on. Short ticks do not count." } }
        details { summary { "Every figure of this pluck, as the command prints it" } pre tabindex="0" { (report::heard_page(&told)) } }
    };
    Reply::Json(
        200,
        json!({
            "state": if agreed.is_some() { "agreed" } else { "heard" },
            "say": say.into_string(),
            "pluck": Plucks::text(&pluck),
            "row": row(opened, at, &plucks, true).into_string(),
            "partials": told.into_string(),
            "offer": offer.map(Markup::into_string),
        }),
    )
}

/// What is heard of a sound, or why nothing, in words.
fn heard(mut sound: &[u8], at: &At) -> Result<Heard, String> {
    let read = recording(&mut sound)
        .map_err(|why| format!("it cannot be read: {why}. Save it as WAV: 16, 24 or 32 bits, or floating point."))?;
    let heard = read.sound().and_then(|sound| listen::listened(&sound, at.expected()));
    heard.map_err(|why| report::unheard_words(&why, &at.name()))
}

/// The job's text with what is to be kept.
///
/// # Errors
/// Why it cannot be written, in words.
fn with(opened: &Opened, at: &At, (key, value): (HeardKey, Sure)) -> Result<String, String> {
    let count = strings(&opened.judged).len();
    job::with_heard(&opened.text, key, at.at, count, value.value, value.sure_to).map_err(refused)
}

/// What B makes of the string's stretch.
fn stretch(bench: &Bench, opened: &Opened, at: &At, b: Sure) -> Option<StretchHeard> {
    let after = bench
        .desk()
        .judge(&with(opened, at, (HeardKey::Inharmonicity, b)).ok()?);
    StretchHeard::of(opened.judged.done.as_ref()?, &after.done?, at.string.number, b)
}

/// What B makes of the string's stretch, in words; a doubt where it is not the string that the job describes.
fn stretched(told: &HeardString) -> Markup {
    let doubt = told.stretch.is_some_and(|stretch| stretch.not_it);
    html! {
        @if let Some(words) = report::stretch_words(told) {
            @if doubt { p.say.doubt { span.mark aria-hidden="true" { "!" } " Stretch: " (words) } } @else { p { strong { "Stretch: " } (words) } }
        }
    }
}

/// What can be done with plucks that agree.
fn offer(
    bench: &Bench,
    opened: &Opened,
    at: &At,
    plucks: &Plucks,
    to_keep: Option<(HeardKey, Sure)>,
    stretched: Markup,
) -> Markup {
    let again = to_keep.is_some_and(|(key, _)| kept(opened, key, at.at) > 0);
    html! {
        form id="offered" method="post" action=(to(&opened.name, PAGE)) {
            (hidden(bench, Some(opened)))
            input type="hidden" name="string" value=(at.string.number);
            input type="hidden" name="fret" value=(at.fret);
            input type="hidden" name="open" value=(plucks.texts(0));
            input type="hidden" name="fretted" value=(plucks.texts(12));
            @if again { input type="hidden" name="again" value="yes"; }
            @match to_keep {
                Some((HeardKey::Cents12, cents)) => { p { strong { (report::at_12_words(cents)) } } }
                None if at.fret != 0 => { p { "Cents at 12 are told against the open string: pluck it open too, until it agrees." } }
                _ => {}
            }
            (stretched)
            @if again { p.say.doubt { span.mark aria-hidden="true" { "!" } " The job has this of the string from a recording already. The same pluck kept twice would count twice; this is another." } }
            div.go {
                @if to_keep.is_some() { button.main { (if again { "Keep it beside that" } else { "Keep it" }) } }
                button.quiet type="button" data-do="again" { "Again" }
                (onward(opened, at))
            }
        }
    }
}

/// Where to go on from a string: to its other half, and to the next one.
fn onward(opened: &Opened, at: &At) -> Markup {
    let next = strings(&opened.judged).get(at.at + 1);
    html! {
        @if at.fret == 0 {
            button.quiet type="button" data-do="12" { "Now held at 12" }
        } @else {
            button.quiet type="button" data-do="0" { "Now open" }
        }
        @if let Some(next) = next { button.quiet type="button" data-do="next" value=(next.number) { "Next string" } }
    }
}

/// Keeps what the plucks of a string agree on, as one change of the job.
#[must_use]
pub fn keep(bench: &Bench, ask: &Ask) -> Reply {
    of_string(bench, ask, keep_of)
}

fn keep_of(bench: &Bench, ask: &Ask, opened: &Opened, at: &At) -> Reply {
    let back = format!("{}?string={}", to(&opened.name, PAGE), at.string.number);
    let not_kept = |why: &str| trouble(bench, ask, 422, why, &back);
    let plucks = Plucks::of(&ask.fields);
    let Some((key, value)) = at.to_keep(&plucks) else {
        return not_kept("These plucks do not agree, so nothing was kept. Pluck the string again.");
    };
    if kept(opened, key, at.at) > 0 && ask.fields.get("again").is_none() {
        return not_kept(
            "The job has this of the string from a recording already, so nothing was kept. The same pluck kept twice would count twice.",
        );
    }
    let text = match with(opened, at, (key, value)) {
        Ok(text) => text,
        Err(why) => return not_kept(&why),
    };
    if bench.desk().judge(&text).done.is_none() {
        return not_kept("With this the job would have an error, so nothing was kept.");
    }
    if let Err(error) = bench.desk().store.save(&opened.name, &opened.version, &text) {
        return store_trouble(bench, ask, &error, &back);
    }
    if !ask.script {
        return Reply::See(back);
    }
    let now = match bench.desk().open(&opened.name) {
        Ok(now) => now,
        Err(error) => return store_trouble(bench, ask, &error, &back),
    };
    let what = match key {
        HeardKey::Inharmonicity => "B",
        HeardKey::Cents12 => "cents at 12",
    };
    let say = html! { span.mark aria-hidden="true" { "✓" } " Kept: " (what) " of " (at.string.note) "." };
    Reply::Json(
        200,
        json!({
            "state": "kept",
            "version": now.version.as_str(),
            "say": say.into_string(),
            "row": row(&now, at, &plucks, true).into_string(),
            "steps": steps(bench, &now, PAGE).into_string(),
            "offer": html! { div.go { (onward(&now, at)) } }.into_string(),
        }),
    )
}

#[cfg(test)]
mod tests {
    use fixtures::{Plucked, plucked, plucked_pair, silence, wav};
    use job::Profiles;
    use serde_json::Value;

    use super::*;
    use crate::jobs::{Jobs, Version};
    use crate::memory::MemoryJobs;
    use crate::name::JobName;
    use crate::route::{reply, reply_to_sound};
    use crate::talk::Method;

    const PARLOUR: &str = include_str!("../../../../examples/parlour.toml");
    const RATE: f64 = 44_100.0;

    fn bench() -> Bench {
        let jobs = MemoryJobs::default();
        jobs.create(&JobName::parse("a").unwrap(), PARLOUR).unwrap();
        Bench::new(Box::new(jobs), Profiles::built_in(), "token".to_owned())
    }

    fn text(bench: &Bench) -> String {
        bench.desk().store.read(&JobName::parse("a").unwrap()).unwrap()
    }

    fn version(bench: &Bench) -> String {
        Version::of(&text(bench)).as_str().to_owned()
    }

    fn fields(text: &str) -> Fields {
        Fields::parse(text.as_bytes())
    }

    /// Status and what the script is told of a sound.
    fn told(bench: &Bench, asked: &str, sound: Vec<u8>) -> (u16, Value) {
        let asked = format!("version={}&{asked}", version(bench));
        match reply_to_sound(bench, "/job/a/hear/try", fields(&asked), sound, true) {
            Reply::Json(status, value) => (status, value),
            other => panic!("{other:?}"),
        }
    }

    fn sound(of: &Plucked) -> Vec<u8> {
        wav(&of.samples, of.rate)
    }

    fn word<'a>(of: &'a Value, key: &str) -> &'a str {
        of[key].as_str().unwrap_or_default()
    }

    fn keep(bench: &Bench, asked: &str, script: bool) -> Reply {
        reply(bench, Method::Post, "/job/a/hear", fields(asked), script)
    }

    /// A pluck alone is not offered; the same again is, and what is kept is what was planted, as one change.
    #[test]
    fn plucks_that_agree_are_offered_and_kept() {
        let bench = bench();
        let pluck = plucked(1, RATE, 51);
        let (status, once) = told(&bench, "string=5&fret=0", sound(&pluck));
        assert_eq!((status, word(&once, "state")), (200, "heard"), "{once}");
        assert!(word(&once, "say").contains("Pluck it again") && once["offer"].is_null());
        assert!(
            word(&once, "partials").contains("class=\"view heard\"") && word(&once, "row").contains("not agreed yet")
        );
        let first = word(&once, "pluck");
        let (_, twice) = told(&bench, &format!("string=5&fret=0&open={first}"), sound(&pluck));
        assert_eq!(word(&twice, "state"), "agreed", "{twice}");
        assert!(word(&twice, "say").contains("Agreed, two plucks in a row"));
        let offer = word(&twice, "offer");
        assert!(offer.contains("Keep it") && offer.contains("Stretch: "), "{offer}");
        assert_eq!(text(&bench), PARLOUR);

        let asked = format!("version={}&string=5&fret=0&open={first},{first}", version(&bench));
        let Reply::Json(200, kept) = keep(&bench, &asked, true) else {
            panic!()
        };
        let now = text(&bench);
        assert_eq!(
            (word(&kept, "state"), word(&kept, "version")),
            ("kept", version(&bench).as_str())
        );
        assert!(word(&kept, "row").contains("B kept") && !word(&kept, "offer").contains("Keep it"));
        let job = job::read(&now, &Profiles::built_in()).unwrap().job;
        let [taken] = &job.readings.taken[..] else {
            panic!("{now}")
        };
        let off = (taken.value / pluck.inharmonicity() - 1.0).abs();
        assert!(off < 0.01, "{off}");
        assert_eq!(taken.at, instrument::At::String(1));

        // As it stood before that: refused. Kept already: only when that is said.
        let late = keep(&bench, &asked, true);
        assert!(matches!(late, Reply::Json(409, _)), "{late:?}");
        let asked = format!("version={}&string=5&fret=0&open={first},{first}", version(&bench));
        assert!(matches!(keep(&bench, &asked, true), Reply::Json(422, _)));
        assert_eq!(text(&bench), now);
        let beside = keep(&bench, &format!("{asked}&again=yes"), false);
        assert!(
            matches!(&beside, Reply::See(to) if to == "/job/a/hear?string=5"),
            "{beside:?}"
        );
        for _ in 0..2 {
            let undo = format!("version={}&back=hear", version(&bench));
            let undone = reply(&bench, Method::Post, "/job/a/undo", fields(&undo), false);
            assert!(
                matches!(&undone, Reply::See(to) if to.starts_with("/job/a/hear")),
                "{undone:?}"
            );
        }
        assert_eq!(text(&bench), PARLOUR);
    }

    #[test]
    fn cents_at_12_are_kept_of_both() {
        let bench = bench();
        let [fretted, open] = plucked_pair(0, RATE, 7);
        let truth = fretted.off_mean(2.0 * (open.truth[0].pitch * open.truth[1].pitch).sqrt());
        let one = |asked: &str, of: &Plucked| {
            let (_, told) = told(&bench, asked, sound(of));
            assert_ne!(word(&told, "state"), "refused", "{told}");
            (word(&told, "pluck").to_owned(), word(&told, "offer").to_owned())
        };
        let (at_12, _) = one("string=6&fret=12", &fretted);
        let (_, alone) = one(&format!("string=6&fret=12&fretted={at_12}"), &fretted);
        assert!(
            alone.contains("pluck it open too") && !alone.contains("Keep it"),
            "{alone}"
        );
        let (at_0, _) = one("string=6&fret=0", &open);
        let (_, both) = one(
            &format!("string=6&fret=12&fretted={at_12}&open={at_0},{at_0}"),
            &fretted,
        );
        assert!(both.contains("Cents at 12: ") && both.contains("Keep it"), "{both}");
        let asked = format!(
            "version={}&string=6&fret=12&fretted={at_12},{at_12}&open={at_0},{at_0}",
            version(&bench)
        );
        assert!(matches!(keep(&bench, &asked, true), Reply::Json(200, _)));
        let job = job::read(&text(&bench), &Profiles::built_in()).unwrap().job;
        let [taken] = &job.readings.taken[..] else {
            panic!("{}", text(&bench))
        };
        // `off_mean` is over the fretted string's own pitch.
        assert!((taken.value + truth).abs() < 0.4, "{} {truth}", taken.value);
    }

    /// What is no sound of this string is refused in the words of the command, and what no page of ours sends changes nothing.
    #[test]
    fn what_is_not_the_string_is_refused_in_words() {
        let bench = bench();
        let low = sound(&plucked(0, RATE, 53));
        let mut float = low.clone();
        float[34] = 13;
        for (asked, sound, words) in [
            ("string=6", Vec::new(), "it cannot be read"),
            ("string=6", b"no sound".to_vec(), "it cannot be read"),
            ("string=6", vec![0xff; 70_000], "it cannot be read"),
            ("string=6", low[..20].to_vec(), "it cannot be read"),
            ("string=6", float, "it cannot be read"),
            ("string=6", low[..44].to_vec(), "it is silent"),
            ("string=6", wav(&silence(RATE), RATE), "it is silent"),
            ("string=6", low[..60_000].to_vec(), "too short"),
            ("string=5&fret=0", low.clone(), "it is another string"),
            ("string=6&fret=12", low.clone(), "from E2 fretted at 12"),
        ] {
            let (status, told) = told(&bench, asked, sound);
            assert_eq!((status, word(&told, "state")), (200, "refused"), "{words}: {told}");
            assert!(word(&told, "say").contains(words), "{words}: {told}");
        }
        for asked in ["", "string=7", "string=a", "string=6&fret=3", "string=6&fret=-1"] {
            assert_eq!(told(&bench, asked, low.clone()).0, 422, "{asked}");
            let asked = format!(
                "version={}&{asked}&open=82:0.1:1e-4:1e-6,82:0.1:1e-4:1e-6",
                version(&bench)
            );
            assert!(matches!(keep(&bench, &asked, true), Reply::Json(422, _)), "{asked}");
        }
        for asked in [
            "string=6",
            "string=6&open=82:0.1:1e-4:1e-6",
            "string=6&open=82:0.1,82:0.1",
            "string=6&fret=12&fretted=164:0.1,164:0.1",
        ] {
            let asked = format!("version={}&{asked}", version(&bench));
            assert!(matches!(keep(&bench, &asked, true), Reply::Json(422, _)), "{asked}");
        }
        let stale = reply_to_sound(&bench, "/job/a/hear/try", fields("string=6&version=0"), low, true);
        assert!(matches!(stale, Reply::Json(409, _)), "{stale:?}");
        // No sound came, as of a form without the script.
        let none = fields(&format!("version={}&string=6", version(&bench)));
        assert!(matches!(
            reply(&bench, Method::Post, "/job/a/hear/try", none, false),
            Reply::Json(200, _)
        ));
        assert_eq!(text(&bench), PARLOUR);
    }

    #[test]
    fn a_job_with_errors_says_what_is_missing() {
        let bench = bench();
        let broken = PARLOUR.replace("[slot]", "[slat]");
        bench
            .desk()
            .store
            .create(&JobName::parse("b").unwrap(), &broken)
            .unwrap();
        let Reply::Page(200, page) = reply(&bench, Method::Get, "/job/b/hear", Fields::default(), false) else {
            panic!()
        };
        let page = page.into_string();
        assert!(
            page.contains("Go on with the survey") && !page.contains("id=\"listen\""),
            "{page}"
        );
    }

    #[test]
    fn places_are_counted_in_words() {
        for (number, word) in [
            (1, "1st"),
            (2, "2nd"),
            (3, "3rd"),
            (4, "4th"),
            (11, "11th"),
            (12, "12th"),
            (13, "13th"),
            (21, "21st"),
        ] {
            assert_eq!(ordinal(number), word);
        }
    }
}
