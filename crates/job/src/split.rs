//! `[[saddle]]`: several saddles in one bridge, each with its own slot and blank under some of the strings.

use std::cmp::Reverse;
use std::ops::{Range, RangeInclusive};

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::Job;
use crate::fields::{Field, f};
use crate::head::MOST_TITLE;
use crate::node::{Got, Node};
use crate::problem::{ProblemKind as P, Why};
use crate::table::Table;

/// Most letters of a name.
const MOST_NAME: usize = 16;
/// What `--part` and the names of files mean otherwise.
const TAKEN: [&str; 3] = ["saddle", "nut", "both"];

/// One of several saddles.
pub(crate) struct OneOf<'a> {
    table: Table<'a>,
    /// Its name; empty where it is refused.
    name: String,
    /// Where its strings are written, and their numbers; `None` where they are refused.
    strings: Option<(Node<'a>, Vec<Got<'a, u32>>)>,
    /// It has a table `filing` of its own.
    pub(crate) own_filing: bool,
}

/// Tables of a saddle, and the common ones that they are laid over.
fn tables() -> [[&'static Field; 2]; 5] {
    [
        [f!("saddle.slot"), f!("slot")],
        [f!("saddle.bridge"), f!("bridge")],
        [f!("saddle.blank"), f!("blank")],
        [f!("saddle.crown"), f!("crown")],
        [f!("saddle.cut"), f!("cut")],
    ]
}

/// Tables within those that are laid over each other key by key too; other values are taken whole.
const WITHIN: [&str; 4] = ["reference", "stock", "vise", "tape"];

/// The saddles as named, and which strings they carry; `None` if there are not several tables.
pub(crate) fn saddles<'a>(node: &Node<'a>) -> Option<Vec<OneOf<'a>>> {
    let Some(list) = node
        .list()
        .filter(|list| !list.is_empty() && list.iter().all(Node::is_table))
    else {
        return node.refused(P::NotSaddles {});
    };
    let alone = match &list[..] {
        [one] => one.refused(P::OneSaddle {}),
        _ => Some(()),
    };
    let mut each: Vec<OneOf> = Vec::new();
    for node in &list {
        let table = node.table()?;
        let name = table.need(f!("saddle.name")).and_then(|n| Some((name(&n)?, n)));
        let strings = table.need(f!("saddle.strings")).and_then(|n| Some((numbers(&n)?, n)));
        if let Some((name, at)) = &name
            && each.iter().any(|other| other.name == *name)
        {
            at.refuse(P::SaddlesAlike { name: name.clone() });
        }
        for string in strings.iter().flat_map(|(numbers, _)| numbers) {
            let carries = |other: &&OneOf| {
                let numbers = other.strings.iter().flat_map(|(_, numbers)| numbers);
                numbers.into_iter().any(|number| number.value == string.value)
            };
            if let Some(other) = each.iter().find(carries) {
                let (string_number, name) = (string.value, other.name.clone());
                string.at.refuse(P::CarriedTwice {
                    string: string_number,
                    name,
                });
            }
        }
        each.push(OneOf {
            own_filing: table.get(f!("saddle.filing")).is_some(),
            table,
            name: name.map_or_else(String::new, |(name, _)| name),
            strings: strings.map(|(numbers, at)| (at, numbers)),
        });
    }
    alone.map(|()| each)
}

/// Small letters, so that no two files are one where letters of both sizes are the same.
fn name(node: &Node) -> Option<String> {
    let name = node.text()?.to_ascii_lowercase();
    let sound = name.len() <= MOST_NAME
        && name.starts_with(|c: char| c.is_ascii_alphabetic())
        && name.chars().all(|c| c.is_ascii_alphanumeric())
        && !TAKEN.contains(&name.as_str());
    if sound {
        Some(name)
    } else {
        node.refused(P::SaddleName {})
    }
}

fn numbers<'a>(node: &Node<'a>) -> Option<Vec<Got<'a, u32>>> {
    let list = node.list().filter(|list| !list.is_empty());
    let read = |part: &Node<'a>| {
        let integer = part.value.as_integer()?;
        let number = i64::from_str_radix(integer.as_str(), integer.radix()).ok()?;
        Some(part.got(u32::try_from(number).ok()?))
    };
    let numbers = list.and_then(|list| list.iter().map(read).collect());
    numbers.or_else(|| node.refused(P::StringsOfSaddle {}))
}

/// The last place in the text where something of a value stands.
fn end(value: &Spanned<DeValue>) -> usize {
    let within = match value.as_ref() {
        DeValue::Table(table) => table.values().map(end).max(),
        DeValue::Array(list) => list.iter().map(end).max(),
        _ => None,
    };
    within.unwrap_or(0).max(value.span().end)
}

impl OneOf<'_> {
    /// The lines that it stands on, and what stands before the names of fields in its tables.
    pub(crate) fn written(&self) -> (RangeInclusive<usize>, String) {
        let node = &self.table.node;
        let last = self
            .table
            .written()
            .values()
            .map(end)
            .max()
            .unwrap_or(0)
            .max(node.span.end);
        let lines = node.source.line(node.span.start)..=node.source.line(last.saturating_sub(1));
        (lines, format!("{}.", node.field))
    }

    /// Which strings it carries, counted from the bass, of so many; reports what is wrong with them.
    pub(crate) fn carries(&self, count: usize) -> Option<Range<usize>> {
        let (at, numbers) = self.strings.as_ref()?;
        let place = |number: &Got<u32>| {
            let place = usize::try_from(number.value).ok().filter(|number| *number >= 1);
            let place = place.and_then(|number| count.checked_sub(number));
            place.or_else(|| {
                let (string, strings) = (number.value, count);
                number.at.refused(P::NoSuchString { string, strings })
            })
        };
        let places: Vec<Option<usize>> = numbers.iter().map(place).collect();
        let mut places: Vec<usize> = places.into_iter().collect::<Option<_>>()?;
        places.sort_unstable();
        let (first, last) = (*places.first()?, *places.last()?);
        if !places.iter().copied().eq(first..=last) {
            return at.refused(P::NotNeighbours {});
        }
        Some(first..last + 1)
    }

    /// The file as it would be written for this saddle alone: its tables over the common ones.
    pub(crate) fn laid_over<'t>(&'t self, common: &'t DeTable<'t>) -> Spanned<DeTable<'t>> {
        let mut all = common.clone();
        all.remove(f!("saddle").name());
        for [own, common] in tables() {
            lay(&mut all, self.table.written(), own.name(), common.name());
        }
        // Lists of strings are of this saddle's or of all: no file mixes them.
        let filing = f!("filing").name();
        if let Some((key, value)) = self.table.written().get_key_value(filing) {
            all.remove(filing);
            all.insert(key.clone(), value.clone());
        }
        Spanned::new(0..0, all)
    }

    /// Reports the tables that neither this saddle nor the top of the file has, where they are wanted.
    pub(crate) fn lacks(&self, laid: &Table) {
        for [own, common] in [[f!("saddle.slot"), f!("slot")], [f!("saddle.blank"), f!("blank")]] {
            if laid.get(common).is_none() {
                self.table.lacks(own, Why::Needed {});
            }
        }
    }
}

/// Lays the table `key` of `own` over that of `all`, key by key.
fn lay<'t>(all: &mut DeTable<'t>, own: &DeTable<'t>, key: &str, into: &str) {
    let Some((written, value)) = own.get_key_value(key) else {
        return;
    };
    let under = all.remove(into);
    let laid = match (value.as_ref(), under) {
        (DeValue::Table(own), Some(under)) => match under.into_inner() {
            DeValue::Table(mut under) => {
                for (key, each) in own {
                    let name: &str = key.as_ref();
                    if WITHIN.contains(&name) {
                        lay(&mut under, own, name, name);
                    } else {
                        under.remove(name);
                        under.insert(key.clone(), each.clone());
                    }
                }
                Spanned::new(value.span(), DeValue::Table(under))
            }
            _ => value.clone(),
        },
        _ => value.clone(),
    };
    all.insert(written.clone(), laid);
}

/// Whether every string is carried; reports those that are not.
pub(crate) fn all_carried(saddles: &Node, each: &[OneOf], count: usize) -> bool {
    if each.iter().any(|one| one.strings.is_none()) {
        return false;
    }
    let carried = |number: &u32| {
        let mut numbers = each.iter().filter_map(|one| one.strings.as_ref());
        numbers.any(|(_, numbers)| numbers.iter().any(|got| got.value == *number))
    };
    let lacking: Vec<u32> = (1..=u32::try_from(count).unwrap_or(u32::MAX))
        .rev()
        .filter(|number| !carried(number))
        .collect();
    let words: Vec<String> = lacking.iter().map(u32::to_string).collect();
    let strings = match &words[..] {
        [] => return true,
        [one] => format!("string {one}"),
        [first @ .., last] => format!("strings {} and {last}", first.join(", ")),
    };
    saddles.refused(P::NotCarried { strings }).unwrap_or(false)
}

/// The title of a saddle's job: its name first, because long titles are cut at their end.
fn entitled(name: &str, title: &str) -> String {
    let (first, rest) = name.split_at_checked(1).unwrap_or_default();
    let title = format!("{}{rest} saddle: {title}", first.to_ascii_uppercase());
    title.chars().take(MOST_TITLE).collect()
}

/// The whole job and one for each saddle, from the jobs as each was read: of one saddle, with all strings.
pub(crate) fn joined(each: &[OneOf], read: Vec<Job>) -> Option<Job> {
    let count = read.first()?.instrument.strings.len();
    let mut whole = Job {
        saddle: None,
        ..read.first()?.clone()
    };
    for (one, mut job) in each.iter().zip(read) {
        let own = one.carries(count)?;
        job.title = entitled(&one.name, &job.title);
        job.name = Some(one.name.clone());
        job.nut = None;
        job.instrument.strings = job.instrument.strings.get(own.clone())?.to_vec();
        if let Some(strung) = &mut job.strung {
            strung.strings = strung.get(own.clone())?.to_vec();
        }
        // What is read in a slot is refused beside several saddles.
        job.readings = job.readings.of_strings(own, count, false);
        whole.split.push(job);
    }
    // Bass to treble, in whichever order they are written.
    let bass = |job: &Job| job.instrument.strings.first().map_or(0, |string| string.number);
    whole.split.sort_by_key(|job| Reverse(bass(job)));
    Some(whole)
}
