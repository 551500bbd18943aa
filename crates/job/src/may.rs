//! Values that a job may leave out.

use crate::node::Node;

/// A value that may be left out.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) enum May<T> {
    /// There is none, and none is needed.
    Absent,
    /// It is there, and sound.
    Read(T),
    /// It is missing or refused, which is reported; or nothing has looked for it.
    #[default]
    Unread,
}

impl<T> May<T> {
    /// The value of a key as `read` reads it, which reports what it refuses.
    pub(crate) fn read<'a>(node: Option<Node<'a>>, read: impl FnOnce(&Node<'a>) -> Option<T>) -> Self {
        match node {
            None => Self::Absent,
            Some(node) => read(&node).map_or(Self::Unread, Self::Read),
        }
    }

    /// The value if there is one; `None` if it is not known whether there is one, or which.
    pub(crate) fn sound(self) -> Option<Option<T>> {
        match self {
            Self::Absent => Some(None),
            Self::Read(value) => Some(Some(value)),
            Self::Unread => None,
        }
    }

    /// The value, if there is one.
    pub(crate) fn given(self) -> Option<T> {
        self.sound().flatten()
    }

    /// The value, or this one where none is given.
    pub(crate) fn or(self, usual: T) -> Option<T> {
        self.or_else(|| Some(usual))
    }

    /// The value, or that of `usual` where none is given.
    pub(crate) fn or_else(self, usual: impl FnOnce() -> Option<T>) -> Option<T> {
        self.sound()?.or_else(usual)
    }

    pub(crate) fn map<U>(self, map: impl FnOnce(T) -> U) -> May<U> {
        match self {
            Self::Absent => May::Absent,
            Self::Read(value) => May::Read(map(value)),
            Self::Unread => May::Unread,
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
