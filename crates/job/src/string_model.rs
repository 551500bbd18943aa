//! The model of a string that a set or a job describes.

use strings::{BuildError, Core, CoreShape, Stiffness, StringModel, Winding};

use crate::node::one_of;
use crate::profiles::Wire;
use crate::string_spec::{Fault, fault, unknown};
use crate::{StringKind, StringSpec};

impl StringSpec {
    /// The model. Measured density and stretch response replace what the construction would give.
    pub(crate) fn model(&self, wire: &Wire) -> Result<StringModel, Fault> {
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
            StringKind::Plain => self.plain(gauge, wire),
            StringKind::Wound => self.wound(gauge, wire),
        }?;
        if let Some(linear_density) = density {
            model.linear_density = linear_density;
        }
        if let Some(response) = response {
            model.stiffness = Stiffness::from_response(response);
        }
        Ok(model)
    }

    fn plain(&self, gauge: f64, wire: &Wire) -> Result<StringModel, Fault> {
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
        let material = string_material("material", self.material.as_deref(), wire)?;
        strings::plain(gauge, material).map_err(|e| fault("gauge", said(&e)))
    }

    fn wound(&self, gauge: f64, wire: &Wire) -> Result<StringModel, Fault> {
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
            material: string_material("core_material", self.core_material.as_deref(), wire)?,
        };
        let wrap = known("wrap", self.wrap.as_deref(), wire.wraps(), "wrap metal")?;
        let density = wire.wrap(wrap).unwrap_or(f64::NAN);
        strings::wound(gauge, core, Winding { density }).map_err(|e| fault("core", said(&e)))
    }
}

fn said(error: &BuildError) -> String {
    format!("This makes no string: {error}. Look at core and gauge and their units.")
}

fn string_material(key: &'static str, name: Option<&str>, wire: &Wire) -> Result<strings::Material, Fault> {
    let name = known(key, name, wire.materials(), "string material")?;
    wire.material(name)
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
