//! Findings in words, one by one: what the page of the command and the page in the browser are made of.

use super::advice;
use super::assessed::{Assessed, COMPARISON};
use super::figures::{bare_limit, figure, limit, short};
use super::topic;
use assess::{Finding, Topic, Verdict};
use work::AirFrom;

/// One finding that says something.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FindingWords {
    /// What it asks for.
    pub verdict: Verdict,
    /// The same in a word or two, what it is about, its figure and its limit with the source, and whether it can be undone.
    pub head: String,
    /// What to do about it.
    pub advice: String,
}

/// One finding that is in order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SoundWords {
    /// What it is about.
    pub name: &'static str,
    /// Its figure; empty if it has none.
    pub figure: String,
    /// Its limits.
    pub limit: String,
    /// Where they come from, each once.
    pub sources: Vec<&'static str>,
}

impl Assessed<'_> {
    /// The fork: what comes first, as one sentence; then what lets no such saddle be made.
    #[must_use]
    pub fn headline(&self) -> Vec<String> {
        std::iter::once(self.fork()).chain(self.impossible()).collect()
    }

    /// What says something, what to do first coming first.
    #[must_use]
    pub fn open(&self) -> Vec<FindingWords> {
        let open = self.found.findings.iter().filter(|f| !self.advice(f).is_empty());
        open.map(|finding| self.told(finding)).collect()
    }

    /// What is in order.
    #[must_use]
    pub fn sound(&self) -> Vec<SoundWords> {
        let sound = self.found.findings.iter().filter(|f| self.advice(f).is_empty());
        sound.map(|finding| self.in_order(finding)).collect()
    }

    /// What every output says of its figures.
    #[must_use]
    pub fn comparison() -> &'static str {
        COMPARISON
    }

    pub(super) fn told(&self, finding: &Finding) -> FindingWords {
        let mut head = format!("{}: {}", advice::verdict(finding), self.name(finding));
        if let Some(value) = finding.value {
            head += &format!(", {}", figure(finding.quantity, value, self.bench));
        }
        if let Some(limit) = limit(finding, self.bench) {
            head += &format!("; limit {limit}");
        }
        head += ".";
        if let Some(undo) = advice::undo(finding) {
            head += &format!(" {undo}");
        }
        FindingWords {
            verdict: finding.verdict,
            head,
            advice: self.advice(finding),
        }
    }

    /// What a finding is about, and where its figure is written if that is not where it is asked for.
    fn name(&self, finding: &Finding) -> &'static str {
        match (finding.topic, self.air) {
            (Topic::Humidity, Some(AirFrom::Book)) => "Humidity, by the book",
            (topic, _) => topic::name(topic),
        }
    }

    pub(super) fn in_order(&self, finding: &Finding) -> SoundWords {
        let mut sources: Vec<&'static str> = Vec::new();
        for words in [finding.least, finding.most]
            .into_iter()
            .flatten()
            .map(|b| b.source.words())
        {
            if !sources.contains(&words) {
                sources.push(words);
            }
        }
        SoundWords {
            name: self.name(finding),
            figure: finding
                .value
                .map_or_else(String::new, |v| short(finding.quantity, v, self.bench)),
            limit: bare_limit(finding, self.bench),
            sources,
        }
    }
}
