//! Profiles: listed, shown, and laid over the built-in ones.

use crate::binary::{bonewright, example, run};
use job::Profiles;

#[test]
fn every_profile_is_listed_with_its_source() {
    let list = run(bonewright().arg("profiles"));
    assert_eq!(list.code, 0);
    let built_in = Profiles::built_in();
    let names = built_in.string_sets().chain(built_in.materials());
    for name in names.chain(built_in.string_materials()).chain(built_in.wraps()) {
        assert!(list.out.contains(&format!("  {name}")), "{name}");
    }
    assert!(list.out.contains("source: "));
    for name in built_in.string_sets() {
        let set = run(bonewright().args(["profiles", name]));
        assert_eq!(set.code, 0);
        assert!(set.out.starts_with(name));
        let strings = built_in.string_set(name).unwrap().strings.len();
        assert!(set.out.contains(&format!("\n{strings:>6}  ")), "{}", set.out);
        for line in list.out.lines().chain(set.out.lines()) {
            assert!(line.chars().count() <= 80, "{line}");
        }
    }
}

#[test]
fn own_profiles_are_laid_over() {
    let folder = tempfile::tempdir().unwrap();
    // The set comes before the material that it uses.
    std::fs::write(
        folder.path().join("a.toml"),
        concat!(
            "[[string_set]]\nname = \"one string\"\nsource = \"invented\"\n",
            "[[string_set.string]]\nnumber = 1\nnote = \"A3\"\ngauge = \"0.5 mm\"\nkind = \"plain\"\nmaterial = \"sinew\"\n",
        ),
    )
    .unwrap();
    std::fs::write(
        folder.path().join("b.toml"),
        "[[string_material]]\nname = \"sinew\"\ndensity = 1.3\nmodulus = 3.0\nsource = \"invented\"\n",
    )
    .unwrap();
    let list = run(bonewright().arg("profiles").arg("--profiles").arg(folder.path()));
    assert_eq!(list.code, 0, "{}", list.err);
    assert!(list.out.contains("one string") && list.out.contains("sinew") && list.out.contains("  bone"));

    let alone = run(bonewright()
        .arg("profiles")
        .arg("--profiles")
        .arg(folder.path().join("a.toml")));
    assert_eq!(alone.code, 1);
    assert!(
        alone.err.contains("a.toml") && alone.err.contains("No string material"),
        "{}",
        alone.err
    );
}

/// A heavier wrap metal of a built-in name raises the tension of the wound strings and of no other.
#[test]
fn an_own_profile_replaces_one_of_its_name() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("own.toml");
    std::fs::write(
        &file,
        "[[wrap]]\nname = \"phosphor bronze\"\ndensity = 19.3\nsource = \"invented: as heavy as gold\"\n",
    )
    .unwrap();
    let tensions = |own: bool| -> Vec<f64> {
        let mut command = bonewright();
        command.arg("plan").arg(example("parlour.toml")).arg("--json");
        if own {
            command.arg("--profiles").arg(&file);
        }
        let value: serde_json::Value = serde_json::from_str(&run(&mut command).out).unwrap();
        let strings = value["strings"].as_array().unwrap();
        strings.iter().map(|s| s["tension"].as_f64().unwrap()).collect()
    };
    let (usual, heavy) = (tensions(false), tensions(true));
    assert!(heavy[0] > 1.5 * usual[0], "{heavy:?} {usual:?}");
    assert_eq!(heavy[5], usual[5]);
}
