//! `[nut_blank]`: a nut to be made, and where its slots lie.

use instrument::{Courses, SpacingRule};
use nut::{Allowance, Front, Headstock, NutBlank, NutSurvey, Outer, Post, TopShape};

use crate::limits::{self, Limit};
use crate::may::May;
use crate::node::{Got, Node};
use crate::per_string::PerString;
use crate::schema::NUT_BLANK;
use crate::string_spec::unknown;
use crate::table::Table;
use crate::{BlankMaterial, Profiles};

/// A nut is to be made, and of a saddle nothing is said.
pub(crate) fn saddle_stays(top: &Table) -> bool {
    top.get("nut_blank").is_some() && top.get("slot").is_none() && top.get("blank").is_none()
}

/// Share of each string above the top where none is given: about half (common practice, no source).
const DEFAULT_SHOWS: f64 = 0.5;
/// Depth left to the final stroke where none is given, mm: two thou. Pages say a hair (published without a figure).
const DEFAULT_PROUD: f64 = 0.05;

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
        let table = node.table(&NUT_BLANK)?;
        let board_width = table
            .need("board_width")
            .and_then(|n| Some(n.got(n.length(&limits::BOARD_WIDTH)?)));
        let margin = table.get("margin");
        let given = margin.is_some();
        let margin = margin.and_then(|n| n.ends(|n| n.length(&limits::MARGIN)));
        let to = match (given, table.get("margin_to")) {
            (true, None) => {
                table.lacks(
                    "margin_to",
                    "A margin is taken to the centre or to the side of the outer strings.",
                );
                None
            }
            (false, Some(n)) => {
                n.refuse("There is no margin here. Give margin, or leave margin_to out and give strings.nut_spread.");
                None
            }
            (_, n) => n.and_then(|n| n.choice(&[("centre", false), ("side", true)])),
        };
        let outer = margin.zip(to).map(|(ends, side)| {
            let ends = ends.map(|got| got.value);
            if side {
                Outer::ToSide(ends)
            } else {
                Outer::ToCentre(ends)
            }
        });
        Some(Self {
            table,
            board_width,
            outer,
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

/// The nut to be made and the material of its blank; `None` if anything is missing or refused. `laid` is `None` where the strings have problems of their own.
pub(crate) fn nut_job(
    margins: &Margins,
    count: Option<usize>,
    laid: Option<Laid>,
    profiles: &Profiles,
) -> Option<(NutSurvey, BlankMaterial)> {
    let table = &margins.table;
    let need = |key, limit: &Limit| table.need(key).and_then(|n| n.length(limit));
    let or = |key, limit: &Limit, default| table.get(key).map_or(Some(default), |n: Node| n.length(limit));
    let material = table.need("material").and_then(|n| {
        let name = n.text()?;
        let found = profiles.material(name).cloned();
        if found.is_none() {
            let known: Vec<&str> = profiles.materials().collect();
            n.refuse(unknown(name, &known, "blank material"));
        }
        found
    });
    let fret_height = need("fret_height", &limits::FRET_HEIGHT);
    let seat = need("seat", &limits::NUT_SEAT);
    let thickness = need("thickness", &limits::NUT_THICKNESS);
    let height = need("height", &limits::NUT_HEIGHT);
    let width = margins.board_width.as_ref().map(|got| got.value);
    let length = table.get("length").map_or(width, |n| n.length(&limits::LENGTH));
    if let (Some(width), Some(length), Some(node)) = (width, length, table.get("length"))
        && length < width
    {
        node.refuse(format!(
            "The blank is shorter than the board, which is {} wide. Give a longer blank, or look at board_width.",
            node.source.show(width)
        ));
    }
    let headstock = table
        .get("headstock")
        .map_or(Some(0.0), |n| n.angle(&limits::HEADSTOCK));
    let fall = May::read(table.get("fall"), |n| n.angle(&limits::SLOT_FALL));
    let posts = posts(table, count);
    let allowance = Allowance::default();
    let plain = or("plain_allowance", &limits::ALLOWANCE, allowance.plain);
    let wound = or("wound_allowance", &limits::ALLOWANCE, allowance.wound);
    let shows = table
        .get("shows")
        .map_or(Some(DEFAULT_SHOWS), |n| n.number(&limits::SHOWS, ""));
    let top = table.get("top").map_or(Some(TopShape::Follow), |n| {
        if n.as_text() == Some("follow") {
            Some(TopShape::Follow)
        } else {
            n.length(&limits::BOARD_RADIUS).map(TopShape::Arc)
        }
    });
    let proud = or("proud", &limits::PROUD, DEFAULT_PROUD);
    let front_node = table.get("front");
    let front = front_node
        .as_ref()
        .map(|n| n.choice(&[("shelf", Front::Shelf), ("straight", Front::Straight)]));
    let laid = laid?;
    if let (Some(node), false) = (&front_node, laid.with_setback) {
        node.refuse("A shelf or a straight shift needs target.intonation = \"best-fit-with-nut\". Write that, or leave front out.");
        return None;
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
                angle: headstock?,
                posts: posts.sound().ok()?.map(|posts| posts.resolve(&laid.shares)),
            },
            fall: fall.sound().ok()?,
            allowance: Allowance {
                plain: plain?,
                wound: wound?,
            },
            shows: shows?,
            top: top?,
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
fn posts<'a>(table: &Table<'a>, count: Option<usize>) -> May<Posts<'a>> {
    let read = |key, limit: &Limit| May::read(table.get(key), |n| PerString::read(n, count, |n| n.length(limit)));
    let (back, across) = (
        read("post_back", &limits::POST_BACK),
        read("post_across", &limits::POST_ACROSS),
    );
    let below = read("post_below", &limits::POST_BELOW);
    let (Ok(back), Ok(across), Ok(below)) = (back.sound(), across.sound(), below.sound()) else {
        return May::Unread;
    };
    match (back, across, below) {
        (Some(back), Some(across), below) => May::Read(Posts { back, across, below }),
        (None, None, None) => May::Absent,
        (back, _, _) => {
            let missing = if back.is_none() { "post_back" } else { "post_across" };
            table.lacks(missing, "A post is known by both, how far back and how far across.");
            May::Unread
        }
    }
}
