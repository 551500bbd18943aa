//! One line that cannot be read: what is wrong with it, and the line as it must be.

use toml::de::{DeTable, DeValue};
use units::{LengthUnit, parse_angle, parse_length};

use crate::layout::{Layout, Slip};
use crate::mended_value::{MOST_DEEP, value_of, without_equals};
use crate::statements::{Bare, bare, is_key};

/// Longest statement that is looked at closely, in bytes; no line of a survey comes near it.
const MOST_BYTES: usize = 1000;

/// Values that say that there is none yet, in small letters.
const NOT_KNOWN: [&str; 8] = ["?", "??", "-", "n/a", "tbd", "unknown", "not read", "don't know"];

/// Whether a text is laid out as it must be.
pub(crate) fn is_sound(text: &str) -> bool {
    DeTable::parse(text).is_ok()
}

/// What is wrong with a part of the text that cannot be read, and the part as it must be.
pub(crate) fn layout(text: &str) -> Layout {
    let mut slips = Vec::new();
    let line = text.trim();
    let mend = (line.len() <= MOST_BYTES)
        .then(|| line_of(line, &mut slips, 0))
        .flatten();
    let slip = slips.into_iter().next().unwrap_or(Slip::Other);
    // What is offered must be readable, and not what was written.
    let mend = mend.filter(|mend| mend != line && !mend.contains('`') && is_sound(mend));
    Layout { slip, mend }
}

/// The line as it must be; what is mended goes into `slips`, the outermost first.
fn line_of(line: &str, slips: &mut Vec<Slip>, deep: usize) -> Option<String> {
    let line = &plain(line, slips);
    for mark in ["//", ";", "--", "/*", "<!--", "%"] {
        if let Some(rest) = line.strip_prefix(mark) {
            slips.push(Slip::Remark);
            let rest = rest.trim_end_matches("*/").trim_end_matches("-->");
            return Some(format!("# {}", rest.trim()));
        }
    }
    if let Some(header) = header(line, slips) {
        return header;
    }
    let (outside, _) = bare(line);
    let equals = outside.iter().find(|b| b.c == '=').map(|b| b.at);
    let colon = outside.iter().find(|b| b.c == ':').map(|b| b.at);
    let (key, value) = match (equals, colon) {
        (equals, Some(colon)) if equals.is_none_or(|equals| colon < equals) => {
            let (key, value) = (line.get(..colon)?, line.get(colon + 1..)?);
            if value.trim().is_empty() && is_key(key.trim()) {
                slips.push(Slip::Header);
                return Some(format!("[{}]", key.trim()));
            }
            slips.push(Slip::Colon);
            (key, value)
        }
        (Some(equals), _) => (line.get(..equals)?, line.get(equals + 1..)?),
        (None, _) => without_equals(line, slips)?,
    };
    let more = value.trim_start_matches(|c: char| c.is_whitespace() || matches!(c, '=' | '>'));
    if value.trim_start() != more && !slips.contains(&Slip::Colon) {
        slips.push(Slip::Equals);
    }
    pair(key, more, slips, deep)
}

/// The line with plain quotes and plain spaces.
fn plain(line: &str, slips: &mut Vec<Slip>) -> String {
    let curly = |c: char| matches!(c, '“' | '”' | '„' | '‟' | '«' | '»');
    let single = |c: char| matches!(c, '‘' | '’' | '‚' | '‛');
    let unseen = |c: char| {
        c != ' ' && c != '\t' && c != '\n' && c.is_whitespace()
            || matches!(c, '\u{200b}'..='\u{200f}' | '\u{2060}' | '\u{feff}')
            || c.is_control() && c != '\t' && c != '\n' && c != '\r'
    };
    // Curly marks inside of plain quotes are a part of the text.
    let quoted = !line.contains('"') && !line.contains('\'');
    let mut before = ' ';
    let mut out = String::new();
    for c in line.chars() {
        if quoted && (curly(c) || single(c) && !before.is_alphanumeric() || single(c) && out.contains('\'')) {
            if !slips.contains(&Slip::CurlyQuotes) {
                slips.push(Slip::CurlyQuotes);
            }
            out.push(if curly(c) { '"' } else { '\'' });
        } else if unseen(c) {
            if !slips.iter().any(|slip| matches!(slip, Slip::Unseen(_))) {
                slips.push(Slip::Unseen(c));
            }
            out.push_str(if c.is_whitespace() { " " } else { "" });
        } else {
            out.push(c);
        }
        before = c;
    }
    out.trim().to_owned()
}

/// The name of a table, if the line is one: the line as it must be, where that is known.
fn header(line: &str, slips: &mut Vec<Slip>) -> Option<Option<String>> {
    let opens = |c: char| matches!(c, '[' | '(' | '{' | '<');
    let closes = |c: char| matches!(c, ']' | ')' | '}' | '>');
    let (code, remark) = match line.split_once('#') {
        Some((code, remark)) => (code.trim(), format!(" # {}", remark.trim())),
        None => (line, String::new()),
    };
    let ends = code.ends_with(closes) && !code.contains('=') && !code.contains(':');
    if !(code.starts_with(opens) || ends && !code.contains(opens)) {
        return None;
    }
    let double = code.starts_with("[[") || code.starts_with("[ [") || code.ends_with("]]");
    let rest = code.trim_start_matches(|c: char| opens(c) || c.is_whitespace());
    let (name, after) = match rest.find(closes) {
        Some(end) => rest.split_at(end),
        None => (rest, ""),
    };
    let after = after.trim_start_matches(|c: char| closes(c) || c.is_whitespace());
    let more = !after.is_empty();
    slips.push(if more { Slip::AfterHeader } else { Slip::Header });
    let words: Vec<&str> = name.split_whitespace().collect();
    let name = words.join("_").replace("_._", ".");
    if more {
        let below = match is_sound(after) {
            true => Some(after.to_owned()),
            false => line_of(after, slips, MOST_DEEP),
        };
        let below = below.filter(|_| is_key(&name) && !double);
        return Some(below.map(|below| format!("[{name}]\n{below}{remark}")));
    }
    Some((is_key(&name) && words.len() <= 3).then(|| match double {
        true => format!("[[{name}]]{remark}"),
        false => format!("[{name}]{remark}"),
    }))
}

/// The line of a key and its value.
fn pair(key: &str, value: &str, slips: &mut Vec<Slip>, deep: usize) -> Option<String> {
    let (outside, open) = bare(value);
    let (value, remark) = remark(value, &outside, open, slips);
    if let Some(start) = next_key(&value, &outside) {
        slips.push(Slip::TwoKeys);
        let (first, second) = value.split_at_checked(start)?;
        if deep >= MOST_DEEP {
            return None;
        }
        let first = pair(key, first.trim_end_matches([' ', ',', ';']), slips, deep)?;
        let second = line_of(second.trim(), slips, deep + 1)?;
        return Some(format!("{first}\n{second}{remark}"));
    }
    let (key, unit) = key_of(key.trim(), slips)?;
    if value.is_empty() {
        slips.push(Slip::NoValue);
        return None;
    }
    if NOT_KNOWN.iter().any(|word| value.eq_ignore_ascii_case(word)) {
        slips.push(Slip::NotKnown);
        return Some(format!("# {key} = {value}{remark}"));
    }
    let end = value.trim_end_matches([',', ';', ' ']);
    if end.len() < value.trim_end().len() && !open {
        slips.push(Slip::AfterValue);
    }
    let value = value_of(if open { &value } else { end }, slips, deep)?;
    let value = match unit {
        None => value,
        // The unit that stood in the key must not get lost.
        Some(unit) if DeValue::parse(&value).is_ok_and(|v| v.get_ref().is_float() || v.get_ref().is_integer()) => {
            format!("\"{value} {unit}\"")
        }
        Some(_) => return None,
    };
    Some(format!("{key} = {value}{remark}"))
}

/// The value without the remark after it, and that remark with a `#`.
fn remark(value: &str, outside: &[Bare], open: bool, slips: &mut Vec<Slip>) -> (String, String) {
    let hash = match outside.last() {
        Some(last) if !open => value
            .get(last.at..)
            .and_then(|rest| rest.find(" #"))
            .map(|at| last.at + at),
        _ => value.rfind(" #"),
    };
    let slashes = outside
        .windows(2)
        .find(|pair| matches!(pair, [a, b] if a.c == '/' && b.c == '/' && a.depth == 0));
    let spaced = |at: usize| {
        value
            .get(..at)
            .is_some_and(|before| before.ends_with(char::is_whitespace))
    };
    // After a figure also words in round brackets, or after two hyphens: in a text they may be a part of it.
    let figure = value.starts_with(|c: char| c.is_numeric() || c == '.');
    let words = || {
        value
            .find(" (")
            .or_else(|| value.find(" -- "))
            .filter(|_| figure && hash.is_none())
    };
    let slashes = slashes.and_then(|pair| Some(pair.first()?.at)).filter(|at| spaced(*at));
    if let Some(at) = slashes.or_else(words) {
        slips.push(Slip::Remark);
        let (value, after) = value.split_at_checked(at).unwrap_or((value, ""));
        let after = after.trim().trim_matches(['/', '-', '(', ')']).trim();
        return (value.trim().to_owned(), format!(" # {after}"));
    }
    let (value, after) = match hash.and_then(|at| value.split_at_checked(at)) {
        Some((value, after)) => (value, format!(" {}", after.trim())),
        None => (value, String::new()),
    };
    (value.trim().to_owned(), after)
}

/// Where in a value the key of another begins.
fn next_key(value: &str, outside: &[Bare]) -> Option<usize> {
    let equals = outside.iter().find(|b| b.c == '=' && b.depth == 0)?.at;
    let before = value.get(..equals)?.trim_end();
    let start = before
        .rfind(|c: char| !(c.is_ascii_alphanumeric() || c == '_'))
        .map_or(0, |at| at + 1);
    let key = before.get(start..)?;
    (start > 0 && key.starts_with(|c: char| c.is_ascii_alphabetic())).then_some(start)
}

/// The key as it must be, and the unit that stood with it in round brackets.
fn key_of<'a>(key: &'a str, slips: &mut Vec<Slip>) -> Option<(String, Option<&'a str>)> {
    if key.is_empty() {
        slips.push(Slip::NoKey);
        return None;
    }
    if is_key(key) || is_sound(&format!("{key} = 0")) {
        return Some((key.to_owned(), None));
    }
    let (words, unit) = match key.split_once('(') {
        Some((words, rest)) => (
            words,
            Some(
                rest.split_once(')')
                    .filter(|(_, rest)| rest.trim().is_empty())?
                    .0
                    .trim(),
            ),
        ),
        None => (key, None),
    };
    let joined = words.split_whitespace().collect::<Vec<_>>().join("_");
    slips.push(if unit.is_none() && is_key(&joined) {
        Slip::KeySpaces
    } else {
        Slip::KeyMarks
    });
    let measured = |unit: &&str| {
        let one = format!("1 {unit}");
        parse_length(&one, LengthUnit::Inch).is_ok() || parse_angle(&one, LengthUnit::Inch).is_ok()
    };
    let begins = joined.starts_with(|c: char| c.is_ascii_alphabetic());
    let known = begins && unit.is_none_or(|unit| measured(&unit) && unit.chars().all(char::is_alphabetic));
    (is_key(&joined) && known).then_some((joined, unit))
}

#[cfg(test)]
mod tests {
    use super::*;
    use Slip as S;

    /// What is written, what is wrong with it, and the line as it must be; none where that is not known.
    #[rustfmt::skip] // one row a line
    const TABLE: &[(&str, Slip, &str)] = &[
        ("height = 1/2 # blank", S::NoQuotes, "height = \"1/2\" # blank"),
        ("height = 3,200", S::Comma, ""),
        ("height = 3,2 # x", S::Comma, "height = 3.2 # x"),
        ("height = 25-3/8 in", S::NoQuotes, "height = \"25-3/8 in\""),
        ("height = 'abc", S::OpenQuote, "height = \"abc\""),
        ("title = Bob's guitar", S::NoQuotes, "title = \"Bob's guitar\""),
        ("title = it's 5\" high", S::Other, ""),
        ("height = \"1/2 in", S::OpenQuote, "height = \"1/2 in\""),
        ("height = \"12\" mm", S::AfterValue, "height = \"12 mm\""),
        ("height = 12\" mm", S::Other, ""),
        ("height = 3/4\"", S::InchMark, "height = \"3/4 in\""),
        ("height = 3.2 mm\"", S::OpenQuote, "height = \"3.2 mm\""),
        ("height = bone\"", S::OpenQuote, "height = \"bone\""),
        ("title = “Bob’s guitar”", S::CurlyQuotes, "title = \"Bob’s guitar\""),
        ("title = \"Bob’s “old” guitar", S::OpenQuote, "title = \"Bob’s “old” guitar\""),
        ("height\u{a0}=\u{a0}12 mm", S::Unseen('\u{a0}'), "height = \"12 mm\""),
        ("height =\u{200b} 12 mm", S::Unseen('\u{200b}'), "height = \"12 mm\""),
        ("tuning = [E2 A2 D3]", S::NoCommas, "tuning = [\"E2\", \"A2\", \"D3\"]"),
        ("tuning = [E2, A2, D3", S::OpenList, "tuning = [\"E2\", \"A2\", \"D3\"]"),
        ("tuning = E2, A2, D3", S::Brackets, "tuning = [\"E2\", \"A2\", \"D3\"]"),
        ("cents = [1 2 3]", S::NoCommas, "cents = [1, 2, 3]"),
        ("cents = [3, 2, -, 1]", S::NoQuotes, "cents = [3, 2, \"-\", 1]"),
        ("cents = [1,5; 2,5; 3]", S::NoCommas, "cents = [1.5, 2.5, 3]"),
        ("cents = [1,5, 2,5, 3 c]", S::Comma, ""),
        ("cents = [3,2 mm]", S::Comma, ""),
        ("cents = [1,2,3", S::OpenList, "cents = [1, 2, 3]"),
        ("x = { bass = 3,2, treble = 2,9 }", S::Comma, "x = { bass = 3.2, treble = 2.9 }"),
        ("x = { bass = 3,2 mm; treble = 2,9 mm }", S::NoCommas, "x = { bass = \"3.2 mm\", treble = \"2.9 mm\" }"),
        ("x = { bass = 3 mm treble = 2 mm }", S::NoCommas, "x = { bass = \"3 mm\", treble = \"2 mm\" }"),
        ("x = { bass = 3/32\", treble = 1/16\" }", S::InchMark, "x = { bass = \"3/32 in\", treble = \"1/16 in\" }"),
        ("x = {3.2, 2.9}", S::Brackets, ""),
        ("x = { bass 3 mm, treble 2 mm }", S::NoEquals, "x = { bass = \"3 mm\", treble = \"2 mm\" }"),
        ("x = [ bass = 1, treble = 2 ]", S::Brackets, "x = { bass = 1, treble = 2 }"),
        ("x = bass = 3, treble = 2", S::Brackets, ""),
        ("x = 3.2, 2.9", S::Brackets, "x = [3.2, 2.9]"),
        ("x = 3.2,2.9", S::Comma, ""),
        ("x = 2.9 mm, 2.2 mm", S::Brackets, "x = [\"2.9 mm\", \"2.2 mm\"]"),
        ("[slot] depth = 3", S::AfterHeader, "[slot]\ndepth = 3"),
        ("[slot] depth = 3 mm", S::AfterHeader, "[slot]\ndepth = \"3 mm\""),
        ("slot]", S::Header, "[slot]"),
        ("(slot)", S::Header, "[slot]"),
        ("<slot>", S::Header, "[slot]"),
        ("[[string]", S::Header, "[[string]]"),
        ("[ string ]]", S::Header, "[[string]]"),
        ("[slot and bridge top here]", S::Header, ""),
        ("slot:", S::Header, "[slot]"),
        ("depth: 3.2", S::Colon, "depth = 3.2"),
        ("depth := 3", S::Colon, "depth = 3"),
        ("depth => 3", S::Equals, "depth = 3"),
        ("depth = > 3", S::Equals, "depth = 3"),
        ("depth 3.2 mm", S::NoEquals, "depth = \"3.2 mm\""),
        ("bridge top 3", S::NoEquals, "bridge_top = 3"),
        ("depth about 3 mm", S::NoEquals, "depth = \"about 3 mm\""),
        ("depth is 3", S::NoEquals, "depth = 3"),
        ("depth ~3", S::NoEquals, "depth = \"~3\""),
        ("höhe = 3", S::KeyMarks, ""),
        ("depth(mm) = 3", S::KeyMarks, "depth = \"3 mm\""),
        ("depth (mm) = 3 in", S::KeyMarks, ""),
        ("depth (at bass) = 3", S::KeyMarks, ""),
        ("depth, bass = 3", S::KeyMarks, ""),
        ("depth\" = 3", S::KeyMarks, ""),
        ("depth = 3 mm, width = 2 mm, length = 4", S::TwoKeys, "depth = \"3 mm\"\nwidth = \"2 mm\"\nlength = 4"),
        ("depth = 3 width = 2", S::TwoKeys, "depth = 3\nwidth = 2"),
        ("x = Yes", S::YesNo, "x = true"),
        ("x = on", S::YesNo, "x = true"),
        ("x = ?", S::NotKnown, "# x = ?"),
        ("x = Unknown", S::NotKnown, "# x = Unknown"),
        ("x = 3..2", S::NoQuotes, "x = \"3..2\""),
        ("x = 03.20", S::Figure, "x = 3.20"),
        ("x = +.5", S::Figure, "x = 0.5"),
        ("x = - 3", S::Figure, "x = -3"),
        ("x = 5.", S::Figure, "x = 5"),
        ("x = 1 000", S::NoQuotes, "x = \"1 000\""),
        ("x = \"C:\\it's\"", S::Backslash, ""),
        ("x = \"a\" \"b\"", S::Other, ""),
        ("x = 'a' 'b'", S::Other, ""),
        ("x = \"", S::OpenQuote, ""),
        ("x = a\"b\"c", S::Other, ""),
        ("x = {", S::OpenBraces, ""),
        ("x = [", S::OpenList, ""),
        ("x = ]", S::Brackets, ""),
        ("x = 1]", S::Brackets, "x = [1]"),
        ("x = [[1, 2], [3, 4]", S::OpenList, "x = [[1, 2], [3, 4]]"),
        ("x = [1, 2]]", S::Other, ""),
        ("x = [1,,2]", S::Other, ""),
        ("x = [1, 2],", S::AfterValue, "x = [1, 2]"),
        ("x = [\n\"a\"\n\"b\"\n]", S::NoCommas, "x = [\"a\", \"b\"]"),
        ("- depth: 3", S::Colon, ""),
        ("* depth = 3", S::KeyMarks, ""),
        ("depth = 3 (read twice)", S::Remark, "depth = 3 # read twice"),
        ("depth = 3 mm (read twice)", S::Remark, "depth = \"3 mm\" # read twice"),
        ("depth = 3 -- twice", S::Remark, "depth = 3 # twice"),
        ("title = Guitar (old)", S::NoQuotes, "title = \"Guitar (old)\""),
        ("depth = http://a", S::NoQuotes, "depth = \"http://a\""),
        ("depth = 3/4 in // twice", S::Remark, "depth = \"3/4 in\" # twice"),
        ("-- note", S::Remark, "# note"),
        ("% note", S::Remark, "# note"),
        ("x = \"\"\"a", S::Other, ""),
        ("x = 3,5 mm over 2 mm", S::Comma, "x = \"3.5 mm over 2 mm\""),
        ("x = 0,254", S::Comma, "x = 0.254"),
        ("x = 1.234,5 mm", S::Comma, ""),
        ("x = 1,234 mm", S::Comma, ""),
        ("x = ”3 mm”", S::CurlyQuotes, "x = \"3 mm\""),
        ("x = «3 mm»", S::CurlyQuotes, "x = \"3 mm\""),
        ("x = 3”", S::CurlyQuotes, "x = \"3 in\""),
        ("x = −3 mm", S::NoQuotes, "x = \"−3 mm\""),
    ];

    #[test]
    fn each_slip_is_known_and_mended() {
        let mut wrong = String::new();
        for (line, slip, mend) in TABLE {
            let found = layout(line);
            let read = (found.slip, found.mend.unwrap_or_default());
            if (&read.0, read.1.as_str()) != (slip, *mend) {
                wrong += &format!("\n{line}: {read:?}");
            }
        }
        assert!(wrong.is_empty(), "{wrong}");
    }
}
