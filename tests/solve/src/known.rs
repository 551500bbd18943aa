//! What all readings of an instrument say together, held against planted worlds.

mod broken;
mod expected;
mod named;
mod properties;
mod slips;
mod split;
mod stated;
