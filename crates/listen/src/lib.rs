//! Listening to a string: from samples to the pitch of its series of partials and how stiff it is.
//!
//! A stiff string's partials stand at `n f sqrt(1 + B n^2)`, `B = pi^2 EI / (T L^2)` (N. H. Fletcher and T. D. Rossing, The Physics of
//! Musical Instruments). The body at its end pulls the lowest by several cents, and above its resonances, where it is a mass, partial n by
//! about `a/n^2`. So pitch and B are what partials 2 to 30 agree on, robustly, with a free; what one peak says is told beside it. The
//! sharpness of a hard pluck falls with the string's energy and is taken out.
//!
//! Knows nothing of files, threads or microphones. Frequencies in Hz, times in seconds, differences of pitch in cents.

mod against_limp;
mod beside;
mod comb;
mod heard;
mod lanes;
mod listened;
mod narrow;
mod onset;
mod rest;
mod series;
mod sound;
mod spectrum;
mod sure;
mod track;
mod transform;
mod unheard;
#[cfg(feature = "wav")]
mod wav;

pub use against_limp::AgainstLimp;
pub use heard::{Heard, HeardAtTwelve, HeardPartial, cents};
pub use listened::{OTHER_STRING, listened};
pub use sound::{PITCHES, RATES, Sound};
pub use sure::Sure;
pub use unheard::Unheard;
#[cfg(feature = "wav")]
pub use wav::{Recording, Unread, WAV_SECONDS, recording};
