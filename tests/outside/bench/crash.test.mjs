// The server and the command killed in the middle of writing, again and again: what was acknowledged is there, and no half file ever.
import assert from 'node:assert/strict';
import { spawn } from 'node:child_process';
import { readFileSync, readdirSync, utimesSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import test from 'node:test';
import { BIN, Server, clear, command, example, folder, text } from './kit.mjs';

const KILLS = 150;
const DRAWS = 150;

const wait = (ms) => new Promise((done) => setTimeout(done, ms));

// Makes what runs that were killed left as old as what no run writes any more.
function age(...places) {
  const old = Date.now() / 1000 - 3600;
  for (const place of places) {
    for (const name of readdirSync(place).filter((name) => name.startsWith('.bonewright-'))) utimesSync(join(place, name), old, old);
  }
}

// A page's token, and the version that it shows.
async function opened(server) {
  const found = await (await fetch(`${server.base}/job/crash/text`)).text();
  return { token: /name="token" content="([0-9a-f]+)"/.exec(found)[1], version: /data-version="([0-9a-z]+)"/.exec(found)[1] };
}

async function save(server, { token, version }, title) {
  const body = new URLSearchParams({ token, version, key: 'title', text: title, view: 'survey' });
  const reply = await fetch(`${server.base}/job/crash/answer`, { method: 'POST', headers: { 'X-Bench': '1' }, body });
  return { status: reply.status, said: await reply.json() };
}

test(`killed ${KILLS} times while saving, nothing is lost`, { timeout: 120_000 }, async () => {
  const jobs = folder();
  example(jobs, 'nylon-drop-in', 'crash');
  let acknowledged = /^title = "(.*)"$/m.exec(text(jobs, 'crash'))[1];
  let sent = null;
  let saves = 0;
  try {
    // How long a save takes, of the program at hand.
    const measured = await Server.start(jobs);
    const page = await opened(measured);
    const began = Date.now();
    for (; saves < 5; saves++) page.version = (await save(measured, page, (acknowledged = `Saved ${saves}`))).said.version;
    const one = Math.max(2, (Date.now() - began) / saves);
    await measured.kill();
    for (let round = 0; round < KILLS; round++) {
      const server = await Server.start(jobs);
      const page = await opened(server);
      const kill = wait(one * (0.5 + 3 * Math.random())).then(() => server.kill());
      try {
        for (;;) {
          saves++;
          sent = `Saved ${saves}`;
          const { said } = await save(server, page, sent);
          assert.equal(said.state, 'kept', JSON.stringify(said));
          page.version = said.version;
          acknowledged = sent;
        }
      } catch (error) {
        if (error instanceof assert.AssertionError) throw error;
      }
      await kill;
      const now = text(jobs, 'crash');
      const title = /^title = "(.*)"$/m.exec(now)?.[1];
      assert.ok(title === acknowledged || title === sent, `round ${round}: found ${title}, acknowledged ${acknowledged}, sent ${sent}`);
      acknowledged = title;
      assert.ok(now.includes('[blank]') && now.endsWith('\n'), 'the file is whole');
      if (round % 10 === 0) command('check', join(jobs, 'crash.toml'));
    }
    assert.ok(saves > KILLS, `${saves} saves`);
    // What is younger may be another bench's, which writes it at this moment.
    age(jobs, join(jobs, '.bonewright', 'crash'));
    const server = await Server.start(jobs);
    assert.equal((await server.stop()).code, 0);
    const left = readdirSync(join(jobs, '.bonewright', 'crash')).filter((name) => name.startsWith('.'));
    assert.deepEqual(left, [], 'half-written files are cleared away at the next start');
    assert.deepEqual(readdirSync(join(jobs, '.bonewright')).sort(), ['_page.toml', 'crash']);
    assert.deepEqual(readdirSync(jobs).sort(), ['.bonewright', 'crash.toml']);
    console.log(`# ${saves} saves, ${KILLS} kills`);
  } finally {
    clear(jobs);
  }
});

test(`killed ${DRAWS} times while drawing over a set, it is all old or all new`, { timeout: 180_000 }, async () => {
  const jobs = folder();
  const out = join(jobs, 'out');
  try {
    // A small set, so that the kill often comes while it is written.
    const args = (name) => ['draw', join(jobs, `${name}.toml`), '--force', '--part', 'saddle', '--only', 'txt,dxf,stl', '--out', out];
    const states = {};
    example(jobs, 'nylon-drop-in', 'one');
    const first = text(jobs, 'one');
    const second = first.replace(/^title = ".*"$/m, 'title = "The other"');
    const set = () => {
      const files = {};
      for (const name of readdirSync(out).filter((name) => !name.startsWith('.'))) files[name] = readFileSync(join(out, name), 'latin1');
      return JSON.stringify(files);
    };
    for (const which of [first, second]) {
      writeFileSync(join(jobs, 'one.toml'), which);
      command(...args('one'));
      states[which] = set();
    }
    assert.notEqual(states[first], states[second]);
    const began = Date.now();
    command(...args('one'));
    const whole = Date.now() - began;
    let [cut, amid] = [0, 0];
    for (let round = 0; round < DRAWS; round++) {
      writeFileSync(join(jobs, 'one.toml'), round % 2 ? first : second);
      const run = spawn(BIN, args('one'), { stdio: 'ignore' });
      const ended = new Promise((done) => run.on('exit', (_, signal) => done(signal)));
      // Late in the run, where files are written.
      await Promise.race([ended, wait(whole * (0.6 + 0.5 * Math.random()))]);
      run.kill('SIGKILL');
      if ((await ended) === 'SIGKILL') cut++;
      if (readdirSync(out).some((name) => name.startsWith('.bonewright-set-'))) amid++;
      // A crash in the swap leaves a mixture until the next run, which puts it right before it does anything else.
      age(out);
      const next = spawn(BIN, ['draw', join(jobs, 'one.toml'), '--only', 'txt', '--part', 'saddle', '--out', out], { stdio: 'ignore' });
      await new Promise((done) => next.on('exit', done));
      const now = set();
      assert.ok(now === states[first] || now === states[second], `round ${round}`);
      assert.deepEqual(readdirSync(out).filter((name) => name.startsWith('.')), [], `round ${round}`);
    }
    assert.ok(amid > 0, `of ${cut} runs cut off none was writing`);
    console.log(`# ${cut} of ${DRAWS} runs cut off, ${amid} of them while they wrote`);
  } finally {
    clear(jobs);
  }
});

test('two benches on one folder lose nothing that was acknowledged', { timeout: 60_000 }, async () => {
  const jobs = folder();
  example(jobs, 'nylon-drop-in', 'crash');
  const benches = [await Server.start(jobs)];
  try {
    benches.push(await Server.start(jobs));
    assert.match(benches[1].errors, /Another bench \(process \d+\) has had this folder open/);
    const kept = [];
    const edit = async (which) => {
      for (let n = 0; n < 40; n++) {
        for (;;) {
          const title = `Bench ${which}, ${n}`;
          const { status } = await save(benches[which], await opened(benches[which]), title);
          if (status === 200) {
            kept.push(title);
            break;
          }
          assert.equal(status, 409);
        }
      }
    };
    await Promise.all([edit(0), edit(1)]);
    const beside = join(jobs, '.bonewright', 'crash');
    const old = readdirSync(beside).filter((name) => name.startsWith('old-'));
    const all = [...old.map((name) => readFileSync(join(beside, name), 'utf8')), text(jobs, 'crash')];
    const titles = new Set(all.map((found) => /^title = "(.*)"$/m.exec(found)[1]));
    assert.equal(titles.size, 81, 'each edit that was acknowledged is a version, and the first one is');
    for (const title of kept) assert.ok(titles.has(title), title);
  } finally {
    for (const bench of benches) await bench.stop();
    clear(jobs);
  }
});
