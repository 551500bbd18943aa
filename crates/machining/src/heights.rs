//! Heights to check with a caliper before the part is let go: while it is held it can still be cut again.

use crate::slots::{Prism, grooves};
use crate::{Part, PassError, Setup, SetupKind, Surface};

/// At so many strings a height is named, at most: a dozen figures are no check but a chore.
const MOST: usize = 6;
/// Farthest that a height may be off before the program is run again, mm. Common practice, no source.
pub const HEIGHT_OFF: f64 = 0.03;

/// A height at one string, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Height {
    /// String number.
    pub string: u32,
    /// Where it is measured along X; on end, along Z.
    pub at: f64,
    /// From the bottom edge up to what was cut there.
    pub height: f64,
}

/// What `part` measures at its strings as this setup leaves it, bass to treble: the ridge, the top of the outline, or the bottoms of
/// grooves at the front face; and its length, where this setup cuts both ends. mm.
///
/// # Errors
/// [`PassError`] if the stock does not hold the part.
pub fn heights(part: Part, setup: &Setup) -> Result<(Vec<Height>, Option<f64>), PassError> {
    let (list, ends) = match (part, setup.kind) {
        (Part::Saddle(plan), _) => {
            let surface = Surface::new(plan, setup)?;
            let one = |string: u32, u: f64| {
                let at = surface.x(u);
                let height = surface.silhouette(at);
                Height { string, at, height }
            };
            let list: Vec<Height> = plan.strings.iter().map(|s| one(s.number, s.contact.u)).collect();
            (list, surface.ends_x())
        }
        (Part::Nut(plan), SetupKind::Flat) => {
            let prism = Prism::new(plan, setup)?;
            let one = |string: u32, u: f64| {
                let at = prism.x(u);
                let height = prism.height(at);
                Height { string, at, height }
            };
            let list: Vec<Height> = plan.strings.iter().map(|s| one(s.number, s.u)).collect();
            (list, prism.ends_x())
        }
        (Part::Nut(plan), SetupKind::OnEdge | SetupKind::OnEnd) => {
            let prism = Prism::new(plan, setup)?;
            let (made, _) = grooves(plan, &prism, setup);
            let list = made.iter().map(|groove| {
                let [x, _, height] = groove.front;
                let at = match setup.kind {
                    SetupKind::OnEnd => setup.raw_top() - x,
                    SetupKind::OnEdge | SetupKind::Flat => x,
                };
                let string = groove.string;
                Height { string, at, height }
            });
            (list.collect(), prism.ends_x())
        }
    };
    let length = (setup.kind == SetupKind::Flat).then_some(ends.1 - ends.0);
    Ok((spread(list), length))
}

/// The outer ones and some between, evenly.
fn spread(list: Vec<Height>) -> Vec<Height> {
    if list.len() <= MOST {
        return list;
    }
    let last = list.len() - 1;
    (0..MOST)
        .filter_map(|k| list.get((k * last + (MOST - 1) / 2) / (MOST - 1)).copied())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn of_many_strings_the_outer_ones_are_named() {
        let list = |n: u32| {
            (1..=n)
                .map(|string| Height {
                    string,
                    at: 0.0,
                    height: 0.0,
                })
                .collect::<Vec<_>>()
        };
        let named = |n| spread(list(n)).iter().map(|h| h.string).collect::<Vec<_>>();
        assert_eq!(named(4), [1, 2, 3, 4]);
        assert_eq!(named(12), [1, 3, 5, 8, 10, 12]);
        assert_eq!(named(7).len(), 6);
        assert_eq!((named(7)[0], named(7)[5]), (1, 7));
    }
}
