//! The front of a nut that reaches over the board, or is cut back under its strings: no program cuts it.

use nut::{Front, NutPlan};

/// An edge this near to the front face is the face itself, mm.
const SAME: f64 = 0.005;

/// What is filed into the front, with its figures, in plain words; `None` for a plain front.
pub(crate) fn front(plan: &NutPlan) -> Option<String> {
    let over = plan.front_x.max(0.0);
    let step = (over > SAME && plan.front != Front::Plain).then(|| {
        let under = |u: f64| {
            let nearest = plan.strings.iter().min_by(|a, b| (a.u - u).abs().total_cmp(&(b.u - u).abs()));
            nearest.map_or(plan.board_v, |s| s.board)
        };
        let [bass, treble] = plan.ends.map(under);
        format!(
            "a step {over:.2} mm deep from the bottom edge up to the board ({bass:.2}, {:.2} and {treble:.2} mm high at \
             bass, middle and treble)",
            plan.board_v
        )
    });
    let back = (plan.front == Front::Shelf).then(|| {
        let each = plan.strings.iter().filter(|s| s.b > SAME);
        let each: Vec<String> = each.map(|s| format!("{} by {:.2} mm", s.number, s.b)).collect();
        (!each.is_empty()).then(|| format!("the edge back from the front face: string {}", each.join(", ")))
    });
    let wanted: Vec<String> = step.into_iter().chain(back.flatten()).collect();
    (!wanted.is_empty()).then(|| format!("No program cuts the nut's front. File {}.", wanted.join(", and ")))
}
