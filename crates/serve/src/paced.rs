//! A connection whose client must take what it asked for.

use std::future::Future;
use std::io;
use std::pin::Pin;
use std::task::{Context, Poll, ready};
use std::time::Duration;

use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::time::{Sleep, sleep};

/// A connection that breaks if what is written stands still, and is not all taken within a time from then on. A client that takes a
/// byte now and then wins nothing by it.
#[derive(Debug)]
pub struct Paced<T> {
    inner: T,
    most: Duration,
    /// Runs from the first write that had to wait until all is written.
    late: Option<Pin<Box<Sleep>>>,
}

impl<T> Paced<T> {
    /// A connection with this time, which must be positive.
    pub fn new(inner: T, most: Duration) -> Self {
        Self {
            inner,
            most,
            late: None,
        }
    }

    /// What the write says, unless it waits too long.
    fn paced<V>(&mut self, written: Poll<io::Result<V>>, context: &mut Context<'_>) -> Poll<io::Result<V>> {
        if written.is_ready() && self.late.is_none() {
            return written;
        }
        let most = self.most;
        let late = self.late.get_or_insert_with(|| Box::pin(sleep(most)));
        if late.as_mut().poll(context).is_ready() {
            return Poll::Ready(Err(io::ErrorKind::TimedOut.into()));
        }
        written
    }
}

impl<T: AsyncRead + Unpin> AsyncRead for Paced<T> {
    fn poll_read(mut self: Pin<&mut Self>, context: &mut Context<'_>, into: &mut ReadBuf<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.inner).poll_read(context, into)
    }
}

impl<T: AsyncWrite + Unpin> AsyncWrite for Paced<T> {
    fn poll_write(mut self: Pin<&mut Self>, context: &mut Context<'_>, bytes: &[u8]) -> Poll<io::Result<usize>> {
        let written = Pin::new(&mut self.inner).poll_write(context, bytes);
        self.paced(written, context)
    }

    fn poll_write_vectored(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        parts: &[io::IoSlice<'_>],
    ) -> Poll<io::Result<usize>> {
        let written = Pin::new(&mut self.inner).poll_write_vectored(context, parts);
        self.paced(written, context)
    }

    fn is_write_vectored(&self) -> bool {
        self.inner.is_write_vectored()
    }

    /// Called when nothing is left to write.
    fn poll_flush(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        let done = ready!(Pin::new(&mut self.inner).poll_flush(context));
        self.late = None;
        Poll::Ready(done)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.inner).poll_shutdown(context)
    }
}
