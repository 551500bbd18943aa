//! Readings and what is known beforehand, row by row, and the figures that they bear on.

use crate::scene::action_to_start;
use crate::{Figure, Scene, Seen, Strung};
use instrument::{At, BoardRadius, NutReading, Of, Paired, SlotSurvey, StretchKnown, SurveyedString, Uncertainty};
use numerics::math;
use std::collections::BTreeMap;
use strings::Wrong;

/// What a row says something of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum What {
    /// A reading.
    Read(Of, At),
    /// A reading of a string, counted from the bass, over the saddle that was made.
    Strung(Of, usize),
    /// What a figure is off by, known beforehand.
    Before(Figure),
    /// What an inner string's figure is off by, against the straight line between those of the outer strings; its share of the way.
    Between {
        /// That of the string.
        inner: Figure,
        /// Those of the outer strings.
        outer: [Figure; 2],
        /// From the bass string (0) to the treble string (1).
        share: f64,
    },
    /// What a string's bending stiffness is off by, against so many times what its stretch stiffness is.
    Tied {
        /// The string.
        string: usize,
        /// How many times.
        times: f64,
    },
}

/// One row: a value with its uncertainty.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// What it is of.
    pub what: What,
    /// The value, in its own unit.
    pub value: f64,
    /// Its own standard uncertainty, in the same unit.
    pub sure_to: f64,
    /// Visit on which it was taken, from 1.
    pub visit: u32,
    /// What it shares with others, as a figure of the state, and how many times that.
    pub shares: Option<(Figure, f64)>,
    /// Which of the readings beside the survey it is; `None` for one of the survey itself and for what is known beforehand.
    pub taken: Option<usize>,
}

impl Row {
    /// What is known beforehand: that it is off by nothing, to this standard uncertainty.
    fn beforehand(what: What, sure_to: f64) -> Self {
        Self {
            what,
            value: 0.0,
            sure_to,
            visit: 1,
            shares: None,
            taken: None,
        }
    }
}

/// In place of a tool, where nothing was read.
const AS_USUAL: &str = "as usual";
/// An uncertainty of nought leaves a doubt out: the reading is then as good as exact, to this, in its own unit.
const EXACT: f64 = 1e-9;
/// A reading has a part of its own, at least this share of what it has in common with others.
const ALONE: f64 = 1e-3;
/// How far a string's contact may lie from the middle of its saddle, as a share of its thickness, where nobody read it. Derived here: the
/// standard deviation of a place that is anywhere on it alike.
const ANYWHERE: f64 = 0.288_675_134_594_812_9;
/// How far a saddle may stand off its planned place, and a new slot off its gap, mm, where strings were read over them: so far that the
/// readings alone say it. A chip under the depth rod, a glue line, a file that slipped: none has a size that is known. Our own choice.
const STANDS: f64 = 5.0;
/// How far the depth of a slot that was read by a saddle may lie from what is usual, mm, where nobody read it: no plan hangs on it, so that
/// a reading over the bridge top does not ask for it. Derived here, no source.
const ANY_DEPTH: f64 = 4.0;
/// How loosely bending hangs on stretch in a string of one piece, and in a wound one, whose wrap bends too: standard uncertainty as a
/// share. Derived here, no source.
const TIE: (f64, f64) = (0.02, 0.12);

/// Everything that is known, and the figures that it bears on.
pub(crate) struct Rows<'a> {
    scene: Scene<'a>,
    unsure: &'a Uncertainty,
    struck: &'a [(Of, At)],
    assumed: &'a [(Of, At)],
    tools: Vec<&'a str>,
    pub(crate) rows: Vec<Row>,
    figures: BTreeMap<Figure, f64>,
}

fn own(sure_to: f64) -> f64 {
    // What cannot be weighed stays, to be refused.
    if sure_to >= 0.0 { sure_to.max(EXACT) } else { sure_to }
}

impl<'a> Rows<'a> {
    /// All rows, all figures in order, and the tools' names.
    pub(crate) fn of(seen: &Seen<'a>) -> (Vec<Row>, Vec<Figure>, Vec<String>) {
        let mut all = Self {
            scene: Scene::of(seen),
            unsure: seen.unsure,
            struck: &seen.readings.struck,
            assumed: &seen.readings.assumed,
            tools: Vec::new(),
            rows: Vec::new(),
            figures: BTreeMap::new(),
        };
        all.board();
        all.slot();
        for (i, s) in seen.instrument.strings.iter().enumerate() {
            all.string(i, s, seen);
        }
        for (i, strung) in seen.strung.iter().enumerate() {
            all.strung(i, strung);
        }
        for (i, taken) in seen
            .readings
            .taken
            .iter()
            .enumerate()
            .filter(|(_, taken)| !taken.doubted)
        {
            let tool = all.tool(&taken.tool);
            all.read(
                taken.of,
                taken.at,
                taken.value,
                taken.unsure,
                tool,
                taken.visit,
                Some(i),
            );
        }
        let figures: Vec<Figure> = all.figures.keys().copied().collect();
        for figure in &figures {
            // What is known beforehand of it; infinite where nothing is.
            let sure_to = all.figures.get(figure).copied().unwrap_or(f64::INFINITY);
            if sure_to.is_finite() {
                all.rows.push(Row::beforehand(What::Before(*figure), own(sure_to)));
            }
        }
        (all.rows, figures, all.tools.into_iter().map(str::to_owned).collect())
    }

    fn tool(&mut self, name: &'a str) -> usize {
        self.tools.iter().position(|known| *known == name).unwrap_or_else(|| {
            self.tools.push(name);
            self.tools.len() - 1
        })
    }

    /// A figure that is off by nothing beforehand, to this standard uncertainty.
    fn known(&mut self, figure: Figure, sure_to: f64) {
        self.figures.entry(figure).or_insert(sure_to);
    }

    /// What a reading shares with others, to this standard uncertainty: a figure, and how many times that, where others share more or less.
    fn shared(&mut self, figure: Figure, sure_to: f64) -> (Figure, f64) {
        let first = *self.figures.entry(figure).or_insert(sure_to);
        (figure, if first > 0.0 { sure_to / first } else { 1.0 })
    }

    /// A figure of which nothing is known beforehand.
    fn open(&mut self, figure: Figure) {
        self.known(figure, f64::INFINITY);
    }

    #[expect(clippy::too_many_arguments, reason = "one reading, part by part")]
    fn read(&mut self, of: Of, at: At, value: f64, unsure: Paired, tool: usize, visit: u32, taken: Option<usize>) {
        let shares = match (of, at) {
            // The body pulls a string, whatever the tuner.
            (Of::Cents { .. }, At::String(i)) => Figure::Pull(i),
            _ => Figure::Tool(tool, kind(of)),
        };
        self.bears_on(of, at);
        if visit > 1 {
            self.known(Figure::NeckDrift(visit), self.unsure.drift_neck);
            self.known(Figure::TopDrift(visit), self.unsure.drift_top);
        }
        let shares = (unsure.shared > 0.0).then(|| self.shared(shares, unsure.shared));
        self.rows.push(Row {
            what: What::Read(of, at),
            value,
            sure_to: own(unsure.each).max(ALONE * unsure.shared),
            visit,
            shares,
            taken,
        });
    }

    /// A reading of the survey, unless it is struck out.
    fn base(&mut self, of: Of, at: At, value: f64, unsure: Paired) {
        if self.struck.contains(&(of, at)) {
            self.bears_on(of, at);
        } else {
            let assumed = self.assumed.contains(&(of, at)).then(|| of.assumed(value)).flatten();
            // An assumption has nothing in common with the gauge that could have been laid on.
            let tool = self.tool(if assumed.is_some() { AS_USUAL } else { of.usual_tool() });
            self.read(of, at, value, assumed.unwrap_or(unsure), tool, 1, None);
        }
    }

    /// Figures that a reading bears on and that no other brings in.
    fn bears_on(&mut self, of: Of, at: At) {
        let last = self.scene.instrument.strings.len().saturating_sub(1);
        match (of, at) {
            (Of::Clearance | Of::Action { .. } | Of::OverBridge, At::String(i)) => self.action(i),
            (Of::SaddleHeight | Of::SaddleBack | Of::Exposure | Of::Contact | Of::Cents { .. }, At::String(i)) => {
                self.action(i);
                self.contact(i);
                if of == Of::SaddleHeight && !self.by_reference() {
                    self.ends()
                        .for_each(|end| self.known(Figure::OldSeat(end), self.unsure.old_seat));
                }
            }
            (Of::Contact, At::End(end)) => self.action(if end == 0 { 0 } else { last }),
            _ => {}
        }
        if matches!(
            of,
            Of::SlotDepth | Of::SlotEdge | Of::BridgeTop | Of::Exposure | Of::OverBridge
        ) && self.by_reference()
        {
            self.ends()
                .for_each(|end| self.known(Figure::ReferenceDepth(end), ANY_DEPTH));
        }
    }

    /// Ends of the slot; under one string both are one place.
    fn ends(&self) -> std::ops::Range<usize> {
        0..self.scene.instrument.strings.len().min(2)
    }

    fn by_reference(&self) -> bool {
        self.scene
            .slot
            .is_some_and(|seen| matches!(seen.slot, SlotSurvey::Reference(_)))
    }

    fn action(&mut self, string: usize) {
        self.open(Figure::Action(string));
    }

    fn contact(&mut self, string: usize) {
        let last = self.scene.instrument.strings.len().saturating_sub(1);
        // On the saddle by which the slot was read the outer contacts are its third figure.
        if self.by_reference() && (string == 0 || string == last) {
            return;
        }
        let anywhere = self.scene.slot.map_or(f64::INFINITY, |seen| seen.thickness * ANYWHERE);
        self.known(Figure::Contact(string), anywhere);
    }

    fn board(&mut self) {
        let (board, u) = (&self.scene.instrument.board, self.unsure);
        self.open(Figure::Stretch);
        let x_12 = board.fret_x(12, &instrument::StringRun::CENTRE);
        self.base(Of::NutTo12, At::Whole, x_12, u.taken(Of::NutTo12, x_12));
        self.open(Figure::Relief);
        self.base(
            Of::Relief,
            At::Whole,
            board.relief(),
            u.taken(Of::Relief, board.relief()),
        );
        if let BoardRadius::Conical { nut, fret_12 } = board.radius() {
            for (of, figure, radius) in [
                (Of::RadiusAtNut, Figure::RadiusAtNut, nut),
                (Of::RadiusAt12, Figure::RadiusAt12, fret_12),
            ] {
                self.open(figure);
                // Both ends are read with one set of gauges by one eye.
                let together = Paired::correlated(u.board_radius * radius, 1.0);
                self.base(of, At::Whole, radius, together);
            }
        }
        self.known(Figure::Ends, u.ends);
    }

    fn slot(&mut self) {
        let Some(seen) = self.scene.slot else { return };
        let u = self.unsure;
        self.open(Figure::Lean);
        let alone = Paired {
            shared: 0.0,
            each: u.lean,
        };
        self.base(Of::Lean, At::Whole, seen.lean, alone);
        self.known(Figure::StandOff, u.stand_off);
        for e in self.ends() {
            self.open(Figure::SlotPlace(e));
            self.open(Figure::SlotHeight(e));
            self.open(Figure::SlotThird(e));
            match seen.slot {
                SlotSurvey::Straightedge(ends) => {
                    let end = ends[e];
                    self.base(Of::SlotEdge, At::End(e), end.edge_from_fret_12, u.slot_edge);
                    self.base(Of::BridgeTop, At::End(e), end.bridge_top, u.bridge_top);
                    self.base(Of::SlotDepth, At::End(e), end.depth, u.slot_depth);
                }
                SlotSurvey::Reference(ends) => {
                    let end = ends[e];
                    self.base(Of::Contact, At::End(e), end.contact_from_fret_12, u.reference_contact);
                    self.base(Of::SaddleHeight, At::End(e), end.height, u.reference_height);
                    self.base(Of::SaddleBack, At::End(e), end.back, u.reference_back);
                    self.known(Figure::OldSeat(e), u.old_seat);
                    if let Some(depth) = end.depth {
                        self.base(Of::SlotDepth, At::End(e), depth, u.slot_depth);
                    }
                }
            }
        }
        match seen.slot {
            SlotSurvey::Straightedge(_) => {
                self.known(Figure::Straightedge, u.straightedge);
                self.known(Figure::FloorBow, u.floor_bow);
            }
            SlotSurvey::Reference(_) => {}
        }
    }

    fn string(&mut self, i: usize, s: &SurveyedString, seen: &Seen<'a>) {
        let (u, between) = (self.unsure, seen.readings.between);
        let last = seen.instrument.strings.len().saturating_sub(1);
        let inner = i != 0 && i != last;
        // Of some strings of an instrument an outer one may not have been read either: it is as sure as what it was put between, and less by
        // what an inner string lies off that.
        let put = (i == 0 && between.outer[0]) || (i == last && between.outer[1]);
        let outer = |unsure: Paired, is_put: bool, off: f64| Paired {
            each: if put && is_put {
                math::hypot(unsure.each, off)
            } else {
                unsure.each
            },
            ..unsure
        };
        let at = At::String(i);
        if let Some(reading) = s.present_nut {
            self.open(Figure::Nut(i));
            let (of, value) = match reading {
                NutReading::Open { clearance, .. } | NutReading::New { clearance, .. } => (Of::Clearance, clearance),
                NutReading::HeldAtThree { gap } => (Of::HeldAtThree, gap),
                NutReading::ZeroFret { above } => (Of::ZeroFret, above),
            };
            if inner && between.nut {
                self.between(Figure::Nut, i, u.between_nut);
            } else {
                self.base(of, at, value, outer(u.clearance, between.nut, u.between_nut));
            }
            if let NutReading::Open { .. } = reading {
                self.action(i);
            }
        }
        if let Some(action) = s.action_12 {
            self.action(i);
            if inner && between.action_12 {
                self.between(Figure::Action, i, u.between_action);
            } else {
                let unsure = outer(u.present_action, between.action_12, u.between_action);
                self.base(Of::Action { fret: 12 }, at, action, unsure);
            }
        }
        if let Some(from_12) = s.contact_from_fret_12 {
            self.contact(i);
            let each = u.reference_contact;
            if self.scene.slot.is_some() && inner && between.contact {
                self.contact_between(i, each.total());
            } else {
                self.base(Of::Contact, at, from_12, outer(each, between.contact, each.total()));
            }
        }
        if let Some(cents) = s.cents_12 {
            self.base(Of::Cents { fret: 12 }, at, cents, u.cents);
        }
        self.known(Figure::Mass(i), u.mass);
        let stretch = u.stretch_of(s.known, s.stretch_found);
        self.known(Figure::Axial(i), stretch);
        self.open(Figure::Bending(i));
        let (times, sure_to) = tie(s.known, s.stretch_found);
        self.rows.push(Row::beforehand(
            What::Tied { string: i, times },
            // Where the stretch is as good as exact, so is the bending.
            own(if stretch > 0.0 { sure_to } else { stretch }),
        ));
    }

    /// What was read of a string over the made saddle.
    fn strung(&mut self, i: usize, strung: &'a Strung) {
        let u = &strung.unsure;
        self.known(Figure::Risen, u.drift_top);
        self.ends().for_each(|end| self.known(Figure::MadeSeat(end), STANDS));
        self.known(Figure::MadeHeight(i), u.made_height);
        self.known(Figure::MadeBack(i), u.made_ridge);
        let read = &strung.read;
        if strung.made.new_nut.is_some() {
            let cut = if read.clearance.is_some() {
                STANDS
            } else {
                u.clearance.total()
            };
            self.known(Figure::NewSlot(i), cut);
        }
        let action = read.action_12.map(|value| (Of::Action { fret: 12 }, value));
        let gap = read.clearance.map(|value| (Of::Clearance, value));
        let cents = read.cents_12.map(|value| (Of::Cents { fret: 12 }, value));
        let others = read.others.iter().map(|&(fret, value)| (Of::Cents { fret }, value));
        for (of, value) in action.into_iter().chain(gap).chain(cents).chain(others) {
            let (unsure, tool) = match read.with.of(of) {
                Some(with) => (with.unsure, with.tool.as_str()),
                None => (u.taken(of, value), of.usual_tool()),
            };
            let tool = self.tool(tool);
            let shares = match of {
                // Another saddle is another body to the string: what pulled it before may pull it otherwise.
                Of::Cents { .. } => Figure::MadePull(i),
                _ => Figure::Tool(tool, kind(of)),
            };
            let shares = (unsure.shared > 0.0).then(|| self.shared(shares, unsure.shared));
            self.rows.push(Row {
                what: What::Strung(of, i),
                value,
                sure_to: own(unsure.each).max(ALONE * unsure.shared),
                visit: 1,
                shares,
                taken: None,
            });
        }
    }

    /// A contact that lies on the straight ridge between the outer ones, within so much, mm.
    fn contact_between(&mut self, string: usize, sure_to: f64) {
        let last = self.scene.instrument.strings.len().saturating_sub(1);
        let outer = if self.by_reference() {
            [Figure::SlotThird(0), Figure::SlotThird(1)]
        } else {
            [Figure::Contact(0), Figure::Contact(last)]
        };
        self.in_line(string, Figure::Contact(string), outer, sure_to);
    }

    fn between(&mut self, figure: fn(usize) -> Figure, string: usize, sure_to: f64) {
        let last = self.scene.instrument.strings.len().saturating_sub(1);
        self.in_line(string, figure(string), [figure(0), figure(last)], sure_to);
    }

    /// A figure of a string that lies on the straight line between those of the outer strings, within so much.
    fn in_line(&mut self, string: usize, inner: Figure, outer: [Figure; 2], sure_to: f64) {
        let share = self.scene.share(string);
        let what = What::Between { inner, outer, share };
        self.rows.push(Row::beforehand(what, own(sure_to)));
    }
}

/// What hangs together in a tool's error, whatever the fret.
fn kind(of: Of) -> Of {
    match of {
        Of::Action { .. } => Of::Action { fret: 12 },
        Of::RadiusAt12 => Of::RadiusAtNut,
        other => other,
    }
}

/// How many times as far off as stretch a string's bending is, in logarithms, and how sure that is.
fn tie(known: StretchKnown, found: bool) -> (f64, f64) {
    let wound = !matches!(known, StretchKnown::PlainWire | StretchKnown::Filament);
    let sure_to = if wound { TIE.1 } else { TIE.0 };
    // A calibration scales both alike.
    let wrong = if found { Wrong::Modulus } else { known.wrong() };
    match wrong {
        Wrong::Size => (2.0, sure_to),
        Wrong::Modulus => (1.0, sure_to),
    }
}

/// The survey's own reading of this kind at this place, and the figure that it is of; `None` where it has none.
pub(crate) fn base(scene: &Scene, of: Of, at: At) -> Option<(Figure, f64)> {
    let strings = &scene.instrument.strings;
    let last = strings.len().saturating_sub(1);
    match at {
        At::Whole => match of {
            Of::Relief => Some((Figure::Relief, scene.instrument.board.relief())),
            Of::Lean => Some((Figure::Lean, scene.slot?.lean)),
            _ => None,
        },
        At::End(e) => match (scene.slot?.slot, of, e.min(last)) {
            (SlotSurvey::Straightedge(ends), _, e) => {
                let end = ends.get(e)?;
                match of {
                    Of::SlotEdge => Some((Figure::SlotPlace(e), end.edge_from_fret_12)),
                    Of::BridgeTop => Some((Figure::SlotHeight(e), end.bridge_top)),
                    Of::SlotDepth => Some((Figure::SlotThird(e), end.depth)),
                    _ => None,
                }
            }
            (SlotSurvey::Reference(ends), _, e) => {
                let end = ends.get(e)?;
                match of {
                    Of::Contact => Some((Figure::SlotPlace(e), end.contact_from_fret_12)),
                    Of::SaddleHeight => Some((Figure::SlotHeight(e), end.height)),
                    Of::SaddleBack => Some((Figure::SlotThird(e), end.back)),
                    Of::SlotDepth => end.depth.map(|depth| (Figure::ReferenceDepth(e), depth)),
                    _ => None,
                }
            }
        },
        At::String(i) => {
            let s = strings.get(i)?;
            let by_reference = scene
                .slot
                .is_some_and(|seen| matches!(seen.slot, SlotSurvey::Reference(_)));
            let outer = by_reference && (i == 0 || i == last);
            match (of, s.present_nut) {
                (Of::Clearance, Some(NutReading::Open { clearance, .. } | NutReading::New { clearance, .. })) => {
                    Some((Figure::Nut(i), clearance))
                }
                (Of::HeldAtThree, Some(NutReading::HeldAtThree { gap })) => Some((Figure::Nut(i), gap)),
                (Of::ZeroFret, Some(NutReading::ZeroFret { above })) => Some((Figure::Nut(i), above)),
                (Of::Action { fret: 12 }, _) => Some((Figure::Action(i), action_to_start(s.action_12))),
                (Of::Contact, _) if scene.slot.is_none() => Some((Figure::Contact(i), s.contact_from_fret_12?)),
                (Of::Contact | Of::SaddleHeight | Of::SaddleBack, _) if outer => {
                    base(scene, of, At::End(usize::from(i != 0)))
                }
                (Of::SaddleBack, _) => Some((Figure::Contact(i), scene.back_to_start(i)?)),
                _ => None,
            }
        }
    }
}
