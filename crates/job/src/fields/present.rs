//! `[nut]`, `[present]` and `[target]`: the nut, the instrument as it stands, and what is wanted.

use super::build::*;
use super::shared::*;
use super::when::*;

/// In the order in which they are asked, then what is not asked.
#[rustfmt::skip]
pub(super) const ROWS: &[Field] = &[
    length("present.action_12", Rule).is(ACTION_12).strings()
        .page("rule that starts at its edge, or stepped gauges: crown of fret 12 to the underside of the open string, no capo")
        .ask(At::Frets, "Action at fret 12 now", "Rule on edge on fret 12, to the underside of the open string. To half a 64th.").required(Any(&[OPEN, CENTS, REFERENCE, SADDLE_STAYS]))
        .help("Use a rule whose scale starts at its very end, and look level with the string. The saddle has to change by about twice what you read here, so an error here counts double."),
    choice("ask.nut", &[("kept", "the nut stays as it is"), ("new", "you will make or recut the nut too"), ("zero fret", "the strings rest on a fret at the nut")])
        .folded().ask(At::Wanted, "Nut", "A change at the nut changes the action at fret 12 by about half of itself.").when(Is("ask.part", "saddle")).start_with("kept"),
    choice("ask.nut_reading", READ_BY)
        .folded().ask(At::Frets, "How you read the nut that is there", "Either will do. Open needs the present action at fret 12 as well.").when(NUT_NEEDED).start_with("open"),
    choice("nut.zero_fret", &[("kept", "it stays as it is"), ("dressed", "it is filed down"), ("new wire", "it is taken out for wire of another height")])
        .value("`\"kept\"`, `\"dressed\"` or `\"new wire\"`: the strings rest on a fret at the nut").page("a zero fret in place of a nut, and what is done to it. Read by one of the gaps below or by `zero_fret_above`. No setback, no new nut and no `best-fit-with-nut` beside it")
        .ask(At::Wanted, "What is done to the zero fret", "The plan counts on it: do it before the saddle.").when(ZERO_FRET).start_with("kept"),
    length("nut.dressed", Feeler).is(DRESSED).strings()
        .page("with `\"dressed\"`: by how much the zero fret's crown is filed down")
        .ask(At::Wanted, "Zero fret filed down by", "How much comes off its crown: to level with the others, or a little above.").when(Is("nut.zero_fret", "dressed")),
    length("nut.new_wire", Caliper).is(NEW_WIRE).strings()
        .page("with `\"new wire\"`: how far the new crown stands above (+) or below (-) the present one, dressed and polished. Caliper over both wires")
        .ask(At::Wanted, "New crown over the old", "How much higher the new crown will stand, dressed; lower is negative.").when(Is("nut.zero_fret", "new wire")),
    choice("ask.zero_reading", &[("held at 3", "gap over fret 1, string held down at fret 3"), ("open", "gap over fret 1, string open"), ("above", "its crown against a straightedge on the crowns of frets 1 and 2")])
        .folded().ask(At::Frets, "How you read the zero fret", "Each will do. Open needs the present action at fret 12 as well.").when(ZERO_FRET).start_with("held at 3"),
    length("nut.zero_fret_above", Feeler).is(ZERO_FRET_ABOVE).strings()
        .page("instead, with a zero fret: how far its crown stands above (+) or below (-) a straightedge on the crowns of frets 1 and 2; 0 where all are levelled")
        .ask(At::Frets, "Zero fret above the other crowns", "Short straightedge on frets 1 and 2, feelers at fret 0. 0 is level, lower -.").when(Is("ask.zero_reading", "above")).start_with("0 mm"),
    length("nut.first_fret_clearance", Feeler).is(FIRST_FRET_CLEARANCE).strings()
        .page("feeler over the crown of fret 1, string open. Needs `present.action_12`")
        .ask(At::Frets, "First-fret clearance now", "String open: feelers between fret 1 and the underside. To 1 thou (0.025 mm).").when(OPEN)
        .help("Slide feelers in until the next one lifts the string. Do not press the string behind or before."),
    length("nut.held_at_3", Feeler).is(HELD_AT_3).strings().page("instead: string held down at fret 3, feeler over fret 1")
        .ask(At::Frets, "Gap over fret 1, string held at 3", "Hold it down at fret 3, feelers over fret 1. To 1 thou (0.025 mm).").when(HELD)
        .help("Hold the string firmly on the crown of fret 3, and feel for the thickest leaf that passes over fret 1."),
    choice("ask.new_nut_reading", READ_BY)
        .folded().ask(At::Wanted, "How you say the height of the new slots", "Either will do. Open is with the action at fret 12 as it will then be.").when(NEW).start_with("open"),
    length("nut.new_clearance", Feeler).is(FIRST_FRET_CLEARANCE).strings()
        .page("the open gap over fret 1 that a new nut shall give, with the target action. May stand beside one of the above. It is met where the contact stands at last, with every setback made")
        .ask(At::Wanted, "First-fret clearance wanted", "Open gap over fret 1 with the new nut and the action as it will then be.").when(Is("ask.new_nut_reading", "open")),
    length("nut.new_held_at_3", Feeler).is(HELD_AT_3).strings()
        .page("instead: the gap over fret 1 that a new nut shall give with the string held at fret 3")
        .ask(At::Wanted, "Gap wanted over fret 1, string held at 3", "What the new nut shall leave over fret 1 with the string held at fret 3.").when(NEW_HELD),
    length("nut.setback", Caliper).from(-15.0, 8.0).usual(-5.0, 3.0).hint("Negative is toward the bridge. Compare nut to fret 12 with fret 12 to the octave's place.").strings()
        .page("contact of the present nut behind fret 0; negative is toward the bridge").default("0 mm")
        .folded().ask(At::Frets, "Nut contact behind fret 0", "0 on most. A nut moved toward the bridge is negative. Caliper, to 0.1 mm.").when(ON_NUT).start_usual()
        .help("Fret 0 is where the scale starts. A nut set forward, as -0.5 mm, shortens the way to fret 1."),
    field("ask.more", Kind::YesNo)
        .folded().ask(At::Wanted, "More readings than it needs", "They show slips and make it surer: old saddle by caliper, cents by tuner.").start_with("no")
        .help("A reading may be wrong, and each that stands by itself is believed. What is read in two ways is held against each other. Each of these may be skipped."),
    cents("present.cents_12").is(CENTS_12).listed()
        .value("list of cents, bass to treble, `\"-\"` where none was read").page("tuner: fretted note at 12 against the open string's octave, sharp positive. Calibrates the string. Needs the present nut, `action_12` and the contacts")
        .ask(At::Tuner, "Cents at fret 12, bass to treble", "Tuner: fretted at 12 against the harmonic, sharp is +. Such as 3 2 - 1 4 1.").when(MORE).optional()
        .help("Tune the open string, sound the harmonic at 12, then fret at 12 with the pressure of the player. Write what the fretted note is above (+) or below (-) the harmonic, one number a string with spaces between, and a single `-` where you did not read. Read each twice."),
    length("present.contact_from_fret_12", Rule).is(FROM_FRET_12).strings()
        .page("rule along the string: middle of fret 12's crown to the present contact on the saddle. Required where the saddle stays")
        .ask(At::Along, "Fret 12 to the contact now", "Steel rule along the string: fret 12's crown to where it bears. To 0.3 mm.").when(Any(&[MORE, SADDLE_STAYS])).required(Any(&[CENTS, SADDLE_STAYS]))
        .help("The string bears on the saddle where it starts to bend down. Slip paper under it to find the place."),
    length("present.exposure", DepthRod).is(EXPOSURE).listed().value("strings, length").page("up the old saddle's front face, from the bridge top to the ridge")
        .ask(At::Over, "Old saddle above the bridge top", "Depth rod or rule up its front face, bridge top to ridge under the string.").when(MORE_OF_SADDLE).optional()
        .help("Together with the saddle's height in hand it says how deep the slot is, and so checks the depth rod."),
    length("present.over_bridge", Caliper).is(OVER_BRIDGE).listed().value("strings, length").page("from the bridge top at the slot's front edge square up to the underside of the string")
        .ask(At::Over, "String over the bridge top", "Caliper, at the slot's front edge: bridge top up to the string's underside.").when(MORE_OF_SADDLE).optional()
        .help("It ties the bridge top to the strings without the straightedge, whose errors it shows."),
    length("present.saddle_height", Caliper).is(SADDLE_HEIGHT).hint("Measure the old saddle with a caliper from bottom edge to ridge.").listed().value("strings, length").page("caliper on the old saddle at the contact, bottom edge to ridge")
        .ask(At::Old, "Height of the old saddle", "Caliper, bottom edge to ridge under the string's mark. To 0.02 mm.").when(All(&[MORE_OF_SADDLE, STRAIGHTEDGE])).optional().strings_off(),
    length("present.saddle_back", Caliper).is(SADDLE_BACK).hint("Measure from the front face of the old saddle to its ridge.").listed().value("strings, length").page("caliper on it: front face to ridge at the contact")
        .ask(At::Old, "Its contact back from the front face", "Caliper, front face to ridge under the string's mark. To 0.05 mm.").when(All(&[MORE_OF_SADDLE, STRAIGHTEDGE])).optional().strings_off(),
    field("present.glued", Kind::YesNo)
        .page("whether the old saddle is glued in: the steps then say how it comes out").otherwise("nothing is said of it")
        .folded().ask(At::Bridge, "Old saddle glued in", "Look for glue at its ends and along it. Skip it if it comes out by hand.").when(SADDLE_MADE).optional(),
    length("target.action_12", Rule).is(ACTION_12).strings().needed()
        .ask(At::Wanted, "Action wanted at fret 12", "Gap from fret 12's crown to the underside of the open string.").when(SADDLE_MADE)
        .help("Common practice, no source: steel strings about 2.4 mm bass and 1.6 to 2 mm treble, nylon about 4 mm and 3 mm. A hard player wants more."),
    choice("target.intonation", &[("octave", "fret 12 in tune with the open string"), ("best-fit", "least error over frets 1 to 12, saddle alone"), ("best-fit-with-nut", "least error over frets 1 to 12, nut moved too"), ("offsets", "you give each string's setback yourself")]).needed()
        .value("required: `\"octave\"` (fret 12 in tune), `\"best-fit\"` (least error over frets 1 to 12), `\"best-fit-with-nut\"` (saddle and nut together), `\"offsets\"` (setbacks given)")
        .folded().ask(At::Wanted, "Intonation", "What decides how far back each string's contact goes.").when(SADDLE_MADE).start_with("octave"),
    field("ask.setbacks", Kind::YesNo)
        .folded().ask(At::Wanted, "Nut setbacks for intonation", "Each string's edge moved a little for the least error over frets 1 to 12.").when(SADDLE_STAYS).start_with("no")
        .help("The saddle holds, so only the nut can do something for the intonation. The plan shows what it would be worth."),
    length("target.offsets", Rule).from(-15.0, 30.0).usual(-1.0, 10.0).hint("It is how far the contact lies beyond the scale length.").strings()
        .value("length per string, with `\"offsets\"` only: contact beyond the scale length")
        .ask(At::Wanted, "Setback at the saddle", "How far behind the scale length the contact goes; negative is toward the nut.").when(Is("target.intonation", "offsets")),
    field("target.action_at", Kind::Other)
        .value("`{ fret = 5, action = .., weight = 1 }`").page("an action wished at a second fret. The string's line is then that of weighted least squares between both wishes"),
    whole("target.action_at:fret").from(1.0, 24.0).hint("Give a fret from 1 to 24; fret 12 has its wish in target.action_12.").needed()
        .value("1 to 24, not 12").page("the second fret; not 1 beside `nut.new_clearance`, which is the wish there"),
    length("target.action_at:action", Rule).is(ACTION_AT).strings().needed().page("wanted gap from that fret's crown to the underside of the open string"),
    number("target.action_at:weight", "").is(WEIGHT).default("1").value("number").page("weight beside `action_12`, which has 1"),
];
