//! Over a zero fret no page speaks of nut slots or a new nut, and each says what is done to the fret.

use crate::binary::{bonewright, example, run};

/// The example in which all is sound, over a zero fret.
fn over(nut: &str, more: &[(&str, &str)]) -> String {
    let mut text = std::fs::read_to_string(example("sound.toml")).unwrap();
    let gap = "first_fret_clearance = { bass = 0.5, treble = 0.35 }";
    for (old, new) in [(gap, nut)].iter().chain(more) {
        assert!(text.contains(old), "{old}");
        text = text.replace(old, new);
    }
    text
}

/// What the commands print of a job, words parted by single spaces.
fn pages(name: &str, text: &str) -> Vec<(String, String)> {
    let folder = std::env::temp_dir().join(format!("bonewright-zero-fret-{name}-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join("job.toml");
    std::fs::write(&path, text).unwrap();
    let commands: [&[&str]; 7] = [
        &["plan"],
        &["plan", "--json"],
        &["assess"],
        &["assess", "--json"],
        &["steps"],
        &["filing", "--forward", "0.3 mm"],
        &["tolerance"],
    ];
    let pages = commands.map(|command| {
        let out = run(bonewright().args(command).arg(&path)).out;
        (command.join(" "), out.split_whitespace().collect::<Vec<_>>().join(" "))
    });
    std::fs::remove_dir_all(folder).unwrap();
    pages.to_vec()
}

fn page<'a>(pages: &'a [(String, String)], command: &str) -> &'a str {
    &pages.iter().find(|(of, _)| of == command).unwrap().1
}

const NOT: [&str; 8] = [
    "nut slot",
    "new nut",
    "Raise the nut",
    "the nut's",
    "a nut setback",
    "A nut setback",
    "First the nut",
    "put the nut in order",
];

fn never_a_nut(pages: &[(String, String)]) {
    for (command, page) in pages {
        assert!(!page.is_empty(), "{command}");
        for words in NOT {
            assert!(!page.contains(words), "{command}: {words} in {page}");
        }
    }
}

#[test]
fn a_kept_one_is_named_and_nothing_is_done_to_it() {
    let pages = pages("kept", &over("zero_fret = \"kept\"\nzero_fret_above = 0", &[]));
    never_a_nut(&pages);
    assert!(page(&pages, "plan").contains("the open strings end on a zero fret"));
    assert!(!page(&pages, "plan").contains("work on the zero fret"));
    assert!(!page(&pages, "steps").contains("zero fret"));
    assert!(page(&pages, "plan --json").contains("\"by\": \"zero-fret\""));
}

#[test]
fn a_dressed_one_is_dressed_before_the_saddle() {
    let pages = pages(
        "dressed",
        &over("zero_fret = \"dressed\"\ndressed = 0.2\nzero_fret_above = 0.3", &[]),
    );
    never_a_nut(&pages);
    assert!(
        page(&pages, "plan").contains("work on the zero fret, its crown 0.20 mm (8.0 thou) down"),
        "{}",
        page(&pages, "plan")
    );
    let steps = page(&pages, "steps");
    let (zero, slot) = (
        steps.find("Bring the zero fret to its height").unwrap(),
        steps.find("Clean the slot").unwrap(),
    );
    assert!(zero < slot);
}

#[test]
fn one_that_is_too_low_or_too_high_has_its_own_remedy() {
    let low = pages("low", &over("zero_fret = \"kept\"\nzero_fret_above = -0.15", &[]));
    never_a_nut(&low);
    let assess = page(&low, "assess");
    assert!(
        assess.contains("Level the frets, or set higher wire at fret 0"),
        "{assess}"
    );
    assert!(page(&low, "plan").contains("Set higher wire at the zero fret, or level the frets."));
    let high = pages("high", &over("zero_fret = \"kept\"\nzero_fret_above = 0.6", &[]));
    never_a_nut(&high);
    let assess = page(&high, "assess");
    assert!(
        assess.contains("Dress the crown of the zero fret down by at least"),
        "{assess}"
    );
    // What it asks for is enough, and not much more.
    let by: f64 = assess
        .split("down by at least ")
        .nth(1)
        .unwrap()
        .split(' ')
        .next()
        .unwrap()
        .parse()
        .unwrap();
    for (off, mends) in [(by + 0.002, true), (by - 0.01, false)] {
        let nut = format!("zero_fret = \"dressed\"\ndressed = {off}\nzero_fret_above = 0.6");
        let then = pages("then", &over(&nut, &[]));
        assert_eq!(!page(&then, "assess").contains("Dress the crown"), mends, "{off}");
    }
}

/// Strings that are held at the land have two ways out, none of which moves the zero fret.
#[test]
fn it_is_no_way_out() {
    let more = [(
        "edge_from_fret_12 = { bass = 324.0, treble = 322.2 }",
        "edge_from_fret_12 = { bass = 320.5, treble = 322.2 }",
    )];
    let pages = pages("held", &over("zero_fret = \"kept\"\nzero_fret_above = 0", &more));
    never_a_nut(&pages);
    assert!(
        page(&pages, "plan").contains("Two ways out, the mildest first"),
        "{}",
        page(&pages, "plan")
    );
}
