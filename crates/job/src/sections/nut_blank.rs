//! `[nut_blank]`: a nut to be made, and where its slots lie.

use instrument::{Courses, SpacingRule};
use nut::{Allowance, Front, Headstock, NutBlank, NutSurvey, Outer, Post, TopShape};

use super::bridge::blank_material;
use crate::fields::f;
use crate::may::May;
use crate::node::{Got, Node};
use crate::per_string::PerString;
use crate::problem::{ProblemKind as P, Why, mm};
use crate::table::Table;
use crate::{BlankMaterial, Profiles};

/// A nut is to be made, and of a saddle nothing is said.
pub(crate) fn saddle_stays(top: &Table) -> bool {
    top.get(f!("nut_blank")).is_some() && top.get(f!("slot")).is_none() && top.get(f!("blank")).is_none()
}

/// What the places of the strings need of `[nut_blank]`; read before the strings.
pub(crate) struct Margins<'a> {
    /// The table, for what is read later.
    pub(crate) table: Table<'a>,
    pub(crate) board_width: Option<Got<'a, f64>>,
    /// How the outer strings are placed; `None` if no margin is given or it is refused.
    pub(crate) outer: Option<Outer>,
    /// A margin stands there, read or refused, so the spread is not wanted.
    pub(crate) given: bool,
}

impl<'a> Margins<'a> {
    pub(crate) fn read(node: &Node<'a>) -> Option<Self> {
        let table = node.table()?;
        let board_width = table.figure(f!("nut_blank.board_width")).given();
        let row = f!("nut_blank.margin_to");
        let given = table.get(f!("nut_blank.margin")).is_some();
        let margin = table.plain_ends(f!("nut_blank.margin")).given();
        let to: Option<fn([f64; 2]) -> Outer> = match (given, table.get(row)) {
            (true, None) => {
                table.lacks(row, Why::MarginTo {});
                None
            }
            (false, Some(n)) => n.refused(P::NoMargin {}),
            (_, n) => n.and_then(|n| n.choice([Outer::ToSide as fn(_) -> _, Outer::ToCentre])),
        };
        Some(Self {
            table,
            board_width,
            outer: margin.zip(to).map(|(ends, to)| to(ends)),
            given,
        })
    }
}

/// What of the strings the nut needs.
pub(crate) struct Laid {
    pub(crate) outer: Outer,
    pub(crate) rule: SpacingRule,
    pub(crate) courses: Courses,
    pub(crate) wound: Vec<bool>,
    /// Places at fret 12: 0 at the bass-most, 1 at the treble-most.
    pub(crate) shares: Vec<f64>,
    /// The strings are solved for a nut setback.
    pub(crate) with_setback: bool,
}

/// The nut to be made and the material of its blank; `None` if anything is missing or refused. `laid` is `None` where the strings have
/// problems of their own.
pub(crate) fn nut_job(
    margins: &Margins,
    laid: Option<Laid>,
    profiles: &Profiles,
) -> Option<(NutSurvey, BlankMaterial)> {
    let table = &margins.table;
    let material = table
        .may(f!("nut_blank.material"), |n| blank_material(n, profiles))
        .given();
    let fret_height = table.value(f!("nut_blank.fret_height"));
    let seat = table.value(f!("nut_blank.seat"));
    let thickness = table.value(f!("nut_blank.thickness"));
    let height = table.value(f!("nut_blank.height"));
    let width = margins.board_width.as_ref().map(|got| got.value);
    let length = table.figure(f!("nut_blank.length"));
    if let (Some(width), May::Read(length)) = (width, &length)
        && length.value < width
    {
        length.at.refuse(P::NutShorterThanBoard { width: mm(width) });
    }
    let length = length.map(|got| got.value).or_else(|| width);
    let headstock = table.may(f!("nut_blank.headstock"), Node::figure);
    let fall = table.may(f!("nut_blank.fall"), Node::figure);
    let posts = posts(table);
    let plain = table.value(f!("nut_blank.plain_allowance"));
    let wound = table.value(f!("nut_blank.wound_allowance"));
    let shows = table.value(f!("nut_blank.shows"));
    let top = table.may(f!("nut_blank.top"), |n| match n.as_text() {
        Some("follow") => Some(TopShape::Follow),
        _ => n.figure().map(TopShape::Arc),
    });
    let proud = table.value(f!("nut_blank.proud"));
    let front_node = table.get(f!("nut_blank.front"));
    let front = front_node.as_ref().map(|n| n.choice([Front::Shelf, Front::Straight]));
    let laid = laid?;
    if let (Some(node), false) = (&front_node, laid.with_setback) {
        return node.refused(P::FrontWithoutSetback {});
    }
    let front = match front {
        Some(front) => front?,
        None if laid.with_setback => Front::Shelf,
        None => Front::Plain,
    };
    let material = material?;
    Some((
        NutSurvey {
            board_width: width?,
            fret_height: fret_height?,
            seat_depth: seat?,
            outer: laid.outer,
            rule: laid.rule,
            courses: laid.courses,
            wound: laid.wound,
            blank: NutBlank {
                material: material.name.clone(),
                thickness: thickness?,
                height: height?,
                length: length?,
            },
            headstock: Headstock {
                // What nobody read tells as little of the bend as a level headstock.
                angle: headstock.sound()?.unwrap_or(0.0),
                posts: posts.sound()?.map(|posts| posts.resolve(&laid.shares)),
            },
            fall: fall.sound()?,
            allowance: Allowance {
                plain: plain?,
                wound: wound?,
            },
            shows: shows?,
            top: top.or(TopShape::Follow)?,
            proud: proud?,
            front,
        },
        material,
    ))
}

/// Posts as written.
struct Posts<'a> {
    back: PerString<'a>,
    across: PerString<'a>,
    below: Option<PerString<'a>>,
}

impl Posts<'_> {
    fn resolve(&self, shares: &[f64]) -> Vec<Post> {
        let below = self.below.as_ref().map(|below| below.resolve(shares));
        let each = self.back.resolve(shares).into_iter().zip(self.across.resolve(shares));
        each.enumerate()
            .map(|(i, (back, across))| Post {
                back,
                across,
                below: below.as_ref().and_then(|below| below.get(i).copied()),
            })
            .collect()
    }
}

/// Where the strings' posts stand, if that is given.
fn posts<'a>(table: &Table<'a>) -> May<Posts<'a>> {
    let rows = [
        f!("nut_blank.post_back"),
        f!("nut_blank.post_across"),
        f!("nut_blank.post_below"),
    ];
    let [back, across, below] = rows.map(|row| table.strings(row).sound());
    let (Some(back), Some(across), Some(below)) = (back, across, below) else {
        return May::Unread;
    };
    match (back, across, below) {
        (Some(back), Some(across), below) => May::Read(Posts { back, across, below }),
        (None, None, None) => May::Absent,
        (back, _, _) => {
            table.lacks(if back.is_none() { rows[0] } else { rows[1] }, Why::Post {});
            May::Unread
        }
    }
}
