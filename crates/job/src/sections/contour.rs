//! Places of a line at an end of the saddle: how far in, and how high. As a list of pairs, or as text.

use crate::fields::f;
use crate::node::Node;
use crate::problem::ProblemKind as P;

/// Between two places of a contour written as text.
const NEXT_PLACE: char = ';';
/// Between how far in and how high.
const HEIGHT: char = ':';

/// Distance inward and height, mm, each further in than the one before and no lower.
pub(crate) fn contour(node: &Node) -> Option<Vec<(f64, f64)>> {
    let places = match node.as_text() {
        Some(text) => of_text(node, text),
        None => of_list(node),
    }?;
    for (i, pair) in places.windows(2).enumerate() {
        if pair[1].0 <= pair[0].0 || pair[1].1 < pair[0].1 {
            let place = node
                .list()
                .and_then(|mut list| list.get_mut(i + 1).map(|part| part.clone()));
            return place.unwrap_or_else(|| node.clone()).refused(P::WingFalls {});
        }
    }
    Some(places)
}

fn of_list(node: &Node) -> Option<Vec<(f64, f64)>> {
    let Some(parts) = node.list().filter(|list| !list.is_empty()) else {
        return node.unexpected();
    };
    let (inward_row, height_row) = (f!("wing.inward"), f!("wing.height"));
    let places = parts.iter().map(|part| match part.list().as_deref() {
        Some([inward, height]) => {
            let [inward, height] = [(inward, inward_row), (height, height_row)].map(|(n, row)| n.figure_in(&row.range));
            Some((inward?, height?))
        }
        _ => part.unexpected(),
    });
    // All are looked at, so that every wrong one is told.
    let places: Vec<_> = places.collect();
    places.into_iter().collect()
}

fn of_text(node: &Node, text: &str) -> Option<Vec<(f64, f64)>> {
    let places = contour_places(text).map(|place| {
        let Some((inward, height)) = place else {
            return node.unexpected();
        };
        let inward = node.length_of(inward, &f!("wing.inward").range)?;
        Some((inward, node.length_of(height, &f!("wing.height").range)?))
    });
    places.collect()
}

/// The places of a contour written as text, each how far in and how high as written; `None` for one that is not so written.
pub fn contour_places(text: &str) -> impl Iterator<Item = Option<(&str, &str)>> {
    let text = text.trim().trim_end_matches(NEXT_PLACE);
    text.split(NEXT_PLACE).map(|place| {
        let (inward, height) = place.split_once(HEIGHT)?;
        Some((inward.trim(), height.trim()))
    })
}
