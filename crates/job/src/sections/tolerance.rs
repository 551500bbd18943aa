//! `[tolerance]` and `[uncertainty]`: what counts as good, and how sure the readings are.

use instrument::{Paired, Uncertainty};
use saddle::tolerance::{Band, Sampling};

use crate::ToleranceSetup;
use crate::fields::{Field, Kind, f};
use crate::node::Node;
use crate::table::{Table, default};

/// `[tolerance]`, or its defaults.
pub(crate) fn tolerance(node: Option<&Node>) -> Option<ToleranceSetup> {
    let mut setup = ToleranceSetup {
        band: Band::default(),
        sampling: Sampling::default(),
    };
    let Some(node) = node else { return Some(setup) };
    let mut put = Put::new(node.table()?);
    put.figure(f!("tolerance.action"), &mut setup.band.action);
    put.figure(f!("tolerance.cents"), &mut setup.band.cents);
    put.figure(f!("tolerance.confidence"), &mut setup.sampling.confidence);
    if let Some(n) = put.table.get(f!("tolerance.samples")) {
        setup.sampling.samples = usize::try_from(n.whole()?).ok()?;
    }
    if let Some(n) = put.table.get(f!("tolerance.seed")) {
        setup.sampling.seed = u64::from(n.whole()?);
    }
    put.sound.then_some(setup)
}

/// Puts what a table gives in place of defaults.
struct Put<'a> {
    table: Table<'a>,
    /// Nothing was refused so far.
    sound: bool,
}

impl<'a> Put<'a> {
    fn new(table: Table<'a>) -> Self {
        Self { table, sound: true }
    }

    fn figure(&mut self, row: &'static Field, to: &mut f64) {
        self.with(row, to, Node::figure);
    }

    fn paired(&mut self, row: &'static Field, to: &mut Paired) {
        self.with(row, to, paired);
    }

    fn with<T: Copy>(&mut self, row: &'static Field, to: &mut T, read: impl FnOnce(&Node<'a>) -> Option<T>) {
        match self.table.may(row, read).or(*to) {
            Some(value) => *to = value,
            None => self.sound = false,
        }
    }
}

/// `[uncertainty]`, or its defaults.
pub(crate) fn uncertainty(node: Option<&Node>) -> Option<Uncertainty> {
    let mut unsure = Uncertainty::default();
    let Some(node) = node else { return Some(unsure) };
    let mut put = Put::new(node.table()?);
    put.figure(f!("uncertainty.relief"), &mut unsure.relief);
    put.figure(f!("uncertainty.board_radius"), &mut unsure.board_radius);
    put.figure(f!("uncertainty.lean"), &mut unsure.lean);
    put.with(f!("uncertainty.stretch"), &mut unsure.stretch, |n| n.figure().map(Some));
    put.figure(f!("uncertainty.stretch_calibrated"), &mut unsure.stretch_calibrated);
    put.figure(f!("uncertainty.seating"), &mut unsure.seating);
    put.figure(f!("uncertainty.made_height"), &mut unsure.made_height);
    put.figure(f!("uncertainty.made_ridge"), &mut unsure.made_ridge);
    put.paired(f!("uncertainty.first_fret_clearance"), &mut unsure.clearance);
    put.paired(f!("uncertainty.present_action"), &mut unsure.present_action);
    put.paired(f!("uncertainty.slot_edge"), &mut unsure.slot_edge);
    put.paired(f!("uncertainty.bridge_top"), &mut unsure.bridge_top);
    put.paired(f!("uncertainty.slot_depth"), &mut unsure.slot_depth);
    put.paired(f!("uncertainty.reference_contact"), &mut unsure.reference_contact);
    put.paired(f!("uncertainty.reference_height"), &mut unsure.reference_height);
    put.paired(f!("uncertainty.reference_back"), &mut unsure.reference_back);
    put.figure(f!("uncertainty.nut_to_12"), &mut unsure.nut_to_12);
    put.figure(f!("uncertainty.straightedge"), &mut unsure.straightedge);
    put.figure(f!("uncertainty.floor_bow"), &mut unsure.floor_bow);
    put.figure(f!("uncertainty.old_seat"), &mut unsure.old_seat);
    put.figure(f!("uncertainty.mass"), &mut unsure.mass);
    put.figure(f!("uncertainty.ends"), &mut unsure.ends);
    put.figure(f!("uncertainty.stand_off"), &mut unsure.stand_off);
    put.paired(f!("uncertainty.cents"), &mut unsure.cents);
    put.paired(f!("uncertainty.exposure"), &mut unsure.exposure);
    put.paired(f!("uncertainty.over_bridge"), &mut unsure.over_bridge);
    put.figure(f!("uncertainty.inharmonicity"), &mut unsure.inharmonicity);
    put.figure(f!("uncertainty.between_action"), &mut unsure.between_action);
    put.figure(f!("uncertainty.between_nut"), &mut unsure.between_nut);
    put.figure(f!("uncertainty.drift_neck"), &mut unsure.drift_neck);
    put.figure(f!("uncertainty.drift_top"), &mut unsure.drift_top);
    put.sound.then_some(unsure)
}

/// A figure, or `{ total, correlation }`. Where no correlation is given, the part of the tool and of the hand are taken alike (common
/// practice, no source); of cents most is the body's ([`Uncertainty::CENTS_CORRELATION`]).
fn paired(node: &Node) -> Option<Paired> {
    let correlation = f!("paired.correlation");
    let usual = match node.row.kind {
        Kind::Cents => Some(Uncertainty::CENTS_CORRELATION),
        _ => default(correlation),
    };
    if !node.is_table() {
        return Some(Paired::correlated(node.figure()?, usual?));
    }
    let table = node.table_of("paired")?;
    let total = table.need(f!("paired.total")).and_then(|n| {
        let total = Node {
            row: node.row,
            one: true,
            ..n
        };
        total.figure()
    });
    let given = table.may(correlation, Node::figure).or_else(|| usual);
    Some(Paired::correlated(total?, given?))
}
