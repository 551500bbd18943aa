//! How a blank is cut.

/// How the blank is cut: setup, stock, holding and tools. Lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct CutJob {
    /// What is cut.
    pub part: machining::PartKind,
    /// Setups wanted, in the order in which they are cut.
    pub kinds: Vec<machining::SetupKind>,
    /// Machine.
    pub machine: machining::Machine,
    /// Cutter that roughs, and cuts the outline when flat.
    pub rougher: machining::Cutter,
    /// Cutter that finishes the crown.
    pub finisher: machining::Cutter,
    /// How the material is cut; `None` if no profile knows.
    pub material: Option<machining::Material>,
    /// Wanted spindle speed, rev/min.
    pub spindle: f64,
    /// The stock; the blank itself where it was not measured.
    pub stock: machining::Stock,
    /// The job gives the stock's sizes.
    pub stock_measured: bool,
    /// The job gives the height of the jaws.
    pub jaws_measured: bool,
    /// Where Z is nought.
    pub zero: machining::Zero,
    /// Jaws, on edge.
    pub vise: machining::Holding,
    /// Tape and tabs, flat.
    pub tape: machining::Holding,
    /// Ends of the finished blank.
    pub ends: machining::Ends,
    /// The whole top is cut so much higher than planned; 0 for a nut.
    pub leave_proud: f64,
    /// Left on by roughing.
    pub rough_allowance: f64,
    /// Highest ridge left between finishing passes.
    pub scallop: f64,
    /// Rapid moves stay this far above stock and jaws.
    pub clearance: f64,
    /// Cutters and saws that start the slots of a nut; none for a saddle.
    pub groovers: Vec<machining::Cutter>,
    /// Grooves stop at least so far above the slots' floors.
    pub groove_leave: f64,
}

impl CutJob {
    /// Whether the outline is cut before the setup of this kind, where the job's setups are cut in their order.
    #[must_use]
    pub fn outlined(&self, kind: machining::SetupKind) -> bool {
        outlined_among(self.part, &self.kinds, kind)
    }

    /// All that a program of one setup is made for, or `None` if no profile knows how the material is cut.
    #[must_use]
    pub fn setup(&self, kind: machining::SetupKind) -> Option<machining::Setup> {
        Some(machining::Setup {
            part: self.part,
            kind,
            stock: self.stock,
            outlined: false,
            zero: self.zero,
            holding: match kind {
                machining::SetupKind::OnEdge | machining::SetupKind::OnEnd => self.vise,
                machining::SetupKind::Flat => self.tape,
            },
            ends: self.ends.clone(),
            leave_proud: self.leave_proud,
            rough_allowance: self.rough_allowance,
            scallop: self.scallop,
            clearance: self.clearance,
            rougher: self.rougher.clone(),
            finisher: self.finisher.clone(),
            groovers: self.groovers.clone(),
            groove_leave: self.groove_leave,
            material: self.material.clone()?,
            machine: self.machine.clone(),
            spindle: self.spindle,
        })
    }

    /// The same as `part` stands in it, its outline cut before or not: see [`machining::held`].
    ///
    /// # Errors
    /// [`machining::SurfaceError`] if the stock does not hold the part.
    pub fn setup_for(
        &self,
        part: machining::Part,
        kind: machining::SetupKind,
        outlined: bool,
    ) -> Result<Option<machining::Setup>, machining::SurfaceError> {
        let held = |setup| machining::held(part, &setup, outlined, self.jaws_measured);
        self.setup(kind).map(held).transpose()
    }
}

/// Whether the outline of a part is cut before its setup of `kind`, where `kinds` are cut: a nut's always is.
#[must_use]
pub fn outlined_among(part: machining::PartKind, kinds: &[machining::SetupKind], kind: machining::SetupKind) -> bool {
    use machining::{PartKind, SetupKind};
    kind != SetupKind::Flat && (part == PartKind::Nut || kinds.contains(&SetupKind::Flat))
}
