//! The views of the saddle. Third angle: the view from above stands over the front view, the section's view from the
//! end to the right of it. Seen from the front (from the nut), a right-handed saddle has its treble end to the left.

pub(crate) mod above;
pub(crate) mod callouts;
pub(crate) mod filed;
pub(crate) mod front;
pub(crate) mod nut;
pub(crate) mod pattern;
pub(crate) mod section;
pub(crate) mod spread;
pub(crate) mod table;

use crate::canvas::{Anchor, Block, Canvas, Fill, Lettering, LineKind, Point};
use crate::figures::Figures;
use crate::outline::{Outlines, ShapeError, from_front, outlines};
use callouts::{Callout, Row};
use saddle::{Hold, Plan, StringPlan};

/// Room at each end of a view for words and dimensions, mm.
const SIDE: f64 = 19.0;
/// Least width of a view, mm, for its heading.
const LEAST_WIDTH: f64 = 100.0;
/// Radius of the mark on a contact, mm.
const DOT: f64 = 0.45;
/// Half the side of the square round a held contact, mm.
const SQUARE: f64 = 1.0;

/// A plan with what every view needs of it.
pub(crate) struct Scene<'a> {
    pub plan: &'a Plan,
    pub shape: Outlines,
    pub figures: Figures,
}

/// Places along the part on the sheet.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Along {
    /// x where u is 0, mm.
    pub zero: f64,
    /// Sign of u on the sheet: -1 with the treble to the left.
    pub sign: f64,
    /// -1 as seen from behind.
    flip: f64,
}

impl Along {
    /// x where u is `u`, mm.
    pub fn x(self, u: f64) -> f64 {
        self.zero + self.sign * u
    }

    /// x of a place of [`Outlines`], mm.
    pub fn part(self, x: f64) -> f64 {
        self.zero + self.flip * x
    }
}

impl<'a> Scene<'a> {
    pub fn new(plan: &'a Plan, figures: Figures) -> Result<Self, ShapeError> {
        Ok(Self {
            plan,
            shape: outlines(plan)?,
            figures,
        })
    }

    /// The part in the middle of a view.
    pub fn along(&self, from_behind: bool) -> Along {
        let left = 0.5 * (self.width() - self.length());
        let flip = if from_behind { -1.0 } else { 1.0 };
        let sign = flip * from_front(self.plan, 1.0);
        let (start, end) = self.plan.ends;
        Along {
            zero: left - (sign * start).min(sign * end),
            sign,
            flip,
        }
    }

    /// Length of the blank, mm.
    pub fn length(&self) -> f64 {
        self.plan.ends.1 - self.plan.ends.0
    }

    /// Highest v of the part, mm.
    pub fn crest(&self) -> f64 {
        self.shape.front.iter().map(|p| p[1]).fold(0.0, f64::max)
    }

    /// Width of a view with the room at its ends, mm.
    pub fn width(&self) -> f64 {
        (self.length() + 2.0 * SIDE).max(LEAST_WIDTH)
    }

    /// A callout for every string, `lines` telling its figures.
    pub fn row(&self, along: Along, held: bool, lines: impl Fn(&StringPlan) -> Vec<String>) -> Row {
        let callouts = self.plan.strings.iter().map(|s| Callout {
            x: along.x(s.contact.u),
            number: s.number,
            lines: lines(s),
            held: held && s.hold != Hold::Free,
        });
        Row::new(callouts.collect(), 0.0, self.width())
    }
}

/// v of the bridge top at the front wall at `u`, mm.
pub(crate) fn mouth(plan: &Plan, u: f64) -> Option<f64> {
    let [bass, treble] = plan.mouth?.map(|p| plan.frame.to_blank(p));
    (treble.u != bass.u).then(|| bass.v + (u - bass.u) / (treble.u - bass.u) * (treble.v - bass.v))
}

/// The mark on a contact: a dot, or an empty ring in a square if it is held.
pub(crate) fn contact(canvas: &mut Canvas, at: Point, string: &StringPlan, id: Option<String>) {
    let held = string.hold != Hold::Free;
    if held {
        let corner = [at[0] - SQUARE, at[1] - SQUARE];
        canvas.rectangle(corner, 2.0 * SQUARE, 2.0 * SQUARE, LineKind::Narrow);
    }
    let (line, fill) = if held {
        (Some(LineKind::Narrow), Fill::Paper)
    } else {
        (None, Fill::Ink)
    };
    let mark = canvas.circle(at, DOT, line, fill);
    mark.data("string", string.number.to_string());
    mark.data("held", if held { "yes" } else { "no" });
    if let Some(id) = id {
        mark.id(id);
    }
}

/// How far a held contact is from where it is wanted, mm across the blank, positive back.
pub(crate) fn short(string: &StringPlan) -> f64 {
    string.wanted.b - string.contact.b
}

/// A view's heading with a paragraph in small letters below; answers the height used.
pub(crate) fn heading(canvas: &mut Canvas, top: f64, title: &str, small: &str, width: f64) -> f64 {
    let (bold, plain) = (Lettering::BODY_BOLD, Lettering::SMALL);
    canvas.text([0.0, top + bold.capitals], title, bold, Anchor::Start);
    let mut height = bold.line();
    for line in crate::text::wrap(small, width, plain.capitals, plain.bold) {
        canvas.text([0.0, top + height + plain.capitals - 0.4], line, plain, Anchor::Start);
        height += plain.line();
    }
    height
}

/// View from above, enlarged and true, over the front view; if they are higher than `room` mm, the enlarged one goes without figures.
pub(crate) fn views(scene: &Scene, room: f64) -> Block {
    let block = views_with(scene, false);
    if block.height > room {
        views_with(scene, true)
    } else {
        block
    }
}

fn views_with(scene: &Scene, bare: bool) -> Block {
    let along = scene.along(false);
    let mut canvas = Canvas::default();
    let mut y = above::enlarged(&mut canvas, scene, along, 0.0, bare);
    y = above::true_size(&mut canvas, scene, along, y + 5.0);
    y = front::front(&mut canvas, scene, along, y + 5.0);
    Block {
        canvas,
        width: scene.width(),
        height: y,
    }
}
