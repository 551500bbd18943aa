//! Help for tests. `JSON.md` must name every key of every document, and no other.

use serde_json::Value;
use std::collections::BTreeSet;

const REFERENCE: &str = include_str!("../JSON.md");

/// Every key as a path, `[]` for the items of a list. A whole document of another format is not looked into.
fn keys(value: &Value, path: &str, into: &mut BTreeSet<String>) {
    match value {
        Value::Object(map) if path.is_empty() || !map.contains_key("format") => {
            for (key, inner) in map {
                let own = if path.is_empty() {
                    key.clone()
                } else {
                    format!("{path}.{key}")
                };
                keys(inner, &own, into);
                into.insert(own);
            }
        }
        Value::Array(items) => items.iter().for_each(|item| keys(item, &format!("{path}[]"), into)),
        _ => {}
    }
}

/// Asserts that the section of `format` describes just the keys of these documents together.
pub(crate) fn described_wholly(format: &str, documents: impl Iterator<Item = Value>) {
    let mut found = BTreeSet::new();
    documents.for_each(|document| keys(&document, "", &mut found));
    let named = format!("always `{format}`");
    let sections: Vec<&str> = REFERENCE.split("\n# ").filter(|s| s.contains(&named)).collect();
    let [section] = sections[..] else {
        panic!("{} sections describe {format}", sections.len())
    };
    let described: BTreeSet<String> = section
        .lines()
        .filter_map(|line| line.strip_prefix("| `")?.split_once('`').map(|(key, _)| key.to_owned()))
        .collect();
    let missing: Vec<_> = found.difference(&described).collect();
    let surplus: Vec<_> = described.difference(&found).collect();
    assert!(
        missing.is_empty() && surplus.is_empty(),
        "not described: {missing:#?}\ndescribed only: {surplus:#?}"
    );
}

/// A page as one line, so that a sentence is found wherever it was broken.
pub(crate) fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
