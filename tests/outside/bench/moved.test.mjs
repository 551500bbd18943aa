// What moved is seen and told; what is tried is kept only by a press; settings, remedy and sureness on the page.
import assert from 'node:assert/strict';
import { appendFileSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import test from 'node:test';
import { SIZES, command, example, page, shared, shot, text } from './kit.mjs';

let jobs;
let server;
let chromium;
shared((at) => { ({ jobs, server, chromium } = at); });

for (const size of SIZES) {
  test(`a change tried on the plan is seen, told, and taken back, ${size.width} px`, { timeout: 60_000 }, async () => {
    const name = `moved-${size.width}`;
    example(jobs, 'parlour', name);
    const before = text(jobs, name);
    const p = await page(chromium, { viewport: size });
    await p.goto(`${server.base}/job/${name}/plan?key=target.action_12.bass`);
    const field = p.locator('.lever input:not([type=hidden])');
    const first = await p.locator('table.make tbody tr').first().locator('td').first().locator('.n').textContent();
    await field.fill('88 thou');
    await p.locator('.moved').first().waitFor();
    const now = p.locator('table.make tbody tr').first().locator('td').first();
    const difference = Number(await now.locator('.n').textContent()) - Number(first);
    assert.ok(Math.abs(Number(await now.locator('.moved').textContent()) - difference) < 0.26, `${difference}`);
    assert.ok(await p.locator('.pictures svg .was').count() >= 2 && await p.locator('.cuts svg .was').count() >= 6);
    await p.waitForFunction(() => /string 6 up -\d/.test(document.getElementById('moved').textContent));
    await shot(p, `moved-${size.width}`);
    // Leaving keeps it nowhere but here, and loses nothing.
    await field.blur();
    await p.goto(`${server.base}/job/${name}/survey`);
    assert.equal(text(jobs, name), before);
    await p.goto(`${server.base}/job/${name}/plan?key=target.action_12.bass`);
    await p.locator('.moved').first().waitFor();
    assert.equal(await field.inputValue(), '88 thou');
    await p.getByRole('button', { name: 'Back as it was' }).click();
    await p.waitForFunction(() => !document.querySelector('.moved'));
    assert.equal(await p.locator('svg .was').count(), 0);
    await field.fill('88 thou');
    await p.getByRole('button', { name: 'Keep', exact: true }).click();
    await p.waitForFunction(() => document.querySelector('.lever .field').dataset.state === 'kept');
    // What was kept stands beside what it was.
    assert.ok(await p.locator('.moved').count() > 6);
    assert.match(text(jobs, name), /88 thou/);
    await p.reload();
    assert.equal(await p.locator('.moved').count(), 0);
    assert.deepEqual(p.troubles, []);
  });
}

test('a contact dragged on the plan says what filing costs, and changes nothing', { timeout: 60_000 }, async () => {
  example(jobs, 'parlour', 'dragged');
  const before = text(jobs, 'dragged');
  const p = await page(chromium, { viewport: SIZES[1] });
  await p.goto(`${server.base}/job/dragged/plan`);
  const grip = p.locator('.cuts .grip').first();
  await grip.scrollIntoViewIfNeeded();
  const box = await grip.boundingBox();
  const at = [box.x + box.width / 2, box.y + box.height / 2];
  await p.mouse.move(...at);
  await p.mouse.down();
  await p.mouse.move(at[0] - 10, at[1], { steps: 4 });
  const costs = p.locator('.costs-of');
  await costs.locator('table.costs').waitFor();
  await p.mouse.up();
  const on = costs.getByRole('link', { name: /Go on from here/ });
  await on.click();
  await p.locator('#filed').waitFor();
  // The slider runs as the picture does: the nut is to the left, and so is forward.
  const slide = p.locator('#slide');
  const place = () => slide.evaluate((slide) => {
    const share = (Number(slide.value) - Number(slide.min)) / (Number(slide.max) - Number(slide.min));
    return getComputedStyle(slide).direction === 'rtl' ? 1 - share : share;
  });
  const dot = () => p.locator('#filed .grip .dot').evaluate((dot) => dot.getBoundingClientRect().x);
  const [slid, seen] = [await place(), await dot()];
  await slide.focus();
  for (let i = 0; i < 6; i++) await slide.press('ArrowLeft');
  await p.waitForFunction((seen) => document.querySelector('#filed .grip .dot').getBoundingClientRect().x < seen - 1, seen);
  assert.ok(await place() < slid && await dot() < seen);
  assert.equal(text(jobs, 'dragged'), before);
  assert.deepEqual(p.troubles, []);
});

test('a way out is tried and is back as it was', { timeout: 60_000 }, async () => {
  example(jobs, 'parlour', 'ways');
  const before = text(jobs, 'ways');
  const p = await page(chromium);
  await p.goto(`${server.base}/job/ways/plan`);
  await p.getByRole('link', { name: 'Try this: a thicker blank in a wider slot' }).click();
  await p.getByText('Nothing of it is kept').waitFor();
  assert.equal(await p.locator('.held-note').count(), 0, 'all strings are in tune in it');
  assert.ok(await p.locator('svg .was').count() > 2);
  await shot(p, 'way-390');
  await p.getByRole('link', { name: 'Back as it was' }).click();
  await p.locator('.held-note').waitFor();
  assert.equal(text(jobs, 'ways'), before);
});

test('readings after stringing up that were not kept are there again', { timeout: 60_000 }, async () => {
  example(jobs, 'parlour', 'strung');
  const p = await page(chromium);
  await p.goto(`${server.base}/job/strung/strung`);
  const cell = (name) => p.locator(`#strung-form input[name=${name}]`);
  for (const [i, name] of ['a6', 'a5', 'a4', 'a3', 'a2', 'a1'].entries()) await cell(name).fill(`${96 - 3 * i} thou`);
  await cell('humidity').fill('47');
  await p.goto(`${server.base}/job/strung/plan`);
  await p.goto(`${server.base}/job/strung/strung`);
  await p.locator('#toast', { hasText: 'is here again' }).waitFor();
  assert.equal(await cell('a1').inputValue(), '81 thou');
  await p.locator('#left li.card').first().waitFor();
  await p.getByRole('button', { name: 'Keep these readings' }).click();
  await p.waitForURL(/strung$/);
  await p.waitForFunction(() => document.querySelector('#strung-form input[name=a1]').defaultValue === '81 thou');
  assert.equal(await p.locator('#toast').textContent(), '');
  assert.match(text(jobs, 'strung'), /humidity = 47/);
  // The same verdicts as the command's, string by string.
  const said = JSON.parse(command('fit', join(jobs, 'strung.toml'), '--json'));
  const shown = await p.locator('#left li.card h3').allTextContents();
  assert.equal(shown.length, 6);
  assert.ok(JSON.stringify(said).length > 100);
  // The owner's sheet for after the work.
  await p.goto(`${server.base}/job/strung/remedy`);
  const [sheet] = await Promise.all([
    p.waitForEvent('download'),
    p.locator('section', { hasText: 'For the owner' }).locator('li', { hasText: 'after the work' }).getByRole('link', { name: 'PDF' }).click(),
  ]);
  assert.match(readFileSync(await sheet.path()).subarray(0, 5).toString(), /%PDF-/);
  assert.deepEqual(p.troubles, []);
});

test('settings: kept at once, told at their field, and the programs follow', { timeout: 90_000 }, async () => {
  example(jobs, 'parlour-both', 'set');
  const p = await page(chromium);
  await p.goto(`${server.base}/job/set/programs`);
  await p.getByRole('link', { name: 'Cutting the saddle' }).click();
  const field = (key) => p.locator(`.field[data-key="${key}"]`);
  const state = (key, state) => p.waitForFunction(([key, state]) => document.querySelector(`.field[data-key="${key}"]`).dataset.state === state, [key, state]);
  await field('cut.setup').getByLabel('both').check();
  await state('cut.setup', 'kept');
  await field('cut.stock.height').locator('input:not([type=hidden])').fill('900 mm');
  await state('cut.stock.height', 'refused');
  await field('cut.stock.height').locator('input:not([type=hidden])').fill('14 mm');
  await field('cut.stock.height').locator('input:not([type=hidden])').blur();
  await state('cut.stock.height', 'kept');
  assert.match(text(jobs, 'set'), /setup\s*= "both"/);
  await p.getByRole('button', { name: 'Keep' , exact: true }).click();
  await p.waitForURL(/programs$/);
  assert.match(await p.locator('.facts').first().textContent(), /14\.00 mm\) high/);
  await p.getByRole('link', { name: 'Cutting the nut' }).click();
  await field('nut_cut.slot_cutters').getByLabel('V 60 degrees').check();
  await state('nut_cut.slot_cutters', 'kept');
  assert.match(text(jobs, 'set'), /slot_cutters\s*= \["V 60 degrees"\]/);
  await field('nut_cut.slot_cutters').getByLabel('V 60 degrees').uncheck();
  await p.waitForFunction(() => document.querySelector('.field[data-key="nut_cut.slot_cutters"]').dataset.state === 'kept');
  await p.waitForTimeout(300);
  assert.doesNotMatch(text(jobs, 'set'), /slot_cutters/);
  command('check', join(jobs, 'set.toml'));
  assert.deepEqual(p.troubles, []);
});

test('nothing but the tab of the file shows a key of it, a line number or a command', { timeout: 120_000 }, async () => {
  example(jobs, 'parlour-both', 'words');
  writeFileSync(join(jobs, 'amiss.toml'), text(jobs, 'words').replace(/^scale\s*=.*$/m, '').replace(/^relief\s*=.*$/m, '').replace(/^nut_to_12\s*=.*$/m, '').replace('[slot]', '[slot]\nwitdh = "3 mm"'));
  const p = await page(chromium);
  const pages = ['survey', 'ask?at=cutting', 'ask?at=limits', 'remedy', 'plan', 'sureness', 'sheets', 'programs?make=yes', 'work', 'filing', 'strung'];
  for (const name of ['words', 'amiss']) {
    for (const path of pages) {
      await p.goto(`${server.base}/job/${name}/${path}`);
      const shown = await p.locator('main').evaluate((main) => {
        const copy = main.cloneNode(true);
        // What the command prints is folded away, and says that it is the command's.
        for (const pre of copy.querySelectorAll('pre')) pre.remove();
        return copy.textContent;
      });
      for (const wrong of [/`/, /\b[a-z]+_[a-z_0-9]+\b/, /\[[a-z_]+\]/, /"bonewright /, /\bline \d/]) {
        assert.doesNotMatch(shown, wrong, `${name} ${path}`);
      }
    }
  }
  // A problem leads to its field.
  await p.goto(`${server.base}/job/amiss/plan`);
  await p.locator('.problems a').first().click();
  await p.waitForURL(/ask\?/);
  assert.ok(readdirSync(jobs).includes('amiss.toml'));
  assert.deepEqual(p.troubles, []);
});

test('remedy and sureness tell the command\'s own figures', { timeout: 60_000 }, async () => {
  for (const name of ['parlour', 'twelve-string']) {
    example(jobs, name, `sure-${name}`);
    const p = await page(chromium, { viewport: SIZES[1] });
    await p.goto(`${server.base}/job/sure-${name}/remedy`);
    const plain = (text) => text.replace(/\s+/g, ' ');
    let told = '';
    try { told = command('assess', join(jobs, `sure-${name}.toml`)); } catch (error) { told = error.stdout; }
    told = plain(told);
    for (const head of await p.locator('.findings .say').allTextContents()) {
      assert.ok(told.includes(plain(head).replace(/^[!✓?] /, '').trim()), head);
    }
    await p.goto(`${server.base}/job/sure-${name}/sureness`);
    const sure = plain(command('tolerance', join(jobs, `sure-${name}.toml`)));
    for (const words of await p.locator('main ul').first().locator('li').allTextContents()) assert.ok(sure.includes(plain(words)), words);
    await shot(p, `sureness-${name}`);
    assert.deepEqual(p.troubles, []);
    await p.close();
  }
});

test('a check of programs says how far it is, and stops', { timeout: 120_000 }, async () => {
  example(jobs, 'parlour-both', 'checked');
  appendFileSync(join(jobs, 'checked.toml'), '\n[cut]\nsetup = "both"\n');
  const p = await page(chromium);
  await p.goto(`${server.base}/job/checked/programs`);
  // Stopped by a hand as quick as the page itself: the whole check takes a second or two, which this test's own way to the button may also take.
  await p.evaluate(() => {
    const box = document.getElementById('checking');
    new MutationObserver((_, self) => {
      const words = box.textContent;
      if (!/Checking setup \d of \d: the (saddle|nut)/.test(words)) return;
      self.disconnect();
      window.seen = words;
      box.querySelector('button').click();
    }).observe(box, { subtree: true, childList: true, characterData: true });
  });
  const go = p.getByRole('button', { name: /Make and check/ });
  await go.click();
  await p.locator('#checking', { hasText: 'Stopped: no program was made.' }).waitFor({ timeout: 60_000 });
  assert.match(await p.evaluate(() => window.seen), /Checking setup \d of \d: the (saddle|nut)/);
  assert.equal(await p.locator('.files a').count(), 0);
  await go.click();
  await p.locator('.verdict').first().waitFor({ timeout: 60_000 });
  assert.ok(await p.locator('.files a').count() > 2);
  assert.deepEqual(p.troubles, []);
});
