//! The module's functions. A request is written into the room that [`room`] makes; [`answer`] replies to it; the reply lies at
//! [`reply_at`] until the next request.
#![allow(unsafe_code, reason = "attributes of exported and imported functions alone")]

use std::sync::{Mutex, MutexGuard, PoisonError};

use crate::Bench;

struct Room {
    bench: Option<Bench>,
    request: Vec<u8>,
    reply: Vec<u8>,
}

static ROOM: Mutex<Room> = Mutex::new(Room {
    bench: None,
    request: Vec::new(),
    reply: Vec::new(),
});

fn locked() -> MutexGuard<'static, Room> {
    ROOM.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(target_arch = "wasm32")]
#[link(wasm_import_module = "page")]
unsafe extern "C" {
    /// Tells the page how far a check of programs is: of so many setups so many are done, and the place and length of the words.
    safe fn told(done: usize, of: usize, words: *const u8, length: usize);
}

fn tell(done: usize, of: usize, words: &str) {
    #[cfg(target_arch = "wasm32")]
    told(done, of, words.as_ptr(), words.len());
    #[cfg(not(target_arch = "wasm32"))]
    let _ = (done, of, words);
}

/// Makes room for a request of so many bytes: its place.
#[unsafe(no_mangle)]
pub extern "C" fn room(length: usize) -> *mut u8 {
    let mut room = locked();
    room.request.clear();
    room.request.resize(length, 0);
    room.request.as_mut_ptr()
}

/// Replies to the request that was written: length of the reply, bytes.
#[unsafe(no_mangle)]
pub extern "C" fn answer() -> usize {
    let mut room = locked();
    let request = std::mem::take(&mut room.request);
    let bench = room.bench.get_or_insert_with(|| Bench::new(tell));
    room.reply = bench.answer(&request);
    room.reply.len()
}

/// Place of the reply.
#[unsafe(no_mangle)]
pub extern "C" fn reply_at() -> *const u8 {
    locked().reply.as_ptr()
}
