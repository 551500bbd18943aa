//! The blank cut at one string, as it leans in the instrument: the nut is to the left.

use instrument::BlankPoint;
use saddle::{Hold, Plan, StringPlan};
use units::BenchUnit;

use super::pen::Pen;
use super::views::contact;

/// Chords of the rounding.
const CHORDS: u32 = 16;
/// Width and height of a picture, user units.
const WIDE: f64 = 150.0;
const TALL: f64 = 190.0;

/// The section at a string; pale, as it `was` before a change.
#[must_use]
pub fn section(plan: &Plan, string: &StringPlan, bench: BenchUnit, was: Option<&Plan>) -> String {
    let u = string.contact.u;
    let side = |b: f64, v: f64| {
        let place = plan.frame.to_fret(BlankPoint { b, u, v });
        [place.x, place.z]
    };
    let thick = plan.blank.thickness;
    let crown = plan.crown.section(u).outline(CHORDS);
    let outline: Vec<[f64; 2]> = [side(thick, 0.0), side(0.0, 0.0)]
        .into_iter()
        .chain(crown.iter().map(|&(b, v)| side(b, v)))
        .collect();
    let range = |axis: usize| {
        let values = outline.iter().map(move |p| p[axis]);
        let low = values.clone().fold(f64::INFINITY, f64::min);
        (low, values.fold(f64::NEG_INFINITY, f64::max))
    };
    let ((x0, x1), (z0, z1)) = (range(0), range(1));
    let scale = ((WIDE - 70.0) / (x1 - x0).max(0.5)).min((TALL - 62.0) / (z1 - z0).max(0.5));
    let left = 0.5 * (WIDE - scale * (x1 - x0)) + 8.0;
    let at = |[x, z]: [f64; 2]| [left + scale * (x - x0), 26.0 + scale * (z1 - z)];
    let name = format!("{} {}", string.number, string.note);
    let held = match string.hold {
        Hold::Free => "",
        Hold::Front => ", held at the land in front",
        Hold::Back => ", held at the land behind",
    };
    let mut pen = Pen::new(
        "cut",
        WIDE,
        TALL,
        &format!(
            "Section at string {name}: contact {} high and {} back{held}",
            bench.show(string.contact.v),
            bench.show(string.contact.b)
        ),
    );
    pen.path("body", outline.iter().map(|p| at(*p)), true);
    if let Some((was, old)) = was.and_then(|was| Some((was, was.strings.iter().find(|s| s.number == string.number)?)))
        && (old.contact != string.contact || was.blank.thickness.to_bits() != thick.to_bits())
    {
        let u = old.contact.u;
        let crown = was.crown.section(u).outline(CHORDS);
        let there = crown.iter().map(|&(b, v)| was.frame.to_fret(BlankPoint { b, u, v }));
        pen.path("was", there.map(|p| at([p.x, p.z])), false);
        pen.circle("was", at([old.position.x, old.position.z]), 3.0);
    }
    if let Some(exposure) = string.exposure {
        let mouth = at(side(0.0, string.contact.v - exposure));
        pen.line("bridge", [mouth[0] - 26.0, mouth[1]], mouth);
    }
    let here = at([string.position.x, string.position.z]);
    // The string from where it enters the picture.
    let entry = x0 - (left - 2.0) / scale;
    pen.line("string", at([entry, string.line.z(entry)]), here);
    pen.open(&format!(
        "g class=\"grip\" data-unit=\"{scale:.4}\" data-string=\"{}\"",
        string.number
    ));
    pen.circle("touch", here, 22.0);
    contact(&mut pen, here, string.hold);
    pen.close("g");
    pen.text("t mid strong", [0.5 * WIDE, 13.0], &name);
    let held = if string.hold == Hold::Free { "" } else { " held" };
    pen.text(
        "t mid",
        [0.5 * WIDE, TALL - 20.0],
        &format!("up {}", bench.number(string.contact.v)),
    );
    pen.text(
        "t mid",
        [0.5 * WIDE, TALL - 6.0],
        &format!("back {}{held}", bench.number(string.contact.b)),
    );
    pen.done()
}
