//! Fret places against published figures of equal temperament.

use instrument::{Board, BoardRadius, StringRun};

/// Frequencies of the octave on A4 = 440 Hz (ISO 16) in equal temperament, as printed in tables of musical acoustics, to 0.01 Hz.
const FROM_A4: [f64; 13] = [
    440.00, 466.16, 493.88, 523.25, 554.37, 587.33, 622.25, 659.26, 698.46, 739.99, 783.99, 830.61, 880.00,
];

#[test]
fn a_limp_string_stopped_at_each_fret_sounds_the_table() {
    let board = Board::new(650.0, 12, 0.0, BoardRadius::Flat).unwrap();
    for (n, frequency) in (0u32..).zip(FROM_A4) {
        let sounds = 440.0 * 650.0 / (650.0 - board.fret_x(n, &StringRun::CENTRE));
        assert!(
            (sounds - frequency).abs() <= 0.005 + 1e-9,
            "fret {n}: {sounds} Hz against {frequency}"
        );
    }
}

/// The divisor of equal temperament, 17.817, as printed in texts on the physics of fretted instruments: each fret lies
/// 1/17.817 of the rest of the string further on.
#[test]
fn each_fret_lies_one_17_817th_of_the_rest_further_on() {
    let board = Board::new(645.0, 14, 0.0, BoardRadius::Flat).unwrap();
    for n in 0..24 {
        let rest = 645.0 - board.fret_x(n, &StringRun::CENTRE);
        let divisor = rest / (board.fret_x(n + 1, &StringRun::CENTRE) - board.fret_x(n, &StringRun::CENTRE));
        assert!((divisor - 17.817).abs() < 0.0005, "fret {n}: {divisor}");
    }
}
