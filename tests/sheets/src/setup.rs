//! Setup sheets: in the order of the work, no text in the way, no list cut, and the figures of a hand in the unit of its bench.

use crate::texts::complaints;
use crate::worked::example;
use drawing::{PartWork, Sheet, SheetOptions, cut_sheets};
use job::Paper;
use machining::PartKind;
use units::BenchUnit;
use work::{Made, Way, tried};

/// The sheets of a part, one way, on this paper and bench.
fn sheets(part: PartKind, way: Way, paper: Paper, bench: BenchUnit) -> Vec<Sheet> {
    let done = example("parlour-both");
    let made: Vec<Made> = tried(&done, &[part], Some(way), None)
        .into_iter()
        .map(|tried| tried.made.unwrap())
        .collect();
    let part = PartWork::of(&done, part).unwrap();
    let options = SheetOptions {
        paper,
        bench,
        ..SheetOptions::of(&done.job, part.hazards(), Vec::new())
    };
    cut_sheets(part.plan(), &made.iter().collect::<Vec<_>>(), "guitar", &options).unwrap()
}

fn words(sheet: &Sheet) -> String {
    let texts: Vec<&str> = sheet.texts().map(|text| text.content.as_str()).collect();
    texts.join(" ")
}

/// What a setup's sheets say, in the order in which it is done; how to hold and touch off stand on its first.
const ORDER: [&str; 8] = [
    "Order of work",
    "Set up",
    "Touch off, in this order",
    "Programs, in this order",
    "Check before you let it go",
    "Notes",
    "Good to know",
    "Cautions",
];

#[test]
fn a_setup_is_told_in_the_order_of_its_work() {
    for part in PartKind::ALL {
        for (paper, bench) in [
            (Paper::A4, BenchUnit::METRIC),
            (Paper::Letter, BenchUnit::THOU),
            (Paper::Letter, BenchUnit::IMPERIAL),
        ] {
            let sheets = sheets(part, Way::Both, paper, bench);
            for sheet in &sheets {
                let found = complaints(sheet);
                assert!(found.is_empty(), "{part:?} {paper:?} {bench:?}: {}", found.join("\n"));
            }
            let all: Vec<String> = sheets.iter().map(words).collect();
            assert!(all[0].contains("Order of work"), "{}", all[0]);
            let all = all.join(" ");
            // Both setups, one after the other.
            let mut from = 0;
            for head in ORDER.iter().chain(&ORDER) {
                let at = all[from..].find(head);
                from += at.unwrap_or_else(|| panic!("{head}: {}", &all[from..]));
            }
            assert!(!all.contains(", continued"), "{all}");
        }
    }
}

/// Heights are told in the bench's unit first, what the controller shows in that of its programs.
#[test]
fn a_hand_and_a_controller_have_their_own_units() {
    let told = |bench| words_of(&sheets(PartKind::Saddle, Way::OnEdge, Paper::A4, bench));
    let (thou, metric) = (told(BenchUnit::THOU), told(BenchUnit::METRIC));
    // The fixed jaw stands 5 mm over the parallel.
    for text in [&thou, &metric] {
        assert!(
            text.contains("Z: 5.000 mm plus the gauge; with paper of 0.100 mm: 5.100 mm"),
            "{text}"
        );
    }
    assert!(
        thou.contains("1.0 thou (0.03 mm)") && metric.contains("0.03 mm (1.0 thou)"),
        "{thou} {metric}"
    );
    let done = example("parlour-both");
    let tried = tried(&done, &[PartKind::Saddle], Some(Way::OnEdge), None);
    let made = tried[0].made.as_ref().unwrap();
    for height in &made.prepared.heights {
        for (text, bench) in [(&thou, BenchUnit::THOU), (&metric, BenchUnit::METRIC)] {
            let both = |mm: f64| format!("{} ({})", bench.show(mm), bench.other().show(mm));
            let row = [both(height.at), both(height.height), both(height.height - 5.0)].join(" ");
            assert!(text.contains(&row), "{row}: {text}");
        }
    }
}

fn words_of(sheets: &[Sheet]) -> String {
    sheets.iter().map(words).collect::<Vec<_>>().join(" ")
}
