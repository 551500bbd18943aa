//! `[blank]` and `[crown]`: what the saddle is made of.

use super::build::*;
use super::shared::*;

/// The saddle stands in a slot that is open at both ends, or closed.
const THROUGH: When = All(&[SADDLE_MADE, Is("blank.kind", "through")]);
const DROP_IN: When = All(&[SADDLE_MADE, Is("blank.kind", "drop-in")]);

const WINGS: &str = "Stand the blank in the slot and trace the bridge on its end, or read the old saddle's end. Then take a few places of that line, from the end inward: how far in, a colon, how high over the slot's floor; the next place after a semicolon: \"0 mm: 5.5 mm; 4 mm: 6 mm; 10 mm: 8.5 mm\". Each is further in than the one before and no lower, and the last one is where the line meets the saddle's top. Skip it where the ends are to stay square; trace them at the bench then.";

/// In the order in which they are asked, then what is not asked.
#[rustfmt::skip]
pub(super) const ROWS: &[Field] = &[
    choice("blank.kind", &[("through", "the slot is open at both ends"), ("drop-in", "the slot is closed at both ends")]).needed()
        .value("`\"through\"` (slot open at both ends) or `\"drop-in\"`; required")
        .ask(At::Blank, "Kind of saddle", "Look at the ends of the slot.").when(SADDLE_MADE),
    name("blank.material", Blanks).needed().page("chooses the cautions of pages, sheets and DXF")
        .ask(At::Blank, "Material", "Dust harms lungs: extract it and wear a mask rated for fine dust.").when(SADDLE_MADE),
    length("blank.thickness", Caliper).is(BLANK_THICKNESS).needed().page("caliper on every blank; do not trust its name")
        .ask(At::Blank, "Thickness", "Caliper, front face to back, as it fits the slot. To 0.02 mm.").when(SADDLE_MADE).start(Start::Copy("slot.width"))
        .help("The thickness when it is fitted. Measure every blank; the packet is only a hint."),
    length("blank.height", Caliper).from(3.0, 40.0).usual(5.0, 22.0).hint("Measure the blank from bottom edge to raw top.").needed()
        .page("bottom edge to raw top")
        .ask(At::Blank, "Height of the raw blank", "Caliper, bottom edge to top. To 0.1 mm.").when(SADDLE_MADE),
    length("blank.length", Caliper).is(LENGTH).needed().page("end to end")
        .ask(At::Blank, "Length", "Caliper, end to end. To 0.1 mm.").when(SADDLE_MADE).start(Start::Copy("slot.length")),
    length("blank.bass_end", Rule).from(0.0, 100.0).usual(2.0, 60.0).hint("Measure from the bass end of the blank to the bass string.")
        .page("bass end of the blank to the bass string").otherwise("strings centred")
        .folded().ask(At::Blank, "Bass end to the bass string", "Along the blank. Skip it to centre the strings on the blank.").when(SADDLE_MADE).optional(),
    length("blank.land", Caliper).from(0.0, 5.0).usual(0.2, 2.0).hint("It is the least material left between ridge and a face; {0.5 mm} is the default.")
        .page("least material between ridge and a face").default("0.5 mm")
        .folded().ask(At::Blank, "Land", "Least material to leave between the ridge and a face.").when(SADDLE_MADE).start_usual(),
    length("blank.end_radius", RadiusGauge).from(0.0, 6.0).usual(0.5, 4.0).hint("It is the radius of the slot's round end, seen from above: half the slot's width as routers leave it.")
        .page("drop-in: radius of its ends seen from above, at most half its thickness").otherwise("half the blank's thickness, as the slot's round end is")
        .folded().ask(At::Blank, "Radius of the ends", "The slot's ends, from above. Skip it where they are round from wall to wall.").when(DROP_IN).optional()
        .help("A routed slot ends in a half circle, as wide as the slot; then skip this. A slot whose corners were squared with a chisel has a smaller radius: round a scrap until it drops in, and read that."),
    field("blank.wings", Kind::Table)
        .value("through saddle: table with `bass` and `treble`: the line to which its ends are blended, each a list of pairs, distance inward from the blank's end and height over the slot floor, or the same as text, `\"0 mm: 5.5 mm; 8 mm: 7 mm\"`").page("each place further in than the one before and no lower, until it meets the crown; the top is not higher. Drawn on the patterns, with a template for each end; the default of `[cut]`").otherwise("the ends are left as the crown leaves them"),
    contour("blank.wings.bass").needed()
        .page("at the bass end")
        .folded().ask(At::Blank, "Blended end, bass", "Places of its line: in from the end, up from the slot's floor. To 0.1 mm.").when(THROUGH).optional()
        .help(WINGS),
    contour("blank.wings.treble").needed()
        .page("at the treble end")
        .ask(At::Blank, "Blended end, treble", "The same at the other end: three to six places, the last one at the crown.").when(All(&[THROUGH, Given("blank.wings.bass")]))
        .help(WINGS),
    field("blank.glued", Kind::YesNo)
        .page("whether the new saddle is glued in once it is right").otherwise("`true` for a through saddle, whose open slot weakens the bridge without it; `false` for a drop-in (common practice)")
        .folded().ask(At::Blank, "Glued in at the end", "Common practice: a through saddle is glued, last of all; a drop-in never.").when(THROUGH).start_with("yes"),
    choice("crown.ridge", &[("smooth", "one flowing line through all contacts"), ("stepped", "square under each string, a ramp between")])
        .value("`\"smooth\"` from string to string, or `\"stepped\"`").default("smooth")
        .folded().ask(At::Blank, "Ridge", "The line on which the strings bear.").when(SADDLE_MADE).start_usual(),
    length("crown.rounding", RadiusGauge).from(0.0, 5.0).usual(0.1, 2.0).hint("It is the radius of the rounding along the ridge; {0.5 mm} is the default.")
        .page("radius of the rounding along the ridge").default("0.5 mm")
        .folded().ask(At::Blank, "Rounding of the ridge", "The radius you file it to.").when(SADDLE_MADE).start_usual(),
    angle("crown.front_fall").is(FALL)
        .value("angle by which the top falls in front of the ridge, in the blank").otherwise("chosen by the plan")
        .folded().ask(At::Blank, "Fall in front of the ridge", "Downward toward the front face. Skip it to let the plan choose.").when(SADDLE_MADE).optional(),
    angle("crown.back_fall").is(FALL).value("angle by which it falls behind").otherwise("chosen by the plan")
        .folded().ask(At::Blank, "Fall behind the ridge", "Downward toward the back face. Skip it to let the plan choose.").when(SADDLE_MADE).optional(),
];
