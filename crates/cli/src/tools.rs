//! Tools of the bench, by the names that a user gives.

use crate::failure::Failure;
use job::Profiles;

/// Names of tools as the profiles have them.
///
/// # Errors
/// [`Failure::Use`] if a tool is in no profile.
pub(crate) fn tools(flag: &str, names: &[String], profiles: &Profiles) -> Result<Vec<String>, Failure> {
    let named = names.iter().map(|name| {
        let name = name.trim();
        let found = profiles.tools().iter().find(|tool| tool.name == name);
        found.map(|tool| tool.name.clone()).ok_or_else(|| {
            let known: Vec<String> = profiles
                .tools()
                .iter()
                .map(|tool| format!("\"{}\"", tool.name))
                .collect();
            Failure::Use(format!(
                "{flag}: there is no tool named \"{name}\". Known are {}. Add your own in a file and name it with --profiles.",
                known.join(", ")
            ))
        })
    });
    named.collect()
}
