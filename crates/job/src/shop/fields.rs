//! The fields of a thing's form.

use crate::form::FormField;
use crate::profiles::Profiles;
use crate::profiles::kind::ShopKind;
use crate::profiles::rows::{Made, rows};

/// The fields of a thing of this kind, in order; of a string set those of `strings` strings. Names of materials are those of `profiles`.
#[must_use]
pub fn shop_fields(kind: ShopKind, strings: usize, profiles: &Profiles) -> Vec<FormField> {
    let made = Made {
        of: profiles.string_materials().collect(),
        wraps: profiles.wraps().collect(),
    };
    rows(kind, strings, &made)
}
