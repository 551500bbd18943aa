//! `[instrument]`: the neck.

use instrument::{Board, BoardRadius};

use crate::limits::{self, Limit};
use crate::node::{Got, Node};
use crate::schema::{INSTRUMENT, RADIUS, RELIEF};
use crate::table::Table;

/// The neck as read; `None` where a reading is missing or refused.
#[derive(Default)]
pub(crate) struct Neck<'a> {
    pub(crate) scale: Option<Got<'a, f64>>,
    joint_fret: Option<u32>,
    relief: Option<f64>,
    pub(crate) radius: Option<Got<'a, BoardRadius>>,
}

impl<'a> Neck<'a> {
    pub(crate) fn read(node: &Node<'a>) -> Option<Self> {
        let table = node.table(&INSTRUMENT)?;
        let scale = scale(&table);
        let joint_fret = table.need("joint_fret").and_then(|n| n.whole(&limits::JOINT_FRET));
        Some(Self {
            relief: table.need("relief").and_then(|n| relief(&n, joint_fret)),
            radius: table.need("board_radius").and_then(|n| Some(n.got(radius(&n)?))),
            scale,
            joint_fret,
        })
    }

    /// The board, if all of it was read.
    pub(crate) fn board(&self) -> Option<Board> {
        let scale = self.scale.as_ref()?;
        let board = Board::new(scale.value, self.joint_fret?, self.relief?, self.radius.as_ref()?.value);
        // The limits are narrower than what a board refuses, so this error is never the user's first.
        board
            .map_err(|error| scale.at.refuse(format!("This makes no fingerboard: {error}.")))
            .ok()
    }
}

fn scale<'a>(table: &Table<'a>) -> Option<Got<'a, f64>> {
    match (table.get("scale"), table.get("nut_to_12")) {
        (Some(_), Some(half)) => {
            half.refuse("Both scale and nut_to_12 are given. Keep the one you measured.");
            None
        }
        (Some(whole), None) => Some(whole.got(whole.length(&limits::SCALE)?)),
        (None, Some(half)) => Some(half.got(2.0 * half.length(&limits::NUT_TO_12)?)),
        (None, None) => {
            table.lacks("scale", "Give it, or nut_to_12.");
            None
        }
    }
}

/// Relief at mid-span, mm.
fn relief(node: &Node, joint_fret: Option<u32>) -> Option<f64> {
    if !node.is_table() {
        return node.length(&limits::RELIEF);
    }
    let table = node.table(&RELIEF)?;
    let gap = table.need("gap");
    let fret = table.need("fret");
    // Whether it is doubtful is judged at mid-span.
    let any = Limit {
        usual: (limits::RELIEF.least, limits::RELIEF.most),
        ..limits::RELIEF
    };
    let reading = gap.as_ref().and_then(|n| n.length(&any));
    let fret_node = fret?;
    let fret = fret_node.whole(&limits::FRET)?;
    // The share of the relief that shows at a fret does not depend on the scale length.
    match Board::relief_from_reading(600.0, joint_fret?, reading?, fret) {
        Ok(relief) => gap?
            .within(&limits::RELIEF, relief, |v| node.source.show(v))
            .then_some(relief),
        Err(_) => {
            fret_node.refuse(
                "Relief is read between fret 1 and the joint fret, where the straightedge rests. Give a fret between \
                 them; near the middle is best.",
            );
            None
        }
    }
}

fn radius(node: &Node) -> Option<BoardRadius> {
    if node.is_table() {
        let table = node.table(&RADIUS)?;
        let [nut, fret_12] =
            ["nut", "fret_12"].map(|key| table.need(key).and_then(|n| n.length(&limits::BOARD_RADIUS)));
        let (nut, fret_12) = (nut?, fret_12?);
        if fret_12 < nut {
            node.doubt(
                "The board is rounder at fret 12 than at the nut, which is unusual. Look whether the two are swapped.",
            );
        }
        return Some(BoardRadius::Conical { nut, fret_12 });
    }
    if let Some(word) = node.as_text()
        && !word.contains(|c: char| c.is_numeric())
    {
        return node.choice(&[("flat", BoardRadius::Flat)]);
    }
    let radius = node.length(&limits::BOARD_RADIUS)?;
    Some(BoardRadius::Conical {
        nut: radius,
        fret_12: radius,
    })
}
