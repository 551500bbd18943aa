//! One value that cannot be read: what is wrong with it, and the value as it must be.

use toml::de::DeValue;
use units::{Decimal, LengthUnit, parse_length};

use crate::layout::Slip;
use crate::statements::{Bare, bare, is_key};

/// Deepest nesting that is mended: a list of tables of lists.
pub(crate) const MOST_DEEP: usize = 4;

/// A value as it must be; what is mended goes into `slips`, the outermost first.
pub(crate) fn value_of(value: &str, slips: &mut Vec<Slip>, deep: usize) -> Option<String> {
    let value = value.trim();
    if value.is_empty() || deep > MOST_DEEP {
        return None;
    }
    if DeValue::parse(value).is_ok() {
        return Some(value.to_owned());
    }
    match value.chars().next() {
        Some('{') => braces(value, slips, deep),
        Some('[' | '(') => list(value, slips, deep),
        _ => plain_value(value, slips, deep),
    }
}

/// What stands between an opening bracket and the one that closes it, with whether they are the right ones.
fn inside<'a>(value: &'a str, slips: &mut Vec<Slip>, [open, close]: [char; 2], unclosed: Slip) -> Option<&'a str> {
    let mut chars = value.chars();
    let first = chars.next()?;
    let rest = chars.as_str();
    let closed = bare(value)
        .0
        .into_iter()
        .skip(1)
        .find(|b| b.depth == 0 && matches!(b.c, ']' | ')' | '}'));
    match closed {
        Some(end) => {
            // Something after it is not this list's.
            value.get(end.at + 1..).filter(|rest| rest.trim().is_empty())?;
            if (first, end.c) != (open, close) {
                slips.push(Slip::Brackets);
            }
            value.get(1..end.at)
        }
        None => {
            slips.push(unclosed);
            Some(rest)
        }
    }
}

fn list(value: &str, slips: &mut Vec<Slip>, deep: usize) -> Option<String> {
    let inner = inside(value, slips, ['[', ']'], Slip::OpenList)?;
    if inner.split_once('=').is_some_and(|(name, _)| is_key(name.trim())) {
        slips.push(Slip::Brackets);
        return named(inner, slips, deep);
    }
    items(inner, slips, deep).map(|items| format!("[{items}]"))
}

/// The values of a list, with commas.
fn items(inner: &str, slips: &mut Vec<Slip>, deep: usize) -> Option<String> {
    let mut mended = Vec::new();
    let (outside, _) = bare(inner);
    let marks: Vec<&Bare> = outside
        .iter()
        .filter(|b| b.depth == 0 && matches!(b.c, ',' | ';'))
        .collect();
    let semicolons = marks.iter().any(|b| b.c == ';');
    let tight = marks.iter().any(|b| b.c == ',' && is_tight(inner, b.at));
    let plain = |c: char| c.is_ascii_digit() || c.is_whitespace() || matches!(c, ',' | '.' | '-' | '+');
    if tight && !semicolons && !inner.chars().all(plain) {
        // `[3,2 mm]`: one value or two.
        slips.push(Slip::Comma);
        return None;
    }
    for part in parted(inner, slips, !semicolons) {
        match several(&part) {
            Some(parts) => {
                slips.push(Slip::NoCommas);
                mended.extend(
                    parts
                        .into_iter()
                        .map(|part| value_of(part, slips, deep + 1))
                        .collect::<Option<Vec<_>>>()?,
                );
            }
            None => mended.push(value_of(&part, slips, deep + 1)?),
        }
    }
    (!mended.is_empty()).then(|| mended.join(", "))
}

/// Whether a comma stands between two digits.
fn is_tight(text: &str, at: usize) -> bool {
    let before = text
        .get(..at)
        .is_some_and(|before| before.ends_with(|c: char| c.is_ascii_digit()));
    before
        && text
            .get(at + 1..)
            .is_some_and(|after| after.starts_with(|c: char| c.is_ascii_digit()))
}

fn braces(value: &str, slips: &mut Vec<Slip>, deep: usize) -> Option<String> {
    let inner = inside(value, slips, ['{', '}'], Slip::OpenBraces)?;
    named(inner, slips, deep)
}

/// The values with names in braces.
fn named(inner: &str, slips: &mut Vec<Slip>, deep: usize) -> Option<String> {
    let mut mended = Vec::new();
    // A name must follow a comma that parts two values, so one before a digit is a decimal's.
    let mut parts = parted(inner, slips, false);
    parts.reverse();
    while let Some(part) = parts.pop() {
        let (outside, _) = bare(&part);
        let mark = outside.iter().find(|b| matches!(b.c, '=' | ':') && b.depth == 0);
        let (key, value) = match mark {
            Some(mark) => {
                if mark.c == ':' {
                    slips.push(Slip::Colon);
                }
                (
                    part.get(..mark.at)?,
                    part.get(mark.at + 1..)?.trim_start_matches(['=', '>']).trim(),
                )
            }
            None if part.starts_with(|c: char| c.is_numeric() || c == '.') => {
                slips.push(Slip::Brackets);
                return None;
            }
            None => without_equals(&part, slips)?,
        };
        // Another name in what should be one value: a comma is missing before it.
        let (outside, _) = bare(value);
        let value = match next_name(value, &outside) {
            Some(start) => {
                slips.push(Slip::NoCommas);
                let (value, rest) = value.split_at_checked(start)?;
                parts.push(rest.to_owned());
                value
            }
            None => value,
        };
        let key = key.trim();
        if !is_key(key) {
            return None;
        }
        mended.push(format!("{key} = {}", value_of(value, slips, deep + 1)?));
    }
    (!mended.is_empty()).then(|| format!("{{ {} }}", mended.join(", ")))
}

/// Where in a value another name begins: before `=` or `:`, or after a plain figure.
fn next_name(value: &str, outside: &[Bare]) -> Option<usize> {
    if let Some(mark) = outside.iter().find(|b| matches!(b.c, '=' | ':') && b.depth == 0) {
        let before = value.get(..mark.at)?.trim_end();
        let start = before
            .rfind(|c: char| !(c.is_ascii_alphanumeric() || c == '_'))
            .map_or(0, |at| at + 1);
        return (start > 0).then_some(start);
    }
    let (figure, rest) = value.trim_start().split_once(char::is_whitespace)?;
    let name = rest.trim_start();
    let follows = name.split_once(char::is_whitespace).is_some_and(|(name, value)| {
        name.chars().all(|c| c.is_ascii_alphabetic() || c == '_') && value.trim().parse::<f64>().is_ok()
    });
    (figure.parse::<f64>().is_ok() && follows).then(|| value.len() - name.len())
}

/// The parts between the commas, or semicolons, that stand in no deeper bracket. A comma between two digits parts only where `tight` says so.
fn parted(inner: &str, slips: &mut Vec<Slip>, tight: bool) -> Vec<String> {
    let (outside, _) = bare(inner);
    let parts = |b: &&Bare| b.depth == 0 && (b.c == ';' || b.c == ',' && (tight || !is_tight(inner, b.at)));
    let marks: Vec<&Bare> = outside.iter().filter(parts).collect();
    let semicolons = marks.iter().any(|b| b.c == ';');
    if semicolons {
        slips.push(Slip::NoCommas);
    }
    let mut parts = Vec::new();
    let mut start = 0;
    // Beside semicolons a comma is a decimal's.
    for mark in marks.iter().filter(|b| !semicolons || b.c == ';') {
        parts.push(inner.get(start..mark.at).unwrap_or_default().trim().to_owned());
        start = mark.at + 1;
    }
    let last = inner.get(start..).unwrap_or_default().trim();
    if !last.is_empty() {
        parts.push(last.to_owned());
    }
    parts
}

/// Several whole values with nothing but space between them: all in quotes, all plain numbers, or all notes.
fn several(text: &str) -> Option<Vec<&str>> {
    let mut parts = Vec::new();
    let mut rest = text.trim();
    while !rest.is_empty() {
        let quote = rest.chars().next().filter(|c| matches!(c, '"' | '\''));
        let end = match quote {
            Some(quote) => rest.get(1..)?.find(quote)? + 2,
            None => rest.find(char::is_whitespace).unwrap_or(rest.len()),
        };
        let (part, after) = rest.split_at_checked(end)?;
        parts.push(part);
        rest = after.trim_start();
    }
    let note = |part: &&str| {
        let mut chars = part.chars();
        chars.next().is_some_and(|c| c.is_ascii_uppercase())
            && chars
                .as_str()
                .trim_start_matches(['#', 'b', '♯', '♭'])
                .parse::<u8>()
                .is_ok()
    };
    let quoted = |part: &&str| part.starts_with(['"', '\'']);
    let number = |part: &&str| part.parse::<f64>().is_ok();
    let alike = parts.iter().all(note) || parts.iter().all(|part| quoted(part) || number(part));
    (parts.len() > 1 && alike).then_some(parts)
}

/// A value without brackets.
fn plain_value(value: &str, slips: &mut Vec<Slip>, deep: usize) -> Option<String> {
    match value.to_lowercase().as_str() {
        "yes" | "true" | "on" => {
            slips.push(Slip::YesNo);
            return Some("true".to_owned());
        }
        "no" | "false" | "off" => {
            slips.push(Slip::YesNo);
            return Some("false".to_owned());
        }
        _ => {}
    }
    if value.starts_with(['"', '\'']) || value.ends_with('"') {
        return quoted(value, slips, deep);
    }
    let pointed = Decimal::Comma.with_point(value);
    if pointed != value {
        slips.push(Slip::Comma);
        return value_of(&pointed, &mut Vec::new(), deep + 1);
    }
    if value.contains(',') {
        if value.match_indices(',').any(|(at, _)| is_tight(value, at)) {
            slips.push(Slip::Comma);
            return None;
        }
        return several_bare(value, slips, deep);
    }
    if let Some(figure) = figure(value) {
        slips.push(Slip::Figure);
        return Some(figure);
    }
    if value.ends_with([']', '}', ')']) && !value.contains(['[', '{', '(']) {
        slips.push(Slip::Brackets);
        return items(value.trim_end_matches([']', '}', ')']), slips, deep).map(|items| format!("[{items}]"));
    }
    in_quotes(value, Slip::NoQuotes, slips)
}

/// Values with commas between them and no brackets around.
fn several_bare(value: &str, slips: &mut Vec<Slip>, deep: usize) -> Option<String> {
    let sound = value.split(',').count() > 1 && DeValue::parse(&format!("[{value}]")).is_ok();
    slips.push(Slip::Brackets);
    if sound {
        return Some(format!("[{value}]"));
    }
    (deep < MOST_DEEP)
        .then(|| items(value, slips, deep + 1))?
        .map(|items| format!("[{items}]"))
}

/// A value that begins or ends with a quote, and cannot be read.
fn quoted(value: &str, slips: &mut Vec<Slip>, deep: usize) -> Option<String> {
    let marks = value.matches('"').count();
    let first = value.chars().next()?;
    let inner = value.trim_matches(['"', '\'']).trim();
    if inner.is_empty() {
        slips.push(Slip::OpenQuote);
        return None;
    }
    if first == '"' && inner.contains('\\') && marks == 2 && value.ends_with('"') {
        slips.push(Slip::Backslash);
        return (!inner.contains('\'')).then(|| format!("'{inner}'"));
    }
    // `"25 3/8""`, or `25 3/8"` where no unit stands with the figure.
    let inches = format!("{inner} in");
    let is_inches = parse_length(&inches, LengthUnit::Millimetre).is_ok();
    if is_inches && (value.ends_with("\"\"") || first != '"' && first != '\'') {
        slips.push(Slip::InchMark);
        return Some(format!("\"{inches}\""));
    }
    if marks > 2 || first == '\'' && (marks == 2 || value.matches('\'').count() > 1) {
        // Several texts, or a quote inside of the text.
        return (value.contains(',') && deep < MOST_DEEP).then(|| several_bare(value, slips, deep))?;
    }
    if marks == 2 && !value.ends_with('"') {
        slips.push(Slip::AfterValue);
        let whole = value.replace('"', "");
        return parse_length(&whole, LengthUnit::Inch)
            .is_ok()
            .then(|| format!("\"{whole}\""));
    }
    in_quotes(inner, Slip::OpenQuote, slips)
}

/// The text between double quotes.
fn in_quotes(text: &str, slip: Slip, slips: &mut Vec<Slip>) -> Option<String> {
    let text = text.trim();
    // A mark inside may be the end of one text and the beginning of another.
    let whole = !text.contains(['"', '\\', '=', '[', ']', '{', '}']);
    slips.push(if whole { slip } else { Slip::Other });
    whole.then(|| format!("\"{text}\""))
}

/// A number as it must be, from one that lacks a digit, has a nought too many or another minus.
fn figure(value: &str) -> Option<String> {
    let (sign, size) = match value.strip_prefix(['-', '−', '–', '+']) {
        Some(size) if value.starts_with('+') => ("", size.trim()),
        Some(size) => ("-", size.trim()),
        None => ("", value),
    };
    let (whole, decimals) = size
        .strip_suffix('.')
        .unwrap_or(size)
        .split_once('.')
        .unwrap_or((size.trim_end_matches('.'), ""));
    let digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    if !digits(whole) || !digits(decimals) || whole.is_empty() && decimals.is_empty() {
        return None;
    }
    let whole = whole.trim_start_matches('0');
    let whole = if whole.is_empty() { "0" } else { whole };
    let point = if decimals.is_empty() { "" } else { "." };
    Some(format!("{sign}{whole}{point}{decimals}"))
}

/// Key and value of a line without a mark between them: the key's words, then a figure or something in quotes or brackets.
pub(crate) fn without_equals<'a>(line: &'a str, slips: &mut Vec<Slip>) -> Option<(&'a str, &'a str)> {
    let mut at = 0;
    for (words, word) in line.split_inclusive(char::is_whitespace).enumerate() {
        let said = word.trim().trim_end_matches('.').to_lowercase();
        if words > 0 && matches!(said.as_str(), "is" | "was") {
            slips.push(Slip::NoEquals);
            return Some((line.get(..at)?, line.get(at + word.len()..)?));
        }
        let about = matches!(
            said.as_str(),
            "about" | "approx" | "approximately" | "around" | "ca" | "circa" | "roughly"
        );
        let value = about
            || word.starts_with(|c: char| {
                c.is_numeric() || matches!(c, '"' | '\'' | '[' | '{' | '.' | '-' | '−' | '+' | '~')
            });
        if value && words > 0 {
            slips.push(Slip::NoEquals);
            return line.split_at_checked(at);
        }
        let is_word = word
            .trim()
            .chars()
            .all(|c| c.is_ascii_alphanumeric() || matches!(c, '_' | '-' | '.'));
        if value || !is_word || words == 3 {
            break;
        }
        at += word.len();
    }
    let key_alone = is_key(line);
    slips.push(if key_alone { Slip::NoValue } else { Slip::Words });
    None
}
