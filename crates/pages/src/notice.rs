//! What the next page is to say: what was done, or an entry that was refused. It is asked for by its number in the address, so a page that
//! is loaded again says the same again, and sends nothing.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

use maud::{Markup, PreEscaped, html};

use crate::jobs::Version;
use crate::name::JobName;
use crate::said::Told;
use crate::talk::{Ask, Fields, Reply};

/// Most notices that are remembered.
const MOST: usize = 40;
/// The field of an address that names one.
pub(crate) const SAID: &str = "said";
/// Where the words of what was done stand, on every page.
pub(crate) const TOAST: &str = "<p class=\"toast\" id=\"toast\" role=\"status\" aria-live=\"polite\"></p>";

/// A way back from what was done.
#[derive(Debug, Clone)]
pub(crate) struct WayBack {
    /// What the button says.
    pub(crate) label: String,
    /// Where it is posted.
    pub(crate) action: String,
    /// With which fields, the token apart.
    pub(crate) fields: Vec<(&'static str, String)>,
}

/// What the next page is to say.
#[derive(Debug)]
pub(crate) enum Notice {
    /// What was done.
    Done {
        /// In words.
        words: String,
        /// And how to take it back.
        back: Option<WayBack>,
    },
    /// An entry that was refused, as it was sent, with why.
    Refused {
        /// The fields.
        fields: Fields,
        /// Why, in words; empty where each field has its own.
        why: String,
        /// What became of each field.
        told: Told,
        /// The job as it was then: once it is another, this is no longer true.
        of: Option<(JobName, Version)>,
    },
    /// A whole page that a post was refused with.
    Page {
        /// Its status.
        status: u16,
        /// As it was sent.
        page: String,
        /// What was asked.
        path: String,
        /// The version of the job that the post was made from.
        version: String,
    },
}

impl Notice {
    /// An entry that was refused for one reason.
    pub(crate) fn refused(fields: &Fields, why: &str) -> Self {
        Self::Refused {
            fields: fields.clone(),
            why: why.to_owned(),
            told: Vec::new(),
            of: None,
        }
    }
}

/// The last number that was given, and the notices with theirs, the latest last.
type Numbered = (u64, VecDeque<(u64, Arc<Notice>)>);

/// The notices.
#[derive(Debug, Default)]
pub(crate) struct Notices(Mutex<Numbered>);

impl Notices {
    fn put(&self, notice: Notice) -> u64 {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.0 += 1;
        let number = all.0;
        all.1.push_back((number, Arc::new(notice)));
        let over = all.1.len().saturating_sub(MOST);
        all.1.drain(..over);
        number
    }

    /// To this page, which is to say it.
    pub(crate) fn see(&self, place: &str, notice: Notice) -> Reply {
        let number = self.put(notice);
        let (path, mark) = place
            .split_once('#')
            .map_or((place, None), |(path, mark)| (path, Some(mark)));
        let joint = if path.contains('?') { '&' } else { '?' };
        let mark = mark.map_or_else(String::new, |mark| format!("#{mark}"));
        Reply::See(format!("{path}{joint}{SAID}={number}{mark}"))
    }

    /// What a page is asked to say.
    pub(crate) fn of(&self, ask: &Ask) -> Option<Arc<Notice>> {
        let number: u64 = ask.fields.get(SAID)?.parse().ok()?;
        let all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.1
            .iter()
            .find(|(other, _)| *other == number)
            .map(|(_, notice)| Arc::clone(notice))
    }
}

/// A page that says what was done, with its way back.
pub(crate) fn with_words(page: Markup, token: &str, words: &str, back: Option<&WayBack>) -> Markup {
    let toast = html! {
        div.toast id="toast" role="status" aria-live="polite" {
            span { (words) }
            @if let Some(back) = back {
                form method="post" action=(back.action) {
                    input type="hidden" name="token" value=(token);
                    @for (name, value) in &back.fields { input type="hidden" name=(name) value=(value); }
                    button.quiet { (back.label) }
                }
            }
        }
    };
    PreEscaped(page.into_string().replacen(TOAST, &toast.into_string(), 1))
}
