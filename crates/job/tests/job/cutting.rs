//! Every blank material of the profiles can be cut: figures for each kind of cutter that saddle and nut need.

use job::{CutJob, Profiles, read};
use machining::{SetupKind, feeds};

const GOOD: &str = include_str!("good.toml");

fn job_in(material: &str, profiles: &Profiles) -> CutJob {
    let mut text: toml::Table = GOOD.parse().unwrap();
    text["blank"]["material"] = material.into();
    read(&text.to_string(), profiles).unwrap().job.saddle.unwrap().cut
}

#[test]
fn every_blank_material_has_figures_for_every_kind_of_cutter() {
    let profiles = Profiles::built_in();
    let materials: Vec<&str> = profiles.materials().collect();
    assert!(materials.len() >= 13, "{materials:?}");
    for name in materials {
        let cut = job_in(name, &profiles);
        let Some(setup) = cut.setup(SetupKind::OnEdge) else {
            panic!("no [[cutting]] profile for {name}");
        };
        let figures = &setup.material;
        assert_eq!(figures.name, name);
        assert!(
            ["from memory", "common practice", "catalogue", "doi"]
                .iter()
                .any(|word| figures.source.contains(word)),
            "{name}: {}",
            figures.source
        );
        // Flat for roughing and outline, ball and tapered ball for the crown, fine ones and a saw for a nut's slots.
        for cutter in profiles.cutters() {
            let depth = setup.step_down(cutter);
            let found = profiles
                .machines()
                .iter()
                .any(|machine| feeds(cutter, figures, machine, cut.spindle, depth).is_ok());
            assert!(found, "{name}: {} on no machine", cutter.name);
        }
    }
}

/// Paper and linen with resin are cut no faster than a carbide catalogue has for glass-filled plastic: 98 m/min in a slot, 122
/// along a profile.
#[test]
fn phenolic_keeps_to_the_catalogue() {
    let profiles = Profiles::built_in();
    for name in ["paper phenolic", "linen phenolic"] {
        let found = profiles.cutting().iter().find(|m| m.name == name).unwrap();
        assert!(
            (98.0..=122.0).contains(&found.speed_most),
            "{name}: {}",
            found.speed_most
        );
    }
}
