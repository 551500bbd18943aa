//! Pictures for the screen. Every place comes from the plan; here it is only scaled to the picture.

pub mod deviation;
pub mod hand;
pub mod heard;
mod how;
mod map;
pub mod nut;
mod pen;
pub mod read;
pub mod section;
pub mod views;

pub use how::how;
pub use map::map;
