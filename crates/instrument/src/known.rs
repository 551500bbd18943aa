//! What is known of a string's stretch stiffness, and how sure that makes it.

use strings::Wrong;

/// How the stretch stiffness of a string is known before any pitch is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StretchKnown {
    /// A plain wire of steel. `E A / T` goes as modulus over density: both mass and section go as the square of the gauge, which cancels.
    PlainWire,
    /// A stretch response measured on this string.
    Response,
    /// A wound string whose core was measured on this string.
    Core,
    /// The stretch response of a set's name.
    ResponseOfSet,
    /// The core of a set's name.
    CoreOfSet,
    /// The stretch response by a rule from the gauge ([`strings::on_nylon`]).
    ResponseByRule,
    /// The core by a rule from the gauge ([`strings::steel_core`]).
    CoreByRule,
    /// Nylon, fluorocarbon, gut or the like by a handbook's modulus.
    Filament,
}

impl StretchKnown {
    /// Standard uncertainty of the stretch stiffness, as a share of itself.
    ///
    /// Plain wire 0.02: the modulus of music wire (from memory). A response 0.05: 1 in 20, as it is measured (common practice, no source). A
    /// core 0.05: a micrometer's 0.006 mm on 0.4 mm counts twice, with the modulus and a doubtful shape (derived here). A set's name 0.15: cores of
    /// one name differ by so much (from memory). By rule 0.2: see the rules. A filament 0.4: the three plain nylon strings of M. B.
    /// Anderson and R. G. Beausoleil, J. Acoust. Soc. Am. 156(1), 683 (2024) have moduli of 3.9, 4.8 and 8.3 GPa under their tensions, whose
    /// logarithms spread by 0.39.
    #[must_use]
    pub fn sigma(self) -> f64 {
        match self {
            Self::PlainWire => 0.02,
            Self::Response | Self::Core => 0.05,
            Self::ResponseOfSet | Self::CoreOfSet => 0.15,
            Self::ResponseByRule | Self::CoreByRule => 0.2,
            Self::Filament => 0.4,
        }
    }

    /// What is wrong where the stretch stiffness is: the size of a core, else the modulus.
    #[must_use]
    pub fn wrong(self) -> Wrong {
        match self {
            Self::Core | Self::CoreOfSet | Self::CoreByRule => Wrong::Size,
            Self::PlainWire | Self::Response | Self::ResponseOfSet | Self::ResponseByRule | Self::Filament => {
                Wrong::Modulus
            }
        }
    }
}
