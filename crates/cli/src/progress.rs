//! How far long work is: a line on standard error where it is a terminal, gone when the work is done.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::IsTerminal;
use std::sync::OnceLock;
use std::time::{Duration, Instant};

/// Work shorter than this shows nothing.
const QUIET: Duration = Duration::from_millis(700);
/// Times a second that the line is drawn at most.
const RATE: u8 = 10;
/// How far it is, of how much, and what is in hand; cut off at the terminal's edge.
const LINE: &str = "[{bar:40}] {pos} of {len}  {wide_msg}";

/// The line of one piece of work.
pub struct Progress {
    bar: ProgressBar,
    begun: Instant,
    shown: OnceLock<()>,
}

impl Progress {
    /// Of `all` steps none is done.
    pub fn of(all: usize) -> Self {
        let bar = ProgressBar::with_draw_target(u64::try_from(all).ok(), ProgressDrawTarget::hidden());
        // The template is a constant; were it not read, the library's own would do.
        if let Ok(style) = ProgressStyle::with_template(LINE) {
            bar.set_style(style.progress_chars("##."));
        }
        Self {
            bar,
            begun: Instant::now(),
            shown: OnceLock::new(),
        }
    }

    /// So many steps more are done.
    pub fn add(&self, done: usize) {
        if self.begun.elapsed() >= QUIET {
            self.show();
        }
        self.bar.inc(u64::try_from(done).unwrap_or(u64::MAX));
    }

    /// What is in hand now, told at once: for steps that are long by themselves.
    pub fn now(&self, what: &str) {
        self.show();
        self.bar.set_message(what.to_owned());
    }

    fn show(&self) {
        self.shown.get_or_init(|| {
            let dumb = std::env::var_os("TERM").is_some_and(|name| name == "dumb");
            if std::io::stderr().is_terminal() && !dumb {
                self.bar.set_draw_target(ProgressDrawTarget::stderr_with_hz(RATE));
            }
        });
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
