//! `[doubt]`: readings of the survey that are not believed, and not counted; `[assumed]`: figures of it that nobody read.

use instrument::{At, Of};

use crate::fields::{Field, f};
use crate::node::Node;
use crate::parts::Parts;
use crate::problem::ProblemKind as P;
use crate::table::Table;

/// What a key of `[doubt]` strikes out: its own row, the reading's row, and over what the reading extends.
type Entry = (&'static Field, &'static Field, Extent);

/// Over what a reading extends.
enum Extent {
    /// One, of these.
    Whole(&'static [Of]),
    /// At both ends of the slot.
    Ends(Of),
    /// On the strings.
    Strings(Of),
}

/// Keys of the slot as a straightedge reads it.
const BY_STRAIGHTEDGE: [&Field; 2] = [f!("slot.edge_from_fret_12"), f!("slot.bridge_top")];

/// Both radii of the board, which stand under one key.
const RADII: &[Of] = &[Of::RadiusAtNut, Of::RadiusAt12];

/// Keys of `[assumed]`: what is usual on an instrument can stand in place of these.
fn assumable() -> [Entry; 2] {
    use Extent::Whole;
    [
        (f!("assumed.relief"), f!("instrument.relief"), Whole(&[Of::Relief])),
        (f!("assumed.board_radius"), f!("instrument.board_radius"), Whole(RADII)),
    ]
}

fn entries() -> [Entry; 16] {
    use Extent::{Ends, Strings, Whole};
    [
        (f!("doubt.nut_to_12"), f!("instrument.nut_to_12"), Whole(&[Of::NutTo12])),
        (f!("doubt.relief"), f!("instrument.relief"), Whole(&[Of::Relief])),
        (f!("doubt.board_radius"), f!("instrument.board_radius"), Whole(RADII)),
        (
            f!("doubt.first_fret_clearance"),
            f!("nut.first_fret_clearance"),
            Strings(Of::Clearance),
        ),
        (f!("doubt.held_at_3"), f!("nut.held_at_3"), Strings(Of::HeldAtThree)),
        (
            f!("doubt.zero_fret_above"),
            f!("nut.zero_fret_above"),
            Strings(Of::ZeroFret),
        ),
        (
            f!("doubt.action_12"),
            f!("present.action_12"),
            Strings(Of::Action { fret: 12 }),
        ),
        (
            f!("doubt.cents_12"),
            f!("present.cents_12"),
            Strings(Of::Cents { fret: 12 }),
        ),
        (
            f!("doubt.contact_from_fret_12"),
            f!("present.contact_from_fret_12"),
            Strings(Of::Contact),
        ),
        (
            f!("doubt.edge_from_fret_12"),
            f!("slot.edge_from_fret_12"),
            Ends(Of::SlotEdge),
        ),
        (f!("doubt.bridge_top"), f!("slot.bridge_top"), Ends(Of::BridgeTop)),
        (f!("doubt.depth"), f!("slot.depth"), Ends(Of::SlotDepth)),
        (f!("doubt.lean"), f!("slot.lean"), Whole(&[Of::Lean])),
        (
            f!("doubt.reference_contact"),
            f!("slot.reference.contact_from_fret_12"),
            Ends(Of::Contact),
        ),
        (
            f!("doubt.reference_height"),
            f!("slot.reference.height"),
            Ends(Of::SaddleHeight),
        ),
        (
            f!("doubt.reference_back"),
            f!("slot.reference.back"),
            Ends(Of::SaddleBack),
        ),
    ]
}

/// What is struck out, in the order of the rows; `None` where a key is refused.
pub(crate) fn doubt(node: &Node, top: &Table, parts: &Parts) -> Option<Vec<(Of, At)>> {
    named(&entries(), node, top, parts)
}

/// What is assumed, in the order of the rows; `None` where a key is refused.
pub(crate) fn assumed(node: &Node, top: &Table, parts: &Parts) -> Option<Vec<(Of, At)>> {
    named(&assumable(), node, top, parts)
}

/// What a table names of the survey.
fn named(entries: &[Entry], node: &Node, top: &Table, parts: &Parts) -> Option<Vec<(Of, At)>> {
    let table = node.table()?;
    let mut named = Vec::new();
    let mut sound = true;
    for (row, reading, extent) in entries {
        let Some(node) = table.get(row) else { continue };
        match one(&node, reading, extent, top, parts) {
            Some(each) => named.extend(each),
            None => sound = false,
        }
    }
    sound.then_some(named)
}

fn one(node: &Node, reading: &'static Field, extent: &Extent, top: &Table, parts: &Parts) -> Option<Vec<(Of, At)>> {
    let of_slot = reading.place().0.starts_with("slot");
    if of_slot && parts.source.several.get() {
        return node.refused(P::SlotOfSeveral {});
    }
    let flat =
        reading == f!("instrument.board_radius") && given(top, reading).is_some_and(|n| n.as_text() == Some("flat"));
    if given(top, reading).is_none() || unused(reading, parts) || flat {
        return node.refused(P::NothingToDoubt { reading: reading.key });
    }
    match extent {
        Extent::Whole(of) => {
            let all = node.boolean()?;
            Some(of.iter().filter(|_| all).map(|of| (*of, At::Whole)).collect())
        }
        Extent::Ends(of) => {
            let ends: &[usize] = match (node.as_text(), node.value.as_bool()) {
                (_, Some(true)) => &[0, 1],
                (_, Some(false)) => &[],
                (Some("bass"), _) => &[0],
                (Some("treble"), _) => &[1],
                _ => return node.unexpected(),
            };
            Some(ends.iter().map(|end| (*of, At::End(*end))).collect())
        }
        Extent::Strings(of) => {
            let strings = strings(node, &read_strings(reading, parts)?)?;
            Some(strings.into_iter().map(|i| (*of, At::String(i))).collect())
        }
    }
}

/// The survey's reading, if it has it.
fn given<'a>(top: &Table<'a>, reading: &'static Field) -> Option<Node<'a>> {
    let table = match reading.place().0 {
        "instrument" => top.get(f!("instrument"))?,
        "nut" => top.get(f!("nut"))?,
        "present" => top.get(f!("present"))?,
        "slot.reference" => top.get(f!("slot"))?.quiet_table()?.get(f!("slot.reference"))?,
        _ => top.get(f!("slot"))?,
    };
    table.quiet_table()?.get(reading)
}

/// Whether the slot is read in another way than by this, which is then not used.
fn unused(reading: &'static Field, parts: &Parts) -> bool {
    let by_reference = reading.place().0 == "slot.reference";
    if parts.slot.by_reference.is_some() {
        BY_STRAIGHTEDGE.contains(&reading)
    } else {
        by_reference && parts.slot.line.is_some()
    }
}

/// Which strings, counted from the bass, the survey read for themselves; `None` where that could not be read.
fn read_strings(reading: &'static Field, parts: &Parts) -> Option<Vec<bool>> {
    let count = parts.strung.count?;
    let (nut, present) = (&parts.nut, &parts.present);
    if reading == f!("present.cents_12") {
        return Some(present.cents_12.as_ref()?.value.iter().map(Option::is_some).collect());
    }
    let values = match reading.key {
        "nut.first_fret_clearance" => nut.first_fret_clearance.as_ref(),
        "nut.held_at_3" => nut.held_at_3.as_ref(),
        "nut.zero_fret_above" => nut.zero_fret.as_ref()?.above.as_ref(),
        "present.action_12" => present.action_12.as_ref(),
        _ => present.contact_from_fret_12.as_ref(),
    };
    let every = values?.is_each();
    Some((0..count).map(|i| every || i == 0 || i + 1 == count).collect())
}

/// The strings that are struck out, of those that were read.
fn strings(node: &Node, read: &[bool]) -> Option<Vec<usize>> {
    let count = read.len();
    let all: Vec<usize> = (0..count).filter(|i| read.get(*i) == Some(&true)).collect();
    let named: Vec<(Node, usize)> = match (node.as_text(), node.value.as_bool()) {
        (_, Some(true)) => return Some(all),
        (_, Some(false)) => return Some(Vec::new()),
        (Some("bass"), _) => vec![(node.clone(), 0)],
        (Some("treble"), _) => vec![(node.clone(), count.checked_sub(1)?)],
        _ => {
            let Some(parts) = node.list().filter(|parts| !parts.is_empty()) else {
                return node.unexpected();
            };
            let each: Vec<Option<(Node, usize)>> = parts.into_iter().map(|part| numbered(part, count)).collect();
            each.into_iter().collect::<Option<_>>()?
        }
    };
    let mut struck: Vec<usize> = Vec::new();
    for (at, i) in named {
        if !all.contains(&i) {
            let string = u32::try_from(count - i).unwrap_or(u32::MAX);
            return at.refused(P::NotReadThere { string });
        }
        if !struck.contains(&i) {
            struck.push(i);
        }
    }
    Some(struck)
}

/// The string, counted from the bass, whose number is written.
fn numbered(part: Node<'_>, count: usize) -> Option<(Node<'_>, usize)> {
    let Some(string) = part.value.as_integer().and_then(|n| n.as_str().parse::<u32>().ok()) else {
        return part.unexpected();
    };
    let number = usize::try_from(string).ok().filter(|number| *number >= 1);
    match number.and_then(|number| count.checked_sub(number)) {
        Some(i) => Some((part, i)),
        None => part.refused(P::NoSuchString { string, strings: count }),
    }
}
