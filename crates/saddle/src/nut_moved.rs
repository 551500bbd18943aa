//! A survey as it would be read with the nut somewhere else.

use instrument::{NewGap, NutReading, SlotSurvey, StringLine};

use crate::{SaddleSurvey, StringPlan};

impl SaddleSurvey {
    /// Moves the nut under one string, counted from the bass, to a `setback` (mm, negative toward the bridge); its stretch stays calibrated
    /// as it is `planned`. A nut that stays keeps its height, a new one gives the gap asked for at the new place. Nothing happens where
    /// there is no such string.
    pub fn move_nut(&mut self, string: usize, planned: &StringPlan, setback: f64) {
        let last = self.strings.len().saturating_sub(1);
        let (board, slot) = (self.board, &self.slot);
        let Some(s) = self.strings.get_mut(string) else { return };
        let action = s.action_12(&board);
        let now = s
            .present_nut
            .map(|reading| (s.nut_x, reading.height(&board, &s.run, s.nut_x)));
        // Underside of the open string from a nut contact to an action at fret 12.
        let line = |nut, action_12| {
            let twelve = (board.fret_x(12, &s.run), board.crown_under(12, &s.run) + action_12);
            StringLine::through(nut, twelve).action(&board, &s.run, 1)
        };
        let x = board.fret_x(0, &s.run) - setback;
        if let (None, Some((_, z))) = (s.new_gap, now) {
            s.new_gap = Some(NewGap::Open(line((x, z), action)));
        }
        // A gap held at fret 3 is read at the present nut; its line is kept as gaps of the open string, which know of no nut. A
        // reference saddle was placed on that line.
        if let (Some(NutReading::HeldAtThree { .. }), Some(nut)) = (s.present_nut, now) {
            let action_12 = match slot {
                SlotSurvey::Reference([bass, _]) if string == 0 => bass.action_12,
                SlotSurvey::Reference([_, treble]) if string == last => treble.action_12,
                _ => action,
            };
            let clearance = line(nut, action_12);
            s.present_nut = Some(NutReading::Open { clearance, action_12 });
        }
        s.model = planned.string.model;
        s.stretch_found = planned.stretch_found;
        s.measured = None;
        s.nut_x = x;
    }
}
