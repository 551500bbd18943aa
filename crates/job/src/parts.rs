//! What every job file holds, as read, before its tables are looked at together.

use instrument::Board;

use crate::Profiles;
use crate::node::{Node, SourceText};
use crate::sections::bridge::{BlankRead, Exit};
use crate::sections::filing::FilingRead;
use crate::sections::instrument::Neck;
use crate::sections::nut::{Nut, Present, Target};
use crate::sections::nut_blank::{Laid, Margins};
use crate::sections::slot::SlotRead;
use crate::sections::strings::Strung;
use crate::table::Table;

/// Everything read, for the checks across tables.
pub(crate) struct Parts<'a> {
    pub(crate) source: &'a SourceText<'a>,
    pub(crate) neck: Neck<'a>,
    pub(crate) board: Option<Board>,
    pub(crate) strung: Strung<'a>,
    pub(crate) nut: Nut<'a>,
    pub(crate) present: Present<'a>,
    pub(crate) target: Target<'a>,
    pub(crate) slot: SlotRead<'a>,
    pub(crate) exit: Option<Exit<'a>>,
    pub(crate) blank: BlankRead<'a>,
    pub(crate) filing: Option<FilingRead<'a>>,
}

/// What every job reads: neck, strings, nut and how the instrument stands.
pub(crate) struct Shared<'a> {
    pub(crate) neck: Neck<'a>,
    pub(crate) nut_blank: Option<Node<'a>>,
    pub(crate) margins: Option<Margins<'a>>,
    pub(crate) strung: Strung<'a>,
    pub(crate) nut_node: Option<Node<'a>>,
    pub(crate) nut: Option<Nut<'a>>,
    pub(crate) present_node: Option<Node<'a>>,
    pub(crate) present: Present<'a>,
}

/// Reads what every job has.
pub(crate) fn shared<'a>(top: &Table<'a>, profiles: &Profiles) -> Shared<'a> {
    let neck = top.need("instrument").and_then(|n| Neck::read(&n)).unwrap_or_default();
    let spelled = top.get("string");
    let nut_blank = top.get("nut_blank");
    let margins = nut_blank.as_ref().and_then(Margins::read);
    let strung = top
        .need("strings")
        .and_then(|n| Strung::read(&n, spelled.as_ref(), margins.as_ref(), profiles));
    let strung = strung.unwrap_or_default();
    let nut_node = top.need("nut");
    let nut = nut_node.as_ref().and_then(|n| Nut::read(n, strung.count));
    let present_node = top.get("present");
    let present = present_node.as_ref().and_then(|n| Present::read(n, strung.count));
    Shared {
        neck,
        nut_blank,
        margins,
        strung,
        nut_node,
        nut,
        present_node,
        present: present.unwrap_or_default(),
    }
}

/// What of the strings a new nut needs; `with_setback` where the target could be read.
pub(crate) fn laid(parts: &Parts, with_setback: Option<bool>) -> Option<Laid> {
    let strung = &parts.strung;
    Some(Laid {
        outer: strung.outer?,
        rule: strung.nut_rule?,
        courses: strung.nut_courses.clone()?,
        wound: strung.strings.as_ref()?.iter().map(|s| s.wound).collect(),
        shares: shares(parts)?,
        with_setback: with_setback?,
    })
}

/// A string cannot have both a factor and the reading that finds it anew.
pub(crate) fn stretch_given_twice(parts: &Parts) {
    let present = &parts.present;
    for string in parts.strung.strings.iter().flatten() {
        let Some(factor) = &string.stretch else { continue };
        let place = parts
            .strung
            .count
            .and_then(|count| count.checked_sub(string.number as usize));
        let read = place.and_then(|i| *present.cents_12.as_ref()?.value.get(i)?);
        if read.is_some() {
            factor.at.refuse(format!(
                "String {} has a reading in present.cents_12 too, which finds the factor anew. Keep one of the two.",
                string.number
            ));
        }
    }
}

/// Places of the strings at fret 12: 0 at the bass-most string, 1 at the treble-most.
pub(crate) fn shares(parts: &Parts) -> Option<Vec<f64>> {
    let [nut, saddle] = parts.strung.places.as_ref()?;
    // Fret 12 is half way.
    let places: Vec<f64> = nut
        .iter()
        .zip(saddle)
        .map(|(nut, saddle)| 0.5 * (nut + saddle))
        .collect();
    let (first, last) = (*places.first()?, *places.last()?);
    let width = last - first;
    Some(
        places
            .iter()
            .map(|y| if width > 0.0 { (y - first) / width } else { 0.0 })
            .collect(),
    )
}
