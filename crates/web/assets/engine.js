// The worker and its module: what is asked is answered in turn. One that traps or is stopped is replaced; what it held is loaded again.
class Trap extends Error {}
class Stopped extends Error {}

class Engine {
  constructor(module, script) {
    this.module = module;
    this.script = URL.createObjectURL(new Blob([script], { type: 'text/javascript' }));
    this.waiting = new Map();
    this.count = 0;
    this.told = null;
    this.begin();
  }

  begin() {
    const worker = new Worker(this.script);
    this.worker = worker;
    this.told = null;
    worker.onmessage = ({ data }) => {
      if (worker !== this.worker) return;
      if (data.told) { this.told = data.told; return; }
      const one = this.waiting.get(data.id);
      this.waiting.delete(data.id);
      if (data.trap === undefined) one.done(decoded(data.reply));
      else { this.end(new Trap(data.trap)); one.fail(new Trap(data.trap)); }
    };
    worker.onerror = (event) => { event.preventDefault(); if (worker === this.worker) this.end(new Trap(event.message)); };
    this.sent({ module: this.module }).catch(() => { /* whoever asks next is told */ });
  }

  // Ends this worker and begins the next; whoever waits is told why. It holds no job then.
  end(why) {
    this.worker.terminate();
    for (const one of this.waiting.values()) one.fail(why);
    this.waiting.clear();
    this.begin();
  }

  stop() { if (this.waiting.size) this.end(new Stopped()); }

  sent(message, hand = []) {
    const id = ++this.count;
    return new Promise((done, fail) => {
      this.waiting.set(id, { done, fail });
      this.worker.postMessage({ id, ...message }, hand);
    });
  }

  async ask(head, body = new Uint8Array()) {
    this.told = null;
    return this.sent({ head, body });
  }

  async load(files) {
    const bodies = files.filter((file) => file.bytes).map((file) => file.bytes);
    const heads = files.map(({ path, when, bytes }) => ({ path, when, bytes: bytes ? bytes.length : null }));
    return this.sent({ head: { do: 'load', files: heads }, body: joined(bodies) });
  }
}

function joined(parts) {
  const all = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) { all.set(part, at); at += part.length; }
  return all;
}

// A reply: its head, its content, and the files that changed.
function decoded(reply) {
  if (!reply.byteLength) return null;
  const length = new DataView(reply).getUint32(0, true);
  const head = JSON.parse(new TextDecoder().decode(new Uint8Array(reply, 4, length)));
  let at = 4 + length;
  const cut = (bytes) => { const part = new Uint8Array(reply, at, bytes); at += bytes; return part; };
  const content = cut(head.bytes);
  const files = head.files.map(({ path, when, bytes }) => ({ path, when, bytes: bytes === null ? null : cut(bytes).slice() }));
  return { ...head, content, files };
}
