//! What a sheet is made of: lines after ISO 128-2, filled shapes and text, in mm with y downward.

use crate::text::{extent, font_size};
use numerics::math;

/// A place on the sheet, mm: right and down.
pub type Point = [f64; 2];

/// Kinds of line after ISO 128-2, in the line group 0.35 mm wide, 0.18 mm narrow.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LineKind {
    /// Border of the sheet and of the title block, 0.5 mm.
    Border,
    /// Visible outline: continuous wide (01.2).
    Outline,
    /// Dimension, extension, leader and hatching lines: continuous narrow (01.1).
    Narrow,
    /// Hidden edges: dashed narrow (02.1).
    Hidden,
    /// Centre lines and limits of position: long-dashed dotted narrow (04.1).
    Centre,
    /// Outlines before shaping and of neighbouring parts: long-dashed double-dotted narrow (05.1).
    Before,
}

/// Wide line, mm.
const WIDE: f64 = 0.35;
/// Narrow line, mm.
const NARROW: f64 = 0.18;

impl LineKind {
    /// Width, mm.
    #[must_use]
    pub fn width(self) -> f64 {
        match self {
            Self::Border => 0.5,
            Self::Outline => WIDE,
            _ => NARROW,
        }
    }

    /// Whether the line is wide enough to make text over it unreadable.
    #[must_use]
    pub fn is_wide(self) -> bool {
        self.width() > NARROW
    }

    /// Dashes and gaps, mm; empty for a continuous line. Lengths as multiples of the width: ISO 128-2 (24 long dash, 12 dash, 3 gap,
    /// 0.5 dot; the dot is drawn one width long, because less does not print).
    pub(crate) fn dashes(self) -> &'static [f64] {
        match self {
            Self::Border | Self::Outline | Self::Narrow => &[],
            Self::Hidden => &[2.16, 0.54],
            Self::Centre => &[4.32, 0.54, 0.18, 0.54],
            Self::Before => &[4.32, 0.54, 0.18, 0.54, 0.18, 0.54],
        }
    }

    /// Name in the SVG's `class`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Border => "border",
            Self::Outline => "outline",
            Self::Narrow => "narrow",
            Self::Hidden => "hidden",
            Self::Centre => "centre",
            Self::Before => "before",
        }
    }
}

/// What fills a closed shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fill {
    /// Nothing.
    None,
    /// Black.
    Ink,
    /// White.
    Paper,
}

/// Which end of a text stands at its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// The text starts there.
    Start,
    /// The text is centred there.
    Middle,
    /// The text ends there.
    End,
}

/// Lettering: the height of capitals (ISO 3098-1) and weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lettering {
    /// Height of capitals, mm.
    pub capitals: f64,
    /// Bold.
    pub bold: bool,
}

impl Lettering {
    /// Words: 9 point and a little more, for what is read at the bench, not at a desk. Nothing on a sheet is smaller.
    pub(crate) const SMALL: Self = Self {
        capitals: 2.35,
        bold: false,
    };
    pub(crate) const SMALL_BOLD: Self = Self {
        bold: true,
        ..Self::SMALL
    };
    pub(crate) const BENCH: Self = Self::SMALL;
    pub(crate) const BENCH_BOLD: Self = Self::SMALL_BOLD;
    /// Figures of dimensions, callouts and tables: 10 point and a little more.
    pub(crate) const FIGURE: Self = Self {
        capitals: 2.6,
        bold: false,
    };
    pub(crate) const FIGURE_BOLD: Self = Self {
        bold: true,
        ..Self::FIGURE
    };
    pub(crate) const BODY: Self = Self::FIGURE;
    /// Headings.
    pub(crate) const BODY_BOLD: Self = Self {
        capitals: 2.7,
        bold: true,
    };
    /// What a sheet says first, read at arm's length.
    pub(crate) const HEADLINE: Self = Self {
        capitals: 3.5,
        bold: true,
    };
    pub(crate) const TITLE: Self = Self {
        capitals: 3.5,
        bold: true,
    };

    /// From baseline to baseline, mm.
    pub(crate) fn line(self) -> f64 {
        1.7 * self.capitals
    }

    /// Width of `text`, mm.
    pub(crate) fn width(self, text: &str) -> f64 {
        crate::text::width(text, self.capitals, self.bold)
    }
}

/// A line of text.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// Place of the baseline at the anchor, mm.
    pub at: Point,
    /// The characters.
    pub content: String,
    /// Lettering.
    pub lettering: Lettering,
    /// Which end stands at `at`.
    pub anchor: Anchor,
    /// Turn, radians, anticlockwise as seen.
    pub turn: f64,
}

impl Text {
    /// Size of the font, mm.
    #[must_use]
    pub fn font_size(&self) -> f64 {
        font_size(self.lettering.capitals)
    }

    /// Width, mm, by the metrics of the carried font.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.lettering.width(&self.content)
    }

    /// Corners of the box that the ink keeps to, in order round it, mm.
    #[must_use]
    pub fn corners(&self) -> [Point; 4] {
        let e = extent(&self.content, self.lettering.capitals, self.lettering.bold);
        let start = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => -0.5 * e.width,
            Anchor::End => -e.width,
        };
        let (sin, cos) = math::sin_cos(self.turn);
        let end = start + e.width;
        [(start, e.low), (end, e.low), (end, e.high), (start, e.high)]
            .map(|(x, y)| [self.at[0] + x * cos - y * sin, self.at[1] - x * sin - y * cos])
    }
}

/// One thing drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// Straight pieces through points.
    Path {
        /// Corners, mm.
        points: Vec<Point>,
        /// Whether the last corner joins the first.
        closed: bool,
        /// Kind of line, or no line.
        line: Option<LineKind>,
        /// Filling.
        fill: Fill,
    },
    /// A circle.
    Circle {
        /// Centre, mm.
        centre: Point,
        /// Radius, mm.
        radius: f64,
        /// Kind of line, or no line.
        line: Option<LineKind>,
        /// Filling.
        fill: Fill,
    },
    /// Text.
    Text(Text),
}

/// A shape with the names by which an outside program finds it.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// What is drawn.
    pub shape: Shape,
    /// `id` in the SVG.
    pub id: Option<String>,
    /// `data-...` attributes in the SVG, without the prefix.
    pub data: Vec<(&'static str, String)>,
    /// Where the part's own axes begin, for a shape that an outside program measures.
    pub zero: Option<PartZero>,
}

/// The part's axes on the sheet: `x = u0_x + u_sign u`, `y = v0_y - v`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PartZero {
    /// x where u is 0, mm; `data-u0-x` in the SVG.
    pub u0_x: f64,
    /// y where v is 0, mm; `data-v0-y` in the SVG.
    pub v0_y: f64,
    /// 1 if u runs to the right on the sheet, -1 if to the left; `data-u-sign` in the SVG.
    pub u_sign: f64,
}

/// Things drawn in one frame of coordinates.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Canvas {
    pub items: Vec<Item>,
}

impl Canvas {
    pub fn add(&mut self, shape: Shape) -> &mut Item {
        let at = self.items.len();
        self.items.push(Item {
            shape,
            id: None,
            data: Vec::new(),
            zero: None,
        });
        &mut self.items[at]
    }

    pub fn line(&mut self, from: Point, to: Point, kind: LineKind) -> &mut Item {
        self.path(vec![from, to], kind)
    }

    pub fn path(&mut self, points: Vec<Point>, kind: LineKind) -> &mut Item {
        self.add(Shape::Path {
            points,
            closed: false,
            line: Some(kind),
            fill: Fill::None,
        })
    }

    pub fn polygon(&mut self, points: Vec<Point>, line: Option<LineKind>, fill: Fill) -> &mut Item {
        self.add(Shape::Path {
            points,
            closed: true,
            line,
            fill,
        })
    }

    pub fn rectangle(&mut self, [x, y]: Point, width: f64, height: f64, line: LineKind) -> &mut Item {
        let points = vec![[x, y], [x + width, y], [x + width, y + height], [x, y + height]];
        self.polygon(points, Some(line), Fill::None)
    }

    pub fn circle(&mut self, centre: Point, radius: f64, line: Option<LineKind>, fill: Fill) -> &mut Item {
        self.add(Shape::Circle {
            centre,
            radius,
            line,
            fill,
        })
    }

    pub fn text(&mut self, at: Point, content: impl Into<String>, lettering: Lettering, anchor: Anchor) -> &mut Item {
        self.turned(at, content, lettering, anchor, 0.0)
    }

    pub fn turned(
        &mut self,
        at: Point,
        content: impl Into<String>,
        lettering: Lettering,
        anchor: Anchor,
        turn: f64,
    ) -> &mut Item {
        self.add(Shape::Text(Text {
            at,
            content: content.into(),
            lettering,
            anchor,
            turn,
        }))
    }

    /// Takes over another canvas, moved.
    pub fn place(&mut self, other: Canvas, [dx, dy]: Point) {
        let moved = |p: &mut Point| *p = [p[0] + dx, p[1] + dy];
        self.items.extend(other.items.into_iter().map(|mut item| {
            match &mut item.shape {
                Shape::Path { points, .. } => points.iter_mut().for_each(moved),
                Shape::Circle { centre, .. } => moved(centre),
                Shape::Text(text) => moved(&mut text.at),
            }
            if let Some(zero) = &mut item.zero {
                zero.u0_x += dx;
                zero.v0_y += dy;
            }
            item
        }));
    }
}

impl Item {
    pub(crate) fn id(&mut self, id: impl Into<String>) -> &mut Self {
        self.id = Some(id.into());
        self
    }

    pub(crate) fn data(&mut self, name: &'static str, value: impl Into<String>) -> &mut Self {
        self.data.push((name, value.into()));
        self
    }

    pub(crate) fn zero(&mut self, zero: PartZero) -> &mut Self {
        self.zero = Some(zero);
        self
    }

    /// Whether every number is finite.
    pub(crate) fn is_finite(&self) -> bool {
        let fine = |p: &Point| p[0].is_finite() && p[1].is_finite();
        match &self.shape {
            Shape::Path { points, .. } => points.iter().all(fine),
            Shape::Circle { centre, radius, .. } => fine(centre) && radius.is_finite(),
            Shape::Text(text) => fine(&text.at) && text.turn.is_finite() && text.lettering.capitals.is_finite(),
        }
    }
}

/// A finished part of a sheet with the room that it takes.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Block {
    pub canvas: Canvas,
    /// mm.
    pub width: f64,
    /// mm.
    pub height: f64,
}
