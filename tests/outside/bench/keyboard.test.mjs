// The keyboard alone: on each page it does what the page is for, and the focus is always seen and never caught.
import assert from 'node:assert/strict';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import test from 'node:test';
import { SIZES, example, page, shared, shot, text } from './kit.mjs';

let jobs;
let server;
let chromium;
shared((at) => { ({ jobs, server, chromium } = at); });

// Most presses of the tab key on a way to something.
const FAR = 400;

// What has the focus: what it is, whether it can be seen as it is, and whether it is marked.
const focus = (p) => p.evaluate(() => {
  const one = document.activeElement;
  if (!one || one === document.body || one === document.documentElement) return null;
  // A link may run over several lines.
  const boxes = [...one.getClientRects()].filter((box) => box.width && box.height);
  const box = boxes[0];
  const words = (one.getAttribute('aria-label') || one.textContent || one.value || one.name || '').trim().replace(/\s+/g, ' ').slice(0, 70);
  const name = `${one.tagName.toLowerCase()}${one.id ? `#${one.id}` : ''}${one.name ? `[${one.name}]` : ''} “${words}”`;
  if (!box) return { name, words, trouble: 'it has no size' };
  const troubles = [];
  // Of what is tall, half a window is enough.
  const seen = Math.min(box.bottom, innerHeight) - Math.max(box.top, 0);
  if (box.left < -1 || box.right > innerWidth + 1 || seen < Math.min(box.height - 2, innerHeight / 2)) troubles.push(`it is out of sight, ${JSON.stringify(box)}`);
  const middle = (from, to, most) => (Math.max(from, 0) + Math.min(to, most)) / 2;
  const shown = { x: middle(box.left, box.right, innerWidth), y: middle(box.top, box.bottom, innerHeight) };
  const over = document.elementFromPoint(shown.x, shown.y);
  const label = one.closest('label');
  if (!over || !(one.contains(over) || over.contains(one) || (label && label.contains(over)))) troubles.push(`${over ? over.outerHTML.slice(0, 80) : 'nothing'} lies over it`);
  const styles = [one, ...one.querySelectorAll('.touch')].map((of) => getComputedStyle(of));
  const outlined = styles[0].outlineStyle !== 'none' && parseFloat(styles[0].outlineWidth) >= 2;
  const stroked = styles.slice(1).some((style) => style.stroke !== 'none' && parseFloat(style.strokeWidth) >= 2);
  if (!outlined && !stroked) troubles.push('nothing marks it');
  const again = Boolean(one.seen);
  one.seen = true;
  return { name, words, again, trouble: troubles.join('; ') };
});

// Goes on by the tab key until what `css` and `words` say has the focus; all on the way must be seen.
async function go(p, css, words = null, key = 'Tab') {
  const way = [];
  for (let i = 0; i < FAR; i++) {
    await p.keyboard.press(key);
    const now = await focus(p);
    if (!now) { way.push('(the page)'); continue; }
    assert.equal(now.trouble, '', `${p.url()}: ${now.name}`);
    way.push(now.name);
    const there = await p.evaluate(([css, words]) => {
      const one = document.activeElement;
      const said = [one.textContent, one.value, one.getAttribute('aria-label')].filter(Boolean).map((text) => text.trim().replace(/\s+/g, ' '));
      return one.matches(css) && (words === null || said.includes(words));
    }, [css, words]);
    if (there) return;
  }
  assert.fail(`${p.url()}: no way to ${css} ${words || ''}:\n${[...new Set(way)].join('\n')}`);
}

const back = (p, css, words = null) => go(p, css, words, 'Shift+Tab');

// Presses a key that leads to another page.
async function leave(p, key = 'Enter') {
  await Promise.all([p.waitForNavigation(), p.keyboard.press(key)]);
}

// In place of what stands in a field.
async function write(p, words) {
  await p.keyboard.press('Control+a');
  await p.keyboard.type(words);
}

const PAGES = ['/', '/job/walk/survey', '/job/walk/ask?at=slot', '/job/walk/ask?at=sure', '/job/walk/ask?at=crown', '/job/walk/plan', '/job/walk/sheets', '/job/walk/programs', '/job/walk/work', '/job/walk/filing', '/job/walk/strung',
  '/job/walk/remedy', '/job/walk/sureness', '/job/walk/about', '/job/walk/versions', '/job/walk/text', '/job/walk/hear', '/job/nut/plan', '/shop', '/shop/entry?kind=wrap&from=nickel'];

// Those that are laid out otherwise where there is room.
const WIDE = ['/', '/job/walk/ask?at=slot', '/job/walk/plan', '/job/walk/sheets', '/job/walk/filing', '/job/walk/strung'];

for (const [viewport, pages] of [[SIZES[0], PAGES], [SIZES[1], WIDE]]) {
  test(`the focus goes through every page and back, always seen, ${viewport.width} px`, { timeout: 60_000 }, async () => {
    example(jobs, 'parlour', 'walk');
    example(jobs, 'nut-only', 'nut');
    const p = await page(chromium, { viewport });
    for (const path of pages) {
      await p.goto(server.base + path);
      const round = async (key) => {
        const seen = [];
        for (let i = 0; i < FAR; i++) {
          await p.keyboard.press(key);
          const now = await focus(p);
          if (!now) break;
          assert.equal(now.trouble, '', `${path}: ${now.name}`);
          if (now.again) break;
          seen.push(now.name);
        }
        await p.evaluate(() => { for (const one of document.querySelectorAll('*')) delete one.seen; });
        return seen;
      };
      // One that has the focus from the beginning is not the first.
      while (await focus(p)) await p.keyboard.press('Shift+Tab');
      await p.evaluate(() => { for (const one of document.querySelectorAll('*')) delete one.seen; });
      const there = await round('Tab');
      assert.ok(there.length > 3 && there.length < FAR, `${path}: ${there.join('\n')}`);
      const again = await round('Shift+Tab');
      assert.deepEqual(again.reverse(), there, path);
    }
    assert.deepEqual(p.troubles, []);
  });
}

// A job of its own, on one of its pages.
async function open(name, there, stem = 'parlour', viewport = SIZES[0]) {
  example(jobs, stem, name);
  const p = await page(chromium, { viewport });
  await p.goto(`${server.base}/job/${name}/${there}`);
  return p;
}

test('home: a job is found and opened, and one begun', { timeout: 60_000 }, async () => {
  example(jobs, 'sound', 'found');
  example(jobs, 'parlour', 'other');
  const p = await page(chromium);
  await p.goto(server.base);
  await go(p, '#find');
  await p.keyboard.type('found');
  await p.waitForFunction(() => /^1 of/.test(document.getElementById('found').textContent));
  await go(p, 'ul.list a');
  await leave(p);
  assert.equal(new URL(p.url()).pathname, '/job/found/plan');
  await p.goto(server.base);
  await go(p, '#new-title');
  await p.keyboard.type('Begun by keys');
  await go(p, 'button', 'Begin');
  await leave(p);
  assert.ok(existsSync(join(jobs, 'begun-by-keys.toml')));
  assert.deepEqual(p.troubles, []);
});

test('plan: a change is tried and put back, a contact moved by the arrows, a way out tried', { timeout: 60_000 }, async () => {
  const p = await open('keyed-plan', 'plan?key=target.action_12.bass');
  const before = text(jobs, 'keyed-plan');
  await go(p, '.lever .field input');
  await write(p, '88 thou');
  await p.locator('.moved').first().waitFor();
  await go(p, 'button', 'Back as it was');
  await p.keyboard.press('Enter');
  await p.waitForFunction(() => !document.querySelector('.moved'));
  // Forward is the way of the picture.
  await go(p, '.cuts input');
  for (let i = 0; i < 3; i++) await p.keyboard.press('ArrowLeft');
  const cost = p.locator('.costs-of:not([hidden])');
  await cost.waitFor();
  await p.waitForFunction(() => /^forward/i.test(document.activeElement.getAttribute('aria-valuetext')));
  assert.match(await cost.textContent(), /Action at 12/);
  await shot(p, 'keyboard-plan-390');
  await p.keyboard.press('Escape');
  await p.waitForFunction(() => Number(document.activeElement.value) === 0);
  await back(p, 'ul.try a');
  await leave(p);
  await p.getByRole('heading', { name: 'Plan, on trial' }).waitFor();
  await go(p, 'a', 'Back as it was');
  await leave(p);
  await p.getByRole('heading', { name: 'Try a change' }).waitFor();
  assert.equal(text(jobs, 'keyed-plan'), before);
  assert.deepEqual(p.troubles, []);
});

test('filing: the slider by the arrows', { timeout: 60_000 }, async () => {
  const p = await open('keyed-filing', 'filing?string=3');
  await go(p, '#slide');
  for (let i = 0; i < 4; i++) await p.keyboard.press('ArrowLeft');
  await p.waitForFunction(() => /^Forward .* Contact drops/.test(document.getElementById('spoken').textContent));
  await go(p, '.setting a');
  await leave(p);
  // The crown as it stands, string by string.
  await go(p, 'button[name=each][value="filing.crown"]');
  await leave(p);
  await go(p, 'select');
  await p.keyboard.press('ArrowDown');
  await go(p, 'button.main', 'Keep');
  await leave(p);
  assert.match(text(jobs, 'keyed-filing'), /crown = \[/);
  assert.deepEqual(p.troubles, []);
});

test('strung up: every field, and kept', { timeout: 60_000 }, async () => {
  const p = await open('keyed-strung', 'strung', 'nylon-drop-in');
  const names = ['a', 'g', 'c'].flatMap((kind) => [6, 5, 4, 3, 2, 1].map((number) => `${kind}${number}`));
  const value = (name) => ({ a: '4.0', g: '0.5', c: '2' })[name[0]];
  const left = new Set(names);
  await go(p, '#strung-form input');
  for (let i = 0; i < FAR && left.size; i++) {
    const name = await p.evaluate(() => document.activeElement.name);
    if (left.delete(name)) await write(p, value(name));
    await p.keyboard.press('Tab');
    const now = await focus(p);
    assert.equal(now.trouble, '', now.name);
  }
  await p.locator('.card').first().waitFor();
  await go(p, 'button', 'Keep these readings');
  await leave(p);
  assert.match(text(jobs, 'keyed-strung'), /\[strung\][^]*\ncents_12/);
  assert.deepEqual(p.troubles, []);
});

test('work list: ticked and unticked', { timeout: 60_000 }, async () => {
  const p = await open('keyed-work', 'work');
  await go(p, '#work input');
  for (const is of [true, false]) {
    const answered = p.waitForResponse(/tick$/);
    await p.keyboard.press('Space');
    await answered;
    assert.equal(await p.evaluate(() => document.activeElement.checked), is);
    const kept = await (await fetch(p.url())).text();
    assert.equal((kept.match(/<input type="checkbox"[^>]*checked/g) || []).length, is ? 1 : 0);
  }
  assert.deepEqual(p.troubles, []);
});

test('programs: the check begun, stopped, and begun again', { timeout: 60_000 }, async () => {
  const p = await open('keyed-programs', 'programs', 'parlour');
  await go(p, '#make-programs button');
  await p.keyboard.press('Enter');
  await p.locator('#checking button').waitFor();
  await go(p, '#checking button');
  await p.keyboard.press('Enter');
  await p.getByText('Stopped: no program was made.').waitFor();
  await p.waitForFunction(() => document.activeElement && document.activeElement !== document.body, null, { timeout: 2000 });
  await back(p, '.setting a');
  await leave(p);
  await p.getByRole('heading', { name: 'Cutting the saddle' }).waitFor();
  assert.deepEqual(p.troubles, []);
});

test('remedy and sheets: what is folded is opened, a limit set, a sheet fetched', { timeout: 60_000 }, async () => {
  const p = await open('keyed-remedy', 'remedy');
  await go(p, 'summary', 'Every figure, as the command prints it');
  await p.keyboard.press('Enter');
  await go(p, 'pre');
  await back(p, '.setting a');
  await leave(p);
  await go(p, 'input[name="v.assess.least_break_angle"]');
  await p.keyboard.type('10');
  // Enter goes on to the next field.
  await p.keyboard.press('Enter');
  assert.equal((await focus(p)).trouble, '');
  await go(p, 'button.main', 'Keep');
  await leave(p);
  assert.match(text(jobs, 'keyed-remedy'), /least_break_angle = "10 deg"/);
  await go(p, '.top nav a', 'Sheets');
  await leave(p);
  await go(p, 'a[download][href*=".pdf"]');
  const [sheet] = await Promise.all([p.waitForEvent('download'), p.keyboard.press('Enter')]);
  assert.equal(readFileSync(await sheet.path()).subarray(0, 5).toString(), '%PDF-');
  assert.deepEqual(p.troubles, []);
});

test('the file and its versions: changed, looked at, brought back', { timeout: 60_000 }, async () => {
  const p = await open('keyed-text', 'text');
  const first = text(jobs, 'keyed-text');
  await go(p, 'textarea');
  await p.keyboard.press('Control+Home');
  await p.keyboard.type('# typed here\n');
  // The tab key goes on from a text as from everything.
  await go(p, 'button', 'Keep this text');
  await leave(p);
  assert.match(text(jobs, 'keyed-text'), /^# typed here/);
  await go(p, 'a', 'Old versions');
  await leave(p);
  await go(p, 'a', 'Look at it');
  await leave(p);
  await p.getByRole('heading', { name: 'As it was', exact: true }).waitFor();
  await go(p, 'button', 'Bring this back');
  await leave(p);
  assert.equal(text(jobs, 'keyed-text'), first);
  // What was done is undone at once, where the hand is.
  await p.locator('#toast', { hasText: 'Brought back' }).waitFor();
  assert.deepEqual(p.troubles, []);
});

test('about: renamed, put away and back, binned, and out of the bin', { timeout: 60_000 }, async () => {
  const p = await open('keyed-about', 'about');
  await go(p, 'input[name=title]');
  await write(p, 'Called by keys');
  await go(p, 'button', 'Rename');
  await leave(p);
  await p.locator('#toast', { hasText: 'Renamed' }).waitFor();
  const file = join(jobs, 'keyed-about.toml');
  assert.match(readFileSync(file, 'utf8'), /title = "Called by keys"/);
  for (const [press, said] of [['Put away', 'Put away'], ['Back into the list', 'Back in the list']]) {
    await p.goto(`${server.base}/job/keyed-about/about`);
    await go(p, 'button', press);
    await leave(p);
    await p.locator('#toast', { hasText: said }).waitFor();
  }
  await p.goto(`${server.base}/job/keyed-about/about`);
  await go(p, 'button', 'Bin');
  await leave(p);
  assert.ok(!existsSync(file));
  await back(p, '#toast button', 'Undo');
  await leave(p);
  assert.ok(existsSync(file));
  assert.deepEqual(p.troubles, []);
});

test('shop: one of its own begun, kept, taken away and put back', { timeout: 60_000 }, async () => {
  const p = await page(chromium);
  const own = () => readFileSync(join(jobs, '.bonewright', 'profiles.toml'), 'utf8');
  await p.goto(`${server.base}/shop`);
  await go(p, '#from-wrap');
  await p.keyboard.press('ArrowDown');
  await go(p, 'button', 'Add your own');
  await leave(p);
  await go(p, 'input[name="v.name"]');
  await write(p, 'my bronze');
  await go(p, 'button.main, button', 'Keep');
  await leave(p);
  assert.match(own(), /name = "my bronze"/);
  await go(p, 'a.act', 'Take away');
  await leave(p);
  await go(p, 'button', 'Take it away');
  await leave(p);
  assert.doesNotMatch(own(), /my bronze/);
  await back(p, '#toast button');
  await leave(p);
  assert.match(own(), /name = "my bronze"/);
  assert.deepEqual(p.troubles, []);
});
