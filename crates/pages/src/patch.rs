//! One changed answer put into a job file that may have been written by hand: nothing else in it changes.

use job::{Edit, EditError};

/// The file with the difference between two surveys applied to it; each survey is the job file that the answers make.
///
/// # Errors
/// If a text is no TOML, or something stands where a table should.
pub fn patched(file: &str, before: &str, after: &str) -> Result<String, String> {
    let carried = || {
        let mut edit = Edit::of(file)?;
        edit.carry(&Edit::of(before)?, &Edit::of(after)?)?;
        Ok(edit.text())
    };
    carried().map_err(refused)
}

/// Why a job file is not changed, as a sentence.
pub fn refused(error: EditError) -> String {
    format!("The job file cannot be changed here: {error}.")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_differs_is_changed_and_comments_stay() {
        let file = "# mine\ntitle = \"a\" # behind\n\n[slot]\nwidth = \"3 mm\"   # caliper\nlean = 9\n\n[filing]\ncrown = \"flat\"\n";
        let before = "title = \"a\"\n[slot]\nwidth = \"3 mm\"\nlean = \"9 deg\"\n";
        let after = "title = \"a\"\n[slot]\nwidth = \"3.2 mm\"\nlean = \"9 deg\"\n[bridge]\n# Where:\n# how\nstring_exit = \"pin holes\"\n";
        let out = patched(file, before, after).unwrap();
        assert!(out.contains("# mine\ntitle = \"a\" # behind"), "{out}");
        assert!(out.contains("width = \"3.2 mm\"   # caliper\nlean = 9"), "{out}");
        assert!(
            out.contains("[bridge]\n# Where:\n# how\nstring_exit = \"pin holes\""),
            "{out}"
        );
        assert!(out.contains("[filing]\ncrown = \"flat\""), "{out}");
        let back = patched(&out, after, before).unwrap();
        assert!(!back.contains("[bridge]"), "{back}");
    }

    #[test]
    fn byte_order_mark_and_line_ends_stay() {
        let (before, after) = (
            "title = \"a\"\nnotes = \"n\"\n",
            "title = \"b\"\n[slot]\n# how\nwidth = \"3 mm\"\n",
        );
        for (mark, end) in [("", "\r\n"), ("\u{feff}", "\n"), ("\u{feff}", "\r\n")] {
            let file = format!("{mark}# mine\ntitle = \"a\" # behind\nnotes = \"n\"\n").replace('\n', end);
            let out = patched(&file, before, after).unwrap();
            let wanted = format!("{mark}# mine\ntitle = \"b\" # behind\n");
            assert!(out.starts_with(&wanted.replace('\n', end)), "{out:?}");
            assert_eq!(out.matches('\n').count(), out.matches(end).count(), "{out:?}");
            assert!(
                out.contains("[slot]") && !out[mark.len()..].contains('\u{feff}'),
                "{out:?}"
            );
        }
    }

    #[test]
    fn spelled_out_strings_follow_their_numbers() {
        let one = |n: u32, gauge: &str| format!("[[string]]\nnumber = {n}\ngauge = \"{gauge}\"\n");
        let before = one(2, "16 thou") + &one(1, "12 thou");
        let after = one(3, "24 thou") + &one(2, "17 thou");
        let out = patched(&before, &before, &after).unwrap();
        let read: toml::Table = out.parse().unwrap();
        let found: Vec<(i64, &str)> = read["string"]
            .as_array()
            .unwrap()
            .iter()
            .map(|string| {
                (
                    string["number"].as_integer().unwrap(),
                    string["gauge"].as_str().unwrap(),
                )
            })
            .collect();
        assert_eq!(found, [(2, "17 thou"), (3, "24 thou")]);
    }
}
