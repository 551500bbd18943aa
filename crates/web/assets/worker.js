// Holds the module, apart from the page: one request after the other, each answered whole. A trap ends it; the page begins another.
'use strict';
let bench = null;
const encoder = new TextEncoder();
const decoder = new TextDecoder();

async function begin(module) {
  const told = (done, of, at, length) => {
    const words = decoder.decode(new Uint8Array(bench.memory.buffer, at >>> 0, length));
    postMessage({ told: { done, of, words } });
  };
  const instance = await WebAssembly.instantiate(module, { page: { told } });
  bench = instance.exports;
}

function answer(head, body) {
  const text = encoder.encode(JSON.stringify(head));
  const at = bench.room(4 + text.length + body.length) >>> 0;
  new DataView(bench.memory.buffer).setUint32(at, text.length, true);
  const room = new Uint8Array(bench.memory.buffer, at, 4 + text.length + body.length);
  room.set(text, 4);
  room.set(body, 4 + text.length);
  const length = bench.answer() >>> 0;
  const from = bench.reply_at() >>> 0;
  return bench.memory.buffer.slice(from, from + length);
}

// The module begins by itself; what comes meanwhile waits.
let turn = Promise.resolve();
onmessage = ({ data }) => {
  turn = turn.then(async () => {
    try {
      if (data.module) await begin(data.module);
      const reply = data.head ? answer(data.head, data.body) : new ArrayBuffer(0);
      postMessage({ id: data.id, reply }, [reply]);
    } catch (error) {
      postMessage({ id: data.id, trap: String(error) });
    }
  });
};
