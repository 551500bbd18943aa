//! Lengths, angles and cents: read as a repairer writes them, shown in bench units.
//!
//! Inside the program a length is in millimetres and an angle in radians. This crate is the edge
//! where text becomes such a number and such a number becomes text. Its rule: a text either has
//! one meaning and is read, or it is refused with what was read, what is expected and how to mend
//! it. Nothing is guessed, because material once filed away cannot be put back.
//!
//! ```
//! use units::{BenchUnit, LengthUnit, parse_length};
//! let mm = parse_length("25 3/8 in", LengthUnit::Millimetre)?;
//! assert_eq!(mm, 644.525);
//! assert_eq!(BenchUnit::IMPERIAL.rule().show(mm), "25 3/8 in");
//! assert!(parse_length("3,2 mm", LengthUnit::Millimetre).is_err());
//! # Ok::<(), units::ReadError>(())
//! ```

mod angle;
mod bench;
mod cents;
mod decimal;
mod error;
mod length;
mod number;
mod unit;

pub use angle::{angle_from_number, degrees, parse_angle};
pub use bench::BenchUnit;
pub use cents::{cents_from_number, parse_cents};
pub use decimal::Decimal;
pub use error::{Expected, ReadError, ReadErrorKind};
pub use length::{LEAST_BARE_THOU, MAX_LENGTH_MM, MM_PER_INCH, length_from_number, parse_length};
pub use unit::LengthUnit;
