//! The examples that a job can be started from, carried in the program.

macro_rules! example {
    ($name:literal) => {
        ($name, include_str!(concat!("../../../examples/", $name, ".toml")))
    };
}

/// Name and text of each.
pub const EXAMPLES: [(&str, &str); 7] = [
    example!("parlour"),
    example!("nylon-drop-in"),
    example!("baritone-ukulele"),
    example!("twelve-string"),
    example!("parlour-both"),
    example!("nut-only"),
    example!("split-saddle"),
];

/// The text of an example.
#[must_use]
pub fn text(name: &str) -> Option<&'static str> {
    EXAMPLES.iter().find(|(other, _)| *other == name).map(|(_, text)| *text)
}
