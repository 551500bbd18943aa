//! Words of the job file as they stand on a page: a key is called by what the survey asks, and what was read stands in quotes.

use std::collections::HashMap;
use std::sync::LazyLock;

use job::Kind;

/// Titles of all fields that have one, by their key, and of those alone in their name by it: what is read before what is set.
static TITLES: LazyLock<HashMap<&str, &str>> = LazyLock::new(|| {
    let titled = || job::fields().filter(|field| !field.title.is_empty() && field.is_written());
    let alone = |setting: bool| {
        let mut by_name: HashMap<&str, Vec<&str>> = HashMap::new();
        for field in titled().filter(|field| field.station.is_setting() == setting) {
            by_name.entry(field.name()).or_default().push(field.title);
        }
        by_name.into_iter().filter(|(_, titles)| titles.len() == 1)
    };
    // Of one name the later counts.
    let alone = alone(true).chain(alone(false)).map(|(name, titles)| (name, titles[0]));
    alone.chain(titled().map(|field| (field.key, field.title))).collect()
});

/// Tables of the job file as they are written, each with what is said of a place in it.
static TABLES: LazyLock<Vec<(String, [String; 2])>> = LazyLock::new(|| {
    let tables = job::fields().filter(|field| field.kind == Kind::Table && !field.key.contains('.'));
    let written = tables.map(|field| format!("[{}]", field.key));
    written
        .map(|table| {
            let places = [format!(" from {table}"), format!(" in {table}")];
            (table, places)
        })
        .collect()
});

/// Words outside code marks: no table is named, and no key.
fn words(text: &str) -> String {
    let mut text = text.to_owned();
    if text.contains('[') {
        for (table, places) in TABLES.iter() {
            for place in places {
                text = text.replace(place.as_str(), "");
            }
            let name = table.trim_matches(['[', ']']);
            text = text.replace(&format!("[{table}]"), name).replace(table.as_str(), name);
        }
    }
    let key = |c: char| c.is_ascii_alphanumeric() || c == '_';
    let mut out = String::new();
    let mut rest = text.as_str();
    while let Some(at) = rest.find(key) {
        let (before, from) = rest.split_at(at);
        let end = from.find(|c| !key(c)).unwrap_or(from.len());
        let (word, behind) = from.split_at(end);
        out.push_str(before);
        match TITLES.get(word).filter(|_| word.contains('_')) {
            Some(title) => out.push_str(&format!("“{title}”")),
            None => out.push_str(word),
        }
        rest = behind;
    }
    out + rest
}

/// Commands that texts name, and what does the same here.
const COMMANDS: [(&str, &str); 11] = [
    ("assess", "Remedy"),
    ("check", "Survey"),
    ("cut", "Programs"),
    ("draw", "Sheets"),
    ("filing", "Filing"),
    ("fit --part nut", "Strung up"),
    ("fit", "Strung up"),
    ("hear", "Hear"),
    ("measure", "How sure it is"),
    ("plan", "Plan"),
    ("tolerance", "How sure it is"),
];

/// A text of the command's as it stands on a page: what it calls by a command is called by the page that does it.
#[must_use]
pub fn on_page(text: &str) -> String {
    // A second saddle is begun on the first page.
    let mut text = text.replace(", \"--write-job\",", "");
    // Words for paper name the page too.
    text = text.replace("\"Strung up\" or \"bonewright fit\"", "\"bonewright fit\"");
    if text.contains("bonewright") {
        for (command, page) in COMMANDS {
            let page = format!("“{page}”");
            text = text.replace(&format!("run \"bonewright {command}\""), &format!("enter it at {page}"));
            text = text.replace(&format!("\"bonewright {command}\""), &page);
        }
    }
    plain(&text)
}

/// The text with each key in code marks by the title of its field, and every other text in code marks in quotes.
#[must_use]
pub fn plain(text: &str) -> String {
    let mut out = String::new();
    for (i, part) in text.split('`').enumerate() {
        if i % 2 == 0 {
            out.push_str(&words(part));
            continue;
        }
        let key = part.trim_matches(['[', ']']);
        let known = TITLES.get(part).or_else(|| TITLES.get(key.replace(':', ".").as_str()));
        out.push('“');
        out.push_str(known.copied().unwrap_or(key));
        out.push('”');
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn commands_are_called_by_their_pages() {
        for (said, shown) in [
            ("See \"bonewright assess\" first.", "See “Remedy” first."),
            (
                "Give them to \"Strung up\" or \"bonewright fit\".",
                "Give them to “Strung up”.",
            ),
            (
                "Read again, run \"bonewright fit\", and file.",
                "Read again, enter it at “Strung up”, and file.",
            ),
            ("(\"bonewright fit --part nut\")", "(“Strung up”)"),
        ] {
            assert_eq!(on_page(said), shown);
        }
    }

    #[test]
    fn keys_are_called_by_what_is_asked() {
        for (said, shown) in [
            ("read `55 in`: too long", "read “55 in”: too long"),
            ("give `slot.width` too", "give “Width of the slot” too"),
            ("as [slot] has it", "as slot has it"),
            ("nothing quoted", "nothing quoted"),
            (
                "`scale` is missing from [instrument]. Give it, or nut_to_12.",
                "“Scale length” is missing. Give it, or “Nut to fret 12”.",
            ),
        ] {
            assert_eq!(plain(said), shown);
        }
    }
}
