//! Numbers and streams as a PDF holds them.

use flate2::Compression;
use flate2::write::ZlibEncoder;
use std::io::Write;

/// PDF numbers are f32 here; a page is some hundred points.
#[allow(clippy::cast_possible_truncation)]
pub(super) fn single(value: f64) -> f32 {
    value as f32
}

/// `bytes` as a zlib stream. Writing to memory does not fail; if it did, the stream would be short and every reader would say so.
pub(super) fn deflated(bytes: &[u8]) -> Vec<u8> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::default());
    let written = encoder.write_all(bytes).and_then(|()| encoder.finish());
    written.unwrap_or_default()
}
