//! Values of a file as a hand types them into a field.

use toml::Value;

/// A single value as it is typed: a text without its quotes, a number, yes or no; `None` for a list or a table.
#[must_use]
pub fn as_typed(value: &Value) -> Option<String> {
    match value {
        Value::String(text) => Some(text.clone()),
        Value::Integer(number) => Some(number.to_string()),
        Value::Float(number) => Some(number.to_string()),
        Value::Boolean(yes) => Some(if *yes { "yes" } else { "no" }.to_owned()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn single_values_alone_are_typed() {
        let table: toml::Table = "a = 'x'\nb = 3\nc = 2.5\nd = true\ne = [1]\nf = { g = 1 }"
            .parse()
            .unwrap();
        let typed = |key: &str| as_typed(&table[key]);
        assert_eq!(
            ["a", "b", "c", "d"].map(typed).map(Option::unwrap),
            ["x", "3", "2.5", "yes"]
        );
        assert_eq!(["e", "f"].map(typed), [None, None]);
    }
}
