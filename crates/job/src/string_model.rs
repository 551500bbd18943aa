//! The model of a string that a set or a job describes.

use strings::{BuildError, Core, CoreShape, Stiffness, StringModel, Winding};

use crate::fields::{Field, f};
use crate::node::no_such_name;
use crate::problem::ProblemKind as P;
use crate::profiles::Wire;
use crate::string_spec::{Fault, fault};
use crate::{StringKind, StringSpec};

/// Material of the cores that the rule for nylon speaks of.
const NYLON: &str = "nylon";

impl StringSpec {
    /// The model. Measured density and stretch response replace what the construction would give.
    pub(crate) fn model(&self, wire: &Wire) -> Result<StringModel, Fault> {
        let gauge = self
            .gauge
            .ok_or_else(|| fault(f!("string.gauge"), P::GaugeMissing {}))?;
        let (density, response) = (self.linear_density, self.stretch_response);
        if let (Some(linear_density), Some(response)) = (density, response) {
            return Ok(StringModel {
                outer_diameter: gauge,
                linear_density,
                stiffness: Stiffness::from_response(response),
            });
        }
        let kind = self
            .made()
            .ok_or_else(|| fault(f!("string.kind"), P::StringKindMissing {}))?;
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
        for (row, given) in [
            (f!("string.core"), self.core.is_some()),
            (f!("string.core_shape"), self.core_shape.is_some()),
            (f!("string.core_material"), self.core_material.is_some()),
            (f!("string.wrap"), self.wrap.is_some()),
        ] {
            if given {
                return Err(fault(row, P::NotOfPlain { key: row.name() }));
            }
        }
        let material = string_material(f!("string.material"), self.material.as_deref(), wire)?;
        strings::plain(gauge, material).map_err(|e| no_string(f!("string.gauge"), &e))
    }

    fn wound(&self, gauge: f64, wire: &Wire) -> Result<StringModel, Fault> {
        if self.material.is_some() {
            return Err(fault(f!("string.material"), P::NotOfWound {}));
        }
        let name = self.core_material.as_deref();
        let material = string_material(f!("string.core_material"), name, wire)?;
        let wrap = known(f!("string.wrap"), self.wrap.as_deref(), wire.wraps())?;
        let (size, shape) = match self.core {
            Some(size) => (size, self.core_shape.unwrap_or(CoreShape::Round)),
            None if Self::is_wire(name, wire) => {
                // What sets of such strings have.
                let shape = self.core_shape.unwrap_or(CoreShape::Hexagonal);
                (strings::steel_core(gauge, shape), shape)
            }
            None => {
                let found = strings::on_nylon(gauge).filter(|_| name == Some(NYLON));
                return found.ok_or_else(|| fault(f!("string.core"), P::CoreMissing {}));
            }
        };
        let core = Core { size, shape, material };
        let density = wire.wrap(wrap).unwrap_or(f64::NAN);
        strings::wound(gauge, core, Winding { density }).map_err(|e| no_string(f!("string.core"), &e))
    }
}

fn no_string(row: &'static Field, error: &BuildError) -> Fault {
    fault(row, P::NoString { why: error.to_string() })
}

fn string_material(row: &'static Field, name: Option<&str>, wire: &Wire) -> Result<strings::Material, Fault> {
    let name = known(row, name, wire.materials())?;
    wire.material(name)
        .ok_or_else(|| fault(row, no_such_name(name, Vec::new(), row.list_word())))
}

/// The name, if it is given and known.
fn known<'a>(
    row: &'static Field,
    name: Option<&'a str>,
    options: impl Iterator<Item = &'a str>,
) -> Result<&'a str, Fault> {
    let options: Vec<&str> = options.collect();
    match name {
        Some(name) if options.contains(&name) => Ok(name),
        Some(name) => Err(fault(row, no_such_name(name, options, row.list_word()))),
        None => Err(fault(
            row,
            P::NameMissing {
                key: row.name(),
                known: options.into_iter().map(str::to_owned).collect(),
            },
        )),
    }
}
