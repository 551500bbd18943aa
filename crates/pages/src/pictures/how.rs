//! Small drawings of how each reading is taken. They are not to scale.

mod ends;
mod marks;
mod nut_blank;

use job::Picture as P;
use survey::Question;

use super::pen::Pen;
use marks::{blank, drop};

/// Size of a drawing, user units.
const WIDE: f64 = 240.0;
const TALL: f64 = 112.0;
/// Height of the board and of the string over it in the drawings from the side.
const BOARD: f64 = 84.0;
/// Places of nut, fret 1, fret 3, a middle fret, fret 12 and the saddle along it.
const NUT: f64 = 26.0;
const FRET_1: f64 = 48.0;
const FRET_3: f64 = 84.0;
const FRET_6: f64 = 110.0;
const FRET_12: f64 = 142.0;
const SADDLE: f64 = 214.0;

/// The drawing for a question; `None` where there is nothing to measure.
#[must_use]
pub fn how(question: &Question) -> Option<String> {
    let picture = question.picture?;
    let (title, draw): (&str, fn(&mut Pen)) = match picture {
        P::NutTo12 => ("A rule from the front of the nut to the crown of fret 12", nut_to_12),
        P::Radius => ("A radius gauge standing on a fret crown", radius),
        P::Relief => (
            "A string held at fret 1 and at the joint fret, with a feeler in the gap between",
            relief,
        ),
        P::Joint => ("The fret where neck and body meet", joint),
        P::Gauge => ("A micrometer across a string", gauge),
        P::Core => ("A wound string cut across: the core inside the wrap", core),
        P::NutSpread => (
            "From the middle of one outer string to the other, at the nut",
            nut_spread,
        ),
        P::SaddleSpread => (
            "From the middle of one outer string to the other, over the saddle",
            saddle_spread,
        ),
        P::Pair => ("From the middle of one string of a pair to the other", pair),
        P::Press => ("The finger a little behind the fret", press),
        P::Action => (
            "A rule on edge on fret 12: from its crown to the underside of the string",
            action,
        ),
        P::FirstFret => ("Feelers between fret 1 and the open string", first_fret),
        P::HeldAt3 => ("The string held down at fret 3, feelers over fret 1", held_at_3),
        P::NutSetback => ("The nut's front edge against the place of fret 0", nut_setback),
        P::Tuner => ("The harmonic at 12 and the fretted note at 12 on a tuner", tuner),
        P::ToContact => (
            "A rule along the string from fret 12 to where it bears on the saddle",
            to_contact,
        ),
        P::ToEdge => ("A rule from fret 12 to the front edge of the slot", to_edge),
        P::BridgeTop => ("A straightedge on the frets, reaching over the bridge top", bridge_top),
        P::Lean => ("The angle between the slot's front wall and a square", lean),
        P::Depth => ("A depth rod down the front wall of the slot", depth),
        P::Width => ("Caliper jaws in the slot", width),
        P::Length => ("The slot from end to end", length),
        P::Under => ("A shim on the floor of the slot", under),
        P::Height => ("A caliper on the saddle, from its bottom edge to the ridge", height),
        P::Back => ("A caliper from the front face to the ridge", back),
        P::Exit => ("From the slot's front edge to the hole where the string leaves", exit),
        P::Blank => ("The blank: thickness, height, length", blank),
        P::Land => ("The land between the ridge and a face", land),
        P::Crown => (
            "The crown cut across: ridge, rounding and the falls to both faces",
            crown,
        ),
        P::BridgeBlock => (
            "The bridge cut across: its thickness, and the wood in front of the slot",
            bridge_block,
        ),
        P::Heel => ("The heel from the side: from the top edge of the body down", heel),
        P::Kinds => ("A slot open at both ends, and one closed at both ends", kinds),
        other => ends::how(other).or_else(|| nut_blank::how(other))?,
    };
    let mut pen = Pen::new("how-picture", WIDE, TALL, title);
    draw(&mut pen);
    Some(pen.done())
}

fn fret(pen: &mut Pen, x: f64) {
    pen.raw_path("part", &format!("M{:.1} {BOARD}a5 5 0 0 1 10 0", x - 5.0));
}

/// Board with frets, nut and saddle from the side.
fn neck(pen: &mut Pen) {
    pen.line("part", [NUT, BOARD], [178.0, BOARD]);
    pen.raw_path("part", &format!("M{NUT} {BOARD}v-14h-10v14z"));
    for x in [FRET_1, 66.0, FRET_3, 98.0, FRET_6, 122.0, FRET_12] {
        fret(pen, x);
    }
    pen.raw_path("part", &format!("M188 96v-10h{}v10", 44.0));
    pen.raw_path("part", &format!("M{:.1} 86v-24l6 -3v27", SADDLE - 6.0));
}

const STRING_NUT: [f64; 2] = [NUT, BOARD - 13.0];
const STRING_END: [f64; 2] = [SADDLE, 59.0];

fn string(pen: &mut Pen) {
    pen.line("string", STRING_NUT, STRING_END);
}

/// Height of the string at x.
fn over(x: f64) -> f64 {
    let share = (x - STRING_NUT[0]) / (STRING_END[0] - STRING_NUT[0]);
    STRING_NUT[1] + share * (STRING_END[1] - STRING_NUT[1])
}

fn rule(pen: &mut Pen, from: f64, to: f64, y: f64) {
    pen.rect("tool", [from, y], to - from, 9.0);
    let mut x = from + 6.0;
    while x < to {
        pen.line("tick", [x, y], [x, y + 4.0]);
        x += 6.0;
    }
}

fn nut_to_12(pen: &mut Pen) {
    neck(pen);
    rule(pen, NUT, FRET_12, 34.0);
    drop(pen, NUT, 18.0, BOARD - 14.0);
    drop(pen, FRET_12, 18.0, BOARD - 5.0);
    pen.measure([NUT, 22.0], [FRET_12, 22.0]);
    pen.text("t small mid", [FRET_12, 104.0], "12");
}

fn joint(pen: &mut Pen) {
    neck(pen);
    pen.raw_path("part", &format!("M{FRET_12} {}v18h90", BOARD + 2.0));
    pen.raw_path("part", "M26 90c40 4 80 4 112 12");
    pen.head([FRET_12, BOARD - 7.0], [FRET_12, 40.0]);
    pen.line("dim", [FRET_12, BOARD - 7.0], [FRET_12, 46.0]);
}

fn radius(pen: &mut Pen) {
    pen.raw_path("part", "M40 100v-22q80 -26 160 0v22z");
    pen.raw_path("tool", "M52 74q68 -22 136 0v-44h-136z");
    pen.text("t small mid", [120.0, 48.0], "gauge");
}

fn relief(pen: &mut Pen) {
    pen.raw_path("part", "M20 78q100 16 200 0");
    for (x, y) in [(44.0, 81.5), (82.0, 85.0), (120.0, 86.0), (158.0, 85.0), (196.0, 81.5)] {
        pen.raw_path("part", &format!("M{} {y}a5 5 0 0 1 10 0", x - 5.0));
    }
    pen.line("string", [12.0, 74.0], [228.0, 74.0]);
    pen.line("string", [12.0, 74.0], [44.0, 76.5]);
    for x in [44.0, 196.0] {
        pen.line("dim", [x, 44.0], [x, 70.0]);
        pen.head([x, 70.0], [x, 44.0]);
    }
    pen.rect("tool", [117.0, 76.0], 50.0, 4.0);
    pen.text("t small mid", [120.0, 60.0], "feeler");
}

fn gauge(pen: &mut Pen) {
    pen.raw_path("tool", "M70 20h20v60h60v-60h20v78h-100z");
    pen.circle("string fill", [120.0, 46.0], 12.0);
    pen.rect("tool", [90.0, 38.0], 18.0, 16.0);
    pen.rect("tool", [132.0, 38.0], 18.0, 16.0);
    pen.measure([108.0, 14.0], [132.0, 14.0]);
    drop(pen, 108.0, 10.0, 36.0);
    drop(pen, 132.0, 10.0, 36.0);
}

fn core(pen: &mut Pen) {
    for i in 0..12_u32 {
        let (sin, cos) = (f64::from(i) * std::f64::consts::PI / 6.0).sin_cos();
        pen.circle("part", [120.0 + 38.0 * cos, 58.0 + 38.0 * sin], 9.6);
    }
    pen.path(
        "part fill",
        [
            [148.0, 58.0],
            [134.0, 82.0],
            [106.0, 82.0],
            [92.0, 58.0],
            [106.0, 34.0],
            [134.0, 34.0],
        ],
        true,
    );
    pen.measure([120.0, 34.0], [120.0, 82.0]);
    pen.text("t small", [182.0, 40.0], "wrap");
    pen.text("t small", [182.0, 62.0], "core");
    pen.line("thin", [180.0, 59.0], [140.0, 59.0]);
}

fn strings_across(pen: &mut Pen, y: f64, low: f64, high: f64) {
    for i in 0..6_u32 {
        let x = low + (high - low) * f64::from(i) / 5.0;
        pen.line("string", [x, y - 14.0], [x, y + 40.0]);
    }
    drop(pen, low, 18.0, y - 14.0);
    drop(pen, high, 18.0, y - 14.0);
    pen.measure([low, 22.0], [high, 22.0]);
}

fn nut_spread(pen: &mut Pen) {
    pen.rect("part", [52.0, 48.0], 136.0, 12.0);
    pen.raw_path("part", "M52 60l-6 44M188 60l6 44");
    strings_across(pen, 52.0, 64.0, 176.0);
    pen.text("t small", [196.0, 57.0], "nut");
}

fn saddle_spread(pen: &mut Pen) {
    pen.raw_path(
        "part",
        "M14 72q14 -22 40 -24h132q26 2 40 24q-14 18 -40 20h-132q-26 -2 -40 -20z",
    );
    pen.rect("part fill", [44.0, 60.0], 152.0, 8.0);
    strings_across(pen, 48.0, 58.0, 182.0);
}

fn pair(pen: &mut Pen) {
    pen.rect("part", [40.0, 60.0], 160.0, 14.0);
    for x in [70.0, 90.0, 150.0, 170.0] {
        pen.line("string", [x, 40.0], [x, 104.0]);
    }
    drop(pen, 70.0, 22.0, 40.0);
    drop(pen, 90.0, 22.0, 40.0);
    pen.measure([70.0, 26.0], [90.0, 26.0]);
}

fn press(pen: &mut Pen) {
    pen.line("part", [20.0, BOARD], [220.0, BOARD]);
    fret(pen, 150.0);
    fret(pen, 60.0);
    pen.path(
        "string",
        [[20.0, 76.0], [122.0, 80.0], [150.0, BOARD - 5.0], [228.0, 66.0]],
        false,
    );
    pen.raw_path("tool", "M108 78q-2 -34 14 -36q16 2 14 36q-14 8 -28 0z");
    pen.measure([122.0, 100.0], [150.0, 100.0]);
    drop(pen, 150.0, 88.0, 104.0);
    drop(pen, 122.0, 84.0, 104.0);
}

fn action(pen: &mut Pen) {
    neck(pen);
    string(pen);
    rule_up(pen, FRET_12);
    let (low, high) = (BOARD - 5.0, over(FRET_12));
    pen.line("thin", [FRET_12 + 14.0, low], [FRET_12 + 30.0, low]);
    pen.line("dim", [FRET_12 + 26.0, high], [FRET_12 + 26.0, low]);
    pen.text("t small mid", [FRET_12, 104.0], "12");
}

/// A narrow rule standing on a fret.
fn rule_up(pen: &mut Pen, x: f64) {
    pen.rect("tool", [x, 18.0], 13.0, BOARD - 5.0 - 18.0);
    let mut y = BOARD - 10.0;
    while y > 20.0 {
        pen.line("tick", [x, y], [x + 5.0, y]);
        y -= 5.0;
    }
}

fn close_up(pen: &mut Pen, end: [f64; 2]) {
    pen.line("part", [30.0, 92.0], [232.0, 92.0]);
    pen.raw_path("part", "M30 92v-44h-18v44z");
    for x in [92.0, 156.0, 206.0] {
        pen.raw_path("part fill", &format!("M{} 92a8 8 0 0 1 16 0", x - 8.0));
    }
    pen.line("string", [30.0, 52.0], end);
}

fn first_fret(pen: &mut Pen) {
    close_up(pen, [236.0, 44.0]);
    for (i, y) in [52.0, 60.0, 68.0, 76.0].into_iter().enumerate() {
        pen.rect("tool", [78.0, y], if i == 3 { 58.0 } else { 54.0 }, 6.0);
    }
    pen.text("t small mid", [92.0, 108.0], "1");
}

fn held_at_3(pen: &mut Pen) {
    close_up(pen, [206.0, 83.0]);
    pen.line("string", [206.0, 83.0], [236.0, 78.0]);
    pen.rect("tool", [80.0, 66.0], 50.0, 16.0);
    pen.raw_path("tool", "M180 76q-2 -34 14 -36q16 2 14 36q-14 8 -28 0z");
    pen.text("t small mid", [92.0, 108.0], "1");
    pen.text("t small mid", [206.0, 108.0], "3");
}

fn nut_setback(pen: &mut Pen) {
    pen.line("part", [20.0, 92.0], [232.0, 92.0]);
    pen.raw_path("part", "M92 92v-40h-36v40z");
    pen.raw_path("part fill", "M172 92a8 8 0 0 1 16 0");
    pen.line("string", [92.0, 55.0], [236.0, 50.0]);
    pen.line("thin dash", [122.0, 24.0], [122.0, 104.0]);
    pen.measure([92.0, 32.0], [122.0, 32.0]);
    pen.text("t small", [126.0, 22.0], "fret 0");
}

fn tuner(pen: &mut Pen) {
    pen.raw_path("part", "M60 92a60 60 0 0 1 120 0z");
    for i in 0..9_u32 {
        let (sin, cos) = (std::f64::consts::PI * (0.1 + 0.1 * f64::from(i))).sin_cos();
        pen.line(
            "tick",
            [120.0 - 52.0 * cos, 92.0 - 52.0 * sin],
            [120.0 - 58.0 * cos, 92.0 - 58.0 * sin],
        );
    }
    pen.line("thin dash", [120.0, 92.0], [120.0, 40.0]);
    pen.line("string", [120.0, 92.0], [138.0, 42.0]);
    pen.text("t small mid", [120.0, 26.0], "0");
    pen.text("t small", [168.0, 40.0], "sharp +");
    pen.text("t small end", [72.0, 40.0], "flat -");
}

fn to_contact(pen: &mut Pen) {
    neck(pen);
    string(pen);
    rule(pen, FRET_12, SADDLE, 34.0);
    drop(pen, FRET_12, 18.0, BOARD - 5.0);
    drop(pen, SADDLE, 18.0, 58.0);
    pen.measure([FRET_12, 22.0], [SADDLE, 22.0]);
    pen.text("t small mid", [FRET_12, 104.0], "12");
}

fn slot(pen: &mut Pen) {
    pen.raw_path("part", "M20 104v-54h78v42h36v-42h86v54");
}

fn to_edge(pen: &mut Pen) {
    pen.line("part", [10.0, BOARD], [96.0, BOARD]);
    pen.raw_path("part", "M35 84a5 5 0 0 1 10 0");
    pen.raw_path("part", "M110 104v-28h60v22h16v-22h44v28");
    rule(pen, 40.0, 170.0, 40.0);
    drop(pen, 40.0, 22.0, 78.0);
    drop(pen, 170.0, 22.0, 76.0);
    pen.measure([40.0, 26.0], [170.0, 26.0]);
    pen.text("t small mid", [40.0, 104.0], "12");
}

fn bridge_top(pen: &mut Pen) {
    pen.line("part", [10.0, BOARD], [130.0, BOARD]);
    for x in [22.0, 52.0, 80.0, 104.0, 122.0] {
        fret(pen, x);
    }
    pen.rect("tool", [10.0, 70.0], 200.0, 9.0);
    pen.raw_path("part", "M150 108v-14h30v10h12v-10h40v14");
    drop(pen, 180.0, 79.0, 94.0);
    pen.line("dim", [180.0, 79.0], [180.0, 94.0]);
    pen.line("dim", [180.0, 40.0], [180.0, 68.0]);
    pen.head([180.0, 79.0], [180.0, 40.0]);
    pen.text("t small mid", [120.0, 62.0], "straightedge");
}

fn lean(pen: &mut Pen) {
    pen.raw_path("part", "M20 104v-34h74l6 30h34l-7 -34h93v38");
    pen.line("thin dash", [94.0, 70.0], [94.0, 12.0]);
    pen.raw_path("tool", "M94 70l-12 -56h34l8 52z");
    pen.raw_path("dim", "M94 26a44 44 0 0 0 -9 1");
    pen.text("t small end", [70.0, 30.0], "+");
    pen.text("t small", [20.0, 60.0], "nut side");
}

fn depth(pen: &mut Pen) {
    slot(pen);
    pen.rect("tool", [60.0, 36.0], 110.0, 14.0);
    pen.rect("tool", [99.0, 18.0], 6.0, 74.0);
    pen.line("thin", [140.0, 92.0], [196.0, 92.0]);
    pen.measure([186.0, 50.0], [186.0, 92.0]);
}

fn width(pen: &mut Pen) {
    slot(pen);
    pen.raw_path("tool", "M84 14h16v64h-2v-28h-14z");
    pen.raw_path("tool", "M148 14h-16v64h2v-28h14z");
    pen.measure([98.0, 66.0], [134.0, 66.0]);
}

fn length(pen: &mut Pen) {
    pen.raw_path(
        "part",
        "M14 62q14 -22 40 -24h132q26 2 40 24q-14 18 -40 20h-132q-26 -2 -40 -20z",
    );
    pen.rect("part fill", [44.0, 54.0], 152.0, 8.0);
    drop(pen, 44.0, 20.0, 54.0);
    drop(pen, 196.0, 20.0, 54.0);
    pen.measure([44.0, 24.0], [196.0, 24.0]);
}

fn under(pen: &mut Pen) {
    slot(pen);
    pen.raw_path("part", "M100 86v-66l18 -6l14 6v66z");
    pen.rect("tool fill", [98.0, 86.0], 36.0, 6.0);
    pen.line("thin", [150.0, 89.0], [134.0, 89.0]);
    pen.text("t small", [152.0, 78.0], "shim, pickup");
}

fn blank_end(pen: &mut Pen) {
    pen.raw_path("part", "M100 100v-66q10 -10 20 -10q14 2 20 16v60z");
}

fn height(pen: &mut Pen) {
    blank_end(pen);
    pen.line("thin", [120.0, 24.0], [196.0, 24.0]);
    pen.line("thin", [140.0, 100.0], [196.0, 100.0]);
    pen.measure([184.0, 24.0], [184.0, 100.0]);
    pen.circle("dot", [120.0, 24.0], 3.0);
}

fn back(pen: &mut Pen) {
    blank_end(pen);
    drop(pen, 100.0, 8.0, 34.0);
    drop(pen, 120.0, 8.0, 24.0);
    pen.measure([100.0, 12.0], [120.0, 12.0]);
    pen.circle("dot", [120.0, 24.0], 3.0);
    pen.text("t small end", [92.0, 70.0], "front face");
}

fn exit(pen: &mut Pen) {
    pen.raw_path("part", "M14 104v-34h50v26h16v-26h70l-4 34M176 104l4 -34h46v34");
    pen.raw_path("part fill", "M65 94v-46q8 -8 14 0v46z");
    pen.path(
        "string",
        [[4.0, 46.0], [72.0, 44.0], [152.0, 70.0], [158.0, 104.0]],
        false,
    );
    drop(pen, 64.0, 18.0, 68.0);
    drop(pen, 150.0, 18.0, 70.0);
    pen.measure([64.0, 22.0], [150.0, 22.0]);
}

fn bridge_block(pen: &mut Pen) {
    pen.line("part", [10.0, 96.0], [230.0, 96.0]);
    pen.raw_path("part", "M60 96v-40h50v30h16v-30h70l6 40");
    pen.measure([44.0, 56.0], [44.0, 96.0]);
    pen.line("thin", [36.0, 56.0], [60.0, 56.0]);
    drop(pen, 60.0, 24.0, 56.0);
    drop(pen, 110.0, 24.0, 56.0);
    pen.measure([60.0, 30.0], [110.0, 30.0]);
    pen.text("t small", [128.0, 34.0], "slot");
}

fn heel(pen: &mut Pen) {
    pen.raw_path("part", "M14 30h120v64q-16 -2 -30 -30q-10 -20 -30 -22h-60z");
    pen.raw_path("part", "M134 24h96v80h-96");
    pen.line("thin", [134.0, 94.0], [176.0, 94.0]);
    pen.measure([166.0, 24.0], [166.0, 94.0]);
    pen.text("t small", [174.0, 64.0], "body");
    pen.text("t small", [40.0, 24.0], "board");
}

fn crown_shape(pen: &mut Pen) {
    pen.raw_path("part", "M70 106v-52l44 -14q10 -2 16 4l40 26v36");
}

fn land(pen: &mut Pen) {
    crown_shape(pen);
    pen.circle("dot", [120.0, 39.5], 3.5);
    for x in [92.0, 148.0] {
        pen.line("thin dash", [x, 22.0], [x, 106.0]);
    }
    pen.measure([70.0, 94.0], [92.0, 94.0]);
    pen.measure([148.0, 94.0], [170.0, 94.0]);
    pen.text("t small end", [64.0, 98.0], "land");
}

fn crown(pen: &mut Pen) {
    crown_shape(pen);
    pen.circle("dot", [120.0, 39.5], 3.5);
    pen.line("thin dash", [50.0, 39.5], [190.0, 39.5]);
    pen.text("t small end", [62.0, 54.0], "front");
    pen.text("t small", [176.0, 60.0], "back");
    pen.text("t small mid", [120.0, 26.0], "ridge");
}

fn kinds(pen: &mut Pen) {
    pen.raw_path("part", "M10 34h100v34h-100z");
    pen.raw_path("part fill", "M10 46h100v9h-100z");
    pen.raw_path("part", "M130 34h100v34h-100z");
    pen.raw_path("part fill", "M150 46h60a4.5 4.5 0 0 1 0 9h-60a4.5 4.5 0 0 1 0 -9z");
    pen.text("t small mid", [60.0, 90.0], "through");
    pen.text("t small mid", [180.0, 90.0], "drop-in");
}

#[cfg(test)]
mod tests {
    use super::*;
    use survey::{Kind, questions};

    #[test]
    fn every_reading_has_its_drawing() {
        for question in questions().filter(|q| matches!(q.kind, Kind::Length | Kind::Angle | Kind::Cents)) {
            if question.key == "target.offsets" {
                continue; // a wish, not a reading
            }
            assert!(how(question).is_some(), "{}", question.key);
        }
    }

    #[test]
    fn drawings_are_sound_svg() {
        for question in questions() {
            let Some(svg) = how(question) else { continue };
            assert!(usvg_like(&svg), "{svg}");
        }
    }

    /// Every tag that opens is closed, and no number is missing.
    fn usvg_like(svg: &str) -> bool {
        svg.matches("<svg").count() == svg.matches("</svg>").count() && !svg.contains("NaN") && !svg.contains("inf")
    }
}
