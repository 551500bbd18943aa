//! Every address, and the page that answers there.

use maud::PreEscaped;
use percent_encoding::percent_decode_str;

use crate::bench::Bench;
use crate::jobs::Version;
use crate::name::JobName;
use crate::notice::{Notice, with_words};
use crate::pages::{
    self, about, entries, entry, filing, hear, home, plan, programs, remedy, sheets, shop, shop_entry, station, strung,
    sureness, survey, text, versions, work,
};
use crate::talk::{Ask, Fields, Method, Reply};

type Page = fn(&Bench, &Ask) -> Reply;

/// What answers at an address: to [`Method::Get`], and to [`Method::Post`].
#[derive(Debug, Clone, Copy)]
struct Route {
    get: Option<Page>,
    post: Option<Page>,
}

const fn get(page: Page) -> Route {
    Route {
        get: Some(page),
        post: None,
    }
}

const fn post(page: Page) -> Route {
    Route {
        get: None,
        post: Some(page),
    }
}

const fn both(page: Page, change: Page) -> Route {
    Route {
        get: Some(page),
        post: Some(change),
    }
}

/// What answers at a path, and the parts of it that are names: of a job, of a file.
fn find(path: &str) -> Option<(Route, &str, &str)> {
    let parts: Vec<&str> = path.strip_prefix('/')?.split('/').collect();
    Some(match parts[..] {
        [""] => (get(home::page), "", ""),
        ["new"] => (post(home::begin), "", ""),
        ["shop"] => (get(shop::page), "", ""),
        ["shop", "entry"] => (both(shop_entry::page, shop_entry::keep), "", ""),
        ["shop", "away"] => (both(shop::away, shop::take_away), "", ""),
        ["shop", "back"] => (post(shop::back), "", ""),
        ["unbin"] => (post(about::unbin), "", ""),
        ["said"] => (get(said), "", ""),
        ["bench.css"] => (get(css), "", ""),
        ["bench.js"] => (get(js), "", ""),
        ["keys.js"] => (get(keys), "", ""),
        ["hear.js"] => (get(hear_js), "", ""),
        ["sampler.js"] => (get(sampler), "", ""),
        ["jobs.js"] => (get(jobs), "", ""),
        ["icon.svg"] => (get(icon), "", ""),
        ["job", name, "strung", "try"] => (post(|b, a| strung::post(b, a, true)), name, ""),
        ["job", name, "hear", "try"] => (post(hear::attempt), name, ""),
        ["job", name, "out", file] if !file.is_empty() => (get(sheets::file), name, file),
        ["job", name, page] => (of_job(page)?, name, ""),
        _ => return None,
    })
}

fn of_job(page: &str) -> Option<Route> {
    Some(match page {
        "survey" => get(survey::page),
        "ask" => get(station::page),
        "station" => post(station::post),
        "plan" => get(plan::page),
        "sheets" => get(sheets::page),
        "programs" => get(programs::page),
        "checking" => get(programs::state),
        "stop" => post(programs::stop),
        "filing" => get(filing::page),
        "hear" => both(hear::page, hear::keep),
        "remedy" => get(remedy::page),
        "sureness" => get(sureness::page),
        "after-neck" => post(remedy::begin_after_neck),
        "strung" => both(strung::page, |b, a| strung::post(b, a, false)),
        "work" => get(work::page),
        "more" => get(entries::page),
        "entry" => both(entry::page, entry::keep),
        "entry-away" => post(entry::away),
        "text" => both(text::page, text::post),
        "answer" => post(survey::answer),
        "try" => post(survey::attempt),
        "tick" => post(work::tick),
        "undo" => post(|b, a| pages::step(b, a, true)),
        "redo" => post(|b, a| pages::step(b, a, false)),
        "about" => get(about::page),
        "rename" => post(about::rename),
        "away" => post(about::away),
        "bin" => post(about::bin),
        "versions" => get(versions::page),
        "version" => get(versions::one),
        "back" => post(versions::back),
        _ => return None,
    })
}

fn css(_: &Bench, _: &Ask) -> Reply {
    asset("text/css; charset=utf-8", include_str!("../assets/bench.css"))
}

fn js(_: &Bench, _: &Ask) -> Reply {
    asset("text/javascript; charset=utf-8", include_str!("../assets/bench.js"))
}

fn keys(_: &Bench, _: &Ask) -> Reply {
    asset("text/javascript; charset=utf-8", include_str!("../assets/keys.js"))
}

fn hear_js(_: &Bench, _: &Ask) -> Reply {
    asset("text/javascript; charset=utf-8", include_str!("../assets/hear.js"))
}

fn sampler(_: &Bench, _: &Ask) -> Reply {
    asset("text/javascript; charset=utf-8", include_str!("../assets/sampler.js"))
}

fn jobs(_: &Bench, _: &Ask) -> Reply {
    asset("text/javascript; charset=utf-8", include_str!("../assets/jobs.js"))
}

/// Where a post was refused that has no page of its own: why stands in the place of this, as long as it is known.
fn said(_: &Bench, _: &Ask) -> Reply {
    Reply::See("/".to_owned())
}

fn icon(_: &Bench, _: &Ask) -> Reply {
    asset("image/svg+xml", include_str!("../assets/icon.svg"))
}

fn asset(kind: &'static str, text: &str) -> Reply {
    Reply::File {
        kind,
        save_as: None,
        content: text.as_bytes().to_vec(),
    }
}

/// The reply to one request. `path` is that of the address as sent, percent signs and all; `fields` are those of the address or, in
/// a post, of the body; `script` says that the page's script asks and reads JSON. Who may ask is the caller's to decide, and
/// that a post carries the token.
#[must_use]
pub fn reply(bench: &Bench, method: Method, path: &str, fields: Fields, script: bool) -> Reply {
    let ask = Ask {
        fields,
        script,
        ..Ask::default()
    };
    answered(bench, method, path, ask)
}

/// As [`reply`], to a post whose body is a sound: `fields` are those of the address.
#[must_use]
pub fn reply_to_sound(bench: &Bench, path: &str, fields: Fields, sound: Vec<u8>, script: bool) -> Reply {
    let ask = Ask {
        fields,
        sound: Some(sound),
        script,
        ..Ask::default()
    };
    answered(bench, Method::Post, path, ask)
}

/// Whether a post there brings a sound, of at most [`MOST_SOUND`](crate::MOST_SOUND) bytes, and no form.
#[must_use]
pub fn takes_sound(path: &str) -> bool {
    of_hearing(path) == Some(true)
}

/// Whether the page there asks for the microphone.
#[must_use]
pub fn listens(path: &str) -> bool {
    of_hearing(path) == Some(false)
}

/// Of the two addresses of hearing a job's strings: whether it is the one that takes a sound.
fn of_hearing(path: &str) -> Option<bool> {
    let parts: Vec<&str> = path.split('/').collect();
    match parts[..] {
        ["", "job", _, "hear"] => Some(false),
        ["", "job", _, "hear", "try"] => Some(true),
        _ => None,
    }
}

fn answered(bench: &Bench, method: Method, path: &str, ask: Ask) -> Reply {
    let Some((route, name, file)) = find(path) else {
        return pages::trouble(bench, &ask, 404, "There is no page at this address.", "/");
    };
    // What is no UTF-8 names nothing here; the sign that stands for it is in no name.
    let part = |part: &str| percent_decode_str(part).decode_utf8_lossy().into_owned();
    let ask = Ask {
        name: part(name),
        file: part(file),
        ..ask
    };
    let page = match method {
        Method::Get => route.get,
        Method::Post => route.post,
    };
    match page {
        Some(page) => settled(bench, method, path, &ask, page(bench, &ask)),
        None => pages::trouble(bench, &ask, 405, "This address is not asked in this way.", "/"),
    }
}

/// A page that says what it was asked to say; and of a post that was refused, the page that says so, which can be loaded again and then
/// sends nothing.
fn settled(bench: &Bench, method: Method, path: &str, ask: &Ask, reply: Reply) -> Reply {
    let notice = bench.notices.of(ask);
    match (method, reply) {
        (Method::Post, Reply::Page(status @ 400..=499, page)) if !ask.script => {
            let there = if methods(path).contains(&Method::Get) {
                path
            } else {
                "/said"
            };
            let text = ask.fields.text("version").to_owned();
            bench.notices.see(
                there,
                Notice::Page {
                    status,
                    page: page.into_string(),
                    path: path.to_owned(),
                    version: text,
                },
            )
        }
        (Method::Get, reply) => match (notice.as_deref(), reply) {
            (
                Some(Notice::Page {
                    status,
                    page,
                    path: of,
                    version,
                }),
                reply,
            ) if path == "/said" || path == of && (*status == 409 || still(bench, ask, version)) => {
                drop(reply);
                Reply::Page(*status, PreEscaped(page.clone()))
            }
            (Some(Notice::Done { words, back }), Reply::Page(status, page)) => {
                Reply::Page(status, with_words(page, bench.token(), words, back.as_ref()))
            }
            (_, reply) => reply,
        },
        (_, reply) => reply,
    }
}

/// Whether the job of a page is as it was when this version was told.
fn still(bench: &Bench, ask: &Ask, version: &str) -> bool {
    let name = JobName::parse(&ask.name);
    let text = name.and_then(|name| bench.desk().store.read(&name).ok());
    text.is_some_and(|text| Version::of(&text).as_str() == version)
}

/// The methods that an address takes; none if there is no page.
#[must_use]
pub fn methods(path: &str) -> Vec<Method> {
    let Some((route, ..)) = find(path) else {
        return Vec::new();
    };
    let get = route.get.map(|_| Method::Get);
    get.into_iter().chain(route.post.map(|_| Method::Post)).collect()
}

#[cfg(test)]
mod tests {
    use job::Profiles;

    use super::*;
    use crate::examples::EXAMPLES;
    use crate::jobs::Jobs;
    use crate::memory::MemoryJobs;

    fn bench() -> Bench {
        let jobs = MemoryJobs::default();
        for (stem, text) in EXAMPLES {
            jobs.create(&JobName::parse(stem).unwrap(), text).unwrap();
        }
        Bench::new(Box::new(jobs), Profiles::built_in(), "token of the test".to_owned())
    }

    fn get(bench: &Bench, path: &str) -> Reply {
        reply(bench, Method::Get, path, Fields::default(), false)
    }

    fn page(reply: Reply) -> (u16, String) {
        match reply {
            Reply::Page(status, page) => (status, page.into_string()),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn every_page_of_a_job_answers_without_a_server() {
        let bench = bench();
        let (status, home) = page(get(&bench, "/"));
        assert!(status == 200 && home.contains("href=\"/job/parlour/plan\"") && home.contains("token of the test"));
        for tab in [
            "survey", "ask", "plan", "sheets", "programs", "filing", "strung", "work", "text", "hear",
        ] {
            let (status, text) = page(get(&bench, &format!("/job/parlour/{tab}")));
            assert!(
                status == 200 && text.contains("data-job=\"parlour\""),
                "{tab}: {status}"
            );
        }
        let Reply::File { kind, content, .. } = get(&bench, "/job/parlour/out/parlour.pdf") else {
            panic!("no file")
        };
        assert!(kind == "application/pdf" && content.starts_with(b"%PDF"));
    }

    /// How sure it is as read, with the first steps of what to read next: beside the survey, for each saddle, and not where none is made.
    #[test]
    fn what_to_read_next_stands_beside_the_survey() {
        let bench = bench();
        let survey = |job: &str| page(get(&bench, &format!("/job/{job}/survey"))).1;
        let parlour = survey("parlour");
        let done = ::work::planned(
            job::read(
                EXAMPLES.iter().find(|(stem, _)| *stem == "parlour").unwrap().1,
                &Profiles::built_in(),
            )
            .unwrap()
            .job,
        );
        let ask = ::work::NextAsk {
            kinds: 3,
            ..::work::NextAsk::default()
        };
        let profiles = Profiles::built_in();
        let next = done
            .saddle()
            .unwrap()
            .next(&::work::Shop::usual(&profiles), &ask)
            .unwrap();
        assert!(parlour.contains(&report::now_words(&next, done.job.bench)), "{parlour}");
        let numbers: Vec<u32> = done.strings().map(|(number, _)| number).collect();
        let steps = report::next_steps(&next.kinds, &numbers, done.job.bench);
        assert_eq!(steps.len(), 3);
        for (chance, what) in steps {
            let what = what.replace('\'', "&#39;");
            assert!(
                parlour.contains(&format!("{what}: <b>{chance}</b>")),
                "{what} {chance}\n{parlour}"
            );
        }
        assert_eq!(survey("split-saddle").matches("How sure it is").count(), 2);
        assert!(!survey("nut-only").contains("How sure it is"));
    }

    /// Of a sound job nothing is said to be missing, whoever wrote its file; of one that is begun it is.
    #[test]
    fn the_stations_say_what_is_missing() {
        let bench = bench();
        for (stem, _) in EXAMPLES {
            let (_, page) = page(get(&bench, &format!("/job/{stem}/survey")));
            let labels = page
                .match_indices("aria-label=\"")
                .filter_map(|(at, found)| page[at + found.len()..].split('"').next());
            let missing: Vec<&str> = labels.filter(|label| label.contains(" missing")).collect();
            assert!(
                page.contains("class=\"stations\"") && missing.is_empty(),
                "{stem}: {missing:?}"
            );
        }
        let (text, _) = bench
            .desk()
            .fresh(&[("title", "A"), ("ask.part", "saddle"), ("unit", "mm")], &[]);
        bench
            .desk()
            .store
            .create(&JobName::parse("begun").unwrap(), &text)
            .unwrap();
        let (_, page) = page(get(&bench, "/job/begun/survey"));
        assert!(
            page.contains("The slot: 2 missing") || page.contains("The slot: 1 missing"),
            "{page}"
        );
    }

    /// The picture of what was read stands beside the survey of every job, and its sheets are there under the names that the page has.
    #[test]
    fn what_was_read_stands_beside_the_survey() {
        let bench = bench();
        let attribute = |text: &str, start: &str| -> Vec<String> {
            let all = text.split(start).skip(1);
            all.filter_map(|rest| rest.split('"').next().map(str::to_owned))
                .collect()
        };
        for (job, pictures) in [("parlour", 1), ("split-saddle", 2), ("nut-only", 1)] {
            let survey = page(get(&bench, &format!("/job/{job}/survey"))).1;
            assert_eq!(survey.matches("<svg class=\"view read\"").count(), pictures, "{job}");
            let sheets: Vec<String> = attribute(&survey, "href=\"")
                .into_iter()
                .filter(|to| to.contains("-check"))
                .collect();
            assert_eq!(sheets.len(), 3 * pictures, "{job}");
            for sheet in sheets {
                let path = sheet.split('?').next().unwrap();
                let Reply::File { kind, content, .. } = get(&bench, path) else {
                    panic!("{path}")
                };
                let ending = kind.rsplit('/').next().unwrap().trim_end_matches("+xml");
                assert!(
                    !content.is_empty() && path.ends_with(&format!(".{ending}")),
                    "{path} {kind}"
                );
            }
            for name in [
                "-check-0.svg",
                "-check-2.svg",
                "-check.svg",
                "-check.dxf",
                "-checked.pdf",
            ] {
                let (status, _) = page(get(&bench, &format!("/job/{job}/out/{job}{name}")));
                assert_eq!(status, 404, "{job}{name}");
            }
        }
    }

    #[test]
    fn what_the_pages_name_is_there() {
        let bench = bench();
        for (path, kind) in [
            ("/bench.css", "text/css; charset=utf-8"),
            ("/bench.js", "text/javascript; charset=utf-8"),
            ("/keys.js", "text/javascript; charset=utf-8"),
            ("/hear.js", "text/javascript; charset=utf-8"),
            ("/sampler.js", "text/javascript; charset=utf-8"),
            ("/jobs.js", "text/javascript; charset=utf-8"),
            ("/icon.svg", "image/svg+xml"),
        ] {
            let Reply::File {
                kind: told, content, ..
            } = get(&bench, path)
            else {
                panic!("{path}")
            };
            assert!(told == kind && !content.is_empty(), "{path}");
        }
    }

    /// A path is read part by part as it was sent; only names are decoded, after it was split.
    #[test]
    fn other_addresses_are_told_apart() {
        let bench = bench();
        let nowhere = "There is no page at this address.";
        for path in [
            "",
            "//",
            "/nowhere",
            "/job",
            "/job/parlour",
            "/job/parlour/",
            "/job/parlour/survey/",
            "/job/parlour/%73urvey",
            "/job/parlour/out/",
            "/job/parlour/out/a/b",
            "/bench.css/",
        ] {
            let (status, text) = page(get(&bench, path));
            assert!(status == 404 && text.contains(nowhere), "{path}");
            assert!(methods(path).is_empty(), "{path}");
        }
        for path in ["/job//survey", "/job/a%2fb/survey", "/job/%ff/survey", "/job/none/plan"] {
            let (status, text) = page(get(&bench, path));
            assert!(status == 404 && text.contains("There is no job of this name"), "{path}");
        }
        assert_eq!(page(get(&bench, "/job/p%61rlour/survey")).0, 200);
        assert_eq!(page(get(&bench, "/job/parlour/out/other.pdf")).0, 404);
    }

    #[test]
    fn an_address_takes_its_own_methods() {
        let bench = bench();
        for (path, of) in [
            ("/", &[Method::Get][..]),
            ("/new", &[Method::Post]),
            ("/shop", &[Method::Get]),
            ("/shop/entry", &[Method::Get, Method::Post]),
            ("/shop/away", &[Method::Get, Method::Post]),
            ("/shop/back", &[Method::Post]),
            ("/bench.css", &[Method::Get]),
            ("/job/parlour/plan", &[Method::Get]),
            ("/job/parlour/text", &[Method::Get, Method::Post]),
            ("/job/parlour/strung", &[Method::Get, Method::Post]),
            ("/job/parlour/strung/try", &[Method::Post]),
            ("/job/parlour/hear", &[Method::Get, Method::Post]),
            ("/job/parlour/hear/try", &[Method::Post]),
            ("/job/parlour/undo", &[Method::Post]),
            ("/job/parlour/out/parlour.pdf", &[Method::Get]),
        ] {
            assert_eq!(methods(path), of, "{path}");
            for method in [Method::Get, Method::Post] {
                let refused = matches!(
                    reply(&bench, method, path, Fields::default(), false),
                    Reply::Page(405, _)
                );
                assert_eq!(refused, !of.contains(&method), "{path} {method:?}");
            }
        }
    }

    /// A change goes through the store, is undone, and a page that is out of date changes nothing.
    #[test]
    fn a_post_changes_the_job() {
        let bench = bench();
        let now = || match get(&bench, "/job/parlour/out/parlour.toml") {
            Reply::File { content, .. } => String::from_utf8(content).unwrap(),
            other => panic!("{other:?}"),
        };
        let before = now();
        let version = |text: &str| crate::jobs::Version::of(text).as_str().to_owned();
        let send = |path: &str, fields: &str| {
            let fields = Fields::parse(fields.as_bytes());
            reply(&bench, Method::Post, path, fields, true)
        };
        let new = "text=title+%3D+%22New%22";
        let sent = send("/job/parlour/text", &format!("{new}&version={}", version(&before)));
        assert!(matches!(sent, Reply::See(to) if to == "/job/parlour/text"));
        assert_eq!(now(), "title = \"New\"\n");
        let late = send("/job/parlour/text", &format!("{new}&version={}", version(&before)));
        assert!(matches!(late, Reply::Json(409, _)));
        let undone = send("/job/parlour/undo", &format!("version={}", version(&now())));
        assert!(matches!(undone, Reply::See(_)));
        assert_eq!(now(), before);
    }
}
