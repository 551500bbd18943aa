//! The ends of a saddle: rounded in a closed slot, or blended to the bridge.

use job::Picture as P;

use super::marks::Drawing;
use crate::pictures::pen::Pen;

/// The drawings for the questions of the ends.
pub(super) fn how(picture: P) -> Option<Drawing> {
    Some(match picture {
        P::Ends => (
            "The end of a through saddle from the front: how far in from its end, how high over the slot's floor",
            wings,
        ),
        P::EndRadius => (
            "The end of a closed slot from above, and the radius of its corners",
            end_radius,
        ),
        _ => return None,
    })
}

/// The slope from the bridge's wing up to the crown, three places of it marked, and one measured.
fn wings(pen: &mut Pen) {
    // The bridge, and the floor of the slot in it.
    pen.raw_path("part", "M6 78q20 -14 44 -18h184");
    pen.line("thin dash", [34.0, 98.0], [234.0, 98.0]);
    pen.raw_path("part fill", "M34 98v-34q60 -4 106 -42q40 -6 94 -6v82z");
    for (x, y) in [(34.0, 64.0), (82.0, 55.0), (140.0, 22.0)] {
        pen.circle("dot", [x, y], 3.0);
    }
    pen.measure([34.0, 106.0], [82.0, 106.0]);
    pen.measure([82.0, 98.0], [82.0, 55.0]);
    pen.text("t small", [88.0, 108.0], "in");
    pen.text("t small", [88.0, 82.0], "up");
    pen.text("t small", [150.0, 92.0], "slot's floor");
}

fn end_radius(pen: &mut Pen) {
    pen.raw_path("part", "M214 34h-140a14 14 0 0 0 -14 14v24a14 14 0 0 0 14 14h140");
    pen.raw_path("part fill", "M214 38h-138a12 12 0 0 0 -12 12v20a12 12 0 0 0 12 12h138z");
    pen.circle("dot", [76.0, 50.0], 2.5);
    pen.line("thin", [76.0, 50.0], [67.5, 41.5]);
    pen.text("t small", [84.0, 54.0], "radius");
    pen.text("t small mid", [150.0, 102.0], "from above");
}
