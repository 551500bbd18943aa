//! How much and how long a client may hold.

use std::time::Duration;

/// How much and how long a client may hold. A browser opens about six connections at a time; all of a machine's browsers are one address
/// on loopback.
#[derive(Debug, Clone, Copy)]
pub struct Limits {
    /// From the start of a connection, or from the last reply on it, to the end of the next request's head.
    pub head: Duration,
    /// From the head of a request to the end of its body.
    pub body: Duration,
    /// From the moment that a client stops taking a reply to the end of that reply.
    pub reply: Duration,
    /// Most open connections. More wait to be accepted until one is free.
    pub connections: usize,
    /// Most open connections of one address: as many as leave room for others, and for the files of the jobs, where a
    /// process may hold some forty of them. More are hung up on.
    pub of_one: usize,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            head: Duration::from_secs(15),
            body: Duration::from_secs(15),
            reply: Duration::from_secs(60),
            connections: 64,
            of_one: 20,
        }
    }
}
