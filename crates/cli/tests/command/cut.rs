//! `bonewright cut` and `bonewright replay`: every example, what is refused, and that nothing is written then.

use crate::binary::{bonewright, example, examples, nut_alone_examples, run};
use serde_json::Value;
use std::path::Path;

/// Cuts an example on edge into `folder`.
fn cut(job: &Path, folder: &Path, more: &[&str]) -> crate::binary::Run {
    run(bonewright().arg("cut").arg(job).arg("--out").arg(folder).args(more))
}

fn names(folder: &Path) -> Vec<String> {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return Vec::new();
    };
    let mut names: Vec<String> = entries
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

/// Every example is cut.
#[test]
fn every_example_is_cut_on_edge() {
    for job in examples() {
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().join("out");
        let done = cut(&job, &out, &["--setup", "on-edge", "--part", "saddle"]);
        assert_eq!(done.code, 0, "{}: {}", job.display(), done.err);
        let files = names(&out);
        assert_eq!(files.iter().filter(|f| f.ends_with(".ngc")).count(), 2, "{files:?}");
        for ending in ["-setup.pdf", "-setup-1.svg", "-on-edge-left.png"] {
            assert!(files.iter().any(|f| f.ends_with(ending)), "{ending}: {files:?}");
        }
    }
}

/// A name as long as a file system takes is written in several lines on the sheet, whole.
#[test]
fn a_long_file_name_has_its_sheets() {
    let folder = tempfile::tempdir().unwrap();
    let name = format!("{}-of-a-guitar", "a-saddle-with-a-long-name-".repeat(6));
    assert!(name.len() > 150);
    let job = folder.path().join(format!("{name}.toml"));
    std::fs::copy(example("parlour-both.toml"), &job).unwrap();
    for part in ["saddle", "nut"] {
        let out = folder.path().join(part);
        let done = cut(&job, &out, &["--part", part, "--setup", "both"]);
        assert_eq!(done.code, 0, "{}", done.err);
        let sheets = names(&out).into_iter().filter(|file| file.ends_with(".svg"));
        let text: String = sheets
            .map(|file| std::fs::read_to_string(out.join(file)).unwrap())
            .collect();
        assert!(text.contains("long-name-") && text.contains("1.ngc"), "{part}");
        assert!(!text.contains(&name), "{part}: one line");
    }
}

/// Every example's outline is cut.
#[test]
fn every_example_is_cut_flat() {
    for job in examples() {
        let done = run(bonewright().arg("cut").arg(&job).args(["--setup", "flat", "--dry-run"]));
        assert_eq!(done.code, 0, "{}: {}", job.display(), done.err);
    }
}

/// Every nut of the examples: outline, then grooves in all of its slots, each program of its own tool.
#[test]
fn every_nut_of_the_examples_is_cut() {
    let mut cut_nuts = 0;
    for job in examples().into_iter().chain(nut_alone_examples()) {
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().join("out");
        let done = cut(&job, &out, &["--part", "nut"]);
        if done.code == 2 {
            assert!(done.err.contains("no nut to make"), "{}", done.err);
            continue;
        }
        assert_eq!(done.code, 0, "{}: {}", job.display(), done.err);
        let files = names(&out);
        for ending in [
            "-nut-flat-1.ngc",
            "-nut-on-edge-1.ngc",
            "-nut-setup.pdf",
            "-nut-flat-left.png",
            "-nut-on-edge-left.png",
        ] {
            assert!(files.iter().any(|f| f.ends_with(ending)), "{ending}: {files:?}");
        }
        assert!(done.out.contains("gauged to its"), "{}", done.out);
        assert!(!done.out.to_lowercase().contains("no groove"), "{}", done.out);
        cut_nuts += 1;
    }
    assert!(cut_nuts >= 4, "{cut_nuts}");
}

/// A program says at its head which part it cuts, and is judged as that; another part's job is refused, and a deeper groove too.
#[test]
fn programs_of_a_nut_are_replayed() {
    let folder = tempfile::tempdir().unwrap();
    for name in ["nut-only", "eight-string"] {
        let job = example(&format!("{name}.toml"));
        let out = folder.path().join(name);
        let done = cut(&job, &out, &["--part", "nut"]);
        assert_eq!(done.code, 0, "{}", done.err);
        let programs: Vec<String> = names(&out).into_iter().filter(|file| file.ends_with(".ngc")).collect();
        assert_eq!(programs.len(), 3, "{programs:?}");
        for program in programs {
            let path = out.join(&program);
            let replay =
                |job: &Path, more: &[&str]| run(bonewright().arg("replay").arg(&path).arg("--job").arg(job).args(more));
            let done = replay(&job, &[]);
            assert_eq!(done.code, 0, "{program}: {}", done.err);
            let other = replay(&example("parlour.toml"), &[]);
            assert_eq!(other.code, 2, "{program}: {}", other.err);
            assert!(other.err.contains("has none to make"), "{}", other.err);
            let part = replay(&job, &["--part", "saddle"]);
            assert_eq!(part.code, 2, "{program}: {}", part.err);
            assert!(part.err.contains("it cuts a nut"), "{}", part.err);
            if program.contains("on-edge-1") {
                // The deepest groove 0.1 mm deeper.
                let text = std::fs::read_to_string(&path).unwrap();
                let heights = text.split_whitespace().filter_map(|word| word.strip_prefix('Z'));
                let heights = heights.filter(|word| word.parse::<f64>().is_ok());
                let deepest = heights.min_by(|a, b| a.parse::<f64>().unwrap().total_cmp(&b.parse().unwrap()));
                let deepest = deepest.unwrap();
                let deeper = format!("{:.4}", deepest.parse::<f64>().unwrap() - 0.1);
                std::fs::write(&path, text.replace(deepest, &deeper)).unwrap();
                let done = replay(&job, &[]);
                assert_eq!(done.code, 4, "{program}");
                assert!(done.err.contains("into the finished"), "{}", done.err);
            }
        }
    }
}

/// A saw wants a slow spindle and slots that run straight across.
#[test]
fn a_nut_is_sawn_on_end_where_the_machine_allows() {
    let saw = |name: &str, more: &[&str]| {
        let args = ["--part", "nut", "--setup", "on-end", "--dry-run"];
        run(bonewright().arg("cut").arg(example(name)).args(args).args(more))
    };
    let fast = saw("nylon-nut.toml", &[]);
    assert_eq!(fast.code, 4, "{}", fast.err);
    assert!(
        fast.err.contains("faster than") && fast.err.contains("[nut_cut]"),
        "{}",
        fast.err
    );
    let mill = ["--machine", "small ballscrew mill"];
    let done = saw("nylon-nut.toml", &mill);
    assert_eq!(done.code, 0, "{}", done.err);
    assert!(
        done.out.contains("nut-on-end-1.ngc") && !done.out.to_lowercase().contains("no groove"),
        "{}",
        done.out
    );
    // The posts of the parlour draw its middle strings far apart.
    let done = saw("parlour-both.toml", &mill);
    assert_eq!(done.code, 0, "{}", done.err);
    assert!(done.out.contains("aslant"), "{}", done.out);
    let saddle = run(bonewright()
        .arg("cut")
        .arg(example("parlour.toml"))
        .args(["--setup", "on-end", "--dry-run"]));
    assert_eq!(saddle.code, 2, "{}", saddle.err);
}

#[test]
fn what_was_written_is_in_order_and_what_is_edited_is_not() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    let job = example("parlour.toml");
    let done = cut(&job, &out, &[]);
    assert_eq!(done.code, 0, "{}", done.err);
    assert!(
        done.out.contains("micrometres") && done.out.contains("AIR-CUT"),
        "{}",
        done.out
    );
    let replay =
        |file: &Path, more: &[&str]| run(bonewright().arg("replay").arg(file).arg("--job").arg(&job).args(more));
    let path = |number: u32| out.join(format!("parlour-on-edge-{number}.ngc"));
    for number in [1, 2] {
        let same = replay(&path(number), &[]);
        assert_eq!(same.code, 0, "{}", same.err);
        let page = replay(&path(number), &["--json"]);
        let page: Value = serde_json::from_str(&page.out).unwrap();
        assert_eq!(page["in_order"], true);
        assert!(page["motions"].as_array().unwrap().len() > 20);
    }
    let edited = folder.path().join("edited.ngc");
    let text = std::fs::read_to_string(path(2)).unwrap();
    type Edit = fn(&str) -> String;
    let edits: [(&str, Edit, &str); 11] = [
        ("no spindle", |t| t.replace(" M3", ""), "spindle"),
        ("inches", |t| t.replacen("G21", "G20", 1), "inches"),
        ("cut short", |t| t[..t.len() / 2].to_owned(), "end"),
        ("another tool", |t| t.replacen("(Tool 3:", "(Tool 1:", 1), "mm"),
        // The tool is taken to stand at nought: it is the words that count.
        (
            "a slanting start",
            |t| t.replacen("G0 Z", "G0 X0 Y0 Z", 1),
            "names Z alone",
        ),
        ("no wait", |t| t.replacen("G4 P4.0\n", "", 1), "G4 P4.0"),
        ("an absurd wait", |t| t.replacen("G4 P4.0", "G4 P100000", 1), "100000 s"),
        ("a length on top", |t| t.replacen("G49", "G43 H3", 1), "G43"),
        (
            "a long line",
            |t| {
                t.replacen(
                    "M5\n",
                    "M5 (a remark that goes on and on and on until a small controller no longer reads it)\n",
                    1,
                )
            },
            "the machine takes 80",
        ),
        (
            "a word that the machine does not take",
            |t| t.replacen("G94", "G94 G43.4", 1),
            "G43.4",
        ),
        ("deeper", |t| deeper(t), "cuts"),
    ];
    for (what, edit, word) in edits {
        let new = edit(&text);
        assert_ne!(new, text, "{what}");
        std::fs::write(&edited, new).unwrap();
        let done = replay(&edited, &[]);
        assert_eq!(done.code, 4, "{what}: {}{}", done.out, done.err);
        let words = done.err.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains(word), "{what}: {words}");
        assert!(words.contains("edited since it was written"), "{what}: {words}");
        let page = replay(&edited, &["--json"]);
        assert_eq!(page.code, 4);
        let page: Value = serde_json::from_str(&page.out).unwrap();
        assert_eq!(page["in_order"], false, "{what}");
    }
}

/// What the times leave out, and what was assumed of the jaws, is said in the text and on the sheet.
#[test]
fn says_what_was_assumed_and_not_counted() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("job.toml");
    let text = std::fs::read_to_string(example("parlour.toml")).unwrap();
    // The same height as is assumed: two fifths of the stock, in whole half millimetres.
    for (more, assumed) in [("", true), ("\n[cut]\nvise = { jaw_height = \"5 mm\" }\n", false)] {
        std::fs::write(&job, format!("{text}{more}")).unwrap();
        let out = folder.path().join(format!("out-{assumed}"));
        let done = cut(&job, &out, &["--setup", "both"]);
        assert_eq!(done.code, 0, "{}", done.err);
        let words = done.out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(
            words.contains("taken to stand 197.0 thou (5.00 mm) above the parallel"),
            assumed,
            "{words}"
        );
        assert!(words.contains("changing tools and the air cut not counted"), "{words}");
        let sheets = sheets(&out);
        assert_eq!(sheets.contains("(assumed: measure"), assumed);
        assert!(sheets.contains("counted"));
    }
}

/// All setup sheets in a folder, as one text of words.
fn sheets(folder: &Path) -> String {
    let sheets = names(folder)
        .into_iter()
        .filter(|name| name.contains("-setup-") && name.ends_with(".svg"));
    let texts: Vec<String> = sheets
        .map(|name| std::fs::read_to_string(folder.join(name)).unwrap())
        .collect();
    // What stands between the tags, line after line.
    let words = texts
        .iter()
        .flat_map(|text| text.split('<').filter_map(|piece| piece.split_once('>')).map(|p| p.1));
    words.flat_map(str::split_whitespace).collect::<Vec<_>>().join(" ")
}

/// The mark at the head of a program.
fn mark(program: &Path) -> String {
    let text = std::fs::read_to_string(program).unwrap();
    let line = text
        .lines()
        .find_map(|line| line.strip_prefix("(Mark: ")?.strip_suffix(')'));
    line.unwrap_or_else(|| panic!("{text:.400}")).to_owned()
}

/// The outline comes first, and the crown is cut from what it left; both sheets say how the saddle finds its place.
#[test]
fn the_second_setup_of_a_saddle_starts_from_what_the_first_left() {
    let folder = tempfile::tempdir().unwrap();
    for name in ["parlour", "nylon-drop-in"] {
        let (job, out) = (example(&format!("{name}.toml")), folder.path().join(name));
        let done = cut(&job, &out, &["--setup", "both", "--part", "saddle"]);
        assert_eq!(done.code, 0, "{}", done.err);
        let (flat, edge) = (
            done.out.find("Cutting flat").unwrap(),
            done.out.find("Cutting on edge").unwrap(),
        );
        assert!(flat < edge, "{}", done.out);
        let said = done.out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains("the saddle with its outline cut"), "{said}");
        let sheets = sheets(&out);
        for words in [
            "Cut the outline first, while the stock is a whole block",
            "X zero is its own end, not the end of the stock that it came from",
            "Check before you let it go",
        ] {
            assert!(sheets.contains(words), "{words}: {sheets}");
        }
        // On edge alone the block is whole, and more is taken from it.
        let alone = folder.path().join(format!("{name}-alone"));
        let done = cut(&job, &alone, &["--setup", "on-edge", "--part", "saddle"]);
        assert_eq!(done.code, 0, "{}", done.err);
        let file = format!("{name}-on-edge-1.ngc");
        let taken = |folder: &Path| {
            let replay = run(bonewright()
                .arg("replay")
                .arg(folder.join(&file))
                .arg("--job")
                .arg(&job)
                .arg("--json"));
            assert_eq!(replay.code, 0, "{}", replay.err);
            let page: Value = serde_json::from_str(&replay.out).unwrap();
            page["removed"].as_f64().unwrap()
        };
        assert!(taken(&out) < 0.8 * taken(&alone), "{} {}", taken(&out), taken(&alone));
        // The block's program does not pass for the outlined one's.
        assert_ne!(mark(&out.join(&file)), mark(&alone.join(&file)));
    }
}

/// No tool after the first is sent to the raw top, which is gone by then: it takes its Z from the fixed jaw, with a figure.
#[test]
fn later_tools_take_their_z_from_what_stays() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("job.toml");
    let text = std::fs::read_to_string(example("parlour.toml")).unwrap();
    for (zero, jaw) in [("seat", "5.000"), ("raw top", "-7.700")] {
        std::fs::write(&job, format!("{text}\n[cut]\nzero = \"{zero}\"\n")).unwrap();
        for (machine, count) in [
            ("small belt router", 2),
            ("small screw router", 1),
            ("small ballscrew mill", 1),
        ] {
            let out = folder.path().join(format!("{zero}-{machine}"));
            let done = cut(&job, &out, &["--machine", machine]);
            assert_eq!(done.code, 0, "{zero}, {machine}: {}", done.err);
            let programs: Vec<String> = names(&out).into_iter().filter(|f| f.ends_with(".ngc")).collect();
            assert_eq!(programs.len(), count, "{programs:?}");
            let text: String = programs
                .iter()
                .map(|f| std::fs::read_to_string(out.join(f)).unwrap())
                .collect();
            let sheets = sheets(&out).replace('\u{2212}', "-");
            if machine == "small ballscrew mill" {
                assert!(
                    text.contains("T1 M6\nG43 H1\n") && text.contains("T3 M6\nG43 H3\n"),
                    "{text:.900}"
                );
                assert!(
                    sheets.contains("G43 H3") && sheets.contains("Do not set Z again"),
                    "{sheets}"
                );
                continue;
            }
            assert!(!text.contains("M6") && !text.contains("\nT") && !text.contains("G43"));
            let said = if zero == "seat" {
                format!("Touch off on the top of the fixed jaw: Z is {jaw} mm plus the gauge")
            } else {
                format!("Touch off on the top of the fixed jaw: Z as the first tool read it there, about {jaw} mm")
            };
            let words = text.replace(")\n(", " ").replace("touch off", "Touch off");
            assert!(words.matches(&said).count() >= 2, "{words:.900}");
            assert!(
                sheets.contains(jaw) && sheets.contains("the top of the fixed jaw"),
                "{sheets}"
            );
            assert_eq!(
                sheets.contains("the raw top of the stock is gone"),
                zero == "raw top",
                "{sheets}"
            );
            if count == 1 {
                let stop = text.find("\nM0\n").unwrap();
                assert!(
                    text[..stop].ends_with("(Lift it clear, then go on)")
                        && text[..stop].contains("M5\n(Tool 3: put in ball 3 mm)")
                );
                assert!(text[stop..].starts_with("\nM0\nG0 Z") && text[stop..].contains(" M3\nG4 P5.0\n"));
            }
        }
    }
}

/// Program, sheet and page carry one mark. A program of another plan or way of cutting is refused by its name, an edited one is told and judged.
#[test]
fn a_program_is_known_by_its_mark() {
    let folder = tempfile::tempdir().unwrap();
    let (job, out) = (folder.path().join("job.toml"), folder.path().join("out"));
    let text = std::fs::read_to_string(example("parlour.toml")).unwrap();
    std::fs::write(&job, &text).unwrap();
    let done = cut(&job, &out, &[]);
    assert_eq!(done.code, 0, "{}", done.err);
    let program = out.join("job-on-edge-1.ngc");
    let own = mark(&program);
    assert!(sheets(&out).contains(&format!("mark {own}")));
    assert!(done.out.contains(&format!("mark {own}")), "{}", done.out);
    let replay = |more: &[&str]| {
        run(bonewright()
            .arg("replay")
            .arg(&program)
            .arg("--job")
            .arg(&job)
            .args(more))
    };
    assert_eq!(replay(&["--mark", &own]).code, 0);
    // Another run gives the same.
    let again = folder.path().join("again");
    assert_eq!(cut(&job, &again, &[]).code, 0);
    assert_eq!(mark(&again.join("job-on-edge-1.ngc")), own);

    let refused = |done: crate::binary::Run, words: &str| {
        assert_eq!(done.code, 4, "{}", done.err);
        let said = done.err.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains(words) && said.contains(&own), "{said}");
    };
    refused(replay(&["--mark", "0123abcd"]), "do not belong together");
    refused(replay(&["--machine", "small screw router"]), "another way of cutting");
    refused(
        replay(&["--machine", "small screw router"]),
        "for the machine \"small belt router\"",
    );
    std::fs::write(
        &job,
        text.replace("lean = \"0.022 over 0.139\"", "lean = \"0.024 over 0.139\""),
    )
    .unwrap();
    refused(replay(&[]), "another plan");
    std::fs::write(&job, format!("{text}\n[cut]\nrough_allowance = \"0.2 mm\"\n")).unwrap();
    refused(replay(&[]), "another way of cutting");
    // A remark in the job changes nothing.
    std::fs::write(&job, format!("{text}\n# a remark\n")).unwrap();
    assert_eq!(replay(&[]).code, 0);

    let original = std::fs::read_to_string(&program).unwrap();
    // A slower feed: sound, and told.
    std::fs::write(
        &program,
        original.replacen("(rough the crown)", "(rough the crown, watched)", 1),
    )
    .unwrap();
    let told = replay(&[]);
    assert_eq!(told.code, 0, "{}", told.err);
    assert!(told.err.contains("edited since it was written"), "{}", told.err);
    // A mark that was written over says nothing any more.
    std::fs::write(&program, original.replace(&own, "0123abcd")).unwrap();
    let broken = replay(&[]);
    assert_eq!(broken.code, 4);
    assert!(broken.err.contains("do not belong together"), "{}", broken.err);
    // Without any: told, and judged.
    let bare: String = original
        .lines()
        .filter(|l| !l.contains("(Mark:"))
        .map(|l| format!("{l}\n"))
        .collect();
    std::fs::write(&program, bare).unwrap();
    let bare = replay(&[]);
    assert_eq!(bare.code, 0, "{}", bare.err);
    assert!(bare.err.contains("carries no mark"), "{}", bare.err);
    assert_eq!(replay(&["--mark", &own]).code, 4);
}

/// The setup is read from the head of the program; what contradicts it is told.
/// A program of very many arcs is not simulated for minutes: it is refused at the line with which it becomes too long.
#[test]
fn a_program_without_end_is_refused_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let program = folder.path().join("arcs.ngc");
    let arc = |i: u32| {
        format!(
            "G{}X{}Y0I{}J0F300\n",
            2 + i % 2,
            1 - i % 2,
            if i.is_multiple_of(2) { ".5" } else { "-.5" }
        )
    };
    let arcs: String = (0..45_000).map(arc).collect();
    std::fs::write(
        &program,
        format!("G21\nG90\nG17\nG91.1\nM3 S12000\nG4 P5\nG0 Z30\nG0 X0 Y0\nG1 Z5 F300\n{arcs}G0 Z30\nM5\nM2\n"),
    )
    .unwrap();
    let began = std::time::Instant::now();
    let done = run(bonewright()
        .arg("replay")
        .arg(&program)
        .arg("--job")
        .arg(example("parlour.toml")));
    assert_eq!(done.code, 4, "{}", done.err);
    let said = done.err.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        said.contains("simulated no further") && said.contains("fewer arcs"),
        "{said}"
    );
    // Simulated it takes over a minute.
    assert!(
        began.elapsed() < std::time::Duration::from_secs(15),
        "{:?}",
        began.elapsed()
    );
}

#[test]
fn replay_reads_the_head() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    let job = example("parlour.toml");
    let done = cut(&job, &out, &["--setup", "both"]);
    assert_eq!(done.code, 0, "{}", done.err);
    let replay = |file: &Path, job: &Path, more: &[&str]| {
        run(bonewright().arg("replay").arg(file).arg("--job").arg(job).args(more))
    };
    let flat = out.join("parlour-flat-1.ngc");
    for program in [
        &flat,
        &out.join("parlour-on-edge-1.ngc"),
        &out.join("parlour-on-edge-2.ngc"),
    ] {
        let same = replay(program, &job, &[]);
        assert_eq!((same.code, same.err.as_str()), (0, ""));
    }
    let wrong = replay(&flat, &job, &["--setup", "on-edge"]);
    assert_eq!(wrong.code, 2);
    assert!(
        wrong.err.contains("for the setup flat") && wrong.err.contains("--setup says on-edge"),
        "{}",
        wrong.err
    );
    let text = std::fs::read_to_string(&flat).unwrap();
    let edited = folder.path().join("edited.ngc");
    std::fs::write(&edited, text.replace("(Setup: flat", "(Setup: flatt")).unwrap();
    let unknown = replay(&edited, &job, &[]);
    assert_eq!(unknown.code, 2);
    assert!(
        unknown.err.contains("\"flatt\"") && unknown.err.contains("\"on-edge\""),
        "{}",
        unknown.err
    );
    // Without its comments the setup must be said.
    let bare: String = text
        .lines()
        .filter(|l| !l.starts_with('('))
        .map(|l| format!("{l}\n"))
        .collect();
    std::fs::write(&edited, bare).unwrap();
    assert_eq!(replay(&edited, &job, &["--setup", "flat"]).code, 0);
    assert_eq!(replay(&edited, &job, &[]).code, 4);
    // Another job's program is told.
    let other = folder.path().join("other.toml");
    let job_text = std::fs::read_to_string(&job).unwrap();
    let line = job_text.lines().find(|l| l.starts_with("title")).unwrap();
    std::fs::write(&other, job_text.replace(line, "title = \"Another one\"")).unwrap();
    let told = replay(&flat, &other, &[]);
    assert_eq!(told.code, 0, "{}", told.err);
    assert!(
        told.err.contains("made for the job") && told.err.contains("Another one"),
        "{}",
        told.err
    );
}

/// One Z in the middle of the cut lowered by 0.05 mm.
fn deeper(text: &str) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let middle = lines.len() / 2;
    let at = (middle..lines.len()).find(|i| lines[*i].contains(" Z")).unwrap();
    let (before, rest) = lines[at].split_once(" Z").unwrap();
    let (number, after) = rest.split_once(' ').unwrap_or((rest, ""));
    let lower = number.parse::<f64>().unwrap() - 0.05;
    lines[at] = format!("{before} Z{lower:.4} {after}");
    lines.join("\n") + "\n"
}

#[test]
fn a_dry_run_and_a_refusal_write_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    let done = cut(&example("parlour.toml"), &out, &["--dry-run"]);
    assert_eq!(done.code, 0, "{}", done.err);
    assert!(done.out.contains("Nothing was written") && !out.exists());

    let text = std::fs::read_to_string(example("parlour.toml")).unwrap();
    let job = folder.path().join("job.toml");
    for (cut_table, code, word) in [
        ("stock = { height = \"6 mm\" }", 4, "stock"),
        ("vise = { jaw_height = \"11 mm\" }", 4, "jaw"),
        ("finisher = \"flat 2 mm\"", 4, "ball"),
        ("spindle = 3", 1, "cut.spindle"),
        ("spinlde = 12000", 1, "Did you mean `spindle`?"),
    ] {
        std::fs::write(&job, format!("{text}\n[cut]\n{cut_table}\n")).unwrap();
        let done = cut(&job, &out, &[]);
        assert_eq!(done.code, code, "{cut_table}: {}", done.err);
        assert!(done.err.contains(word), "{cut_table}: {}", done.err);
        assert!(!out.exists(), "{cut_table}");
    }
    // A material whose cutting no profile knows.
    let own = folder.path().join("own.toml");
    std::fs::write(
        &own,
        "[[blank_material]]\nname = \"moon rock\"\ndust = \"synthetic\"\nsource = \"invented\"\n",
    )
    .unwrap();
    std::fs::write(&job, text.replace("material = \"bone\"", "material = \"moon rock\"")).unwrap();
    let done = cut(&job, &out, &["--profiles", own.to_str().unwrap()]);
    assert_eq!(done.code, 4);
    assert!(done.err.contains("moon rock") && !out.exists(), "{}", done.err);
}

#[test]
fn nothing_is_overwritten_and_machines_are_known_by_name() {
    let folder = tempfile::tempdir().unwrap();
    let job = example("parlour.toml");
    assert_eq!(cut(&job, folder.path(), &[]).code, 0);
    assert_eq!(cut(&job, folder.path(), &[]).code, 3);
    assert_eq!(cut(&job, folder.path(), &["--force"]).code, 0);
    let unknown = cut(&job, folder.path(), &["--machine", "none"]);
    assert_eq!(unknown.code, 2);
    assert!(unknown.err.contains("small ballscrew mill"), "{}", unknown.err);
    // One program for all tools where the machine changes them.
    let mill = folder.path().join("mill");
    let done = cut(&job, &mill, &["--machine", "small ballscrew mill"]);
    assert_eq!(done.code, 0, "{}", done.err);
    assert_eq!(names(&mill).iter().filter(|f| f.ends_with(".ngc")).count(), 1);
    // No arcs where the machine takes none.
    let lines = folder.path().join("lines");
    let done = cut(&job, &lines, &["--machine", "small router, lines only"]);
    assert_eq!(done.code, 0, "{}", done.err);
    for name in names(&lines).iter().filter(|f| f.ends_with(".ngc")) {
        let text = std::fs::read_to_string(lines.join(name)).unwrap();
        assert!(
            !text.lines().any(|l| l.starts_with("G2 ") || l.starts_with("G3 ")),
            "{name}"
        );
    }
}

/// What the plan leaves proud at first is cut away unless the job says otherwise: that is told, with what to write.
#[test]
fn how_high_the_top_is_cut_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(example("parlour.toml")).unwrap();
    let told = |more: &str| {
        let job = folder.path().join("job.toml");
        std::fs::write(&job, format!("{text}\n[cut]\n{more}\n")).unwrap();
        let done = cut(&job, folder.path(), &["--dry-run"]);
        assert_eq!(done.code, 0, "{}", done.err);
        done.out.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let planned = told("");
    assert!(
        planned.contains("Height: as planned, with nothing left proud."),
        "{planned}"
    );
    let (_, proud) = planned.split_once("The plan leaves the whole saddle ").unwrap();
    let (proud, _) = proud.split_once(" (").unwrap();
    assert!(planned.contains("Write it under [cut] as leave_proud."), "{planned}");
    let left = told(&format!("leave_proud = \"{proud}\""));
    assert!(
        left.contains(&format!("the whole top {proud}")) && !left.contains("The plan leaves"),
        "{left}"
    );
}
