//! What a sheet leaves on paper, in order, for the writers that draw: PDF and PNG. The SVG, which names things, has its own.

use crate::canvas::{Anchor, Fill, LineKind, Point, Shape, Text};
use crate::{DrawingError, Sheet};
use numerics::math;

/// Places and sizes are drawn to this part of a millimetre, as the SVG states them: 0.1 micrometre.
const STEPS_PER_MM: f64 = 1e4;

/// A length as every file of a sheet has it, mm.
pub(crate) fn to_step(mm: f64) -> f64 {
    (mm * STEPS_PER_MM).round() / STEPS_PER_MM
}

/// A step of a figure; places in mm from the sheet's top left corner, y downward.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Step {
    /// A new piece begins.
    Move(Point),
    /// Straight on.
    Line(Point),
    /// A cubic Bézier curve: its two handles and its end.
    Curve(Point, Point, Point),
    /// Back to where the piece began.
    Close,
}

/// Where a line of text begins and how it runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Baseline {
    /// Its start, mm from the sheet's top left corner, y downward.
    pub start: Point,
    /// Cosine and sine of its turn, anticlockwise as seen.
    pub turn: [f64; 2],
    /// Size of the font, mm.
    pub size: f64,
}

/// What draws a sheet.
pub(crate) trait Pen {
    /// Fills a figure and then draws its line.
    fn figure(&mut self, steps: &[Step], fill: Fill, line: Option<LineKind>);
    /// Sets a text in ink.
    fn text(&mut self, text: &Text, baseline: Baseline);
}

/// Draws a sheet on paper that is white.
///
/// # Errors
/// A font that cannot be read: no text would appear.
pub(crate) fn draw(sheet: &Sheet, pen: &mut dyn Pen) -> Result<(), DrawingError> {
    if !crate::text::fonts_readable() {
        return Err(DrawingError::Font);
    }
    for item in &sheet.items {
        match &item.shape {
            Shape::Path {
                points,
                closed,
                line,
                fill,
            } => pen.figure(&straight(points, *closed), *fill, *line),
            Shape::Circle {
                centre,
                radius,
                line,
                fill,
            } => pen.figure(&circle(centre.map(to_step), to_step(*radius)), *fill, *line),
            Shape::Text(text) => pen.text(text, baseline(text)),
        }
    }
    Ok(())
}

fn straight(points: &[Point], closed: bool) -> Vec<Step> {
    let mut steps: Vec<Step> = points.iter().map(|p| Step::Line(p.map(to_step))).collect();
    if let Some(first) = steps.first_mut()
        && let Step::Line(p) = *first
    {
        *first = Step::Move(p);
    }
    if closed {
        steps.push(Step::Close);
    }
    steps
}

/// Four quarters, each a cubic that strays from the circle by 0.03 % of its radius.
fn circle([x, y]: Point, radius: f64) -> Vec<Step> {
    // Length of a quarter's handles: 4/3 tan(pi/8) radii, with which the curve's middle lies on the circle.
    let handle = 4.0 / 3.0 * math::tan(std::f64::consts::PI / 8.0);
    let at = |across: f64, down: f64| [x + radius * across, y + radius * down];
    let quarter = |[c, s]: [f64; 2]| {
        // From (c, s) a quarter on, to (-s, c).
        Step::Curve(
            at(c - handle * s, s + handle * c),
            at(-s + handle * c, c + handle * s),
            at(-s, c),
        )
    };
    let mut steps = vec![Step::Move(at(1.0, 0.0))];
    steps.extend([[1.0, 0.0], [0.0, 1.0], [-1.0, 0.0], [0.0, -1.0]].map(quarter));
    steps.push(Step::Close);
    steps
}

fn baseline(text: &Text) -> Baseline {
    let size = to_step(text.font_size());
    let width = || size * crate::set::width(&text.content, text.lettering.bold);
    let before = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => 0.5 * width(),
        Anchor::End => width(),
    };
    let (sin, cos) = math::sin_cos(text.turn);
    let [x, y] = text.at.map(to_step);
    Baseline {
        start: [x - before * cos, y + before * sin],
        turn: [cos, sin],
        size,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Points of each quarter against the circle itself.
    #[test]
    fn a_circle_is_round() {
        let mut from = [0.0; 2];
        for step in circle([3.0, -2.0], 5.0) {
            match step {
                Step::Move(p) => from = p,
                Step::Curve(a, b, to) => {
                    for k in 0..=20 {
                        let t = f64::from(k) / 20.0;
                        let s = 1.0 - t;
                        let [x, y] = [0, 1].map(|i| {
                            s * s * s * from[i] + 3.0 * s * s * t * a[i] + 3.0 * s * t * t * b[i] + t * t * t * to[i]
                        });
                        let radius = math::hypot(x - 3.0, y + 2.0);
                        assert!((radius / 5.0 - 1.0).abs() < 3e-4, "{radius}");
                    }
                    from = to;
                }
                _ => {}
            }
        }
    }

    #[test]
    fn a_text_ends_where_it_is_anchored() {
        let text = |anchor, turn| Text {
            at: [10.0, 20.0],
            content: "lean 9°".to_owned(),
            lettering: crate::canvas::Lettering::BODY,
            anchor,
            turn,
        };
        let quarter = std::f64::consts::FRAC_PI_2;
        assert_eq!(baseline(&text(Anchor::Start, 0.0)).start, [10.0, 20.0]);
        let end = text(Anchor::End, quarter);
        let start = baseline(&end).start;
        // Read upward, it begins its own width below its end; kerning makes it a little narrower than the room kept for it.
        let width = start[1] - 20.0;
        assert!((start[0] - 10.0).abs() < 1e-12 && width > 0.97 * end.width() && width < 1.001 * end.width());
    }
}
