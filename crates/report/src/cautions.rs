//! The single home of the words of caution that every output carries.

/// Short cautions for the work on a blank of `material` (a name as the survey has it). Whole sentences, one a line.
#[must_use]
pub fn cautions(material: &str) -> Vec<&'static str> {
    let name = material.to_lowercase();
    let is = |words: &[&str]| words.iter().any(|word| name.contains(word));
    let mut list = vec![
        "Dust of bone, shell and synthetic blanks harms lungs: extract it at the tool and wear a respirator rated for fine dust.",
        "Wear eye protection. Strings under tension whip: slack them first.",
        "Mind hot tools and spindles. If a machine cuts the part, dry-run its program above the stock first, a hand on the stop.",
    ];
    // Trade pages report plastic saddles that melted on a belt sander even when it ran slow.
    if is(&["plastic", "synthetic", "polymer", "nylon", "phenolic", "resin"]) {
        list.push("This material softens with heat: sand it cool, with light pressure and pauses.");
    }
    list.push(if is(&["ivory", "shell", "rosewood", "pearl", "nacre"]) {
        "This material may be protected by law: check local rules before you buy, cut, sell or travel with it."
    } else {
        "Some materials (ivory, some shells, some rosewoods) are protected by law: check local rules."
    });
    list.push(
        "The numbers are as good as the survey. A valuable or historic instrument belongs with a qualified repairer; local codes come first.",
    );
    list
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_material_carries_the_general_cautions() {
        for material in ["bone", "", "Rosewood", "a synthetic"] {
            let text = cautions(material).join(" ");
            for word in [
                "respirator",
                "eye protection",
                "whip",
                "hot tools",
                "dry-run",
                "protected by law",
                "historic",
            ] {
                assert!(text.to_lowercase().contains(word), "{material}: {word}");
            }
        }
    }

    #[test]
    fn a_material_adds_its_own() {
        assert!(cautions("Synthetic bone").join(" ").contains("softens"));
        assert!(!cautions("bone").join(" ").contains("softens"));
        assert!(
            cautions("mother-of-pearl shell")
                .join(" ")
                .contains("This material may be protected")
        );
    }
}
