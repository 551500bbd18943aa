//! What to read next.

use job::Profiles;
use work::{Next, NextAsk, Planned, Shop};

fn planned(text: &str) -> Planned {
    let done = work::planned(job::read(text, &Profiles::built_in()).unwrap().job);
    assert_eq!(done.refusals, []);
    done
}

fn parlour() -> String {
    std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/parlour.toml")).unwrap()
}

#[test]
fn explore() {
    for (more, with) in [
        ("", vec![]),
        ("[uncertainty]\ncents = \"1.5 cents\"\n", vec![]),
        ("[uncertainty]\ncents = \"1 cents\"\n", vec![]),
        ("", vec!["recording".to_owned()]),
    ] {
        let done = planned(&(parlour() + more));
        let profiles = Profiles::built_in();
        let shop = Shop {
            with: &with,
            ..Shop::usual(&profiles)
        };
        let start = std::time::Instant::now();
        let next = done.saddle().unwrap().next(&shop, &NextAsk::default()).unwrap();
        println!("{more:?} {with:?} {:?} now {}", start.elapsed(), next.now);
        for (head, list) in [("kinds", &next.kinds), ("singles", &next.singles)] {
            println!("{head}");
            for s in list {
                println!(
                    "  {:.3} {:?} {:?} {} {:.4} {}",
                    s.chance, s.of, s.places, s.tool, s.sure_to, s.again
                );
            }
        }
    }
}
