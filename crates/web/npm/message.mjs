// A request to the module: its head and what stands behind it are written into the room that it makes; the reply is copied out. The
// worker of the page has the same.
export function answered(exports, head, body = new Uint8Array()) {
  const text = new TextEncoder().encode(JSON.stringify(head));
  const at = exports.room(4 + text.length + body.length) >>> 0;
  new DataView(exports.memory.buffer).setUint32(at, text.length, true);
  const room = new Uint8Array(exports.memory.buffer, at, 4 + text.length + body.length);
  room.set(text, 4);
  room.set(body, 4 + text.length);
  const length = exports.answer() >>> 0;
  const from = exports.reply_at() >>> 0;
  return exports.memory.buffer.slice(from, from + length);
}
