// The module of the browser edition, run by node: a request in bytes, a reply in bytes.
import { readFileSync } from 'node:fs';

const encoder = new TextEncoder();

// The bench, which answers requests: a head, what stands behind it, and the reply's head with its content.
export async function bench(bytes = readFileSync(new URL('web.wasm', import.meta.url))) {
  const { instance: { exports } } = await WebAssembly.instantiate(bytes, { page: { told() {} } });
  return (head, body = new Uint8Array()) => {
    const text = encoder.encode(JSON.stringify(head));
    const at = exports.room(4 + text.length + body.length) >>> 0;
    new DataView(exports.memory.buffer).setUint32(at, text.length, true);
    const room = new Uint8Array(exports.memory.buffer, at, 4 + text.length + body.length);
    room.set(text, 4);
    room.set(body, 4 + text.length);
    const length = exports.answer() >>> 0;
    const from = exports.reply_at() >>> 0;
    const reply = Buffer.from(exports.memory.buffer.slice(from, from + length));
    const behind = 4 + reply.readUInt32LE(0);
    const found = JSON.parse(reply.subarray(4, behind));
    return { ...found, content: reply.subarray(behind, behind + found.bytes) };
  };
}
