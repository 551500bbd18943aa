//! `[slot]`: the saddle slot as read.

use saddle::TensionChange;

use crate::fields::f;
use crate::may::May;
use crate::node::{Got, Node};
use crate::problem::ProblemKind as P;
use crate::table::{Ends, Table};

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
    /// By straightedge: from fret 12 to the slot's edge, and from the straightedge's line to the bridge top.
    pub(crate) line: Option<[Ends<'a>; 2]>,
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
        let table = node.table()?;
        let reference = table.choice(f!("slot.read_by"), [false, true]).given();
        let depth = table.ends(f!("slot.depth")).given();
        let mut line = None;
        let way = match reference {
            Some(false) => {
                line = straightedge(&table);
                let line = line.clone().zip(depth.clone());
                line.map(|([edge_from_fret_12, bridge_top], depth)| Way::Straightedge {
                    edge_from_fret_12,
                    bridge_top,
                    depth,
                })
            }
            Some(true) => by_reference(&table, depth.clone()),
            None => None,
        };
        let width = table.figure(f!("slot.width"));
        if matches!(width, May::Absent) {
            table.node.doubt(P::NoSlotWidth {});
        }
        Some(Self {
            way,
            line,
            by_reference: table.get(f!("slot.read_by")).filter(|_| reference == Some(true)),
            lean: table.value(f!("slot.lean")),
            width: width.given(),
            length: table.figure(f!("slot.length")).given(),
            under: table.value(f!("slot.under")),
            under_tension: under_tension(&table, reference),
            depth,
        })
    }
}

fn straightedge<'a>(table: &Table<'a>) -> Option<[Ends<'a>; 2]> {
    if let Some(reference) = table.get(f!("slot.reference")) {
        reference.doubt(P::ReferenceUnused {});
    }
    let [edge, top] = [f!("slot.edge_from_fret_12"), f!("slot.bridge_top")].map(|row| {
        table.need(row)?;
        table.ends(row).given()
    });
    let side = table.choice(f!("slot.bridge_side"), [-1.0, 1.0]).sound()?;
    table.need(f!("slot.depth"));
    Some([edge?, on_side(top?, side)?])
}

/// The readings of the bridge top with the sign of its side, if one is said.
fn on_side<'a>(mut top: Ends<'a>, side: Option<f64>) -> Option<Ends<'a>> {
    if let Some(side) = side {
        if let Some(signed) = top.iter().find(|end| end.value < 0.0) {
            return signed.at.refused(P::SignBesideSide {});
        }
        for end in &mut top {
            end.value *= side;
        }
    }
    Some(top)
}

fn by_reference<'a>(table: &Table<'a>, depth: Option<Ends<'a>>) -> Option<Way<'a>> {
    for row in [
        f!("slot.edge_from_fret_12"),
        f!("slot.bridge_side"),
        f!("slot.bridge_top"),
    ] {
        if let Some(node) = table.get(row) {
            node.doubt(P::StraightedgeUnused {});
        }
    }
    if table.get(f!("slot.depth")).is_none() {
        table.node.doubt(P::NoSlotDepth {});
    }
    let reference = table.need(f!("slot.reference"))?.table()?;
    let contact = reference.ends(f!("slot.reference.contact_from_fret_12")).given();
    let height = reference.ends(f!("slot.reference.height")).given();
    let back = reference.ends(f!("slot.reference.back")).given();
    let action_12 = reference.plain_ends(f!("slot.reference.action_12")).sound()?;
    Some(Way::Reference {
        contact_from_fret_12: contact?,
        height: height?,
        back: back?,
        action_12,
        depth,
    })
}

fn under_tension(table: &Table, by_reference: Option<bool>) -> TensionChange {
    read_under_tension(table, by_reference == Some(true)).unwrap_or_default()
}

fn read_under_tension(table: &Table, by_reference: bool) -> Option<TensionChange> {
    let slack = table.choice(f!("slot.taken"), [false, true]).given()?;
    let Some(change) = table.get(f!("slot.under_tension")) else {
        if let (Some(taken), true) = (table.get(f!("slot.taken")), slack) {
            taken.doubt(P::SlackWithoutChange {});
        }
        return None;
    };
    if !slack {
        return change.refused(P::ChangeWithoutSlack {});
    }
    let keys = change.table()?;
    let rise = f!("slot.under_tension:bridge_top");
    if let (Some(rise), true) = (keys.get(rise), by_reference) {
        rise.doubt(P::RiseUnused {});
    }
    Some(TensionChange {
        bridge_top: keys.plain_ends(rise).given().unwrap_or_default(),
        lean: keys
            .may(f!("slot.under_tension:lean"), Node::figure)
            .given()
            .unwrap_or_default(),
    })
}
