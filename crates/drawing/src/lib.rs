//! Sheets at true scale: views, dimensions, tables; SVG and what derives from it; DXF and STL.

mod dxf;
mod mesh;
mod outline;
mod stl;

pub use dxf::{VIEW_GAP, dxf};
pub use mesh::{Mesh, mesh};
pub use outline::{
    CHORD_TOLERANCE, LEAST_HEIGHT, LEAST_SIZE, Outlines, ShapeError, StationMark, along, from_front, outlines, silhouette, span,
};
pub use stl::stl;
