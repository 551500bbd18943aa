// The browser edition in a browser whose every connection is refused and counted, or served by a plain host of files.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { createServer as hostOf } from 'node:http';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { browser, page } from '../bench/kit.mjs';

export const EDITION = process.env.BONEWRIGHT_EDITION;
export const FILE = String(pathToFileURL(join(EDITION, 'bonewright.html')));

// Whoever connects is told nothing, and counted.
export async function refusing() {
  const asked = [];
  const server = createServer((socket) => {
    socket.once('data', (data) => asked.push(String(data).split('\r\n')[0]));
    socket.on('error', () => {});
    setTimeout(() => socket.destroy(), 50);
  });
  await new Promise((done) => server.listen(0, '127.0.0.1', done));
  return { asked, flags: [`--proxy-server=127.0.0.1:${server.address().port}`, '--proxy-bypass-list=<-loopback>'], close: () => server.close() };
}

const KINDS = { html: 'text/html', js: 'text/javascript', svg: 'image/svg+xml', png: 'image/png', webmanifest: 'application/manifest+json' };

// The folder `site` as any host gives it: files, and nothing else.
export async function host() {
  const host = { asked: [] };
  host.server = hostOf((request, reply) => {
    const path = new URL(request.url, 'http://host').pathname;
    host.asked.push(path);
    const name = path === '/' ? 'index.html' : path.slice(1);
    try {
      const content = readFileSync(join(EDITION, 'site', name));
      reply.writeHead(200, { 'content-type': KINDS[name.split('.').at(-1)] || 'application/octet-stream' });
      reply.end(content);
    } catch {
      reply.writeHead(404);
      reply.end();
    }
  });
  await new Promise((done) => host.server.listen(0, '127.0.0.1', done));
  host.base = `http://127.0.0.1:${host.server.address().port}`;
  host.stop = () => { host.server.closeAllConnections(); return new Promise((done) => host.server.close(done)); };
  return host;
}

// A page of the edition from disk, in a browser of its own that reaches nobody; nothing is asked and nothing is out of order.
export async function from_disk(check, options = {}, ...flags) {
  const shut = await refusing();
  const chromium = await browser(...shut.flags, ...flags);
  try {
    const p = await page(chromium, options);
    await check(p, chromium);
    assert.deepEqual(p.troubles, []);
    // Chromium's own wishes, for its maker's hosts, are not the page's.
    assert.deepEqual(shut.asked.filter((line) => !/google|gvt1/.test(line)), [], 'nobody is asked for anything');
  } finally {
    await chromium.close();
    shut.close();
  }
}

export async function open(p, base = FILE, path = '') {
  await p.goto(base + (path && `#${path}`));
  await p.locator('h1').waitFor();
}

export async function begin_from(p, example, title) {
  await p.getByLabel('What is it?').fill(title);
  await p.getByText('Begin from another job, or name its file').click();
  await p.getByLabel('Start from').selectOption(`example:${example}`);
  await p.getByRole('button', { name: 'Begin', exact: true }).click();
  await p.waitForURL(/#\/job\//);
}

export async function tab(p, name) {
  await p.getByRole('link', { name, exact: true }).first().click();
  await p.waitForFunction((name) => document.querySelector('nav a[aria-current]')?.textContent === name, name);
}

// The text of the job that is open.
export async function text_of(p) {
  await tab(p, 'File');
  return p.locator('textarea').first().inputValue();
}

// Another value in a field of the survey's sheet of all questions; it is kept.
export async function answer(p, job, key, value, base = FILE) {
  await p.goto(`${base}#/job/${job}/survey`);
  await p.waitForFunction((key) => document.querySelector(`.field[data-key="${key}"]`), key);
  const field = p.locator(`.field[data-key="${key}"]`);
  await field.locator('input:not([type=hidden])').first().fill(value);
  await field.locator('input:not([type=hidden])').first().blur();
  return field;
}

export const kept = (p, key, value) => p.waitForFunction(([key, value]) => document.querySelector(`.field[data-key="${key}"]`)?.dataset.kept === value, [key, value]);
