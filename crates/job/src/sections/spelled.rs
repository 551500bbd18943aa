//! `[[string]]`: strings spelled out, or laid over those of a set.

use strings::{CoreShape, frequency};

use crate::StringSet;
use crate::limits;
use crate::node::{Got, Node};
use crate::schema::STRING;
use crate::string_spec::{StringKind, StringSpec};
use crate::table::Table;

/// A `[[string]]` table as read.
pub(crate) struct Spelled<'a> {
    pub(crate) table: Table<'a>,
    pub(crate) number: Option<u32>,
    pub(crate) spec: StringSpec,
    /// Factor on the stretch stiffness.
    pub(crate) stretch: Option<Got<'a, f64>>,
    /// Every field that is there was read.
    pub(crate) sound: bool,
}

pub(crate) fn spelled_out<'a>(node: &Node<'a>) -> Vec<Spelled<'a>> {
    let Some(parts) = node.list() else {
        node.refuse("Write each string as a table of its own: [[string]] on a line, then its keys.");
        return Vec::new();
    };
    parts
        .iter()
        .filter_map(|part| Some(spelled(part.table(&STRING)?)))
        .collect()
}

fn spelled(table: Table<'_>) -> Spelled<'_> {
    let number = table.need("number").and_then(|n| {
        let limit = limits::Limit {
            least: 1.0,
            most: 12.0,
            usual: (1.0, 12.0),
            hint: "Strings are numbered from 1, the treble-most, to 12 at most.",
        };
        n.whole(&limit)
    });
    let mut sound = number.is_some();
    let mut keep = |key: &str, read: &mut dyn FnMut(&Node) -> bool| {
        if let Some(node) = table.get(key) {
            sound &= read(&node);
        }
    };
    let mut spec = StringSpec::default();
    fn put<T>(slot: &mut Option<T>, value: Option<T>) -> bool {
        *slot = value;
        slot.is_some()
    }
    let own = |n: &Node| n.text().map(str::to_owned);
    keep("note", &mut |n| {
        let note = n.text().filter(|note| is_note(n, note)).map(str::to_owned);
        put(&mut spec.note, note)
    });
    keep("gauge", &mut |n| put(&mut spec.gauge, n.length(&limits::GAUGE)));
    keep("kind", &mut |n| {
        let kinds = [("wound", StringKind::Wound), ("plain", StringKind::Plain)];
        put(&mut spec.kind, n.choice(&kinds))
    });
    keep("core", &mut |n| put(&mut spec.core, n.length(&limits::CORE)));
    keep("core_shape", &mut |n| {
        let shapes = [("round", CoreShape::Round), ("hexagonal", CoreShape::Hexagonal)];
        put(&mut spec.core_shape, n.choice(&shapes))
    });
    keep("core_material", &mut |n| put(&mut spec.core_material, own(n)));
    keep("material", &mut |n| put(&mut spec.material, own(n)));
    keep("wrap", &mut |n| put(&mut spec.wrap, own(n)));
    keep("linear_density", &mut |n| {
        put(&mut spec.linear_density, n.number(&limits::LINEAR_DENSITY, "g/m"))
    });
    keep("stretch_response", &mut |n| {
        put(&mut spec.stretch_response, n.number(&limits::STRETCH_RESPONSE, ""))
    });
    let stretch_node = table.get("stretch_factor");
    let stretch = stretch_node
        .as_ref()
        .and_then(|n| Some(n.got(n.number(&limits::STRETCH_FACTOR, "")?)));
    sound &= stretch_node.is_some() == stretch.is_some();
    Spelled {
        table,
        number,
        spec,
        stretch,
        sound,
    }
}

pub(crate) fn is_note(node: &Node, note: &str) -> bool {
    let good = frequency(note, 440.0).is_ok();
    if !good {
        node.refuse("Expected a note name with its octave, such as E2, F#3 or Bb3. Middle C is C4.");
    }
    good
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
        let refuse = |what: String| {
            if let Some(node) = own.table.get("number") {
                node.refuse(what);
            }
        };
        if number > count {
            refuse(format!("The set has {count} strings, so it has no string {number}."));
            sound = false;
        } else if places[count - number].is_some() {
            refuse(format!(
                "String {number} is given twice. Keep one [[string]] for each number."
            ));
            sound = false;
        } else {
            places[count - number] = Some(own);
        }
    }
    if set.is_none() {
        for number in (1..=count).filter(|number| places[count - number].is_none()) {
            if let Some(first) = spelled.first() {
                first.table.node.refuse(format!(
                    "String {number} of {count} is missing. Add a [[string]] with number = {number}, or name a set."
                ));
            }
            sound = false;
        }
    }
    sound.then_some(places)
}
