//! Plain text tables: figures aligned right under heads that span several columns.

/// Columns under one head.
pub(crate) struct Group {
    /// Lines of the head, top first.
    head: Vec<String>,
    columns: Vec<Column>,
}

struct Column {
    unit: String,
    cells: Vec<String>,
}

/// Spaces between two columns of a group.
const INNER: usize = 2;
/// Spaces between two groups.
const OUTER: usize = 3;

impl Group {
    /// A head of several lines, without columns yet.
    pub(crate) fn new(head: &[&str]) -> Self {
        Self {
            head: head.iter().map(|line| (*line).to_owned()).collect(),
            columns: Vec::new(),
        }
    }

    /// With one more column: its unit, and its cells from top to bottom.
    pub(crate) fn column(mut self, unit: &str, cells: impl Iterator<Item = String>) -> Self {
        self.columns.push(Column {
            unit: unit.to_owned(),
            cells: cells.collect(),
        });
        self
    }

    fn widths(&self) -> Vec<usize> {
        let mut widths: Vec<usize> = self
            .columns
            .iter()
            .map(|c| c.cells.iter().chain([&c.unit]).map(|t| wide(t)).max().unwrap_or(0))
            .collect();
        let head = self.head.iter().map(|t| wide(t)).max().unwrap_or(0);
        let all = widths.iter().sum::<usize>() + INNER * widths.len().saturating_sub(1);
        if let Some(first) = widths.first_mut() {
            *first += head.saturating_sub(all);
        }
        widths
    }
}

fn wide(text: &str) -> usize {
    text.chars().count()
}

/// The groups side by side, each line ended, no blanks at the end of a line.
pub(crate) fn grid(groups: &[Group]) -> String {
    let widths: Vec<Vec<usize>> = groups.iter().map(Group::widths).collect();
    let total = |w: &Vec<usize>| w.iter().sum::<usize>() + INNER * w.len().saturating_sub(1);
    let join = |parts: Vec<String>| {
        let line = parts.join(&" ".repeat(OUTER));
        format!("{}\n", line.trim_end())
    };
    let heads = groups.iter().map(|g| g.head.len()).max().unwrap_or(0);
    let rows = groups
        .iter()
        .flat_map(|g| &g.columns)
        .map(|c| c.cells.len())
        .max()
        .unwrap_or(0);
    let mut text = String::new();
    for line in 0..heads {
        text += &join(
            groups
                .iter()
                .zip(&widths)
                .map(|(group, w)| {
                    // Short heads stand low, on their figures.
                    let own = (line + group.head.len())
                        .checked_sub(heads)
                        .and_then(|i| group.head.get(i));
                    format!("{:>1$}", own.map_or("", String::as_str), total(w))
                })
                .collect(),
        );
    }
    let row = |cell: &dyn Fn(&Column) -> String| {
        join(
            groups
                .iter()
                .zip(&widths)
                .map(|(group, w)| {
                    let cells: Vec<String> = group
                        .columns
                        .iter()
                        .zip(w)
                        .map(|(c, w)| format!("{:>w$}", cell(c)))
                        .collect();
                    cells.join(&" ".repeat(INNER))
                })
                .collect(),
        )
    };
    text += &row(&|c| c.unit.clone());
    text += &join(widths.iter().map(|w| "-".repeat(total(w))).collect());
    for i in 0..rows {
        text += &row(&|c| c.cells.get(i).cloned().unwrap_or_default());
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_stand_right_under_their_heads() {
        let cells = |values: [&str; 2]| values.map(str::to_owned).into_iter();
        let text = grid(&[
            Group::new(&["no."]).column("", cells(["6", "12"])),
            Group::new(&["height", "above the bottom"])
                .column("thou", cells(["333.3", "8.1"]))
                .column("mm", cells(["8.467", "0.206"])),
        ]);
        assert_eq!(
            text,
            concat!(
                "                height\n",
                "no.   above the bottom\n",
                "           thou     mm\n",
                "---   ----------------\n",
                "  6       333.3  8.467\n",
                " 12         8.1  0.206\n",
            )
        );
    }

    #[test]
    fn nothing_gives_no_panic() {
        assert_eq!(grid(&[]), "\n\n");
    }
}
