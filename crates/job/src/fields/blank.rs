//! `[blank]` and `[crown]`: what the saddle is made of.

use super::build::*;
use super::shared::*;

/// In the order in which they are asked, then what is not asked.
#[rustfmt::skip]
pub(super) const ROWS: &[Field] = &[
    choice("blank.kind", &[("through", "the slot is open at both ends"), ("drop-in", "the slot is closed at both ends")]).needed()
        .value("`\"through\"` (slot open at both ends) or `\"drop-in\"`; required")
        .ask(Blank, "Kind of saddle", "Look at the ends of the slot.").when(SADDLE_MADE).picture(P::Kinds),
    name("blank.material", Blanks).needed().page("chooses the cautions of pages, sheets and DXF")
        .ask(Blank, "Material", "Dust harms lungs: extract it and wear a mask rated for fine dust.").when(SADDLE_MADE),
    length("blank.thickness", Caliper).is(BLANK_THICKNESS).needed().page("caliper on every blank; do not trust its name")
        .ask(Blank, "Thickness", "Caliper, front face to back, as it fits the slot. To 0.02 mm.").when(SADDLE_MADE).start(Start::Copy("slot.width")).picture(P::Blank)
        .help("The thickness when it is fitted. Measure every blank; the packet is only a hint."),
    length("blank.height", Caliper).from(3.0, 40.0).usual(5.0, 22.0).hint("Measure the blank from bottom edge to raw top.").needed()
        .page("bottom edge to raw top")
        .ask(Blank, "Height of the raw blank", "Caliper, bottom edge to top. To 0.1 mm.").when(SADDLE_MADE).picture(P::Blank),
    length("blank.length", Caliper).is(LENGTH).needed().page("end to end")
        .ask(Blank, "Length", "Caliper, end to end. To 0.1 mm.").when(SADDLE_MADE).start(Start::Copy("slot.length")).picture(P::Blank),
    length("blank.bass_end", Rule).from(0.0, 100.0).usual(2.0, 60.0).hint("Measure from the bass end of the blank to the bass string.")
        .page("bass end of the blank to the bass string").otherwise("strings centred")
        .ask(Blank, "Bass end to the bass string", "Along the blank. Skip it to centre the strings on the blank.").when(SADDLE_MADE).optional().picture(P::Blank),
    length("blank.land", Caliper).from(0.0, 5.0).usual(0.2, 2.0).hint("It is the least material left between ridge and a face; {0.5 mm} is the default.")
        .page("least material between ridge and a face").default("0.5 mm")
        .ask(Blank, "Land", "Least material to leave between the ridge and a face.").when(SADDLE_MADE).start_usual().picture(P::Land),
    choice("crown.ridge", &[("smooth", "one flowing line through all contacts"), ("stepped", "square under each string, a ramp between")])
        .value("`\"smooth\"` from string to string, or `\"stepped\"`").default("smooth")
        .ask(Crown, "Ridge", "The line on which the strings bear.").when(SADDLE_MADE).start_usual().picture(P::Crown),
    length("crown.rounding", RadiusGauge).from(0.0, 5.0).usual(0.1, 2.0).hint("It is the radius of the rounding along the ridge; {0.5 mm} is the default.")
        .page("radius of the rounding along the ridge").default("0.5 mm")
        .ask(Crown, "Rounding of the ridge", "The radius you file it to.").when(SADDLE_MADE).start_usual().picture(P::Crown),
    angle("crown.front_fall").is(FALL)
        .value("angle by which the top falls in front of the ridge, in the blank").otherwise("chosen by the plan")
        .ask(Crown, "Fall in front of the ridge", "Downward toward the front face. Skip it to let the plan choose.").when(SADDLE_MADE).optional().picture(P::Crown),
    angle("crown.back_fall").is(FALL).value("angle by which it falls behind").otherwise("chosen by the plan")
        .ask(Crown, "Fall behind the ridge", "Downward toward the back face. Skip it to let the plan choose.").when(SADDLE_MADE).optional().picture(P::Crown),
];
