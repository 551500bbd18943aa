// Every page, light and dark, narrow and wide: an accessibility audit, no sideways scrolling, nothing refused by the policy.
import assert from 'node:assert/strict';
import { appendFileSync } from 'node:fs';
import { join } from 'node:path';
import test from 'node:test';
import { SIZES, Server, axe, browser, clear, example, folder, page, shot } from './kit.mjs';

const PAGES = ['/', '/job/a/survey', '/job/a/ask?key=slot.lean', '/job/a/ask?at=frets', '/job/a/ask?at=wanted&each=target.action_12', '/job/c/ask?at=along', '/job/empty/ask?at=bridge', '/job/empty/ask?at=blank', '/job/a/plan', '/job/a/sheets', '/job/a/programs?make=yes', '/job/a/work',
  '/job/a/filing?string=2', '/job/a/strung', '/job/b/strung', '/job/c/plan', '/job/c/survey', '/job/a/hear', '/job/empty/hear', '/job/a/text', '/job/d/plan', '/job/d/survey', '/job/d/sheets', '/job/d/work', '/job/d/filing', '/job/e/plan', '/job/e/survey', '/job/e/ask?key=nut_blank.seat',
  '/job/d/programs?make=yes', '/job/e/sheets', '/job/e/programs', '/job/e/programs?make=yes', '/job/f/programs?make=yes', '/job/e/work', '/job/e/filing', '/job/e/strung', '/job/empty/survey', '/job/empty/plan', '/nowhere',
  '/job/a/remedy', '/job/e/remedy', '/job/a/sureness', '/job/a/plan?way=thicker', '/job/a/versions', '/job/a/about', '/job/d/ask?at=cutting', '/job/d/ask?at=cutting-nut', '/job/a/ask?at=limits', '/job/a/ask?at=crown', '/job/a/ask?at=good', '/job/a/ask?at=sure',
  '/job/a/more', '/job/a/entry?of=readings', '/job/a/entry?of=readings&read=action_12&with=feelers', '/job/a/entry?of=doubt', '/job/a/entry?of=also', '/job/a/entry?of=string&at=6', '/job/a/entry?of=saddle'];

// One of each kind, for the sizes between.
const KINDS = ['/', '/job/a/survey', '/job/a/ask?at=frets', '/job/c/plan', '/job/a/plan?way=thicker', '/job/a/sheets', '/job/d/programs?make=yes', '/job/a/work', '/job/a/filing?string=2', '/job/b/strung', '/job/a/remedy', '/job/a/sureness', '/job/a/versions', '/job/a/about', '/job/a/hear', '/job/a/ask?at=limits', '/job/empty/plan', '/shop', '/shop/entry?kind=tool&from=caliper', '/job/a/more', '/job/a/entry?of=readings&read=bridge_top', '/job/a/entry?of=saddle'];
// A screen of 1280 px at 200 % zoom has 640 px, each of two.
const ZOOMED = { width: 640, height: 400 };
for (const [colorScheme, forcedColors] of [['light', 'none'], ['dark', 'none'], ['dark', 'active']]) {
  const look = forcedColors === 'active' ? 'forced' : colorScheme;
  for (const viewport of look === 'light' ? [...SIZES, { width: 320, height: 640 }, ZOOMED] : look === 'dark' ? SIZES : SIZES.slice(0, 1)) {
    test(`audit, ${look}, ${viewport.width} px`, { timeout: 300_000 }, async () => {
      const jobs = folder();
      example(jobs, 'parlour', 'a');
      example(jobs, 'nylon-drop-in', 'b');
      example(jobs, 'twelve-string', 'c');
      example(jobs, 'parlour-both', 'd');
      example(jobs, 'nut-only', 'e');
      example(jobs, 'nut-only', 'f');
      example(jobs, 'nut-only', 'A name that is not shown');
      // Jaws as high as the nut: its grooves are refused.
      appendFileSync(join(jobs, 'f.toml'), '\n[nut_cut]\nvise = { jaw_height = "9 mm" }\n');
      const server = await Server.start(jobs);
      const chromium = await browser();
      try {
        const p = await page(chromium, { viewport, colorScheme, forcedColors, deviceScaleFactor: viewport === ZOOMED ? 2 : 1 });
        await p.goto(server.base);
        await p.getByLabel('What is it?').fill('Empty');
        await p.getByRole('button', { name: 'Begin' }).click();
        await p.waitForLoadState('load');
        await p.goto(`${server.base}/job/b/strung`);
        for (const [name, value] of [['a6', '4.4'], ['a1', '3.1'], ['c6', '3']]) await p.locator(`[name=${name}]`).fill(value);
        await p.getByRole('button', { name: 'Keep these readings' }).click();
        await p.waitForLoadState('load');
        await p.goto(`${server.base}/job/e/strung`);
        for (const [name, value] of [['a6', '0.091'], ['a1', '0.066'], ['g6', '0.026'], ['g5', '0.0205'], ['g1', '0.009']]) await p.locator(`[name=${name}]`).fill(value);
        await p.getByRole('button', { name: 'Keep these readings' }).click();
        await p.waitForLoadState('load');
        const whole = viewport.width === 390 && look !== 'forced';
        for (const path of whole ? PAGES : KINDS) {
          await p.goto(server.base + path);
          const sideways = await p.evaluate(() => document.documentElement.scrollWidth - innerWidth);
          assert.ok(sideways <= 0, `${path} is ${sideways} px too wide`);
          await p.evaluate(axe);
          const found = await p.evaluate(() => globalThis.axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }));
          const bad = found.violations.map((v) => `${v.impact} ${v.id}: ${v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160)).join(' | ')}`);
          assert.deepEqual(bad, [], path);
          assert.ok(found.passes.length > 10, 'the audit ran');
          await shot(p, `${path.replaceAll(/[^a-z]+/g, '-')}-${viewport.width}-${look}`);
        }
        assert.deepEqual(p.troubles, []);
      } finally {
        await chromium.close();
        await server.stop();
        clear(jobs);
      }
    });
  }
}

test('a plan prints: no controls on the paper, and the figures are there', { timeout: 60_000 }, async () => {
  const jobs = folder();
  example(jobs, 'parlour', 'a');
  const server = await Server.start(jobs);
  const chromium = await browser();
  try {
    const p = await page(chromium);
    await p.goto(`${server.base}/job/a/plan`);
    await p.emulateMedia({ media: 'print' });
    assert.equal(await p.locator('.lever').isVisible(), false);
    assert.equal(await p.locator('#make').isVisible(), true);
    assert.ok((await p.pdf({ format: 'A4' })).length > 10_000);
  } finally {
    await chromium.close();
    await server.stop();
    clear(jobs);
  }
});
