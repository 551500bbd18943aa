//! Ctrl-C, and being told to end. While nothing is written either ends the command at once, as usual. While files are written it is
//! remembered, so that they can be put back or finished first.

use signal_hook::consts::TERM_SIGNALS;
use signal_hook::flag;
use signal_hook::low_level::emulate_default_handler;
use std::io;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, OnceLock};

struct Stop {
    /// Nothing is being written.
    calm: Arc<AtomicBool>,
    /// The signal that came meanwhile; 0 for none.
    told: Arc<AtomicUsize>,
}

static STOP: OnceLock<Stop> = OnceLock::new();

/// Begins to watch for signals, once.
fn watched() -> io::Result<Stop> {
    let stop = Stop {
        calm: Arc::new(AtomicBool::new(true)),
        told: Arc::default(),
    };
    for signal in TERM_SIGNALS {
        flag::register_conditional_default(*signal, Arc::clone(&stop.calm))?;
        let number = usize::try_from(*signal).unwrap_or(usize::MAX);
        flag::register_usize(*signal, Arc::clone(&stop.told), number)?;
    }
    Ok(stop)
}

/// Does what may not be cut off in the middle. `work` is given a question that it may ask: whether it should stop.
pub fn held_off<T>(work: impl FnOnce(&dyn Fn() -> bool) -> T) -> T {
    let stop = match STOP.get() {
        Some(stop) => stop,
        // Without signals a file is whole or not at all still, and the next run clears away the rest.
        None => match watched() {
            Ok(stop) => STOP.get_or_init(|| stop),
            Err(_) => return work(&|| false),
        },
    };
    stop.calm.store(false, Ordering::SeqCst);
    let done = work(&|| stop.told.load(Ordering::SeqCst) != 0);
    stop.calm.store(true, Ordering::SeqCst);
    done
}

/// Ends the command by the signal that came while files were written, if one came.
pub fn end_if_told() {
    let told = STOP.get().map_or(0, |stop| stop.told.load(Ordering::SeqCst));
    if let Some(signal) = i32::try_from(told).ok().filter(|signal| *signal != 0) {
        let _ = emulate_default_handler(signal);
    }
}
