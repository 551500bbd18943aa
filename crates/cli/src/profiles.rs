//! `bonewright profiles`: string sets and materials by name, with their sources, and what files add.

use crate::failure::Failure;
use crate::source::{ProfileArgs, own_in};
use crate::speak;
use clap::Args;
use job::{Profiles, ShopFile, ShopKind, StringKind, StringSet, StringSpec};
use std::path::Path;
use units::BenchUnit;

/// List string sets and materials that a job can name, with their sources, and what files add of all kinds
#[derive(Args)]
pub struct ListProfiles {
    /// Show the strings of this set only
    #[arg(value_name = "SET")]
    set: Option<String>,
    #[command(flatten)]
    profiles: ProfileArgs,
}

/// # Errors
/// As [`ProfileArgs::load`]; [`Failure::Use`] for an unknown set.
pub fn run(args: &ListProfiles) -> Result<(), Failure> {
    let args_with_own = args.profiles.with_own(own_in(Path::new("")));
    let profiles = args_with_own.load()?;
    let Some(name) = &args.set else {
        let added = args_with_own.added()?;
        return speak::result(&(list(&profiles) + &added_words(&added)));
    };
    let set = profiles.string_set(name).ok_or_else(|| {
        Failure::Use(format!(
            "there is no string set named \"{name}\". Run \"bonewright profiles\" for the names there are."
        ))
    })?;
    speak::result(&strings(set))
}

fn list(profiles: &Profiles) -> String {
    let mut text = String::from("STRING SETS ([strings] set = ...)\n");
    for set in profiles.string_sets().filter_map(|name| profiles.string_set(name)) {
        let notes: Vec<&str> = set.strings.iter().filter_map(|s| s.note.as_deref()).collect();
        text += &report::wrapped(&format!("{}: {}", set.name, notes.join(" ")), "  ", "      ");
        text += &report::wrapped(&format!("source: {}", set.source), "      ", "      ");
    }
    text += "\nBLANK MATERIALS ([blank] material = ...)\n";
    for material in profiles.materials().filter_map(|name| profiles.material(name)) {
        let law = if material.check_law { " (check the law)" } else { "" };
        text += &report::wrapped(&format!("{}{law}", material.name), "  ", "      ");
        text += &report::wrapped(&format!("source: {}", material.source), "      ", "      ");
    }
    text += "\nSTRING MATERIALS (core_material, material)\n";
    for (name, m) in profiles
        .string_materials()
        .filter_map(|name| Some((name, profiles.string_material(name)?)))
    {
        text += &format!("  {name}: {} g/cm3, {} GPa\n", m.density, m.modulus);
    }
    text += "\nWRAP METALS (wrap)\n";
    for (name, density) in profiles.wraps().filter_map(|name| Some((name, profiles.wrap(name)?))) {
        text += &format!("  {name}: {density} g/cm3\n");
    }
    text
}

/// What does not come with the program, and from which file.
fn added_words(added: &[(String, ShopFile)]) -> String {
    let mut text = String::new();
    for (file, own) in added {
        text += &format!("\nOF {file}\n");
        for kind in ShopKind::ALL {
            let names = own.names(kind);
            if !names.is_empty() {
                let line = format!("{}: {}", kind.words().1.to_lowercase(), names.join("; "));
                text += &report::wrapped(&line, "  ", "      ");
            }
        }
    }
    text
}

fn strings(set: &StringSet) -> String {
    let mut text = report::wrapped(&set.name, "", "");
    text += &report::wrapped(&format!("source: {}", set.source), "", "");
    text += "\nstring  note   gauge\n------  ----   -----\n";
    for (number, string) in (1..=set.strings.len()).rev().zip(&set.strings) {
        let note = string.note.as_deref().unwrap_or("-");
        text += &report::wrapped(
            &describe(string),
            &format!("{number:>6}  {note:<4}   "),
            &" ".repeat(15),
        );
    }
    text
}

/// A string in words.
fn describe(string: &StringSpec) -> String {
    let size = |mm: f64| format!("{} ({})", BenchUnit::THOU.show(mm), BenchUnit::METRIC.show(mm));
    let mut parts = Vec::new();
    if let Some(gauge) = string.gauge {
        parts.push(size(gauge));
    }
    parts.push(match (string.kind, &string.material) {
        (Some(StringKind::Wound), _) => "wound".to_owned(),
        (_, Some(material)) => format!("plain {material}"),
        (_, None) => "plain".to_owned(),
    });
    if let Some(core) = string.core {
        let shape = match string.core_shape {
            Some(strings::CoreShape::Hexagonal) => "hexagonal core, across flats",
            _ => "round core",
        };
        parts.push(format!("{shape} {}", size(core)));
    }
    parts.extend(string.wrap.clone());
    if let Some(density) = string.linear_density {
        parts.push(format!("{density} g/m"));
    }
    if let Some(response) = string.stretch_response {
        parts.push(format!("stretch response {response}"));
    }
    parts.join(", ")
}
