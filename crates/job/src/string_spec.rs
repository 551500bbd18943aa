//! A string as described in a set or a job, and the model built from it.

use strings::CoreShape;

use crate::fields::{Field, f};
use crate::problem::ProblemKind;

/// Core of a wound string as a share of its gauge that raises no doubt; common practice, no source.
const CORE_SHARE: (f64, f64) = (0.25, 0.75);

/// Plain or wound.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StringKind {
    /// One wire or filament.
    Plain,
    /// A core with a close wrap.
    Wound,
}

/// How a string is described. Every field may be absent; [`StringSpec::over`] lays one description over another.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StringSpec {
    /// Note name of the open string.
    pub note: Option<String>,
    /// Outer diameter, mm.
    pub gauge: Option<f64>,
    /// Plain or wound.
    pub kind: Option<StringKind>,
    /// Core diameter, or width across flats, mm.
    pub core: Option<f64>,
    /// Cross-section of the core; round if absent.
    pub core_shape: Option<CoreShape>,
    /// Profile material of the core.
    pub core_material: Option<String>,
    /// Profile material of a plain string.
    pub material: Option<String>,
    /// Profile wrap metal.
    pub wrap: Option<String>,
    /// Measured linear density, g/m.
    pub linear_density: Option<f64>,
    /// Measured stretch response R = dln f / dln L, no unit.
    pub stretch_response: Option<f64>,
}

/// Why a description gives no model, and the row to mend.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Fault {
    pub(crate) row: &'static Field,
    pub(crate) kind: Box<ProblemKind>,
}

pub(crate) fn fault(row: &'static Field, kind: ProblemKind) -> Fault {
    Fault {
        row,
        kind: Box::new(kind),
    }
}

impl StringSpec {
    /// `self` with every field that `top` gives replaced. Another kind drops what described the old one.
    #[must_use]
    pub fn over(&self, top: &Self) -> Self {
        let changed = top.kind.is_some() && self.kind.is_some() && top.kind != self.kind;
        let base = if changed {
            Self {
                note: self.note.clone(),
                gauge: self.gauge,
                ..Self::default()
            }
        } else {
            self.clone()
        };
        Self {
            note: top.note.clone().or(base.note),
            gauge: top.gauge.or(base.gauge),
            kind: top.kind.or(base.kind),
            core: top.core.or(base.core),
            core_shape: top.core_shape.or(base.core_shape),
            core_material: top.core_material.clone().or(base.core_material),
            material: top.material.clone().or(base.material),
            wrap: top.wrap.clone().or(base.wrap),
            linear_density: top.linear_density.or(base.linear_density),
            stretch_response: top.stretch_response.or(base.stretch_response),
        }
    }

    /// A core that is doubtful for the gauge.
    pub(crate) fn doubt(&self) -> Option<Fault> {
        let (gauge, core) = (self.gauge?, self.core?);
        let share = core / gauge;
        let (least, most) = CORE_SHARE;
        let percent = |share: f64| format!("{:.0}", 100.0 * share);
        (!(least..=most).contains(&share)).then(|| {
            let kind = ProblemKind::DoubtfulCore {
                share: percent(share),
                least: percent(least),
                most: percent(most),
            };
            fault(f!("string.core"), kind)
        })
    }
}
