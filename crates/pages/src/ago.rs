//! A time that has passed, in words: needs no clock of the reader's own place.

use std::time::SystemTime;

/// So many seconds ago.
#[must_use]
pub fn ago(seconds: u64) -> String {
    let (minutes, hours, days) = (seconds / 60, seconds / 3600, seconds / 86_400);
    match (days, hours, minutes) {
        (0, 0, 0) => "just now".to_owned(),
        (0, 0, n) => format!("{n} min ago"),
        (0, h, n) => format!("{h} h {} min ago", n % 60),
        (1, ..) => "1 day ago".to_owned(),
        (n, ..) => format!("{n} days ago"),
    }
}

/// How long before `now` a time was; one that the clock has still to reach is now.
#[must_use]
pub(crate) fn since(now: SystemTime, when: SystemTime) -> String {
    ago(now.duration_since(when).map_or(0, |since| since.as_secs()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_in_words() {
        for (seconds, told) in [
            (0, "just now"),
            (61, "1 min ago"),
            (3599, "59 min ago"),
            (3600 * 5 + 120, "5 h 2 min ago"),
            (86_400, "1 day ago"),
            (86_400 * 29, "29 days ago"),
        ] {
            assert_eq!(ago(seconds), told);
        }
    }
}
