//! One string with what the file does to it, as it is given.

use saddle::StringPlan;
use saddle::filing::{Standing, Stroke};

/// One string with what the file does to it.
#[derive(Debug, Clone)]
pub struct FiledSection<'a> {
    /// Its plan, for number, note, target action and aim in cents.
    pub string: &'a StringPlan,
    /// The string on the crown as it stands.
    pub standing: &'a Standing<'a>,
    /// The crown as it stands, in words, beside the string's number: `flat top`.
    pub crown: &'a str,
    /// The stroke; `None` if it cannot be made.
    pub stroke: Option<Stroke>,
    /// Height to leave proud before the stroke, mm along v.
    pub proud: Option<f64>,
    /// The verdict, in lines of words; what is too long is wrapped, and cut after five lines.
    pub words: Vec<String>,
}

impl FiledSection<'_> {
    /// Every number that the figures write out.
    pub(crate) fn numbers(&self) -> impl Iterator<Item = f64> {
        let strokes = self.stroke.into_iter().flat_map(|s| {
            [
                s.forward,
                s.contact.b,
                s.contact.u,
                s.contact.v,
                s.drop,
                s.action_12,
                s.loss_12,
                s.cents_12,
                s.by_length,
                s.by_height,
            ]
        });
        strokes
            .chain(self.proud)
            .chain([self.string.action_12, self.string.aim_cents_12])
    }
}
