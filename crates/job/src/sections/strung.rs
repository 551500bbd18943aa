//! `[strung]`: readings after stringing up.

use instrument::{Of, StrungString, StrungWith, ToolSure};

use crate::fields::{Field, f};
use crate::node::Node;
use crate::problem::{ProblemKind as P, Why};
use crate::some_strings::{SomeStrings, at_frets, some_strings};
use crate::{BenchTool, Profiles, StrungReadings};

const FRET_AND_CENTS: [&Field; 2] = [f!("strung.cents_at:fret"), f!("strung.cents_at:cents")];

/// Readings of every string, bass to treble.
pub(crate) fn strung(node: &Node, profiles: &Profiles) -> Option<StrungReadings> {
    let table = node.table()?;
    let with = table
        .may(f!("strung.with"), |n| with(n, profiles))
        .or(StrungWith::default());
    let read = |row: &'static Field| table.may(row, some_strings).or(Vec::new());
    let row = f!("strung.action_12");
    if table.get(row).is_none() {
        table.lacks(row, Why::OuterStrings {});
    }
    let action = read(row);
    if let (Some(n), Some(action)) = (table.get(row), &action)
        && action.iter().all(Option::is_none)
    {
        n.refuse(P::NoActionRead {});
    }
    let clearance = read(f!("strung.first_fret_clearance"));
    let cents_12 = read(f!("strung.cents_12"));
    let others = table
        .may(f!("strung.cents_at"), |n| at_frets(n, FRET_AND_CENTS))
        .or(Vec::new());
    let humidity = table.may(f!("strung.humidity"), Node::figure);
    let (with, action, clearance, cents_12, others) = (with?, action?, clearance?, cents_12?, others?);
    let at = |values: &SomeStrings, i: usize| Some(values.get(i)?.as_ref()?.value);
    let each = (0..node.source.strings.get()?).map(|i| StrungString {
        action_12: at(&action, i),
        clearance: at(&clearance, i),
        cents_12: at(&cents_12, i),
        others: others
            .iter()
            .filter_map(|(fret, cents)| Some((fret.value, at(cents, i)?)))
            .collect(),
        with: with.clone(),
    });
    Some(StrungReadings {
        strings: each.collect(),
        humidity: humidity.sound()?.map(|percent| percent / 100.0),
    })
}

/// Kinds of readings that `[strung]` has.
const KINDS: [Of; 3] = [Of::Action { fret: 12 }, Of::Clearance, Of::Cents { fret: 12 }];

/// What was read with these tools.
fn with(node: &Node, profiles: &Profiles) -> Option<StrungWith> {
    let one = |node: &Node| {
        let names = profiles.tools().iter().map(|tool| tool.name.as_str());
        let tool = node.named(names, |name| profiles.tool(name))?;
        if KINDS.iter().all(|of| tool.reads(*of).is_none()) {
            let known = KINDS.iter().flat_map(|of| profiles.tools_for(*of));
            let mut known: Vec<String> = known.map(|(tool, _)| tool.name.clone()).collect();
            known.sort_unstable();
            known.dedup();
            return node.refused(P::ToolOfNoneStrung {
                tool: tool.name.clone(),
                known,
            });
        }
        Some(tool)
    };
    let tools: Vec<Option<&BenchTool>> = match node.list() {
        Some(list) => list.iter().map(one).collect(),
        None => vec![one(node)],
    };
    let tools = tools.into_iter().collect::<Option<Vec<_>>>()?;
    let first = |of: Of| {
        let reads = |tool: &&BenchTool| Some((tool.name.clone(), tool.reads(of)?));
        let (tool, sure) = tools.iter().find_map(reads)?;
        // None of these kinds is sure to a share of what is read.
        let unsure = sure.at(0.0);
        Some(ToolSure { tool, unsure })
    };
    let [action, clearance, cents] = KINDS.map(first);
    Some(StrungWith {
        action,
        clearance,
        cents,
    })
}
