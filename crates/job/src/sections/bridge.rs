//! `[bridge]`, `[blank]` and `[crown]`: where strings leave, and what the saddle is made from.

use saddle::{BlankKind, CrownSpec, ExitEnd, Ridge};

use crate::limits;
use crate::may::May;
use crate::node::{Got, Node};
use crate::schema::{BLANK, BRIDGE, CROWN};
use crate::string_spec::unknown;
use crate::{BlankMaterial, Profiles, StringExit};

/// `[bridge]` as read.
pub(crate) struct Exit<'a> {
    pub(crate) kind: StringExit,
    pub(crate) behind_slot: [Got<'a, f64>; 2],
    above_bridge_top: [f64; 2],
}

impl<'a> Exit<'a> {
    pub(crate) fn read(node: &Node<'a>) -> Option<Self> {
        let table = node.table(&BRIDGE)?;
        let kinds = [("pin holes", StringExit::PinHoles), ("tie block", StringExit::TieBlock)];
        let kind = table.need("string_exit").and_then(|n| n.choice(&kinds));
        let behind = table.need("behind_slot");
        let behind = behind.and_then(|n| n.ends(|n| n.length(&limits::BEHIND_SLOT)));
        let above = match table.get("above_bridge_top") {
            None => Some([0.0; 2]),
            Some(n) => n
                .ends(|n| n.length(&limits::ABOVE_BRIDGE_TOP))
                .map(|[bass, treble]| [bass.value, treble.value]),
        };
        Some(Self {
            kind: kind?,
            behind_slot: behind?,
            above_bridge_top: above?,
        })
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

/// Land where none is given, mm.
const DEFAULT_LAND: f64 = 0.5;
/// Rounding along the ridge where none is given, mm.
const DEFAULT_ROUNDING: f64 = 0.5;

impl<'a> BlankRead<'a> {
    pub(crate) fn read(node: &Node<'a>, profiles: &Profiles) -> Option<Self> {
        let table = node.table(&BLANK)?;
        let kinds = [("through", BlankKind::Through), ("drop-in", BlankKind::DropIn)];
        let read = |key, limit| table.need(key).and_then(|n| Some(n.got(n.length(limit)?)));
        let thickness = read("thickness", &limits::BLANK_THICKNESS);
        let land_node = table.get("land");
        let land = land_node
            .as_ref()
            .map_or(Some(DEFAULT_LAND), |n| n.length(&limits::LAND));
        if let (Some(thickness), Some(land)) = (&thickness, land)
            && 2.0 * land >= thickness.value
        {
            land_node.as_ref().unwrap_or(&thickness.at).refuse(format!(
                "A land of {0} on both faces leaves no room for a ridge on a blank {1} thick. Give a smaller land or a \
                 thicker blank.",
                table.node.source.show(land),
                table.node.source.show(thickness.value)
            ));
        }
        let material = table.need("material").and_then(|n| {
            let name = n.text()?;
            let found = profiles.material(name).cloned();
            if found.is_none() {
                let known: Vec<&str> = profiles.materials().collect();
                n.refuse(unknown(name, &known, "blank material"));
            }
            found
        });
        Some(Self {
            kind: table.need("kind").and_then(|n| n.choice(&kinds)),
            material,
            thickness,
            height: read("height", &limits::BLANK_HEIGHT),
            length: read("length", &limits::LENGTH),
            bass_end: May::read(table.get("bass_end"), |n| {
                n.length(&limits::BASS_END).map(|mm| n.got(mm))
            }),
            land,
        })
    }
}

/// `[crown]`, or its defaults.
pub(crate) fn crown(node: Option<&Node>) -> Option<CrownSpec> {
    let default = CrownSpec {
        ridge: Ridge::Smooth,
        rounding: DEFAULT_ROUNDING,
        front_fall: None,
        back_fall: None,
    };
    let Some(node) = node else {
        return Some(default);
    };
    let table = node.table(&CROWN)?;
    let ridge = table.get("ridge").map_or(Some(default.ridge), |n| {
        n.choice(&[("smooth", Ridge::Smooth), ("stepped", Ridge::Stepped)])
    });
    let rounding = table
        .get("rounding")
        .map_or(Some(default.rounding), |n| n.length(&limits::ROUNDING));
    let fall = |key| May::read(table.get(key), |n| n.angle(&limits::FALL));
    let (front_fall, back_fall) = (fall("front_fall"), fall("back_fall"));
    Some(CrownSpec {
        ridge: ridge?,
        rounding: rounding?,
        front_fall: front_fall.sound().ok()?,
        back_fall: back_fall.sound().ok()?,
    })
}
