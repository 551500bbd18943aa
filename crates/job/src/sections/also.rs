//! `[[also]]`: other tunings and other sets that take turns on the same contacts.

use strings::{StringModel, frequency};

use super::strings::{OneString, Strung, find_set, tuning};
use crate::fields::f;
use crate::node::{Got, Node};
use crate::problem::ProblemKind as P;
use crate::table::Table;
use crate::{Profiles, StringSet};

/// Most characters of a name.
const MOST_NAME: usize = 40;

/// One tuning or set as read.
pub(crate) struct Also<'a> {
    pub(crate) name: String,
    pub(crate) weight: f64,
    /// Bass to treble.
    pub(crate) strings: Vec<AlsoOne<'a>>,
}

/// One string of it.
pub(crate) struct AlsoOne<'a> {
    pub(crate) number: u32,
    pub(crate) note: String,
    pub(crate) frequency: f64,
    /// Another string than the job's; `None` for that, tuned otherwise.
    pub(crate) other: Option<StringModel>,
    /// The string itself, whichever it is.
    pub(crate) model: StringModel,
    /// Where to report on its sound.
    pub(crate) at: Node<'a>,
}

impl Also<'_> {
    /// Whether it is just these strings at just these pitches.
    fn is(&self, strings: impl Iterator<Item = (StringModel, f64)>) -> bool {
        let own = self.strings.iter().map(|s| (s.model, s.frequency));
        own.eq(strings)
    }
}

/// All of them, if all could be read; `node` is the value of `[[also]]`.
pub(crate) fn also<'a>(node: &Node<'a>, strung: &Strung, profiles: &Profiles) -> Option<Vec<Also<'a>>> {
    let Some(parts) = node.list() else {
        return node.refused(P::AlsoInOne {});
    };
    let each = parts
        .iter()
        .enumerate()
        .map(|(i, part)| one(&part.table()?, i + 2, strung, profiles));
    // All of them are looked at before any is given up.
    let each: Vec<Option<Also>> = each.collect();
    let all: Vec<Also> = each.into_iter().collect::<Option<_>>()?;
    let main = strung.strings.as_ref()?;
    let mut sound = true;
    for (i, (this, part)) in all.iter().zip(&parts).enumerate() {
        let before = all.get(..i).unwrap_or_default();
        if before.iter().any(|other| other.name == this.name) {
            part.refuse(P::AlsoNameTwice {
                name: this.name.clone(),
            });
            sound = false;
        }
        let same = before
            .iter()
            .find(|other| this.is(other.strings.iter().map(|s| (s.model, s.frequency))));
        let same = same.map(|other| format!("\"{}\"", other.name));
        let as_main = this.is(main.iter().map(|s| (s.model, s.frequency)));
        if let Some(name) = same.or_else(|| as_main.then(|| "the main tuning".to_owned())) {
            part.doubt(P::AlsoTwice { name });
        }
    }
    sound.then_some(all)
}

fn one<'a>(table: &Table<'a>, place: usize, strung: &Strung, profiles: &Profiles) -> Option<Also<'a>> {
    let tuning = table.may(f!("also.tuning"), tuning);
    let set_node = table.get(f!("also.set"));
    let set = table.may(f!("also.set"), |n| set_of(n, strung.count, profiles));
    let weight = table.value(f!("also.weight"));
    let name = table.may(f!("also.name"), name);
    if table.get(f!("also.tuning")).is_none() && set_node.is_none() {
        table.node.refuse(P::AlsoNothing {});
        return None;
    }
    let (tuning, set) = (tuning.sound()?, set.sound()?);
    let name = name.sound()?;
    let usual = || match (&tuning, set) {
        (None, Some(set)) => set.name.clone(),
        _ => format!("tuning {place}"),
    };
    let name = name.map_or_else(usual, str::to_owned);
    let main = strung.strings.as_ref()?;
    let at = set_node.unwrap_or_else(|| table.node.clone());
    let strings = main.iter().enumerate().map(|(i, main)| {
        let tuned = tuning.as_ref().and_then(|notes| notes.get(i));
        string(main, tuned, set.map(|set| &set.strings[i]), strung.a4?, &at, profiles)
    });
    Some(Also {
        name,
        weight: weight?,
        strings: strings.collect::<Option<_>>()?,
    })
}

fn string<'a>(
    main: &OneString,
    tuned: Option<&Got<'a, String>>,
    other: Option<&crate::StringSpec>,
    a4: f64,
    at: &Node<'a>,
    profiles: &Profiles,
) -> Option<AlsoOne<'a>> {
    let other = match other {
        // Each string of a set builds a model.
        Some(spec) => Some(spec.model(&profiles.wire).ok()?),
        None => None,
    };
    Some(AlsoOne {
        number: main.number,
        note: tuned.map_or_else(|| main.note.clone(), |note| note.value.clone()),
        frequency: match tuned {
            Some(note) => frequency(&note.value, a4).ok()?,
            None => main.frequency,
        },
        model: other.unwrap_or(main.model),
        other,
        at: tuned.map_or_else(|| at.clone(), |note| note.at.clone()),
    })
}

/// A set of as many strings as the job has.
fn set_of<'p>(node: &Node, count: Option<usize>, profiles: &'p Profiles) -> Option<&'p StringSet> {
    let set = find_set(node, profiles)?;
    let values = set.strings.len();
    match count {
        Some(strings) if strings != values => node.refused(P::AlsoCount { values, strings }),
        _ => Some(set),
    }
}

fn name<'a>(node: &Node<'a>) -> Option<&'a str> {
    let name = node.prose(false)?;
    let long = name.chars().count();
    if name.trim().is_empty() {
        return node.unexpected();
    }
    if long > MOST_NAME {
        return node.refused(P::LongName { long, most: MOST_NAME });
    }
    Some(name)
}
