//! The single home of the words of caution that every output carries.

use work::Hazards;

/// Short cautions for the work on a blank: whole sentences, one an item.
#[must_use]
pub fn cautions(hazards: Hazards) -> Vec<&'static str> {
    let mut list = vec![
        "Dust of bone, shell and synthetic blanks harms lungs: extract it at the tool and wear a respirator rated for fine dust.",
        "Wear eye protection. Strings under tension whip: slack them first.",
        "Mind hot tools and spindles. If a machine cuts the part, dry-run its program above the stock first, a hand on the stop.",
    ];
    if hazards.synthetic {
        // Trade pages report plastic saddles that melted on a belt sander even when it ran slow.
        list.push("This material softens with heat: sand it cool, with light pressure and pauses.");
    }
    list.extend(accepted(hazards));
    list.push(if hazards.check_law {
        "This material may be protected by law: check local rules before you buy, cut, sell or travel with it."
    } else {
        "Some materials (ivory, some shells, some rosewoods) are protected by law: check local rules."
    });
    list.push(
        "The numbers are as good as the survey. A valuable or historic instrument belongs with a qualified repairer; local codes come first.",
    );
    list
}

/// What the job accepts although it is unsafe, in sentences.
#[must_use]
pub fn accepted(hazards: Hazards) -> Vec<&'static str> {
    let each = [
        (
            hazards.front_wall_accepted,
            "The job accepts an unsafe load on the front wall of the slot: the bridge may split.",
        ),
        (
            hazards.slot_accepted,
            "The job accepts too little of the saddle in its slot: it may tip, and the bridge may split.",
        ),
    ];
    each.into_iter().filter_map(|(is, words)| is.then_some(words)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_blank_carries_the_general_cautions() {
        for (synthetic, check_law) in [(false, false), (false, true), (true, false), (true, true)] {
            let text = cautions(Hazards {
                synthetic,
                check_law,
                ..Hazards::default()
            })
            .join(" ")
            .to_lowercase();
            for word in [
                "respirator",
                "eye protection",
                "whip",
                "hot tools",
                "dry-run",
                "protected by law",
                "historic",
            ] {
                assert!(text.contains(word), "{word}");
            }
            assert_eq!(text.contains("softens"), synthetic);
            assert_eq!(text.contains("this material may be protected"), check_law);
        }
    }
}
