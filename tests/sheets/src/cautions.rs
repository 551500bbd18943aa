//! Every sheet and every DXF warns of what the material of its part asks for, and of nothing more.

use crate::worked::{endanger, example};
use drawing::{
    DrawingError, PartWork, Sheet, SheetOptions, cut_sheets, filing_sheets_of, owner_sheets_of, tolerance_sheets_of,
};
use machining::PartKind;
use saddle::tolerance::Sampling;
use work::{Hazards, Made, Planned, Way, tried};

fn words(sheets: Result<Vec<Sheet>, DrawingError>) -> String {
    let sheets = sheets.unwrap();
    let texts = sheets.iter().flat_map(Sheet::texts);
    texts.map(|text| format!("{} ", text.content)).collect()
}

/// All that is drawn of a job, as words, with its name.
fn drawn(done: &Planned, made: &[Made]) -> Vec<(String, String)> {
    let bench = done.job.bench;
    let mut all = Vec::new();
    for kind in PartKind::ALL {
        let part = PartWork::of(done, kind).unwrap();
        all.push((format!("{kind:?}"), words(part.sheets(&part.options(bench)))));
        all.push((format!("DXF {kind:?}"), part.dxf().unwrap()));
        let setups: Vec<&Made> = made.iter().filter(|made| made.setup.part == kind).collect();
        assert!(!setups.is_empty());
        let options = SheetOptions::of(&done.job, part.hazards(), Vec::new());
        let setups = cut_sheets(part.plan(), &setups, "job", &options);
        all.push((format!("setup {kind:?}"), words(setups)));
    }
    let saddle = done.saddle().unwrap();
    let filing = saddle.filing(&[], None, 0.25, false).unwrap();
    all.push(("filing".to_owned(), words(filing_sheets_of(&saddle, &filing, bench))));
    let sampling = Sampling {
        samples: 100,
        ..Sampling::default()
    };
    let sure = saddle.sureness(sampling, &|_| ()).unwrap();
    all.push((
        "tolerance".to_owned(),
        words(tolerance_sheets_of(&saddle, &sure, bench)),
    ));
    all.push((
        "owner".to_owned(),
        words(owner_sheets_of(&saddle, &saddle.assess(), bench)),
    ));
    all
}

#[test]
fn each_warns_of_the_material() {
    let mut done = example("parlour-both");
    let made = tried(&done, &PartKind::ALL, Some(Way::Flat), None).into_iter();
    let made: Vec<Made> = made.map(|tried| tried.made.unwrap()).collect();
    for (synthetic, check_law) in [(false, false), (false, true), (true, false), (true, true)] {
        endanger(
            &mut done,
            Hazards {
                synthetic,
                check_law,
                ..Hazards::default()
            },
        );
        for (what, text) in drawn(&done, &made) {
            let text = text.to_lowercase();
            assert_eq!(text.contains("softens with heat"), synthetic, "{what}");
            assert_eq!(text.contains("may be protected by law"), check_law, "{what}");
            assert!(text.contains("lungs"), "{what}");
            assert!(!what.starts_with("DXF") || text.is_ascii(), "{what}");
        }
    }
}

/// What a nut is made of is no matter of the saddle's sheets.
#[test]
fn each_part_warns_of_its_own() {
    let mut done = example("parlour-both");
    done.job.nut.as_mut().unwrap().material.check_law = true;
    for kind in PartKind::ALL {
        let part = PartWork::of(&done, kind).unwrap();
        let text = words(part.sheets(&part.options(done.job.bench)));
        assert_eq!(text.contains("may be protected by law"), kind == PartKind::Nut);
    }
}
