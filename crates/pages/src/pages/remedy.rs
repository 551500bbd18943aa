//! Whether a saddle is the remedy at all: what to do first, and the sheets that the owner takes home.

use ::survey::Station;
use assess::Verdict;
use maud::{Markup, html};
use report::{Assessed, FindingWords, assess_page, assess_pages};
use work::{Planned, SaddleWork};

use super::station::setting_link;
use super::told::of_plan;
use super::{Tab, download, hidden, live, refusals, to, trouble, unchanged};
use crate::bench::Bench;
use crate::desk::Opened;
use crate::naming;
use crate::talk::{Ask, Reply};

/// The page.
#[must_use]
pub fn page(bench: &Bench, ask: &Ask) -> Reply {
    of_plan(bench, ask, Tab::Remedy, None, |opened, done| shown(bench, opened, done))
}

fn shown(bench: &Bench, opened: &Opened, done: &Planned) -> Markup {
    let saddles = opened.judged.saddles();
    html! {
        h1 { "Is a saddle the remedy?" }
        (refusals(&opened.judged))
        @if saddles.is_empty() {
            p { "This job makes a nut alone: the saddle stays, and what a saddle would mend is not asked." }
        } @else {
            @for saddle in &saddles { (live::of_saddle(saddle)) (of_one(saddle, done.is_split())) }
            p.how { (Assessed::comparison()) }
            @if done.is_split() { (every_figure(&split_page(done, &saddles))) }
            @if let [saddle] = &saddles[..] {
                @if !done.is_split() { (after_neck(bench, opened, saddle)) (for_the_owner(opened, saddle)) }
            }
            h2 { "What it is judged by" }
            p.how { "Humidity, neck and heel are read at the survey's station “" (Station::Remedy.title()) "”; the limits are common practice unless you set your own." }
            p.setting { a.button.quiet href={ (to(&opened.name, "ask")) "?at=" (Station::Remedy.key()) } { (Station::Remedy.title()) } }
            (setting_link(opened, Station::Limits))
        }
        (live::closing(&opened.judged))
    }
}

/// State and sign of a finding.
fn sign(verdict: Verdict) -> (&'static str, &'static str) {
    match verdict {
        Verdict::Act => ("refused", "!"),
        Verdict::Watch => ("doubt", "!"),
        Verdict::Unknown => ("doubt", "?"),
        Verdict::Sound => ("kept", "✓"),
    }
}

fn of_one(saddle: &SaddleWork, split: bool) -> Markup {
    let (found, stops) = (saddle.assess(), saddle.stops());
    let of = Assessed::of(saddle, &found, &stops, saddle.job.bench);
    let id = |what: &str| {
        saddle
            .job
            .name
            .as_ref()
            .map_or_else(|| what.to_owned(), |name| format!("{what}-{name}"))
    };
    let headline = of.headline();
    let first = headline.first().map(String::as_str).unwrap_or_default();
    let clear = of.open().iter().all(|f| f.verdict == Verdict::Sound) && stops.is_empty();
    let sound = of.sound();
    html! {
        p.verdict.(if clear { "kept" } else { "doubt" }) { span.mark aria-hidden="true" { @if clear { "✓" } @else { "!" } } " " (first) }
        @for why in headline.iter().skip(1) { p.say.refused { span.mark aria-hidden="true" { "✕" } " " (why) } }
        section aria-labelledby=(id("findings")) {
            h2 id=(id("findings")) { "What to do first comes first" }
            ol.findings { @for finding in of.open() { (told(&finding)) } }
        }
        @if !sound.is_empty() {
            section aria-labelledby=(id("sound")) {
                h2 id=(id("sound")) { "In order" }
                div.scroll tabindex="0" role="region" aria-label="What is in order" { table.sound.by-rows {
                    thead { tr { th scope="col" { "What" } th scope="col" { "Figure" } th scope="col" { "Limit" } th scope="col" { "Where it comes from" } } }
                    tbody { @for row in &sound { tr {
                        th scope="row" { (row.name) } td { (row.figure) } td.limit { (row.limit) } td.words { (row.sources.join("; ")) }
                    } } }
                } }
            }
        }
        @if !split { (every_figure(&assess_page(&of, saddle.hazards()))) }
    }
}

fn told(finding: &FindingWords) -> Markup {
    let (state, mark) = sign(finding.verdict);
    html! {
        li {
            p.say.(state) { span.mark aria-hidden="true" { (mark) } " " (finding.head) }
            p { (finding.advice) }
        }
    }
}

fn every_figure(text: &str) -> Markup {
    html! { details { summary { "Every figure, as the command prints it" } pre tabindex="0" { (text) } } }
}

fn split_page(done: &Planned, saddles: &[SaddleWork]) -> String {
    let found: Vec<_> = saddles
        .iter()
        .map(|saddle| (saddle, saddle.assess(), saddle.stops()))
        .collect();
    let told: Vec<_> = found
        .iter()
        .map(|(saddle, found, stops)| {
            let of = Assessed::of(saddle, found, stops, done.job.bench);
            (of, saddle.hazards())
        })
        .collect();
    assess_pages(&done.job.title, &told)
}

/// The sheets for the owner, before the work and, with readings, after it.
fn for_the_owner(opened: &Opened, saddle: &SaddleWork) -> Markup {
    let stem = drawing::job_stem(opened.name.as_str(), saddle.job);
    let sets = [
        (true, "assess", "before the work: what is proposed, in plain words"),
        (
            saddle.job.strung.is_some(),
            "after",
            "after the work: what was done, and how it plays",
        ),
    ];
    html! {
        section aria-labelledby="owner" {
            h2 id="owner" { "For the owner" }
            ul.files { @for (_, word, what) in sets.iter().filter(|set| set.0) { li {
                @for (i, ending) in ["pdf", "svg", "png"].iter().enumerate() {
                    @let file = if i == 0 { format!("{stem}-{word}.pdf") } else { format!("{stem}-{word}-1.{ending}") };
                    a href=(download(opened, &file)) download { (ending.to_uppercase()) } " "
                }
                (what)
            } } }
            @if saddle.job.strung.is_none() { p.how { "The sheet after the work comes with the readings at pitch: " a href=(to(&opened.name, "strung")) { "Strung up" } "." } }
        }
    }
}

/// Where the neck could be set: the job for the saddle after it.
fn after_neck(bench: &Bench, opened: &Opened, saddle: &SaddleWork) -> Markup {
    html! {
        @if saddle.assess().neck.is_some() {
            section aria-labelledby="after-neck" {
                h2 id="after-neck" { "If the neck is set" }
                p.how { "A job of its own plans the saddle for after it, from this survey. A neck set cannot be undone. Read relief, gaps and slot again when it is done." }
                form method="post" action=(to(&opened.name, "after-neck")) { (hidden(bench, Some(opened))) button { "Begin the job for after the neck set" } }
            }
        }
    }
}

/// Begins the job for the saddle after the neck is set.
#[must_use]
pub fn begin_after_neck(bench: &Bench, ask: &Ask) -> Reply {
    let opened = match unchanged(bench, ask, "remedy") {
        Ok(opened) => opened,
        Err(reply) => return reply,
    };
    let back = to(&opened.name, "remedy");
    let refused = |why: &str| trouble(bench, ask, 422, why, &back);
    let saddles = opened.judged.saddles();
    let split = opened.judged.planned().is_some_and(Planned::is_split);
    let ([saddle], false) = (&saddles[..], split) else {
        return refused("How far a neck would have to be set is worked out for one saddle that carries all strings.");
    };
    let Some(neck) = saddle.assess().neck else {
        return refused(
            "There is no job for after a neck set: it needs the depth of the slot, and an angle of at most 6 degrees that gives the wanted exposure.",
        );
    };
    let made = job::after_neck(&opened.text, saddle.job, saddle.plan, &neck.survey).map_err(|why| why.to_string());
    let text = match made {
        Ok(text) => text,
        Err(why) => return refused(&format!("The job for after the neck set cannot be written: {why}.")),
    };
    if let Err(problems) = job::read(&text, &bench.desk().stocked().profiles) {
        let first = problems.first().map_or_else(String::new, ToString::to_string);
        return refused(&format!(
            "The job for after the neck set would not be in order: {first}"
        ));
    }
    let store = &bench.desk().store;
    let name = naming::of_title(&store.names(), &format!("{} after neck", opened.name));
    match store.create(&name, &text) {
        Ok(()) => Reply::See(to(&name, "survey")),
        Err(error) => super::store_trouble(bench, ask, &error, &back),
    }
}

#[cfg(test)]
mod tests {
    use job::Profiles;

    use super::*;
    use crate::examples;
    use crate::jobs::Version;
    use crate::memory::MemoryJobs;
    use crate::name::JobName;
    use crate::route::reply;
    use crate::talk::{Fields, Method};

    fn bench(text: &str) -> Bench {
        let bench = Bench::new(Box::<MemoryJobs>::default(), Profiles::built_in(), "token".to_owned());
        bench.desk().store.create(&JobName::parse("a").unwrap(), text).unwrap();
        bench
    }

    fn get(bench: &Bench, page: &str) -> String {
        match reply(bench, Method::Get, &format!("/job/a/{page}"), Fields::default(), false) {
            Reply::Page(200, page) => page.into_string(),
            other => panic!("{other:?}"),
        }
    }

    /// The same headline and findings as the command's, for every example that makes one saddle.
    #[test]
    fn it_says_what_the_command_says() {
        for (name, text) in examples::EXAMPLES {
            let bench = bench(text);
            let opened = bench.desk().open(&JobName::parse("a").unwrap()).unwrap();
            let shown = get(&bench, "remedy");
            for saddle in opened.judged.saddles() {
                let (found, stops) = (saddle.assess(), saddle.stops());
                let of = Assessed::of(&saddle, &found, &stops, saddle.job.bench);
                let heads = of.open().into_iter().flat_map(|finding| [finding.head, finding.advice]);
                for words in of.headline().into_iter().chain(heads) {
                    let words = html! { (words) }.into_string();
                    assert!(shown.contains(&words), "{name}: {words}\n{shown}");
                }
            }
            assert_eq!(
                shown.contains("stays, and what a saddle would mend"),
                opened.judged.saddles().is_empty()
            );
        }
    }

    #[test]
    fn the_job_for_after_the_neck_is_the_command_s() {
        let text = include_str!("../../../../examples/neck-set-due.toml");
        let bench = bench(text);
        let shown = get(&bench, "remedy");
        assert!(shown.contains("Begin the job for after the neck set"), "{shown}");
        let version = Version::of(text);
        let fields = Fields::parse(format!("version={}", version.as_str()).as_bytes());
        let to = reply(&bench, Method::Post, "/job/a/after-neck", fields, false);
        assert!(
            matches!(&to, Reply::See(to) if to == "/job/a-after-neck/survey"),
            "{to:?}"
        );
        let made = bench
            .desk()
            .store
            .read(&JobName::parse("a-after-neck").unwrap())
            .unwrap();
        let opened = bench.desk().open(&JobName::parse("a").unwrap()).unwrap();
        let saddles = opened.judged.saddles();
        let neck = saddles[0].assess().neck.unwrap();
        assert_eq!(
            made,
            job::after_neck(text, saddles[0].job, saddles[0].plan, &neck.survey).unwrap()
        );
    }

    #[test]
    fn the_owner_s_sheets_are_files_of_the_job() {
        let bench = bench(examples::text("parlour").unwrap());
        for (file, there) in [("a-assess.pdf", true), ("a-assess-1.svg", true), ("a-after.pdf", false)] {
            let got = reply(
                &bench,
                Method::Get,
                &format!("/job/a/out/{file}"),
                Fields::default(),
                false,
            );
            assert_eq!(matches!(got, Reply::File { .. }), there, "{file}: {got:?}");
        }
    }
}
