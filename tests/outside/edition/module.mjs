// The module of the edition, run by node: what a worker does in a browser.
import { readFileSync } from 'node:fs';
import { gunzipSync } from 'node:zlib';

const encoder = new TextEncoder();

// The module out of the one file.
export function module_of(html) {
  const [, text] = /<script type="application\/octet-stream" id="module">([^<]+)<\/script>/.exec(readFileSync(html, 'utf8'));
  return gunzipSync(Buffer.from(text, 'base64'));
}

export async function bench(bytes) {
  const { instance: { exports } } = await WebAssembly.instantiate(bytes, { page: { told() {} } });
  const answer = (head, body = new Uint8Array()) => {
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
  return {
    answer,
    load: (path, body) => answer({ do: 'load', files: [{ path, when: 1, bytes: body.length }] }, body),
    get: (address) => answer({ do: 'ask', now: 5, address }),
    print: (name, form, body) => answer({ do: 'print', name, form }, body),
  };
}
