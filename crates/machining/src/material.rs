//! What is cut, and how thick a chip it bears.

/// A blank's material as the cutter meets it. Lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Material {
    /// Name, for sheets and comments.
    pub name: String,
    /// Thinnest chip that is still cut and not rubbed.
    pub chip_least: f64,
    /// Chip to aim at.
    pub chip: f64,
    /// Thickest chip that does not break the material.
    pub chip_most: f64,
    /// Deepest step of one pass, as a share of the cutter's diameter.
    pub step_down: f64,
    /// Widest step to the side while roughing, as a share of the cutter's diameter.
    pub step_over: f64,
    /// Highest cutting speed, m/min.
    pub speed_most: f64,
    /// Where the figures are from.
    pub source: String,
}
