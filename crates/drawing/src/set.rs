//! A text as PDF and PNG set it: the font's glyphs one after another, kerned, with its Latin ligatures.

use crate::text::face;
use ttf_parser::{Face, GlyphId};

/// Letters that the font joins, longest first, and the character under which it has them (Unicode, Alphabetic Presentation Forms).
const LIGATURES: [(&str, char); 5] = [
    ("ffi", '\u{FB03}'),
    ("ffl", '\u{FB04}'),
    ("ff", '\u{FB00}'),
    ("fi", '\u{FB01}'),
    ("fl", '\u{FB02}'),
];

/// A glyph and where the next one starts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Glyph<'a> {
    /// Number in the face.
    pub id: GlyphId,
    /// Its own advance, ems.
    pub advance: f64,
    /// What kerning adds before the next glyph, ems; mostly negative.
    pub kern: f64,
    /// What it says.
    pub says: &'a str,
}

/// The glyphs of `text`; none if the font cannot be read.
pub(crate) fn glyphs(text: &str, bold: bool) -> Vec<Glyph<'_>> {
    let Some((face, _)) = face(bold) else {
        return Vec::new();
    };
    let ems = |units: f64| units / f64::from(face.units_per_em());
    let mut set: Vec<Glyph<'_>> = Vec::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let (id, length) =
            joined(face, rest).unwrap_or((face.glyph_index(first).unwrap_or(GlyphId(0)), first.len_utf8()));
        let (says, after) = rest.split_at(length);
        if let Some(before) = set.last_mut() {
            before.kern = ems(kerning(face, before.id, id));
        }
        set.push(Glyph {
            id,
            advance: ems(f64::from(face.glyph_hor_advance(id).unwrap_or(0))),
            kern: 0.0,
            says,
        });
        rest = after;
    }
    set
}

/// Width of `text`, ems.
pub(crate) fn width(text: &str, bold: bool) -> f64 {
    glyphs(text, bold).iter().map(|g| g.advance + g.kern).sum()
}

/// The ligature that `text` starts with, and how many bytes it stands for.
fn joined(face: &Face<'_>, text: &str) -> Option<(GlyphId, usize)> {
    let (letters, sign) = LIGATURES.iter().find(|(letters, _)| text.starts_with(letters))?;
    Some((face.glyph_index(*sign)?, letters.len()))
}

/// From the face's `kern` table, in its units.
fn kerning(face: &Face<'_>, left: GlyphId, right: GlyphId) -> f64 {
    let tables = face.tables().kern.into_iter().flat_map(|kern| kern.subtables);
    let mut plain = tables.filter(|t| t.horizontal && !t.variable && !t.has_cross_stream && !t.has_state_machine);
    plain.find_map(|t| t.glyphs_kerning(left, right)).map_or(0.0, f64::from)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_character_is_set_once() {
        for text in ["an offcut of the file, filed flat", "R 0.5 µm ± 9°", ""] {
            let says: String = glyphs(text, false).iter().map(|g| g.says).collect();
            assert_eq!(says, text);
        }
        let says: Vec<&str> = glyphs("offcut, file", true).iter().map(|g| g.says).collect();
        assert!(says.contains(&"ff") && says.contains(&"fi"), "{says:?}");
    }

    /// The room that the sheet keeps for a text, without kerning, holds it; figures stand in columns and are not kerned.
    #[test]
    fn kerning_keeps_to_the_room() {
        for bold in [false, true] {
            let room = |text| crate::text::width(text, 1.0, bold) / crate::text::font_size(1.0);
            for text in ["Wear eye protection.", "Top, AVA, Type, the wall's", "0.123 [4.5] 6"] {
                assert!(width(text, bold) <= room(text) + 1e-9, "{text}");
            }
            assert!((width("0123456789.", bold) - room("0123456789.")).abs() < 1e-9);
            assert!(width("Wear", bold) < room("Wear") - 1e-3);
        }
    }
}
