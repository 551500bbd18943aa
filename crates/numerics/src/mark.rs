//! A short mark of a content, by which equal and different contents are told apart.

use std::fmt;
use std::str::FromStr;

use hmac_sha256::Hash;
use thiserror::Error;

/// Digits of a mark in full.
const DIGITS: usize = 16;

/// Mark of a content: the first 64 bits of its SHA-256 (NIST FIPS 180-4).
///
/// It depends on the bytes alone, so that it stays the same from build to build and machine to machine, and anybody can check it:
/// `sha256sum FILE` begins with it. Two contents share one by chance in 1 of 2^64; among a million contents that any two do is less
/// likely than 1 in 10^7. It guards against mixing things up, not against somebody who builds a match.
///
/// Shown (`Display`) as 16 hexadecimal digits in lower case, with a precision as the first so many: `{:.8}` is the short one for
/// people to compare. Read back (`FromStr`) from all 16.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ContentMark(u64);

/// The text is no mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("a mark is 16 hexadecimal digits in lower case")]
pub struct MarkError;

impl ContentMark {
    /// The mark of these bytes: of a text, of a file as it lies on the disk.
    #[must_use]
    pub fn of(content: impl AsRef<[u8]>) -> Self {
        let [a, b, c, d, e, f, g, h, ..] = Hash::hash(content.as_ref());
        Self(u64::from_be_bytes([a, b, c, d, e, f, g, h]))
    }
}

impl fmt::Display for ContentMark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{:016x}", self.0))
    }
}

impl FromStr for ContentMark {
    type Err = MarkError;

    /// # Errors
    /// [`MarkError`] for anything but 16 digits as `Display` writes them.
    fn from_str(text: &str) -> Result<Self, MarkError> {
        let digit = |b: u8| matches!(b, b'0'..=b'9' | b'a'..=b'f');
        if text.len() != DIGITS || !text.bytes().all(digit) {
            return Err(MarkError);
        }
        u64::from_str_radix(text, 16).map(Self).map_err(|_| MarkError)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Examples of FIPS 180-4's authors (NIST, Examples with Intermediate Values): the empty text, "abc", and two blocks.
    #[test]
    fn begins_as_the_standard_says() {
        for (text, mark) in [
            ("", "e3b0c44298fc1c14"),
            ("abc", "ba7816bf8f01cfea"),
            (
                "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
                "248d6a61d20638b8",
            ),
        ] {
            assert_eq!(ContentMark::of(text).to_string(), mark);
            assert_eq!(format!("{:.8}", ContentMark::of(text)), mark[..8]);
        }
    }

    #[test]
    fn refuses_what_is_no_mark() {
        for text in [
            "",
            "e3b0c442",
            "E3B0C44298FC1C14",
            "+3b0c44298fc1c14",
            "e3b0c44298fc1c140",
            "e3b0c44298fc1c1é",
        ] {
            assert_eq!(text.parse::<ContentMark>(), Err(MarkError), "{text}");
        }
    }

    proptest! {
        #[test]
        fn read_back_as_shown_and_other_for_another_text(text in ".{0,80}", more in ".") {
            let mark = ContentMark::of(&text);
            prop_assert_eq!(mark.to_string().parse(), Ok(mark));
            prop_assert_ne!(ContentMark::of(format!("{text}{more}")), mark);
        }
    }
}
