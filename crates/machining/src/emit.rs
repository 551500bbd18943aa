//! Program text from toolpaths: the subset of RS-274/NGC (NISTIR 6556, 2000) that the machine accepts.

use crate::program::{comment_lines, machine_words, setup_words, tool_words};
use crate::{Cutter, CutterShape, Machine, Move, Setup, SetupKind, ToolLengths, Toolpath, Zero};
use numerics::{fixed, math};
use std::fmt::Write;
use thiserror::Error;

const INCH: f64 = 25.4;
/// How a nut stands for the saw.
const ON_END: &str =
    "in a vise, the end with X zero of the other setups up, front face on the fixed jaw, top edge out past the jaws";
/// An arc that leaves its chord by less than this is written as a line, mm: rounded figures no longer describe it.
const NO_ARC: f64 = 2e-4;
/// An arc whose written ends are no further apart is a line, mm. Rounding may put its end upon or before its start, and a
/// machine would then run a whole circle.
const SHORT_ARC: f64 = 2e-3;
/// The same without arcs on the machine: chords within this, mm.
const CHORDS: f64 = 0.001;

/// Why a machine cannot take the program.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum EmitError {
    /// A word that the program cannot do without.
    #[error("{machine} does not accept {word}, and the program cannot do without it: mend the machine's list of words")]
    Word {
        /// Machine.
        machine: String,
        /// Word.
        word: String,
    },
    /// A figure that is not a number.
    #[error("a move of the program is not a number")]
    NotFinite,
    /// A move that does not go on one line.
    #[error(
        "a move of the program takes a line of {length} characters, and {machine} takes {most}: mend the machine's line_most"
    )]
    LongLine {
        /// Machine.
        machine: String,
        /// Length of the line, characters.
        length: usize,
        /// Longest that the machine takes, characters.
        most: usize,
    },
}

/// Lines of one program.
struct Text<'a> {
    machine: &'a Machine,
    out: String,
    /// Words in force, as written.
    motion: &'static str,
    place: [Option<String>; 3],
    feed: String,
    /// As written, back in mm.
    at: [f64; 3],
}

/// The text of a program: `paths` in order, each after a change of its tool as the machine's way of knowing lengths has it
/// ([`ToolLengths`]); where that is one program for each tool, the caller gives one path.
///
/// The same input gives the same bytes. G40, G49, G80, G91.1 and the dwell are left out where the machine does not know them.
///
/// # Errors
/// [`EmitError`] if the machine lacks a word that must be there.
pub fn emit(title: &str, setup: &Setup, paths: &[&Toolpath]) -> Result<String, EmitError> {
    let machine = &setup.machine;
    let mut text = Text {
        machine,
        out: String::new(),
        motion: "",
        place: [const { None }; 3],
        feed: String::new(),
        at: [0.0; 3],
    };
    text.header(title, setup, paths);
    let unit = if machine.inch { ("G20", 200) } else { ("G21", 210) };
    text.need_g(unit)?;
    text.line(unit.0);
    let mut modes = String::new();
    for (word, number, must) in [
        ("G90", 900, true),
        ("G17", 170, machine.arcs),
        ("G94", 940, false),
        ("G40", 400, false),
        ("G49", 490, false),
        ("G80", 800, false),
        ("G54", 540, true),
        ("G91.1", 911, false),
    ] {
        if machine.words.g.contains(&number) {
            let _ = write!(modes, "{}{word}", if modes.is_empty() { "" } else { " " });
        } else if must {
            text.need_g((word, number))?;
        }
    }
    text.line(&modes);
    for letter in ['X', 'Y', 'Z', 'F', 'S'] {
        text.need_letter(letter)?;
    }
    text.need_g(("G0", 0))?;
    text.need_g(("G1", 10))?;
    text.need_m(("M3", 30))?;
    text.need_m(("M5", 50))?;
    let safe = setup.safe_z();
    for (i, path) in paths.iter().enumerate() {
        text.comment(path.purpose);
        text.change(setup, &path.cutter, i > 0)?;
        // Where a change of tool leaves the axes is the machine's affair: say all three again.
        text.motion = "";
        text.place = [const { None }; 3];
        text.feed.clear();
        text.straight("G0", [None, None, Some(safe)], None)?;
        let spin = format!("S{:.0} M3", path.feeds.spindle);
        text.line(&spin);
        if machine.words.waits() && machine.spindle_up > 0.0 {
            // Up to a tenth more, never less.
            let dwell = format!("G4 P{:.1}", (10.0 * machine.spindle_up - 1e-6).ceil() / 10.0);
            text.line(&dwell);
        }
        text.moves(&path.moves)?;
    }
    text.straight("G0", [None, None, Some(safe)], None)?;
    text.line("M5");
    text.fits()?;
    let end = [("M30", 300), ("M2", 20)];
    match end.iter().find(|(_, n)| machine.words.m.contains(n)) {
        Some((word, _)) => text.line(word),
        None => text.need_m(end[0])?,
    }
    Ok(text.out)
}

impl Text<'_> {
    fn header(&mut self, title: &str, setup: &Setup, paths: &[&Toolpath]) {
        let stock = &setup.stock;
        self.comment(title);
        let (how, across, zero) = match (setup.kind, setup.zero) {
            (SetupKind::OnEdge, Zero::Seat) => (
                "in a vise, top up, front face on the fixed jaw",
                "front face",
                "under side, on the parallel",
            ),
            (SetupKind::OnEdge, Zero::RawTop) if setup.outlined => (
                "in a vise, top up, front face on the fixed jaw",
                "front face",
                "highest place of the part's top",
            ),
            (SetupKind::OnEdge, Zero::RawTop) => (
                "in a vise, top up, front face on the fixed jaw",
                "front face",
                "raw top of the stock",
            ),
            (SetupKind::Flat, Zero::Seat) => (
                "on tape, front face down",
                "bottom edge",
                "front face, that is the top of the tape",
            ),
            (SetupKind::Flat, Zero::RawTop) => ("on tape, front face down", "bottom edge", "face that lies up"),
            (SetupKind::OnEnd, Zero::Seat) => (ON_END, "front face", "end that stands down"),
            (SetupKind::OnEnd, Zero::RawTop) => (ON_END, "front face", "end that stands up"),
        };
        self.comment(&setup_words(setup.part, setup.kind, setup.outlined, how));
        self.comment(&machine_words(&self.machine.name));
        let [l, t, h] = [stock.length, stock.thickness, stock.height].map(|v| self.said(v));
        self.comment(&format!("Stock: {l} long, {t} thick, {h} high"));
        let along = if setup.kind == SetupKind::OnEnd {
            "bottom edge"
        } else {
            "left end"
        };
        self.comment(&format!("Zero: X at the stock's {along}, Y at its {across}"));
        self.comment(&format!("Zero: Z at the {zero}"));
        for path in paths {
            let tool = cutter_words(&path.cutter);
            self.comment(&tool_words(
                path.cutter.number,
                &format!("{}, {tool}", path.cutter.name),
            ));
        }
        for words in self.length_words(setup) {
            self.comment(&words);
        }
        self.comment("AIR-CUT FIRST: run it above the stock, a hand on the stop");
        self.comment("Dust harms lungs: extract it, wear a respirator and eye protection");
        self.comment("Check tool, zero, jaws and clearance before you start");
    }

    /// How the tools' lengths come into the program.
    fn length_words(&self, setup: &Setup) -> Vec<String> {
        if self.machine.tool_lengths == ToolLengths::Table {
            return vec!["Lengths: from the controller's table, taken up by G43".to_owned()];
        }
        let first = setup.first_touch();
        let on_first = |who: &str| format!("{who} on {}: Z is {} plus the gauge", first.words(), self.said(first.z));
        if first == setup.touch() || setup.kind == SetupKind::Flat {
            return vec![on_first("Touch off")];
        }
        vec![
            on_first("Touch off the setup's first tool"),
            format!("{} for the others", self.later_words(setup)),
        ]
    }

    /// What a tool after the first touches, and at which Z.
    fn later_words(&self, setup: &Setup) -> String {
        let (first, stays) = (setup.first_touch(), setup.touch());
        let z = self.said(stays.z);
        if first == stays {
            format!("Touch off on {}: Z is {z} plus the gauge", stays.words())
        } else {
            format!(
                "touch off on {}: Z as the first tool read it there, about {z}",
                stays.words()
            )
        }
    }

    /// Brings a tool into the spindle, and its length into force.
    fn change(&mut self, setup: &Setup, cutter: &Cutter, later: bool) -> Result<(), EmitError> {
        let number = cutter.number;
        match self.machine.tool_lengths {
            ToolLengths::Table => {
                self.need_m(("M6", 60))?;
                self.need_g(("G43", 430))?;
                self.need_letter('T')?;
                self.need_letter('H')?;
                if later {
                    self.line("M5");
                }
                self.line(&format!("T{number} M6"));
                self.line(&format!("G43 H{number}"));
            }
            ToolLengths::TouchOff if later => {
                self.need_m(("M0", 0))?;
                self.line("M5");
                // As high as the machine goes, where it is known how high that is: a hand needs room.
                if self.machine.words.takes_g(530)
                    && let Some(top) = self.machine.top_z
                {
                    let up = format!("G53 G0 Z{}", self.length(top));
                    self.line(&up);
                }
                self.comment(&tool_words(number, &format!("put in {}", cutter.name)));
                let words = self.later_words(setup);
                self.comment(&words);
                self.comment("Lift it clear, then go on");
                self.line("M0");
            }
            // The first tool is in, and touched off, before the program starts.
            ToolLengths::TouchOff | ToolLengths::OneProgram => {}
        }
        Ok(())
    }

    /// # Errors
    /// A line that is longer than the machine takes.
    fn fits(&self) -> Result<(), EmitError> {
        let most = self.machine.line_most;
        let long = self.out.lines().map(str::len).find(|length| *length > most);
        long.map_or(Ok(()), |length| {
            Err(EmitError::LongLine {
                machine: self.machine.name.clone(),
                length,
                most,
            })
        })
    }

    fn said(&self, mm: f64) -> String {
        if self.machine.inch {
            format!("{:.4} in", mm / INCH)
        } else {
            format!("{mm:.3} mm")
        }
    }

    fn line(&mut self, words: &str) {
        self.out.push_str(words);
        self.out.push('\n');
    }

    /// One comment, or several where it is long.
    fn comment(&mut self, words: &str) {
        for line in comment_lines(words, self.machine.line_most) {
            self.line(&format!("({line})"));
        }
    }

    fn lacks(&self, word: &str) -> EmitError {
        EmitError::Word {
            machine: self.machine.name.clone(),
            word: word.to_owned(),
        }
    }

    fn need_g(&self, (word, number): (&str, u32)) -> Result<(), EmitError> {
        if self.machine.words.g.contains(&number) {
            Ok(())
        } else {
            Err(self.lacks(word))
        }
    }

    fn need_m(&self, (word, number): (&str, u32)) -> Result<(), EmitError> {
        if self.machine.words.m.contains(&number) {
            Ok(())
        } else {
            Err(self.lacks(word))
        }
    }

    fn need_letter(&self, letter: char) -> Result<(), EmitError> {
        if self.machine.words.letters.contains(&letter) {
            Ok(())
        } else {
            Err(self.lacks(&letter.to_string()))
        }
    }

    /// A length as written: fixed decimals, nought without a sign.
    fn length(&self, mm: f64) -> String {
        if self.machine.inch {
            fixed(mm / INCH, 5)
        } else {
            fixed(mm, 4)
        }
    }

    fn read_back(&self, text: &str) -> f64 {
        let value = text.parse().unwrap_or(f64::NAN);
        if self.machine.inch { value * INCH } else { value }
    }

    fn feed(&self, feed: f64) -> String {
        if self.machine.inch {
            format!("{:.3}", feed / INCH)
        } else {
            format!("{feed:.1}")
        }
    }

    fn moves(&mut self, moves: &[Move]) -> Result<(), EmitError> {
        for one in moves {
            let to = one.to();
            if to.iter().any(|v| !v.is_finite()) {
                return Err(EmitError::NotFinite);
            }
            let all = to.map(Some);
            match *one {
                Move::Rapid(_) => self.straight("G0", all, None)?,
                Move::Line { feed, .. } => self.straight("G1", all, Some(feed))?,
                Move::Arc {
                    centre,
                    clockwise,
                    feed,
                    ..
                } => self.arc(to, centre, clockwise, feed)?,
            }
        }
        Ok(())
    }

    /// A straight move; says only what changes.
    fn straight(&mut self, motion: &'static str, to: [Option<f64>; 3], feed: Option<f64>) -> Result<(), EmitError> {
        let coordinates = self.coordinates(to);
        if coordinates.is_empty() {
            return Ok(());
        }
        self.say(motion, &coordinates, "", feed)
    }

    fn coordinates(&mut self, to: [Option<f64>; 3]) -> String {
        let mut words = String::new();
        for (i, letter) in ['X', 'Y', 'Z'].into_iter().enumerate() {
            let Some(value) = to[i] else { continue };
            let text = self.length(value);
            if self.place[i].as_ref() != Some(&text) {
                let _ = write!(words, " {letter}{text}");
                self.at[i] = self.read_back(&text);
                self.place[i] = Some(text);
            }
        }
        words
    }

    fn say(&mut self, motion: &'static str, coordinates: &str, more: &str, feed: Option<f64>) -> Result<(), EmitError> {
        let mut line = String::new();
        if self.motion != motion {
            line.push_str(motion);
            self.motion = motion;
        }
        line.push_str(coordinates);
        line.push_str(more);
        // A feed that does not go on the line goes before it.
        let mut before = None;
        if let Some(feed) = feed {
            let text = self.feed(feed);
            if text.parse::<f64>().is_ok_and(|f| !(f.is_finite() && f > 0.0)) {
                return Err(EmitError::NotFinite);
            }
            if self.feed != text {
                let word = format!("F{text}");
                if line.trim_start().len() + 1 + word.len() > self.machine.line_most {
                    before = Some(word);
                } else {
                    let _ = write!(line, " {word}");
                }
                self.feed = text;
            }
        }
        if let Some(feed) = before {
            self.line(&feed);
        }
        self.line(line.trim_start());
        Ok(())
    }

    fn arc(&mut self, to: [f64; 3], centre: [f64; 2], clockwise: bool, feed: f64) -> Result<(), EmitError> {
        let from = self.at;
        let chord = math::hypot(to[0] - from[0], to[1] - from[1]);
        let (a, z) = (
            [from[0] - centre[0], from[1] - centre[1]],
            [to[0] - centre[0], to[1] - centre[1]],
        );
        let radius = math::hypot(a[0], a[1]);
        let mut turn = math::atan2(a[0] * z[1] - a[1] * z[0], a[0] * z[0] + a[1] * z[1]);
        if clockwise {
            turn = -turn;
        }
        if turn < 0.0 {
            turn += std::f64::consts::TAU;
        }
        if chord < SHORT_ARC || radius * (1.0 - math::cos(0.5 * turn)) < NO_ARC {
            return self.straight("G1", to.map(Some), Some(feed));
        }
        if !self.machine.arcs {
            let step = 2.0 * math::acos(1.0 - (CHORDS / radius).min(1.0));
            let mut count = 1u32;
            while turn / f64::from(count) > step && count < 100_000 {
                count += 1;
            }
            let sign = if clockwise { -1.0 } else { 1.0 };
            for i in 1..count {
                let share = f64::from(i) / f64::from(count);
                let (sin, cos) = math::sin_cos(sign * share * turn);
                let place = [
                    centre[0] + a[0] * cos - a[1] * sin,
                    centre[1] + a[0] * sin + a[1] * cos,
                    from[2] + share * (to[2] - from[2]),
                ];
                self.straight("G1", place.map(Some), Some(feed))?;
            }
            return self.straight("G1", to.map(Some), Some(feed));
        }
        let word = if clockwise { ("G2", 20) } else { ("G3", 30) };
        self.need_g(word)?;
        self.need_letter('I')?;
        self.need_letter('J')?;
        let more = format!(" I{} J{}", self.length(-a[0]), self.length(-a[1]));
        // An arc names its end in full.
        self.place[0] = None;
        self.place[1] = None;
        let coordinates = self.coordinates(to.map(Some));
        self.say(word.0, &coordinates, &more, Some(feed))
    }
}

/// A cutter in words.
pub(crate) fn cutter_words(cutter: &Cutter) -> String {
    let d = cutter.diameter;
    match cutter.shape {
        CutterShape::Flat => format!("flat, {d:.2} mm, {} edges", cutter.flutes),
        CutterShape::Corner { radius } => {
            format!("flat with {radius:.2} mm corners, {d:.2} mm, {} edges", cutter.flutes)
        }
        CutterShape::Ball => format!("ball, {d:.2} mm, {} edges", cutter.flutes),
        CutterShape::TaperedBall { radius, .. } => {
            format!("tapered ball of {radius:.2} mm radius, {} edges", cutter.flutes)
        }
        CutterShape::Vee { .. } => format!("V, {d:.2} mm, {} edges", cutter.flutes),
        CutterShape::Saw => format!(
            "saw on an arbor, {d:.2} mm, {:.2} mm thick, {} teeth",
            cutter.cutting_length, cutter.flutes
        ),
    }
}
