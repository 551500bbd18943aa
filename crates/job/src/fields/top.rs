//! The top of the file, and `[instrument]`: the job, its units, the neck.

use super::build::*;
use super::shared::*;
use super::when::*;

/// In the order in which they are asked, then what is not asked.
#[rustfmt::skip]
pub(super) const ROWS: &[Field] = &[
    field("title", Kind::Text).needed().value("one line of text, at most 200 characters")
        .ask(At::Job, "Name of the job", "A few words for the sheets: the instrument and the part."),
    field("notes", Kind::Text).value("any text").otherwise("none")
        .folded().ask(At::Job, "Notes", "Anything to remember, such as season, humidity, how hard it is played.").optional(),
    choice("ask.kind", &[("flat-top", "flat-top guitar, six steel strings"), ("parlour", "old flat-top or parlour, through saddle"), ("twelve-string", "twelve-string guitar"), ("nylon", "classical guitar, nylon strings"), ("ukulele", "soprano or concert"), ("tenor-ukulele", "tenor ukulele"), ("baritone-ukulele", "baritone ukulele"), ("mandolin", "mandolin"), ("other", "none of these: every answer is asked")])
        .ask(At::Job, "Kind of instrument", "What is usual on it is taken, and can be changed.").optional(),
    choice("ask.part", &[("saddle", "a saddle; the nut stays, or is cut to a gap you name"), ("nut", "a nut alone; the saddle is good and stays"), ("both", "saddle and nut, solved together")])
        .ask(At::Job, "Part to make", "What you will make. It decides which readings are needed.").start_with("saddle")
        .help("Nut and saddle are the two ends of one line, so a new nut changes the action at fret 12 by about half of itself. For a nut alone nothing is read in the slot; the plan then says what the nut does to the action. Several saddles in one bridge: answer the readings of the slot for one of them, and then add a [[saddle]] for each in the file, as examples/FORMAT.md shows."),
    choice("unit", &[("mm", ""), ("in", ""), ("thou", "thousandths of an inch")])
        .value("unit of bare numbers: `\"mm\"`, `\"in\"` or `\"thou\"`").otherwise("none: every length carries its unit")
        .ask(At::Job, "Unit of numbers without one", "Any length may carry its own unit. This one is for bare numbers.")
        .help("You may mix units as your tools do: `25 3/8 in`, `5/64 in`, `0.010 in`, `10 thou`, `3.2 mm`. A number without a unit takes the one chosen here."),
    choice("bench", &[("thou", "thousandths of an inch for everything"), ("imperial", "64ths for action, thou for feelers and caliper, fractions for rule"), ("metric", "millimetres")])
        .value("units that are shown first: `\"thou\"`, `\"imperial\"` (64ths for the action, thou for feelers and calipers, fractions for the rule) or `\"metric\"`; older files have `\"64ths\"` for imperial and `\"mm\"` for metric")
        .older(&[("64ths", "imperial"), ("mm", "metric")]).otherwise("thou if `unit` is in or thou, else metric")
        .folded().ask(At::Job, "Units shown first", "Tables and sheets show each length as your tools read it.").start(Start::Bench),
    field("left_handed", Kind::YesNo).value("`true` or `false`; sheets and programs are mirrored").default("no")
        .folded().ask(At::Job, "Left-handed instrument", "Sheets are mirrored for it. Bass and treble keep their names.").start_usual(),
    choice("paper", &[("A4", ""), ("Letter", "")]).default("A4")
        .folded().ask(At::Job, "Paper", "The sheets are drawn at true size for this paper.").start_usual(),
    choice("ask.scale", &[("nut to 12", "you measure from the nut to fret 12; it is doubled"), ("scale", "you know the length the frets were laid out for"), ("two scales", "fanned frets, with a length at each side")])
        .folded().ask(At::Along, "Scale length known by", "Measuring nut to fret 12 is the surer way.").start_with("nut to 12"),
    length("instrument.nut_to_12", Rule).is(NUT_TO_12)
        .value("length, doubled by the program").page("long steel rule: front of the nut to the middle of fret 12's crown")
        .ask(At::Along, "Nut to fret 12", "Steel rule: front of the nut to the middle of fret 12's crown. To 0.3 mm.").when(Is("ask.scale", "nut to 12"))
        .help("Lay the rule along the centre of the board. 0.3 mm here is 0.6 mm of scale. If the nut was moved forward on purpose, measure from where fret 0 would be and give the shift later as the nut's setback."),
    length("instrument.scale", Rule).is(SCALE)
        .value("length, or a table; or give `nut_to_12`").page("twice the length from nut to fret 12. Two, for fanned frets: `{ bass = .., treble = .., square = .. }`")
        .ask(At::Along, "Scale length", "The length the frets were laid out for, not nut to saddle. To 0.5 mm.").when(Is("ask.scale", "scale"))
        .help("It is twice nut to fret 12. Nut to saddle is longer, because saddles are set back."),
    length("instrument.scale:bass", Rule).is(SCALE).needed().page("along the outer bass string: twice the length from nut to fret 12")
        .ask(At::Along, "Scale length at the bass", "Along the outer bass string, nut to fret 12, doubled. To 0.5 mm.").when(TWO_SCALES),
    length("instrument.scale:treble", Rule).is(SCALE).needed().page("along the outer treble string")
        .ask(At::Along, "Scale length at the treble", "Along the outer treble string, nut to fret 12, doubled. To 0.5 mm.").when(TWO_SCALES),
    whole("instrument.scale:square").from(0.0, 36.0).usual(0.0, 17.0).hint("Count the frets to the one that stands square to the centre line; 0 where the nut is square.").needed()
        .page("the fret that stands square to the centre line")
        .ask(At::Along, "Fret that stands square", "The one at a right angle to the centre line; 0 where the nut is square.").when(TWO_SCALES)
        .help("Lay a square on the centre line. Toward the nut the frets lean one way from it, toward the body the other."),
    number("instrument.frets_factor", "").from(0.98, 1.02).usual(0.995, 1.005).hint("It is what the fit after stringing up found; 1 leaves the frets where they are said to be.")
        .value("0.98 to 1.02, no unit").page("factor on every fret's distance from the nut, as `bonewright fit` found it").default("1"),
    whole("instrument.joint_fret").from(2.0, 36.0).usual(10.0, 22.0).hint("Count the frets from the nut to where the neck meets the body.").needed()
        .page("the fret where neck and body meet")
        .ask(At::Along, "Fret at the body joint", "Count to the fret that stands where neck meets body. Often 12 or 14."),
    choice("ask.board", &[("flat", "as on most nylon-string guitars"), ("one radius", "the same all along"), ("two radii", "flatter toward the body")])
        .folded().ask(At::Frets, "Fingerboard", "Radius gauges on the fret crowns between the strings, at the nut and at 12."),
    length("instrument.board_radius", RadiusGauge).is(BOARD_RADIUS).needed()
        .value("`\"flat\"`, one length, or a table; required").page("radius gauge on the board, strings off or between them")
        .folded().ask(At::Frets, "Board radius", "The radius gauge that rocks least on the fret crowns. To the nearest gauge.").when(Is("ask.board", "one radius")).may_be_assumed("assumed.board_radius", "400 mm"),
    length("instrument.board_radius:nut", RadiusGauge).is(BOARD_RADIUS).needed().page("radius near the nut")
        .folded().ask(At::Frets, "Board radius at the nut", "Radius gauge on fret 1's crown: the one that rocks least.").when(Is("ask.board", "two radii")),
    length("instrument.board_radius:fret_12", RadiusGauge).is(BOARD_RADIUS).needed().page("radius at fret 12")
        .folded().ask(At::Frets, "Board radius at fret 12", "Radius gauge on fret 12's crown: the one that rocks least.").when(Is("ask.board", "two radii")),
    length("instrument.relief:gap", Feeler).is(RELIEF).needed().page("the gap read")
        .ask(At::Frets, "Relief", "A string held at fret 1 and the joint fret, feeler in the gap. To 1 thou.")
        .help("At pitch. Hold a string down at fret 1 and at the body-joint fret: it is your straightedge. Put feelers between its underside and the fret where the gap is widest. A back-bow is negative: measure it over the hump, with a straightedge shimmed level.")
        .may_be_assumed("assumed.relief", "0.2 mm"),
    whole("instrument.relief:fret").from(2.0, 35.0).hint("Give the number of the fret where the gap was read.").needed()
        .page("the fret over which it was read; the program works out mid-span")
        .folded().ask(At::Frets, "Fret where relief was read", "The fret under the feeler. Skip it if you read midway from 1 to the joint.").optional(),
    length("instrument.frets", Rule).from(1.0, 1200.0).hint("Measure each from fret 0, the front of the nut, to the middle of its crown.")
        .value("list of 12 to 36 lengths, fret 1 first; with two scale lengths a table").otherwise("equal temperament")
        .page("long rule or caliper: front of the nut to the middle of each crown, for frets that stand wrong or are not tempered equally. Those beyond the list divide the rest by equal temperament"),
    length("instrument.frets:bass", Rule).from(1.0, 1200.0).hint("Measure each from fret 0, the front of the nut, to the middle of its crown.").needed()
        .value("list of 12 to 36 lengths").page("along the outer bass string"),
    length("instrument.frets:treble", Rule).from(1.0, 1200.0).hint("Measure each from fret 0, the front of the nut, to the middle of its crown.").needed()
        .value("list of 12 to 36 lengths").page("along the outer treble string"),
    length("instrument.fret_wear", Feeler).from(0.0, 1.0).usual(0.0, 0.4).hint("It is how much lower the worn crown is than an unworn one.")
        .value("list of up to 36 heights, fret 1 first; 0 where a crown is not worn").otherwise("no wear")
        .page("short straightedge over the worn crown's neighbours, feeler under it. The fret plane is that of unworn crowns"),
    choice("decimal", &[(".", ""), (",", "")]).default(".")
        .value("decimal mark of lengths, angles and cents in quotes: `\".\"` or `\",\"`")
        .page("with `\",\"` a `\"3,2 mm\"` is read; a comma that may part thousands is refused still"),
    whole("format").from(0.0, 4_294_967_295.0).hint("Write format = 1.").needed().value("1, the version of this format"),
    length("instrument.relief", Feeler).is(RELIEF).needed()
        .value("length at mid-span, or a table; required").page("straightedge on the crowns of fret 1 and the joint fret, feeler under it. A back-bow is negative: shim the straightedge level and measure over the hump"),
];
