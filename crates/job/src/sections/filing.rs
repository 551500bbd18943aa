//! `[filing]`: the crown as it stands before the file touches it.

use saddle::filing::PresentCrown;

use crate::FilingSetup;
use crate::fields::{Field, f};
use crate::node::{Got, Node, meant};
use crate::per_string::{Sparse, fits};
use crate::problem::{ProblemKind as P, Why, nearest};
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
    pub(crate) fn read(node: &Node<'a>) -> Option<Self> {
        let table = node.table()?;
        let shapes = table
            .may(f!("filing.crown"), shapes)
            .or_else(|| Some(vec![node.got(Shape::Planned)]));
        let read = |row| table.may(row, Sparse::read);
        let [fall, radius] = [f!("filing.fall"), f!("filing.radius")].map(read);
        let [back, action_12, floor_12] =
            [f!("filing.contact_back"), f!("filing.action_12"), f!("filing.floor_12")].map(read);
        let at_height = table.yes(f!("filing.at_height"));
        let this = Self {
            shapes: shapes?,
            fall: fall.sound()?,
            radius: radius.sound()?,
            back: back.sound()?,
            action_12: action_12.sound()?,
            floor_12: floor_12.sound()?,
            at_height: at_height?,
            table,
        };
        this.unused(f!("filing.fall"), Shape::Facet, "facet");
        this.unused(f!("filing.radius"), Shape::Rounded, "rounded");
        Some(this)
    }

    fn unused(&self, row: &'static Field, shape: Shape, word: &'static str) {
        if let (Some(node), false) = (self.table.get(row), self.shapes.iter().any(|s| s.value == shape)) {
            node.doubt(P::NoSuchCrown { word });
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
            let mut figure = |values: &[Option<f64>], row: &'static Field, word: &'static str| {
                let value = values.get(i).copied().flatten();
                // Once for all strings is enough.
                if value.is_none() && !std::mem::replace(&mut lacking, true) {
                    self.lacks(&shape.at, row, word);
                }
                value
            };
            Some(match shape.value {
                Shape::Planned => PresentCrown::Planned,
                Shape::Flat => PresentCrown::Flat,
                Shape::Facet => PresentCrown::Facet {
                    fall: figure(&fall, f!("filing.fall"), "facet")?,
                },
                Shape::Rounded => PresentCrown::Rounded {
                    radius: figure(&radius, f!("filing.radius"), "rounded")?,
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

    fn lacks(&self, at: &Node, row: &'static Field, word: &'static str) {
        if self.table.get(row).is_some() {
            at.refuse(P::CrownWithoutFigure { word, key: row.name() });
        } else {
            self.table.lacks(row, Why::Crown { word });
        }
    }
}

fn shapes<'a>(node: &Node<'a>) -> Option<Vec<Got<'a, Shape>>> {
    let Some(parts) = node.list() else {
        return Some(vec![shape(node)?]);
    };
    let each: Vec<_> = parts.iter().map(shape).collect();
    if !fits(node, parts.len()) {
        return None;
    }
    each.into_iter().collect()
}

fn shape<'a>(node: &Node<'a>) -> Option<Got<'a, Shape>> {
    let text = node.as_text();
    match SHAPES.iter().find(|(word, _)| Some(*word) == text) {
        Some((_, shape)) => Some(node.got(*shape)),
        None => node.refused(P::NoSuchWord {
            field: node.row,
            meant: meant(text.and_then(|text| nearest(text, SHAPES.iter().map(|(word, _)| *word)))),
        }),
    }
}
