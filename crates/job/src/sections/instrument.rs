//! `[instrument]`: the neck.

use instrument::{Board, BoardRadius};

use crate::fields::{Range, f};
use crate::node::{Got, Node};
use crate::problem::{ProblemKind as P, Quantity, Why};
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
        let table = node.table()?;
        let scale = scale(&table);
        let joint_fret = table.may(f!("instrument.joint_fret"), Node::whole).given();
        Some(Self {
            relief: table.may(f!("instrument.relief"), |n| relief(n, joint_fret)).given(),
            radius: table
                .may(f!("instrument.board_radius"), |n| Some(n.got(radius(n)?)))
                .given(),
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
            .map_err(|error| scale.at.refuse(P::NoBoard { why: error.to_string() }))
            .ok()
    }
}

fn scale<'a>(table: &Table<'a>) -> Option<Got<'a, f64>> {
    let (whole, half) = (f!("instrument.scale"), f!("instrument.nut_to_12"));
    match (table.get(whole), table.get(half)) {
        (Some(_), Some(half)) => half.refused(P::TwoScales {}),
        (Some(whole), None) => Some(whole.got(whole.figure()?)),
        (None, Some(half)) => Some(half.got(2.0 * half.figure()?)),
        (None, None) => {
            table.lacks(whole, Why::OrHalf {});
            None
        }
    }
}

/// Relief at mid-span, mm.
fn relief(node: &Node, joint_fret: Option<u32>) -> Option<f64> {
    if !node.is_table() {
        return node.figure();
    }
    let table = node.table()?;
    let gap = table.need(f!("instrument.relief:gap"));
    let fret = table.need(f!("instrument.relief:fret"));
    // Whether it is doubtful is judged at mid-span.
    let judged = node.row.range;
    let any = Range {
        usual: (judged.least, judged.most),
        ..judged
    };
    let reading = gap.as_ref().and_then(|n| n.figure_in(&any));
    let fret_node = fret?;
    let fret = fret_node.whole()?;
    // The share of the relief that shows at a fret does not depend on the scale length.
    match Board::relief_from_reading(600.0, joint_fret?, reading?, fret) {
        Ok(relief) => gap?.within(&judged, relief, Quantity::Length).then_some(relief),
        Err(_) => fret_node.refused(P::ReliefOutsideSpan {}),
    }
}

fn radius(node: &Node) -> Option<BoardRadius> {
    if node.is_table() {
        let table = node.table()?;
        let [nut, fret_12] = [f!("instrument.board_radius:nut"), f!("instrument.board_radius:fret_12")]
            .map(|row| table.may(row, Node::figure).given());
        let (nut, fret_12) = (nut?, fret_12?);
        if fret_12 < nut {
            node.doubt(P::RounderAtTwelve {});
        }
        return Some(BoardRadius::Conical { nut, fret_12 });
    }
    if let Some(word) = node.as_text()
        && !word.contains(|c: char| c.is_numeric())
    {
        return if word == "flat" {
            Some(BoardRadius::Flat)
        } else {
            node.unexpected()
        };
    }
    let radius = node.figure()?;
    Some(BoardRadius::Conical {
        nut: radius,
        fret_12: radius,
    })
}
