//! `[slot]`: the saddle slot as read.

use saddle::TensionChange;

use crate::limits;
use crate::node::{Got, Node};
use crate::schema::{REFERENCE, SLOT, UNDER_TENSION};
use crate::table::Table;

type Ends<'a> = [Got<'a, f64>; 2];

/// The readings that fix the slot's place.
pub(crate) enum Way<'a> {
    /// By straightedge.
    Straightedge {
        edge_from_fret_12: Ends<'a>,
        bridge_top: Ends<'a>,
        depth: Ends<'a>,
    },
    /// By a saddle of known size.
    Reference {
        contact_from_fret_12: Ends<'a>,
        height: Ends<'a>,
        back: Ends<'a>,
        /// Action at fret 12 with that saddle in, where it is not the present one.
        action_12: Option<[f64; 2]>,
        depth: Option<Ends<'a>>,
    },
}

/// The slot as read.
#[derive(Default)]
pub(crate) struct SlotRead<'a> {
    pub(crate) way: Option<Way<'a>>,
    pub(crate) by_reference: Option<Node<'a>>,
    pub(crate) lean: Option<f64>,
    pub(crate) width: Option<Got<'a, f64>>,
    pub(crate) length: Option<Got<'a, f64>>,
    pub(crate) under: Option<f64>,
    pub(crate) under_tension: TensionChange,
    pub(crate) depth: Option<Ends<'a>>,
}

impl<'a> SlotRead<'a> {
    pub(crate) fn read(node: &Node<'a>) -> Option<Self> {
        let table = node.table(&SLOT)?;
        let read_by = table.need("read_by");
        let reference = read_by
            .as_ref()
            .and_then(|n| n.choice(&[("straightedge", false), ("reference saddle", true)]));
        let depth = table
            .get("depth")
            .and_then(|n| n.ends(|n| n.length(&limits::SLOT_DEPTH)));
        let way = match reference {
            Some(false) => straightedge(&table, depth.clone()),
            Some(true) => by_reference(&table, depth.clone()),
            None => None,
        };
        let width = table.get("width");
        if width.is_none() {
            table.node.doubt(
                "The width is missing, so it cannot be checked that the blank fits the slot. Measure it at both ends and \
                 the middle and add width.",
            );
        }
        Some(Self {
            way,
            by_reference: read_by.filter(|_| reference == Some(true)),
            lean: table.need("lean").and_then(|n| n.angle(&limits::LEAN)),
            width: width.and_then(|n| Some(n.got(n.length(&limits::SLOT_WIDTH)?))),
            length: table
                .get("length")
                .and_then(|n| Some(n.got(n.length(&limits::LENGTH)?))),
            under: table.get("under").map_or(Some(0.0), |n| n.length(&limits::UNDER)),
            under_tension: under_tension(&table, reference),
            depth,
        })
    }
}

fn straightedge<'a>(table: &Table<'a>, depth: Option<Ends<'a>>) -> Option<Way<'a>> {
    if let Some(reference) = table.get("reference") {
        reference.doubt("[slot.reference] is not used with read_by = \"straightedge\". Leave it out, or write read_by = \"reference saddle\".");
    }
    let edge = table.need("edge_from_fret_12");
    let edge = edge.and_then(|n| n.ends(|n| n.length(&limits::FROM_FRET_12)));
    let top = table.need("bridge_top");
    let top = top.and_then(|n| n.ends(|n| n.length(&limits::BRIDGE_TOP)));
    if table.get("depth").is_none() {
        table.lacks("depth", "");
    }
    Some(Way::Straightedge {
        edge_from_fret_12: edge?,
        bridge_top: top?,
        depth: depth?,
    })
}

fn by_reference<'a>(table: &Table<'a>, depth: Option<Ends<'a>>) -> Option<Way<'a>> {
    for key in ["edge_from_fret_12", "bridge_top"] {
        if let Some(node) = table.get(key) {
            node.doubt("This is not used with read_by = \"reference saddle\". Leave it out, or write read_by = \"straightedge\".");
        }
    }
    if table.get("depth").is_none() {
        table.node.doubt(
            "The depth of the slot is missing, so no exposure above the bridge is worked out, and break angles and the \
             string behind the ridge are not checked. Measure it down the front wall and add depth.",
        );
    }
    let reference = table.need("reference")?.table(&REFERENCE)?;
    let read = |key, limit| reference.need(key).and_then(|n| n.ends(|n| n.length(limit)));
    let contact = read("contact_from_fret_12", &limits::FROM_FRET_12);
    let height = read("height", &limits::REFERENCE_HEIGHT);
    let back = read("back", &limits::REFERENCE_BACK);
    let action_12 = match reference.get("action_12") {
        None => None,
        Some(n) => Some(n.ends(|n| n.length(&limits::ACTION_12))?.map(|end| end.value)),
    };
    Some(Way::Reference {
        contact_from_fret_12: contact?,
        height: height?,
        back: back?,
        action_12,
        depth,
    })
}

fn under_tension(table: &Table, by_reference: Option<bool>) -> TensionChange {
    let taken = table.get("taken");
    let slack = taken
        .as_ref()
        .map_or(Some(false), |n| n.choice(&[("at pitch", false), ("slack", true)]));
    let change = table.get("under_tension");
    let (Some(slack), by_reference) = (slack, by_reference == Some(true)) else {
        return TensionChange::default();
    };
    let Some(change) = change else {
        if let (Some(taken), true) = (taken, slack) {
            taken.doubt(
                "The bridge rises and tips when the strings come up to pitch, and nothing is allowed for it. Read again at \
                 pitch, or add under_tension = { bridge_top = .., lean = .. }.",
            );
        }
        return TensionChange::default();
    };
    if !slack {
        change.refuse("under_tension is used with taken = \"slack\" only. Write that, or leave under_tension out.");
        return TensionChange::default();
    }
    let Some(keys) = change.table(&UNDER_TENSION) else {
        return TensionChange::default();
    };
    let rise = keys.get("bridge_top");
    if let (Some(rise), true) = (&rise, by_reference) {
        rise.doubt(
            "This is not used with a reference saddle: its contact is worked out from the action at pitch. Only the change \
             of lean is used. Leave it out.",
        );
    }
    let rise = rise.and_then(|n| n.ends(|n| n.length(&limits::TENSION_BRIDGE_TOP)));
    let lean = keys.get("lean").and_then(|n| n.angle(&limits::TENSION_LEAN));
    TensionChange {
        bridge_top: rise.map_or([0.0; 2], |[bass, treble]| [bass.value, treble.value]),
        lean: lean.unwrap_or(0.0),
    }
}
