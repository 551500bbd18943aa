// The pages of the bench without a server: a page is asked of the module, written into this document, and its own script begun with
// stand-ins for what a server gives: fetch, location, history. No request leaves the browser.

// Any base at all: only the part after it is looked at.
const BASE = 'https://bench.invalid';
// Most times that a change is worked out again because another window was quicker, and most addresses followed in turn.
const TRIES = 6;
// After so long without an answer the page says that it works, milliseconds.
const SOON = 250;

const KEEPS_NOTHING = 'This browser keeps nothing for this page: what you do here is gone when it is closed. Save your jobs to a file before that.';
const STARTED_AGAIN = 'bonewright stumbled over this and has started again. Your jobs are safe, and nothing was changed.';

let engine = null;
let home = null;
let here = new URL('/', BASE);
let warning = '';

// One request after the other.
let last = Promise.resolve();
function inTurn(work) {
  const turn = last.then(work, work);
  last = turn.catch(() => { /* told to whoever asked */ });
  return turn;
}

class NotKept extends Error {}

// The files as they are kept, by path: what the module must hold.
const held = new Map();
function holds(files) {
  for (const file of files) if (file.bytes) held.set(file.path, file); else held.delete(file.path);
}

// The module is given what it must hold of these paths.
async function takenBack(files) {
  await engine.load(files.map(({ path }) => held.get(path) || { path, when: 0, bytes: null }));
}

async function took(news) {
  if (!news.length) return;
  holds(news);
  await engine.load(news);
}

// What came in from elsewhere. A store that does not answer is opened once more; then the jobs are in memory, and that is said.
async function freshened() {
  let news;
  try {
    news = await home.news();
  } catch (error) {
    if (home.kind !== 'browser') throw new NotKept(`The folder cannot be read: ${error.message}.`);
    try {
      const again = await Kept.open();
      const files = await again.load();
      if (again.known < home.known) throw new Error('the browser has emptied its store');
      const there = new Set(files.map((file) => file.path));
      news = [...files, ...[...held.keys()].filter((path) => !there.has(path)).map((path) => ({ path, when: 0, bytes: null }))];
      home = again;
    } catch (why) {
      home = new Nowhere();
      warning = `${KEEPS_NOTHING} (${why.message}.)`;
      news = [];
    }
  }
  await took(news);
}

async function loadAll() {
  held.clear();
  await took(await home.load());
}

// A new module is given what the old one held.
async function loadHeld() {
  if (held.size) await engine.load([...held.values()]);
}

// Asks the module, and keeps what it changed: all of it or nothing.
function request(head, body) {
  return inTurn(async () => {
    try {
      for (let tries = 0; tries < TRIES; tries++) {
        await freshened();
        const reply = await engine.ask(head, body);
        if (!reply.files.length) return reply;
        let kept;
        try {
          kept = await home.keep(reply.files);
        } catch (error) {
          await takenBack(reply.files);
          const full = error.name === 'QuotaExceededError';
          throw new NotKept(full
            ? 'Nothing was kept: this browser has no room left for this page. Save your jobs to a file, make room, then make this change again.'
            : `Nothing was kept: ${home.kind === 'folder' ? 'the folder' : 'the browser'} refused (${error.message}). Save your jobs to a file, then load the page again.`);
        }
        if (kept) { holds(reply.files); asksToStay(); return reply; }
        await takenBack(reply.files);
      }
      throw new NotKept('Nothing was kept: another window changes these jobs all the time. Close it, then make this change again.');
    } catch (error) {
      // The worker that is there now holds nothing.
      if (error instanceof Trap || error instanceof Stopped) await loadHeld();
      throw error;
    }
  });
}

// A browser clears first what nobody asked it to keep.
let asked = false;
function asksToStay() {
  if (asked || home.kind !== 'browser') return;
  asked = true;
  if (navigator.storage && navigator.storage.persist) navigator.storage.persist().catch(() => { /* it is told that it may be cleared */ });
}

const bytesOf = (text) => new TextEncoder().encode(text);
const textOfBytes = (bytes) => new TextDecoder().decode(bytes);

async function asking(address, { post = false, script = false, body } = {}) {
  return request({ do: 'ask', now: Date.now(), address, post, script }, body);
}

// What the pages' script sees as fetch.
async function fetched(address, options = {}) {
  const url = new URL(address, here);
  const json = (value) => new Response(JSON.stringify(value), { headers: { 'content-type': 'application/json' } });
  if (url.pathname.endsWith('/checking')) {
    const told = engine.told;
    return json(told ? { before: told.done, of: told.of, say: told.words } : {});
  }
  if (url.pathname.endsWith('/stop')) {
    engine.stop();
    return json({ state: 'kept' });
  }
  const post = options.method === 'POST';
  const body = options.body instanceof ArrayBuffer ? new Uint8Array(options.body) : bytesOf(options.body ? options.body.toString() : '');
  const script = Boolean(options.headers && options.headers['X-Bench']);
  const answer = (async () => {
    try {
      let reply = await asking(url.pathname + url.search, { post, script, body: post ? body : undefined });
      for (let follow = 0; reply.see && follow < TRIES; follow++) reply = await asking(reply.see);
      return new Response(reply.content, { status: reply.status, headers: { 'content-type': reply.kind } });
    } catch (error) {
      return new Response(wordsOf(error), { status: 500, headers: { 'content-type': 'text/plain; charset=utf-8' } });
    }
  })();
  if (!options.signal) return answer;
  const hung = new Promise((_, fail) => options.signal.addEventListener('abort', () => fail(new DOMException('', 'AbortError'))));
  return Promise.race([answer, hung]);
}

function wordsOf(error) {
  if (error instanceof Stopped) return 'Stopped.';
  if (error instanceof Trap) { console.error(error); return STARTED_AGAIN; }
  if (error instanceof NotKept) return error.message;
  console.error(error);
  return `This could not be done: ${error.message}.`;
}

// What the pages' script sees as location and history.
const addressOf = (url) => url.pathname + url.search + url.hash;
const place = {
  get pathname() { return here.pathname; },
  get search() { return here.search; },
  get hash() { return here.hash; },
  get href() { return addressOf(here); },
  get hostname() { return 'localhost'; },
  reload() { go(addressOf(here), { push: false, y: scrollY }); },
  assign(address) { go(address); },
};
const past = {
  get state() { return history.state; },
  replaceState(state, _, address) {
    here = new URL(address, here);
    history.replaceState(state, '', `#${addressOf(here)}`);
  },
};

const fromBar = () => (location.hash.startsWith('#/') ? location.hash.slice(1) : '/');

// Goes to an address: a page is shown, a file is handed out.
let going = 0;
async function go(address, { post = false, body, push = true, y = 0 } = {}) {
  const mine = ++going;
  dispatchEvent(new Event('pagehide'));
  const slow = setTimeout(() => say('bonewright works.'), SOON);
  const url = new URL(address, here);
  let reply;
  let at = url;
  try {
    reply = await asking(url.pathname + url.search, { post, body });
    for (let follow = 0; reply.see && follow < TRIES; follow++) {
      at = new URL(reply.see, at);
      reply = await asking(at.pathname + at.search);
    }
  } catch (error) {
    if (mine === going) say(wordsOf(error));
    return;
  } finally {
    clearTimeout(slow);
  }
  if (mine !== going) return;
  if (!reply.kind.startsWith('text/html')) { handOut(reply, at); return; }
  if (push) {
    history.replaceState({ ...history.state, y: scrollY }, '');
    if (addressOf(at) === addressOf(here)) history.replaceState({}, '', `#${addressOf(at)}`);
    else history.pushState({}, '', `#${addressOf(at)}`);
  } else {
    history.replaceState({ ...history.state }, '', `#${addressOf(at)}`);
  }
  here = at;
  show(textOfBytes(reply.content));
  announced();
  const target = at.hash.length > 1 && document.getElementById(decodeURIComponent(at.hash.slice(1)));
  if (target) target.scrollIntoView(); else if (y) scrollTo({ top: y, behavior: 'instant' });
}

// A page that is loaded is told by its title to those who hear it; one that is put in its place is not.
function announced() {
  const place = document.getElementById('moved');
  if (place) setTimeout(() => { place.textContent = document.title; }, SOON);
}

// A word in the page's own place for it.
function say(words) {
  const toast = document.getElementById('toast');
  if (toast) toast.textContent = words;
}

function handOut(reply, at) {
  say('');
  const blob = new Blob([reply.content], { type: reply.kind });
  const link = document.createElement('a');
  link.href = URL.createObjectURL(blob);
  if (reply.save_as) link.download = reply.save_as;
  else { link.target = '_blank'; link.rel = 'noopener'; }
  link.dataset.at = at.pathname;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

// Writes a page into this document. The one that was there goes with all that listened in it.
function show(html) {
  const page = new DOMParser().parseFromString(html, 'text/html');
  const hears = Boolean(page.querySelector('script[src="/hear.js"]'));
  for (const gone of page.querySelectorAll('script, link[rel=stylesheet], link[rel=icon]')) gone.remove();
  const style = page.createElement('style');
  style.textContent = CSS_OF_PAGES;
  page.head.append(style);
  for (const link of page.querySelectorAll('a[href^="/"]')) link.setAttribute('href', `#${link.getAttribute('href')}`);
  for (const image of page.querySelectorAll('img[src^="/"]')) { image.dataset.from = image.getAttribute('src'); image.removeAttribute('src'); }
  if (MANIFEST) {
    const manifest = page.createElement('link');
    manifest.rel = 'manifest';
    manifest.href = MANIFEST;
    page.head.append(manifest);
  }
  if (warning) {
    const words = page.createElement('p');
    words.className = 'say doubt';
    words.id = 'home-warning';
    words.textContent = `! ${warning}`;
    page.querySelector('main').prepend(words);
  }
  // Opened anew, a document has lost all that listened in it and in its window. Without an icon, if only for a moment, the browser would
  // ask the host for one.
  document.open();
  document.write(`<!DOCTYPE html><html lang="en"><head><link rel="icon" href="${ICON}"></head><body></body></html>`);
  document.close();
  document.head.append(...[...page.head.children].map((child) => document.adoptNode(child)));
  document.body.replaceWith(document.adoptNode(page.body));
  listening();
  for (const image of document.querySelectorAll('img[data-from]')) picture(image);
  pages(fetched, place, past, hears);
  atHome();
}

async function picture(image) {
  try {
    const reply = await asking(image.dataset.from);
    image.src = URL.createObjectURL(new Blob([reply.content], { type: reply.kind }));
    image.addEventListener('load', () => URL.revokeObjectURL(image.src), { once: true });
  } catch (error) {
    image.alt = wordsOf(error);
  }
}

// Forms and links are answered here. What the pages' script takes for itself is left to it.
function listening() {
  addEventListener('popstate', () => { if (fromBar() !== addressOf(here)) go(fromBar(), { push: false, y: history.state ? history.state.y : 0 }); });
  addEventListener('submit', (event) => {
    if (event.defaultPrevented) return;
    event.preventDefault();
    sent(event.target, event.submitter);
  });
  addEventListener('click', (event) => {
    const act = event.target.closest('[data-home]');
    if (act) { atHand[act.dataset.home](act); return; }
    const link = event.target.closest('a[href]');
    if (event.defaultPrevented || !link || event.button || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
    const to = link.getAttribute('href');
    if (to.startsWith('blob:')) return;
    event.preventDefault();
    if (to.startsWith('#/') || to.startsWith('/')) { go(to.replace(/^#/, '')); return; }
    if (!to.startsWith('#')) { go(new URL(to, here).pathname + new URL(to, here).search); return; }
    here = new URL(to, here);
    history.replaceState(history.state, '', `#${addressOf(here)}`);
    const target = document.getElementById(decodeURIComponent(to.slice(1)));
    if (!target) return;
    target.scrollIntoView();
    target.focus({ preventScroll: true });
  });
}

function sent(form, submitter) {
  const fields = new URLSearchParams(new FormData(form, submitter || undefined));
  const url = new URL((submitter && submitter.getAttribute('formaction')) || form.getAttribute('action') || addressOf(here), here);
  if (form.method === 'post') go(url.pathname + url.search, { post: true, body: bytesOf(fields.toString()) });
  else go(`${url.pathname}?${fields}`);
}
HTMLFormElement.prototype.submit = function submit() { sent(this); };

// Where the jobs are: said on the first page, with the ways out and in.
async function atHome() {
  if (!document.getElementById('home')) return;
  const where = document.getElementById('home-place');
  const words = document.getElementById('home-saved');
  const button = (name) => document.querySelector(`button[data-home=${name}]`);
  const picks = typeof window.showDirectoryPicker === 'function';
  button('folder').hidden = !picks || home.kind === 'folder';
  button('browser').hidden = home.kind !== 'folder';
  if (home.kind === 'folder') where.textContent = `In the folder ${home.name} of this device, as the command keeps them. Nothing is sent anywhere.`;
  if (home.kind === 'nowhere') where.textContent = 'In the memory of this page alone, until it is closed. Nothing is sent anywhere.';
  if (home.kind !== 'browser') return;
  try {
    const [saved, change] = [await home.saved(), home.known];
    if (!change) words.textContent = '';
    else if (saved && saved.change >= change) { words.className = 'say kept'; words.textContent = `Saved to a file on ${dateOf(saved.when)}; nothing was changed since.`; }
    else { words.className = 'say doubt'; words.textContent = saved ? `! Not saved outside this browser since ${dateOf(saved.when)}.` : '! Never saved outside this browser.'; }
  } catch { /* the next request tells */ }
}

const dateOf = (when) => new Date(when).toLocaleString('en-GB', { dateStyle: 'long', timeStyle: 'short' });

const atHand = {
  async pack(button) {
    try {
      const job = button.dataset.job || null;
      const change = home.known;
      handOut(await request({ do: 'pack', job }), here);
      if (!job && home.kind === 'browser') { await home.note('saved', { when: Date.now(), change }); atHome(); }
    } catch (error) { say(wordsOf(error)); }
  },
  unpack() {
    const input = document.createElement('input');
    input.type = 'file';
    input.accept = '.zip,.toml';
    input.hidden = true;
    document.body.append(input);
    input.addEventListener('change', async () => {
      const [file] = input.files;
      input.remove();
      if (!file) return;
      try {
        const reply = await request({ do: 'unpack', now: Date.now(), name: file.name }, new Uint8Array(await file.arrayBuffer()));
        const words = textOfBytes(reply.content);
        if (reply.status === 200) await go('/', { push: false });
        say(words);
      } catch (error) { say(wordsOf(error)); }
    });
    input.click();
  },
  async folder() {
    let handle;
    try { handle = await showDirectoryPicker({ mode: 'readwrite' }); } catch { return; }
    await move(new Folder(handle));
  },
  async browser() { await move(await stored()); },
};

// To another home, with all its jobs.
async function move(to) {
  try {
    await inTurn(async () => {
      const files = await to.load();
      home = to;
      warning = to.kind === 'nowhere' ? warning : '';
      engine.end(new Stopped());
      held.clear();
      await took(files);
    });
    await go('/', { push: false });
  } catch (error) { say(`It cannot be read: ${error.message}.`); }
}

async function stored() {
  try {
    const kept = await Kept.open();
    await kept.load();
    return kept;
  } catch (error) {
    warning = `${KEEPS_NOTHING} (${error && error.message || 'it has no store for pages'}.)`;
    return new Nowhere();
  }
}

function decodedBase64(text) {
  if (Uint8Array.fromBase64) return Uint8Array.fromBase64(text);
  const letters = atob(text);
  const bytes = new Uint8Array(letters.length);
  for (let i = 0; i < letters.length; i++) bytes[i] = letters.charCodeAt(i);
  return bytes;
}

async function unpacked() {
  const bytes = decodedBase64(document.getElementById('module').textContent.trim());
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('gzip'));
  return WebAssembly.compileStreaming(new Response(stream, { headers: { 'content-type': 'application/wasm' } }));
}

// The microphone's samples come by a worklet of the pages. A page from disk may load none: there an older way hands them over, on the
// page's own thread, with the same words.
function listens() {
  if (!window.AudioWorklet) return;
  const add = AudioWorklet.prototype.addModule;
  AudioWorklet.prototype.addModule = async function addModule() {
    const address = URL.createObjectURL(new Blob([SAMPLER], { type: 'text/javascript' }));
    try {
      await add.call(this, address);
    } catch {
      window.AudioWorkletNode = function AudioWorkletNode(context) {
        const node = context.createScriptProcessor(1024, 1, 1);
        node.port = { onmessage: null };
        node.onaudioprocess = (event) => node.port.onmessage && node.port.onmessage({ data: event.inputBuffer.getChannelData(0).slice() });
        node.connect(context.destination); // silence, without which it would not run
        return node;
      };
    } finally {
      URL.revokeObjectURL(address);
    }
  };
}

async function begin() {
  listens();
  const opening = stored();
  engine = new Engine(await unpacked(), WORKER);
  home = await opening;
  await loadAll();
  if (MANIFEST && navigator.serviceWorker) navigator.serviceWorker.register('sw.js').catch(() => { /* it works without, while there is a network */ });
  here = new URL(fromBar(), BASE);
  await go(addressOf(here), { push: false });
  performance.mark('first page');
}

begin().catch((error) => {
  console.error(error);
  document.getElementById('begin').textContent = `bonewright cannot start in this browser (${error.message}). It needs one of 2023 or later.`;
});
