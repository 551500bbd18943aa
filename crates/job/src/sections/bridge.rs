//! `[bridge]`, `[blank]` and `[crown]`: where strings leave, and what the saddle is made from.

use saddle::{BlankKind, CrownSpec, ExitEnd, Ridge, Wings};

use crate::fields::f;
use crate::may::May;
use crate::node::{Got, Node};
use crate::problem::{ProblemKind as P, mm};
use crate::sections::contour::contour;
use crate::table::{Ends, Table, default};
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
    pub(crate) end_radius: May<f64>,
    /// Contour of the blended ends, heights over the slot's floor.
    pub(crate) wings: May<Got<'a, Wings>>,
    pub(crate) glued: Option<bool>,
}

/// A radius is half the thickness within this, mm: what a radius gauge reads.
const SAME_RADIUS: f64 = 0.1;

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
        let kind = table
            .choice(f!("blank.kind"), [BlankKind::Through, BlankKind::DropIn])
            .given();
        let end_radius = end_radius(&table, kind, thickness.as_ref());
        let wings = May::read(table.get(f!("blank.wings")), |n| wings(n, kind));
        let glued = table.may(f!("blank.glued"), Node::boolean);
        let material = table.may(f!("blank.material"), |n| blank_material(n, profiles));
        Some(Self {
            kind,
            material: material.given(),
            thickness,
            height: table.figure(f!("blank.height")).given(),
            length: table.figure(f!("blank.length")).given(),
            bass_end: table.figure(f!("blank.bass_end")),
            land,
            end_radius,
            wings,
            // A through saddle is part of the bridge's strength, so it is glued (common practice).
            glued: glued.or_else(|| kind.map(|kind| kind == BlankKind::Through)),
        })
    }
}

/// Radius of a drop-in's ends.
fn end_radius(table: &Table, kind: Option<BlankKind>, thickness: Option<&Got<f64>>) -> May<f64> {
    May::read(table.get(f!("blank.end_radius")), |n| {
        if kind == Some(BlankKind::Through) {
            return n.refused(P::RadiusOfThrough {});
        }
        let radius = n.figure()?;
        match thickness.map(|thickness| 0.5 * thickness.value) {
            Some(half) if radius > half + SAME_RADIUS => n.refused(P::EndRadiusOverHalf { half: mm(half) }),
            _ => Some(radius),
        }
    })
}

/// Contour of the blended ends of a through saddle.
fn wings<'a>(node: &Node<'a>, kind: Option<BlankKind>) -> Option<Got<'a, Wings>> {
    if kind == Some(BlankKind::DropIn) {
        return node.refused(P::WingsOfDropIn {});
    }
    let table = node.table()?;
    let [bass, treble] = [f!("blank.wings.bass"), f!("blank.wings.treble")].map(|row| table.may(row, contour).given());
    let (bass, treble) = (bass?, treble?);
    match Wings::new(&bass, &treble) {
        Ok(wings) => Some(node.got(wings)),
        Err(_) => node.refused(P::WingFalls {}),
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
