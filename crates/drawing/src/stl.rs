//! The finished saddle as a binary STL file, in millimetres, for a trial piece by 3D printer.

use crate::mesh::mesh;
use crate::outline::ShapeError;
use saddle::Plan;

/// First 80 bytes of the file; must not begin with `solid`, which would mark a text file.
const HEADER: &str = "bonewright saddle; millimetres; X along, Y to the front, Z up from the bottom";

/// Binary STL of the saddle that `plan` describes; axes as [`crate::Mesh`] has them. The same plan gives the same bytes.
///
/// # Errors
/// [`ShapeError`] if the plan leaves no part to make.
pub fn stl(plan: &Plan) -> Result<Vec<u8>, ShapeError> {
    let mesh = mesh(plan)?;
    let mut out = Vec::with_capacity(84 + 50 * mesh.triangles.len());
    out.extend(HEADER.bytes().chain(std::iter::repeat(b' ')).take(80));
    // At most some ten thousands; the format has 32 bits for it.
    out.extend(u32::try_from(mesh.triangles.len()).unwrap_or(u32::MAX).to_le_bytes());
    for [a, b, c] in mesh.corners() {
        for corner in [normal(a, b, c), a, b, c] {
            for value in corner {
                // The format holds single precision: 0.000004 mm at 60 mm.
                #[allow(clippy::cast_possible_truncation)]
                let single = value as f32;
                // Adding zero turns -0 into 0.
                out.extend((single + 0.0).to_le_bytes());
            }
        }
        out.extend([0, 0]);
    }
    Ok(out)
}

/// Unit normal that looks outward; zero, which the format allows, for a sliver too thin to have one.
fn normal(a: [f64; 3], b: [f64; 3], c: [f64; 3]) -> [f64; 3] {
    let p = [0, 1, 2].map(|i| b[i] - a[i]);
    let q = [0, 1, 2].map(|i| c[i] - a[i]);
    let n = [
        p[1] * q[2] - p[2] * q[1],
        p[2] * q[0] - p[0] * q[2],
        p[0] * q[1] - p[1] * q[0],
    ];
    let length = n.iter().map(|v| v * v).sum::<f64>().sqrt();
    if length > 0.0 { n.map(|v| v / length) } else { [0.0; 3] }
}
