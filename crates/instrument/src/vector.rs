//! Points and directions.

use serde::{Serialize, Serializer};

/// A point or direction of the fret frame: x toward the bridge, y toward the treble, z up, in mm.
pub type Vec3<R = f64> = nalgebra::Vector3<R>;

/// Serializes a [`Vec3`] as `x`, `y`, `z`, for `#[serde(serialize_with)]`.
///
/// # Errors
/// Those of the serializer.
pub fn xyz<R: Serialize, S: Serializer>(v: &Vec3<R>, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_map(["x", "y", "z"].into_iter().zip(v.iter()))
}
