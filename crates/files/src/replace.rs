//! What becomes of what stands there.

/// What becomes of files that stand there already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Replace {
    /// They are refused.
    No,
    /// They are replaced.
    Yes,
}
