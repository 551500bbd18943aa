//! `[bridge]`, `[blank]` and `[crown]`: where strings leave, and what the saddle is made from.

use saddle::{BlankKind, CrownSpec, ExitEnd, Ridge};

use crate::fields::f;
use crate::may::May;
use crate::node::{Got, Node};
use crate::problem::{ProblemKind as P, mm};
use crate::table::{Ends, default};
use crate::{BlankMaterial, Profiles, StringExit};

/// `[bridge]` as read.
pub(crate) struct Exit<'a> {
    pub(crate) kind: StringExit,
    pub(crate) behind_slot: Ends<'a>,
    above_bridge_top: [f64; 2],
}

impl<'a> Exit<'a> {
    /// Absent where the table says nothing of it.
    pub(crate) fn read(node: &Node<'a>) -> May<Self> {
        let Some(table) = node.table() else {
            return May::Unread;
        };
        let rows = [
            f!("bridge.string_exit"),
            f!("bridge.behind_slot"),
            f!("bridge.above_bridge_top"),
        ];
        if rows.iter().all(|row| table.get(row).is_none()) {
            return May::Absent;
        }
        let [kind_row, behind_row, above_row] = rows;
        let kind = table
            .choice(kind_row, [StringExit::PinHoles, StringExit::TieBlock])
            .given();
        let behind = table.ends(behind_row).given();
        let above = table.plain_ends(above_row).or([0.0; 2]);
        match (kind, behind, above) {
            (Some(kind), Some(behind_slot), Some(above_bridge_top)) => May::Read(Self {
                kind,
                behind_slot,
                above_bridge_top,
            }),
            _ => May::Unread,
        }
    }

    pub(crate) fn ends(&self) -> [ExitEnd; 2] {
        [0, 1].map(|i| ExitEnd {
            behind_slot: self.behind_slot[i].value,
            above_bridge_top: self.above_bridge_top[i],
        })
    }
}

/// `[blank]` as read.
#[derive(Default)]
pub(crate) struct BlankRead<'a> {
    pub(crate) kind: Option<BlankKind>,
    pub(crate) material: Option<BlankMaterial>,
    pub(crate) thickness: Option<Got<'a, f64>>,
    pub(crate) height: Option<Got<'a, f64>>,
    pub(crate) length: Option<Got<'a, f64>>,
    pub(crate) bass_end: May<Got<'a, f64>>,
    pub(crate) land: Option<f64>,
}

/// The material of a blank, by its name.
pub(crate) fn blank_material(node: &Node, profiles: &Profiles) -> Option<BlankMaterial> {
    node.named(profiles.materials(), |name| profiles.material(name).cloned())
}

impl<'a> BlankRead<'a> {
    pub(crate) fn read(node: &Node<'a>, profiles: &Profiles) -> Option<Self> {
        let table = node.table()?;
        let thickness = table.figure(f!("blank.thickness")).given();
        let land = table.value(f!("blank.land"));
        if let (Some(thickness), Some(land)) = (&thickness, land)
            && 2.0 * land >= thickness.value
        {
            let at = table.get(f!("blank.land")).unwrap_or_else(|| thickness.at.clone());
            at.refuse(P::NoRoomForRidge {
                land: mm(land),
                thickness: mm(thickness.value),
            });
        }
        let material = table.may(f!("blank.material"), |n| blank_material(n, profiles));
        Some(Self {
            kind: table
                .choice(f!("blank.kind"), [BlankKind::Through, BlankKind::DropIn])
                .given(),
            material: material.given(),
            thickness,
            height: table.figure(f!("blank.height")).given(),
            length: table.figure(f!("blank.length")).given(),
            bass_end: table.figure(f!("blank.bass_end")),
            land,
        })
    }
}

/// `[crown]`, or its defaults.
pub(crate) fn crown(node: Option<&Node>) -> Option<CrownSpec> {
    let Some(node) = node else {
        return Some(CrownSpec {
            ridge: Ridge::Smooth,
            rounding: default(f!("crown.rounding"))?,
            front_fall: None,
            back_fall: None,
        });
    };
    let table = node.table()?;
    let ridge = table.choice(f!("crown.ridge"), [Ridge::Smooth, Ridge::Stepped]);
    let rounding = table.value(f!("crown.rounding"));
    let [front, back] = [f!("crown.front_fall"), f!("crown.back_fall")].map(|row| table.may(row, Node::figure));
    Some(CrownSpec {
        ridge: ridge.given()?,
        rounding: rounding?,
        front_fall: front.sound()?,
        back_fall: back.sound()?,
    })
}
