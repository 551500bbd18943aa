//! Sheets at true scale: views, dimensions, tables; SVG and what derives from it; DXF and STL.

mod canvas;
mod cautions;
mod colour;
mod columns;
mod cut_files;
mod dimension;
mod dxf;
mod error;
mod figures;
mod hatch;
mod heard;
mod ink;
mod mesh;
mod names;
mod outline;
mod owner;
mod paper;
mod part_files;
mod part_work;
mod pdf;
mod png;
mod program;
mod read;
mod saddle_work;
mod set;
mod sheet;
mod sheet_files;
mod stl;
mod svg;
mod text;
mod unscaled;
mod views;

pub use dxf::{dxf, nut_dxf};
pub use mesh::{Mesh, mesh};
pub use outline::{CHORD_TOLERANCE, Outlines, ShapeError, StationMark, along, from_front, outlines, silhouette, span};
pub use stl::stl;

pub use canvas::{Anchor, Fill, Item, Lettering, LineKind, PartZero, Point, Shape, Text};
pub use colour::{Raster, colour_png};
pub use cut_files::cut_files;
pub use error::DrawingError;
pub use heard::heard_sheet;
pub use names::{job_stem, part_stem, program_name};
pub use owner::{handed_back_sheets, owner_sheets};
pub use part_files::{part_file, part_files};
pub use part_work::PartWork;
pub use pdf::pdf;
pub use png::png;
pub use program::PROGRAM;
pub use read::{ReadLayout, ReadRoom, Spot, read_sheets, read_sheets_of, read_weight};
pub use saddle_work::{filing_sheets_of, handed_back_sheets_of, owner_sheets_of, tolerance_sheets_of};
pub use sheet::{
    Sheet, SheetOptions, cut_sheets, filing_sheets, nut_sheets, outcome_sheet, paragraphs, saddle_sheets,
    tolerance_sheets,
};
pub use sheet_files::{FileKind, NamedFile, PICTURE_DPI, SheetSet};
pub use views::filed::FiledSection;
