//! `--out` of `bonewright filing` and `bonewright tolerance` as a user runs it, from outside.

use crate::binary::{bonewright, example, run};

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
