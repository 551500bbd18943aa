//! `[cut]` and `[nut_cut]`: how the blanks are cut.

use super::build::*;
use super::shared::*;

/// In the order in which they are asked, then what is not asked.
#[rustfmt::skip]
pub(super) const ROWS: &[Field] = &[
    choice("cut.setup", &[("on edge", ""), ("flat", ""), ("both", "")])
        .value("`\"on edge\"` (standing in a vise, for the crown), `\"flat\"` (lying on its front face, for the outline) or `\"both\"` (flat, then on edge)").default("on edge"),
    name("cut.machine", Machines).otherwise("`\"small belt router\"`, an invented one: give your own in a profile file"),
    name("cut.rougher", Cutters).value("name of a flat cutter; it cuts the outline too").otherwise("`\"flat 3 mm\"`"),
    name("cut.finisher", Cutters).value("name of a ball or tapered ball, for the crown").otherwise("`\"ball 3 mm\"`"),
    name("cut.material", Cutting).otherwise("that of `blank.material`"),
    number("cut.spindle", "rev/min").is(SPINDLE)
        .value("number").page("turns per minute wanted").otherwise("12000; kept within what machine and material bear"),
    field("cut.stock", Kind::Table)
        .value("table with `thickness`, `height`, `length`, `bass_margin`: the stock as measured").otherwise("the blank"),
    choice("cut.zero", &[("seat", ""), ("raw top", "")])
        .value("`\"seat\"` (bottom edge; flat: front face) or `\"raw top\"`: where Z is nought. Only the first tool ever touches the raw top; the sheet says what the others take their Z from").default("seat"),
    field("cut.vise", Kind::Table).value("table: the jaws, on edge"),
    field("cut.tape", Kind::Table).value("table: the tabs, flat"),
    choice("cut.ends", &[("square", ""), ("round", ""), ("winged", "")])
        .otherwise("round for a drop-in whose ends are round from face to face; winged where `blank.wings` has the contour (write `\"square\"` to leave the ends to the file); else square"),
    field("cut.wings", Kind::Table)
        .value("table: the bridge's contour at each end, pairs of distance inward from the end and height over the slot floor, rising inward until it meets the crown; the top is not higher").page("required with winged ends unless `blank.wings` has it; better said there, and not otherwise here"),
    length("cut.rough_allowance", Caliper).is(ROUGH_ALLOWANCE).page("left on by roughing").default("0.15 mm"),
    length("cut.scallop", Fine).from(0.0005, 0.1).usual(0.001, 0.02).hint("{0.005 mm} is the default; a file takes off the rest.")
        .page("highest ridge left between finishing passes; so high that the ball goes over the crown at most 1000 times").default("0.005 mm"),
    length("cut.clearance", Rule).is(CUT_CLEARANCE).page("rapid moves stay this far above stock and jaws").default("5 mm"),
    choice("nut_cut.setup", &[("flat", ""), ("on edge", ""), ("both", ""), ("on end", ""), ("flat and on end", "")])
        .value("`\"flat\"`, `\"on edge\"`, `\"both\"` (flat, then on edge), `\"on end\"` (for a saw) or `\"flat and on end\"`").default("both"),
    name("nut_cut.machine", Machines).otherwise("that of `[cut]`"),
    name("nut_cut.rougher", Cutters).value("name of the flat cutter for the outline").otherwise("that of `[cut]`"),
    field("nut_cut.slot_cutters", Kind::Other)
        .value("list of names of fine balls, tapered balls or V cutters; each slot gets the one that goes deepest into it").otherwise("`[\"tapered ball 0.25 mm\", \"V 60 degrees\"]`"),
    field("nut_cut.saws", Kind::Other)
        .value("list of names of slitting saws on an arbor, for slots that run nearly straight across").otherwise("`[\"saw 0.3 mm\"]`"),
    length("nut_cut.slot_leave", Caliper).from(0.0, 2.0).usual(0.05, 0.5).hint("{0.1 mm} is the default; a gauged file takes the rest.")
        .page("grooves stop this far above the slots' floors, and never below `nut_blank.proud`").default("0.1 mm"),
    name("nut_cut.material", Cutting).value("as in `[cut]`"),
    number("nut_cut.spindle", "rev/min").is(SPINDLE).value("number").page("turns per minute wanted").otherwise("that of `[cut]`"),
    field("nut_cut.stock", Kind::Table).value("as in `[cut]`").page("`bass_margin` is from the stock's bass end to the finished nut's; without it the nut lies in the middle"),
    choice("nut_cut.zero", &[("seat", ""), ("raw top", "")]).value("as in `[cut]`"),
    field("nut_cut.vise", Kind::Table).value("as in `[cut]`").page("`jaw_height` is the jaws' top above the seat; on end: how far they cover the nut up from its bottom edge. Without it a quarter of the stock's height, but 1 mm below the lowest groove; whole half millimetres, 2 mm at least"),
    field("nut_cut.tape", Kind::Table).value("as in `[cut]`"),
    length("nut_cut.rough_allowance", Caliper).is(ROUGH_ALLOWANCE).value("as in `[cut]`"),
    length("nut_cut.clearance", Rule).is(CUT_CLEARANCE).value("as in `[cut]`"),
    length("cut.stock.thickness", Caliper).is(BLANK_THICKNESS).page("front to back, by caliper").otherwise("that of the blank"),
    length("cut.stock.height", Caliper).from(3.0, 60.0).usual(5.0, 30.0).hint("Measure it from bottom edge to raw top.")
        .page("bottom edge to raw top, with what is to be cut off").otherwise("that of the blank"),
    length("cut.stock.length", Rule).from(15.0, 400.0).usual(25.0, 200.0).hint("Measure it from end to end.")
        .page("end to end").otherwise("that of the blank"),
    length("cut.stock.bass_margin", Rule).from(0.0, 200.0).usual(0.0, 40.0).hint("Write \"0 mm\" where they are the same.")
        .page("from the stock's bass end to the finished blank's").default("0 mm"),
    length("cut.vise.jaw_height", Caliper).from(0.5, 60.0).usual(2.0, 20.0).hint("Measure from the parallel's top, on which the blank stands, to the jaws' top.")
        .page("jaws' top above the parallel's, on which the blank stands").otherwise("two fifths of the stock's height, but 1 mm below the lowest cut; whole half millimetres, 3 mm at least"),
    length("cut.vise.jaw_thickness", Rule).from(1.0, 100.0).usual(5.0, 40.0).hint("Measure one jaw across the blank.")
        .page("one jaw, across the blank").default("12 mm"),
    length("cut.vise.jaw_from", Rule).is(JAW_X)
        .page("where the jaws begin, along X from the stock's end at X 0").otherwise("10 mm before it"),
    length("cut.vise.jaw_to", Rule).is(JAW_X).page("where they end").otherwise("10 mm past the stock"),
    whole("cut.tape.tabs").from(0.0, 20.0).usual(0.0, 6.0).hint("Write 0 for a skin of the height tab_height.")
        .value("number of tabs that hold the part, flat: along its crown where the stock reaches far enough beyond it, else at the ends; where it does neither, the tape alone holds, and the sheet says so. 0: a skin around the whole part").default("2"),
    length("cut.tape.tab_length", Caliper).from(0.5, 30.0).usual(2.0, 10.0).hint("{3 mm} to {5 mm} is usual.")
        .value("length of a tab").default("4 mm"),
    length("cut.tape.tab_height", Caliper).from(0.05, 6.0).usual(0.15, 2.0).hint("{0.2 mm} as a skin, {0.6 mm} as tabs.")
        .value("height of tabs or skin above the table").default("0.6 mm"),
    field("cut.wings.bass", Kind::Contour).needed().value("list of pairs").page("at the bass end"),
    field("cut.wings.treble", Kind::Contour).needed().value("list of pairs").page("at the treble end"),
];
