//! What to read next: both lists of the six-string parlour guitar, with all tools, and the short one beside the page's survey.

#![allow(missing_docs)] // criterion's macros make public items

use criterion::{Criterion, criterion_group, criterion_main};
use job::Profiles;
use work::{NextAsk, Shop};

fn benches(c: &mut Criterion) {
    let profiles = Profiles::built_in();
    let Ok(read) = job::read(include_str!("../../examples/parlour.toml"), &profiles) else {
        return;
    };
    let done = work::planned(read.job);
    let Some(saddle) = done.saddle() else { return };
    let named = ["recording".to_owned()];
    let mut group = c.benchmark_group("next");
    for (name, with, ask) in [
        ("both lists", &[][..], NextAsk::default()),
        ("both lists, with a recording", &named[..], NextAsk::default()),
        (
            "beside the survey",
            &[],
            NextAsk {
                kinds: 3,
                singles: 0,
                ..NextAsk::default()
            },
        ),
    ] {
        let shop = Shop {
            with,
            ..Shop::usual(&profiles)
        };
        group.bench_function(name, |b| b.iter(|| saddle.next(&shop, &ask)));
    }
    group.finish();
}

criterion_group!(all, benches);
criterion_main!(all);
