//! `[cut]` and `[nut_cut]`: how the blanks are cut.

use super::build::*;
use super::shared::*;

/// In the order in which they are asked, then what is not asked.
#[rustfmt::skip]
pub(super) const ROWS: &[Field] = &[
    choice("cut.setup", &[("on edge", "standing in a vise, for the crown"), ("flat", "lying on its front face, for the outline"), ("both", "flat, then on edge")])
        .value("`\"on edge\"` (standing in a vise, for the crown), `\"flat\"` (lying on its front face, for the outline) or `\"both\"` (flat, then on edge)").default("on edge")
        .set(At::Cutting, "How it stands", "On edge for the crown, flat for the outline. Usual: on edge.").when(SADDLE_MADE),
    name("cut.machine", Machines).otherwise("`\"small belt router\"`, an invented one: give your own in a profile file")
        .set(At::Cutting, "Machine", "The one that cuts it. The built-in ones are invented: add your own to your shop.").when(SADDLE_MADE),
    name("cut.rougher", Flats).value("name of a flat cutter; it cuts the outline too").otherwise("`\"flat 3 mm\"`")
        .set(At::Cutting, "Flat cutter", "It roughs, and cuts the outline. Usual: flat 3 mm.").when(SADDLE_MADE),
    name("cut.finisher", Balls).value("name of a ball or tapered ball, for the crown").otherwise("`\"ball 3 mm\"`")
        .set(At::Cutting, "Ball", "It finishes the crown. Usual: ball 3 mm.").when(SADDLE_MADE),
    name("cut.material", Cutting).otherwise("that of `blank.material`")
        .set(At::Cutting, "Cut like", "How the material is cut. Left empty: as the blank is.").when(SADDLE_MADE),
    number("cut.spindle", "rev/min").is(SPINDLE)
        .value("number").page("turns per minute wanted").otherwise("12000; kept within what machine and material bear")
        .set(At::Cutting, "Turns per minute", "Kept within what machine and material bear. Usual: 12000.").when(SADDLE_MADE),
    field("cut.stock", Kind::Table)
        .value("table with `thickness`, `height`, `length`, `bass_margin`: the stock as measured").otherwise("the blank"),
    choice("cut.zero", &[("seat", "the bottom edge; flat: the front face"), ("raw top", "the top of the stock")])
        .value("`\"seat\"` (bottom edge; flat: front face) or `\"raw top\"`: where Z is nought. Only the first tool ever touches the raw top; the sheet says what the others take their Z from").default("seat")
        .set(At::Cutting, "Where Z is nought", "Only the first tool ever touches the raw top. Usual: seat.").when(SADDLE_MADE),
    field("cut.vise", Kind::Table).value("table: the jaws, on edge"),
    field("cut.tape", Kind::Table).value("table: the tabs, flat"),
    choice("cut.ends", &[("square", "for the file to shape"), ("round", "from face to face"), ("winged", "to the contour of the ends")])
        .otherwise("round for a drop-in whose ends are round from face to face; winged where `blank.wings` has the contour (write `\"square\"` to leave the ends to the file); else square")
        .set(At::Cutting, "Ends", "Left empty: as the blank's own ends are.").when(SADDLE_MADE),
    field("cut.wings", Kind::Table)
        .value("table: the bridge's contour at each end, pairs of distance inward from the end and height over the slot floor, rising inward until it meets the crown; the top is not higher").page("required with winged ends unless `blank.wings` has it; better said there, and not otherwise here"),
    length("cut.leave_proud", Caliper).from(0.0, 3.0).usual(0.0, 1.0).hint("It is what the plan says to leave the whole saddle proud at first.")
        .page("the whole top is cut so much higher than planned: what the plan says to leave proud at first, to be taken off once the strings were read at pitch").default("0 mm")
        .set(At::Cutting, "Left proud", "The whole top so much higher than planned: what the plan says. Usual: 0.").when(SADDLE_MADE),
    length("cut.rough_allowance", Caliper).is(ROUGH_ALLOWANCE).page("left on by roughing").default("0.15 mm")
        .set(At::Cutting, "Left on by roughing", "For the ball to take off.").when(SADDLE_MADE),
    length("cut.scallop", Fine).from(0.0005, 0.1).usual(0.001, 0.02).hint("{0.005 mm} is the default; a file takes off the rest.")
        .page("highest ridge left between finishing passes; so high that the ball goes over the crown at most 1000 times").default("0.005 mm")
        .set(At::Cutting, "Ridges left", "Highest ridge between two passes; a file takes off the rest.").when(SADDLE_MADE),
    length("cut.clearance", Rule).is(CUT_CLEARANCE).page("rapid moves stay this far above stock and jaws").default("5 mm")
        .set(At::Cutting, "Clearance of rapid moves", "So far above stock and jaws.").when(SADDLE_MADE),
    choice("nut_cut.setup", &[("flat", "lying, for the outline"), ("on edge", "standing, for top and slots"), ("both", "flat, then on edge"), ("on end", "upright, for a saw"), ("flat and on end", "flat, then upright")])
        .value("`\"flat\"`, `\"on edge\"`, `\"both\"` (flat, then on edge), `\"on end\"` (for a saw) or `\"flat and on end\"`").default("both")
        .set(At::CuttingNut, "How it stands", "Usual: both.").when(NUT_MADE),
    name("nut_cut.machine", Machines).otherwise("that of `[cut]`")
        .set(At::CuttingNut, "Machine", "Left empty: that of the saddle.").when(NUT_MADE),
    name("nut_cut.rougher", Flats).value("name of the flat cutter for the outline").otherwise("that of `[cut]`")
        .set(At::CuttingNut, "Flat cutter", "For the outline. Left empty: that of the saddle.").when(NUT_MADE),
    field("nut_cut.slot_cutters", Kind::Names(Groovers))
        .value("list of names of fine balls, tapered balls or V cutters; each slot gets the one that goes deepest into it").otherwise("`[\"tapered ball 0.25 mm\", \"V 60 degrees\"]`")
        .set(At::CuttingNut, "Cutters for the slots", "Each slot gets the one that goes deepest into it.").when(NUT_MADE),
    field("nut_cut.saws", Kind::Names(Saws))
        .value("list of names of slitting saws on an arbor, for slots that run nearly straight across").otherwise("`[\"saw 0.3 mm\"]`")
        .set(At::CuttingNut, "Saws", "On an arbor, for slots that run nearly straight across.").when(NUT_MADE),
    length("nut_cut.slot_leave", Caliper).from(0.0, 2.0).usual(0.05, 0.5).hint("{0.1 mm} is the default; a gauged file takes the rest.")
        .page("grooves stop this far above the slots' floors, and never below `nut_blank.proud`").default("0.1 mm")
        .set(At::CuttingNut, "Left above the floors", "A gauged file takes the rest.").when(NUT_MADE),
    name("nut_cut.material", Cutting).value("as in `[cut]`")
        .set(At::CuttingNut, "Cut like", "How the material is cut. Left empty: as the blank is.").when(NUT_MADE),
    number("nut_cut.spindle", "rev/min").is(SPINDLE).value("number").page("turns per minute wanted").otherwise("that of `[cut]`")
        .set(At::CuttingNut, "Turns per minute", "Left empty: that of the saddle.").when(NUT_MADE),
    field("nut_cut.stock", Kind::Table).value("as in `[cut]`").page("`bass_margin` is from the stock's bass end to the finished nut's; without it the nut lies in the middle"),
    choice("nut_cut.zero", &[("seat", "the bottom edge; flat: the front face"), ("raw top", "the top of the stock")]).value("as in `[cut]`")
        .set(At::CuttingNut, "Where Z is nought", "Only the first tool ever touches the raw top. Usual: seat.").when(NUT_MADE),
    field("nut_cut.vise", Kind::Table).value("as in `[cut]`").page("`jaw_height` is the jaws' top above the seat; on end: how far they cover the nut up from its bottom edge. Without it a quarter of the stock's height, but 1 mm below the lowest groove; whole half millimetres, 2 mm at least"),
    field("nut_cut.tape", Kind::Table).value("as in `[cut]`"),
    length("nut_cut.rough_allowance", Caliper).is(ROUGH_ALLOWANCE).value("as in `[cut]`")
        .set(At::CuttingNut, "Left on by roughing", "For the last pass to take off.").when(NUT_MADE),
    length("nut_cut.clearance", Rule).is(CUT_CLEARANCE).value("as in `[cut]`")
        .set(At::CuttingNut, "Clearance of rapid moves", "So far above stock and jaws.").when(NUT_MADE),
    length("cut.stock.thickness", Caliper).is(BLANK_THICKNESS).page("front to back, by caliper").otherwise("that of the blank")
        .set(At::Cutting, "Stock, front to back", "Caliper. Left empty: as the blank.").when(SADDLE_MADE),
    length("cut.stock.height", Caliper).from(3.0, 60.0).usual(5.0, 30.0).hint("Measure it from bottom edge to raw top.")
        .page("bottom edge to raw top, with what is to be cut off").otherwise("that of the blank")
        .set(At::Cutting, "Stock, height", "Caliper, bottom edge to raw top. Left empty: as the blank.").when(SADDLE_MADE),
    length("cut.stock.length", Rule).from(15.0, 400.0).usual(25.0, 200.0).hint("Measure it from end to end.")
        .page("end to end").otherwise("that of the blank")
        .set(At::Cutting, "Stock, length", "Rule, end to end. Left empty: as the blank.").when(SADDLE_MADE),
    length("cut.stock.bass_margin", Rule).from(0.0, 200.0).usual(0.0, 40.0).hint("Write \"0 mm\" where they are the same.")
        .page("from the stock's bass end to the finished blank's").default("0 mm")
        .set(At::Cutting, "Stock beyond the bass end", "Rule, from the stock's bass end to the finished one's.").when(SADDLE_MADE),
    length("cut.vise.jaw_height", Caliper).from(0.5, 60.0).usual(2.0, 20.0).hint("Measure from the parallel's top, on which the blank stands, to the jaws' top.")
        .page("jaws' top above the parallel's, on which the blank stands").otherwise("two fifths of the stock's height, but 1 mm below the lowest cut; whole half millimetres, 3 mm at least")
        .set(At::Cutting, "Jaws, height", "Caliper, from the parallel that it stands on to the jaws' top.").when(SADDLE_MADE),
    length("cut.vise.jaw_thickness", Rule).from(1.0, 100.0).usual(5.0, 40.0).hint("Measure one jaw across the blank.")
        .page("one jaw, across the blank").default("12 mm")
        .set(At::Cutting, "Jaws, thickness", "Rule, one jaw, across the blank.").when(SADDLE_MADE),
    length("cut.vise.jaw_from", Rule).is(JAW_X)
        .page("where the jaws begin, along X from the stock's end at X 0").otherwise("10 mm before it")
        .set(At::Cutting, "Jaws begin", "Rule, along X from the stock's end at X 0; minus before it.").when(SADDLE_MADE),
    length("cut.vise.jaw_to", Rule).is(JAW_X).page("where they end").otherwise("10 mm past the stock")
        .set(At::Cutting, "Jaws end", "Rule, along X from the stock's end at X 0.").when(SADDLE_MADE),
    whole("cut.tape.tabs").from(0.0, 20.0).usual(0.0, 6.0).hint("Write 0 for a skin of the height tab_height.")
        .value("number of tabs that hold the part, flat: along its crown where the stock reaches far enough beyond it, else at the ends; where it does neither, the tape alone holds, and the sheet says so. 0: a skin around the whole part").default("2")
        .set(At::Cutting, "Tabs", "Flat: how many hold the part. 0: a skin around it.").when(SADDLE_MADE),
    length("cut.tape.tab_length", Caliper).from(0.5, 30.0).usual(2.0, 10.0).hint("{3 mm} to {5 mm} is usual.")
        .value("length of a tab").default("4 mm")
        .set(At::Cutting, "Tabs, length", "Flat: length of one.").when(SADDLE_MADE),
    length("cut.tape.tab_height", Caliper).from(0.05, 6.0).usual(0.15, 2.0).hint("{0.2 mm} as a skin, {0.6 mm} as tabs.")
        .value("height of tabs or skin above the table").default("0.6 mm")
        .set(At::Cutting, "Tabs, height", "Flat: height of tabs or skin above the table.").when(SADDLE_MADE),
    field("cut.wings.bass", Kind::Contour).needed().value("list of pairs").page("at the bass end"),
    field("cut.wings.treble", Kind::Contour).needed().value("list of pairs").page("at the treble end"),
    length("nut_cut.stock.thickness", Caliper).is(BLANK_THICKNESS).otherwise("that of the blank")
        .set(At::CuttingNut, "Stock, front to back", "Caliper. Left empty: as the blank.").when(NUT_MADE),
    length("nut_cut.stock.height", Caliper).from(3.0, 60.0).usual(5.0, 30.0).hint("Measure it from bottom edge to raw top.").otherwise("that of the blank")
        .set(At::CuttingNut, "Stock, height", "Caliper, bottom edge to raw top. Left empty: as the blank.").when(NUT_MADE),
    length("nut_cut.stock.length", Rule).from(15.0, 400.0).usual(25.0, 200.0).hint("Measure it from end to end.").otherwise("that of the blank")
        .set(At::CuttingNut, "Stock, length", "Rule, end to end. Left empty: as the blank.").when(NUT_MADE),
    length("nut_cut.stock.bass_margin", Rule).from(0.0, 200.0).usual(0.0, 40.0).hint("Write \"0 mm\" where they are the same.").default("0 mm")
        .set(At::CuttingNut, "Stock beyond the bass end", "Rule, from the stock's bass end to the finished one's.").when(NUT_MADE),
    length("nut_cut.vise.jaw_height", Caliper).from(0.5, 60.0).usual(2.0, 20.0).hint("Measure from the parallel's top, on which the blank stands, to the jaws' top.").otherwise("two fifths of the stock's height, but 1 mm below the lowest cut; whole half millimetres, 3 mm at least")
        .set(At::CuttingNut, "Jaws, height", "Caliper, from the parallel that it stands on to the jaws' top.").when(NUT_MADE),
    length("nut_cut.vise.jaw_thickness", Rule).from(1.0, 100.0).usual(5.0, 40.0).hint("Measure one jaw across the blank.").default("12 mm")
        .set(At::CuttingNut, "Jaws, thickness", "Rule, one jaw, across the blank.").when(NUT_MADE),
    length("nut_cut.vise.jaw_from", Rule).is(JAW_X).otherwise("10 mm before it")
        .set(At::CuttingNut, "Jaws begin", "Rule, along X from the stock's end at X 0; minus before it.").when(NUT_MADE),
    length("nut_cut.vise.jaw_to", Rule).is(JAW_X).otherwise("10 mm past the stock")
        .set(At::CuttingNut, "Jaws end", "Rule, along X from the stock's end at X 0.").when(NUT_MADE),
    whole("nut_cut.tape.tabs").from(0.0, 20.0).usual(0.0, 6.0).hint("Write 0 for a skin of the height tab_height.").default("2")
        .set(At::CuttingNut, "Tabs", "Flat: how many hold the part. 0: a skin around it.").when(NUT_MADE),
    length("nut_cut.tape.tab_length", Caliper).from(0.5, 30.0).usual(2.0, 10.0).hint("{3 mm} to {5 mm} is usual.").default("4 mm")
        .set(At::CuttingNut, "Tabs, length", "Flat: length of one.").when(NUT_MADE),
    length("nut_cut.tape.tab_height", Caliper).from(0.05, 6.0).usual(0.15, 2.0).hint("{0.2 mm} as a skin, {0.6 mm} as tabs.").default("0.6 mm")
        .set(At::CuttingNut, "Tabs, height", "Flat: height of tabs or skin above the table.").when(NUT_MADE),
];
