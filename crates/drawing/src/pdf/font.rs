//! The carried font in a PDF: the glyphs that the sheets use, and what they say (ISO 32000-1, 9.7 and 9.10.3).

use super::stream::{deflated, single};
use crate::set::glyphs;
use crate::text::face;
use crate::{DrawingError, Sheet};
use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap};
use pdf_writer::{Filter, Finish, Name, Pdf, Rect, Ref, Str};
use std::collections::BTreeMap;
use subsetter::GlyphRemapper;
use ttf_parser::{Face, name_id};

/// Units of glyph space in an em (ISO 32000-1, 9.2.4).
const UNITS: f64 = 1000.0;
/// Glyph numbers stand for themselves, two bytes each.
const IDENTITY: SystemInfo = SystemInfo {
    registry: Str(b"Adobe"),
    ordering: Str(b"Identity"),
    supplement: 0,
};
/// Thickness of upright stems, which a reader wants for a font that it lacks; this one is inside. DejaVu Sans Condensed, from memory.
const STEM: f32 = 80.0;

/// One face of the carried font, with the glyphs that were set in it.
pub(super) struct Font {
    bold: bool,
    face: &'static Face<'static>,
    data: &'static [u8],
    remapper: GlyphRemapper,
    /// By number in the subset: advance in thousandths of an em, and what it says.
    set: BTreeMap<u16, (f32, String)>,
}

impl Font {
    pub fn new(bold: bool) -> Result<Self, DrawingError> {
        let (face, data) = face(bold).ok_or(DrawingError::Font)?;
        Ok(Self {
            bold,
            face,
            data,
            remapper: GlyphRemapper::new(),
            set: BTreeMap::new(),
        })
    }

    /// Its name among the resources of a page.
    pub fn name(&self) -> &'static [u8] {
        if self.bold { b"B" } else { b"R" }
    }

    /// Whether nothing was set in it.
    pub fn is_empty(&self) -> bool {
        self.set.is_empty()
    }

    /// `text` in glyph numbers of the subset, which takes them up: in pieces, and how far to go back after each, in thousandths of an em.
    pub fn pieces(&mut self, text: &str) -> Vec<(Vec<u8>, f32)> {
        let mut pieces = vec![(Vec::new(), 0.0)];
        for glyph in glyphs(text, self.bold) {
            let number = self.remapper.remap(glyph.id.0);
            self.set
                .entry(number)
                .or_insert_with(|| (single(glyph.advance * UNITS), glyph.says.to_owned()));
            if let Some((numbers, back)) = pieces.last_mut() {
                numbers.extend(number.to_be_bytes());
                *back = single(-glyph.kern * UNITS);
            }
            if glyph.kern != 0.0 {
                pieces.push((Vec::new(), 0.0));
            }
        }
        pieces.retain(|(numbers, _)| !numbers.is_empty());
        pieces
    }

    /// Six capitals that differ from subset to subset, and the name of the face (ISO 32000-1, 9.6.4).
    fn tagged_name(&self) -> String {
        let mut sum: u64 = 0;
        for byte in self.set.values().flat_map(|(_, says)| says.bytes()) {
            sum = sum.wrapping_mul(31).wrapping_add(u64::from(byte));
        }
        let tag: String = (0..6)
            .map(|_| {
                let letter = u8::try_from(sum % 26).unwrap_or(0);
                sum /= 26;
                char::from(b'A' + letter)
            })
            .collect();
        let name = self
            .face
            .names()
            .into_iter()
            .filter(|name| name.name_id == name_id::POST_SCRIPT_NAME)
            .find_map(|name| name.to_string());
        format!("{tag}+{}", name.unwrap_or_else(|| "Sheet".to_owned()))
    }

    /// Writes it as the object `id`, with what that refers to.
    pub fn write(self, pdf: &mut Pdf, id: Ref, next: &mut Ref, sheet: &Sheet) -> Result<(), DrawingError> {
        let subset = subsetter::subset(self.data, 0, &self.remapper)
            .map_err(|reason| DrawingError::library(&sheet.heading, "PDF", reason))?;
        let (descendant, descriptor, file, unicode) = (next.bump(), next.bump(), next.bump(), next.bump());
        let name = self.tagged_name();
        let name = Name(name.as_bytes());
        pdf.type0_font(id)
            .base_font(name)
            .encoding_predefined(Name(b"Identity-H"))
            .descendant_font(descendant)
            .to_unicode(unicode);
        let mut font = pdf.cid_font(descendant);
        font.subtype(CidFontType::Type2)
            .base_font(name)
            .system_info(IDENTITY)
            .font_descriptor(descriptor)
            .default_width(0.0)
            .cid_to_gid_map_predefined(Name(b"Identity"));
        let mut widths = font.widths();
        for (number, (advance, _)) in &self.set {
            widths.consecutive(*number, [*advance]);
        }
        widths.finish();
        font.finish();
        let units = |value: i16| single(f64::from(value) * UNITS / f64::from(self.face.units_per_em()));
        let around = self.face.global_bounding_box();
        pdf.font_descriptor(descriptor)
            .name(name)
            .flags(FontFlags::SYMBOLIC)
            .bbox(Rect::new(
                units(around.x_min),
                units(around.y_min),
                units(around.x_max),
                units(around.y_max),
            ))
            .italic_angle(0.0)
            .ascent(units(self.face.ascender()))
            .descent(units(self.face.descender()))
            .cap_height(units(
                self.face.capital_height().unwrap_or_else(|| self.face.ascender()),
            ))
            .stem_v(STEM)
            .font_file2(file);
        let data = deflated(&subset);
        pdf.stream(file, &data)
            .filter(Filter::FlateDecode)
            .pair(Name(b"Length1"), i32::try_from(subset.len()).unwrap_or(i32::MAX));
        let mut map = UnicodeCmap::<u16>::new(Name(b"Sheet"), IDENTITY);
        for (number, (_, says)) in &self.set {
            map.pair_with_multiple(*number, says.chars());
        }
        let map = deflated(&map.finish());
        pdf.stream(unicode, &map).filter(Filter::FlateDecode);
        Ok(())
    }
}
