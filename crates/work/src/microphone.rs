//! What a page goes by that listens through a microphone. Amplitudes are shares of full scale, the highest sample of a moment.

/// A pluck that stays under this is too quiet to be heard well: 40 dB under full scale, and 20 over what `listen` takes for silence.
pub const TOO_QUIET: f64 = 0.01;
/// One that comes over this is cut off, or nearly.
pub const TOO_LOUD: f64 = 0.95;
/// A pluck is so many times as loud as the half second before it: 10 dB.
pub const JUMP: f64 = 3.2;
/// What is heard of a sound: seconds before the pluck, so that its rise is seen, and after it. The fit needs two; more make it surer.
pub const BEFORE: f64 = 0.25;
/// Seconds after the pluck.
pub const AFTER: f64 = 4.5;
/// The longest sound that is heard at once, bytes: five seconds at 96,000 samples a second in floating point, and the head of a WAV file.
pub const MOST_SOUND: usize = 5 * 96_000 * 4 + 1024;
