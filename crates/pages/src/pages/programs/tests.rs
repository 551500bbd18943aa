use job::Profiles;

use super::*;
use crate::examples;
use crate::jobs::Jobs;
use crate::memory::MemoryJobs;
use crate::name::JobName;
use crate::pages::sheets;
use crate::talk::Fields;

/// A page over one job.
struct Over {
    bench: Bench,
}

impl Over {
    fn job(text: &str) -> Self {
        Self::with_profiles(text, Profiles::built_in())
    }

    fn with_profiles(text: &str, profiles: Profiles) -> Self {
        let jobs = MemoryJobs::default();
        jobs.create(&JobName::parse("a").unwrap(), text).unwrap();
        let bench = Bench::new(Box::new(jobs), profiles, "token".to_owned());
        Self { bench }
    }

    fn ask(file: &str, fields: &str) -> Ask {
        Ask {
            name: "a".into(),
            file: file.into(),
            fields: Fields::parse(fields.as_bytes()),
            ..Ask::default()
        }
    }

    fn page(&self, fields: &str) -> String {
        match page(&self.bench, &Self::ask("", fields)) {
            Reply::Page(200, page) => page.into_string(),
            other => panic!("{other:?}"),
        }
    }

    /// A file, or the status of the page that is sent instead.
    fn file(&self, name: &str) -> Result<String, u16> {
        match sheets::file(&self.bench, &Self::ask(name, "save=yes")) {
            Reply::File { content, save_as, .. } => {
                assert_eq!(save_as.as_deref(), Some(name));
                Ok(String::from_utf8(content).unwrap())
            }
            Reply::Page(status, _) => Err(status),
            other => panic!("{other:?}"),
        }
    }
}

fn example(name: &str, more: &str) -> Over {
    Over::job(&format!("{}\n{more}", examples::text(name).unwrap()))
}

/// Where each stands in the page, which has them in this order.
fn in_order(page: &str, wanted: &[&str]) {
    let mut at = 0;
    for text in wanted {
        let found = page[at..].find(text);
        at += found.unwrap_or_else(|| panic!("{text} is not there, or too early: {page}"));
    }
}

#[test]
fn nothing_is_made_before_it_is_asked_for() {
    let over = example("parlour-both", "");
    let page = over.page("");
    in_order(
        &page,
        &[
            "Cutting the saddle",
            "Cutting the nut",
            "Make and check",
            "<h2>The saddle</h2>",
            "<h2>The nut</h2>",
        ],
    );
    assert!(page.contains("gauged files finish them"));
    assert!(!page.contains(".ngc") && !page.contains("verdict"));
    assert!(over.bench.programs.lock().unwrap().is_none());
}

/// What the plan leaves proud and a program would not is said before anything is made, with where to set it.
#[test]
fn how_high_the_top_is_cut_is_said() {
    for (more, height, advised) in [
        ("", "as planned, with nothing left proud.", true),
        (
            "[cut]\nleave_proud = \"1 mm\"\n",
            "the whole top 39.5 thou (1.00 mm) higher than planned",
            false,
        ),
    ] {
        let page = example("parlour", more).page("");
        assert!(page.contains(height), "{more}");
        let told = page.contains("The plan leaves the whole saddle") && page.contains("Left proud");
        assert_eq!(told, advised, "{more}");
    }
}

#[test]
fn both_parts_are_made_each_under_its_heading() {
    let over = example("parlour-both", "");
    let page = over.page("make=yes");
    in_order(
        &page,
        &[
            "<h2>The saddle</h2>",
            "<h3>On edge</h3>",
            "/job/a/out/a-on-edge-1.ngc?save=yes",
            "Touch off, in this order",
            "Z of tool 1",
            "Check before you let it go",
            "left-map",
            "<h2>The nut</h2>",
            "<h3>Flat</h3>",
            "/job/a/out/a-nut-flat-1.ngc?save=yes",
            "left-map",
            "<h3>On edge</h3>",
            "/job/a/out/a-nut-on-edge-1.ngc?save=yes",
            "left-map",
            "Grooves only start the slots",
        ],
    );
    assert!(!page.contains("Refused"), "{page}");
    let title = "Parlour";
    for name in ["a-on-edge-1.ngc", "a-nut-flat-1.ngc", "a-nut-on-edge-1.ngc"] {
        let text = over.file(name).unwrap();
        assert!(
            text.lines().take(4).any(|line| line.contains(title)),
            "{name}: {text:.300}"
        );
        assert!(text.contains("M30"), "{name}");
    }
    for name in [
        "a-nut-on-end-1.ngc",
        "a-flat-1.ngc",
        "a-nut-flat-99.ngc",
        "a-nut-flat-1.txt",
    ] {
        assert_eq!(over.file(name), Err(404), "{name}");
    }
}

/// The page names the mark that the program carries, and a page from before a change of the job hands out nothing.
/// What is being checked is no missing file.
#[test]
fn a_download_while_others_are_checked_says_so() {
    let over = example("parlour", "");
    let held = over.bench.programs.lock().unwrap();
    let Reply::Page(503, page) = sheets::file(&over.bench, &Over::ask("a-on-edge-1.ngc", "save=yes")) else {
        panic!("no word of it")
    };
    let page = page.into_string();
    assert!(page.contains("Other programs are being checked just now. Try again in a moment."));
    drop(held);
    assert!(over.file("a-on-edge-1.ngc").is_ok());
}

#[test]
fn a_program_of_another_mark_is_not_handed_out() {
    let over = example("parlour", "");
    let page = over.page("make=yes");
    let text = over.file("a-on-edge-1.ngc").unwrap();
    let mark = text
        .lines()
        .find_map(|line| line.strip_prefix("(Mark: ")?.strip_suffix(')'))
        .unwrap();
    assert!(
        page.contains(&format!("a-on-edge-1.ngc?save=yes&amp;mark={mark}")),
        "{page}"
    );
    let with = |mark: &str| {
        let ask = Over::ask("a-on-edge-1.ngc", &format!("save=yes&mark={mark}"));
        match sheets::file(&over.bench, &ask) {
            Reply::File { .. } => Ok(()),
            Reply::Page(status, page) => Err((status, page.into_string())),
            other => panic!("{other:?}"),
        }
    };
    assert_eq!(with(mark), Ok(()));
    let (status, page) = with("0123abcd").unwrap_err();
    assert!(
        status == 409 && page.contains("0123abcd") && page.contains(mark),
        "{page}"
    );
}

#[test]
fn a_nut_alone_has_only_the_nut_and_says_what_was_assumed() {
    let over = example("nut-only", "");
    let page = over.page("");
    assert!(!page.contains("The saddle</h2>"), "{page}");
    in_order(
        &page,
        &[
            "<h2>The nut</h2>",
            "<dt>Stock</dt>",
            "not measured",
            "<dt>Jaws</dt>",
            "not measured",
        ],
    );
    assert!(page.contains("above the parallel. Measure yours: the cutter runs into higher ones."));

    let measured = "[nut_cut]\nstock = { height = \"10 mm\" }\nvise = { jaw_height = \"2 mm\" }\n";
    let page = example("nut-only", measured).page("");
    assert!(!page.contains("not measured"), "{page}");
    assert!(
        page.contains("stand 78.5 thou (2.00 mm) above the parallel, as in the job."),
        "{page}"
    );
    assert!(page.contains("393.5 thou (10.00 mm) high"), "{page}");

    let sawn = example("nut-only", "[nut_cut]\nsetup = \"on end\"\n").page("");
    assert!(
        sawn.contains("from the bottom edge. Measure yours: the saw runs into wider ones."),
        "{sawn}"
    );
    assert!(
        sawn.contains("Slots, on end") && !sawn.contains("<dt>Outline</dt>"),
        "{sawn}"
    );
}

#[test]
fn one_part_refused_does_not_take_the_other_with_it() {
    // Jaws as high as the nut: no slot can be reached.
    let over = example(
        "parlour-both",
        "[nut_cut]\nsetup = \"on edge\"\nvise = { jaw_height = \"9 mm\" }\n",
    );
    let page = over.page("make=yes");
    in_order(
        &page,
        &[
            "In order",
            "<h2>The nut</h2>",
            "Refused",
            "class=\"error\"",
            "Write the height of the jaws",
            "[nut_cut]",
        ],
    );
    assert!(over.file("a-on-edge-1.ngc").is_ok());
    assert_eq!(over.file("a-nut-on-edge-1.ngc"), Err(404));
}

#[test]
fn a_material_without_cutting_figures_is_refused_by_its_name() {
    let text = examples::text("nut-only")
        .unwrap()
        .replace("material = \"bone\"", "material = \"moon rock\"");
    let mut profiles = Profiles::built_in();
    let own = "[[blank_material]]\nname = \"moon rock\"\ndust = \"synthetic\"\nsource = \"invented\"\n";
    profiles.add_text("own.toml", own).unwrap();
    let over = Over::with_profiles(&text, profiles);
    let page = over.page("make=yes");
    assert!(page.contains("moon rock") && page.contains("in [nut_cut]"), "{page}");
    assert!(!page.contains("In order"), "{page}");
}

/// A browser asks for the pictures of a page together; each comes.
#[test]
fn what_is_kept_is_handed_to_many_at_once() {
    let over = example("parlour", "");
    assert!(over.page("make=yes").contains("a-setup-1.svg"));
    std::thread::scope(|scope| {
        for _ in 0..8 {
            scope.spawn(|| {
                for _ in 0..20 {
                    for name in ["a-setup-1.svg", "a-on-edge-1.ngc"] {
                        let sent = sheets::file(&over.bench, &Over::ask(name, ""));
                        assert!(matches!(sent, Reply::File { .. }), "{name}");
                    }
                }
            });
        }
    });
}

/// Several saddles: each with its programs and sheets under its name, and no name without one.
#[test]
fn several_saddles_have_programs_and_sheets_each() {
    let over = example("split-saddle", "");
    let page = over.page("make=yes");
    let at = |what: &str| page.find(what).unwrap_or_else(|| panic!("{what}: {page}"));
    assert!(at("The bass saddle") < at("a-bass-on-edge-1.ngc") && at("a-bass-on-edge-1.ngc") < at("The treble saddle"));
    assert!(at("The treble saddle") < at("a-treble-on-edge-1.ngc"));
    assert!(page.contains("a-bass-setup-1.svg") && page.contains("a-treble-setup-1.svg"));
    for (name, title) in [("bass", "Bass saddle: "), ("treble", "Treble saddle: ")] {
        assert!(over.file(&format!("a-{name}-on-edge-2.ngc")).unwrap().contains(title));
        assert!(over.file(&format!("a-{name}-1.svg")).unwrap().contains(title));
        assert!(over.file(&format!("a-{name}.txt")).unwrap().starts_with(title));
    }
    // The text of the whole job is the command's: every saddle in it.
    let whole = over.file("a.txt").unwrap();
    assert!(
        whole.contains("Bass saddle") && whole.contains("Treble saddle"),
        "{whole}"
    );
    for name in ["a-on-edge-1.ngc", "a-1.svg", "a-middle-on-edge-1.ngc"] {
        assert_eq!(over.file(name), Err(404), "{name}");
    }
}

#[test]
fn a_check_can_be_stopped_and_made_again() {
    let over = example("parlour-both", "");
    let told = std::sync::Mutex::new(None);
    let page = std::thread::scope(|scope| {
        scope.spawn(|| {
            while !over.bench.checking.stop("a") {
                std::thread::sleep(Duration::from_millis(1));
            }
            *told.lock().unwrap() = over.bench.checking.of("a");
        });
        over.page("make=yes")
    });
    assert!(
        page.contains("Stopped: no program was made.") && !page.contains(".ngc"),
        "{page}"
    );
    let told = told.into_inner().unwrap().unwrap();
    assert!(told.of > 2 && told.before < told.of, "{told:?}");
    assert!(over.bench.checking.of("a").is_none() && over.bench.programs.lock().unwrap().is_none());
    assert!(over.page("make=yes").contains(".ngc"));
}
