//! What serves several wishes of one string: the line between two actions, and the strings that share a contact.

use instrument::{Board, NewGap, StringLine};
use strings::FrettedString;

use crate::StringSurvey;

impl StringSurvey {
    /// Action at fret 12, mm, of the line that serves the wishes: that wanted, or with a wish at another fret that of the line of
    /// weighted least squares, `slope = sum w (X - x0)(T - z0) / sum w (X - x0)^2` over both wishes `T` at `X`. It turns about `(x0, z0)`: the nut contact
    /// before any setback, or over fret 1 where a new nut gives the open string a gap there, which so stays exact.
    #[must_use]
    pub fn action_12(&self, board: &Board) -> f64 {
        let at = |fret: u32, action: f64| {
            (
                board.fret_x(fret, &self.run),
                board.crown_under(fret, &self.run) + action,
            )
        };
        let wish = self.action_at.filter(|wish| wish.weight > 0.0);
        let (Some(wish), Some((x0, z0))) = (wish, self.pivot(board)) else {
            return self.target_action;
        };
        let twelve = at(12, self.target_action);
        let wishes = [(1.0, twelve), (wish.weight, at(wish.fret, wish.action))];
        let sum = |of: fn(f64, f64) -> f64| -> f64 {
            let each = wishes.iter().map(|(weight, (x, z))| weight * of(x - x0, z - z0));
            each.sum()
        };
        let slope = sum(|x, z| x * z) / sum(|x, _| x * x);
        z0 + slope * (twelve.0 - x0) - board.crown_under(12, &self.run)
    }

    /// What the string's line turns about, `(x, z)` mm, a zero fret as work leaves it; `None` where the nut's height is not known.
    fn pivot(&self, board: &Board) -> Option<(f64, f64)> {
        let held = |line: StringLine| (self.nut_x, line.z(self.nut_x));
        Some(match self.new_gap {
            Some(NewGap::Open(gap)) => (board.fret_x(1, &self.run), board.crown_under(1, &self.run) + gap),
            Some(gap @ NewGap::HeldAtThree(_)) => held(gap.reading(self.target_action).line(board, &self.run)),
            None => {
                let (x, z) = held(self.present_nut?.line(board, &self.run));
                (x, z + self.zero_fret.unwrap_or(0.0))
            }
        })
    }

    /// The strings that share its contact, each with its weight, over the frets of `main`, which is this string as calibrated and comes
    /// first.
    #[must_use]
    pub fn shared(&self, main: &FrettedString) -> Vec<(FrettedString, f64)> {
        let also = self.also.iter().map(|also| {
            let string = FrettedString {
                model: also.model.unwrap_or(main.model),
                frequency: also.frequency,
                ..*main
            };
            (string, also.weight)
        });
        std::iter::once((*main, 1.0)).chain(also).collect()
    }
}
