//! A list of kinds and their words, written once: each variant holds values, and the sentence names them.

use units::{BenchUnit, ReadErrorKind};

use crate::fields::Field;
use crate::layout::Layout;
use crate::said::{capital, one_of};

/// What a sentence can hold.
pub(super) trait Said {
    /// Its words in the bench unit.
    fn said(&self, bench: BenchUnit) -> String;
}

impl Said for String {
    fn said(&self, _: BenchUnit) -> String {
        self.clone()
    }
}

impl Said for &'static str {
    fn said(&self, _: BenchUnit) -> String {
        (*self).to_owned()
    }
}

impl Said for u32 {
    fn said(&self, _: BenchUnit) -> String {
        self.to_string()
    }
}

impl Said for usize {
    fn said(&self, _: BenchUnit) -> String {
        self.to_string()
    }
}

/// Why a text cannot be read; it begins a sentence.
impl Said for ReadErrorKind {
    fn said(&self, _: BenchUnit) -> String {
        capital(&self.to_string())
    }
}

impl Said for Layout {
    fn said(&self, _: BenchUnit) -> String {
        self.to_string()
    }
}

/// What is expected somewhere.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wanted {
    /// The field.
    pub field: &'static Field,
    /// One value of the several that the field has.
    pub one: bool,
}

impl Said for Wanted {
    fn said(&self, bench: BenchUnit) -> String {
        if self.one {
            self.field.expected_once(bench)
        } else {
            self.field.expected(bench)
        }
    }
}

/// So many values.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Values(pub usize);

impl Said for Values {
    fn said(&self, _: BenchUnit) -> String {
        format!("{} {}", self.0, if self.0 == 1 { "value" } else { "values" })
    }
}

/// What is expected in a field.
impl Said for &'static Field {
    fn said(&self, bench: BenchUnit) -> String {
        self.expected(bench)
    }
}

/// `"a"`, `"a" or "b"`, `"a", "b" or "c"`: names to choose from.
impl Said for Vec<String> {
    fn said(&self, _: BenchUnit) -> String {
        let quoted: Vec<String> = self.iter().map(|word| format!("\"{word}\"")).collect();
        one_of(&quoted)
    }
}

/// An enum of kinds with their words.
macro_rules! kinds {
    ($(#[$about:meta])* $enum:ident { $($name:ident { $($field:ident: $type:ty),* } => $words:literal;)* }) => {
        $(#[$about])*
        #[derive(Debug, Clone, PartialEq)]
        #[allow(missing_docs, reason = "the values stand in the sentence")]
        pub enum $enum {
            $(#[doc = concat!("```text\n", $words, "\n```")] $name { $($field: $type),* },)*
        }

        impl $enum {
            /// The kind without its values, for tests and other programs.
            #[must_use]
            pub fn name(&self) -> &'static str {
                match self {
                    $(Self::$name { .. } => stringify!($name),)*
                }
            }

            /// The words, with lengths in the bench unit.
            #[must_use]
            #[allow(unused_variables, reason = "a sentence need not name all values")]
            pub fn words(&self, bench: units::BenchUnit) -> String {
                match self {
                    $(Self::$name { $($field),* } => {
                        $(let $field = $crate::problem::words::Said::said($field, bench);)*
                        format!($words)
                    })*
                }
            }
        }
    };
}
pub(super) use kinds;
