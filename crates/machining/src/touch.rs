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

/// When a tool is touched off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TouchWhen {
    /// Before the first program.
    BeforeFirst,
    /// At the pause of the program that changes to it (M0).
    AtPause,
    /// Before its own program.
    BeforeOwn,
}

/// How a tool comes to its Z.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ToZ {
    /// By its length in the controller's table, which its program takes up; the first is taken up by hand and lowered on this.
    Table(Option<Touch>),
    /// It is lowered on this, and Z set.
    Lowered(Touch),
    /// The same, then lowered on what stays as well, and what Z says there written down.
    Noted {
        /// What it touches first.
        on: Touch,
        /// What stays.
        again: Touch,
    },
    /// It is lowered on what stays, and Z set to what was written down.
    AsNoted {
        /// What it touches.
        on: Touch,
        /// What the first tool touched, which is cut away.
        gone: Touch,
        /// The tool that it was written down for.
        of: u32,
    },
}

/// How one tool comes to its Z, and when.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToolTouch {
    /// Number of the tool.
    pub tool: u32,
    /// When.
    pub when: TouchWhen,
    /// How.
    pub to_z: ToZ,
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

    /// How each of `tools`, in the order of their work, comes to its Z.
    #[must_use]
    pub fn touches(&self, tools: &[u32]) -> Vec<ToolTouch> {
        let (first, stays) = (self.first_touch(), self.touch());
        let transfer = first.on != stays.on;
        let one = |(i, tool): (usize, &u32)| {
            let when = match (i, self.machine.tool_lengths) {
                (0, _) => TouchWhen::BeforeFirst,
                (_, ToolLengths::TouchOff) => TouchWhen::AtPause,
                _ => TouchWhen::BeforeOwn,
            };
            let to_z = match (self.machine.tool_lengths, transfer, i) {
                (ToolLengths::Table, _, 0) => ToZ::Table(Some(first)),
                (ToolLengths::Table, ..) => ToZ::Table(None),
                (_, false, _) => ToZ::Lowered(stays),
                (_, true, 0) if tools.len() > 1 => ToZ::Noted {
                    on: first,
                    again: stays,
                },
                (_, true, 0) => ToZ::Lowered(first),
                (_, true, _) => ToZ::AsNoted {
                    on: stays,
                    gone: first,
                    of: tools.first().copied().unwrap_or_default(),
                },
            };
            ToolTouch {
                tool: *tool,
                when,
                to_z,
            }
        };
        tools.iter().enumerate().map(one).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testbed::on_edge;

    /// No tool but the first is ever sent to the raw top, and every figure is that of the jaw.
    #[test]
    fn later_tools_touch_what_stays() {
        for (zero, jaw) in [(Zero::Seat, 5.0), (Zero::RawTop, -6.0)] {
            for lengths in [ToolLengths::TouchOff, ToolLengths::OneProgram] {
                let mut setup = on_edge();
                setup.zero = zero;
                setup.machine.tool_lengths = lengths;
                let touches = setup.touches(&[1, 2, 5]);
                assert_eq!(touches[0].when, TouchWhen::BeforeFirst);
                match (zero, touches[0].to_z) {
                    (Zero::Seat, ToZ::Lowered(on)) => assert_eq!((on.on, on.z), (TouchOn::FixedJaw, jaw)),
                    (Zero::RawTop, ToZ::Noted { on, again }) => {
                        assert_eq!((on.on, on.z), (TouchOn::RawTop, 0.0));
                        assert_eq!((again.on, again.z), (TouchOn::FixedJaw, jaw));
                    }
                    other => panic!("{other:?}"),
                }
                for touch in &touches[1..] {
                    let pause = lengths == ToolLengths::TouchOff;
                    assert_eq!(touch.when == TouchWhen::AtPause, pause);
                    match touch.to_z {
                        ToZ::Lowered(on) | ToZ::AsNoted { on, of: 1, .. } => {
                            assert_eq!((on.on, on.z), (TouchOn::FixedJaw, jaw));
                        }
                        other => panic!("{other:?}"),
                    }
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

    /// A machine that knows the lengths of its tools is touched off once.
    #[test]
    fn a_table_is_touched_off_once() {
        let setup = on_edge();
        let touches = setup.touches(&[1, 2]);
        assert_eq!(touches[0].to_z, ToZ::Table(Some(setup.first_touch())));
        assert_eq!(touches[1].to_z, ToZ::Table(None));
    }
}
