//! Sheets at true scale: views, dimensions, tables; SVG and what derives from it; DXF and STL.
