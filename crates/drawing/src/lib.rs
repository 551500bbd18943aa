//! Sheets at true scale: views, dimensions, tables; SVG and what derives from it; DXF and STL.

mod assess;
mod canvas;
mod colour;
mod dimension;
mod dxf;
mod error;
mod figures;
mod hatch;
mod ink;
mod mesh;
mod outline;
mod pdf;
mod png;
mod program;
mod set;
mod sheet;
mod stl;
mod svg;
mod text;
mod views;

pub use dxf::{dxf, nut_dxf};
pub use mesh::{Mesh, mesh};
pub use outline::{CHORD_TOLERANCE, Outlines, ShapeError, StationMark, along, from_front, outlines, silhouette, span};
pub use stl::stl;

pub use assess::{AssessWords, assess_sheets};
pub use canvas::{Anchor, Fill, Item, Lettering, LineKind, PartZero, Point, Shape, Text};
pub use colour::{Raster, colour_png};
pub use error::DrawingError;
pub use pdf::pdf;
pub use png::png;
pub use program::PROGRAM;
pub use sheet::{
    CutOutcome, CutPart, CutSetup, Extent, Paper, Sheet, SheetOptions, cut_sheets, filing_sheets, nut_sheets,
    outcome_sheet, saddle_sheets, tolerance_sheets,
};
pub use views::filed::FiledSection;
