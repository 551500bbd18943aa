//! Points and directions.

use serde::Serializer;

/// A point or direction of the fret frame: x toward the bridge, y toward the treble, z up, in mm.
pub type Vec3 = nalgebra::Vector3<f64>;

/// Serializes a [`Vec3`] as `x`, `y`, `z`, for `#[serde(serialize_with)]`.
///
/// # Errors
/// Those of the serializer.
pub fn xyz<S: Serializer>(v: &Vec3, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_map([("x", v.x), ("y", v.y), ("z", v.z)])
}
