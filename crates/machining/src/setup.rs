//! How the blank is held, and what it is cut from.

use crate::{Cutter, Machine, Material};

/// Which way the blank lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SetupKind {
    /// Standing in a vise on a parallel, top up, front face against the fixed jaw.
    OnEdge,
    /// Lying on its front face.
    Flat,
}

impl SetupKind {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::OnEdge, Self::Flat];

    /// Its name, as in file names, in the head of a program and in commands.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::OnEdge => "on-edge",
            Self::Flat => "flat",
        }
    }

    /// The setup of that name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.name() == name)
    }
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
        /// First and last X of the jaws.
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
    /// Which way the blank lies.
    pub kind: SetupKind,
    /// The stock.
    pub stock: Stock,
    /// Where Z is nought.
    pub zero: Zero,
    /// What holds it.
    pub holding: Holding,
    /// Ends of the finished blank.
    pub ends: Ends,
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
    /// Material.
    pub material: Material,
    /// Machine.
    pub machine: Machine,
    /// Wanted spindle speed, rev/min; kept within the machine's and the material's limits.
    pub spindle: f64,
}
