//! Heights at the nut: slot floors, feeler stacks, and the gap over fret 1 with the string held at fret 3.

use instrument::{Board, StringLine, StringRun};

/// Gap over fret 1 with the string held at fret 3, mm, from the nut contact `(x, z)`.
#[must_use]
pub fn held(board: &Board, run: &StringRun, nut: (f64, f64)) -> f64 {
    let third = (board.fret_x(3, run), board.crown_under(3, run));
    StringLine::through(nut, third).action(board, run, 1)
}

/// Underside of the open string from the nut contact `(x, z)` to a gap over fret 12, mm.
#[must_use]
pub fn line(board: &Board, run: &StringRun, nut: (f64, f64), action_12: f64) -> StringLine {
    StringLine::through(nut, (board.fret_x(12, run), board.crown_under(12, run) + action_12))
}

/// Height of the board's surface over the fret plane at the nut, mm (negative), `y` mm from the centre line.
#[must_use]
pub(crate) fn board_surface(board: &Board, y: f64, fret_height: f64) -> f64 {
    board.crown_at_nut(y) - fret_height
}

/// Height of the feeler stack on the board in front of the nut that stops the file at floor height `z`, mm.
#[must_use]
pub fn stack(board: &Board, y: f64, fret_height: f64, z: f64) -> f64 {
    z - board_surface(board, y, fret_height)
}

#[cfg(test)]
mod tests {
    use super::*;
    use instrument::BoardRadius;
    use proptest::prelude::*;

    fn straight(scale: f64) -> Board {
        Board::new(scale, 14, 0.0, BoardRadius::Flat).unwrap()
    }

    const ALONG: StringRun = StringRun { nut: 0.0, slope: 0.0 };

    /// By similar triangles on a straight neck: the open gap is 0.888 h + 0.112 a12, the gap held at fret 3 is 0.647 h, with h the
    /// floor over the fret plane. (X_1/X_12 = 0.1123, 1 - X_1/X_3 = 0.6472.)
    #[test]
    fn both_clearances_of_a_straight_neck() {
        for scale in [345.0, 610.0, 650.0] {
            let board = straight(scale);
            for (h, action) in [(0.1, 2.0), (0.2, 2.0), (0.45, 3.5)] {
                let open = line(&board, &ALONG, (0.0, h), action).action(&board, &ALONG, 1);
                assert!(
                    (open - (0.888 * h + 0.112 * action)).abs() < 0.0005 * (h + action),
                    "{open}"
                );
                assert!((held(&board, &ALONG, (0.0, h)) - 0.647 * h).abs() < 0.0005 * h);
            }
        }
        // The notes on the trade work two cases out: h 0.10 and 0.20 at action 2.0.
        let board = straight(650.0);
        let case = |h| {
            (
                line(&board, &ALONG, (0.0, h), 2.0).action(&board, &ALONG, 1),
                held(&board, &ALONG, (0.0, h)),
            )
        };
        let ((a, b), (c, d)) = (case(0.1), case(0.2));
        assert!((a - 0.31).abs() < 0.005 && (b - 0.065).abs() < 0.0005, "{a} {b}");
        assert!((c - 0.40).abs() < 0.005 && (d - 0.13).abs() < 0.001, "{c} {d}");
    }

    proptest! {
        /// A stack on the board, the fret's height and the clearance of a string level with fret 0 add up.
        #[test]
        fn the_stack_is_fret_height_and_what_the_floor_stands_over_the_frets(y in -20.0..20.0f64, h in 0.0..0.6f64, fret in 0.6..1.3f64) {
            let board = Board::new(645.0, 14, 0.2, BoardRadius::Conical { nut: 300.0, fret_12: 400.0 }).unwrap();
            let z = h + board.crown_at_nut(y);
            prop_assert!((stack(&board, y, fret, z) - fret - h).abs() < 1e-12);
        }
    }
}
