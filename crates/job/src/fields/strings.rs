//! `[strings]` and `[[string]]`: what they are and where they lie.

use super::build::*;
use super::shared::*;
use super::when::*;

/// In the order in which they are asked, then what is not asked.
#[rustfmt::skip]
pub(super) const ROWS: &[Field] = &[
    name("strings.set", Sets).page("or spell every string out")
        .ask(At::Wanted, "String set", "The set that will be on the instrument: gauge tells the sets apart.")
        .help("If none is close, answer `spelled out` and give each string. You can also take the nearest set and change single strings in the job file afterwards, by a [[string]] table."),
    whole("ask.count").from(1.0, 12.0)
        .ask(At::Wanted, "How many strings", "Count every string, so a pair counts as two. 1 to 12.").when(Is("strings.set", SPELLED_OUT)),
    field("string.note", Kind::Note).each_string().otherwise("`tuning`, else the set's")
        .ask(At::Each, "Open note", "With its octave, such as E2, F#3 or Bb3. The tuning fork is A4."),
    length("string.gauge", Micrometer).from(0.12, 4.0).usual(0.19, 2.8).hint("A gauge of 0.012 is in inches: write \"0.012 in\" or \"12 thou\".").each_string()
        .page("micrometer over the string; a long caliper flexes too much")
        .ask(At::Each, "Gauge", "Micrometer across the string, or the packet. To 0.0005 in (0.01 mm)."),
    choice("string.kind", &[("plain", ""), ("wound", "")]).each_string()
        .page("another kind than the set's drops what the set says of the construction")
        .ask(At::Each, "Plain or wound", "Look at the string."),
    choice("ask.string.data", &[("build", "from what it is made of"), ("measured", "you know its weight per length and stretch response")]).each_string()
        .ask(At::Each, "How its stiffness is known", "Choose measured for strings with a nylon or silk core.").start_with("build"),
    name("string.material", StringMaterials).each_string()
        .value("plain strings: name of a string material, `\"steel\"`, `\"nylon\"`, `\"fluorocarbon\"`, `\"gut\"`").page("no default")
        .ask(At::Each, "Material", "From the packet; a magnet holds steel.").when(PLAIN_BUILT),
    length("string.core", Micrometer).from(0.1, 2.0).usual(0.2, 1.3).hint("Measure the bare core at the ball end or beyond the tuner.").each_string()
        .value("wound strings: length").page("micrometer on the bare core at the ball end: diameter, or width across the flats")
        .otherwise("by a rule from the gauge, with a doubt, for steel and nylon cores")
        .ask(At::Each, "Core", "Micrometer on the bare core; hexagonal across its flats. Enter: by a rule.").when(WOUND_BUILT).optional()
        .help("Unwind a little of an old string of the same set, by the ball or the cut end, and measure the core. Without it a rule takes the core from the gauge, for steel and nylon cores: stretch stiffness is then sure to 20 %, by a measured core to 5 %. The cents read at fret 12 mend that, too."),
    choice("string.core_shape", &[("round", ""), ("hexagonal", "")]).each_string().default("round").page("hexagonal where a rule gives a steel core")
        .ask(At::Each, "Shape of the core", "Turn the bare core in the light: flats flash.").when(All(&[WOUND_BUILT, Given("string.core")])).start_usual(),
    name("string.core_material", StringMaterials).each_string().page("no default")
        .ask(At::Each, "Material of the core", "From the packet; a magnet holds steel.").when(WOUND_BUILT),
    name("string.wrap", WrapMetals).each_string().value("name of a wrap metal, such as `\"phosphor bronze\"`").page("no default")
        .ask(At::Each, "Wrap metal", "From the packet.").when(WOUND_BUILT),
    number("string.linear_density", "g/m").from(0.05, 60.0).usual(0.2, 30.0).hint("Weigh a measured length: grams divided by metres.").each_string()
        .page("weigh a measured length. Alone it replaces the mass worked out from the construction")
        .ask(At::Each, "Weight per length, g/m", "Weigh a measured length: grams divided by metres. To 1 in 100.").when(MEASURED_STRING),
    number("string.stretch_response", "").from(3.0, 500.0).usual(12.0, 250.0).hint("Nylon strings have about 20 to 30, steel strings about 50 to 170.").each_string()
        .value("R = dln f / dln L, no unit").page("how fast pitch rises with stretch, measured. Alone it replaces the stiffness of the construction")
        .ask(At::Each, "Stretch response", "Part of pitch gained over part of length gained; no unit. To 1 in 20.").when(MEASURED_STRING)
        .help("Stretch the string by a known small part of its length at the tuner and read the rise in pitch: the rise as a part of the frequency, divided by the stretch as a part of the length. From 22 to 29 in a published nylon set (J. Acoust. Soc. Am. 156, 683, 2024)."),
    field("strings.tuning", Kind::Notes)
        .value("list of note names, bass to treble; `\"E2\"`, `\"F#3\"`, `\"Bb3\"`; middle C is C4").otherwise("the set's own")
        .folded().ask(At::Wanted, "Tuning, bass to treble", "Such as D2 A2 D3 G3 B3 E4. Skip it to take the set's own tuning.").when(SetChosen).optional(),
    number("strings.a4", "Hz").from(300.0, 600.0).usual(390.0, 470.0).hint("Concert pitch is 440.").default("440")
        .folded().ask(At::Wanted, "A4 in Hz", "The pitch of the tuning fork or tuner.").start_usual(),
    field("strings.courses", Kind::Courses).from(1.0, 2.0).hint("A course is 1 string or a pair of 2.")
        .value("`\"single\"`, `\"pairs\"`, or a list of 1 and 2, bass to treble").otherwise("the set's own, else single")
        .ask(At::Wanted, "Courses", "single, pairs, or strings in each course bass to treble, such as 1 2 2 1.").when(All(&[Is("strings.set", SPELLED_OUT), ManyStrings])).start_with("single"),
    choice("ask.nut_places", &[("margin", "from the edges of the board to the outer strings"), ("spread", "centre to centre of the outer strings, set in the middle")])
        .folded().ask(At::Along, "Outer strings at the new nut placed by", "By margin you choose each edge; the margins are asked with the nut's blank.").when(All(&[ManyStrings, NUT_MADE])).start_with("margin"),
    length("strings.nut_spread", Rule).is(SPREAD)
        .value("length; required unless `nut_blank.margin` is given").page("caliper: centre to centre of the outer strings at the nut")
        .ask(At::Along, "String spread at the nut", "Rule, centre to centre of the outer strings, just before the nut. To 0.3 mm.").when(All(&[ManyStrings, Any(&[Is("ask.part", "saddle"), Is("ask.nut_places", "spread")])])),
    choice("strings.nut_spacing", SPACING).default("equal gaps")
        .folded().ask(At::Along, "Spacing at the nut", "Compare the gaps beside the thick strings with the thin ones.").when(ManyStrings).start_usual(),
    length("strings.nut_pair", Rule).is(PAIR)
        .value("length; required with pairs").page("centre to centre within a pair at the nut")
        .ask(At::Along, "Pair spacing at the nut", "Centre to centre of the two strings of a pair, at the nut. To 0.2 mm.").when(Pairs),
    length("strings.saddle_spread", Rule).is(SPREAD)
        .page("caliper: centre to centre of the outer strings at the saddle; the nut does not predict it").value("length; required")
        .ask(At::Along, "String spread at the saddle", "Rule, centre to centre of the outer strings, over the saddle. To 0.3 mm.").when(ManyStrings),
    choice("strings.saddle_spacing", SPACING).default("equal centres")
        .folded().ask(At::Along, "Spacing at the saddle", "Holes at even centres give equal centres.").when(ManyStrings).start_usual(),
    length("strings.saddle_pair", Rule).is(PAIR)
        .value("length; required with pairs").page("centre to centre within a pair at the saddle")
        .ask(At::Along, "Pair spacing at the saddle", "Centre to centre of the two strings of a pair, at the saddle. To 0.2 mm.").when(Pairs),
    length("strings.press", Rule).from(0.0, 15.0).usual(0.0, 12.0).hint("Write \"0 mm\" if you did not measure it.")
        .value("length, 0 or more").page("how far behind the crown the finger presses").default("0 mm")
        .folded().ask(At::Wanted, "Finger behind the fret", "How far behind the crown the player presses. 0 leaves it out.").start_usual(),
    whole("string.number").from(1.0, 12.0).hint("Strings are numbered from 1, the treble-most, to 12 at most.").needed().value("1 is the treble-most; required"),
    number("string.stretch_factor", "").from(0.3, 3.0).usual(0.5, 2.0).hint("It is what the fit after stringing up found; 1 leaves the string as it is described.")
        .value("0.3 to 3, no unit").page("factor on the string's stretch stiffness, as `bonewright fit` found it. Not beside a reading in `present.cents_12` of the same string")
        .ask(At::Unasked, "Factor on its stretch", "What the fit after stringing up found; 1 leaves it as described."),
    number("string.bending_factor", "").from(0.1, 10.0).usual(0.4, 2.5).hint("It is what the fit after stringing up found; 1 leaves bending as the string is described.")
        .value("0.1 to 10, no unit").page("further factor on its bending stiffness alone, as `bonewright fit` found it").default("1")
        .ask(At::Unasked, "Factor on its bending", "What the fit after stringing up found; 1 leaves it as described."),
    number("string.mass_factor", "").from(0.5, 2.0).usual(0.9, 1.1).hint("It is what the fit after stringing up found; 1 leaves the mass as the string is described.")
        .value("0.5 to 2, no unit").page("factor on its weight per length, as `bonewright fit` found it").default("1")
        .ask(At::Unasked, "Factor on its weight", "What the fit after stringing up found; 1 leaves it as described."),
    number("strings.ends", "").from(-1.0, 4.0).usual(0.5, 2.5).hint("It is 1 as published; half clamped ends make 1.1, a fret clamped by the finger 2.")
        .value("-1 to 4, no unit").page("how firmly the ends of the strings are held against bending: twice the fret's share of a clamp, and the saddle's, less the nut's").default("1"),
    number("strings.stand_off", "").from(-1.0, 2.0).usual(-0.5, 1.0).hint("It is 0 where strings bend sharply over the ridge, 1 by elastic theory; strings that took a set show about half.")
        .value("share, 0 to 1").page("how much of the elastic stand-off a string's straight line passes over its ridge by; the crown is made so much lower").default("0"),
];
