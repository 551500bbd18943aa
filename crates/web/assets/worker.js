// Holds the module, apart from the page: one request after the other, each answered whole. A trap ends it; the page begins another.
'use strict';
let bench = null;
const decoder = new TextDecoder();

async function begin(module) {
  const told = (done, of, at, length) => {
    const words = decoder.decode(new Uint8Array(bench.memory.buffer, at >>> 0, length));
    postMessage({ told: { done, of, words } });
  };
  const instance = await WebAssembly.instantiate(module, { page: { told } });
  bench = instance.exports;
}

// The module begins by itself; what comes meanwhile waits.
let turn = Promise.resolve();
onmessage = ({ data }) => {
  turn = turn.then(async () => {
    try {
      if (data.module) await begin(data.module);
      const reply = data.head ? answered(bench, data.head, data.body) : new ArrayBuffer(0);
      postMessage({ id: data.id, reply }, [reply]);
    } catch (error) {
      postMessage({ id: data.id, trap: String(error) });
    }
  });
};
