//! The blank of the job before: a repairer cuts from one stock.

use survey::{Interview, Station};

use crate::desk::{Desk, Opened};
use crate::talk::Fields;

/// Most jobs that are looked through.
const MOST: usize = 60;
/// What a blank is, by the station that asks for it.
const SADDLE: [&str; 4] = ["blank.material", "blank.thickness", "blank.height", "blank.length"];
const NUT: [&str; 4] = [
    "nut_blank.material",
    "nut_blank.thickness",
    "nut_blank.height",
    "nut_blank.length",
];

/// The blank of another job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LastBlank {
    /// Title of that job.
    pub of: String,
    /// Its answers: key and text.
    pub answers: Vec<(&'static str, String)>,
}

fn keys(station: Station) -> &'static [&'static str] {
    match station {
        Station::Blank => &SADDLE,
        Station::NutBlank => &NUT,
        _ => &[],
    }
}

impl LastBlank {
    /// The blank of the job that was changed last, beside `opened`, for a station that asks for one of which nothing is measured yet.
    #[must_use]
    pub fn of(desk: &Desk, opened: &Opened, interview: &Interview, station: Station) -> Option<Self> {
        let keys = keys(station);
        let height = *keys.get(2)?;
        if interview.answers.given(height).is_some() {
            return None;
        }
        let others = desk.store.names().into_iter().filter(|name| *name != opened.name);
        let mut others: Vec<_> = others.map(|name| (desk.store.touched(&name), name)).collect();
        others.sort();
        others.into_iter().rev().take(MOST).find_map(|(_, name)| {
            let other = desk.answers_of(&name)?;
            other.answers.given(height)?;
            let given = |key: &&'static str| Some((*key, other.answers.given(key)?.to_owned()));
            Some(Self {
                of: other.answers.given("title").unwrap_or(name.as_str()).to_owned(),
                answers: keys.iter().filter_map(given).collect(),
            })
        })
    }

    /// In a line.
    #[must_use]
    pub fn words(&self) -> String {
        let texts: Vec<&str> = self.answers.iter().map(|(_, text)| text.as_str()).collect();
        format!("{} ({})", texts.join(", "), self.of)
    }

    /// Puts its answers in place of what was sent.
    pub fn put(&self, fields: &mut Fields) {
        for (key, text) in &self.answers {
            fields.put(format!("v.{key}"), text.clone());
        }
    }
}
