//! What every home of jobs must keep to, as tests over an empty one. A crate that has such a home takes this file in by its path,
//! under a parent that has these names.

use super::{JobName, Jobs, KEPT, MOST_BYTES, Old, StoreError, Version};

/// All of it. Each part is given an empty home of its own.
pub(super) const ALL: [fn(&dyn Jobs); 12] = [
    empty,
    created_once,
    saved_undone_and_done_again,
    out_of_date,
    too_long,
    kept_up_to_a_number,
    beside,
    renamed_with_all_that_is_kept,
    binned_and_taken_out_whole,
    old_versions_are_listed,
    stamped,
    profiles_of_the_shop,
];

fn name(text: &str) -> JobName {
    JobName::parse(text).unwrap()
}

fn empty(jobs: &dyn Jobs) {
    let (a, one) = (name("a"), Version::of("one"));
    assert!(jobs.names().is_empty() && jobs.left_out().is_empty());
    assert!(!jobs.place().is_empty());
    assert!(matches!(jobs.read(&a), Err(StoreError::Missing)));
    assert!(matches!(jobs.save(&a, &one, "two"), Err(StoreError::Missing)));
    assert!(matches!(jobs.undo(&a, &one), Err(StoreError::Missing)));
    assert!(matches!(jobs.redo(&a, &one), Err(StoreError::Missing)));
    assert_eq!(jobs.steps(&a), (false, false));
    assert_eq!(jobs.read_beside(&a), "");
    assert!(matches!(
        jobs.rename(&a, &one, &name("b"), "x"),
        Err(StoreError::Missing)
    ));
    assert!(matches!(jobs.bin(&a), Err(StoreError::Missing)));
    assert!(matches!(jobs.unbin(1, &a), Err(StoreError::Missing)));
    assert!(matches!(jobs.read_binned(1), Err(StoreError::Missing)));
    assert!(jobs.binned().is_empty() && jobs.versions(&a).is_empty() && jobs.stamp(&a).is_none());
    assert!(matches!(
        jobs.read_version(&a, Old::Before, 1),
        Err(StoreError::Missing)
    ));
}

fn created_once(jobs: &dyn Jobs) {
    for (job, text) in [("b", "of b"), ("a", "of a"), ("c.d", "of c")] {
        jobs.create(&name(job), text).unwrap();
    }
    for job in ["a", "A", "C.d"] {
        assert!(matches!(jobs.create(&name(job), "x"), Err(StoreError::Exists)), "{job}");
    }
    assert_eq!(jobs.names(), ["a", "b", "c.d"].map(name));
    assert_eq!(jobs.read(&name("a")).unwrap(), "of a");
}

fn saved_undone_and_done_again(jobs: &dyn Jobs) {
    let a = name("a");
    jobs.create(&a, "one").unwrap();
    assert_eq!(jobs.steps(&a), (false, false));
    let one = Version::of("one");
    let two = jobs.save(&a, &one, "two").unwrap();
    assert_eq!(two, Version::of("two"));
    let three = jobs.save(&a, &two, "three").unwrap();
    assert_eq!(jobs.steps(&a), (true, false));
    jobs.undo(&a, &three).unwrap();
    assert_eq!(jobs.read(&a).unwrap(), "two");
    assert_eq!(jobs.steps(&a), (true, true));
    jobs.undo(&a, &two).unwrap();
    assert_eq!(jobs.read(&a).unwrap(), "one");
    assert_eq!(jobs.steps(&a), (false, true));
    assert!(matches!(jobs.undo(&a, &one), Err(StoreError::Nothing)));
    jobs.redo(&a, &one).unwrap();
    assert_eq!(jobs.read(&a).unwrap(), "two");
    jobs.save(&a, &two, "two").unwrap();
    assert_eq!(jobs.steps(&a), (true, true), "the same text is no change");
    let four = jobs.save(&a, &two, "four").unwrap();
    assert_eq!(
        jobs.steps(&a),
        (true, false),
        "a new change ends what can be done again"
    );
    assert!(matches!(jobs.redo(&a, &four), Err(StoreError::Nothing)));
    jobs.undo(&a, &four).unwrap();
    assert_eq!(jobs.read(&a).unwrap(), "two");
}

fn out_of_date(jobs: &dyn Jobs) {
    let a = name("a");
    jobs.create(&a, "one").unwrap();
    let one = Version::of("one");
    let two = jobs.save(&a, &one, "two").unwrap();
    assert!(matches!(jobs.save(&a, &one, "x"), Err(StoreError::Changed)));
    assert!(matches!(jobs.undo(&a, &one), Err(StoreError::Changed)));
    assert_eq!(jobs.read(&a).unwrap(), "two");
    jobs.undo(&a, &two).unwrap();
    assert!(matches!(jobs.redo(&a, &two), Err(StoreError::Changed)));
    assert_eq!(jobs.read(&a).unwrap(), "one");
    assert_eq!(jobs.steps(&a), (false, true));
}

fn too_long(jobs: &dyn Jobs) {
    let a = name("a");
    jobs.create(&a, "one").unwrap();
    let [most, over] = [MOST_BYTES, MOST_BYTES + 1].map(|n| " ".repeat(n));
    let one = Version::of("one");
    assert!(matches!(jobs.save(&a, &one, &over), Err(StoreError::NoJob)));
    assert_eq!(jobs.read(&a).unwrap(), "one");
    assert_eq!(jobs.steps(&a), (false, false));
    jobs.save(&a, &one, &most).unwrap();
    assert_eq!(jobs.read(&a).unwrap(), most);
}

fn kept_up_to_a_number(jobs: &dyn Jobs) {
    const OVER: usize = 5;
    let a = name("a");
    jobs.create(&a, "0").unwrap();
    let at = |i: usize| Version::of(&i.to_string());
    for i in 0..KEPT + OVER {
        jobs.save(&a, &at(i), &(i + 1).to_string()).unwrap();
    }
    for i in (OVER..KEPT + OVER).rev() {
        jobs.undo(&a, &at(i + 1)).unwrap();
    }
    assert_eq!(jobs.read(&a).unwrap(), OVER.to_string());
    assert!(matches!(jobs.undo(&a, &at(OVER)), Err(StoreError::Nothing)));
}

fn beside(jobs: &dyn Jobs) {
    let (a, b) = (name("a"), name("b"));
    jobs.create(&a, "one").unwrap();
    jobs.create(&b, "one").unwrap();
    let longer = |now: &str| format!("{now}x");
    jobs.change_beside(&a, &longer).unwrap();
    jobs.change_beside(&a, &longer).unwrap();
    assert_eq!(
        (jobs.read_beside(&a), jobs.read_beside(&b)),
        ("xx".into(), String::new())
    );
    assert_eq!(jobs.read(&a).unwrap(), "one");
    assert_eq!(jobs.steps(&a), (false, false));
    assert_eq!(jobs.names(), [a, b]);
}

/// The texts that are kept of a job, as they are listed.
fn kept(jobs: &dyn Jobs, of: &JobName) -> Vec<(Old, String)> {
    let versions = jobs.versions(of).into_iter();
    versions
        .map(|old| (old.kind, jobs.read_version(of, old.kind, old.number).unwrap()))
        .collect()
}

fn renamed_with_all_that_is_kept(jobs: &dyn Jobs) {
    let [a, b, other] = ["a", "b", "other"].map(name);
    jobs.create(&a, "one").unwrap();
    jobs.create(&other, "other").unwrap();
    let two = jobs.save(&a, &Version::of("one"), "two").unwrap();
    jobs.change_beside(&a, &|_| "ticks".to_owned()).unwrap();
    for taken in ["other", "OTHER"] {
        assert!(matches!(
            jobs.rename(&a, &two, &name(taken), "x"),
            Err(StoreError::Exists)
        ));
    }
    assert!(matches!(
        jobs.rename(&a, &Version::of("one"), &b, "x"),
        Err(StoreError::Changed)
    ));
    let long = " ".repeat(MOST_BYTES + 1);
    assert!(matches!(jobs.rename(&a, &two, &b, &long), Err(StoreError::NoJob)));
    assert_eq!(jobs.names(), [a.clone(), other.clone()]);
    let three = jobs.rename(&a, &two, &b, "three").unwrap();
    assert_eq!(three, Version::of("three"));
    assert_eq!(jobs.names(), [b.clone(), other.clone()]);
    assert!(matches!(jobs.read(&a), Err(StoreError::Missing)));
    assert_eq!(
        (jobs.read(&b).unwrap(), jobs.read_beside(&b)),
        ("three".into(), "ticks".into())
    );
    assert_eq!(
        kept(jobs, &b),
        [(Old::Before, "two".into()), (Old::Before, "one".into())]
    );
    // Its own name in capitals, and the name alone.
    let large = name("B");
    jobs.rename(&b, &three, &large, "three").unwrap();
    assert_eq!(jobs.names(), [large.clone(), other]);
    assert_eq!(kept(jobs, &large).len(), 2);
    // The text alone.
    jobs.rename(&large, &three, &large, "four").unwrap();
    assert_eq!(jobs.read(&large).unwrap(), "four");
    jobs.create(&a, "free again").unwrap();
}

fn binned_and_taken_out_whole(jobs: &dyn Jobs) {
    let [a, b] = ["a", "b"].map(name);
    jobs.create(&a, "one").unwrap();
    jobs.save(&a, &Version::of("one"), "two").unwrap();
    jobs.change_beside(&a, &|_| "ticks".to_owned()).unwrap();
    let first = jobs.bin(&a).unwrap();
    assert!(jobs.names().is_empty() && matches!(jobs.read(&a), Err(StoreError::Missing)));
    assert_eq!(jobs.read_binned(first).unwrap(), "two");
    jobs.create(&a, "another").unwrap();
    assert_eq!((jobs.read_beside(&a), jobs.steps(&a)), (String::new(), (false, false)));
    let second = jobs.bin(&a).unwrap();
    let binned: Vec<(u64, JobName)> = jobs
        .binned()
        .into_iter()
        .map(|binned| (binned.number, binned.name))
        .collect();
    assert_eq!(binned, [(second, a.clone()), (first, a.clone())]);
    jobs.unbin(second, &a).unwrap();
    assert!(matches!(jobs.unbin(first, &name("A")), Err(StoreError::Exists)));
    jobs.unbin(first, &b).unwrap();
    assert!(matches!(jobs.unbin(first, &name("c")), Err(StoreError::Missing)));
    assert!(jobs.binned().is_empty());
    assert_eq!(
        (jobs.read(&a).unwrap(), jobs.read(&b).unwrap()),
        ("another".into(), "two".into())
    );
    assert_eq!(jobs.read_beside(&b), "ticks");
    jobs.undo(&b, &Version::of("two")).unwrap();
    assert_eq!(jobs.read(&b).unwrap(), "one");
}

fn old_versions_are_listed(jobs: &dyn Jobs) {
    let a = name("a");
    jobs.create(&a, "one").unwrap();
    for (now, next) in [("one", "two"), ("two", "three"), ("three", "four")] {
        jobs.save(&a, &Version::of(now), next).unwrap();
    }
    jobs.undo(&a, &Version::of("four")).unwrap();
    jobs.undo(&a, &Version::of("three")).unwrap();
    let texts = |kept: &[(Old, &str)]| {
        kept.iter()
            .map(|(kind, text)| (*kind, (*text).to_owned()))
            .collect::<Vec<_>>()
    };
    assert_eq!(
        kept(jobs, &a),
        texts(&[(Old::Undone, "three"), (Old::Undone, "four"), (Old::Before, "one")])
    );
    assert!(jobs.versions(&a).iter().all(|old| old.when.is_some()));
    jobs.save(&a, &Version::of("two"), "five").unwrap();
    let after = [
        (Old::Before, "two"),
        (Old::Before, "one"),
        (Old::Aside, "four"),
        (Old::Aside, "three"),
    ];
    let mut found = kept(jobs, &a);
    let mut wanted = texts(&after);
    found.sort();
    wanted.sort();
    assert_eq!(found, wanted, "what was undone is not lost");
    assert!(matches!(
        jobs.read_version(&a, Old::Before, 99),
        Err(StoreError::Missing)
    ));
}

/// Where a stamp is told, it is another after every change.
fn stamped(jobs: &dyn Jobs) {
    let a = name("a");
    jobs.create(&a, "one").unwrap();
    let mut seen = vec![jobs.stamp(&a)];
    let mut look = |what: &str| {
        let now = jobs.stamp(&a);
        assert!(now.is_none() || !seen.contains(&now), "{what}");
        seen.push(now);
    };
    jobs.save(&a, &Version::of("one"), "two").unwrap();
    look("save");
    jobs.undo(&a, &Version::of("two")).unwrap();
    look("undo");
    jobs.change_beside(&a, &|_| "x".to_owned()).unwrap();
    look("beside");
    jobs.bin(&a).unwrap();
    jobs.create(&a, "one").unwrap();
    look("begun anew");
}

/// The shop's own profiles: none at first, replaced only as they were read, and no job.
fn profiles_of_the_shop(jobs: &dyn Jobs) {
    let none = Version::of("");
    assert_eq!(jobs.read_profiles().unwrap(), "");
    let one = jobs.save_profiles(&none, "# one").unwrap();
    assert_eq!(
        (one.clone(), jobs.read_profiles().unwrap()),
        (Version::of("# one"), "# one".into())
    );
    assert!(matches!(jobs.save_profiles(&none, "# late"), Err(StoreError::Changed)));
    let two = jobs.save_profiles(&one, "# two").unwrap();
    assert!(matches!(
        jobs.save_profiles(&two, &" ".repeat(MOST_BYTES + 1)),
        Err(StoreError::NoJob)
    ));
    assert_eq!(jobs.read_profiles().unwrap(), "# two");
    assert!(jobs.names().is_empty() && jobs.left_out().is_empty() && jobs.binned().is_empty());
    jobs.save_profiles(&two, "").unwrap();
    assert_eq!(jobs.save_profiles(&none, "# again").unwrap(), Version::of("# again"));
}
