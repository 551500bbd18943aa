//! Values that a job may leave out.

use crate::node::Node;

/// A value that may be left out.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) enum May<T> {
    /// There is none, and none is needed.
    Absent,
    /// It is there, and sound.
    Read(T),
    /// It is there and refused, which is reported; or nothing has looked for it.
    #[default]
    Unread,
}

/// A value was refused, which is reported.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Refused;

impl<T> May<T> {
    /// The value of a key as `read` reads it, which reports what it refuses.
    pub(crate) fn read<'a>(node: Option<Node<'a>>, read: impl FnOnce(&Node<'a>) -> Option<T>) -> Self {
        match node {
            None => Self::Absent,
            Some(node) => read(&node).map_or(Self::Unread, Self::Read),
        }
    }

    /// The value if there is one.
    ///
    /// # Errors
    /// [`Refused`] if it is not known whether there is one, or which.
    pub(crate) fn sound(self) -> Result<Option<T>, Refused> {
        match self {
            Self::Absent => Ok(None),
            Self::Read(value) => Ok(Some(value)),
            Self::Unread => Err(Refused),
        }
    }

    /// The same by reference.
    pub(crate) fn as_ref(&self) -> May<&T> {
        match self {
            Self::Absent => May::Absent,
            Self::Read(value) => May::Read(value),
            Self::Unread => May::Unread,
        }
    }
}
