//! Points and directions.

/// A point or direction of the fret frame: x toward the bridge, y toward the treble, z up, in mm.
pub type Vec3 = nalgebra::Vector3<f64>;
