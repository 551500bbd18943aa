//! How the readings of a nut to be made are taken.

use job::Picture as P;

use super::marks::{Drawing, blank, drop};
use crate::pictures::pen::Pen;

/// The drawings for the questions of the nut's blank.
pub(super) fn how(picture: P) -> Option<Drawing> {
    Some(match picture {
        P::BoardWidth => ("A caliper across the board just in front of the nut", board_width),
        P::Margin => (
            "From the edge of the board to the outer string, at the nut from the front",
            margin,
        ),
        P::FretHeight => (
            "A straightedge on frets 1 and 2, feelers under it down to the board",
            fret_height,
        ),
        P::ZeroFret => (
            "A straightedge on frets 1 and 2, reaching out over the zero fret, and the string over its crown",
            zero_fret,
        ),
        P::Seat => ("A depth rod from the board down to where the nut stands", seat),
        P::Headstock => ("The angle between the line of the frets and the headstock", headstock),
        P::Fall => ("The slot's floor falls from the front edge to the tuners", fall),
        P::Posts => (
            "From above: from the nut's front back to the post, and from the centre line across",
            posts,
        ),
        P::PostBelow => (
            "A straightedge on the frets out over the headstock, and down to the string at its post",
            post_below,
        ),
        P::NutBlank => ("The nut's blank: thickness, height, length", blank),
        P::Slot => (
            "A slot cut across: the string shows above the top, the slot is a little wider",
            slot,
        ),
        P::Arc => ("The top of the nut as an arc across the strings", arc),
        _ => return None,
    })
}

fn board_width(pen: &mut Pen) {
    pen.raw_path("part", "M52 104l10 -48h116l10 48");
    pen.rect("part fill", [62.0, 44.0], 116.0, 12.0);
    pen.raw_path("tool", "M54 18h8v56h-8z");
    pen.raw_path("tool", "M178 18h8v56h-8z");
    pen.measure([62.0, 30.0], [178.0, 30.0]);
    pen.text("t small", [194.0, 54.0], "nut");
}

/// The nut seen from the frets, its strings end on.
fn front(pen: &mut Pen) {
    pen.raw_path("part", "M30 92v-34q90 -14 180 0v34z");
    for (i, y) in [56.0, 53.0, 51.5, 51.5, 53.0, 56.0].into_iter().enumerate() {
        let at = f64::from(u32::try_from(i).unwrap_or(0));
        pen.circle("ring", [52.0 + 27.2 * at, y], 5.5 - 0.7 * at);
    }
}

fn margin(pen: &mut Pen) {
    front(pen);
    drop(pen, 30.0, 22.0, 58.0);
    drop(pen, 46.5, 22.0, 54.0);
    pen.measure([30.0, 26.0], [46.5, 26.0]);
    pen.text("t small", [56.0, 30.0], "to the side");
}

fn arc(pen: &mut Pen) {
    front(pen);
    pen.raw_path("thin dash", "M14 61q106 -21 212 0");
    pen.line("dim", [120.0, 104.0], [120.0, 56.0]);
    pen.head([120.0, 51.0], [120.0, 104.0]);
    pen.text("t small", [126.0, 82.0], "R");
}

fn fret_height(pen: &mut Pen) {
    pen.line("part", [60.0, 92.0], [232.0, 92.0]);
    pen.raw_path("part", "M60 92v-40h-22v40z");
    for x in [112.0, 196.0] {
        pen.raw_path("part fill", &format!("M{} 92a9 9 0 0 1 18 0", x - 9.0));
    }
    pen.rect("tool", [84.0, 72.0], 148.0, 11.0);
    pen.rect("tool fill", [142.0, 83.0], 26.0, 4.0);
    pen.rect("tool fill", [142.0, 88.0], 30.0, 4.0);
    pen.measure([182.0, 83.0], [182.0, 92.0]);
    pen.text("t small mid", [112.0, 108.0], "1");
    pen.text("t small mid", [196.0, 108.0], "2");
}

fn zero_fret(pen: &mut Pen) {
    pen.line("part", [52.0, 92.0], [232.0, 92.0]);
    pen.raw_path("part", "M36 92v-22h-14v22z");
    pen.raw_path("part fill", "M50 92a11 12 0 0 1 22 0");
    for x in [132.0, 206.0] {
        pen.raw_path("part fill", &format!("M{} 92a9 9 0 0 1 18 0", x - 9.0));
    }
    pen.rect("tool", [80.0, 72.0], 150.0, 11.0);
    pen.line("thin", [40.0, 83.0], [80.0, 83.0]);
    pen.line("string", [20.0, 81.0], [61.0, 80.0]);
    pen.line("string", [61.0, 80.0], [232.0, 66.0]);
    pen.measure([46.0, 80.0], [46.0, 83.0]);
    pen.text("t small mid", [61.0, 108.0], "0");
    pen.text("t small mid", [132.0, 108.0], "1");
    pen.text("t small mid", [206.0, 108.0], "2");
}

fn seat(pen: &mut Pen) {
    pen.raw_path("part", "M226 52h-106v40h-42l-62 16");
    pen.rect("tool", [96.0, 40.0], 96.0, 12.0);
    pen.rect("tool", [102.0, 18.0], 6.0, 74.0);
    pen.line("thin", [84.0, 52.0], [120.0, 52.0]);
    pen.measure([88.0, 52.0], [88.0, 92.0]);
    pen.text("t small", [158.0, 70.0], "board");
}

fn side(pen: &mut Pen) {
    pen.raw_path("part", "M226 46h-92v-12h-16v12l-96 26v18l96 -18h108");
}

fn headstock(pen: &mut Pen) {
    side(pen);
    pen.line("thin dash", [118.0, 46.0], [14.0, 46.0]);
    pen.raw_path("dim", "M40 46a78 78 0 0 0 2 20");
    pen.text("t small", [14.0, 38.0], "angle");
}

fn fall(pen: &mut Pen) {
    pen.raw_path("part", "M168 100v-62l-88 16v46z");
    pen.line("string", [226.0, 30.0], [168.0, 38.0]);
    // The string lies along the floor and bends on at the back.
    pen.path("string", [[168.0, 38.0], [80.0, 54.0], [20.0, 84.0]], false);
    pen.line("thin dash", [168.0, 38.0], [60.0, 38.0]);
    pen.raw_path("dim", "M92 38a76 76 0 0 0 1 14");
    pen.text("t small", [176.0, 62.0], "frets");
    pen.text("t small", [14.0, 54.0], "tuners");
}

fn posts(pen: &mut Pen) {
    pen.raw_path(
        "part",
        "M170 44v24h56M170 68h-8v-24h8h56M162 44l-18 -16h-116q-8 28 0 56h116l18 -16",
    );
    pen.line("thin dash", [20.0, 56.0], [226.0, 56.0]);
    for (x, y) in [
        (120.0, 38.0),
        (84.0, 36.0),
        (48.0, 34.0),
        (120.0, 74.0),
        (84.0, 76.0),
        (48.0, 78.0),
    ] {
        pen.circle("ring", [x, y], 4.0);
        pen.line("string", [166.0, if y < 56.0 { 50.0 } else { 62.0 }], [x, y]);
    }
    pen.measure([48.0, 102.0], [170.0, 102.0]);
    drop(pen, 48.0, 82.0, 106.0);
    drop(pen, 170.0, 70.0, 106.0);
    pen.measure([36.0, 56.0], [36.0, 34.0]);
}

fn post_below(pen: &mut Pen) {
    side(pen);
    for x in [150.0, 184.0, 216.0] {
        pen.raw_path("part fill", &format!("M{} 46a5 5 0 0 1 10 0", x - 5.0));
    }
    // The nut is out, or the straightedge lies beside it.
    pen.rect("tool", [20.0, 30.0], 206.0, 10.0);
    pen.rect("part fill", [46.0, 50.0], 8.0, 16.0);
    pen.measure([62.0, 40.0], [62.0, 56.0]);
}

fn slot(pen: &mut Pen) {
    pen.raw_path("part", "M30 108v-50h68v2a22 22 0 0 0 44 0v-2h68v50");
    pen.raw_path("thin dash", "M98 60v20a22 22 0 0 0 44 0v-20");
    pen.circle("ring", [120.0, 60.0], 19.0);
    drop(pen, 98.0, 14.0, 58.0);
    drop(pen, 142.0, 14.0, 58.0);
    pen.measure([98.0, 20.0], [142.0, 20.0]);
    pen.line("thin", [139.0, 41.0], [186.0, 41.0]);
    pen.measure([178.0, 41.0], [178.0, 58.0]);
    pen.text("t small", [184.0, 52.0], "shows");
    pen.text("t small end", [90.0, 24.0], "width");
    pen.line("thin", [120.0, 82.0], [64.0, 82.0]);
    pen.line("thin", [120.0, 102.0], [64.0, 102.0]);
    pen.measure([72.0, 82.0], [72.0, 102.0]);
    pen.text("t small", [36.0, 96.0], "proud");
}
