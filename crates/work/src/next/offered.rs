//! Every reading that could still be taken.

use super::told::Shop;
use instrument::{At, NutReading, Of, Paired, Taken};
use job::SureTo;
use known::{Ahead, Evidence, What};

/// Fret of the second action of each string: halfway between nut and fret 12, so that half of it is the nut's height.
const SECOND_FRET: u32 = 5;

/// What can be read of a board, at the ends of a slot, and of strings.
const WHOLE: [Of; 5] = [Of::NutTo12, Of::Relief, Of::RadiusAtNut, Of::RadiusAt12, Of::Lean];
const ENDS: [Of; 3] = [Of::SlotEdge, Of::BridgeTop, Of::SlotDepth];
const STRINGS: [Of; 12] = [
    Of::Clearance,
    Of::HeldAtThree,
    Of::ZeroFret,
    Of::Action { fret: 12 },
    Of::Action { fret: SECOND_FRET },
    Of::Contact,
    Of::SaddleHeight,
    Of::SaddleBack,
    Of::Exposure,
    Of::OverBridge,
    Of::Cents { fret: 12 },
    Of::Inharmonicity,
];

/// One reading that could be taken; its value is what it would say.
pub(super) struct Offer {
    pub(super) taken: Taken,
    /// It was read with this tool before.
    pub(super) again: bool,
}

/// All of them.
pub(super) struct Offered {
    pub(super) readings: Vec<Offer>,
    /// Those of one kind with one tool, by their numbers.
    pub(super) kinds: Vec<Vec<usize>>,
    pub(super) ahead: Ahead,
    /// The present nut of some string was not read, so nothing that is read of that string counts.
    pub(super) no_nut: bool,
}

/// What was read, where, and with which tool.
fn read_before(evidence: &Evidence) -> Vec<(Of, At, &str)> {
    let rows = evidence.known.rows.iter();
    rows.filter_map(|row| {
        let What::Read(of, at) = row.what else { return None };
        let tool = match row.taken {
            None => of.usual_tool(),
            Some(taken) => evidence.readings.taken.get(taken)?.tool.as_str(),
        };
        Some((of, at, tool))
    })
    .collect()
}

/// A tool with how sure it is; `None`: as the job says of the usual one.
#[derive(Clone, Copy)]
struct Tool<'a> {
    name: &'a str,
    sure: Option<SureTo>,
}

impl Tool<'_> {
    fn unsure(&self, evidence: &Evidence, of: Of, value: f64) -> Paired {
        match self.sure {
            Some(sure) => sure.at(value),
            None => evidence.unsure.taken(of, value),
        }
    }
}

/// Tools that a kind of reading is offered with: the surest that there is, and where that has read it already, so that another such reading
/// errs by the same, the surest that has not.
fn tools<'a>(evidence: &Evidence, shop: &Shop<'a>, before: &[(Of, At, &str)], of: Of) -> Vec<Tool<'a>> {
    let is = |names: &[String], tool: &str| names.iter().any(|name| name == tool);
    let used = |tool: &str| before.iter().any(|(own, _, by)| own.is_like(of) && *by == tool);
    let known_here = |tool: &str| before.iter().any(|(.., by)| *by == tool);
    let usual = of.usual_tool();
    let others = shop
        .profiles
        .tools_for(of)
        .filter(|(tool, _)| tool.name != usual)
        .map(|(tool, sure)| Tool {
            name: &tool.name,
            sure: Some(sure),
        });
    let all = others.chain([Tool {
        name: usual,
        sure: None,
    }]);
    let offered = |tool: &Tool| {
        let named_only = shop.profiles.tool(tool.name).is_some_and(|tool| tool.named_only);
        (!named_only || is(shop.with, tool.name) || known_here(tool.name)) && !is(shop.without, tool.name)
    };
    let mut all: Vec<Tool> = all.filter(offered).collect();
    // Shares are compared as shares.
    let total = |tool: &Tool| tool.unsure(evidence, of, 1.0).total();
    all.sort_by(|a, b| total(a).total_cmp(&total(b)).then(a.name.cmp(b.name)));
    let surest = all.first().copied();
    let second = surest
        .filter(|tool| used(tool.name))
        .and_then(|_| all.iter().copied().find(|tool| !used(tool.name)));
    surest.into_iter().chain(second).collect()
}

/// Whether the nut that is there was read; one that is to be made says nothing of the strings as they are.
fn has_nut(nut: Option<NutReading>) -> bool {
    !matches!(nut, None | Some(NutReading::New { .. }))
}

/// Where a kind of reading can be taken.
fn places(evidence: &Evidence, of: Of) -> Vec<At> {
    let strings = evidence.instrument.strings.iter().enumerate();
    if WHOLE.contains(&of) {
        return vec![At::Whole];
    }
    if ENDS.contains(&of) {
        // Under one string both ends are one place.
        return (0..evidence.instrument.strings.len().min(2)).map(At::End).collect();
    }
    let can = |nut: Option<NutReading>| match of {
        Of::ZeroFret => matches!(nut, Some(NutReading::ZeroFret { .. })),
        Of::Inharmonicity => true,
        _ => has_nut(nut),
    };
    strings
        .filter(|(_, s)| can(s.present_nut))
        .map(|(i, _)| At::String(i))
        .collect()
}

/// An end of the slot is where its outer string is.
fn on_string(at: At, strings: usize) -> At {
    match at {
        At::End(0) => At::String(0),
        At::End(_) => At::String(strings.saturating_sub(1)),
        at => at,
    }
}

/// Every reading that could be taken with the tools of a shop.
pub(super) fn offered(evidence: &Evidence, shop: &Shop) -> Offered {
    let (before, strings) = (read_before(evidence), evidence.instrument.strings.len());
    let all = WHOLE.into_iter().chain(ENDS).chain(STRINGS);
    let mut readings: Vec<(Taken, Tool)> = Vec::new();
    for of in all {
        for tool in tools(evidence, shop, &before, of) {
            let taken = |at| Taken {
                of,
                at,
                value: 0.0,
                // What a share is a share of is told below.
                unsure: tool.unsure(evidence, of, 1.0),
                tool: tool.name.to_owned(),
                visit: shop.visit,
                doubted: false,
            };
            readings.extend(places(evidence, of).into_iter().map(|at| (taken(at), tool)));
        }
    }
    let seen = evidence.seen();
    let all: Vec<Taken> = readings.iter().map(|(taken, _)| taken.clone()).collect();
    let expected = evidence.known.ahead(&seen, &all).expected;
    let readings: Vec<Offer> = readings
        .into_iter()
        .zip(expected)
        .filter_map(|((taken, tool), expected)| {
            let value = expected?.value;
            let again = before.iter().any(|(of, at, by)| {
                *of == taken.of && on_string(*at, strings) == on_string(taken.at, strings) && *by == taken.tool
            });
            let unsure = tool.unsure(evidence, taken.of, value);
            Some(Offer {
                taken: Taken { value, unsure, ..taken },
                again,
            })
        })
        .collect();
    let mut kinds: Vec<Vec<usize>> = Vec::new();
    for (i, offer) in readings.iter().enumerate() {
        let alike = kinds.iter_mut().find(|kind| {
            kind.first()
                .and_then(|&first| readings.get(first))
                .is_some_and(|first| {
                    kind_of(first.taken.of) == kind_of(offer.taken.of) && first.taken.tool == offer.taken.tool
                })
        });
        match alike {
            Some(kind) => kind.push(i),
            None => kinds.push(vec![i]),
        }
    }
    let all: Vec<Taken> = readings.iter().map(|offer| offer.taken.clone()).collect();
    Offered {
        ahead: evidence.known.ahead(&seen, &all),
        readings,
        kinds,
        no_nut: evidence.instrument.strings.iter().any(|s| !has_nut(s.present_nut)),
    }
}

/// The radius is read at both ends of a board in one go.
fn kind_of(of: Of) -> Of {
    match of {
        Of::RadiusAt12 => Of::RadiusAtNut,
        of => of,
    }
}
