//! What was heard of a string so far, as it travels between the page and its script: figures, no sound.

use listen::{PITCHES, Sure};
use work::{Agreement, HeardPluck, MOST_PLUCKS, agreed};

use crate::talk::Fields;

/// The plucks of one string, open and fretted at 12, the first first.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Plucks {
    open: Vec<HeardPluck>,
    fretted: Vec<HeardPluck>,
}

impl Plucks {
    /// Those that a request carries. What is no pluck is left out.
    pub(crate) fn of(fields: &Fields) -> Self {
        let read = |name: &str| -> Vec<HeardPluck> { fields.text(name).split(',').filter_map(pluck).collect() };
        let mut made = Self {
            open: read("open"),
            fretted: read("fretted"),
        };
        for list in [&mut made.open, &mut made.fretted] {
            keep_last(list);
        }
        made
    }

    /// Adds one.
    pub(crate) fn add(&mut self, fret: u32, pluck: HeardPluck) {
        let list = if fret == 0 { &mut self.open } else { &mut self.fretted };
        list.push(pluck);
        keep_last(list);
    }

    fn at(&self, fret: u32) -> &[HeardPluck] {
        if fret == 0 { &self.open } else { &self.fretted }
    }

    /// The last one at a fret.
    pub(crate) fn last(&self, fret: u32) -> Option<HeardPluck> {
        self.at(fret).last().copied()
    }

    /// Whether those at a fret agree.
    pub(crate) fn agreement(&self, fret: u32) -> Agreement {
        agreed(self.at(fret))
    }

    /// What those at a fret agree on.
    pub(crate) fn agreed(&self, fret: u32) -> Option<HeardPluck> {
        match self.agreement(fret) {
            Agreement::Agreed(pluck, _) => Some(pluck),
            _ => None,
        }
    }

    /// Those at a fret as they travel.
    pub(crate) fn texts(&self, fret: u32) -> String {
        let texts: Vec<String> = self.at(fret).iter().map(Self::text).collect();
        texts.join(",")
    }

    /// One as it travels: pitch and how sure it is, Hz; B and how sure that is, if it was heard.
    pub(crate) fn text(pluck: &HeardPluck) -> String {
        let of = |sure: Sure| format!("{:e}:{:e}", sure.value, sure.sure_to);
        match pluck.inharmonicity {
            Some(b) => format!("{}:{}", of(pluck.pitch), of(b)),
            None => of(pluck.pitch),
        }
    }
}

fn keep_last(list: &mut Vec<HeardPluck>) {
    let over = list.len().saturating_sub(MOST_PLUCKS);
    list.drain(..over);
}

fn pluck(text: &str) -> Option<HeardPluck> {
    let numbers: Vec<f64> = text.split(':').map(|part| part.parse().ok()).collect::<Option<_>>()?;
    let sound = |value: f64, sure_to: f64| {
        let positive = |one: f64| one.is_finite() && one > 0.0;
        (positive(value) && positive(sure_to)).then_some(Sure { value, sure_to })
    };
    let (pitch, inharmonicity) = match numbers[..] {
        [pitch, sure_to] => (sound(pitch, sure_to)?, None),
        [pitch, sure_to, b, b_sure_to] => (sound(pitch, sure_to)?, Some(sound(b, b_sure_to)?)),
        _ => return None,
    };
    (PITCHES.0..=PITCHES.1)
        .contains(&pitch.value)
        .then_some(HeardPluck { pitch, inharmonicity })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(open: &str) -> Plucks {
        let mut fields = Fields::default();
        fields.put("open".to_owned(), open.to_owned());
        Plucks::of(&fields)
    }

    #[test]
    fn what_travels_comes_back_as_it_was() {
        let mut plucks = Plucks::default();
        plucks.add(
            0,
            HeardPluck {
                pitch: Sure {
                    value: 82.412_345_678_9,
                    sure_to: 0.009_876,
                },
                inharmonicity: Some(Sure {
                    value: 1.234_567_89e-4,
                    sure_to: 1e-6,
                }),
            },
        );
        assert_eq!(of(&plucks.texts(0)), plucks);
        assert_eq!(of(&format!("x,,{},1:2:3", plucks.texts(0))), plucks);
    }

    #[test]
    fn what_is_no_pluck_is_left_out() {
        for text in [
            "",
            "a",
            "82",
            "82:0",
            "82:-1",
            "NaN:1",
            "82:inf",
            "1e9:1",
            "5:0.1",
            "82:0.1:1e-4",
            "82:0.1:-1e-4:1e-6",
            "82:0.1:1e-4:0",
            "82:0.1:1:1:1",
        ] {
            assert_eq!(of(text), Plucks::default(), "{text}");
        }
        let many = vec!["82:0.1"; 1000].join(",");
        assert_eq!(of(&many).texts(0).split(',').count(), MOST_PLUCKS);
    }
}
