//! `[[string]]`: strings spelled out, or laid over those of a set.

use strings::{CoreShape, frequency};

use crate::StringSet;
use crate::fields::{Field, f};
use crate::node::{Got, Node};
use crate::problem::ProblemKind as P;
use crate::string_spec::{StringKind, StringSpec};
use crate::table::Table;

/// A `[[string]]` table as read.
pub(crate) struct Spelled<'a> {
    pub(crate) table: Table<'a>,
    pub(crate) number: Option<u32>,
    pub(crate) spec: StringSpec,
    /// Factor on the stretch stiffness.
    pub(crate) stretch: Option<Got<'a, f64>>,
    /// Further factor on the bending stiffness, and factor on the linear density.
    pub(crate) bending: f64,
    pub(crate) mass: f64,
    /// Every field that is there was read.
    pub(crate) sound: bool,
}

pub(crate) fn spelled_out<'a>(node: &Node<'a>) -> Vec<Spelled<'a>> {
    let Some(parts) = node.list() else {
        node.refuse(P::StringsInOne {});
        return Vec::new();
    };
    parts.iter().filter_map(|part| Some(spelled(part.table()?))).collect()
}

fn spelled(table: Table<'_>) -> Spelled<'_> {
    let number = table.may(f!("string.number"), Node::whole).given();
    let mut sound = number.is_some();
    let mut spec = StringSpec::default();
    let mut put = Put {
        table: &table,
        sound: &mut sound,
    };
    let own = |n: &Node| n.text().map(str::to_owned);
    put.with(f!("string.note"), &mut spec.note, |n| note(n).map(str::to_owned));
    put.with(f!("string.gauge"), &mut spec.gauge, Node::figure);
    put.with(f!("string.kind"), &mut spec.kind, |n| {
        n.choice([StringKind::Plain, StringKind::Wound])
    });
    put.with(f!("string.core"), &mut spec.core, Node::figure);
    put.with(f!("string.core_shape"), &mut spec.core_shape, |n| {
        n.choice([CoreShape::Round, CoreShape::Hexagonal])
    });
    put.with(f!("string.core_material"), &mut spec.core_material, own);
    put.with(f!("string.material"), &mut spec.material, own);
    put.with(f!("string.wrap"), &mut spec.wrap, own);
    put.with(f!("string.linear_density"), &mut spec.linear_density, Node::figure);
    put.with(f!("string.stretch_response"), &mut spec.stretch_response, Node::figure);
    let mut stretch = None;
    put.with(f!("string.stretch_factor"), &mut stretch, |n| Some(n.got(n.figure()?)));
    let (mut bending, mut mass) = (None, None);
    put.with(f!("string.bending_factor"), &mut bending, Node::figure);
    put.with(f!("string.mass_factor"), &mut mass, Node::figure);
    Spelled {
        table,
        number,
        spec,
        stretch,
        bending: bending.unwrap_or(1.0),
        mass: mass.unwrap_or(1.0),
        sound,
    }
}

/// Puts what a table gives into a description.
struct Put<'t, 'a> {
    table: &'t Table<'a>,
    /// Nothing was refused so far.
    sound: &'t mut bool,
}

impl<'a> Put<'_, 'a> {
    fn with<T>(&mut self, row: &'static Field, to: &mut Option<T>, read: impl FnOnce(&Node<'a>) -> Option<T>) {
        match self.table.may(row, read).sound() {
            Some(value) => *to = value,
            None => *self.sound = false,
        }
    }
}

/// A note name.
pub(crate) fn note<'a>(node: &Node<'a>) -> Option<&'a str> {
    let note = node.text()?;
    frequency(note, 440.0)
        .is_ok()
        .then_some(note)
        .or_else(|| node.refused(P::NoNote {}))
}

/// Number of strings: that of the set, or the greatest number spelled out.
pub(crate) fn count(set: Option<&StringSet>, spelled: Option<&[Spelled]>) -> Option<usize> {
    if let Some(set) = set {
        return Some(set.strings.len());
    }
    let spelled = spelled?;
    // One number that was refused leaves the count open.
    let numbers: Option<Vec<u32>> = spelled.iter().map(|s| s.number).collect();
    numbers?.into_iter().max().and_then(|n| usize::try_from(n).ok())
}

/// The spelled-out strings from bass to treble; `None` where a set's string is not touched.
pub(crate) fn by_number<'s, 'a>(
    spelled: &'s [Spelled<'a>],
    count: usize,
    set: Option<&StringSet>,
) -> Option<Vec<Option<&'s Spelled<'a>>>> {
    let mut places: Vec<Option<&Spelled>> = vec![None; count];
    let mut sound = true;
    for own in spelled {
        let Some(number) = own.number.and_then(|n| usize::try_from(n).ok()) else {
            sound = false;
            continue;
        };
        let refuse = |kind: P| {
            if let Some(node) = own.table.get(f!("string.number")) {
                node.refuse(kind);
            }
        };
        if number > count {
            refuse(P::NotInSet { count, number });
            sound = false;
        } else if places[count - number].is_some() {
            refuse(P::StringTwice { number });
            sound = false;
        } else {
            places[count - number] = Some(own);
        }
    }
    if set.is_none() {
        for number in (1..=count).filter(|number| places[count - number].is_none()) {
            if let Some(first) = spelled.first() {
                first.table.node.refuse(P::StringMissing { number, count });
            }
            sound = false;
        }
    }
    sound.then_some(places)
}
