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

/// What the page keeps of the shop's own counts for a job of the same folder without a word, as with its file named; another file that is
/// named counts alone.
#[test]
fn the_shop_s_own_beside_the_job_count() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("a.toml");
    let text = std::fs::read_to_string(example("sound.toml")).unwrap();
    std::fs::write(&job, text.replace("material = \"bone\"", "material = \"own bone\"")).unwrap();
    let plan = |more: &[&std::ffi::OsStr]| run(bonewright().arg("plan").arg(&job).args(more));
    assert_eq!(plan(&[]).code, 1);
    let own = folder.path().join(pages::OWN_PROFILES);
    std::fs::create_dir(own.parent().unwrap()).unwrap();
    std::fs::write(
        &own,
        "[[blank_material]]\nname = \"own bone\"\ndust = \"bone\"\nsource = \"invented\"\n",
    )
    .unwrap();
    let alone = plan(&[]);
    assert_eq!(alone.code, 0, "{}", alone.err);
    let named = plan(&["--profiles".as_ref(), own.as_os_str()]);
    assert_eq!((named.code, &named.out, &named.err), (0, &alone.out, &alone.err));
    let from_there = run(bonewright().current_dir(folder.path()).args(["plan", "a.toml"]));
    assert_eq!((from_there.code, &from_there.out), (0, &alone.out));
    let other = folder.path().join("other.toml");
    std::fs::write(&other, "").unwrap();
    assert_eq!(plan(&["--profiles".as_ref(), other.as_os_str()]).code, 1);
    let list = run(bonewright().current_dir(folder.path()).arg("profiles"));
    let told = format!("\nOF {}\n  materials of blanks: own bone\n", pages::OWN_PROFILES);
    assert!(
        list.code == 0 && list.out.contains("\n  own bone\n") && list.out.ends_with(&told),
        "{}",
        list.out
    );
    // A slip in it is told by its name, not passed over.
    std::fs::write(&own, "x").unwrap();
    let slip = plan(&[]);
    assert!(slip.code == 1 && slip.err.contains(pages::OWN_PROFILES), "{}", slip.err);
}
