//! `[tolerance]` and `[uncertainty]`: what counts as good, and how sure the readings are.

use super::build::*;
use super::shared::*;
use super::when::STRAIGHTEDGE;

/// In the order in which they are asked, then what is not asked.
#[rustfmt::skip]
pub(super) const ROWS: &[Field] = &[
    length("tolerance.action", Caliper).from(0.005, 2.0).usual(0.03, 0.5).hint("It is how far the action at fret 12 may lie from the target and still be good; {0.1 mm} is the default.")
        .page("good within this of the target at fret 12").default("0.1 mm")
        .set(At::Good, "Good within, action", "Of the wish, at fret 12."),
    cents("tolerance.cents").from(0.1, 50.0).usual(0.5, 10.0).hint("It is how far fret 12 may lie from the plan and still be good; 3 cents is the default.")
        .page("good within this of the plan at fret 12; a string held at the land that is in tune at fret 12 within this asks for no way out").default("3")
        .set(At::Good, "Good within, cents", "Of the plan, at fret 12."),
    number("tolerance.confidence", "").from(0.5, 0.9999).usual(0.8, 0.999).hint("Write 0.95 for 95 in 100; that is the default.")
        .value("0.5 to 0.9999, for the height to leave proud").default("0.95")
        .set(At::Good, "Left proud by chance", "Share of pieces that shall not come out low: 0.95 is 95 in 100."),
    whole("tolerance.samples").from(100.0, 10_000_000.0).usual(1000.0, 2_000_000.0).hint("It is how many instruments are tried; 20000 is the default.")
        .value("how many instruments are tried, 100 to 10000000").default("20000")
        .folded().set(At::Good, "Instruments tried", "A whole number. More of them tell the chances finer, and take longer."),
    whole("tolerance.seed").from(0.0, 4_294_967_295.0).hint("Any whole number from 0 up; the same one gives the same result.")
        .value("whole number; the same one gives the same result").default("1")
        .folded().set(At::Good, "Number of the draw", "The same number tries the same instruments again; another one tries others."),
    length("uncertainty.relief", Fine).is(UNSURE_HEIGHT).default("0.025 mm")
        .set(At::Sure, "Relief, sure to", "Feelers under the straightedge."),
    number("uncertainty.board_radius", "").is(UNSURE_SHARE).value("share of itself").default("0.05")
        .folded().set(At::Sure, "Radius of the board, sure to", "As a share of itself: 0.05 is 5 in 100."),
    length("uncertainty.first_fret_clearance", Fine).is(UNSURE_HEIGHT).paired()
        .value("paired; also the gap held at fret 3, and what a new nut is cut to").default("0.025 mm")
        .set(At::Sure, "Gap over fret 1, sure to", "Feelers, open or held at fret 3; also what a new nut is cut to."),
    length("uncertainty.present_action", Fine).is(UNSURE_HEIGHT).paired().default("0.1 mm")
        .set(At::Sure, "Action, sure to", "As you read it at fret 12."),
    length("uncertainty.slot_edge", Fine).is(UNSURE_PLACE).paired().default("0.3 mm")
        .set(At::Sure, "Fret 12 to the slot's edge, sure to", "Steel rule.").when(STRAIGHTEDGE),
    length("uncertainty.bridge_top", Fine).is(UNSURE_HEIGHT).paired().default("0.15 mm")
        .set(At::Sure, "Bridge top from the line, sure to", "Straightedge and feelers.").when(STRAIGHTEDGE),
    length("uncertainty.slot_depth", Fine).is(UNSURE_HEIGHT).paired().default("0.05 mm")
        .set(At::Sure, "Depth of the slot, sure to", "Depth rod.").when(SADDLE_MADE),
    angle("uncertainty.lean").from(0.0, 10.0).usual(0.0, 3.0).hint("Two readings in three lie within it. By eye it is about 1 degree, by a gauge less; 0 leaves it out.")
        .otherwise("1 degree")
        .set(At::Sure, "Lean of the slot, sure to", "In degrees; by a bevel gauge it is surer than by eye. Left empty: 1 degree.").when(SADDLE_MADE),
    length("uncertainty.reference_contact", Fine).is(UNSURE_PLACE).paired().default("0.3 mm")
        .folded().set(At::Sure, "Fret 12 to the old saddle's contact, sure to", "Steel rule.").when(SADDLE_MADE),
    length("uncertainty.reference_height", Fine).is(UNSURE_HEIGHT).paired().default("0.02 mm")
        .folded().set(At::Sure, "Height of the old saddle, sure to", "Caliper.").when(SADDLE_MADE),
    length("uncertainty.reference_back", Fine).is(UNSURE_PLACE).paired().default("0.1 mm")
        .folded().set(At::Sure, "Contact back on the old saddle, sure to", "Caliper.").when(SADDLE_MADE),
    number("uncertainty.stretch", "").is(UNSURE_SHARE).page("stretch stiffness of every string")
        .otherwise("by what is known of each: 0.02 plain steel, 0.05 a core or response of its own `[[string]]`, 0.15 the set's, 0.2 by a rule from the gauge, 0.4 plain nylon, fluorocarbon or gut by its material")
        .folded().set(At::Sure, "Stretch of the strings, known to", "As a share of itself. Left empty: by what is known of each string."),
    number("uncertainty.stretch_calibrated", "").is(UNSURE_SHARE)
        .page("the same, where a cents reading or a `stretch_factor` calibrates it").default("0.08")
        .folded().set(At::Sure, "Stretch as cents told it, known to", "As a share of itself, where a reading of cents told it."),
    length("uncertainty.seating", Fine).is(UNSURE_HEIGHT)
        .page("how well the saddle sits on the floor of the slot").default("0.03 mm")
        .folded().set(At::Sure, "Seat of the new saddle, sure to", "How well it sits on the floor of the slot.").when(SADDLE_MADE),
    length("uncertainty.made_height", Fine).is(UNSURE_HEIGHT).page("height as made").default("0.025 mm")
        .set(At::Sure, "Height as you make it, sure to", "How near your file comes to the planned height.").when(SADDLE_MADE),
    length("uncertainty.made_ridge", Fine).is(UNSURE_PLACE).page("ridge as made, front to back").default("0.1 mm")
        .set(At::Sure, "Ridge as you make it, sure to", "How near it comes to its place, front to back.").when(SADDLE_MADE),
    length("uncertainty.nut_to_12", Fine).is(UNSURE_PLACE).page("nut to fret 12, by a steel rule").default("0.2 mm")
        .folded().set(At::Sure, "Nut to fret 12, sure to", "Steel rule."),
    length("uncertainty.straightedge", Fine).is(UNSURE_HEIGHT).page("the straightedge's own error where it reaches the saddle, the same at both ends").default("0.05 mm")
        .folded().set(At::Sure, "Your straightedge, true to", "Its own error where it reaches the saddle.").when(STRAIGHTEDGE),
    length("uncertainty.floor_bow", Fine).is(UNSURE_HEIGHT).page("middle of the slot's floor off the line through its ends").default("0.03 mm")
        .folded().set(At::Sure, "Floor of the slot, true to", "Its middle off the line through its ends.").when(SADDLE_MADE),
    length("uncertainty.old_seat", Fine).is(UNSURE_HEIGHT).page("present or reference saddle off the floor of the slot, each end").default("0.03 mm")
        .folded().set(At::Sure, "Seat of the old saddle, sure to", "How far it may stand off the floor of the slot, each end.").when(SADDLE_MADE),
    number("uncertainty.mass", "").is(UNSURE_SHARE).page("weight per length of each string").default("0.02")
        .folded().set(At::Sure, "Weight of the strings, known to", "As a share of itself."),
    number("uncertainty.ends", "").from(0.0, 2.0).usual(0.0, 0.6).hint("How firmly nut, fret and saddle hold a string's ends counts 1.0 as published; 0.3 is how far that may be off.")
        .value("number").page("how the ends of the strings hold: twice the fret and the saddle less the nut, each 0 (as on a hinge) to 1 (clamped), about 1.0").default("0.3")
        .folded().set(At::Sure, "How the strings' ends hold, known to", "Against bending; as published it counts 1."),
    number("uncertainty.stand_off", "").from(0.0, 1.0).usual(0.0, 0.5).hint("It is a share of how far a stiff string stands off the ridge that it bends over.")
        .page("how much of its elastic stand-off over the ridge a string shows; the plan takes none").default("0.25")
        .folded().set(At::Sure, "Standing off the ridge", "How much of it a stiff string shows, as a share; the plan takes none."),
    cents("uncertainty.cents").from(0.0, 50.0).usual(0.0, 10.0).hint("A tuner's fretted note against a harmonic is sure to about 3 cents; 0 leaves it out.").paired()
        .page("a fretted note, by a tuner; reading again does not lessen what the body does to a string's pitch, so `correlation` is 0.8 here where it is not given").default("3")
        .set(At::Sure, "Cents, sure to", "A fretted note, by your tuner; what they have in common is usually 0.8."),
    length("uncertainty.exposure", Fine).is(UNSURE_HEIGHT).paired().default("0.05 mm")
        .folded().set(At::Sure, "Exposure of the old saddle, sure to", "Depth rod.").when(SADDLE_MADE),
    length("uncertainty.over_bridge", Fine).is(UNSURE_HEIGHT).paired().page("string over the bridge top").default("0.05 mm")
        .folded().set(At::Sure, "String over the bridge top, sure to", "Depth rod.").when(SADDLE_MADE),
    number("uncertainty.inharmonicity", "").is(UNSURE_SHARE).value("share of itself").default("0.05")
        .folded().set(At::Sure, "Stiffness as heard, sure to", "Of a string listened to; as a share of itself."),
    length("uncertainty.between_action", Fine).is(UNSURE_HEIGHT).page("action of an inner string that was put between the outer ones'").default("0.05 mm")
        .folded().set(At::Sure, "Action between the outer strings, sure to", "Of an inner string that was not read by itself."),
    length("uncertainty.between_nut", Fine).is(UNSURE_HEIGHT).page("the same of a gap at the nut").default("0.03 mm")
        .folded().set(At::Sure, "Gap at the nut between the outer strings, sure to", "Of an inner string that was not read by itself."),
    length("uncertainty.drift_neck", Fine).is(UNSURE_HEIGHT).page("relief, from one visit to another").default("0.05 mm")
        .folded().set(At::Sure, "Relief from one visit to another", "How far it moves in between."),
    length("uncertainty.drift_top", Fine).is(UNSURE_HEIGHT).page("bridge top, from one visit to another").default("0.1 mm")
        .folded().set(At::Sure, "Bridge top from one visit to another", "How far it moves in between.").when(SADDLE_MADE),
];
