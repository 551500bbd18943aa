//! Text on the sheets: no two texts overlap, none leaves the border, none is struck by a line, over many plans.

use crate::invented::{invented, parlour};
use crate::texts::{check, complaints, options};
use drawing::{DrawingError, Shape, SheetOptions, saddle_sheets};
use job::Paper;
use proptest::prelude::*;
use units::BenchUnit;
use work::Hazards;

/// The check itself must be able to fail.
#[test]
fn overlaps_and_struck_texts_are_found() {
    let plan = parlour();
    let options = SheetOptions {
        paper: Paper::A4,
        bench: BenchUnit::THOU,
        title: "Check".to_owned(),
        headline: String::new(),
        heights: work::Heights::default(),
        steps: Vec::new(),
        hazards: Hazards::default(),
        notes: Vec::new(),
    };
    let mut sheet = saddle_sheets(&plan, &options).unwrap().remove(0);
    assert_eq!(complaints(&sheet), Vec::<String>::new());
    let first = sheet
        .items
        .iter()
        .find(|i| matches!(&i.shape, Shape::Text(_)))
        .unwrap()
        .clone();
    sheet.items.push(first);
    assert!(complaints(&sheet).iter().any(|c| c.contains("overlaps")));
    let mut sheet = saddle_sheets(&plan, &options).unwrap().remove(0);
    for item in &mut sheet.items {
        if let Shape::Text(text) = &mut item.shape {
            text.at[1] += 1.5;
            text.turn += 0.2;
        }
    }
    assert!(complaints(&sheet).iter().any(|c| c.contains("struck")));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, max_global_rejects: 2000, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn no_text_is_in_the_way(of in invented(), options in options(), note in "[A-G♯♭a-z0-9]{0,12}") {
        let Some(mut plan) = of.try_plan() else { return Err(TestCaseError::reject("no plan")) };
        for string in &mut plan.strings {
            string.note.push_str(&note);
        }
        match saddle_sheets(&plan, &options) {
            Ok(sheets) => check(&sheets)?,
            // No part is left of a blank that lies too low.
            Err(DrawingError::Shape(_)) => prop_assume!(false),
            Err(e) => prop_assert!(false, "{e}"),
        }
    }
}
