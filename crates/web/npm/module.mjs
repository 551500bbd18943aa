// The module of the browser edition, run by node: a request in bytes, a reply in bytes.
import { readFileSync } from 'node:fs';
import { answered } from './message.mjs';

// The bench, which answers requests: a head, what stands behind it, and the reply's head with its content.
export async function bench(bytes = readFileSync(new URL('web.wasm', import.meta.url))) {
  const { instance: { exports } } = await WebAssembly.instantiate(bytes, { page: { told() {} } });
  return (head, body) => {
    const reply = Buffer.from(answered(exports, head, body));
    const behind = 4 + reply.readUInt32LE(0);
    const found = JSON.parse(reply.subarray(4, behind));
    return { ...found, content: reply.subarray(behind, behind + found.bytes) };
  };
}
