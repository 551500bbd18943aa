//! A job without `[slot]` and `[blank]`: the saddle stays, and a nut is made over it.

use crate::parts::Parts;
use crate::table::Table;

/// Tables that speak of a saddle to be made, or of work on it.
const OF_A_SADDLE: [&str; 6] = ["bridge", "crown", "filing", "neck", "assess", "cut"];

/// Tells what is not used, and what a standing saddle must be known by.
pub(crate) fn check(top: &Table, parts: &Parts) {
    for key in OF_A_SADDLE {
        if let Some(node) = top.get(key) {
            node.doubt(
                "This table is not used: without [slot] and [blank] the saddle stays, and only the nut is made. Leave it out, or \
                 add both.",
            );
        }
    }
    let Some(nut_blank) = &parts.nut_blank else { return };
    let (nut, present) = (&parts.nut, &parts.present);
    let stays = "There is no [slot] and no [blank], so the saddle stays and the nut alone is made;";
    match &parts.present_node {
        None => nut_blank.refuse(format!(
            "{stays} where the strings touch that saddle must be known. Add a table [present] with action_12 and \
             contact_from_fret_12, read over the present nut; or add [slot] and [blank] if a saddle is to be made."
        )),
        Some(_) => {
            present.lacks_standing("action_12", &format!("{stays} its height follows from this."));
            present.lacks_standing(
                "contact_from_fret_12",
                &format!("{stays} this says where on it the strings end."),
            );
        }
    }
    let Some(node) = parts.nut_node.as_ref().filter(|_| !nut.refused) else {
        return;
    };
    if nut.first_fret_clearance.is_none() && nut.held_at_3.is_none() {
        node.refuse(format!(
            "{stays} its height follows from the string over the present nut. Give first_fret_clearance or held_at_3 as they are now."
        ));
    }
    if nut.new_clearance.is_none() && nut.new_held_at_3.is_none() {
        node.refuse("new_clearance or new_held_at_3 is missing: it says how high the slots of the new nut shall be.");
    }
}
