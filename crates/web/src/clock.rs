//! The time, which the browser tells with every request: the module has no clock of its own.

use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, SystemTime};

/// Milliseconds since 1970, as told last.
static NOW: AtomicU64 = AtomicU64::new(0);

/// Sets the clock, milliseconds since 1970.
pub(crate) fn set(milliseconds: u64) {
    NOW.store(milliseconds, Ordering::Relaxed);
}

/// The time as told last.
pub(crate) fn now() -> SystemTime {
    time(NOW.load(Ordering::Relaxed))
}

/// So many milliseconds after 1970; what no clock can hold is 1970.
pub(crate) fn time(milliseconds: u64) -> SystemTime {
    let after = SystemTime::UNIX_EPOCH.checked_add(Duration::from_millis(milliseconds));
    after.unwrap_or(SystemTime::UNIX_EPOCH)
}

/// Milliseconds after 1970.
pub(crate) fn milliseconds(time: SystemTime) -> u64 {
    let after = time.duration_since(SystemTime::UNIX_EPOCH).unwrap_or_default();
    u64::try_from(after.as_millis()).unwrap_or(u64::MAX)
}
