//! Jobs of the examples with their plans, and everything that is drawn of them as words.

use job::{Dust, Profiles, read};
use work::{Hazards, Planned, planned};

/// The planned job of this example.
pub fn example(name: &str) -> Planned {
    let path = format!("{}/../../examples/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    planned(read(&text, &Profiles::built_in()).unwrap().job)
}

/// Gives both parts a material with these hazards.
pub fn endanger(done: &mut Planned, hazards: Hazards) {
    let job = &mut done.job;
    let saddle = job.saddle.as_mut().map(|made| &mut made.material);
    let nut = job.nut.as_mut().map(|made| &mut made.material);
    for material in saddle.into_iter().chain(nut) {
        material.dust = if hazards.synthetic { Dust::Synthetic } else { Dust::Bone };
        material.check_law = hazards.check_law;
    }
}
