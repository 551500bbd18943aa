//! The saddle from the front and from above.

use drawing::{Outlines, ShapeError, from_front, outlines};
use saddle::{Hold, Plan};
use units::BenchUnit;

use super::pen::{FIGURE, Pen};

/// Width of a picture, and room at its sides, in user units.
const WIDE: f64 = 360.0;
const SIDE: f64 = 14.0;
/// How much larger the view from above is across than along.
const ACROSS: f64 = 4.0;

/// From millimetres to the picture.
struct Screen {
    scale: f64,
    left: f64,
}

impl Screen {
    fn over(shape: &Outlines) -> Self {
        let x = |f: fn(f64, f64) -> f64, from: f64| shape.front.iter().map(|p| p[0]).fold(from, f);
        let (low, high) = (x(f64::min, f64::INFINITY), x(f64::max, f64::NEG_INFINITY));
        let scale = (WIDE - 2.0 * SIDE) / (high - low).max(1.0);
        Self {
            scale,
            left: SIDE - low * scale,
        }
    }

    fn x(&self, mm: f64) -> f64 {
        self.left + self.scale * mm
    }
}

/// The saddle from the front, as from the nut: outline, contacts, heights, the line of the bridge top; pale, as it `was` before a change.
///
/// # Errors
/// If the plan leaves no part to draw.
pub fn front(plan: &Plan, bench: BenchUnit, was: Option<&Plan>) -> Result<String, ShapeError> {
    let shape = outlines(plan)?;
    let screen = Screen::over(&shape);
    let top = shape.front.iter().map(|p| p[1]).fold(0.0, f64::max);
    let over = 40.0;
    let y = |mm: f64| over + screen.scale * (top - mm);
    let tall = y(0.0) + 22.0;
    let mut pen = Pen::new(
        "view",
        WIDE,
        tall,
        "The saddle from the front, with the height of every contact",
    );
    pen.path("body", shape.front.iter().map(|p| [screen.x(p[0]), y(p[1])]), true);
    if let Some(was) = before(plan, was) {
        pen.path("was", was.front.iter().map(|p| [screen.x(p[0]), y(p[1])]), true);
    }
    let mouth: Vec<[f64; 2]> = plan
        .strings
        .iter()
        .filter_map(|s| Some([screen.x(from_front(plan, s.contact.u)), y(s.contact.v - s.exposure?)]))
        .collect();
    if let (Some(first), Some(last)) = (mouth.first(), mouth.last()) {
        pen.line("bridge", *first, *last);
    }
    let gap = spacing(&shape, &screen);
    for (mark, string) in shape.stations.iter().zip(&plan.strings) {
        let at = [screen.x(mark.x), y(mark.v)];
        contact(&mut pen, at, string.hold);
        pen.line("lead", [at[0], over - 8.0], [at[0], at[1] - 5.0]);
        pen.string(at[0], gap, mark.number, &bench.number(mark.v));
    }
    ends(&mut pen, plan, tall - 6.0);
    Ok(pen.done())
}

/// The saddle from above: the ridge between the lands, and what is wanted where a contact is held; pale, as it `was`. The front is below.
///
/// # Errors
/// If the plan leaves no part to draw.
pub fn above(plan: &Plan, bench: BenchUnit, was: Option<&Plan>) -> Result<String, ShapeError> {
    let shape = outlines(plan)?;
    let screen = Screen::over(&shape);
    let thick = plan.blank.thickness;
    let across = screen.scale * ACROSS;
    // Room for wanted places that lie outside the blank.
    let room = plan
        .strings
        .iter()
        .map(|s| (-s.wanted.b).max(s.wanted.b - thick))
        .fold(0.0, f64::max)
        .min(thick);
    let over = 18.0 + across * room;
    let y = |b: f64| over + across * (thick - b);
    let tall = y(0.0) + across * room + 34.0;
    let mut pen = Pen::new(
        "view",
        WIDE,
        tall,
        "The saddle from above: where the ridge runs between front and back",
    );
    pen.path("body", shape.top.iter().map(|p| [screen.x(p[0]), y(p[1])]), true);
    let (left, right) = (screen.x(shape.front[0][0]), WIDE - SIDE);
    for b in [plan.blank.land, thick - plan.blank.land] {
        pen.line("land", [left.min(right), y(b)], [left.max(right), y(b)]);
    }
    if let Some(was) = before(plan, was) {
        pen.path("was", was.ridge.iter().map(|p| [screen.x(p[0]), y(p[1])]), false);
    }
    pen.path("ridge", shape.ridge.iter().map(|p| [screen.x(p[0]), y(p[1])]), false);
    let gap = spacing(&shape, &screen);
    for (mark, string) in shape.stations.iter().zip(&plan.strings) {
        let at = [screen.x(mark.x), y(mark.b)];
        if string.hold != Hold::Free {
            let wanted = [
                screen.x(from_front(plan, string.wanted.u)),
                y(string.wanted.b.clamp(-room, thick + room)),
            ];
            pen.line("want", at, wanted);
            pen.line("want", [wanted[0] - 4.0, wanted[1]], [wanted[0] + 4.0, wanted[1]]);
        }
        contact(&mut pen, at, string.hold);
        if gap >= FIGURE {
            pen.text("t mid", [at[0], tall - 20.0], &bench.number(mark.b));
        }
    }
    pen.text("t small", [2.0, 10.0], "back");
    pen.text("t small", [2.0, y(0.0) + across * room + 10.0], "front");
    ends(&mut pen, plan, tall - 6.0);
    pen.text(
        "t small end",
        [WIDE - 2.0, 10.0],
        &format!("across drawn {ACROSS:.0} times as large"),
    );
    Ok(pen.done())
}

/// The outlines of a plan as it was, if it was another.
fn before(plan: &Plan, was: Option<&Plan>) -> Option<Outlines> {
    was.filter(|was| *was != plan).and_then(|was| outlines(was).ok())
}

/// Least distance of neighbouring strings in the picture.
fn spacing(shape: &Outlines, screen: &Screen) -> f64 {
    let pairs = shape.stations.windows(2);
    pairs
        .map(|pair| (screen.x(pair[0].x) - screen.x(pair[1].x)).abs())
        .fold(f64::INFINITY, f64::min)
}

fn ends(pen: &mut Pen, plan: &Plan, y: f64) {
    let (left, right) = if plan.left_handed {
        ("bass", "treble")
    } else {
        ("treble", "bass")
    };
    pen.text("t small", [2.0, y], left);
    pen.text("t small end", [WIDE - 2.0, y], right);
}

/// A filled dot, or an open ring in a square where the contact is held.
pub(super) fn contact(pen: &mut Pen, at: [f64; 2], hold: Hold) {
    if hold == Hold::Free {
        pen.circle("dot", at, 3.0);
    } else {
        pen.rect("held", [at[0] - 5.5, at[1] - 5.5], 11.0, 11.0);
        pen.circle("ring", at, 3.0);
    }
}
