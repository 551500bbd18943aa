//! `--out` of `bonewright filing` and `bonewright tolerance` as a user runs it, from outside.

use crate::binary::{bonewright, example, golden, run};
use crate::doubted::AGAIN;

/// The sheets are whole, read by their own first bytes and words; the page is the same with and without them.
#[test]
fn sheets_are_written_beside_the_page() {
    let folder = tempfile::tempdir().unwrap();
    let job = example("parlour.toml");
    for (command, more, words) in [
        ("filing", ["--forward", "1/64 in"], ["move forward", "leave proud by"]),
        (
            "tolerance",
            ["--samples", "500"],
            ["Action at fret 12", "Readings that make the spread"],
        ),
    ] {
        let out = folder.path().join(command);
        let drawn = |more: &[&str]| {
            let mut all = bonewright();
            all.arg(command).arg(&job).args(more);
            run(&mut all)
        };
        let with_out = |last: &[&str]| drawn(&[&more[..], &["--out", out.to_str().unwrap()], last].concat());
        let (plain, first) = (drawn(&more), with_out(&[]));
        assert_eq!((plain.code, first.code), (0, 0), "{}", first.err);
        assert_eq!(plain.out, first.out);
        let read = |ending: &str| std::fs::read(out.join(format!("parlour-{command}{ending}"))).unwrap();
        assert!(read(".pdf").starts_with(b"%PDF"));
        assert!(read("-1.png").starts_with(b"\x89PNG"));
        let svg = String::from_utf8(read("-1.svg")).unwrap();
        for word in words {
            assert!(svg.contains(word), "{word}");
        }
        // Nothing is replaced unless asked, and then by the same bytes.
        assert_eq!(with_out(&[]).code, 3);
        assert_eq!(with_out(&["--force"]).code, 0);
        assert_eq!(String::from_utf8(read("-1.svg")).unwrap(), svg);
    }
}

/// What was read, as sheets: of several saddles each has its own, and so has a nut alone. `check` says the same with and without them.
#[test]
fn what_was_read_is_drawn() {
    let folder = tempfile::tempdir().unwrap();
    let check = |name: &str, more: &[&str]| run(bonewright().arg("check").arg(example(name)).args(more));
    let out = folder.path().join("read");
    let there = ["--out", out.to_str().unwrap()];
    for (name, stems) in [
        ("nut-only.toml", &["nut-only"][..]),
        ("split-saddle.toml", &["split-saddle-bass", "split-saddle-treble"]),
    ] {
        let (plain, drawn) = (check(name, &[]), check(name, &there));
        assert_eq!((plain.code, drawn.code), (0, 0), "{}", drawn.err);
        assert_eq!(plain.out, drawn.out);
        for stem in stems {
            let read = |ending: &str| std::fs::read(out.join(format!("{stem}-check{ending}"))).unwrap();
            assert!(read(".pdf").starts_with(b"%PDF") && read("-1.png").starts_with(b"\x89PNG"));
            assert!(String::from_utf8(read("-1.svg")).unwrap().contains("What was read"));
        }
        // Nothing is replaced unless asked.
        assert_eq!(check(name, &there).code, 3);
        assert_eq!(check(name, &[&there[..], &["--force"]].concat()).code, 0);
    }
}

/// Words and marks of a sheet, a line each.
fn told(svg: &str) -> String {
    let mut told = String::new();
    for line in svg.lines() {
        let attribute = |name: &str| {
            line.split_once(&format!(" {name}=\""))
                .and_then(|(_, rest)| rest.split('"').next())
        };
        if let Some(id) = attribute("id").filter(|id| id.starts_with("read-")) {
            let [x, y, r] = ["cx", "cy", "r"].map(|name| attribute(name).unwrap());
            told += &format!("{id} at {x} {y}, radius {r}\n");
        }
    }
    let texts = svg.split("<text").skip(1).filter_map(|text| text.split_once('>'));
    for (_, text) in texts {
        told += text.split("</text>").next().unwrap().trim();
        told += "\n";
    }
    told
}

#[test]
fn the_parlour_s_readings_are_drawn_as_they_were() {
    let folder = tempfile::tempdir().unwrap();
    let done = run(bonewright()
        .arg("check")
        .arg(example("parlour.toml"))
        .arg("--out")
        .arg(folder.path()));
    assert_eq!(done.code, 0, "{}", done.err);
    let svg = std::fs::read_to_string(folder.path().join("parlour-check-1.svg")).unwrap();
    golden("parlour-check.txt", &told(&svg));
}

/// The reading that `check` accuses first is crossed out, with the words beside it.
#[test]
fn what_check_accuses_is_crossed_out() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("wrong.toml");
    let text = std::fs::read_to_string(example("sound.toml")).unwrap() + AGAIN;
    std::fs::write(&job, text.replace("9.63, 9.45", "10.28, 9.45")).unwrap();
    let done = run(bonewright().arg("check").arg(&job).arg("--out").arg(folder.path()));
    assert_eq!(done.code, 0, "{}", done.err);
    assert!(done.out.contains("The height of the present saddle at"), "{}", done.out);
    let svg = told(&std::fs::read_to_string(folder.path().join("wrong-check-1.svg")).unwrap());
    for words in [
        "Does not fit the others: string 4",
        "Crossed out: it does not fit the others.",
    ] {
        assert!(svg.replace('\n', " ").contains(words), "{words}\n{svg}");
    }
}

/// A list read from the wrong end: `check` names it as one slip, and draws which readings do not fit.
#[test]
fn a_list_from_the_wrong_end_is_crossed_out() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("turned.toml");
    let text = std::fs::read_to_string(example("sound.toml")).unwrap() + AGAIN;
    let [right, turned] = [
        "9.17, 9.54, 9.63, 9.45, 8.99, 8.27",
        "8.27, 8.99, 9.45, 9.63, 9.54, 9.17",
    ];
    assert!(text.contains(right));
    std::fs::write(&job, text.replace(right, turned)).unwrap();
    let done = run(bonewright().arg("check").arg(&job).arg("--out").arg(folder.path()));
    assert!(
        done.code == 0
            && done
                .out
                .split_whitespace()
                .collect::<Vec<_>>()
                .join(" ")
                .contains("from the wrong end"),
        "{} {}",
        done.out,
        done.err
    );
    let svg = told(&std::fs::read_to_string(folder.path().join("turned-check-1.svg")).unwrap());
    let words = svg.replace('\n', " ");
    assert!(words.contains("sure to 0.02 mm. Does not fit the others"), "{svg}");
}
