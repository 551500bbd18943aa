//! `[[readings]]`: rounds of readings beside the survey, each with one tool at one visit.

use instrument::{At, BoardRadius, Of, Paired, Taken, Uncertainty};

use crate::cross::{contact_within_reach, edge_within_reach};
use crate::fields::{Field, f};
use crate::node::{Got, Node};
use crate::parts::Parts;
use crate::problem::ProblemKind as P;
use crate::profiles::SureIn;
use crate::some_strings::{SomeStrings, at_frets, some_strings};
use crate::table::{Ends, Table};
use crate::{BenchTool, Profiles};

/// Most rounds: three visits with every tool of a shop, and more.
const MOST_ROUNDS: usize = 100;

/// Keys of a round that say how it was read, not what.
const HOW: [&Field; 4] = [
    f!("readings.with"),
    f!("readings.visit"),
    f!("readings.doubt"),
    f!("readings.sure_to"),
];

/// Every further reading of the file, in its order; `None` where one is refused.
pub(crate) fn readings(node: &Node, parts: &Parts, unsure: &Uncertainty, profiles: &Profiles) -> Option<Vec<Taken>> {
    let Some(rounds) = node.list() else {
        return node.refused(P::ReadingsInOne {});
    };
    if rounds.len() > MOST_ROUNDS {
        return node.refused(P::ManyRounds {
            rounds: rounds.len(),
            most: MOST_ROUNDS,
        });
    }
    let each = rounds.iter().map(|round| one(&round.table()?, parts, unsure, profiles));
    // All of them are looked at before any is given up.
    let each: Vec<Option<Vec<Taken>>> = each.collect();
    Some(each.into_iter().collect::<Option<Vec<_>>>()?.concat())
}

fn one(table: &Table, parts: &Parts, unsure: &Uncertainty, profiles: &Profiles) -> Option<Vec<Taken>> {
    let tools = profiles.tools().iter().map(|tool| tool.name.as_str());
    let tool = table.may(f!("readings.with"), |n| n.named(tools, |name| profiles.tool(name)));
    let visit = table.may(f!("readings.visit"), Node::whole).or(1);
    let doubted = table.yes(f!("readings.doubt"));
    let mut round = RoundRead::of(table, parts);
    round.read();
    if round.keys == 0 {
        // A misspelt key is told already.
        let misspelt = table.written().len() > HOW.iter().filter(|row| table.get(row).is_some()).count();
        return if misspelt {
            None
        } else {
            table.node.refused(P::NoReadings {})
        };
    }
    let (found, sound) = (round.found, round.sound);
    let own = table.may(f!("readings.sure_to"), |n| sure_to(n, &found));
    let (tool, own) = (tool.sound()?, own.sound()?);
    if let Some(tool) = tool
        && !can(tool, &found, profiles)
    {
        return None;
    }
    let (visit, doubted) = (visit?, doubted?);
    let taken = found.iter().map(|read| Taken {
        visit,
        doubted,
        ..read.taken(tool, own, unsure)
    });
    sound.then(|| taken.collect())
}

/// What `[present]` has of the old saddle beside what a plan needs; `None` where one is refused.
pub(crate) fn of_old_saddle(parts: &Parts, unsure: &Uncertainty) -> Option<Vec<Taken>> {
    let Some(table) = &parts.present.table else {
        return Some(Vec::new());
    };
    let mut round = RoundRead::of(table, parts);
    round.strings(f!("present.exposure"), Of::Exposure);
    round.strings(f!("present.over_bridge"), Of::OverBridge);
    round.strings(f!("present.saddle_height"), Of::SaddleHeight);
    round.strings(f!("present.saddle_back"), Of::SaddleBack);
    let taken = round.found.iter().map(|read| read.taken(None, None, unsure));
    round.sound.then(|| taken.collect())
}

/// Whether a tool can take all of these; reports, once for each key, what it cannot take.
fn can(tool: &BenchTool, found: &[Found], profiles: &Profiles) -> bool {
    let mut told: Vec<Of> = Vec::new();
    for read in found.iter().filter(|read| tool.reads(read.of).is_none()) {
        if !told.contains(&read.of) {
            told.push(read.of);
            let known = profiles.tools_for(read.of).map(|(tool, _)| tool.name.clone());
            read.got.at.refuse(P::ToolCannot {
                tool: tool.name.clone(),
                key: read.key.name(),
                known: known.collect(),
            });
        }
    }
    told.is_empty()
}

/// The uncertainty that a round says of all its readings, in what theirs is told in.
fn sure_to(node: &Node, found: &[Found]) -> Option<f64> {
    let measure = SureIn::of(found.first()?.of);
    if found.iter().any(|read| SureIn::of(read.of) != measure) {
        return node.refused(P::SureToOfUnlike {});
    }
    let row = match measure {
        SureIn::Length => f!("sure_to.length"),
        SureIn::Angle => f!("sure_to.angle"),
        SureIn::Cents => f!("sure_to.cents"),
        SureIn::Share => f!("sure_to.share"),
    };
    Node { row, ..node.clone() }.figure()
}

/// One reading with its place in the text.
struct Found<'a> {
    key: &'static Field,
    of: Of,
    at: At,
    got: Got<'a, f64>,
    /// What an error of 1 where the tool read is in the value.
    per_read: f64,
}

impl Found<'_> {
    /// The reading, by a tool or by the one that is usual for it, of the first visit and believed.
    fn taken(&self, tool: Option<&BenchTool>, own: Option<f64>, unsure: &Uncertainty) -> Taken {
        Taken {
            of: self.of,
            at: self.at,
            value: self.got.value,
            unsure: self.unsure(tool, own, unsure),
            tool: tool.map_or_else(|| self.of.usual_tool().to_owned(), |tool| tool.name.clone()),
            visit: 1,
            doubted: false,
        }
    }

    /// How sure it is in its own unit: by `own`, which the round says, else by its tool, else as the job says of its kind.
    fn unsure(&self, tool: Option<&BenchTool>, own: Option<f64>, unsure: &Uncertainty) -> Paired {
        let value = self.got.value;
        let by_tool = tool.and_then(|tool| tool.reads(self.of)).map(|sure| sure.at(value));
        let usual = by_tool.unwrap_or_else(|| unsure.taken(self.of, value));
        let sure = match own {
            Some(total) => SureIn::of(self.of).sure(total, usual.correlation()).at(value),
            None => usual,
        };
        Paired {
            shared: sure.shared * self.per_read,
            each: sure.each * self.per_read,
        }
    }
}

/// A round while it is read.
struct RoundRead<'t, 'a> {
    table: &'t Table<'a>,
    parts: &'t Parts<'a>,
    found: Vec<Found<'a>>,
    /// Keys of readings that are there.
    keys: usize,
    /// Nothing was refused so far.
    sound: bool,
}

impl<'t, 'a> RoundRead<'t, 'a> {
    fn of(table: &'t Table<'a>, parts: &'t Parts<'a>) -> Self {
        Self {
            table,
            parts,
            found: Vec::new(),
            keys: 0,
            sound: true,
        }
    }

    fn read(&mut self) {
        self.whole(f!("readings.nut_to_12"), Of::NutTo12);
        self.relief();
        self.radius(f!("readings.radius_at_nut"), Of::RadiusAtNut);
        self.radius(f!("readings.radius_at_12"), Of::RadiusAt12);
        self.strings(f!("readings.first_fret_clearance"), Of::Clearance);
        self.strings(f!("readings.held_at_3"), Of::HeldAtThree);
        self.zero_fret();
        self.strings(f!("readings.action_12"), Of::Action { fret: 12 });
        let rows = [f!("readings.action_at:fret"), f!("readings.action_at:action")];
        self.frets(f!("readings.action_at"), rows, |fret| Of::Action { fret });
        let edge = f!("readings.edge_from_fret_12");
        if let Some(ends) = self.ends(edge, Of::SlotEdge) {
            edge_within_reach(self.parts, &ends);
        }
        self.ends(f!("readings.bridge_top"), Of::BridgeTop);
        self.ends(f!("readings.depth"), Of::SlotDepth);
        if self.in_slot(f!("readings.lean")) {
            self.whole(f!("readings.lean"), Of::Lean);
        }
        self.contacts();
        self.strings(f!("readings.saddle_height"), Of::SaddleHeight);
        self.strings(f!("readings.saddle_back"), Of::SaddleBack);
        self.strings(f!("readings.exposure"), Of::Exposure);
        self.strings(f!("readings.over_bridge"), Of::OverBridge);
        self.strings(f!("readings.cents_12"), Of::Cents { fret: 12 });
        let rows = [f!("readings.cents_at:fret"), f!("readings.cents_at:cents")];
        self.frets(f!("readings.cents_at"), rows, |fret| Of::Cents { fret });
        self.strings(f!("readings.inharmonicity"), Of::Inharmonicity);
    }

    /// The value of a row as `read` reads it, if it is there and sound.
    fn value<T>(&mut self, row: &'static Field, read: impl FnOnce(&Node<'a>) -> Option<T>) -> Option<T> {
        let node = self.table.get(row)?;
        self.keys += 1;
        let value = read(&node);
        self.sound &= value.is_some();
        value
    }

    fn push(&mut self, key: &'static Field, of: Of, at: At, got: Got<'a, f64>) {
        self.found.push(Found {
            key,
            of,
            at,
            got,
            per_read: 1.0,
        });
    }

    /// Refuses a row that is there.
    fn refuse(&mut self, row: &'static Field, kind: P) {
        self.value(row, |n| n.refused::<()>(kind));
    }

    fn whole(&mut self, row: &'static Field, of: Of) {
        if let Some(got) = self.value(row, |n| Some(n.got(n.figure()?))) {
            self.push(row, of, At::Whole, got);
        }
    }

    fn relief(&mut self) {
        let row = f!("readings.relief");
        let neck = &self.parts.neck;
        let keys = [f!("readings.relief:gap"), f!("readings.relief:fret")];
        let read = self.value(row, |n| {
            let relief = neck.relief_again(n, keys)?;
            Some((n.got(relief.at_mid_span), relief.per_gap))
        });
        if let Some((got, per_read)) = read {
            self.found.push(Found {
                key: row,
                of: Of::Relief,
                at: At::Whole,
                got,
                per_read,
            });
        }
    }

    fn radius(&mut self, row: &'static Field, of: Of) {
        let board = self.parts.neck.radius.as_ref();
        if board.is_some_and(|radius| radius.value == BoardRadius::Flat) {
            return self.refuse(row, P::RadiusOfFlat {});
        }
        self.whole(row, of);
    }

    fn zero_fret(&mut self) {
        let row = f!("readings.zero_fret_above");
        // Where [nut] is refused it is not known whether there is one.
        if self.parts.nut_read && !self.parts.nut.refused && self.parts.nut.zero_fret.is_none() {
            return self.refuse(row, P::NoZeroFret {});
        }
        self.strings(row, Of::ZeroFret);
    }

    /// Whether something of a slot can be said here: whether there is a slot, and one alone.
    fn in_slot(&mut self, row: &'static Field) -> bool {
        let kind = if self.parts.source.several.get() {
            P::SlotOfSeveral {}
        } else if self.parts.stays {
            P::SlotOfStandingSaddle {}
        } else {
            return true;
        };
        self.refuse(row, kind);
        false
    }

    fn ends(&mut self, row: &'static Field, of: Of) -> Option<Ends<'a>> {
        if !self.in_slot(row) {
            return None;
        }
        let ends = self.value(row, Node::ends)?;
        // Under one string both ends are one place.
        let places = self.parts.strung.count.map_or(2, |count| count.min(2));
        for (i, got) in ends.iter().enumerate().take(places) {
            self.push(row, of, At::End(i), got.clone());
        }
        Some(ends)
    }

    fn some(&mut self, row: &'static Field, of: Of, some: SomeStrings<'a>) {
        for (i, got) in some.into_iter().enumerate() {
            if let Some(got) = got {
                self.push(row, of, At::String(i), got);
            }
        }
    }

    fn strings(&mut self, row: &'static Field, of: Of) {
        let read = self.value(row, |n| {
            let some = some_strings(n)?;
            if some.iter().all(Option::is_none) {
                return n.refused(P::NoReadings {});
            }
            Some(some)
        });
        if let Some(some) = read {
            self.some(row, of, some);
        }
    }

    fn contacts(&mut self) {
        let before = self.found.len();
        self.strings(f!("readings.contact_from_fret_12"), Of::Contact);
        let contacts = self.found.get(before..).unwrap_or_default();
        let readings: Vec<Got<f64>> = contacts.iter().map(|read| read.got.clone()).collect();
        let of = contacts.iter().filter_map(|read| match read.at {
            At::String(i) => Some(i),
            _ => None,
        });
        contact_within_reach(self.parts, &readings, &of.collect::<Vec<_>>());
    }

    fn frets(&mut self, row: &'static Field, rows: [&'static Field; 2], of: impl Fn(u32) -> Of) {
        let read = self.value(row, |n| {
            let each = at_frets(n, rows)?;
            if each.iter().flat_map(|(_, some)| some).all(Option::is_none) {
                return n.refused(P::NoReadings {});
            }
            let twelfth = each.iter().find(|(fret, _)| fret.value == 12);
            if let Some((fret, _)) = twelfth {
                return fret.at.refused(P::OwnKeyAtTwelve { key: "action_12" });
            }
            Some(each)
        });
        for (fret, some) in read.into_iter().flatten() {
            self.some(row, of(fret.value), some);
        }
    }
}
