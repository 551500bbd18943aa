//! What every home of jobs must keep to, as tests over an empty one. A crate that has such a home takes this file in by its path,
//! under a parent that has these names.

use super::{JobName, Jobs, KEPT, MOST_BYTES, StoreError, Version};

/// All of it. Each part is given an empty home of its own.
pub(super) const ALL: [fn(&dyn Jobs); 7] = [
    empty,
    created_once,
    saved_undone_and_done_again,
    out_of_date,
    too_long,
    kept_up_to_a_number,
    beside,
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
