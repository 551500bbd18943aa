//! The tables of `examples/FORMAT.md`.

use crate::fields::{Field, Kind, Spread, fields};
use crate::said::one_of;

/// The Markdown table of the keys of one table of the job file, such as `slot`; empty for the top of the file.
#[must_use]
pub fn format_table(table: &str) -> String {
    let mut lines = vec![
        "| Key | Value | How to read it, default |".to_owned(),
        "|---|---|---|".to_owned(),
    ];
    for row in fields().filter(|row| row.is_written() && row.place().0 == table) {
        // The tables at the top of the file have sections of their own.
        if table.is_empty() && row.kind == Kind::Table {
            continue;
        }
        lines.push(line(row.name(), row));
        let within = fields().filter(|inner| {
            !(inner.page.is_empty() && inner.value.is_empty())
                && inner.place().0 == row.key
                && own_section(row.key).is_none()
        });
        lines.extend(within.map(|inner| line(&format!("{}.{}", row.name(), inner.name()), inner)));
    }
    lines.join("\n")
}

/// A table within a table that has a section of its own.
fn own_section(key: &str) -> Option<&str> {
    (key == "slot.reference").then_some(key)
}

fn line(name: &str, row: &Field) -> String {
    let usual = match (row.kind, row.default) {
        (Kind::YesNo, "no") => "`false`",
        (_, usual) => usual,
    };
    let usual = [usual, row.otherwise].into_iter().find(|words| !words.is_empty());
    let usual = usual.map(|words| format!("default {words}"));
    let read: Vec<&str> = [row.page, usual.as_deref().unwrap_or_default()]
        .into_iter()
        .filter(|words| !words.is_empty())
        .collect();
    let row = format!("| `{name}` | {} | {} |", value(row), read.join("; "));
    row.replace("|  |", "| |")
}

/// What is written there.
fn value(row: &Field) -> String {
    if !row.value.is_empty() {
        let needed = row.needed && !row.value.contains("required");
        return format!("{}{}", row.value, if needed { "; required" } else { "" });
    }
    let one = match row.kind {
        Kind::Text => "text".to_owned(),
        Kind::YesNo => "`true` or `false`".to_owned(),
        Kind::Choice(words) => {
            let quoted: Vec<String> = words.iter().map(|(word, _)| format!("`\"{word}\"`")).collect();
            one_of(&quoted)
        }
        Kind::Name(_) => format!("name of a {}", row.list_word()),
        Kind::Length => "length".to_owned(),
        Kind::Angle => "angle".to_owned(),
        Kind::Cents => "cents".to_owned(),
        Kind::Number("") => "share".to_owned(),
        Kind::Number(unit) => unit.to_owned(),
        Kind::Whole => "number".to_owned(),
        Kind::Note => "note name".to_owned(),
        Kind::Notes => "list of note names".to_owned(),
        Kind::Table => "table".to_owned(),
        Kind::Courses | Kind::Contour | Kind::Names(_) | Kind::Several(_) | Kind::Other => String::new(),
    };
    let all = match row.spread {
        Spread::Ends => format!("end, {one}"),
        Spread::Strings | Spread::Sparse => format!("{one} per string"),
        Spread::Paired => "paired".to_owned(),
        _ => one,
    };
    if row.needed { format!("{all}; required") } else { all }
}
