//! What stands in the way of making a part, and what its cautions depend on.

use machining::PartKind;

use crate::{Hazards, NutWork, Planned, Remark, SaddleWork};

impl Planned {
    /// Whether one of these parts is planned and is not to be made: it is impossible, or unsafe and not accepted.
    #[must_use]
    pub fn stops(&self, parts: &[PartKind]) -> bool {
        parts.iter().any(|part| match part {
            PartKind::Saddle => self
                .saddles()
                .filter_map(Planned::saddle)
                .any(|saddle| !saddle.stops().is_empty()),
            PartKind::Nut => self.nut().is_some_and(|nut| nut.stops()),
        })
    }

    /// Whether any part that the job makes is not to be made as it stands: it has no plan, or its plan stops.
    #[must_use]
    pub fn halts(&self) -> bool {
        !self.refusals.is_empty() || self.stops(&PartKind::ALL)
    }

    /// Hazards of every part that the job makes.
    #[must_use]
    pub fn hazards(&self) -> Hazards {
        let saddles = self.job.saddles().map(|made| &made.material);
        let nut = self.job.nut.as_ref().map(|made| &made.material);
        let of = saddles.chain(nut).map(Hazards::of);
        let planned = self.saddles().filter_map(Planned::saddle);
        let of = of.chain(planned.map(|saddle| saddle.hazards()));
        of.fold(Hazards::default(), Hazards::and)
    }
}

impl SaddleWork<'_> {
    /// What its cautions depend on.
    #[must_use]
    pub fn hazards(&self) -> Hazards {
        let remarks = Remark::of(self.plan, self.survey, &self.made.assess);
        let accepted = |of: fn(&Remark) -> bool| remarks.iter().any(of);
        Hazards {
            front_wall_accepted: accepted(|remark| matches!(remark, Remark::FrontWall { accepted: true, .. })),
            slot_accepted: accepted(|remark| {
                matches!(
                    remark,
                    Remark::LittleInSlot {
                        is_unsafe: true,
                        accepted: true,
                        ..
                    }
                )
            }),
            ..Hazards::of(&self.made.material)
        }
    }
}

impl NutWork<'_> {
    /// What its cautions depend on.
    #[must_use]
    pub fn hazards(&self) -> Hazards {
        Hazards::of(&self.made.material)
    }
}
