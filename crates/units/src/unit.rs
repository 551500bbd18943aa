//! Units of length as declared and units as written.

/// A unit as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Unit {
    Millimetre,
    Centimetre,
    Inch,
    Thou,
    SixtyFourths,
    Degree,
    Cent,
}

impl Unit {
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Centimetre => "cm",
            Self::Inch => "in",
            Self::Thou => "thou",
            Self::SixtyFourths => "64ths",
            Self::Degree => "deg",
            Self::Cent => "cents",
        }
    }
}
/// The unit that a length without one takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LengthUnit {
    /// Millimetre, `mm`.
    Millimetre,
    /// Inch, `in`, 25.4 mm.
    Inch,
    /// Thousandth of an inch, `thou`, 0.0254 mm.
    Thou,
}

impl LengthUnit {
    /// Every unit, in the order to list them to a user.
    pub const ALL: [Self; 3] = [Self::Millimetre, Self::Inch, Self::Thou];

    /// The unit of this name: exactly `mm`, `in` or `thou`.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|unit| unit.name() == name)
    }

    /// The name, as [`LengthUnit::parse`] reads it.
    pub fn name(self) -> &'static str {
        self.written().name()
    }

    pub(crate) fn written(self) -> Unit {
        match self {
            Self::Millimetre => Unit::Millimetre,
            Self::Inch => Unit::Inch,
            Self::Thou => Unit::Thou,
        }
    }
}
