//! Names of files made from what people call their jobs: any title, any letters.

use crate::name::JobName;

/// Most characters of a title, as the job file has it.
pub const TITLE: usize = 200;

/// A title as it is kept: one line, no longer than a job's title may be.
#[must_use]
pub fn title_of(typed: &str) -> String {
    let plain: String = typed.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    plain
        .trim()
        .chars()
        .take(TITLE)
        .collect::<String>()
        .trim_end()
        .to_owned()
}

/// Whether a name is one of these; names that differ in capitals alone are the same.
#[must_use]
pub fn has(taken: &[JobName], name: &JobName) -> bool {
    taken
        .iter()
        .any(|other| other.as_str().eq_ignore_ascii_case(name.as_str()))
}

/// How a letter outside a to z is written in a file's name: two letters where that is common practice, else without its mark, which
/// may also follow the letter as a sign of its own. Common practice of German and its neighbours, from memory.
fn plain(c: char) -> Option<&'static str> {
    Some(match c {
        'ä' | 'æ' => "ae",
        'ö' | 'ø' | 'œ' => "oe",
        'ü' => "ue",
        'ß' => "ss",
        'å' | 'á' | 'à' | 'â' | 'ã' => "a",
        'é' | 'è' | 'ê' | 'ë' => "e",
        'í' | 'ì' | 'î' | 'ï' => "i",
        'ó' | 'ò' | 'ô' | 'õ' => "o",
        'ú' | 'ù' | 'û' => "u",
        'ç' => "c",
        'ñ' => "n",
        // Marks that follow their letter.
        '\u{300}'..='\u{36f}' => "",
        _ => return None,
    })
}

/// A name for a file that none has yet: what was typed if that can be a name, else one made from it.
#[must_use]
pub fn free(taken: &[JobName], typed: &str) -> JobName {
    let own = JobName::parse(typed.trim()).filter(|name| !has(taken, name));
    own.or_else(|| made(taken, typed)).unwrap_or_else(JobName::fallback)
}

/// A name made from a title, which none has yet.
#[must_use]
pub fn of_title(taken: &[JobName], title: &str) -> JobName {
    made(taken, title).unwrap_or_else(JobName::fallback)
}

/// As [`of_title`]; none could only be where all are taken.
#[must_use]
pub fn made(taken: &[JobName], title: &str) -> Option<JobName> {
    /// Most characters, so that a number may follow.
    const MOST: usize = 40;
    let mut stem = String::new();
    for c in title.chars().flat_map(char::to_lowercase).take(MOST) {
        if c.is_ascii_alphanumeric() {
            stem.push(c);
            continue;
        }
        match plain(c) {
            Some(written) => stem.push_str(written),
            None if stem.is_empty() || stem.ends_with('-') => {}
            None => stem.push('-'),
        }
    }
    stem.truncate(MOST);
    let stem = stem.trim_end_matches('-');
    let stem = if JobName::parse(stem).is_some() { stem } else { "job" };
    (1..=taken.len() + 1)
        .map(|n| if n == 1 { stem.to_owned() } else { format!("{stem}-{n}") })
        .filter_map(|name| JobName::parse(&name))
        .find(|name| !has(taken, name))
}

/// Small letters, each written plainly.
fn plainly(text: &str) -> String {
    let mut written = String::new();
    for c in text.chars().flat_map(char::to_lowercase) {
        match plain(c) {
            Some(letters) => written.push_str(letters),
            None => written.push(c),
        }
    }
    written
}

/// A text as it is searched: small letters, and once more with plain letters where some are not.
#[must_use]
pub fn folded(text: &str) -> String {
    let (small, plainly) = (text.to_lowercase(), plainly(text));
    if plainly == small {
        small
    } else {
        format!("{small} {plainly}")
    }
}

/// Whether every word that was asked for is in a text that is [`folded`].
#[must_use]
pub fn finds(asked: &str, folded_text: &str) -> bool {
    let is_in = |word: &str| folded_text.contains(&word.to_lowercase()) || folded_text.contains(&plainly(word));
    asked.split_whitespace().all(is_in)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_title_gives_a_name() {
        let taken: Vec<JobName> = ["parlour", "Upper"].map(|name| JobName::parse(name).unwrap()).into();
        for (typed, name) in [
            ("Parlour", "parlour-2"),
            ("My_Guitar.v2", "My_Guitar.v2"),
            ("My guitar 1928", "my-guitar-1928"),
            ("Grüße an Jörg", "gruesse-an-joerg"),
            ("UPPER", "upper-2"),
            ("../../etc/passwd", "etc-passwd"),
            ("琵琶", "job"),
            ("con", "job"),
            ("  ", "job"),
        ] {
            assert_eq!(free(&taken, typed).as_str(), name, "{typed}");
        }
    }

    #[test]
    fn words_are_found_with_and_without_their_marks() {
        let text = folded("Jörg's Ångström, PARLOUR 1928");
        for asked in ["jörg", "Joerg", "parl 1928", "angstroem", "", "  PARLOUR "] {
            assert!(finds(asked, &text), "{asked}: {text}");
        }
        assert!(!finds("parlour 1929", &text));
    }

    proptest! {
        /// Nothing that is typed is refused.
        #[test]
        fn any_title_has_a_name(titles in proptest::collection::vec(".*", 0..12)) {
            let mut taken: Vec<JobName> = Vec::new();
            for title in titles {
                let name = free(&taken, &title);
                prop_assert!(!has(&taken, &name), "{} twice", name);
                taken.push(name);
                let kept = title_of(&title);
                prop_assert!(kept.chars().count() <= TITLE && !kept.chars().any(char::is_control));
            }
        }
    }
}
