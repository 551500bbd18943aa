//! Two spellings of one word.

/// Words of choices and names as they are spelled in the United States or written in full, and as they are here.
const SPELLINGS: [(&str, &str); 16] = [
    ("aluminum", "aluminium"),
    ("center", "centre"),
    ("centered", "centred"),
    ("centers", "centres"),
    ("color", "colour"),
    ("fiber", "fibre"),
    ("gray", "grey"),
    ("mold", "mould"),
    ("inch", "in"),
    ("inches", "in"),
    ("millimeter", "mm"),
    ("millimeters", "mm"),
    ("millimetre", "mm"),
    ("millimetres", "mm"),
    ("thous", "thou"),
    ("thousandths", "thou"),
];

/// Whether two texts are the same choice: in large or small letters, parted by spaces, hyphens or `_`, in either spelling of English.
#[must_use]
pub fn same_word(a: &str, b: &str) -> bool {
    let words = |text: &'_ str| -> Vec<String> {
        let parts = text.split(|c: char| c.is_whitespace() || matches!(c, '-' | '_' | '‐' | '‑' | '–'));
        parts.filter(|part| !part.is_empty()).map(here).collect()
    };
    a == b || words(a) == words(b)
}

/// A word in small letters as it is spelled here.
fn here(word: &str) -> String {
    let word = word.to_lowercase();
    let found = SPELLINGS.iter().find(|(there, _)| *there == word);
    found.map_or(word, |(_, here)| (*here).to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_choice_in_several_spellings() {
        for (a, b) in [
            ("equal centers", "equal centres"),
            ("Equal Centers", "equal centres"),
            ("center", "centre"),
            ("drop in", "drop-in"),
            ("Drop_In", "drop-in"),
            ("pin-holes", "pin holes"),
            (" a4 ", "A4"),
            ("linen fiber", "linen fibre"),
            ("Inches", "in"),
        ] {
            assert!(same_word(a, b) && same_word(b, a), "{a}: {b}");
        }
        for (a, b) in [
            ("equal center", "equal centres"),
            ("dropin", "drop-in"),
            ("equal", "equal centres"),
            ("inn", "inch"),
            ("", "mm"),
            ("-", "flat"),
            ("light 12-53", "light 125-3"),
        ] {
            assert!(!same_word(a, b), "{a}: {b}");
        }
    }

    /// No two choices of one field are the same word; they are given together here, which is stricter.
    #[test]
    fn the_choices_stay_apart() {
        let words = [
            "equal gaps",
            "equal centres",
            "centre",
            "side",
            "straightedge",
            "reference saddle",
            "at pitch",
            "slack",
            "through",
            "drop-in",
            "pin holes",
            "tie block",
            "smooth",
            "stepped",
            "wound",
            "plain",
            "mm",
            "in",
            "thou",
            "imperial",
            "metric",
            "A4",
            "Letter",
            "flat",
            "on edge",
            "both",
            "shelf",
            "straight",
            "single",
            "pairs",
            "octave",
            "offsets",
            "best-fit",
            "seat",
            "raw top",
        ];
        for (at, a) in words.iter().enumerate() {
            assert!(words.iter().skip(at + 1).all(|b| !same_word(a, b)), "{a}");
        }
    }
}
