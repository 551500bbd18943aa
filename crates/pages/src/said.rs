//! What became of an answer.

/// What is said of an answer.
#[derive(Debug, Clone)]
pub(crate) enum Said {
    Nothing,
    Kept,
    Doubt(String),
    Refused(String),
    /// Nothing was given, and the other end of the question has a value.
    Missing(String),
}

/// What was typed and what is said of it, by the key of the step.
pub(crate) type Told = Vec<(String, String, Said)>;
