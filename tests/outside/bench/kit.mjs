// A server of its own and a browser for each check.
import { spawn, execFileSync } from 'node:child_process';
import { mkdtempSync, mkdirSync, readFileSync, copyFileSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join, dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import assert from 'node:assert/strict';
import { after, afterEach, before } from 'node:test';

const require = createRequire(join(process.env.BENCH_MODULES, 'here.js'));
const { chromium } = require('playwright-core');
export const axe = readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');
export const BIN = process.env.BONEWRIGHT_BIN;
const TREE = join(dirname(fileURLToPath(import.meta.url)), '..', '..', '..');

// Chromium's own traffic off: the machine's network may be closed.
const FLAGS = ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run',
  '--disable-background-networking', '--disable-component-update', '--disable-sync'];
export const SIZES = [{ width: 390, height: 844 }, { width: 1280, height: 800 }];

export function folder() {
  return mkdtempSync(join(tmpdir(), 'bonewright-bench-'));
}

// A copy of an example as a job of this name.
export function example(jobs, stem, name = stem) {
  copyFileSync(join(TREE, 'examples', `${stem}.toml`), join(jobs, `${name}.toml`));
}

export function text(jobs, name) {
  return readFileSync(join(jobs, `${name}.toml`), 'utf8');
}

export function command(...args) {
  return execFileSync(BIN, args, { encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] });
}

export class Server {
  // At a free port, unless the flags say where: the usual one may be taken by another check.
  static async start(jobs, ...flags) {
    if (!flags.some((flag) => flag === '--listen' || flag === '--port' || flag === '--usual')) flags.push('--port', '0');
    flags = flags.filter((flag) => flag !== '--usual');
    const server = new Server();
    server.jobs = jobs;
    server.child = spawn(BIN, ['bench', jobs, '--no-open', ...flags], { stdio: ['ignore', 'pipe', 'pipe'] });
    server.errors = '';
    server.child.stderr.on('data', (data) => { server.errors += data; });
    server.ended = new Promise((done) => server.child.on('exit', (code, signal) => done({ code, signal })));
    server.base = await new Promise((done, fail) => {
      let out = '';
      server.child.stdout.on('data', (data) => {
        out += data;
        server.said = out;
        const found = /http:\/\/[^\s/]+/.exec(out);
        if (found && out.includes('\n')) done(found[0]);
      });
      server.child.on('exit', () => fail(new Error(`the server ended: ${server.errors}`)));
    });
    return server;
  }

  // The address that it printed last.
  printed() {
    return this.said.match(/http:\S+/g).at(-1);
  }

  // Stops it as Ctrl-C does; it must end well.
  async stop() {
    this.child.kill('SIGINT');
    return this.ended;
  }

  async kill() {
    this.child.kill('SIGKILL');
    return this.ended;
  }
}

// A new browser with nothing in it.
export async function browser(...more) {
  return chromium.launch({ executablePath: '/usr/bin/chromium', args: [...FLAGS, ...more] });
}

// A page that fails the check on any error in the script or refusal by the policy.
export async function page(from, options = {}) {
  const context = await from.newContext({ viewport: SIZES[0], acceptDownloads: true, ...options });
  context.setDefaultTimeout(15_000);
  const made = await context.newPage();
  // While one works on script and styles: BENCH_ASSETS is the folder that they are served from, without building.
  if (process.env.BENCH_ASSETS) await made.route(/\/(bench|keys|jobs|hear|sampler)\.(js|css)$/, (route) => route.fulfill({ path: join(process.env.BENCH_ASSETS, new URL(route.request().url()).pathname) }));
  made.troubles = [];
  made.on('pageerror', (error) => made.troubles.push(error.message));
  made.on('console', (message) => {
    if (message.type() === 'error' && !/status of 4\d\d/.test(message.text())) made.troubles.push(message.text());
  });
  return made;
}

export async function shot(of, name) {
  if (!process.env.BENCH_SHOTS) return;
  mkdirSync(process.env.BENCH_SHOTS, { recursive: true });
  await of.screenshot({ path: join(process.env.BENCH_SHOTS, `${name}.png`), fullPage: true });
}

export function clear(jobs) {
  rmSync(jobs, { recursive: true, force: true });
}

// One folder, server and browser for all checks of a file; `ready` is given them before the first.
export function shared(ready) {
  let at;
  before(async () => {
    const jobs = folder();
    at = { jobs, server: await Server.start(jobs), chromium: await browser() };
    ready(at);
  });
  // The server hangs up on the 21st connection of one address, and every page left open holds up to six.
  afterEach(() => Promise.all(at.chromium.contexts().map((context) => context.close())));
  after(async () => {
    await at.chromium.close();
    assert.equal((await at.server.stop()).code, 0, at.server.errors);
    clear(at.jobs);
  });
}
