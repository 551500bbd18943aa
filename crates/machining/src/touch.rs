//! What a tool touches so that the machine knows how long it is, and at which Z: always something that stays while the part is cut.

use crate::{Holding, Setup, SetupKind, ToolLengths, Zero};

/// What a tool touches.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TouchOn {
    /// The top of the vise's fixed jaw.
    FixedJaw,
    /// The raw top of the stock: it is gone after the first cut.
    RawTop,
    /// The highest place of the top that the outline left: so is this.
    Crest,
    /// The top of the tape, beside the stock.
    Tape,
    /// The end of the nut that stands up, which the saw leaves alone.
    UpperEnd,
}

/// A tool's touch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Touch {
    /// What it touches.
    pub on: TouchOn,
    /// Z there, program coordinates, mm.
    pub z: f64,
}

impl Touch {
    /// What is touched, in plain words.
    #[must_use]
    pub fn words(&self) -> &'static str {
        match self.on {
            TouchOn::FixedJaw => "the top of the fixed jaw",
            TouchOn::RawTop => "the raw top of the stock",
            TouchOn::Crest => "the highest place of the part's top",
            TouchOn::Tape => "the top of the tape beside the stock",
            TouchOn::UpperEnd => "the end of the nut that stands up",
        }
    }
}

impl Setup {
    /// What stays where it is from the first tool to the last: every tool may be touched off on it.
    #[must_use]
    pub fn touch(&self) -> Touch {
        let (on, z) = match (self.kind, self.holding) {
            (SetupKind::OnEnd, _) => (TouchOn::UpperEnd, self.raw_top()),
            (_, Holding::Vise { jaw_height, .. }) => (TouchOn::FixedJaw, self.seat_z() + jaw_height),
            (_, Holding::Tape { .. }) => (TouchOn::Tape, self.seat_z()),
        };
        Touch { on, z }
    }

    /// What the first tool is touched off on: the zero of Z where that is the raw top, which only the first tool meets.
    #[must_use]
    pub fn first_touch(&self) -> Touch {
        match self.zero {
            Zero::RawTop if self.kind != SetupKind::OnEnd => Touch {
                on: if self.outlined { TouchOn::Crest } else { TouchOn::RawTop },
                z: self.raw_top(),
            },
            _ => self.touch(),
        }
    }

    /// How each of `tools`, in the order of their work, comes to its Z, in plain words.
    #[must_use]
    pub fn touch_words(&self, tools: &[u32]) -> Vec<(u32, String)> {
        let (first, stays) = (self.first_touch(), self.touch());
        let several = tools.len() > 1;
        let on_stays = on(&stays);
        let transfer = first.on != stays.on;
        let one = |(i, tool): (usize, &u32)| {
            let when = match (i, self.machine.tool_lengths) {
                (0, _) => "before the first program",
                (_, ToolLengths::TouchOff) => "at the pause of the program (M0)",
                _ => "before its own program",
            };
            let words = match (self.machine.tool_lengths, transfer, i) {
                (ToolLengths::Table, _, 0) => format!(
                    "length from the controller's table, under {tool}. Take it up (T{tool} M6, G43 H{tool}), then {}",
                    on(&first)
                ),
                (ToolLengths::Table, ..) => {
                    format!(
                        "length from the controller's table, under {tool}: the program takes it up (G43 H{tool}). Do not set Z again"
                    )
                }
                (_, false, 0) => format!("{when}, {on_stays}"),
                (_, false, _) => format!(
                    "{when}, as the first on {}: {:.3} mm plus the gauge",
                    stays.words(),
                    stays.z
                ),
                (_, true, 0) if several => format!(
                    "{when}, {}. Then lower it in the same way on {} and write down what Z says, about {:.3} mm: ________",
                    on(&first),
                    stays.words(),
                    stays.z
                ),
                (_, true, 0) => format!("{when}, {}", on(&first)),
                (_, true, _) => format!(
                    "{when}, lower it on the same gauge and place on {} and set Z to what was written down for tool {}, about {:.3} mm: {} is \
                     gone",
                    stays.words(),
                    tools.first().copied().unwrap_or_default(),
                    stays.z,
                    first.words()
                ),
            };
            (*tool, words)
        };
        tools.iter().enumerate().map(one).collect()
    }
}

/// What to do with a tool and what it touches.
fn on(touch: &Touch) -> String {
    format!(
        "lower it on a gauge or paper on {}: set Z to {:.3} mm plus the gauge",
        touch.words(),
        touch.z
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testbed::on_edge;

    /// No tool but the first is ever sent to the raw top, and every figure is that of the jaw.
    #[test]
    fn later_tools_touch_what_stays() {
        for (zero, jaw) in [(Zero::Seat, "5.000 mm"), (Zero::RawTop, "-6.000 mm")] {
            for lengths in [ToolLengths::TouchOff, ToolLengths::OneProgram] {
                let mut setup = on_edge();
                setup.zero = zero;
                setup.machine.tool_lengths = lengths;
                let words = setup.touch_words(&[1, 2, 5]);
                assert_eq!(words[0].1.contains("raw top of the stock"), zero == Zero::RawTop);
                for (tool, words) in &words {
                    assert!(
                        words.contains("the top of the fixed jaw") && words.contains(jaw),
                        "{tool}: {words}"
                    );
                }
                for (_, words) in &words[1..] {
                    assert!(!words.contains("on the raw top"), "{words}");
                }
            }
        }
    }

    /// The raw top of a block is not that of a part whose outline is cut.
    #[test]
    fn the_first_tool_touches_what_stands() {
        let mut setup = on_edge();
        setup.zero = Zero::RawTop;
        assert_eq!(setup.first_touch().on, TouchOn::RawTop);
        setup.outlined = true;
        assert_eq!((setup.first_touch().on, setup.first_touch().z), (TouchOn::Crest, 0.0));
        setup.zero = Zero::Seat;
        assert_eq!(setup.first_touch(), setup.touch());
    }

    #[test]
    fn a_table_is_named_by_its_own_words() {
        let words = on_edge().touch_words(&[1, 2]);
        assert!(
            words[0].1.contains("G43 H1") && words[1].1.contains("G43 H2"),
            "{words:?}"
        );
    }
}
