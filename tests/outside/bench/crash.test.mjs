// The server killed in the middle of saving, again and again: what was acknowledged is there, and no half file ever.
import assert from 'node:assert/strict';
import { readdirSync, utimesSync } from 'node:fs';
import { join } from 'node:path';
import test from 'node:test';
import { Server, clear, command, example, folder, text } from './kit.mjs';

const KILLS = 60;

test(`killed ${KILLS} times while saving, nothing is lost`, { timeout: 120_000 }, async () => {
  const jobs = folder();
  example(jobs, 'nylon-drop-in', 'crash');
  let acknowledged = /^title = "(.*)"$/m.exec(text(jobs, 'crash'))[1];
  let sent = null;
  let saves = 0;
  try {
    for (let round = 0; round < KILLS; round++) {
      const server = await Server.start(jobs);
      const found = await (await fetch(`${server.base}/job/crash/text`)).text();
      const token = /name="token" content="([0-9a-f]+)"/.exec(found)[1];
      let version = /data-version="([0-9a-z]+)"/.exec(found)[1];
      const kill = new Promise((done) => setTimeout(() => server.kill().then(done), 15 + Math.random() * 60));
      try {
        for (;;) {
          saves++;
          const body = new URLSearchParams({ token, version, key: 'title', text: `Saved ${saves}`, view: 'survey' });
          sent = `Saved ${saves}`;
          const reply = await fetch(`${server.base}/job/crash/answer`, { method: 'POST', headers: { 'X-Bench': '1' }, body });
          const said = await reply.json();
          assert.equal(said.state, 'kept', JSON.stringify(said));
          version = said.version;
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
    const old = Date.now() / 1000 - 3600;
    for (const place of [jobs, join(jobs, '.bonewright', 'crash')]) {
      for (const name of readdirSync(place).filter((name) => name.startsWith('.bonewright-'))) utimesSync(join(place, name), old, old);
    }
    const server = await Server.start(jobs);
    assert.equal((await server.stop()).code, 0);
    const left = readdirSync(join(jobs, '.bonewright', 'crash')).filter((name) => name.startsWith('.'));
    assert.deepEqual(left, [], 'half-written files are cleared away at the next start');
    assert.deepEqual(readdirSync(jobs).sort(), ['.bonewright', 'crash.toml']);
    console.log(`# ${saves} saves, ${KILLS} kills`);
  } finally {
    clear(jobs);
  }
});
