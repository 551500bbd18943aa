// The one file, opened from disk with every connection refused: a newcomer's way, kill and reopen, two windows, trouble with the store.
import assert from 'node:assert/strict';
import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, statfsSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import test from 'node:test';
import { SIZES, axe, browser, clear, command, example, folder, page, shot } from '../bench/kit.mjs';
import { PHONE, READ, walk } from '../bench/newcomer.mjs';
import { E2, pluck, wav } from '../bench/sounds.mjs';
import { FILE, answer, begin_from, from_disk, kept, open, tab, text_of } from './kit.mjs';

const { chromium: driver } = createRequire(join(process.env.BENCH_MODULES, 'here.js'))('playwright-core');

// Longest that the page may be blocked, milliseconds; twice that where the machine does other work.
const BLOCKED = process.env.BONEWRIGHT_BARS === 'half' ? 200 : 100;

async function downloaded(p, act) {
  const [download] = await Promise.all([p.waitForEvent('download'), act()]);
  return { name: download.suggestedFilename(), bytes: readFileSync(await download.path()) };
}

test('a newcomer on a phone, from the file alone to the plan, the sheet and the command\'s own bytes', { timeout: 120_000 }, () => from_disk(async (p) => {
  await walk(p, FILE, READ);
  await p.getByRole('heading', { name: 'To make' }).waitFor();
  await tab(p, 'Sheets');
  await p.waitForFunction(() => { const image = document.querySelector('.sheet img'); return image && image.naturalWidth > 100; });
  await shot(p, 'edition-sheets');
  const job = await text_of(p);
  const [, name] = /#\/job\/([^/]+)\//.exec(p.url());
  await tab(p, 'Sheets');
  const pdf = await downloaded(p, () => p.getByRole('link', { name: 'Download the PDF' }).click());
  const at = folder();
  writeFileSync(join(at, `${name}.toml`), job);
  command('draw', join(at, `${name}.toml`), '--out', at);
  assert.equal(pdf.name, `${name}.pdf`);
  assert.ok(pdf.bytes.equals(readFileSync(join(at, pdf.name))), 'the command draws the same to the byte');
  clear(at);
}, PHONE));

for (const size of [...SIZES, { width: 320, height: 700 }]) {
  test(`the pages fit and are accessible, ${size.width} px`, { timeout: 120_000 }, () => from_disk(async (p) => {
    const look = async (name) => {
      const wide = await p.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      assert.ok(wide <= 0, `${name}: ${wide} px too wide`);
      await shot(p, `edition-${name}-${size.width}`);
    };
    const audit = async (name) => {
      // The policy keeps every script out but the edition's own, so that the audit's comes in by the debugger.
      const session = await p.context().newCDPSession(p);
      const run = async (expression) => {
        const { result, exceptionDetails } = await session.send('Runtime.evaluate', { expression, awaitPromise: true, returnByValue: true });
        assert.ok(!exceptionDetails, JSON.stringify(exceptionDetails));
        return result.value;
      };
      await run(`${axe};0`);
      const found = await run('axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }).then((all) => all.violations.map((one) => `${one.id}: ${one.nodes.map((node) => node.html).join(" | ")}`))');
      assert.deepEqual(found, [], name);
    };
    await open(p);
    await look('first');
    await audit('first');
    await begin_from(p, 'parlour', 'Parlour');
    for (const name of ['Plan', 'Programs', 'Work list']) { await tab(p, name); await look(name); }
    await audit('Work list');
    await p.goto(`${FILE}#/job/parlour/about`);
    await p.getByRole('heading', { name: 'Save it to a file' }).waitFor();
    await look('about');
    await audit('about');
  }, { viewport: size }));
}

test('killed and opened again, the job is there with its old versions', { timeout: 90_000 }, async () => {
  const profile = mkdtempSync(join(tmpdir(), 'bonewright-edition-'));
  const begun = async () => {
    const context = await driver.launchPersistentContext(profile, { executablePath: '/usr/bin/chromium', args: ['--headless', '--no-sandbox', '--disable-gpu', '--disable-background-networking'] });
    context.setDefaultTimeout(20_000);
    return [context, context.pages()[0] || await context.newPage()];
  };
  const [first, p] = await begun();
  await open(p);
  await begin_from(p, 'parlour', 'Kept');
  await answer(p, 'kept', 'slot.lean', '11 deg');
  await kept(p, 'slot.lean', '11 deg');
  // As a power cut would, the moment that the page says it is kept.
  execFileSync('pkill', ['-9', '-f', profile]);
  await first.close().catch(() => {});
  for (const lock of ['SingletonLock', 'SingletonCookie', 'SingletonSocket']) rmSync(join(profile, lock), { force: true });
  const [second, q] = await begun();
  await open(q, FILE, '/job/kept/survey');
  assert.match(await text_of(q), /lean = "11 deg"/);
  await q.goto(`${FILE}#/job/kept/versions`);
  await q.getByRole('button', { name: 'Back to before this' }).first().waitFor();
  await q.goto(`${FILE}#/`);
  await q.locator('#home-saved', { hasText: 'Never saved outside this browser' }).waitFor();
  await second.close();
  spawnSync('pkill', ['-9', '-f', profile]);
  rmSync(profile, { recursive: true, force: true });
});

test('where the disk is full, nothing is half kept, it says so, and goes on when there is room', { timeout: 90_000 }, async () => {
  // A disk of its own, so small that it can be filled.
  const disk = mkdtempSync(join(tmpdir(), 'bonewright-disk-'));
  execFileSync('mount', ['-t', 'tmpfs', '-o', 'size=64m', 'none', disk]);
  try {
    const context = await driver.launchPersistentContext(join(disk, 'profile'), { executablePath: '/usr/bin/chromium', args: ['--headless', '--no-sandbox', '--disable-gpu', '--disable-background-networking'] });
    context.setDefaultTimeout(20_000);
    const p = context.pages()[0];
    await open(p);
    await begin_from(p, 'parlour', 'Full');
    const before = await text_of(p);
    const ballast = join(disk, 'ballast');
    const { bavail, bsize } = statfsSync(disk);
    writeFileSync(ballast, Buffer.alloc(bavail * bsize));
    await answer(p, 'full', 'slot.lean', '11 deg');
    await p.locator('#toast', { hasText: 'Nothing was kept' }).waitFor();
    rmSync(ballast);
    assert.equal(await text_of(p), before, 'as it was');
    await answer(p, 'full', 'slot.lean', '12 deg');
    await kept(p, 'slot.lean', '12 deg');
    assert.match(await text_of(p), /lean = "12 deg"/);
    await context.close();
  } finally {
    execFileSync('umount', ['-l', disk]);
    rmSync(disk, { recursive: true, force: true });
  }
});

test('two windows: the later one is told, and neither loses a word', { timeout: 60_000 }, () => from_disk(async (p) => {
  await open(p);
  await begin_from(p, 'parlour', 'Both');
  const q = await p.context().newPage();
  await open(q, FILE, '/job/both/survey');
  await p.goto(`${FILE}#/job/both/survey`);
  const lean = (of) => of.locator('.field[data-key="slot.lean"] input:not([type=hidden])');
  await lean(p).waitFor();
  await lean(p).fill('10 deg');
  await lean(p).blur();
  await kept(p, 'slot.lean', '10 deg');
  await lean(q).fill('12 deg');
  await lean(q).blur();
  await q.locator('#toast', { hasText: 'changed elsewhere' }).waitFor();
  await q.getByText('Load the page again').click();
  await q.locator('.field[data-key="slot.lean"]', { hasText: 'meanwhile it became 10 deg' }).waitFor();
  assert.match(await text_of(p), /lean = "10 deg"/);
  // A job begun in one is in the list of the other.
  await p.goto(`${FILE}#/`);
  await begin_from(p, 'nylon-drop-in', 'Third');
  await q.goto(`${FILE}#/`);
  await q.getByRole('link', { name: 'Third' }).first().waitFor();
}));

test('where the browser keeps nothing, it says so and works, with open and save', { timeout: 60_000 }, () => from_disk(async (p) => {
  await p.addInitScript(() => Object.defineProperty(globalThis, 'indexedDB', { get() { throw new DOMException('The operation is insecure.', 'SecurityError'); } }));
  await open(p);
  await p.getByText('This browser keeps nothing for this page').waitFor();
  await begin_from(p, 'nylon-drop-in', 'In memory');
  await p.getByText('This browser keeps nothing for this page').waitFor();
  await p.goto(`${FILE}#/`);
  const all = await downloaded(p, () => p.getByRole('button', { name: 'Save all jobs to a file' }).click());
  assert.equal(all.name, 'bonewright-jobs.zip');
  const at = folder();
  writeFileSync(join(at, all.name), all.bytes);
  execFileSync('python3', ['-m', 'zipfile', '-e', join(at, all.name), at]);
  assert.match(command('plan', join(at, 'in-memory.toml')), /Proud|proud/, 'unpacked, it is the command\'s');
  clear(at);
}));

test('saved to a file and opened elsewhere; what is broken changes nothing', { timeout: 60_000 }, () => from_disk(async (p, chromium) => {
  await open(p);
  await begin_from(p, 'parlour', 'Travels');
  await answer(p, 'travels', 'slot.lean', '11 deg');
  await kept(p, 'slot.lean', '11 deg');
  await p.goto(`${FILE}#/job/travels/about`);
  const one = await downloaded(p, () => p.getByRole('button', { name: 'Save this job to a file' }).click());
  assert.equal(one.name, 'travels.zip');
  await p.goto(`${FILE}#/`);
  const all = await downloaded(p, () => p.getByRole('button', { name: 'Save all jobs to a file' }).click());
  await p.locator('#home-saved', { hasText: 'nothing was changed since' }).waitFor();

  const q = await page(chromium);
  await open(q);
  const takes = async (name, bytes) => {
    const [chooser] = await Promise.all([q.waitForEvent('filechooser'), q.getByRole('button', { name: 'Open a file' }).click()]);
    await chooser.setFiles({ name, mimeType: 'application/octet-stream', buffer: bytes });
  };
  const told = (words) => q.locator('#toast', { hasText: words }).waitFor();
  for (const [name, bytes, words] of [
    ['half.zip', all.bytes.subarray(0, all.bytes.length / 2), 'This file is broken'],
    ['photo.jpg', Buffer.from([0xff, 0xd8, 0xff, 0xe0]), 'There is no job in this file'],
    ['empty.zip', Buffer.alloc(0), 'There is no job in this file'],
  ]) {
    await takes(name, bytes);
    await told(words);
    assert.equal(await q.getByRole('link', { name: 'Travels' }).count(), 0);
  }
  await takes(one.name, one.bytes);
  await told('1 job taken in.');
  await q.getByRole('link', { name: 'Travels' }).first().click();
  assert.match(await text_of(q), /lean = "11 deg"/);
  await q.goto(`${FILE}#/job/travels/versions`);
  await q.getByRole('button', { name: 'Back to before this' }).first().waitFor();
  await q.goto(`${FILE}#/`);
  await takes('another.toml', readFileSync(new URL('../../../examples/sound.toml', import.meta.url)));
  await told('1 job taken in.');
  await takes(all.name, all.bytes);
  await told('1 job here already.');
  assert.deepEqual(q.troubles, []);
}));

test('programs: the page goes on meanwhile, stop stops, and a module that breaks is replaced', { timeout: 90_000 }, () => from_disk(async (p) => {
  await p.addInitScript(() => {
    const send = Worker.prototype.postMessage;
    // What makes no sense to the module breaks it.
    Worker.prototype.postMessage = function postMessage(message, hand) {
      if (globalThis.breaks && message.head && message.head.do === 'ask') { globalThis.breaks = false; message = { ...message, body: null }; }
      return send.call(this, message, hand);
    };
    globalThis.long = [];
    new PerformanceObserver((list) => { for (const entry of list.getEntries()) globalThis.long.push(Math.round(entry.duration)); }).observe({ entryTypes: ['longtask'] });
  });
  await open(p);
  await begin_from(p, 'parlour-both', 'Cut');
  await tab(p, 'Programs');
  const go = p.getByRole('button', { name: /Make and check/ });
  await p.evaluate(() => {
    globalThis.long = [];
    const box = document.getElementById('checking');
    new MutationObserver((_, self) => {
      if (!/Checking setup \d of \d/.test(box.textContent)) return;
      self.disconnect();
      box.querySelector('button').click();
    }).observe(box, { subtree: true, childList: true, characterData: true });
  });
  await go.click();
  await p.locator('#checking', { hasText: 'Stopped: no program was made.' }).waitFor({ timeout: 30_000 });
  await go.click();
  await p.locator('.verdict').first().waitFor({ timeout: 30_000 });
  const most = Math.max(0, ...await p.evaluate(() => globalThis.long));
  console.log(`the page was blocked for ${most} ms at most`);
  assert.ok(most < BLOCKED, `blocked for ${most} ms`);
  // What the page itself still asks for is not the one that breaks.
  await p.waitForFunction(() => [...document.querySelectorAll('img[data-from]')].every((image) => image.naturalWidth));
  await p.evaluate(() => { globalThis.breaks = true; });
  await p.getByRole('link', { name: 'Plan', exact: true }).first().click();
  await p.locator('#toast', { hasText: 'has started again' }).waitFor();
  p.troubles.length = 0; // the module's own cry
  await tab(p, 'Plan');
  await p.getByRole('heading', { name: 'To make' }).first().waitFor();
}));

test('nothing runs but the edition\'s own script, and nobody can be asked', { timeout: 60_000 }, () => from_disk(async (p) => {
  await open(p);
  await begin_from(p, 'nylon-drop-in', 'Sound');
  const found = await p.evaluate(async () => {
    const refused = [];
    document.addEventListener('securitypolicyviolation', (event) => refused.push(event.effectiveDirective));
    const script = document.createElement('script');
    script.textContent = 'globalThis.came = true';
    document.body.append(script);
    const style = document.createElement('style');
    style.textContent = 'body { display: none }';
    document.body.append(style);
    const asked = await fetch('https://example.invalid/').then(() => 'answered', () => 'refused');
    const image = new Image();
    image.src = 'https://example.invalid/x.png';
    await new Promise((done) => setTimeout(done, 300));
    return { came: globalThis.came, asked, refused: [...new Set(refused)].sort() };
  });
  assert.equal(found.came, undefined);
  assert.equal(found.asked, 'refused');
  assert.deepEqual(found.refused, ['connect-src', 'img-src', 'script-src-elem', 'style-src-elem']);
  p.troubles.length = 0;
}));

test('a recording of a string is heard', { timeout: 60_000 }, () => from_disk(async (p) => {
  await open(p);
  await begin_from(p, 'parlour', 'Heard');
  await p.goto(`${FILE}#/job/heard/hear`);
  await p.locator('#sound').setInputFiles({ name: 'e2.wav', mimeType: 'audio/wav', buffer: wav(pluck(E2)) });
  await p.locator('#hear-say', { hasText: 'Heard. Pluck it again' }).waitFor({ timeout: 30_000 });
}));

test('the microphone is heard, and asks nobody', { timeout: 60_000 }, () => {
  const at = folder();
  writeFileSync(join(at, 'e2.wav'), wav(pluck(E2)));
  return from_disk(async (p) => {
    await open(p);
    await begin_from(p, 'parlour', 'Listens');
    await p.goto(`${FILE}#/job/listens/hear`);
    await p.getByRole('button', { name: 'Listen' }).click();
    await p.locator('#hear-say', { hasText: 'Heard. Pluck it again' }).waitFor({ timeout: 40_000 });
    await p.getByRole('button', { name: 'Stop listening' }).click();
  }, {}, '--use-fake-device-for-media-stream', '--use-fake-ui-for-media-stream', `--use-file-for-fake-audio-capture=${join(at, 'e2.wav')}`).finally(() => clear(at));
});

test('back, forward, a link in the page, and undo leave one where one was', { timeout: 60_000 }, () => from_disk(async (p) => {
  await open(p);
  await begin_from(p, 'parlour', 'Ways');
  await tab(p, 'Filing');
  await tab(p, 'Plan');
  // Pressed without being scrolled to.
  await p.evaluate(() => {
    scrollTo({ top: 400, behavior: 'instant' });
    [...document.querySelectorAll('nav a')].find((link) => link.textContent === 'Work list').click();
  });
  await p.waitForFunction(() => document.querySelector('nav a[aria-current]')?.textContent === 'Work list');
  await p.goBack();
  await p.waitForFunction(() => document.querySelector('nav a[aria-current]')?.textContent === 'Plan' && Math.abs(scrollY - 400) < 2);
  await p.goForward();
  await p.waitForFunction(() => document.querySelector('nav a[aria-current]')?.textContent === 'Work list');
  await p.goto(`${FILE}#/`);
  await p.locator('h2#new').waitFor();
  await answer(p, 'ways', 'slot.lean', '11 deg');
  await kept(p, 'slot.lean', '11 deg');
  await p.getByRole('button', { name: /^Undo/ }).click();
  await p.waitForFunction(() => document.querySelector('.field[data-key="slot.lean"] input:not([type=hidden])')?.value !== '11 deg');
  assert.match(p.url(), /#\/job\/ways\/survey/);
  await p.reload();
  await p.locator('.field[data-key="slot.lean"]').waitFor();
}));
