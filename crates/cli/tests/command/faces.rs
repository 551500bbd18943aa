//! Every verdict, limit and hazard is one: in the command's words, its JSON, the sheets and the page, over all examples and over
//! jobs and readings that bring up what the examples do not.

use crate::binary::{bonewright, run, top};
use instrument::StrungString;
use job::{Job, Profiles};
use pages::{Bench, Fields, JobName, Jobs, MemoryJobs, Method, Reply, on_page, reply};
use serde_json::Value;
use std::path::{Path, PathBuf};
use units::LengthUnit;
use work::{Fitted, Left, Planned, SaddleWork, Whole, planned};

/// A job with its faces.
struct Faces {
    name: String,
    text: String,
    done: Planned,
    bench: Bench,
    path: PathBuf,
    folder: tempfile::TempDir,
}

impl Faces {
    fn of(name: &str, text: String) -> Self {
        let profiles = Profiles::built_in();
        let read = job::read(&text, &profiles).unwrap_or_else(|p| panic!("{name}: {p:?}\n{text}"));
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.toml");
        std::fs::write(&path, &text).unwrap();
        let jobs = MemoryJobs::default();
        jobs.create(&JobName::parse("a").unwrap(), &text).unwrap();
        Self {
            name: name.to_owned(),
            done: planned(read.job),
            bench: Bench::new(Box::new(jobs), profiles, String::new()),
            text,
            path,
            folder,
        }
    }

    fn job(&self) -> &Job {
        &self.done.job
    }

    /// Standard output of a command that succeeds.
    fn said(&self, command: &str, more: &[&str]) -> String {
        let done = run(bonewright().arg(command).arg(&self.path).args(more));
        assert_eq!(done.code, 0, "{} {command} {more:?}: {}", self.name, done.err);
        done.out
    }

    fn json(&self, command: &str, more: &[&str]) -> Value {
        serde_json::from_str(&self.said(command, &[more, &["--json"]].concat())).unwrap()
    }

    /// A page as plain text.
    fn page(&self, page: &str, fields: &str) -> String {
        match reply(
            &self.bench,
            Method::Get,
            &format!("/job/a/{page}"),
            Fields::parse(fields.as_bytes()),
            false,
        ) {
            Reply::Page(200, page) => plain(&page.into_string()),
            other => panic!("{} {page}: {other:?}", self.name),
        }
    }

    /// Every file that a command writes, by name.
    fn files(&self, command: &str, more: &[&str]) -> Vec<(String, String)> {
        let out = self.folder.path().join(format!("{command}-out"));
        self.said(
            command,
            &[more, &["--force", "--out", &out.display().to_string()]].concat(),
        );
        let mut files: Vec<(String, String)> = std::fs::read_dir(&out)
            .unwrap()
            .map(|entry| entry.unwrap())
            .filter_map(|entry| {
                let text = std::fs::read_to_string(entry.path()).ok()?;
                Some((entry.file_name().into_string().unwrap(), text))
            })
            .collect();
        files.sort();
        files
    }
}

/// Text without tags, entities and line breaks.
fn plain(html: &str) -> String {
    let mut text = String::new();
    let mut inside = false;
    for c in html.chars() {
        match c {
            '<' => {
                inside = true;
                text.push(' ');
            }
            '>' => inside = false,
            c if !inside => text.push(c),
            _ => {}
        }
    }
    let entities = [
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", "\""),
        ("&#39;", "'"),
        ("&apos;", "'"),
        ("&amp;", "&"),
    ];
    let text = entities.iter().fold(text, |text, (from, to)| text.replace(from, to));
    flat(&text)
}

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The words, wherever lines and columns break them.
fn has(text: &str, words: &str) -> bool {
    flat(text).contains(&flat(words))
}

fn examples() -> Vec<(String, String)> {
    let folder = top().join("examples");
    let mut found: Vec<(String, String)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .map(|path| {
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read_to_string(&path).unwrap())
        })
        .collect();
    found.sort();
    found
}

/// An example with one text put for another.
fn edited(name: &str, changes: &[(&str, &str)]) -> String {
    let text = std::fs::read_to_string(top().join("examples").join(format!("{name}.toml"))).unwrap();
    changes.iter().fold(text, |text, (from, to)| {
        assert!(text.contains(from), "{name} has no {from}");
        text.replace(from, to)
    })
}

/// A sound guitar with an action wished at two frets, for two tunings and two sets.
fn wishes() -> String {
    let action = "action_12 = { bass = 2.4, treble = 1.8 }";
    let both = format!("{action}\naction_at = {{ fret = 5, action = {{ bass = 1.4, treble = 1.1 }}, weight = 0.5 }}");
    let also = "\n[[also]]\nname = \"down a tone\"\ntuning = [\"D2\", \"G2\", \"C3\", \"F3\", \"A3\", \"D4\"]\n[[also]]\nset = \"medium bronze 13-56\"\nweight = 0.25\n";
    edited("sound", &[(action, &both)]) + also
}

/// The examples, and jobs that bring up what they do not.
fn jobs() -> Vec<Faces> {
    let mut all: Vec<Faces> = examples()
        .into_iter()
        .map(|(name, text)| Faces::of(&name, text))
        .collect();
    let bone = "material = \"bone\"";
    let limits = "[assess]\nleast_break_angle = \"44 deg\"\nleast_in_slot = 0.9\naccept = [\"slot\"]\nmost_exposure = \"0.5 mm\"\nleast_exposure = \"0.1 mm\"\nleast_first_fret = \"0.6 mm\"\n";
    for (name, text) in [
        ("soft", edited("parlour", &[(bone, "material = \"paper phenolic\"")])),
        ("protected", edited("parlour", &[(bone, "material = \"fossil ivory\"")])),
        (
            "soft-nut",
            edited("nut-only", &[(bone, "material = \"linen phenolic\"")]),
        ),
        ("own-limits", edited("sound", &[("[assess]\n", limits)])),
        ("wishes", wishes()),
        (
            "slip",
            edited("sound", &[]) + &crate::doubted::AGAIN.replace("9.63, 9.45", "10.28, 9.45"),
        ),
        (
            "at-height",
            edited("sound", &[]) + "\n[filing]\ncrown = \"flat\"\nat_height = true\n",
        ),
    ] {
        all.push(Faces::of(name, text));
    }
    all
}

fn bench_number(faces: &Faces, mm: f64) -> String {
    faces.job().bench.number(mm)
}

/// What is remarked of a plan stands in the command's page, its JSON, on the page and on the sheets.
#[test]
fn remarks_and_limits_are_one() {
    for faces in jobs() {
        let Some(saddle) = faces.done.saddle() else { continue };
        let name = &faces.name;
        let notes = report::saddle_notes(&saddle, faces.job().bench);
        let text = faces.said("plan", &["--part", "saddle"]);
        let json = faces.json("plan", &["--part", "saddle"]);
        let told: Vec<&str> = json["notes"]
            .as_array()
            .unwrap()
            .iter()
            .map(|n| n["text"].as_str().unwrap())
            .collect();
        assert_eq!(
            told,
            notes.iter().map(|n| n.text.as_str()).collect::<Vec<_>>(),
            "{name}"
        );
        let page = faces.page("plan", "");
        for note in &notes {
            assert!(has(&text, &note.text), "{name}: {}\n{text}", note.text);
            assert!(has(&page, &on_page(&note.text)), "{name}: {}\n{page}", note.text);
        }
        // The findings of the assessment judge by the limits of the job, as the plan does.
        let limits = &saddle.made.assess.limits;
        let found = faces.json("assess", &[]);
        for (topic, side, bound) in [
            ("break-angle", "least", limits.least_break_angle),
            ("in-slot", "least", limits.least_in_slot),
            ("bridge", "most", limits.most_exposure),
            ("nut", "least", limits.least_first_fret),
        ] {
            let list = found["findings"].as_array().unwrap();
            for finding in list.iter().filter(|f| f["topic"] == topic && !f[side].is_null()) {
                assert_eq!(finding[side]["value"].as_f64(), Some(bound.value), "{name} {topic}");
            }
        }
        let finding = |topic: &str| {
            let list = found["findings"].as_array().unwrap();
            list.iter()
                .find(|f| f["topic"] == topic)
                .map(|f| f["verdict"].as_str().unwrap().to_owned())
        };
        let remarked = |topic: report::NoteTopic| notes.iter().any(|n| n.topic == topic);
        let in_slot = finding("in-slot").map(|verdict| verdict != "sound");
        assert_eq!(
            in_slot.unwrap_or(false),
            remarked(report::NoteTopic::SlotDepth),
            "{name}"
        );
        if let (Some(angle), false) = (finding("break-angle"), told.iter().any(|t| t.contains("not known"))) {
            let low = found["findings"]
                .as_array()
                .unwrap()
                .iter()
                .any(|f| f["topic"] == "break-angle" && f["value"].as_f64() < f["least"]["value"].as_f64());
            assert_eq!(low, remarked(report::NoteTopic::BreakAngle), "{name} {angle}");
        }
    }
}

/// What each wish loses is the same in words, in figures, on the page and on the sheets; without wishes nothing is said.
#[test]
fn wishes_are_one() {
    let tuned = "\n[[also]]\nname = \"down a tone\"\ntuning = [\"D2\", \"G2\", \"C3\", \"F3\", \"A3\", \"D4\"]\n";
    let both = |name: &str| Faces::of(name, edited(name, &[]) + tuned);
    for faces in [
        Faces::of("wishes", wishes()),
        both("nylon-nut"),
        both("parlour-both"),
        Faces::of("sound", edited("sound", &[])),
    ] {
        let (name, bench) = (&faces.name, faces.job().bench);
        let saddle = faces.done.saddle().unwrap();
        let text = faces.said("plan", &["--part", "saddle"]);
        let json = faces.json("plan", &["--part", "saddle"]);
        let page = faces.page("plan", "");
        let drawn = faces.files("draw", &["--only", "svg", "--part", "saddle"]);
        let sheets: String = drawn.iter().map(|(_, text)| plain(text) + " ").collect();
        let sheets = flat(&sheets);
        let Some(wishes) = saddle.wishes() else {
            assert_eq!(json.get("wishes"), None, "{name}");
            for said in [&text, &page, &sheets] {
                assert!(
                    !said.to_lowercase().contains("every tuning") && !said.contains("main tuning"),
                    "{name}: {said}"
                );
            }
            continue;
        };
        // Written and read again as the command's own figures were.
        let own: Value = serde_json::from_str(&serde_json::to_string(&wishes).unwrap()).unwrap();
        assert!(json["wishes"] == own, "{name}: {} {own}", json["wishes"]);
        let of_sheet = report::wish_lines(&wishes, bench);
        for line in &of_sheet {
            assert!(has(&sheets, line), "{name}: {line}\n{sheets}");
        }
        for tuning in &wishes.tunings {
            let head = report::tuning_head(tuning);
            assert!(has(&text, &head) && has(&page, &head), "{name}: {head}");
            for s in &tuning.strings {
                let [at_12, alone] = [s.cents_12, s.alone.cents_12].map(|cents| numerics::signed(cents, 1));
                let [all, alone_all, loses, tension] =
                    [s.rms_cents, s.alone.rms_cents, s.loses, s.tension].map(|value| numerics::fixed(value, 1));
                let row = format!(
                    "{} {} {at_12} {all} {alone} {alone_all} {loses} {tension}",
                    s.number, s.note
                );
                assert!(has(&text, &row), "{name}: {row}\n{text}");
                assert!(has(&page, &row), "{name}: {row}\n{page}");
            }
        }
        let other = bench.other();
        for s in &wishes.actions {
            for wish in &s.wishes {
                let row = format!(
                    "{} {} {} {} {} {} {} {} {} {}",
                    s.number,
                    s.note,
                    wish.fret,
                    report::weight(wish),
                    bench.number(wish.wanted),
                    other.number(wish.wanted),
                    bench.number(wish.planned),
                    other.number(wish.planned),
                    bench.signed(wish.off),
                    other.signed(wish.off),
                );
                assert!(has(&text, &row), "{name}: {row}\n{text}");
                assert!(has(&page, &row), "{name}: {row}\n{page}");
            }
        }
        // What is worked out for the main tuning alone says so.
        let more = ["--samples", "100", "--part", "saddle"];
        let read = Faces::of(name, faces.text.clone() + &strung(&saddle, [0.0; 2], 0.0, None));
        let fit = read.said("fit", &["--part", "saddle"]);
        assert!(has(&fit, "This is of the main tuning."), "{name}: {fit}");
        assert!(
            has(&faces.said("tolerance", &more), "This is of the main tuning."),
            "{name}"
        );
    }
}

/// Of several saddles each has its remarks in every face, and its strokes are those of a saddle alone.
#[test]
fn several_saddles_are_told_as_one_each() {
    let text = std::fs::read_to_string(top().join("examples/split-saddle.toml")).unwrap();
    // Too low for the break angle, and held at the land.
    let text = text.replace("behind_slot = 10.5", "behind_slot = 40").replace(
        "edge_from_fret_12 = { bass = 325.6",
        "edge_from_fret_12 = { bass = 328.6",
    );
    let faces = Faces::of("split", text);
    let (page, all) = (faces.page("plan", ""), faces.said("plan", &[]));
    let mut told = 0;
    for one in faces.done.saddles() {
        let saddle = one.saddle().unwrap();
        let name = one.job.name.as_deref().unwrap();
        let notes = report::saddle_notes(&saddle, faces.job().bench);
        let json = faces.json("plan", &["--part", name]);
        let said: Vec<&str> = json["notes"]
            .as_array()
            .unwrap()
            .iter()
            .map(|n| n["text"].as_str().unwrap())
            .collect();
        assert_eq!(
            said,
            notes.iter().map(|n| n.text.as_str()).collect::<Vec<_>>(),
            "{name}"
        );
        for note in &notes {
            assert!(
                has(&all, &note.text) && has(&page, &on_page(&note.text)),
                "{name}: {}",
                note.text
            );
        }
        told += notes.len();
        let filed = faces.json("filing", &["--forward", "0.2 mm", "--part", name]);
        let filed = filed["strings"].as_array().unwrap();
        for s in &saddle.plan.strings {
            let query = format!("string={}&by=0.2 mm", s.number);
            let shown = faces.page("filing", &query.replace(' ', "+"));
            let done = saddle
                .filing(&[s.number], Some(saddle::filing::Move::Forward(0.2)), 0.25, false)
                .unwrap();
            let words = report::verdict_sentence(&done.strings[0], faces.job().bench);
            assert!(has(&shown, &words), "{name} {}: {words}\n{shown}", s.number);
            let of = |filed: &&Value| filed["number"] == s.number;
            let drop = filed.iter().find(of).map(|filed| filed["stroke"]["drop"].as_f64());
            let own = done.strings[0].stroke.as_ref().ok().map(|stroke| stroke.drop);
            assert_eq!(drop, Some(own), "{name} {}", s.number);
        }
    }
    assert!(
        told > 3
            && has(&page, &on_page(&report::split_headline(&faces.done)))
            && has(&all, &report::split_headline(&faces.done))
    );
}

/// What a stroke of the file comes to, string by string.
#[test]
fn strokes_are_judged_once() {
    for faces in jobs() {
        let Some(saddle) = faces.done.saddle() else { continue };
        for (flag, length) in [
            ("--forward", "1/64 in"),
            ("--forward", "1.5 mm"),
            ("--back", "0.2 mm"),
            ("--forward", "40 mm"),
        ] {
            let json = faces.json("filing", &[flag, length]);
            let text = faces.said("filing", &[flag, length]);
            let by = if flag == "--back" {
                format!("-{length}")
            } else {
                length.to_owned()
            };
            for out in json["strings"].as_array().unwrap() {
                let number = out["number"].as_u64().unwrap();
                let mm = units::parse_length(&by, LengthUnit::Millimetre).unwrap();
                let asked = saddle
                    .filing(
                        &[u32::try_from(number).unwrap()],
                        Some(saddle::filing::Move::Forward(mm)),
                        0.25,
                        false,
                    )
                    .unwrap();
                let filed = &asked.strings[0];
                let say = match filed.verdict {
                    work::FilingVerdict::Still => "still",
                    work::FilingVerdict::NotWorth => "not-worth",
                    work::FilingVerdict::Go => "go",
                    work::FilingVerdict::LeaveProud(_) => "leave-proud",
                    work::FilingVerdict::EndsLow(_) => "ends-low",
                    work::FilingVerdict::OutsideLand(_) => "outside-land",
                    work::FilingVerdict::Rises(_) => "rises",
                    work::FilingVerdict::OffBlank => "off-blank",
                    work::FilingVerdict::OutOfReach => "out-of-reach",
                };
                assert_eq!(out["verdict"]["say"], say, "{} {flag} {length} {number}", faces.name);
                let row = format!("{number} ");
                let words = report::verdict_words(filed, faces.job().bench)[0].to_lowercase();
                let rows = text.lines().filter(|line| line.trim_start().starts_with(&row));
                assert!(
                    rows.clone().any(|line| line.to_lowercase().ends_with(&words)),
                    "{}: {words}\n{text}",
                    faces.name
                );
                let fields = format!("string={number}&by={}", by.replace(' ', "+").replace('/', "%2F"));
                let page = faces.page("filing", &fields);
                let sentence = report::verdict_sentence(filed, faces.job().bench);
                assert!(has(&page, &on_page(&sentence)), "{}: {sentence}\n{page}", faces.name);
            }
        }
    }
}

/// A bare length is in the unit of the job, on the page as on the command line.
#[test]
fn a_bare_length_is_in_the_jobs_unit_everywhere() {
    for (name, text) in examples() {
        let faces = Faces::of(&name, text);
        let Some(saddle) = faces.done.saddle() else { continue };
        let number = saddle.plan.strings[0].number;
        let bare = match faces.job().unit {
            LengthUnit::Inch => "0.015",
            LengthUnit::Thou => "15",
            LengthUnit::Millimetre => "0.4",
        };
        let json = faces.json("filing", &["--string", &number.to_string(), "--forward", bare]);
        let fields = Fields::parse(format!("string={number}&by={bare}").as_bytes());
        let Reply::Json(200, page) = reply(&faces.bench, Method::Get, "/job/a/filing", fields, true) else {
            panic!("{name}: no figures")
        };
        assert_eq!(
            page["mm"].as_f64(),
            json["strings"][0]["asked"]["forward"].as_f64(),
            "{name}"
        );
    }
}

/// Readings after stringing up, as the job's own table: `off` the planned action at bass and treble, mm, and in cents; and one string
/// that stands off alone.
fn strung(saddle: &SaddleWork, off: [f64; 2], cents: f64, stray: Option<usize>) -> String {
    let last = saddle.plan.strings.len().saturating_sub(1).max(1) as f64;
    let strings = &saddle.plan.strings;
    let action = strings.iter().enumerate().map(|(i, s)| {
        let own = if stray == Some(i) { 0.9 } else { 0.0 };
        let share = i as f64 / last;
        format!("\"{:.4} mm\"", s.action_12 + off[0] + (off[1] - off[0]) * share + own)
    });
    let pitch = strings.iter().map(|s| format!("{:.3}", s.cents[11] + cents));
    format!(
        "\n[strung]\nwith = [\"dial indicator\", \"recording\"]\naction_12 = [{}]\ncents_12 = [{}]\n",
        action.collect::<Vec<_>>().join(", "),
        pitch.collect::<Vec<_>>().join(", ")
    )
}

/// The row of a string in the last table of a page of `fit`.
fn row_of(text: &str, number: u32) -> &str {
    let (_, done) = text.split_once("WHEN IT IS DONE").unwrap();
    let row = done
        .lines()
        .find(|line| line.trim_start().starts_with(&format!("{number} ")));
    row.unwrap()
}

fn same_after_stringing(faces: &Faces, fitted: &Fitted) -> Vec<Left> {
    let (name, bench) = (&faces.name, faces.job().bench);
    let text = faces.said("fit", &["--part", "saddle"]);
    let json = faces.json("fit", &["--part", "saddle"]);
    let page = faces.page("strung", "");
    let (steps, work) = (faces.said("steps", &[]), faces.page("work", ""));
    let whole = match fitted.whole() {
        Whole::Good => "good",
        Whole::AsNear => "as-near",
        Whole::File => "file",
        Whole::Shim(_) => "shim",
        Whole::ShimOrNew(_) => "shim-or-new",
        Whole::NewSaddle(_) => "new-saddle",
        Whole::SlotsFirst => "slots-first",
        Whole::ReadAgain => "read-again",
    };
    assert_eq!(json["whole"]["say"], whole, "{name}");
    assert!(has(&text, &report::whole_words(fitted, bench)), "{name}: {text}");
    assert!(
        has(&page, &on_page(&report::whole_short(fitted, bench))),
        "{name}: {page}"
    );
    for (out, left) in json["strings"].as_array().unwrap().iter().zip(fitted.strings()) {
        let say = match left.left {
            Left::Good => "good",
            Left::File => "file",
            Left::Held => "held",
            Left::Low(_) => "low",
            Left::Untuned => "untuned",
            Left::TooLow => "too-low",
            Left::ReadAgain => "read-again",
            Left::Wait => "wait",
            Left::WithShim => "with-shim",
            Left::Remade => "remade",
        };
        assert_eq!(out["left"]["say"], say, "{name} {}", left.number);
        let words = report::left_words(left, bench);
        assert!(row_of(&text, left.number).ends_with(&words), "{name}: {words}\n{text}");
        let note = &fitted
            .made
            .strings
            .iter()
            .find(|s| s.number == left.number)
            .unwrap()
            .note;
        let (_, card) = page.split_once(&format!(" {} {note} ", left.number)).unwrap();
        let card = card.split(" Now: ").next().unwrap();
        assert!(card.contains(&words), "{name} {}: {card}", left.number);
        let filed = left.left == Left::File;
        assert_eq!(card.contains("Then lower"), filed, "{name} {}: {card}", left.number);
        if filed {
            // What the move takes is not filed a second time.
            assert!(
                card.contains(&bench_number(faces, left.move_back.abs())) || left.move_back.abs() < 0.001,
                "{card}"
            );
            assert!(
                card.contains(&bench_number(faces, left.rest())) || left.rest() < 0.001,
                "{card}"
            );
            assert!((left.rest() - (left.lower - left.by_move)).abs() < 1e-12);
        }
        for list in [&steps, &work] {
            for (words, wanted) in [
                ("move the ridge", filed && left.move_back != 0.0),
                ("lower the contact", filed && left.rest() > 0.0),
                ("leave it", matches!(left.left, Left::Low(_))),
            ] {
                // With the move the word "then" stands before it.
                let asked = [
                    format!("String {}: {words}", left.number),
                    format!("String {}: then {words}", left.number),
                ];
                assert_eq!(
                    asked.iter().any(|words| has(list, words)),
                    wanted,
                    "{name} {}: {words}: {list}",
                    left.number
                );
            }
        }
    }
    fitted.strings().iter().map(|s| s.left).collect()
}

/// What is left after stringing up: "leave it" is never told as "file".
#[test]
fn what_is_left_is_told_once() {
    let mut seen: Vec<Left> = Vec::new();
    for (name, text) in examples() {
        let plain = Faces::of(&name, text.clone());
        let Some(saddle) = plain.done.saddle() else { continue };
        let mut readings = vec![
            strung(&saddle, [0.0, 0.0], 0.0, None),
            strung(&saddle, [0.35, 0.3], 1.0, None),
            strung(&saddle, [-0.08, 0.3], -3.0, None),
            strung(&saddle, [-0.5, -0.4], 0.0, None),
            strung(&saddle, [-0.4, 0.1], 0.0, None),
            strung(&saddle, [0.1, 0.1], 0.0, Some(1)),
        ];
        if name == "parlour" {
            let own = std::fs::read_to_string(top().join("examples/strung/parlour.toml")).unwrap();
            let (read, _) = job::read_strung(&own, plain.job(), &Profiles::built_in()).unwrap();
            let list = |value: fn(&StrungString) -> Option<String>| {
                let one = |s: &StrungString| value(s).unwrap_or_else(|| "\"-\"".to_owned());
                read.iter().map(one).collect::<Vec<_>>().join(", ")
            };
            let action = list(|s| Some(format!("\"{:.6} mm\"", s.action_12?)));
            let cents = list(|s| Some(format!("{:.3}", s.cents_12?)));
            readings.push(format!("[strung]\naction_12 = [{action}]\ncents_12 = [{cents}]\n"));
        }
        for (i, readings) in readings.iter().enumerate() {
            let faces = Faces::of(&format!("{name} {i}"), format!("{text}\n{readings}"));
            let saddle = faces.done.saddle().unwrap();
            // A stray reading on a few strings can be more than the fit takes.
            let Ok(fitted) = saddle.fit(faces.job().strung.as_deref().unwrap()) else {
                continue;
            };
            seen.extend(same_after_stringing(&faces, &fitted));
        }
    }
    for wanted in [
        Left::Good,
        Left::File,
        Left::Held,
        Left::Untuned,
        Left::TooLow,
        Left::ReadAgain,
        Left::Wait,
        Left::WithShim,
    ] {
        assert!(seen.contains(&wanted), "{wanted:?}");
    }
    assert!(seen.iter().any(|left| matches!(left, Left::Low(_))));
}

/// A caution for the material stands wherever work on it is guided, and nowhere else.
#[test]
fn hazards_are_one() {
    for faces in jobs() {
        let hazards = faces.done.hazards();
        let mut outputs: Vec<(String, String)> = vec![
            ("plan".into(), faces.said("plan", &[])),
            ("steps".into(), faces.said("steps", &[])),
        ];
        for page in ["plan", "sheets", "filing", "strung", "work", "programs"] {
            outputs.push((format!("page {page}"), faces.page(page, "")));
        }
        let part = if faces.job().saddle_stays() { "nut" } else { "saddle" };
        for command in ["filing", "tolerance"] {
            let more: &[&str] = if command == "tolerance" {
                &["--samples", "100"]
            } else {
                &[]
            };
            outputs.push((command.into(), faces.said(command, &[more, &["--part", part]].concat())));
        }
        // Each part has its own sheets: those of one carry the cautions of its own blank.
        let drawn = faces.files("draw", &["--only", "svg,dxf,txt", "--part", part]);
        let sheets: String = drawn
            .iter()
            .filter(|(name, _)| name.ends_with("svg"))
            .map(|(_, text)| plain(text))
            .collect();
        outputs.push(("sheets".into(), sheets));
        outputs.extend(drawn.into_iter().filter(|(name, _)| name.ends_with("dxf")));
        if faces.done.saddle().is_some() {
            let owner = faces.files("assess", &[]);
            let owner: String = owner
                .iter()
                .filter(|(name, _)| name.ends_with("svg"))
                .map(|(_, text)| plain(text))
                .collect();
            outputs.push(("owner's sheet".into(), owner));
        }
        if matches!(
            faces.name.as_str(),
            "soft" | "protected" | "soft-nut" | "parlour" | "nut-only"
        ) {
            let setup = faces.files("cut", &["--part", part]);
            let setup: String = setup
                .iter()
                .filter(|(name, _)| name.ends_with("svg"))
                .map(|(_, text)| plain(text))
                .collect();
            outputs.push(("setup sheet".into(), setup));
        }
        // Where both parts are made of one material the hazards of a part are those of the job.
        for (output, text) in outputs {
            let text = flat(&text).to_lowercase();
            assert_eq!(
                text.contains("softens with heat"),
                hazards.synthetic,
                "{} {output}\n{text}",
                faces.name
            );
            assert_eq!(
                text.contains("may be protected by law"),
                hazards.check_law,
                "{} {output}\n{text}",
                faces.name
            );
        }
    }
}

/// The whole of the job's text is what every face was given.
#[test]
fn every_job_is_planned() {
    for faces in jobs() {
        assert_eq!(faces.done.refusals, [], "{}", faces.name);
        assert_eq!(std::fs::read_to_string(Path::new(&faces.path)).unwrap(), faces.text);
    }
}

/// What is not to be made is said first by the work list and by filing, in the words of the plan, and none of them tells how to make it or
/// ends as if all were in order; what may be made is told as ever.
#[test]
fn what_is_not_to_be_made_is_told_before_any_work() {
    let level = ("headstock = \"15 deg\"", "headstock = 0");
    let both_nut = ("height = \"3/8\"\n", "height = \"1/8\"\n");
    let table = [
        (
            "parlour, blank too low",
            edited("parlour", &[("height = \"1/2\"", "height = \"0.33\"")]),
            true,
        ),
        (
            "split, blanks too low",
            edited("split-saddle", &[("height = 12", "height = 7.5")]),
            true,
        ),
        (
            "nut too low beside a sound saddle",
            edited("parlour-both", &[both_nut]),
            true,
        ),
        ("nut, headstock not read", edited("nut-only", &[(level.0, "")]), true),
        ("nut, level headstock, no posts", edited("nut-only", &[level]), true),
        (
            "nut, fall too small",
            edited("nut-only", &[(level.0, "headstock = 15\nfall = 0.1")]),
            true,
        ),
        (
            "nut, level headstock, fall given",
            edited("nut-only", &[(level.0, "headstock = 0\nfall = 5")]),
            false,
        ),
        ("parlour", edited("parlour", &[]), false),
        ("split", edited("split-saddle", &[]), false),
        ("both", edited("parlour-both", &[]), false),
    ];
    for (name, text, stops) in table {
        let faces = Faces::of(name, text);
        let job = faces.job();
        let whys = report::stop_words(&faces.done, &machining::PartKind::ALL, job.bench);
        assert_eq!(
            (!whys.is_empty(), faces.done.halts()),
            (stops, stops),
            "{name}: {whys:?}"
        );
        // Both parts, as the plan has them by itself.
        let part: &[&str] = if faces.done.makes(machining::PartKind::Nut) && !job.saddle_stays() {
            &["--part", "both"]
        } else {
            &[]
        };
        let filed = [&["--json"], part].concat();
        for (command, more) in [
            ("plan", &[][..]),
            ("check", &[]),
            ("steps", &[]),
            ("filing", part),
            ("filing", &filed),
        ] {
            let done = run(bonewright().arg(command).arg(&faces.path).args(more));
            assert_eq!(done.code, i32::from(stops), "{name} {command} {more:?}: {}", done.err);
            for why in &whys {
                assert!(has(&done.err, why), "{name} {command}: {why}\n{}", done.err);
                // A saddle that is one of several is named before its own sentence.
                let own = why.split_once(" saddle: ").map_or(why.as_str(), |(_, own)| own);
                let said = if more.contains(&"--json") {
                    done.out.replace("\\\"", "\"")
                } else {
                    done.out.clone()
                };
                assert!(
                    command == "check" || has(&said, own),
                    "{name} {command} {more:?}: {own}\n{}",
                    done.out
                );
            }
            let said = done.out.to_lowercase();
            let makes = [
                "make the saddle\n",
                "make the nut\n",
                "nut and saddle together\n",
                "nothing undoes",
            ];
            if command == "steps" {
                for words in makes {
                    let of_nut = words.contains("nut");
                    let of_part = words.starts_with("nothing") || of_nut == job.saddle_stays();
                    assert!(!(stops && said.contains(words)), "{name}: {words}\n{said}");
                    assert!(
                        stops || !of_part || said.contains(words) || words.contains("together") || job.split.len() > 1,
                        "{name}: {words}\n{said}"
                    );
                }
            }
            if matches!(command, "steps" | "plan") {
                assert_eq!(
                    said.contains("do not make this part as it stands"),
                    stops,
                    "{name} {command}\n{said}"
                );
            }
        }
        for page in ["plan", "work", "filing"] {
            let page_text = faces.page(page, "");
            assert_eq!(
                page_text.contains(report::DO_NOT_MAKE),
                stops,
                "{name} {page}\n{page_text}"
            );
            for why in &whys {
                assert!(has(&page_text, why), "{name} {page}: {why}\n{page_text}");
            }
            assert!(
                !(stops && page == "work" && page_text.contains("nothing undoes")),
                "{name}\n{page_text}"
            );
        }
        let drawn = run(bonewright()
            .arg("draw")
            .arg(&faces.path)
            .args(["--only", "svg", "--force", "--out"])
            .arg(faces.folder.path().join("drawn")));
        assert_eq!(drawn.code, i32::from(stops), "{name} draw: {}", drawn.err);
    }
}
