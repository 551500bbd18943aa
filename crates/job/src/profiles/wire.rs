//! What strings are made of: string materials and wrap metals by name.

use strings::Material;

/// String materials and wrap metals.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Wire {
    pub(super) materials: Vec<(String, Material)>,
    /// Densities, g/cm3.
    pub(super) wraps: Vec<(String, f64)>,
}

impl Wire {
    /// Names of the string materials.
    pub(crate) fn materials(&self) -> impl Iterator<Item = &str> {
        self.materials.iter().map(|(name, _)| name.as_str())
    }

    /// The string material of this name.
    pub(crate) fn material(&self, name: &str) -> Option<Material> {
        self.materials.iter().find(|(n, _)| n == name).map(|(_, m)| *m)
    }

    /// Names of the wrap metals.
    pub(crate) fn wraps(&self) -> impl Iterator<Item = &str> {
        self.wraps.iter().map(|(name, _)| name.as_str())
    }

    /// Density of the wrap metal of this name, g/cm3.
    pub(crate) fn wrap(&self, name: &str) -> Option<f64> {
        self.wraps.iter().find(|(n, _)| n == name).map(|(_, density)| *density)
    }
}
