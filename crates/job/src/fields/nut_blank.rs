//! `[nut_blank]`: the nut to make, where it stands, and what it is made of.

use super::build::*;
use super::shared::*;
use super::when::*;

/// What is read with the strings on, or wanted.
#[rustfmt::skip]
pub(super) const STRINGS_ON: &[Field] = &[
    length("nut_blank.board_width", Caliper).from(15.0, 120.0).usual(26.0, 75.0).hint("Measure across the board just in front of the nut.").needed()
        .page("caliper across the board just in front of the nut")
        .ask(At::Board, "Width of the board at the nut", "Caliper across the board just in front of the nut. To 0.1 mm.").when(NUT_MADE)
        .help("The finished nut is as long as the board is wide there."),
    length("nut_blank.margin", Rule).from(0.0, 15.0).usual(1.3, 6.0).hint("It is from the edge of the board to the outer string; say with margin_to whether to its centre or its side.").ends()
        .page("from the edge of the board to the outer string").otherwise("none, `strings.nut_spread` places the strings")
        .ask(At::Board, "Edge of the board to the outer string", "As you want it, to the centre or the side of the string; that comes next.").when(MARGIN).start(Start::Same)
        .help("About 3 mm on a guitar and 1.6 mm on a mandolin, to the side of the string (published). Less slips off the frets."),
    choice("nut_blank.margin_to", &[("side", "edge of the board to the side of the string"), ("centre", "edge of the board to the middle of the string")])
        .value("`\"centre\"` or `\"side\"` of the outer strings; required with `margin`")
        .folded().ask(At::Board, "That margin goes to", "To the side both outer strings look alike, although one is thicker.").when(MARGIN).start_with("side"),
    field("ask.posts", Kind::YesNo)
        .folded().ask(At::Board, "Have you read the posts", "Where each string leaves its post. The slots are then fanned toward them.").when(NUT_MADE).start_with("no"),
    angle("nut_blank.headstock").from(0.0, 45.0).usual(0.0, 20.0).hint("It is how far the headstock falls back from the fret plane; 0 where it runs level.")
        .page("how far the headstock falls back from the fret plane").otherwise("not known; then `post_below` or `fall` says how the slots fall")
        .ask(At::Board, "Angle of the headstock", "Bevel gauge: how far it falls back from the line of the frets; 0 for level.").when(NUT_MADE).required(Is("ask.posts", "no"))
        .help("The slots fall by half of it, so that the strings bear at the front edge. A level one does not tell that: say yes to the posts, and read how far they lie below the frets."),
    length("nut_blank.post_back", Rule).from(10.0, 300.0).usual(20.0, 220.0).hint("Measure from the front of the nut along the middle of the headstock.").strings()
        .page("from the front of the nut back to where the string leaves its post, along the middle of the headstock")
        .ask(At::Board, "Nut back to the post", "Rule along the middle of the headstock, nut's front to the post. To 1 mm.").when(POSTS)
        .help("Give one for each string, bass to treble, with `;` between: `54 mm; 92 mm; 130 mm; 130 mm; 92 mm; 54 mm`."),
    length("nut_blank.post_across", Rule).from(-80.0, 80.0).usual(-45.0, 45.0).hint("Negative on the bass side of the centre line, positive on the treble side.").strings()
        .page("from the centre line across to there, negative on the bass side; needed with `post_back`")
        .ask(At::Board, "Centre line across to the post", "Rule, to where the string leaves it; the bass side is -. To 0.5 mm.").when(POSTS)
        .help("One for each string, bass to treble, with `;` between. Bass side negative, treble side positive."),
    length("nut_blank.post_below", Rule).from(-5.0, 60.0).usual(1.0, 40.0).hint("Lay a straightedge on the frets, out over the headstock, and measure down to where the string leaves the post.").strings()
        .page("straightedge on the frets, out over the headstock: down to there").otherwise("`headstock` gives the bend")
        .ask(At::Board, "Post below the frets", "Straightedge on the frets, out over the headstock; down to the string there.").when(POSTS).optional()
        .help("Skip it, and the angle of the headstock gives the bend."),
];

/// The rest.
#[rustfmt::skip]
pub(super) const ROWS: &[Field] = &[
    length("nut_blank.fret_height", Feeler).from(0.2, 2.5).usual(0.5, 1.7).hint("Lay a straightedge over frets 1 and 2 and find the feelers that fill the gap to the board between them.").needed()
        .page("straightedge over frets 1 and 2, feelers under it down to the board")
        .ask(At::Seat, "Height of a fret over the board", "Straightedge on frets 1 and 2, feelers under it down to the board. 0.02 mm.").when(NUT_MADE).strings_off()
        .help("The slots are gauged over the board in front of the nut, so the height of a fret there goes into every one."),
    length("nut_blank.seat", DepthRod).from(0.0, 12.0).usual(1.0, 8.0).hint("Measure with a depth rod from the board's surface on the centre line down to where the nut stands.").needed()
        .page("depth rod: from the board's surface on the centre line down to where the nut stands")
        .ask(At::Seat, "Board down to the nut's seat", "Nut out: depth rod on the centre line, board to seat. To 0.05 mm.").when(NUT_MADE).strings_off()
        .help("Score the finish around the old nut, tap it loose from the fret side over a block of wood, and clean the seat down to the wood first. Measure from the surface of the board, not from a fret."),
    angle("nut_blank.fall").from(0.0, 45.0).usual(1.0, 15.0).hint("It is how steeply the slot floors fall toward the tuners, against the fret plane.")
        .page("fall of the slot floors toward the tuners").otherwise("half of the bend over the nut, which the posts give, else the headstock")
        .folded().ask(At::NutBlank, "Fall of the slots toward the tuners", "Skip it, and the slots fall by half of the bend over the nut.").when(NUT_MADE).optional(),
    name("nut_blank.material", Blanks).needed().page("chooses the cautions of pages, sheets and DXF")
        .ask(At::NutBlank, "Material of the nut", "It decides which caution on dust the sheets carry.").when(NUT_MADE).start_with("bone"),
    length("nut_blank.thickness", Caliper).from(1.5, 15.0).usual(2.8, 8.0).hint("Measure the blank with a caliper, front to back.").needed()
        .page("caliper, front to back; with a shelf this counts the shelf too")
        .ask(At::NutBlank, "Thickness of the nut's blank", "Caliper, front to back; with a shelf over the board this counts the shelf.").when(NUT_MADE),
    length("nut_blank.height", Caliper).from(2.0, 30.0).usual(4.0, 14.0).hint("Measure the blank from its bottom to its raw top.").needed()
        .page("bottom to raw top")
        .ask(At::NutBlank, "Height of the nut's blank", "Caliper, bottom to raw top.").when(NUT_MADE),
    length("nut_blank.length", Caliper).is(LENGTH)
        .page("end to end; the board stands in its middle").otherwise("the board's width")
        .folded().ask(At::NutBlank, "Length of the nut's blank", "Caliper, end to end. Skip it if it is as long as the board is wide.").when(NUT_MADE).optional(),
    number("nut_blank.shows", "").from(-1.0, 0.9).usual(0.0, 0.7).hint("0.5: half of each string shows; 0: it lies level with the top.")
        .value("-1 to 0.9").page("share of each string above the top").default("0.5")
        .folded().ask(At::NutBlank, "Share of each string above the top", "0.5 leaves half of each string showing (common practice, no source).").when(NUT_MADE).start_usual(),
    choice("ask.top", &[("follow", "a smooth line on which every string shows alike"), ("arc", "an arc of a radius that you give")])
        .folded().ask(At::NutBlank, "Top of the nut", "How the top runs across the strings.").when(NUT_MADE).start_with("follow"),
    length("nut_blank.top", RadiusGauge).is(BOARD_RADIUS)
        .value("`\"follow\"`, or a radius").page("a smooth line on which every string shows alike, or an arc").otherwise("follow")
        .ask(At::NutBlank, "Radius of the top", "Radius of the arc across the strings, such as that of the board.").when(Is("ask.top", "arc")),
    length("nut_blank.plain_allowance", Caliper).is(ALLOWANCE)
        .page("slot width over the gauge of plain strings").default("0.05 mm")
        .folded().ask(At::NutBlank, "Slot wider than a plain string by", "Too tight and it pings, too wide and it buzzes.").when(NUT_MADE).start_usual(),
    length("nut_blank.wound_allowance", Caliper).is(ALLOWANCE).page("the same for wound strings").default("0.08 mm")
        .folded().ask(At::NutBlank, "Slot wider than a wound string by", "A touch more, so that the winding passes.").when(NUT_MADE).start_usual(),
    length("nut_blank.proud", Caliper).from(0.0, 0.6).usual(0.0, 0.25).hint("It is what is left above the floor until the string has bedded in; {0.05 mm} is the default.")
        .page("depth left to the final stroke").default("0.05 mm")
        .folded().ask(At::NutBlank, "Depth left to the final stroke", "The string beds in, so the last stroke waits until it has been at pitch.").when(NUT_MADE).start_usual(),
    choice("nut_blank.front", &[("shelf", "each string has an edge of its own"), ("straight", "one shift of the whole front face")])
        .page("with `intonation = \"best-fit-with-nut\"` only: an edge of its own for each string, or one shift for all").default("shelf")
        .folded().ask(At::NutBlank, "Nut setbacks made as", "A shelf reaches over the board and can be taken off; a shift moves the face.").when(All(&[NUT_MADE, Any(&[Is("target.intonation", "best-fit-with-nut"), Is("ask.setbacks", "yes")])])).start_usual(),
];
