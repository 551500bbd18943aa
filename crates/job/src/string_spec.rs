//! A string as described in a set or a job, and the model built from it.

use strings::{BuildError, Core, CoreShape, Stiffness, StringModel, Winding};

use crate::Profiles;
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

fn fault(key: &'static str, what: impl Into<String>) -> Fault {
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

    /// The model. Measured density and stretch response replace what the construction would give.
    pub(crate) fn model(&self, profiles: &Profiles) -> Result<StringModel, Fault> {
        let gauge = self.gauge.ok_or_else(|| {
            fault(
                "gauge",
                "The gauge is missing. Write the outer diameter, such as gauge = \"0.012 in\".",
            )
        })?;
        let (density, response) = (self.linear_density, self.stretch_response);
        if let (Some(linear_density), Some(response)) = (density, response) {
            return Ok(StringModel {
                outer_diameter: gauge,
                linear_density,
                stiffness: Stiffness::from_response(response),
            });
        }
        let kind = self.kind.ok_or_else(|| {
            fault(
                "kind",
                "It is not said how the string is made. Write kind = \"plain\" with its material, kind = \"wound\" with core, \
                 core_material and wrap, or both linear_density and stretch_response as measured.",
            )
        })?;
        let mut model = match kind {
            StringKind::Plain => self.plain(gauge, profiles),
            StringKind::Wound => self.wound(gauge, profiles),
        }?;
        if let Some(linear_density) = density {
            model.linear_density = linear_density;
        }
        if let Some(response) = response {
            model.stiffness = Stiffness::from_response(response);
        }
        Ok(model)
    }

    fn plain(&self, gauge: f64, profiles: &Profiles) -> Result<StringModel, Fault> {
        for (key, given) in [
            ("core", self.core.is_some()),
            ("core_shape", self.core_shape.is_some()),
            ("core_material", self.core_material.is_some()),
            ("wrap", self.wrap.is_some()),
        ] {
            if given {
                let what = format!("A plain string has no {key}. Leave it out, or write kind = \"wound\".");
                return Err(fault(key, what));
            }
        }
        let material = string_material("material", self.material.as_deref(), profiles)?;
        strings::plain(gauge, material).map_err(|e| fault("gauge", said(&e)))
    }

    fn wound(&self, gauge: f64, profiles: &Profiles) -> Result<StringModel, Fault> {
        if self.material.is_some() {
            let what = "`material` belongs to plain strings. For a wound string write core_material and wrap.";
            return Err(fault("material", what));
        }
        let size = self.core.ok_or_else(|| {
            fault(
                "core",
                "The core of the wound string is missing. Write its diameter, or its width across the flats, such as \
                 core = \"0.018 in\".",
            )
        })?;
        let core = Core {
            size,
            shape: self.core_shape.unwrap_or(CoreShape::Round),
            material: string_material("core_material", self.core_material.as_deref(), profiles)?,
        };
        let wrap = known("wrap", self.wrap.as_deref(), profiles.wraps(), "wrap metal")?;
        let density = profiles.wrap(wrap).unwrap_or(f64::NAN);
        strings::wound(gauge, core, Winding { density }).map_err(|e| fault("core", said(&e)))
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

fn said(error: &BuildError) -> String {
    format!("This makes no string: {error}. Look at core and gauge and their units.")
}

fn string_material(key: &'static str, name: Option<&str>, profiles: &Profiles) -> Result<strings::Material, Fault> {
    let name = known(key, name, profiles.string_materials(), "string material")?;
    profiles
        .string_material(name)
        .ok_or_else(|| fault(key, "The material is not known."))
}

/// The name, if it is given and known.
fn known<'a>(
    key: &'static str,
    name: Option<&'a str>,
    options: impl Iterator<Item = &'a str>,
    what: &str,
) -> Result<&'a str, Fault> {
    let options: Vec<&str> = options.collect();
    match name {
        Some(name) if options.contains(&name) => Ok(name),
        Some(name) => Err(fault(key, unknown(name, &options, what))),
        None => {
            let list: Vec<String> = options.iter().map(|o| format!("\"{o}\"")).collect();
            let sentence = format!("`{key}` is missing. Write one of the profiles: {}.", one_of(&list));
            Err(fault(key, sentence))
        }
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
