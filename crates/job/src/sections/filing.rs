//! `[filing]`: the crown as it stands before the file touches it.

use saddle::filing::PresentCrown;

use crate::FilingSetup;
use crate::limits::{self, Limit};
use crate::may::May;
use crate::node::{Got, Node};
use crate::per_string::{Sparse, fits};
use crate::schema::FILING;
use crate::table::Table;

/// Shape of a crown, before its figures.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Shape {
    Planned,
    Flat,
    Facet,
    Rounded,
}

const SHAPES: [(&str, Shape); 4] = [
    ("planned", Shape::Planned),
    ("flat", Shape::Flat),
    ("facet", Shape::Facet),
    ("rounded", Shape::Rounded),
];

/// `[filing]` as read.
pub(crate) struct FilingRead<'a> {
    table: Table<'a>,
    /// One for all, or one for each.
    shapes: Vec<Got<'a, Shape>>,
    fall: Option<Sparse<'a>>,
    radius: Option<Sparse<'a>>,
    pub(crate) back: Option<Sparse<'a>>,
    action_12: Option<Sparse<'a>>,
    pub(crate) floor_12: Option<Sparse<'a>>,
    at_height: bool,
}

impl<'a> FilingRead<'a> {
    pub(crate) fn read(node: &Node<'a>, count: Option<usize>) -> Option<Self> {
        let table = node.table(&FILING)?;
        let shapes = match table.get("crown") {
            None => Some(vec![table.node.got(Shape::Planned)]),
            Some(n) => shapes(&n, count),
        };
        let read = |key: &str, value: &dyn Fn(&Node<'a>) -> Option<f64>| {
            May::read(table.get(key), |n| Sparse::read(n, count, value))
        };
        let length = |key, limit: &'static Limit| read(key, &|n: &Node<'a>| n.length(limit));
        let fall = read("fall", &|n: &Node<'a>| n.angle(&limits::FACET_FALL));
        let radius = length("radius", &limits::CROWN_RADIUS);
        let back = length("contact_back", &limits::CONTACT_BACK);
        let action_12 = length("action_12", &limits::ACTION_12);
        let floor_12 = length("floor_12", &limits::ACTION_12);
        let at_height = table.get("at_height").map_or(Some(false), |n| n.boolean());
        let this = Self {
            shapes: shapes?,
            fall: fall.sound().ok()?,
            radius: radius.sound().ok()?,
            back: back.sound().ok()?,
            action_12: action_12.sound().ok()?,
            floor_12: floor_12.sound().ok()?,
            at_height: at_height?,
            table,
        };
        this.unused("fall", Shape::Facet, "facet");
        this.unused("radius", Shape::Rounded, "rounded");
        Some(this)
    }

    fn unused(&self, key: &str, shape: Shape, word: &str) {
        if let (Some(node), false) = (self.table.get(key), self.shapes.iter().any(|s| s.value == shape)) {
            node.doubt(format!(
                "No crown is \"{word}\", so this is not used. Leave it out, or write crown = \"{word}\"."
            ));
        }
    }

    /// For every string, bass to treble, by its place at fret 12.
    pub(crate) fn resolve(&self, shares: &[f64]) -> Option<FilingSetup> {
        let each = |values: &Option<Sparse>| match values {
            Some(values) => values.resolve(shares),
            None => vec![None; shares.len()],
        };
        let (fall, radius) = (each(&self.fall), each(&self.radius));
        let mut lacking = false;
        let crowns = (0..shares.len()).map(|i| {
            let shape = self.shapes.get(i).or(self.shapes.first())?;
            let mut figure = |values: &[Option<f64>], key: &str, word: &str| {
                let value = values.get(i).copied().flatten();
                // Once for all strings is enough.
                if value.is_none() && !std::mem::replace(&mut lacking, true) {
                    self.lacks(&shape.at, key, word);
                }
                value
            };
            Some(match shape.value {
                Shape::Planned => PresentCrown::Planned,
                Shape::Flat => PresentCrown::Flat,
                Shape::Facet => PresentCrown::Facet {
                    fall: figure(&fall, "fall", "facet")?,
                },
                Shape::Rounded => PresentCrown::Rounded {
                    radius: figure(&radius, "radius", "rounded")?,
                },
            })
        });
        Some(FilingSetup {
            crown: crowns.collect::<Vec<_>>().into_iter().collect::<Option<_>>()?,
            back: each(&self.back),
            action_12: each(&self.action_12),
            floor_12: each(&self.floor_12),
            at_height: self.at_height,
        })
    }

    fn lacks(&self, at: &Node, key: &str, word: &str) {
        if self.table.get(key).is_some() {
            at.refuse(format!(
                "A crown that is \"{word}\" needs its {key}, but the list has \"-\" there."
            ));
        } else {
            self.table.lacks(key, &format!("A crown that is \"{word}\" needs it."));
        }
    }
}

fn shapes<'a>(node: &Node<'a>, count: Option<usize>) -> Option<Vec<Got<'a, Shape>>> {
    let Some(parts) = node.list() else {
        return node.choice(&SHAPES).map(|shape| vec![node.got(shape)]);
    };
    let each: Vec<_> = parts.iter().map(|part| Some(part.got(part.choice(&SHAPES)?))).collect();
    if !fits(node, parts.len(), count) {
        return None;
    }
    each.into_iter().collect()
}
