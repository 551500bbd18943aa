// Every file that the command makes of every example, and its plan in every form, is made by the browser edition's module to the byte.
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { copyFileSync, mkdirSync, readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import test from 'node:test';
import { BIN, clear, folder } from '../bench/kit.mjs';
import { EDITION } from './kit.mjs';
import { bench, module_of } from './module.mjs';

const EXAMPLES = new URL('../../../examples/', import.meta.url);
// Longest that making and checking the programs of one job may take, milliseconds.
const CUT = 4000;
// Longest for a change that is tried on the plan of the parlour guitar, planned and drawn, milliseconds.
const PLAN = 50;

// Processor time that it takes, milliseconds: whatever else the machine does.
function taken(work) {
  const begun = process.cpuUsage();
  work();
  const { user, system } = process.cpuUsage(begun);
  return (user + system) / 1000;
}

test('every file of every example, to the byte; its programs and its plan in time', { timeout: 400_000 }, async () => {
  const module = await bench(module_of(join(EDITION, 'bonewright.html')));
  const at = folder();
  const [other, told] = [[], []];
  let same = 0;
  const compare = (name, theirs, ours) => { if (Buffer.compare(theirs, ours)) other.push(name); else same++; };
  for (const file of readdirSync(EXAMPLES).filter((name) => name.endsWith('.toml'))) {
    const stem = file.slice(0, -'.toml'.length);
    const out = join(at, stem);
    mkdirSync(out);
    copyFileSync(new URL(file, EXAMPLES), join(at, file));
    const run = (...args) => spawnSync(BIN, args, { cwd: at });
    run('draw', file, '--out', out);
    run('cut', file, '--out', out);
    const body = readFileSync(join(at, file));
    module.load(file, body);
    for (const [form, ...flags] of [['page'], ['json', '--json'], ['csv', '--csv']]) {
      const { stdout, status } = run('plan', file, ...flags);
      const printed = module.print(file, form, body);
      assert.equal(printed.status === 200, status === 0, `${file}, ${form}: ${printed.told}`);
      compare(`${file} as ${form}`, stdout, printed.content);
    }
    const tried = stem !== 'parlour' ? [] : [2.4, 2.5, 2.6].map((action) => taken(() => {
      const reply = module.attempt(stem, { key: 'target.action_12.bass', text: `${action} mm`, view: 'plan', part: 'saddle' });
      assert.ok(reply.status === 200 && JSON.parse(reply.content).live, `${reply.status}: ${reply.content}`);
    }));
    if (tried.length) told.push(`a change of the plan is planned and drawn in ${Math.min(...tried).toFixed(0)} ms`);
    assert.ok(Math.min(PLAN, ...tried) < PLAN || !tried.length, told.at(-1));
    const cut = taken(() => assert.equal(module.get(`/job/${stem}/programs?make=yes`).status, 200));
    told.push(`${stem}: programs in ${cut.toFixed(0)} ms`);
    assert.ok(cut < CUT, told.at(-1));
    for (const name of readdirSync(out)) {
      const reply = module.get(`/job/${stem}/out/${name}`);
      assert.equal(reply.status, 200, `${name}: ${reply.content}`);
      compare(name, readFileSync(join(out, name)), reply.content);
    }
  }
  console.log(told.join('\n'));
  console.log(`${same} the same, ${other.length} not`);
  assert.deepEqual(other, []);
  assert.ok(same > 300, `${same} files were compared`);
  clear(at);
});

test('the module stands on its own: one thing is asked of the page, and a few functions are given', async () => {
  const module = await WebAssembly.compile(module_of(join(EDITION, 'bonewright.html')));
  assert.deepEqual(WebAssembly.Module.imports(module).map((one) => `${one.module}.${one.name}`), ['page.told']);
  const functions = WebAssembly.Module.exports(module).filter((one) => one.kind === 'function').map((one) => one.name);
  assert.deepEqual(functions.sort(), ['answer', 'reply_at', 'room']);
});
