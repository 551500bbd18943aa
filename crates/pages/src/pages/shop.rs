//! "Your shop": what the lists of the jobs are made of, by kind: the shop's own, which are added, changed and taken away here, and what is
//! built in.

use job::{ShopFile, ShopKind, shop_names};
use maud::{Markup, html};

use super::shop_file::{CHANGED, SHOP, SHOWN, Unsaved, at, named_by, save, there};
use super::{frame, hidden, store_trouble, trouble};
use crate::bench::Bench;
use crate::desk::Stocked;
use crate::jobs::OWN_PROFILES;
use crate::notice::{Notice, WayBack};
use crate::talk::{Ask, Reply};

/// The page.
#[must_use]
pub fn page(bench: &Bench, _: &Ask) -> Reply {
    let stocked = bench.desk().stocked();
    let own = ShopFile::of(&stocked.text).ok();
    let main = html! {
        h1 { "Your shop" }
        p.how { "What the lists of a job are made of. Measure your own: what is built in is invented, or what is usual." }
        @if !stocked.trouble.is_empty() { (broken(&stocked)) }
        nav.jump aria-label="On this page" { ul { @for kind in ShopKind::ALL { li { a href={ "#" (kind.key()) } { (kind.words().1) } } } } }
        @for kind in ShopKind::ALL {
            section aria-labelledby=(kind.key()) {
                h2 id=(kind.key()) { (kind.words().1) }
                (of_kind(kind, own.as_ref(), stocked.trouble.is_empty()))
            }
        }
        p.small { "What is your own is kept with the jobs, in " code { (OWN_PROFILES) } ": the command reads it there, for a job of the same folder." }
    };
    Reply::Page(200, frame(bench, "Your shop", None, &main))
}

/// That the file has a slip, which only a hand can have made.
fn broken(stocked: &Stocked) -> Markup {
    html! {
        div.say.refused role="alert" {
            p { span.mark aria-hidden="true" { "\u{2715}" } " What is your own does not count as it stands: the file " code { (OWN_PROFILES) } " has a slip. Mend it by hand, or move it away; until then nothing is changed here." }
            ul { @for why in stocked.trouble.iter().take(SHOWN) { li { (why) } } }
        }
    }
}

fn of_kind(kind: ShopKind, own: Option<&ShopFile>, sound: bool) -> Markup {
    let built_in = shop_names(kind);
    let own: Vec<String> = own.map(|own| own.names(kind)).unwrap_or_default();
    html! {
        @if own.is_empty() { p.how { "None of your own yet." } } @else {
            ul.jobs.list {
                @for name in &own {
                    li {
                        span { (name) }
                        span.small { "Your own" @if built_in.contains(name) { ", in the place of the built-in one" } ". " a.act href=(there("entry", kind, "own", name)) { "Change" } " " a.act href=(there("away", kind, "own", name)) { "Take away" } }
                    }
                }
            }
        }
        @if sound {
            form.entry method="get" action={ (SHOP) "/entry" } {
                input type="hidden" name="kind" value=(kind.key());
                label for={ "from-" (kind.key()) } { "Begin from" }
                select id={ "from-" (kind.key()) } name="from" {
                    optgroup label="Built in" { @for name in built_in.iter().filter(|name| !own.contains(name)) { option value=(name) { (name) } } }
                    @if !own.is_empty() { optgroup label="Your own" { @for name in &own { option value=(name) { (name) } } } }
                }
                button.quiet { "Add your own" }
            }
        }
        details { summary { (built_in.len()) " built in" } ul { @for name in &built_in { li { (name) } } } }
    }
}

/// The file of the shop's own, if it can be changed and has a thing of this name and kind.
fn own(bench: &Bench, ask: &Ask) -> Result<(ShopFile, ShopKind, String), Reply> {
    let gone = || trouble(bench, ask, 404, "Your shop has nothing of this name.", SHOP);
    let kind = ShopKind::of(ask.fields.text("kind")).ok_or_else(gone)?;
    let stocked = bench.desk().stocked();
    let file = ShopFile::of(&stocked.text).map_err(|_| gone())?;
    let name = ask.fields.text("own").to_owned();
    if file.names(kind).contains(&name) {
        Ok((file, kind, name))
    } else {
        Err(gone())
    }
}

/// Before something is taken away: which jobs name it.
#[must_use]
pub fn away(bench: &Bench, ask: &Ask) -> Reply {
    let (_, kind, name) = match own(bench, ask) {
        Ok(own) => own,
        Err(reply) => return reply,
    };
    let main = html! {
        p.where { a href=(at(kind)) { "To “Your shop”" } }
        h1 { "Take away “" (name) "”?" }
        (named_by(bench, kind, &name, false))
        form method="post" action={ (SHOP) "/away" } {
            (hidden(bench, None))
            input type="hidden" name="version" value=(bench.desk().stocked().version().as_str());
            input type="hidden" name="kind" value=(kind.key());
            input type="hidden" name="own" value=(name);
            div.go { button { "Take it away" } a.button.quiet href=(at(kind)) { "Leave it" } }
        }
    };
    Reply::Page(200, frame(bench, "Take away", None, &main))
}

/// Takes something away.
#[must_use]
pub fn take_away(bench: &Bench, ask: &Ask) -> Reply {
    let (mut file, kind, name) = match own(bench, ask) {
        Ok(own) => own,
        Err(reply) => return reply,
    };
    let Some(taken) = file.take(kind, &name) else {
        return trouble(bench, ask, 404, "Your shop has nothing of this name.", SHOP);
    };
    if let Err(reply) = saved(bench, ask, &file) {
        return reply;
    }
    bench.notices.see(
        &at(kind),
        Notice::Done {
            words: format!("“{name}” is taken away."),
            back: Some(WayBack {
                label: "Put it back".to_owned(),
                action: format!("{SHOP}/back"),
                fields: vec![
                    ("version", bench.desk().stocked().version().as_str().to_owned()),
                    ("text", taken),
                ],
            }),
        },
    )
}

/// Puts something back that was taken away.
#[must_use]
pub fn back(bench: &Bench, ask: &Ask) -> Reply {
    let stocked = bench.desk().stocked();
    let text = ask.fields.text("text");
    let files = ShopFile::of(&stocked.text).and_then(|file| Ok((file.joined(text)?, file, ShopFile::of(text)?)));
    let Ok((joined, file, taken)) = files else {
        let why = "It cannot be put back: what was taken away cannot be read.";
        return trouble(bench, ask, 422, why, SHOP);
    };
    let mut names = ShopKind::ALL
        .into_iter()
        .flat_map(|kind| taken.names(kind).into_iter().map(move |name| (kind, name)));
    let Some((kind, name)) = names.next() else {
        return trouble(bench, ask, 422, "There is nothing to put back.", SHOP);
    };
    if file.names(kind).contains(&name) {
        let why = "Nothing was put back: there is one of this name already.";
        return trouble(bench, ask, 409, why, SHOP);
    }
    let (place, words) = (at(kind), format!("“{name}” is there again."));
    let file = joined;
    match saved(bench, ask, &file) {
        Ok(()) => bench.notices.see(&place, Notice::Done { words, back: None }),
        Err(reply) => reply,
    }
}

/// Saves the file, if it is sound as a whole and still as the page showed it.
fn saved(bench: &Bench, ask: &Ask, file: &ShopFile) -> Result<(), Reply> {
    match save(bench, ask.fields.text("version"), file) {
        Ok(()) => Ok(()),
        Err(Unsaved::Changed) => Err(trouble(bench, ask, 409, CHANGED, SHOP)),
        Err(Unsaved::Refused(why)) => Err(trouble(bench, ask, 422, &why, SHOP)),
        Err(Unsaved::Store(error)) => Err(store_trouble(bench, ask, &error, SHOP)),
    }
}

#[cfg(test)]
mod tests {
    use job::Profiles;

    use super::*;
    use crate::jobs::{Jobs, Version};
    use crate::memory::MemoryJobs;
    use crate::name::JobName;
    use crate::route::reply;
    use crate::talk::{Fields, Method};

    const SOUND: &str = include_str!("../../../../examples/sound.toml");

    fn bench() -> (Bench, MemoryJobs) {
        let jobs = MemoryJobs::default();
        let bench = Bench::new(Box::new(jobs.clone()), Profiles::built_in(), "token".to_owned());
        (bench, jobs)
    }

    fn get(bench: &Bench, address: &str) -> (u16, String) {
        let (path, query) = address.split_once('?').unwrap_or((address, ""));
        let query = query.split('#').next().unwrap_or_default();
        match reply(bench, Method::Get, path, Fields::parse(query.as_bytes()), false) {
            Reply::Page(status, page) => (status, page.into_string()),
            other => panic!("{other:?}"),
        }
    }

    /// Sends a form, and the page that comes then.
    fn post(bench: &Bench, path: &str, fields: &[(String, String)]) -> (String, String) {
        let body = form_urlencoded::Serializer::new(String::new())
            .extend_pairs(fields)
            .finish();
        match reply(bench, Method::Post, path, Fields::parse(body.as_bytes()), false) {
            Reply::See(there) => {
                let (_, page) = get(bench, &there);
                (there, page)
            }
            other => panic!("{other:?}"),
        }
    }

    fn attribute<'a>(tag: &'a str, name: &str) -> Option<&'a str> {
        let (_, rest) = tag.split_once(&format!("{name}=\""))?;
        Some(rest.split('"').next().unwrap_or_default())
    }

    fn unescaped(text: &str) -> String {
        let marks = [("&quot;", "\""), ("&lt;", "<"), ("&gt;", ">"), ("&amp;", "&")];
        marks
            .iter()
            .fold(text.to_owned(), |text, (from, to)| text.replace(from, to))
    }

    /// The fields of the form on a page, as a browser sends them, with changes.
    fn form(page: &str, changes: &[(&str, &str)]) -> Vec<(String, String)> {
        let (_, form) = page.split_once("method=\"post\"").unwrap();
        let (form, _) = form.split_once("</form>").unwrap();
        let inputs = form.split("<input").skip(1).map(|tag| tag.split('>').next().unwrap());
        let mut fields: Vec<(String, String)> = inputs
            .map(|tag| {
                (
                    attribute(tag, "name").unwrap().to_owned(),
                    unescaped(attribute(tag, "value").unwrap()),
                )
            })
            .collect();
        for select in form.split("<select").skip(1) {
            let (head, body) = select.split_once('>').unwrap();
            let (body, _) = body.split_once("</select>").unwrap();
            let options: Vec<&str> = body
                .split("<option")
                .skip(1)
                .map(|tag| tag.split('>').next().unwrap())
                .collect();
            let chosen = options
                .iter()
                .find(|tag| tag.contains(" selected"))
                .or(options.first())
                .unwrap();
            fields.push((
                attribute(head, "name").unwrap().to_owned(),
                unescaped(attribute(chosen, "value").unwrap()),
            ));
        }
        for (name, value) in changes {
            let at = fields
                .iter()
                .position(|(own, _)| own == name)
                .unwrap_or_else(|| panic!("{name}"));
            fields[at].1 = (*value).to_owned();
        }
        fields
    }

    fn add(bench: &Bench, kind: ShopKind, from: &str, changes: &[(&str, &str)]) -> (String, String) {
        let (status, page) = get(bench, &there("entry", kind, "from", from));
        assert_eq!(status, 200, "{from}");
        post(bench, "/shop/entry", &form(&page, changes))
    }

    fn list(bench: &Bench, kind: ShopKind) -> Vec<String> {
        ShopFile::of(&bench.desk().stocked().text).unwrap().names(kind)
    }

    /// One's own of every kind, as it is begun: in the lists at once, and in a file that the command's reader takes.
    #[test]
    fn things_of_every_kind_can_be_begun_from() {
        const OF_EACH: usize = 3;
        let (bench, jobs) = bench();
        for kind in ShopKind::ALL {
            for name in shop_names(kind).into_iter().take(OF_EACH) {
                let (to, page) = add(&bench, kind, &name, &[]);
                assert!(
                    to.starts_with("/shop?said=") && page.contains("is kept."),
                    "{name}: {to} {page}"
                );
            }
            assert_eq!(list(&bench, kind).len(), OF_EACH);
        }
        let mut profiles = Profiles::built_in();
        profiles.add_text("own", &jobs.read_profiles().unwrap()).unwrap();
        assert!(profiles.machines().iter().any(|one| one.name == "my small belt router"));
        assert_eq!(profiles, bench.desk().stocked().profiles);
        let (_, page) = get(&bench, SHOP);
        assert!(
            page.contains("Your own, in the place of the built-in one"),
            "how bone is cut has the material's own name"
        );
    }

    #[test]
    fn what_is_wrong_is_told_and_nothing_kept() {
        let (bench, jobs) = bench();
        let changes = [("v.travel.0", "300"), ("v.name", "mine \"and\" <b>")];
        let (to, page) = add(&bench, ShopKind::Machine, "small belt router", &changes);
        assert!(
            to.starts_with("/shop/entry?kind=machine&from=small+belt+router&said="),
            "{to}"
        );
        assert!(
            page.contains("id=\"f-travel-0-say\"") && page.contains("has no unit") && page.contains("value=\"300\"")
        );
        assert!(page.contains("mine &quot;and&quot; &lt;b&gt;"));
        assert_eq!(jobs.read_profiles().unwrap(), "");
        // Two of one name.
        add(&bench, ShopKind::Machine, "small belt router", &[]);
        let (_, page) = add(
            &bench,
            ShopKind::Machine,
            "small screw router",
            &[("v.name", "my small belt router")],
        );
        assert!(page.contains("You have one of this name already"), "{page}");
        let (_, page) = get(&bench, &there("entry", ShopKind::Machine, "from", "small belt router"));
        assert!(page.contains("value=\"my small belt router 2\""));
        for (page, status) in [
            ("entry?kind=machine&from=none", 404),
            ("entry?kind=none&from=bone", 404),
            ("away?kind=machine&own=x", 404),
        ] {
            assert_eq!(get(&bench, &format!("/shop/{page}")).0, status, "{page}");
        }
    }

    /// What was remembered of a job does not outlive a change: how it stands, what was sampled of it, its programs.
    #[test]
    fn what_is_remembered_of_a_job_goes_by_the_profiles_too() {
        let (bench, jobs) = bench();
        let a = JobName::parse("a").unwrap();
        let text = format!("{SOUND}\n[cut]\nmachine = \"mine\"\n");
        jobs.create(&a, &text).unwrap();
        let state = || bench.summaries.of(bench.desk(), &a).unwrap().state.clone();
        let judged_as = || bench.desk().open(&a).unwrap().judged_as();
        assert_eq!((state().as_str(), judged_as()), ("1 to go", Version::of(&text)));
        add(&bench, ShopKind::Machine, "small ballscrew mill", &[("v.name", "mine")]);
        let planned = state();
        assert!(!planned.contains("to go"), "{planned}");
        let first = judged_as();
        assert_ne!(first, Version::of(&text));
        let program = || match get(&bench, "/job/a/programs?make=yes") {
            (200, page) => page.contains("In order"),
            other => panic!("{other:?}"),
        };
        assert!(program());
        let (_, page) = get(&bench, &there("entry", ShopKind::Machine, "own", "mine"));
        assert!(page.contains("1 job names it"), "{page}");
        post(&bench, "/shop/entry", &form(&page, &[("v.travel.0", "30 mm")]));
        assert!(judged_as() != first && !program());
        // By hand, in another window, or by another bench.
        let now = jobs.read_profiles().unwrap();
        jobs.save_profiles(&Version::of(&now), "# nothing").unwrap();
        assert_eq!(state(), "1 to go");
    }

    #[test]
    fn taken_away_and_put_back() {
        let (bench, jobs) = bench();
        add(&bench, ShopKind::Material, "bone", &[("v.name", "own bone")]);
        let a = JobName::parse("a").unwrap();
        jobs.create(&a, &SOUND.replace("material = \"bone\"", "material = \"own bone\""))
            .unwrap();
        jobs.create(&JobName::parse("b").unwrap(), "title = \"own bone\"\n")
            .unwrap();
        let before = jobs.read_profiles().unwrap();
        let (_, page) = get(&bench, &there("away", ShopKind::Material, "own", "own bone"));
        assert!(page.contains("1 job names it; without it nothing is planned"), "{page}");
        // Meanwhile something was changed elsewhere.
        let late = form(&page, &[("version", "0")]);
        let (_, refused) = post(&bench, "/shop/away", &late);
        assert!(refused.contains("was changed elsewhere"), "{refused}");
        assert_eq!(jobs.read_profiles().unwrap(), before);
        let (_, page) = post(&bench, "/shop/away", &form(&page, &[]));
        assert!(page.contains("is taken away.") && list(&bench, ShopKind::Material).is_empty());
        let (_, page) = page.split_once("class=\"toast\"").unwrap();
        let (_, page) = post(&bench, "/shop/back", &form(page, &[]));
        assert!(page.contains("is there again."), "{page}");
        assert_eq!(list(&bench, ShopKind::Material), ["own bone"]);
        assert!(bench.desk().open(&a).unwrap().judged.errors() == 0);
    }

    /// A job goes by what the strings of its set are made of.
    #[test]
    fn what_strings_are_made_of_is_named_through_their_set() {
        let (bench, jobs) = bench();
        add(
            &bench,
            ShopKind::Wrap,
            "phosphor bronze",
            &[("v.name", "phosphor bronze"), ("v.density", "8.7")],
        );
        add(
            &bench,
            ShopKind::StringMaterial,
            "steel",
            &[("v.name", "own steel"), ("v.modulus", "190")],
        );
        jobs.create(&JobName::parse("a").unwrap(), SOUND).unwrap();
        let (_, page) = get(&bench, &there("away", ShopKind::Wrap, "own", "phosphor bronze"));
        assert!(
            page.contains("1 job names it, or a string set that has it; without it the built-in one"),
            "{page}"
        );
        let (_, page) = get(&bench, &there("away", ShopKind::StringMaterial, "own", "own steel"));
        assert!(page.contains("No job names it."), "{page}");
        assert_eq!(bench.desk().stocked().profiles.wrap("phosphor bronze"), Some(8.7));
    }

    /// A file that a hand has spoilt counts for nothing, is never written over, and says where it is amiss.
    #[test]
    fn a_file_with_a_slip_is_told_and_left_alone() {
        let (bench, jobs) = bench();
        add(&bench, ShopKind::Machine, "small belt router", &[]);
        for slip in ["machine = ", "[[machine]]\nname = \"x\"\n", "[[cutter]]\nnmae = 1\n"] {
            let now = jobs.read_profiles().unwrap();
            jobs.save_profiles(&Version::of(&now), slip).unwrap();
            let (status, page) = get(&bench, SHOP);
            assert!(
                status == 200 && page.contains("has a slip") && page.contains("Line ") && !page.contains('`'),
                "{page}"
            );
            assert!(!page.contains("Add your own"));
            assert_eq!(bench.desk().stocked().profiles, Profiles::built_in());
            let address = there("entry", ShopKind::Machine, "from", "small belt router");
            let (status, page) = get(&bench, &address);
            if status == 200 {
                let (_, page) = post(&bench, "/shop/entry", &form(&page, &[]));
                assert!(
                    page.contains("would not hold") || page.contains("Nothing was"),
                    "{page}"
                );
            }
            assert_eq!(jobs.read_profiles().unwrap(), slip);
        }
    }
}
