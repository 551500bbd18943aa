//! How the blank is held, and what it is cut from.

use crate::end::End;
use crate::{Cutter, CutterShape, Machine, Material};

/// Which way the blank lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SetupKind {
    /// Standing in a vise on a parallel, top up, front face against the fixed jaw.
    OnEdge,
    /// Lying on its front face.
    Flat,
    /// A nut standing on an end, front face against the fixed jaw, its top edge out past the jaws' side, for a saw on an arbor.
    OnEnd,
}

impl SetupKind {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::OnEdge, Self::Flat, Self::OnEnd];

    /// Its name, as in file names, in the head of a program and in commands.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::OnEdge => "on-edge",
            Self::Flat => "flat",
            Self::OnEnd => "on-end",
        }
    }
}

/// What is cut, without its plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PartKind {
    /// A saddle.
    Saddle,
    /// A nut.
    Nut,
}

impl PartKind {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::Saddle, Self::Nut];

    /// Its name, as in commands.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Saddle => "saddle",
            Self::Nut => "nut",
        }
    }
}

/// What goes before a setup's name when a nut is cut.
const NUT: &str = "nut-";

/// Name of a setup of a part, as in file names and in the head of a program: a nut's begins with `nut-`.
#[must_use]
pub fn setup_name(part: PartKind, kind: SetupKind) -> String {
    match part {
        PartKind::Saddle => kind.name().to_owned(),
        PartKind::Nut => format!("{NUT}{}", kind.name()),
    }
}

/// The part and setup of that name.
#[must_use]
pub(crate) fn setup_named(name: &str) -> Option<(PartKind, SetupKind)> {
    let all = PartKind::ALL.into_iter();
    let mut pairs = all.flat_map(|part| SetupKind::ALL.map(|kind| (part, kind)));
    let none = (PartKind::Saddle, SetupKind::OnEnd);
    pairs.find(|pair| *pair != none && setup_name(pair.0, pair.1) == name)
}

/// The stock as measured, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stock {
    /// Front to back.
    pub thickness: f64,
    /// Bottom edge to raw top.
    pub height: f64,
    /// End to end.
    pub length: f64,
    /// Where the finished blank's bass end lies from the stock's bass end.
    pub bass_margin: f64,
}

/// Where Z is set to nought.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Zero {
    /// On edge: at the seat (the parallel's top). Flat: at the front face (the table).
    Seat,
    /// At the raw top of the stock.
    RawTop,
}

/// What holds the stock, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Holding {
    /// Two jaws along the blank.
    Vise {
        /// Top of the jaws above the seat.
        jaw_height: f64,
        /// Thickness of each jaw across the blank.
        jaw_thickness: f64,
        /// First and last X of the jaws; not a finite number where it is not known: see [`Setup::jaw_x`].
        jaw_x: (f64, f64),
    },
    /// Tape or glue under the whole blank, with tabs of the stock left standing in the outline.
    Tape {
        /// Tabs wanted in the outline; fewer are left where the stock does not reach far enough for them. 0 for an onion skin
        /// instead.
        tabs: u32,
        /// Length of a tab along the outline.
        tab_length: f64,
        /// Height of tab or skin above the table.
        tab_height: f64,
    },
}

/// Ends of the finished blank.
#[derive(Debug, Clone, PartialEq)]
pub enum Ends {
    /// Square.
    Square,
    /// Rounded over the whole thickness, for a drop-in saddle.
    Round,
    /// Blended into the bridge's wings: `(x, v)` from the bass end and from the treble end, each rising inward. The top is
    /// not higher than these.
    Winged {
        /// From the bass end: distance inward and height.
        bass: Vec<(f64, f64)>,
        /// From the treble end.
        treble: Vec<(f64, f64)>,
    },
}

/// All that a program is made for.
#[derive(Debug, Clone, PartialEq)]
pub struct Setup {
    /// What is cut.
    pub part: PartKind,
    /// Which way the blank lies.
    pub kind: SetupKind,
    /// The stock.
    pub stock: Stock,
    /// The part's outline is cut already, so that the stock is the part itself: as long, and as high as its highest place. See
    /// [`outlined`](crate::outlined()).
    pub outlined: bool,
    /// Where Z is nought.
    pub zero: Zero,
    /// What holds it.
    pub holding: Holding,
    /// Ends of the finished blank.
    pub ends: Ends,
    /// A saddle's whole top is cut so much higher over the seat than planned, mm: it is taken off once the strings were read at pitch.
    pub leave_proud: f64,
    /// Left on by roughing, mm.
    pub rough_allowance: f64,
    /// Highest ridge left between finishing passes, mm.
    pub scallop: f64,
    /// Z of rapid moves above the highest of stock and jaws, mm.
    pub clearance: f64,
    /// Cutter that roughs (and cuts the outline when flat).
    pub rougher: Cutter,
    /// Cutter that finishes the crown.
    pub finisher: Cutter,
    /// Cutters that start a nut's slots: upright ones on edge, saws on end. Empty for a saddle.
    pub groovers: Vec<Cutter>,
    /// Grooves stop at least so far above the floors of a nut's slots, mm.
    pub groove_leave: f64,
    /// Material.
    pub material: Material,
    /// Machine.
    pub machine: Machine,
    /// Wanted spindle speed, rev/min; kept within the machine's and the material's limits.
    pub spindle: f64,
}

/// A fine cutter breaks before the material does: in a groove it aims at this many of the thinnest chips that are cut.
/// Common practice, no source.
const FINE_CHIPS: f64 = 2.0;

impl Setup {
    /// Its name, see [`setup_name`].
    #[must_use]
    pub fn name(&self) -> String {
        setup_name(self.part, self.kind)
    }

    /// Every cutter that a program of this setup may call for.
    pub fn cutters(&self) -> impl Iterator<Item = &Cutter> {
        [&self.rougher, &self.finisher].into_iter().chain(&self.groovers)
    }

    /// Cutters that start a nut's slots in this setup: saws on end, all others on edge.
    pub fn groovers(&self) -> impl Iterator<Item = &Cutter> {
        let saws = self.kind == SetupKind::OnEnd;
        let fits = move |cutter: &&Cutter| matches!(cutter.shape, CutterShape::Saw) == saws;
        self.groovers
            .iter()
            .filter(move |_| self.kind != SetupKind::Flat)
            .filter(fits)
    }

    /// Deepest that a cutter goes in one pass, mm: the material's share of its diameter, of a tapered ball's tip, or the
    /// thickness of a saw's blade (common practice, no source).
    #[must_use]
    pub fn step_down(&self, cutter: &Cutter) -> f64 {
        if cutter.shape == CutterShape::Saw {
            return cutter.cutting_length;
        }
        let groover = self.groovers.iter().any(|c| c.number == cutter.number);
        let tip = End::of(cutter).ball().filter(|_| groover);
        self.material.step_down * tip.map_or(cutter.diameter, |radius| 2.0 * radius)
    }

    /// The material as a groove's cutter meets it: a finer chip.
    pub(crate) fn fine(&self) -> Material {
        let chip = self.material.chip.min(FINE_CHIPS * self.material.chip_least);
        Material {
            chip,
            ..self.material.clone()
        }
    }
}
