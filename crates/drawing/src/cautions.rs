//! What every sheet and every DXF warns of, in short. `report` has the long form.

use work::Hazards;

/// What guides the hand carries these: whole sentences, one an item.
pub(crate) fn of_sheets(hazards: Hazards) -> Vec<&'static str> {
    let mut list = report::accepted(hazards);
    list.extend([
        "Dust of bone, shell and synthetic blanks harms lungs: extract it and wear a respirator rated for fine dust.",
        "Wear eye protection. Strings under tension whip: slack them first.",
        // One line on most sheets, with the material's own caution or without: words that grow may need another sheet.
        if hazards.synthetic {
            "Hot tools and spindles burn and catch hands, hair and sleeves. This material softens with heat: sand it cool."
        } else {
            "Hot tools and spindles burn and catch: keep hands, hair and sleeves clear."
        },
        if hazards.check_law {
            "This material may be protected by law: check local rules, which come first."
        } else {
            "Some materials (ivory, some shells, some rosewoods) are protected by law: check local rules, which come first."
        },
        "The figures are as good as the survey. A valuable or historic instrument belongs with a qualified repairer.",
    ]);
    list
}

/// The same as lines of a DXF, ASCII only.
pub(crate) fn of_dxf(hazards: Hazards) -> Vec<String> {
    let own = [
        (hazards.synthetic, "Softens with heat: sand it cool."),
        (hazards.check_law, "Material may be protected by law."),
        (
            hazards.front_wall_accepted,
            "Job accepts unsafe load on the front wall.",
        ),
        (hazards.slot_accepted, "Job accepts too little in the slot."),
    ];
    let own = own.into_iter().filter_map(|(has, line)| has.then_some(line));
    [
        "Dust harms lungs: extract it, wear a respirator.",
        "Wear eye protection. Slack the strings first.",
    ]
    .into_iter()
    .chain(own)
    .chain(["The numbers are as good as the survey."])
    .map(str::to_owned)
    .collect()
}
