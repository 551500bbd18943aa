//! `[slot]` and `[bridge]`: at pitch first, then with the strings off.

use super::build::*;
use super::shared::*;
use super::when::*;

/// In the order in which they are asked, then what is not asked.
#[rustfmt::skip]
pub(super) const ROWS: &[Field] = &[
    choice("slot.read_by", &[("straightedge", "laid on the frets, reaching over the bridge"), ("reference saddle", "the old saddle or a dummy, strung up, then calipered")]).needed()
        .folded().ask(At::Along, "Slot read by", "The reference saddle needs no straightedge, but the action now and the nut.").when(SADDLE_MADE).start_with("straightedge"),
    choice("slot.taken", &[("at pitch", "strings on, the old saddle in place"), ("slack", "strings off; you also say what tension changes")])
        .default("at pitch")
        .folded().ask(At::Bridge, "Slot readings taken", "String tension tips the bridge and lifts the top. At pitch is better.").when(SADDLE_MADE).start_usual(),
    length("slot.edge_from_fret_12", Rule).is(FROM_FRET_12).ends()
        .value("end, length; straightedge").page("rule along each outer string: middle of fret 12's crown to the front edge of the slot")
        .ask(At::Along, "Fret 12 to the slot's front edge", "Steel rule along the outer string's run, fret 12's crown to the edge. 0.3 mm.").when(STRAIGHTEDGE)
        .help("The front edge is the one toward the nut, where the slot's front wall meets the bridge top. Measure under the bass string, then under the treble string."),
    choice("slot.bridge_side", &[("below", "the straightedge passes over it, and feelers go between"), ("above", "it lifts the straightedge, which lies on equal shims")])
        .page("on which side of the straightedge's line the bridge top stands at both ends; `bridge_top` is then given without a sign").otherwise("the sign of `bridge_top` says it")
        .ask(At::Bridge, "Bridge top against the straightedge's line", "Straightedge along the string, on the crowns of fret 1 and the joint fret.").when(STRAIGHTEDGE).optional()
        .help("Below: feelers fill the gap between straightedge and bridge top. Above: the bridge lifts the straightedge off the frets and no feeler goes under it. Lay equal shims on both frets, so thick that it clears the bridge, fill the gap that is left with feelers, and take that gap from the shims: 60 thou of shims and 35 thou of feelers is 25 thou above. Skip this where one end stands above and the other below, and write the signs yourself."),
    length("slot.bridge_top", Feeler).is(BRIDGE_TOP).ends()
        .value("end, length; straightedge").page("straightedge along each outer string on frets 1 and the joint fret, end over the slot's front edge: bridge top above it (+) or below it (-), by feelers; where it is above, the straightedge lies on equal shims on both frets, which are subtracted")
        .ask(At::Bridge, "Bridge top from the straightedge's line", "By feelers, less any shims, at the slot's edge. Sign only if no side is said.").when(STRAIGHTEDGE)
        .help("Lay a true straightedge along the run of each outer string, touching the crowns of fret 1 and the body-joint fret, and reach over the bridge. Read at the slot's front edge. Where no side was said before: negative if the straightedge passes above the bridge top, positive if the bridge top stands higher than its line."),
    length("slot.reference.contact_from_fret_12", Rule).is(FROM_FRET_12).ends().needed()
        .page("rule along each outer string: middle of fret 12's crown to the contact")
        .ask(At::Along, "Fret 12 to the contact of that saddle", "Steel rule along the string: fret 12's crown to where it bears. To 0.3 mm.").when(REFERENCE).start(Start::Copy("present.contact_from_fret_12")),
    angle("slot.lean").is(LEAN).needed()
        .page("of the front wall, square to the slot; positive with the top toward the nut. Dummy blank in the slot against a small square: offset over height")
        .ask(At::Bridge, "Lean of the slot", "Bevel gauge on the front wall or saddle; top toward the nut is +. Half a deg.").when(SADDLE_MADE)
        .help("The angle between the slot's front wall and a square to the fret plane, looked at end-on. Degrees such as `9 deg`, or rise over run such as `0.5 mm over 3.2 mm`. A slot that leans back is negative. An upright slot is 0. Lean decides what filing the crown costs in height, so take it with care."),
    length("slot.under_tension:bridge_top", Feeler).from(-3.0, 5.0).usual(-0.3, 2.0).hint("It is by how much the bridge top rises against the straightedge from slack to pitch.").ends()
        .page("rise of the bridge top against the straightedge")
        .ask(At::Bridge, "Rise of the bridge top from slack to pitch", "Same reading at pitch less the one slack; up is +. To 0.1 mm.").when(All(&[SLACK, STRAIGHTEDGE])),
    angle("slot.under_tension:lean").from(-5.0, 10.0).usual(-0.5, 4.0).hint("It is by how much the bridge tips toward the nut from slack to pitch.")
        .page("tip of the bridge toward the nut")
        .ask(At::Bridge, "Change of lean from slack to pitch", "Lean at pitch less lean slack; further forward is +. To half a degree.").when(SLACK),
    choice("bridge.string_exit", &[("pin holes", ""), ("tie block", "")]).needed().value("`\"pin holes\"` or `\"tie block\"`; required for break angles")
        .folded().ask(At::Bridge, "Where the strings leave the bridge", "Gives break angles and a check of the crown's back. Skip it if not read.").when(SADDLE_MADE).optional(),
    length("bridge.behind_slot", Rule).from(2.0, 80.0).usual(5.0, 35.0).hint("Measure from the front edge of the slot back to the front of the hole.").ends().needed()
        .page("from the slot's front edge back to the front of the hole")
        .ask(At::Bridge, "Slot's front edge back to the hole", "Rule or caliper along the outer string, to the front of the hole. 0.3 mm.").when(EXIT).start(Start::Same),
    length("bridge.above_bridge_top", Rule).from(-12.0, 12.0).usual(-6.0, 5.0).hint("Positive above the bridge top, negative below.").ends()
        .page("where the string leaves, above the bridge top (+) or below it (-)").default("0 mm")
        .folded().ask(At::Bridge, "Hole above the bridge top", "Where the string leaves it; 0 for a hole in the top, below is -.").when(EXIT).start_usual(),
    length("slot.depth", DepthRod).is(SLOT_DEPTH).ends()
        .value("end, length; required by straightedge, else wanted for the exposure").page("depth rod down the front wall")
        .ask(At::Slot, "Depth of the slot", "Depth rod down the front wall, slot mouth to floor. To 0.05 mm.").when(SADDLE_MADE).required(STRAIGHTEDGE).strings_off()
        .help("Clean the floor first. Measure along the wall, under the place of each outer string."),
    length("slot.width", Caliper).from(1.0, 15.0).usual(1.8, 7.0).hint("Measure with caliper jaws at both ends and the middle.")
        .page("caliper jaws at both ends and the middle; give the least. Warned of if missing")
        .ask(At::Slot, "Width of the slot", "Caliper jaws or feelers, both ends and middle; the narrowest. 0.02 mm.").when(SADDLE_MADE).optional().strings_off(),
    length("slot.length", Rule).is(LENGTH).page("caliper along the slot")
        .ask(At::Slot, "Length of the slot", "Caliper, end to end. To 0.1 mm. Skip it if the slot is open at the ends.").when(SADDLE_MADE).optional().strings_off(),
    length("slot.reference.height", Caliper).is(SADDLE_HEIGHT).ends().needed()
        .page("caliper on that saddle at the contact, bottom edge to ridge")
        .ask(At::Old, "Height of that saddle at the contact", "Caliper, bottom edge to ridge under the outer string. To 0.02 mm.").when(REFERENCE).strings_off(),
    length("slot.reference.back", Caliper).is(SADDLE_BACK).ends().needed()
        .page("caliper: front face to ridge at the contact")
        .ask(At::Old, "Contact back from its front face", "Caliper, front face to ridge under the outer string. To 0.05 mm.").when(REFERENCE).start(Start::Same).strings_off(),
    length("slot.under", Caliper).from(0.0, 6.0).usual(0.0, 3.0).hint("Measure what lies under the saddle, or write \"0 mm\".")
        .page("shim or pickup under the new saddle; with a reference saddle, what is more than lay under that one").default("0 mm")
        .folded().ask(At::Slot, "Anything under the new saddle", "Caliper on the shim or pickup that will lie under it; 0 for nothing.").when(SADDLE_MADE).start_usual().strings_off(),
    field("ask.assess", Kind::YesNo)
        .folded().ask(At::Wanted, "Shall it be asked whether a saddle is the remedy", "`bonewright assess` then has what it wants. Each reading may be skipped.").when(SADDLE_MADE).start_with("no")
        .help("The saddle may be good and the neck or the bridge at fault. Bridge, neck and air tell the cases apart before anything is cut."),
    field("slot.under_tension", Kind::Table)
        .value("table, with `taken = \"slack\"` only").page("what tension adds to the readings; read both before the strings came off"),
    field("slot.reference", Kind::Table).value("the table below; reference saddle"),
    length("slot.reference.action_12", Rule).is(ACTION_12).ends()
        .page("action at fret 12 with that saddle in").otherwise("`present.action_12`"),
    length("bridge.ramp_length", Rule).from(0.0, 20.0).usual(0.0, 10.0).hint("Measure from the front of the hole forward to where the ramp meets the bridge top.")
        .value("length, with `ramp_depth`").page("slotted or ramped hole: from the front of the hole forward to where the ramp meets the bridge top. Without it the string bends over the front edge of the hole"),
    length("bridge.ramp_depth", DepthRod).from(0.0, 10.0).usual(0.0, 5.0).hint("Measure down from the bridge top at the front of the hole.")
        .value("length, with `ramp_length`").page("depth of that slot or ramp below the bridge top at the front of the hole"),
    length("bridge.thickness", DepthRod).from(2.0, 30.0).usual(4.0, 13.0).hint("Depth rod over the edge of the bridge, beside the slot.").ends()
        .page("depth rod over the edge of the bridge, beside the slot")
        .ask(At::Remedy, "Thickness of the bridge", "Depth rod over the edge of the bridge, beside the slot. To 0.1 mm.").when(ASSESSED).optional().start(Start::Same),
    length("bridge.wood_under_slot", DepthRod).from(0.0, 20.0).usual(0.5, 8.0).hint("Thickness of the bridge less the depth of the slot.").ends()
        .page("wood left under the slot, if you can read it").otherwise("`thickness` less the slot's depth"),
    length("bridge.front_wall", Rule).from(0.5, 60.0).usual(2.0, 25.0).hint("Measure on the bridge top from the slot's front edge forward to the front of the bridge.").ends()
        .page("on the bridge top, from the slot's front edge forward to the front of the bridge")
        .ask(At::Remedy, "Wood in front of the slot", "Rule on the bridge top, from the slot forward to the bridge's edge. 0.3 mm.").when(ASSESSED).optional().start(Start::Same),
    name("bridge.wood", Woods)
        .value("name of a wood: `\"Indian rosewood\"`, `\"Brazilian rosewood\"`, `\"ebony\"`, `\"mahogany\"`, `\"padauk\"`, `\"sugar maple\"`, `\"black walnut\"`, `\"black cherry\"`, `\"yellow birch\"`, `\"American beech\"`, `\"white ash\"`, `\"black locust\"`").page("for the pressure on the front wall")
        .ask(At::Remedy, "Wood of the bridge", "It says how much the string may press on the wall in front of the saddle.").when(ASSESSED).optional(),
];
