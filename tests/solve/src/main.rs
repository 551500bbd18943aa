//! What must hold of every survey and plan, and what publications and worked examples say.

#![allow(clippy::unwrap_used, clippy::panic, clippy::cast_possible_truncation)] // test code outside #[test] functions
#![allow(clippy::disallowed_methods)] // sines may be the platform's: what is held against ours does not come from the same source

mod assess;
mod evidence {
    //! What the solver is held against.
    mod guards;
    mod net;
    mod properties;
    mod reference;
    mod scipy;
    mod straight;
}
mod instrument;
mod known;
mod listen {
    mod refused;
    mod truth;
    mod wav;
    mod yielding;
}
mod nut {
    mod gap;
    mod published;
    mod standing;
    mod together;
}
mod pchip_scipy;
mod saddle {
    mod fanned;
    mod filing;
    mod fit;
    mod properties;
    mod split;
    mod tolerance;
    mod ways_out;
    mod wild;
    mod wishes;
    mod worked_example_a;
    mod zero_fret;
}
mod strings;
