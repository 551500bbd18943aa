// The page listens: Chromium's own false microphone plays a string that is made up here, whose pitch and stiffness are known.
import assert from 'node:assert/strict';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import test from 'node:test';
import { Server, SIZES, axe, browser, clear, example, folder, page, shot, text } from './kit.mjs';
import { E2, RATE, pluck, wav } from './sounds.mjs';

const FALSE = '--use-fake-device-for-media-stream';
const ALLOWED = '--use-fake-ui-for-media-stream';
const WORKED_OUT = 60_000;

const OPEN = wav(pluck(E2));

async function with_page(flags, check, options = {}) {
  const jobs = folder();
  const sounds = folder();
  example(jobs, 'parlour', 'a');
  writeFileSync(join(sounds, 'e2.wav'), OPEN);
  const server = await Server.start(jobs);
  const chromium = await browser(FALSE, `--use-file-for-fake-audio-capture=${join(sounds, 'e2.wav')}`, ...flags);
  try {
    const p = await page(chromium, options);
    const asked = [];
    p.on('request', (request) => asked.push(request.url()));
    await check(p, server, jobs);
    assert.deepEqual(p.troubles, []);
    assert.deepEqual(asked.filter((url) => !url.startsWith(`${server.base}/`)), [], 'nothing is asked of anybody else');
  } finally {
    await chromium.close();
    await server.stop();
    clear(jobs);
    clear(sounds);
  }
}

async function audit(p) {
  const sideways = await p.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  assert.ok(sideways <= 0, `${sideways} px too wide`);
  await p.evaluate(axe);
  const found = await p.evaluate(() => globalThis.axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }));
  assert.deepEqual(found.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.html.slice(0, 160)).join(' | ')}`), []);
  const small = await p.evaluate(() => [...document.querySelectorAll('main button, main a.button, main input[type=file]')]
    .filter((one) => one.checkVisibility() && !one.closest('.title-row') && one.getBoundingClientRect().height < 43.9).map((one) => one.outerHTML));
  assert.deepEqual(small, [], 'large enough for a thumb');
}

const choose = (p, bytes) => p.locator('#sound').setInputFiles({ name: 'pluck.wav', mimeType: 'audio/wav', buffer: bytes });
const answered = (p, words) => p.locator('#hear-say', { hasText: words }).waitFor({ timeout: WORKED_OUT });

test('a string is listened to until it agrees, kept, and taken back', { timeout: 180_000 }, async () => {
  await with_page([ALLOWED], async (p, server, jobs) => {
    const before = text(jobs, 'a');
    await p.goto(`${server.base}/job/a/survey`);
    await p.getByRole('link', { name: 'Listen to the strings' }).first().click();
    await p.waitForURL(/hear(\?|$)/);
    assert.equal(await p.locator('#now').textContent(), 'Pluck E2, the 6th, open');
    await audit(p);
    await p.locator('#listen').focus();
    await p.keyboard.press('Enter');
    await p.locator('#level-word', { hasText: 'good' }).waitFor();
    await answered(p, 'Pluck it again');
    assert.equal(await p.locator('#offered').count(), 0, 'one pluck is not offered');
    await shot(p, 'hear-once');
    await answered(p, 'Agreed');
    const found = /B ([\d.]+), sure to ([\d.]+) %/.exec(await p.locator('#hear-say').textContent());
    const [b, share] = [Number(found[1]), Number(found[2]) / 100];
    assert.ok(Math.abs(b / E2.b - 1) <= 1.96 * share + 0.005, `B ${b}, sure to ${share}, planted ${E2.b}`);
    assert.match(await p.locator('#hear-say').textContent(), /3\.\d cents sharp|2\.9 cents sharp/);
    assert.ok(await p.locator('#partials svg .partial').count() > 10);
    await audit(p);
    for (const [viewport, colorScheme, forcedColors] of [[SIZES[0], 'light'], [SIZES[1], 'light'], [SIZES[1], 'dark'], [{ width: 320, height: 640 }, 'dark'], [SIZES[0], 'dark', 'active']]) {
      await p.setViewportSize(viewport);
      await p.emulateMedia({ colorScheme, forcedColors: forcedColors || 'none' });
      await audit(p);
      await shot(p, `hear-agreed-${viewport.width}-${forcedColors ? 'forced' : colorScheme}`);
    }
    assert.equal(text(jobs, 'a'), before, 'nothing is kept before it is said');
    await p.getByRole('button', { name: 'Keep it' }).focus();
    await p.keyboard.press('Enter');
    await answered(p, 'Kept: B of E2');
    const kept = text(jobs, 'a');
    const line = /inharmonicity = \[([\d.e-]+), "-"/.exec(kept);
    assert.ok(line && Math.abs(Number(line[1]) / E2.b - 1) <= 1.96 * share + 0.005, kept);
    assert.match(kept, /with = "recording"/);
    assert.match(await p.locator('tr[data-row="6"]').textContent(), /B kept/);
    // The next one, by the keyboard: the focus waits on it.
    await p.keyboard.press('Enter');
    assert.equal(await p.locator('#now').textContent(), 'Pluck A2, the 5th, open');
    // The low E goes on sounding, and is not the A.
    await answered(p, 'it is another string');
    assert.match(await p.locator('#hear-say').textContent(), /from A2\. Name the string/);
    await p.getByRole('button', { name: 'Undo' }).click();
    await p.waitForURL(/hear(\?|$)/);
    assert.equal(text(jobs, 'a'), before);
  });
});

test('a recording serves instead of the microphone, also for cents at 12', { timeout: 180_000 }, async () => {
  await with_page([], async (p, server, jobs) => {
    await p.goto(`${server.base}/job/a/hear?string=6`);
    const fretted = (cents) => wav(pluck({ note: 2 * E2.note * 2 ** (cents / 1200), b: 4 * E2.b }));
    for (const words of ['Pluck it again', 'Agreed, two']) { await choose(p, OPEN); await answered(p, words); }
    await p.getByRole('button', { name: 'Now held at 12' }).click();
    assert.equal(await p.locator('#now').textContent(), 'Pluck E2, the 6th, held at fret 12');
    for (const words of ['Pluck it again', 'Agreed, two']) { await choose(p, fretted(5)); await answered(p, words); }
    assert.match(await p.locator('#offered').textContent(), /Cents at 12: \+(4\.[89]\d|5\.[01]\d) against the open string/);
    await p.getByRole('button', { name: 'Keep it' }).click();
    await answered(p, 'Kept: cents at 12 of E2');
    const cents = /cents_12 = \[([\d.]+), "-"/.exec(text(jobs, 'a'));
    assert.ok(cents && Math.abs(Number(cents[1]) - 5) < 0.3, text(jobs, 'a'));
    // Others of the same string: too near to nothing, nonsense, and a second time the same.
    await choose(p, Buffer.from('no sound'));
    await answered(p, 'it cannot be read');
    await choose(p, wav(new Float64Array(4 * RATE)));
    await answered(p, 'it is silent');
    await p.locator('a[data-string="6"]').click();
    for (const words of ['Agreed, three']) { await choose(p, OPEN); await answered(p, words); }
    assert.equal(await p.getByRole('button', { name: 'Keep it', exact: true }).count(), 1);
    // Another hand has changed the job meanwhile.
    writeFileSync(join(jobs, 'a.toml'), text(jobs, 'a').replace(/^title.*$/m, 'title = "Another"'));
    await p.getByRole('button', { name: 'Keep it' }).click();
    await p.locator('#toast', { hasText: 'Load the page again' }).waitFor();
    assert.doesNotMatch(text(jobs, 'a'), /inharmonicity/);
  });
});

test('a microphone that is not given is told, and what to do', { timeout: 60_000 }, async () => {
  await with_page([], async (p, server) => {
    await p.goto(`${server.base}/job/a/hear`);
    await p.getByRole('button', { name: 'Listen', exact: true }).click();
    await answered(p, 'The browser keeps the microphone from this page. Allow it');
    await p.getByRole('button', { name: 'Listen', exact: true }).waitFor();
    await audit(p);
    // No microphone at all, and a page that may not ask for one.
    await p.evaluate(() => { navigator.mediaDevices.getUserMedia = async () => { throw new DOMException('none', 'NotFoundError'); }; });
    await p.getByRole('button', { name: 'Listen', exact: true }).click();
    await answered(p, 'No microphone is found');
    // One that is there and gives nothing.
    await p.evaluate(() => { navigator.mediaDevices.getUserMedia = async () => new AudioContext().createMediaStreamDestination().stream; });
    await p.getByRole('button', { name: 'Listen', exact: true }).click();
    await answered(p, 'it is muted. Look for its switch');
    assert.equal(await p.locator('#level-word').textContent(), 'nothing yet');
    await p.getByRole('button', { name: 'Stop listening' }).click();
    await p.addInitScript(() => { Object.defineProperty(navigator, 'mediaDevices', { value: undefined }); });
    await p.reload();
    await answered(p, 'gives the microphone only to a page of this computer');
    assert.equal(await p.locator('#listen').isVisible(), false);
    await audit(p);
    await shot(p, 'hear-no-microphone');
    await choose(p, OPEN);
    await answered(p, 'Pluck it again');
  });
});

test('without the script the page names the command', { timeout: 60_000 }, async () => {
  await with_page([], async (p, server) => {
    await p.goto(`${server.base}/job/a/hear`);
    assert.match(await p.locator('main').textContent(), /bonewright hear FILE\.wav --job a\.toml --string 6 --keep/);
    assert.equal(await p.locator('#hear').isVisible(), false);
    await p.getByRole('link', { name: '5 A2' }).click();
    assert.match(await p.locator('main').textContent(), /--string 5 --keep/);
  }, { javaScriptEnabled: false });
});
