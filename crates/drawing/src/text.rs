//! Widths and outlines of text, from the font that the sheets carry.

use std::array;
use std::sync::{LazyLock, OnceLock};
use ttf_parser::{Face, GlyphId};

/// DejaVu Sans Condensed 2.37, licence in `fonts/LICENSE-DejaVu`.
const REGULAR: &[u8] = include_bytes!("../fonts/DejaVuSansCondensed.ttf");
/// Its bold.
const BOLD: &[u8] = include_bytes!("../fonts/DejaVuSansCondensed-Bold.ttf");
/// The families that a sheet names, the carried one first.
pub(crate) const FAMILY: &str = "'DejaVu Sans Condensed', 'DejaVu Sans', sans-serif";
/// Stands for a character that the font does not have.
const UNKNOWN: char = '\u{FFFD}';
/// Width of a character, in ems, if the font could not be read; every sheet is refused then.
const NO_FONT_WIDTH: f64 = 0.6;
/// Height of capitals in ems if the font does not tell (DejaVu 2.37: 1493 of 2048 units).
const CAPITALS: f64 = 0.729;

/// Characters whose measures are kept once they were asked for: Latin letters, where nearly all text is.
const KEPT: usize = 0x250;

/// A face with its measures in ems.
struct Measure {
    face: Face<'static>,
    unit: f64,
    advances: [OnceLock<f64>; KEPT],
    inks: [OnceLock<Option<[f64; 2]>>; KEPT],
}

impl Measure {
    /// Advance of a character.
    fn advance(&self, c: char) -> f64 {
        let read = || f64::from(self.face.glyph_hor_advance(self.glyph(c)).unwrap_or(0)) * self.unit;
        kept(&self.advances, c, read)
    }

    /// Lowest and highest ink of a character; none of a space.
    fn ink(&self, c: char) -> Option<[f64; 2]> {
        let read = || {
            let ink = self.face.glyph_bounding_box(self.glyph(c))?;
            Some([ink.y_min, ink.y_max].map(|y| f64::from(y) * self.unit))
        };
        kept(&self.inks, c, read)
    }

    fn glyph(&self, c: char) -> GlyphId {
        self.face.glyph_index(c).unwrap_or(GlyphId(0))
    }
}

/// What is kept of a character, read where it is not kept yet, or not kept at all.
fn kept<T: Copy>(all: &[OnceLock<T>], c: char, read: impl FnOnce() -> T) -> T {
    match usize::try_from(u32::from(c)).ok().and_then(|at| all.get(at)) {
        Some(one) => *one.get_or_init(read),
        None => read(),
    }
}

static FACES: LazyLock<Option<[Measure; 2]>> = LazyLock::new(|| {
    let read = |data| {
        Face::parse(data, 0).ok().map(|face| Measure {
            unit: 1.0 / f64::from(face.units_per_em()),
            face,
            advances: array::from_fn(|_| OnceLock::new()),
            inks: array::from_fn(|_| OnceLock::new()),
        })
    };
    Some([read(REGULAR)?, read(BOLD)?])
});

fn measure(bold: bool) -> Option<&'static Measure> {
    FACES.as_ref().map(|faces| &faces[usize::from(bold)])
}

/// Whether the carried font can be read.
pub(crate) fn fonts_readable() -> bool {
    FACES.is_some()
}

/// Size of the font in mm for capitals `capitals` mm high.
pub(crate) fn font_size(capitals: f64) -> f64 {
    let share = measure(false)
        .and_then(|m| m.face.capital_height().map(|h| f64::from(h) * m.unit))
        .unwrap_or(CAPITALS);
    capitals / share
}

/// Extent of a text set at the origin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Extent {
    /// Advance, mm.
    pub width: f64,
    /// Lowest ink below (negative) the baseline, mm.
    pub low: f64,
    /// Highest ink above the baseline, mm.
    pub high: f64,
}

/// The face and its file, if it can be read.
pub(crate) fn face(bold: bool) -> Option<(&'static Face<'static>, &'static [u8])> {
    measure(bold).map(|m| (&m.face, if bold { BOLD } else { REGULAR }))
}

/// Advance of one character in ems, without kerning.
fn advance(c: char, bold: bool) -> f64 {
    measure(bold).map_or(NO_FONT_WIDTH, |m| m.advance(c))
}

/// Width of `text` in mm with capitals `capitals` mm high, without kerning: it is the sum of its characters' widths.
pub(crate) fn width(text: &str, capitals: f64, bold: bool) -> f64 {
    text.chars().map(|c| advance(c, bold)).sum::<f64>() * font_size(capitals)
}

/// Extent of `text` with capitals `capitals` mm high.
pub(crate) fn extent(text: &str, capitals: f64, bold: bool) -> Extent {
    let size = font_size(capitals);
    let ink = text.chars().filter_map(|c| {
        let ink = measure(bold)?.ink(c)?;
        Some(ink.map(|y| y * size))
    });
    let (low, high) = ink.fold((0.0_f64, 0.0_f64), |(low, high), [min, max]| {
        (low.min(min), high.max(max))
    });
    Extent {
        width: width(text, capitals, bold),
        low,
        high,
    }
}

/// `text` on one line, with a sign for every character that the font does not have.
pub(crate) fn clean(text: &str) -> String {
    let known = |c: char| measure(false).is_none_or(|m| m.face.glyph_index(c).is_some());
    let words: Vec<String> = text
        .split(|c: char| c.is_whitespace() || c.is_control())
        .filter(|w| !w.is_empty())
        .map(|w| w.chars().map(|c| if known(c) { c } else { UNKNOWN }).collect())
        .collect();
    words.join(" ")
}

/// `text` cut to `room` mm, with an ellipsis where it is cut.
pub(crate) fn shorten(text: &str, room: f64, capitals: f64, bold: bool) -> String {
    if width(text, capitals, bold) <= room {
        return text.to_owned();
    }
    let size = font_size(capitals);
    let mut used = width("…", capitals, bold);
    let mut line = String::new();
    for c in text.chars() {
        used += advance(c, bold) * size;
        if used > room {
            break;
        }
        line.push(c);
    }
    line.truncate(line.trim_end().len());
    line.push('…');
    line
}

/// `text` in lines no wider than `room` mm; words that are too wide are cut.
pub(crate) fn wrap(text: &str, room: f64, capitals: f64, bold: bool) -> Vec<String> {
    let space = width(" ", capitals, bold);
    let mut lines: Vec<String> = Vec::new();
    let mut used = 0.0;
    for word in text.split_whitespace() {
        let wide = width(word, capitals, bold);
        match lines.last_mut() {
            Some(line) if used + space + wide <= room => {
                line.push(' ');
                line.push_str(word);
                used += space + wide;
            }
            _ => {
                lines.push(shorten(word, room, capitals, bold));
                used = wide;
            }
        }
    }
    lines
}

/// A name without spaces in lines no wider than `room` mm: parted after a hyphen, a dot or an underscore where there is one in
/// the second half of a line, else anywhere. Nothing is left out.
pub(crate) fn broken(name: &str, room: f64, capitals: f64, bold: bool) -> Vec<String> {
    let size = font_size(capitals);
    let mut lines = Vec::new();
    let mut line = String::new();
    let mut used = 0.0;
    for c in name.chars() {
        let wide = advance(c, bold) * size;
        if used + wide > room && !line.is_empty() {
            let parted = line.rfind(['-', '.', '_', ' ']).filter(|at| 2 * at >= line.len());
            let rest = line.split_off(parted.map_or(line.len(), |at| at + 1));
            used = width(&rest, capitals, bold);
            lines.push(std::mem::replace(&mut line, rest));
        }
        line.push(c);
        used += wide;
    }
    lines.push(line);
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_font_has_every_sign_the_trade_needs() {
        let signs = "0123456789°±×½¼¾⅛⅜⅝⅞″′ØµΩ→←↑↓−≤≥–—♯♭⌀²³…▲△■□●○⊗";
        for bold in [false, true] {
            let face = &measure(bold).unwrap().face;
            for c in signs.chars() {
                assert!(face.glyph_index(c).is_some(), "{c} missing, bold {bold}");
            }
        }
    }

    /// ISO 3098-1: the nominal height of lettering is the height of its capitals.
    #[test]
    fn capitals_have_the_height_asked_for() {
        let e = extent("H", 2.5, false);
        assert!((e.high - 2.5).abs() < 1e-3 && e.low == 0.0, "{e:?}");
    }

    #[test]
    fn shortened_and_wrapped_text_keeps_to_its_room() {
        let long = "A very long title that no title block would hold without giving way somewhere";
        let cut = shorten(long, 40.0, 2.5, true);
        assert!(cut.ends_with('…') && width(&cut, 2.5, true) <= 40.0);
        let lines = wrap(long, 30.0, 2.0, false);
        assert!(lines.len() > 2 && lines.iter().all(|l| width(l, 2.0, false) <= 30.0));
        assert_eq!(lines.join(" "), long);
    }

    #[test]
    fn a_long_name_is_broken_and_whole() {
        let long = format!("{}-on-edge-1.ngc", "abcdefghij".repeat(15));
        let lines = broken(&long, 40.0, 1.8, false);
        assert!(
            lines.len() > 3 && lines.iter().all(|l| width(l, 1.8, false) <= 40.0),
            "{lines:?}"
        );
        assert_eq!(lines.concat(), long);
        assert_eq!(broken("a-b.ngc", 40.0, 1.8, false), ["a-b.ngc"]);
        // A hyphen is a good place.
        let lines = broken("one-guitar-with-a-name-of-some-length-on-edge-2.ngc", 30.0, 1.8, false);
        assert!(lines.len() > 1 && lines[0].ends_with('-'), "{lines:?}");
    }

    #[test]
    fn unknown_signs_and_controls_are_replaced() {
        assert_eq!(clean("a\u{0}b\tc\n漢 ♯"), "a b c \u{FFFD} ♯");
    }
}
