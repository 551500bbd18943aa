//! An address as a code that a phone's camera reads (ISO/IEC 18004), for the page and for a terminal.

use maud::{Markup, html};
use qrcode::{Color, EcLevel, QrCode};

/// Free modules round the code: the standard asks for four.
const QUIET: usize = 4;

/// The modules of a code, free ones round it.
struct Code {
    side: usize,
    dark: Vec<bool>,
}

impl Code {
    /// Nothing for a text that is too long for a code.
    fn of(text: &str) -> Option<Self> {
        let code = QrCode::with_error_correction_level(text, EcLevel::M).ok()?;
        let (inner, colors) = (code.width(), code.to_colors());
        let side = inner + 2 * QUIET;
        let mut dark = vec![false; side * side];
        for (row, line) in colors.chunks(inner).enumerate() {
            for (column, color) in line.iter().enumerate() {
                let at = (row + QUIET) * side + column + QUIET;
                if let Some(module) = dark.get_mut(at) {
                    *module = *color == Color::Dark;
                }
            }
        }
        Some(Self { side, dark })
    }

    fn is_dark(&self, row: usize, column: usize) -> bool {
        self.dark.get(row * self.side + column).copied().unwrap_or(false)
    }
}

/// An address as a picture; nothing if it is too long for one.
#[must_use]
pub fn code_picture(address: &str) -> Option<Markup> {
    let code = Code::of(address)?;
    let mut path = String::new();
    for row in 0..code.side {
        let mut column = 0;
        while column < code.side {
            let run = (column..code.side)
                .take_while(|column| code.is_dark(row, *column))
                .count();
            if run > 0 {
                path.push_str(&format!("M{column} {row}h{run}v1h-{run}z"));
            }
            column += run.max(1);
        }
    }
    let side = code.side;
    Some(html! {
        svg.code viewBox={ "0 0 " (side) " " (side) } role="img" aria-label="The address, as a code for the camera of a phone" shape-rendering="crispEdges" {
            rect width=(side) height=(side) fill="#fff" {}
            path d=(path) fill="#000" {}
        }
    })
}

/// An address as lines of a terminal, two rows of modules each, black on white whatever its colours are; nothing if it is too long.
#[must_use]
pub fn code_lines(address: &str) -> Option<String> {
    let code = Code::of(address)?;
    let mut lines = String::new();
    for row in (0..code.side).step_by(2) {
        // Black on white, by the colours that terminals have in common.
        lines.push_str("\u{1b}[38;5;16;48;5;231m");
        for column in 0..code.side {
            lines.push(match (code.is_dark(row, column), code.is_dark(row + 1, column)) {
                (true, true) => '\u{2588}',
                (true, false) => '\u{2580}',
                (false, true) => '\u{2584}',
                (false, false) => ' ',
            });
        }
        lines.push_str("\u{1b}[0m\n");
    }
    Some(lines)
}

#[cfg(test)]
mod tests {
    use super::*;

    const ADDRESS: &str = "http://192.168.100.200:65535/?key=0123456789abcdef0123456789abcdef";

    /// Corners of a code: a square ring of seven modules round one of three.
    fn corner(code: &Code, row: usize, column: usize) -> bool {
        (0..7).all(|r: usize| {
            (0..7).all(|c: usize| {
                let ring = r.min(6 - r).min(c.min(6 - c));
                code.is_dark(row + r, column + c) == (ring != 1)
            })
        })
    }

    #[test]
    fn the_code_has_its_corners_and_room_round_it() {
        let code = Code::of(ADDRESS).unwrap();
        let far = code.side - QUIET - 7;
        assert!(corner(&code, QUIET, QUIET) && corner(&code, QUIET, far) && corner(&code, far, QUIET));
        let round = |i: usize| i < QUIET || i >= code.side - QUIET;
        let free = |row: usize, column: usize| !(round(row) || round(column)) || !code.is_dark(row, column);
        assert!((0..code.side).all(|row| (0..code.side).all(|column| free(row, column))));
        assert!(Code::of(&"x".repeat(5000)).is_none());
    }

    /// As wide as a terminal, and the picture has the same modules.
    #[test]
    fn lines_and_picture_are_the_same_code() {
        let code = Code::of(ADDRESS).unwrap();
        let lines = code_lines(ADDRESS).unwrap();
        let plain = |line: &str| {
            let inner = line.split_once('m').unwrap().1;
            inner.trim_end_matches("\u{1b}[0m").chars().collect::<Vec<char>>()
        };
        assert!(code.side <= 80 && lines.lines().count() == code.side.div_ceil(2));
        for (i, line) in lines.lines().enumerate() {
            let line = plain(line);
            assert_eq!(line.len(), code.side);
            for (column, sign) in line.into_iter().enumerate() {
                assert_eq!(matches!(sign, '\u{2588}' | '\u{2580}'), code.is_dark(2 * i, column));
                assert_eq!(matches!(sign, '\u{2588}' | '\u{2584}'), code.is_dark(2 * i + 1, column));
            }
        }
        let picture = code_picture(ADDRESS).unwrap().into_string();
        let path = picture.split(" d=\"").nth(1).unwrap().split('"').next().unwrap();
        let area: usize = path
            .split('h')
            .skip(1)
            .filter_map(|run| run.split('v').next()?.parse::<usize>().ok())
            .sum();
        assert_eq!(area, code.dark.iter().filter(|dark| **dark).count());
    }
}
