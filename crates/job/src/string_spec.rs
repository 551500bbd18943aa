//! A string as described in a set or a job, and the model built from it.

use strings::CoreShape;

use crate::limits::CORE_SHARE;
use crate::node::one_of;
use crate::problem::nearest;

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

/// Why a description gives no model: the key to mend and the sentence to print.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Fault {
    pub(crate) key: &'static str,
    pub(crate) what: String,
}

pub(crate) fn fault(key: &'static str, what: impl Into<String>) -> Fault {
    Fault { key, what: what.into() }
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
        (!(least..=most).contains(&share)).then(|| {
            let what = format!(
                "The core is {:.0} % of the gauge; {:.0} to {:.0} % is usual. Look at the units of core and gauge.",
                100.0 * share,
                100.0 * least,
                100.0 * most
            );
            fault("core", what)
        })
    }
}

/// Sentence for a name that no profile has.
pub(crate) fn unknown(name: &str, options: &[&str], what: &str) -> String {
    let list: Vec<String> = options.iter().map(|o| format!("\"{o}\"")).collect();
    let meant =
        nearest(name, options.iter().copied()).map_or_else(String::new, |near| format!(" Did you mean \"{near}\"?"));
    format!(
        "No {what} of this name is known.{meant} Known are {}. Others can be added by a profile file.",
        one_of(&list)
    )
}
