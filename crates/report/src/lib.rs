//! A plan in words and figures: tables, notes, cautions, JSON and CSV.
