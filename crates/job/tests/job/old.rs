//! Files of earlier versions, in `tests/old`: job files, readings and profiles are read as they are.

use job::{Checked, Profiles, Severity, read, read_strung};
use std::fs;
use std::path::{Path, PathBuf};

/// Folders of the versions.
fn versions() -> Vec<PathBuf> {
    let old = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/old");
    let entries = fs::read_dir(old).unwrap().map(|entry| entry.unwrap().path());
    let found: Vec<PathBuf> = entries.filter(|path| path.is_dir()).collect();
    assert!(!found.is_empty());
    found
}

fn sound(path: &Path, profiles: &Profiles) -> Checked {
    let text = fs::read_to_string(path).unwrap();
    read(&text, profiles).unwrap_or_else(|problems| panic!("{}: {problems:?}", path.display()))
}

#[test]
fn job_files_of_every_version_are_read() {
    let profiles = Profiles::built_in();
    for version in versions() {
        let mut count = 0;
        for entry in fs::read_dir(version.join("jobs")).unwrap() {
            let path = entry.unwrap().path();
            let checked = sound(&path, &profiles);
            assert!(checked.warnings.iter().all(|p| p.severity == Severity::Warning));
            assert!(
                checked.job.saddle.is_some() || checked.job.nut.is_some(),
                "{}",
                path.display()
            );
            count += 1;
        }
        assert!(count >= 10, "{}", version.display());
    }
}

#[test]
fn readings_and_profiles_of_every_version_are_read() {
    for version in versions() {
        let mut profiles = Profiles::built_in();
        let parlour = sound(&version.join("jobs/parlour.toml"), &profiles).job;
        let strung = fs::read_to_string(version.join("strung.toml")).unwrap();
        let (readings, _) = read_strung(&strung, &parlour, &profiles).unwrap();
        assert_eq!(readings.len(), 6);
        let sets = profiles.string_sets().count();
        let text = fs::read_to_string(version.join("profiles.toml")).unwrap();
        profiles.add_text("profiles.toml", &text).unwrap();
        assert_eq!(profiles.string_sets().count(), sets + 1);
        assert!(profiles.string_material("old wire").is_some() && profiles.wrap("old wrap").is_some());
        assert!(
            profiles
                .machines()
                .iter()
                .any(|machine| machine.name.starts_with("old "))
        );
    }
}
