//! `[instrument]`: the neck.

use instrument::{Board, BoardRadius, Fan, FretPlaces, Frets, MOST_FRETS, Spread, Worn};

use crate::fields::{Field, Range, f};
use crate::node::{Got, Node};
use crate::problem::{ProblemKind as P, Quantity, Values, Why, mm};
use crate::table::Table;

/// Frets that must be measured if any are.
const LEAST_MEASURED: usize = 12;
/// A measured fret may lie so far from equal temperament, as a share of the scale length, before it is doubted: half a semitone at the nut is
/// 2.8 in 100, a quarter-comma mean-tone fret up to 1 in 100 (derived here).
const FAR_FRET: f64 = 0.015;

/// The neck as read; `None` where a reading is missing or refused.
#[derive(Default)]
pub(crate) struct Neck<'a> {
    /// Places of the frets along the outer strings, at where the scale length is written.
    pub(crate) fan: Option<Got<'a, Fan>>,
    joint_fret: Option<u32>,
    relief: Option<f64>,
    pub(crate) radius: Option<Got<'a, BoardRadius>>,
    /// `None` where it was refused.
    worn: Option<Option<Worn>>,
    frets_factor: Option<f64>,
}

impl<'a> Neck<'a> {
    pub(crate) fn read(node: &Node<'a>) -> Option<Self> {
        let table = node.table()?;
        let fan = fan(&table);
        let joint_fret = table.may(f!("instrument.joint_fret"), Node::whole).given();
        let square = fan
            .as_ref()
            .map_or_else(|| FretPlaces::tempered(600.0), |fan| fan.value.at(0.5));
        Some(Self {
            relief: table
                .may(f!("instrument.relief"), |n| {
                    let rows = [f!("instrument.relief:gap"), f!("instrument.relief:fret")];
                    Some(relief(n, rows, Frets::square(&square), joint_fret)?.at_mid_span)
                })
                .given(),
            radius: table
                .may(f!("instrument.board_radius"), |n| Some(n.got(radius(n)?)))
                .given(),
            worn: table.may(f!("instrument.fret_wear"), worn).sound(),
            frets_factor: table.value(f!("instrument.frets_factor")),
            fan,
            joint_fret,
        })
    }

    /// Another reading of relief, in which `rows` are the keys of gap and fret.
    pub(crate) fn relief_again(&self, node: &Node, rows: [&'static Field; 2]) -> Option<ReliefRead> {
        let square = self.fan.as_ref().map(|fan| fan.value.at(0.5));
        let square = square.unwrap_or_else(|| FretPlaces::tempered(600.0));
        relief(node, rows, Frets::square(&square), self.joint_fret)
    }

    /// The board, if all of it was read; `spread` of the outer strings, if it is known.
    pub(crate) fn board(&self, spread: Option<Spread>) -> Option<Board> {
        let fan = self.fan.as_ref()?;
        let Some(frets) = Frets::fanned(&fan.value, spread) else {
            // Without a spread the strings have a problem of their own.
            return spread.and_then(|_| fan.at.refused(P::FanOfOneString {}));
        };
        let board = Board::with_frets(frets, self.joint_fret?, self.relief?, self.radius.as_ref()?.value);
        // The limits are narrower than what a board refuses, so this error is never the user's first.
        let board = board
            .map_err(|error| fan.at.refuse(P::NoBoard { why: error.to_string() }))
            .ok()?;
        let board = self.worn?.map_or(board, |worn| board.worn(worn));
        Some(board.reshaped(self.frets_factor?, board.relief(), board.radius()))
    }
}

/// Scale lengths at bass and treble, and the fret that stands square.
fn fan<'a>(table: &Table<'a>) -> Option<Got<'a, Fan>> {
    let (at, scales, square) = scale(table)?;
    let measured = table.may(f!("instrument.frets"), |n| measured(n, scales)).sound()?;
    let outer = [0, 1].map(|i| match &measured {
        Some(measured) => FretPlaces::measured(scales[i], &measured[i]),
        None => FretPlaces::tempered(scales[i]),
    });
    Some(at.got(Fan { outer, square }))
}

fn scale<'a>(table: &Table<'a>) -> Option<(Node<'a>, [f64; 2], u32)> {
    let (whole, half) = (f!("instrument.scale"), f!("instrument.nut_to_12"));
    match (table.get(whole), table.get(half)) {
        (Some(_), Some(half)) => half.refused(P::TwoScales {}),
        (Some(whole), None) if whole.is_table() => {
            let two = whole.table()?;
            let ends = [f!("instrument.scale:bass"), f!("instrument.scale:treble")];
            let [bass, treble] = ends.map(|row| two.need(row).and_then(|n| n.figure()));
            let square = two.need(f!("instrument.scale:square")).and_then(|n| n.whole());
            Some((whole, [bass?, treble?], square?))
        }
        (Some(whole), None) => {
            let scale = whole.figure()?;
            Some((whole, [scale; 2], 0))
        }
        (None, Some(half)) => {
            let scale = 2.0 * half.figure()?;
            Some((half, [scale; 2], 0))
        }
        (None, None) => {
            table.lacks(whole, Why::OrHalf {});
            None
        }
    }
}

/// Places of the frets from fret 1 on along bass and treble, mm from fret 0.
fn measured(node: &Node, scales: [f64; 2]) -> Option<[Vec<f64>; 2]> {
    if node.is_table() {
        let table = node.table()?;
        let ends = [f!("instrument.frets:bass"), f!("instrument.frets:treble")].map(|row| table.need(row));
        let [bass, treble] = [0, 1].map(|i| row_of_frets(ends[i].as_ref()?, scales[i]));
        return Some([bass?, treble?]);
    }
    if scales[0] != scales[1] {
        return node.refused(P::OneListForTwoScales {});
    }
    let one = row_of_frets(node, scales[0])?;
    Some([one.clone(), one])
}

fn row_of_frets(node: &Node, scale: f64) -> Option<Vec<f64>> {
    let read = figures(node)?;
    if !(LEAST_MEASURED..=MOST_FRETS).contains(&read.len()) {
        return node.refused(P::FretCount {
            values: Values(read.len()),
        });
    }
    let mut before = 0.0;
    for (fret, got) in (1..).zip(&read) {
        if got.value <= before || got.value >= scale {
            return got.at.refused(P::FretOrder {
                fret,
                before: mm(before),
                scale: mm(scale),
            });
        }
        before = got.value;
    }
    let tempered = FretPlaces::tempered(scale);
    let far = (1..)
        .zip(&read)
        .map(|(fret, got)| (fret, got, got.value - tempered.fret(fret)));
    if let Some((fret, got, off)) = far.max_by(|a, b| a.2.abs().total_cmp(&b.2.abs()))
        && off.abs() > FAR_FRET * scale
    {
        got.at.doubt(P::FretFar {
            fret,
            off: mm(off.abs()),
            rule: mm(tempered.fret(fret)),
        });
    }
    Some(read.iter().map(|got| got.value).collect())
}

/// The lengths of a list.
fn figures<'a>(node: &Node<'a>) -> Option<Vec<Got<'a, f64>>> {
    let Some(parts) = node.list() else {
        return node.unexpected();
    };
    // All of them are looked at before any is given up.
    let each: Vec<_> = parts.iter().map(|part| Some(part.got(part.figure()?))).collect();
    each.into_iter().collect()
}

/// How much lower than the others the crowns of fret 1 and on are, mm.
fn worn(node: &Node) -> Option<Worn> {
    let read = figures(node)?;
    if read.len() > MOST_FRETS {
        return node.refused(P::FretCount {
            values: Values(read.len()),
        });
    }
    Some(std::array::from_fn(|i| read.get(i).map_or(0.0, |got| got.value)))
}

/// Relief as read.
pub(crate) struct ReliefRead {
    /// At mid-span, mm.
    pub(crate) at_mid_span: f64,
    /// What a gap of 1 where it was read is at mid-span, 1 or more.
    pub(crate) per_gap: f64,
}

fn relief(node: &Node, rows: [&'static Field; 2], frets: Frets, joint_fret: Option<u32>) -> Option<ReliefRead> {
    if !node.is_table() {
        let at_mid_span = node.figure()?;
        return Some(ReliefRead {
            at_mid_span,
            per_gap: 1.0,
        });
    }
    let table = node.table()?;
    let [gap, fret] = rows.map(|row| table.need(row));
    // Whether it is doubtful is judged at mid-span.
    let judged = node.row.range;
    let any = Range {
        usual: (judged.least, judged.most),
        ..judged
    };
    let reading = gap.as_ref().and_then(|n| n.figure_in(&any));
    let fret_node = fret?;
    let fret = fret_node.whole()?;
    let (joint_fret, reading) = (joint_fret?, reading?);
    let relief = |gap| Board::relief_from_reading(frets, joint_fret, gap, fret);
    match (relief(reading), relief(1.0)) {
        (Ok(at_mid_span), Ok(per_gap)) => {
            let sound = gap?.within(&judged, at_mid_span, Quantity::Length);
            sound.then_some(ReliefRead { at_mid_span, per_gap })
        }
        _ => fret_node.refused(P::ReliefOutsideSpan {}),
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
