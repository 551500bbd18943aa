//! A string as described in a set or a job, and the model built from it.

use instrument::StretchKnown;
use strings::CoreShape;

use crate::fields::{Field, f};
use crate::problem::{ProblemKind, mm};
use crate::profiles::Wire;

/// Core of a wound string as a share of its gauge that raises no doubt; common practice, no source.
const CORE_SHARE: (f64, f64) = (0.25, 0.75);

/// Young's modulus from which a plain string counts as wire, GPa: gut, nylon and the like stay below 10, metals above 40 (from memory).
const WIRE_MODULUS: f64 = 25.0;

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

    /// Plain or wound: as said, or as follows from what else is said.
    pub(crate) fn made(&self) -> Option<StringKind> {
        let wound = self.core.is_some() || self.core_material.is_some() || self.wrap.is_some();
        let plain = self.material.is_some();
        self.kind.or(match (plain, wound) {
            (true, false) => Some(StringKind::Plain),
            (false, true) => Some(StringKind::Wound),
            _ => None,
        })
    }

    /// Nothing of its own is needed: both its mass and its stiffness were measured.
    pub(crate) fn measured(&self) -> bool {
        self.linear_density.is_some() && self.stretch_response.is_some()
    }

    /// A wound string whose core is not said and counts.
    fn lacks_core(&self) -> bool {
        self.made() == Some(StringKind::Wound) && self.core.is_none() && !self.measured()
    }

    /// Whether the material of this name is wire, of which a string's stiffness is known by its modulus.
    pub(crate) fn is_wire(name: Option<&str>, wire: &Wire) -> bool {
        let material = name.and_then(|name| wire.material(name));
        material.is_some_and(|material| material.modulus >= WIRE_MODULUS)
    }

    /// How the stretch stiffness is known of this description, to which the job itself gives `own`.
    pub(crate) fn stretch_known(&self, own: &Self, wire: &Wire) -> StretchKnown {
        if self.stretch_response.is_some() {
            return match own.stretch_response {
                Some(_) => StretchKnown::Response,
                None => StretchKnown::ResponseOfSet,
            };
        }
        let wound = self.made() == Some(StringKind::Wound);
        let carrier = if wound { &self.core_material } else { &self.material };
        match (Self::is_wire(carrier.as_deref(), wire), wound) {
            (true, false) => StretchKnown::PlainWire,
            (true, true) if self.core.is_none() => StretchKnown::CoreByRule,
            (true, true) if own.core.is_some() => StretchKnown::Core,
            (true, true) => StretchKnown::CoreOfSet,
            (false, true) if self.core.is_none() => StretchKnown::ResponseByRule,
            (false, _) => StretchKnown::Filament,
        }
    }

    /// What is taken by a rule where a wound string's core is not said.
    pub(crate) fn by_rule(&self, wire: &Wire) -> Option<Fault> {
        let gauge = self.gauge.filter(|_| self.lacks_core())?;
        let sure = |known: StretchKnown| format!("{:.0}", 100.0 * known.sigma());
        let kind = if Self::is_wire(self.core_material.as_deref(), wire) {
            let shape = self.core_shape.unwrap_or(CoreShape::Hexagonal);
            ProblemKind::CoreByRule {
                core: mm(strings::steel_core(gauge, shape)),
                across: match shape {
                    CoreShape::Hexagonal => "across the flats",
                    CoreShape::Round => "thick",
                },
                sure: sure(StretchKnown::CoreByRule),
            }
        } else {
            ProblemKind::StringByRule {
                sure: sure(StretchKnown::ResponseByRule),
            }
        };
        Some(fault(f!("string.core"), kind))
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
