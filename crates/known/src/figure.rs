//! The figures of the state.

use instrument::Of;

/// What may be off from where the survey has it. Lengths in mm, angles in radians; what is a factor is off by its logarithm. Ends: 0 bass,
/// 1 treble; strings count from the bass-most, which is 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Figure {
    /// The places of all frets, by a factor.
    Stretch,
    /// Relief.
    Relief,
    /// Fingerboard radius at fret 0, by a factor.
    RadiusAtNut,
    /// Fingerboard radius at fret 12, by a factor.
    RadiusAt12,
    /// Lean of the slot's front wall.
    Lean,
    /// Where the slot is along x: its edge, or the contact of the saddle by which it was read.
    SlotPlace(usize),
    /// How high the slot is: the bridge top, or the height of the saddle by which it was read.
    SlotHeight(usize),
    /// Depth of the slot, or the contact's distance back on the saddle by which it was read.
    SlotThird(usize),
    /// Depth of a slot that was read by a saddle.
    ReferenceDepth(usize),
    /// The floor's middle against its ends, up positive.
    FloorBow,
    /// How far the present saddle stands off the floor.
    OldSeat(usize),
    /// What a straightedge on the frets reads too much at the saddle.
    Straightedge,
    /// How string ends hold: `2 c_fret + c_saddle - c_nut` over the published 1.
    Ends,
    /// Share of the elastic stand-off by which a string passes over its ridge.
    StandOff,
    /// What the present nut was read by: a gap, or a zero fret's height.
    Nut(usize),
    /// Present action at fret 12.
    Action(usize),
    /// The present contact's distance back from the saddle's face; without a slot, its place along x.
    Contact(usize),
    /// Stretch stiffness E A, by a factor.
    Axial(usize),
    /// Bending stiffness E I, by a factor.
    Bending(usize),
    /// Linear density, by a factor.
    Mass(usize),
    /// Cents by which the body pulls the fretted note at 12 on the present saddle.
    Pull(usize),
    /// The same on the saddle that was made.
    MadePull(usize),
    /// What a tool reads too much of one kind of thing: the tool, counted among those used, and the kind.
    Tool(usize, Of),
    /// Relief on a later visit over that on the first.
    NeckDrift(u32),
    /// Bridge top on a later visit over that on the first.
    TopDrift(u32),
    /// The bridge since the saddle was made, up positive.
    Risen,
    /// How far the made saddle stands off its planned place under an outer string: 0 bass, 1 treble.
    MadeSeat(usize),
    /// How much too high the made saddle is under a string.
    MadeHeight(usize),
    /// How much too far back its ridge is there.
    MadeBack(usize),
    /// How much too large the gap over fret 1 is that a new nut's slot gives.
    NewSlot(usize),
}
