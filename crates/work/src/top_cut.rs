//! How high programs cut the top of a saddle, beside what its plan leaves proud at first.

use crate::Heights;

/// What is wanted proud and is less than this beyond what is cut so, mm, is the same: half of the finest that a bench reads, half a thou.
const SAME: f64 = 0.0064;

/// How high the whole top is cut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TopCut {
    /// So much higher than planned, mm.
    pub proud: f64,
    /// What the plan leaves proud at first, mm, where that is more.
    pub planned: Option<f64>,
}

impl Heights {
    /// How high programs cut the top that leave it so much proud, mm.
    #[must_use]
    pub fn top_cut(&self, proud: f64) -> TopCut {
        TopCut {
            proud,
            planned: self.proud.filter(|planned| *planned > proud + SAME),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_plan_leaves_is_told_where_less_is_left() {
        for (planned, cut, told) in [
            (Some(0.28), 0.0, Some(0.28)),
            (Some(0.28), 0.2, Some(0.28)),
            (Some(0.28), 0.28, None),
            (Some(0.2794), 0.2795, None),
            (Some(0.282), 0.28, None),
            (Some(0.0), 0.0, None),
            (Some(0.1), 0.3, None),
            (None, 0.0, None),
        ] {
            let heights = Heights {
                proud: planned,
                ..Heights::default()
            };
            assert_eq!(
                heights.top_cut(cut),
                TopCut {
                    proud: cut,
                    planned: told
                }
            );
        }
    }
}
