// Where the jobs are: in the browser's own store, in a folder that the user chose, or, where neither is to be had, in memory. Each home
// gives all its files, tells what came in from elsewhere, and keeps a set of changes whole, unless something came in between.

// In memory alone: what the page holds is all there is.
class Nowhere {
  kind = 'nowhere';
  async load() { return []; }
  async news() { return []; }
  async keep() { return true; }
}

// In the browser's store. Every set of changes has a number: another window looks for those that it does not know, and what was worked
// out from older ones is not kept. A file that is gone stays as its path, so that other windows see it go.
class Kept {
  kind = 'browser';
  known = 0;

  static async open() {
    const home = new Kept();
    home.db = await new Promise((done, fail) => {
      const wish = indexedDB.open('bonewright', 1);
      wish.onupgradeneeded = () => {
        wish.result.createObjectStore('files', { keyPath: 'path' }).createIndex('change', 'change');
        wish.result.createObjectStore('notes');
      };
      wish.onsuccess = () => done(wish.result);
      wish.onerror = () => fail(wish.error);
      wish.onblocked = () => fail(new Error('it is held by another window'));
    });
    // Another window may empty it, or bring a later edition's.
    home.db.onversionchange = () => { home.db.close(); home.gone = true; };
    home.db.onclose = () => { home.gone = true; };
    return home;
  }

  async with(mode, work) {
    if (this.gone) throw new Error('the browser has taken its store away');
    const turn = this.db.transaction(['files', 'notes'], mode, mode === 'readwrite' ? { durability: 'strict' } : {});
    const end = new Promise((done, fail) => {
      turn.oncomplete = () => done();
      turn.onerror = turn.onabort = () => fail(turn.error || new Error('the browser broke it off'));
    });
    end.catch(() => { /* told to whoever waits for it */ });
    const got = await work(turn.objectStore('files'), turn.objectStore('notes'), turn);
    await end;
    return got;
  }

  async load() {
    return this.with('readonly', async (files, notes) => {
      const [all, change] = await Promise.all([got(files.getAll()), got(notes.get('change'))]);
      this.known = change || 0;
      return all.filter((file) => file.bytes);
    });
  }

  async news() {
    return this.with('readonly', async (files, notes) => {
      const change = await got(notes.get('change')) || 0;
      if (change === this.known) return [];
      // Less than was known: it was emptied meanwhile.
      if (change < this.known) throw new Error('the browser has emptied its store');
      const news = await got(files.index('change').getAll(IDBKeyRange.lowerBound(this.known, true)));
      this.known = change;
      return news;
    });
  }

  async keep(changes) {
    const change = this.known + 1;
    const kept = await this.with('readwrite', async (files, notes, turn) => {
      if ((await got(notes.get('change')) || 0) !== this.known) return false;
      for (const { path, when, bytes } of changes) files.put({ path, when, bytes, change });
      notes.put(change, 'change');
      turn.commit();
      return true;
    });
    if (kept) this.known = change;
    return kept;
  }

  // What was saved to a file last: when, and up to which change.
  async saved() { return this.with('readonly', (_, notes) => got(notes.get('saved'))); }
  async note(name, value) { return this.with('readwrite', (_, notes) => { notes.put(value, name); }); }
  async noted(name) { return this.with('readonly', (_, notes) => got(notes.get(name))); }
}

function got(wish) {
  return new Promise((done, fail) => { wish.onsuccess = () => done(wish.result); wish.onerror = () => fail(wish.error); });
}

// In a folder of the user's, as the command keeps it.
class Folder {
  kind = 'folder';

  constructor(handle) {
    this.handle = handle;
    this.name = handle.name;
    this.stamps = new Map();
  }

  // Every file by its path: the jobs, and what lies in `.bonewright`.
  async* walk(folder = this.handle, before = '') {
    for await (const [name, entry] of folder.entries()) {
      const path = before + name;
      if (entry.kind === 'file' && name.endsWith('.toml')) yield [path, entry];
      else if (entry.kind === 'directory' && (before.startsWith('.bonewright/') || path === '.bonewright')) yield* this.walk(entry, `${path}/`);
    }
  }

  async taken(path, entry) {
    const file = await entry.getFile();
    this.stamps.set(path, `${file.lastModified} ${file.size}`);
    return { path, when: file.lastModified, bytes: new Uint8Array(await file.arrayBuffer()) };
  }

  async load() {
    this.stamps.clear();
    const all = [];
    for await (const [path, entry] of this.walk()) all.push(await this.taken(path, entry));
    return all;
  }

  // The command, or another window, may write in the folder at any time.
  async news() {
    const news = [];
    const seen = new Set();
    for await (const [path, entry] of this.walk()) {
      seen.add(path);
      const file = await entry.getFile();
      if (this.stamps.get(path) !== `${file.lastModified} ${file.size}`) news.push(await this.taken(path, entry));
    }
    for (const path of [...this.stamps.keys()]) {
      if (seen.has(path)) continue;
      this.stamps.delete(path);
      news.push({ path, when: 0, bytes: null });
    }
    return news;
  }

  async place(path, create) {
    const names = path.split('/');
    const name = names.pop();
    let folder = this.handle;
    for (const one of names) folder = await folder.getDirectoryHandle(one, { create });
    return [folder, name];
  }

  // Each file is written whole or not at all; what is kept of a job comes before the job, and what goes, goes last.
  async keep(changes) {
    if ((await this.news()).length) return false;
    const turn = (file) => (file.bytes === null ? 2 : file.path.includes('/') ? 0 : 1);
    for (const file of [...changes].sort((a, b) => turn(a) - turn(b))) {
      if (file.bytes === null) {
        try { const [folder, name] = await this.place(file.path, false); await folder.removeEntry(name); } catch (error) { if (error.name !== 'NotFoundError') throw error; }
        this.stamps.delete(file.path);
        continue;
      }
      const [folder, name] = await this.place(file.path, true);
      const entry = await folder.getFileHandle(name, { create: true });
      const writer = await entry.createWritable();
      await writer.write(file.bytes);
      await writer.close();
      await this.taken(file.path, entry);
    }
    return true;
  }
}
