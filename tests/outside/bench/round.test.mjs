// The whole round, by thumb and by mouse, on the narrowest screen and the widest: from nothing to the saddle, strung up, the owner's sheets, and a second
// saddle for the same instrument. Then two devices at one job.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import test from 'node:test';
import { READ, field, lines, walk, with_ } from './newcomer.mjs';
import { command, page, shot, text } from './kit.mjs';

const HANDS = {
  thumb: { viewport: { width: 320, height: 640 }, hasTouch: true, isMobile: true },
  mouse: { viewport: { width: 1920, height: 1080 } },
};

async function sheet(p, label) {
  const line = p.locator('section', { hasText: 'For the owner' }).locator('li', { hasText: label });
  const [download] = await Promise.all([p.waitForEvent('download'), line.getByRole('link', { name: 'PDF' }).click()]);
  assert.match(readFileSync(await download.path()).subarray(0, 5).toString(), /%PDF-/, label);
}

const narrow = (p) => p.evaluate(() => document.documentElement.scrollWidth <= innerWidth);

for (const [hand, options] of Object.entries(HANDS)) {
  test(`from nothing to the second saddle, by ${hand}, ${options.viewport.width} px`, { timeout: 180_000 }, () => with_(async (p, server, jobs) => {
    await walk(p, server.base, READ, { leaving: async (p) => assert.ok(await narrow(p), p.url()) });
    const name = 'flat-top-new-saddle';
    const at = (page) => `${server.base}/job/${name}/${page}`;
    await p.getByRole('heading', { name: 'To make' }).waitFor();
    await shot(p, `round-plan-${hand}`);
    // Strung up: the same verdict on each string as the command's.
    await p.goto(at('strung'));
    const readings = { 6: ['0.1', '0.021'], 5: ['0.097', '0.02'], 4: ['0.094', '0.019'], 3: ['0.09', '0.018'], 2: ['0.086', '0.016'], 1: ['0.078', '0.015'] };
    for (const [string, [action, gap]] of Object.entries(readings)) {
      await p.locator(`#strung-form input[name=a${string}]`).fill(`${action} in`);
      await p.locator(`#strung-form input[name=g${string}]`).fill(`${gap} in`);
    }
    await p.locator('#left li.card').nth(5).waitFor();
    await p.getByRole('button', { name: 'Keep these readings' }).click();
    await p.waitForFunction(() => document.querySelector('#strung-form input[name=a1]').defaultValue === '0.078 in');
    await shot(p, `round-strung-${hand}`);
    assert.ok(await narrow(p));
    const said = command('fit', join(jobs, `${name}.toml`)).replace(/\s+/g, ' ');
    const cards = await p.locator('#left li.card').all();
    assert.equal(cards.length, 6);
    for (const card of cards) {
      const words = (await card.locator('.verdict-word').textContent()).replace(/^[!✓✕?] /, '').trim();
      const string = (await card.locator('h3').textContent()).match(/^(\d+ \S+?)[!✓✕?]/)[1].trim();
      assert.ok(said.includes(`${string} `) && said.includes(words), `${string}: ${words}`);
    }
    // The owner's sheets.
    await p.goto(at('remedy'));
    assert.ok(await narrow(p));
    await shot(p, `round-remedy-${hand}`);
    await sheet(p, 'before the work');
    await sheet(p, 'after the work');
    // A second saddle for the same instrument: what is of the instrument need not be read again.
    await p.goto(server.base);
    await p.getByLabel('What is it?').fill('Flat-top, second saddle');
    await p.getByText('Begin from another job, or name its file').click();
    await p.getByLabel('Start from').selectOption(`again:${name}`);
    await p.getByRole('button', { name: 'Begin', exact: true }).click();
    await p.waitForURL(/flat-top-second-saddle/);
    assert.match(text(jobs, 'flat-top-second-saddle'), /nut_to_12\s*= "12\.7 in"/);
    await p.goto(`${server.base}/job/flat-top-second-saddle/plan`);
    await p.getByRole('heading', { name: 'To make' }).or(p.getByRole('heading', { name: 'No plan yet' })).waitFor();
    await p.goto(server.base);
    assert.ok(await narrow(p));
    assert.ok(await p.locator('#jobs').locator('..').locator('li').count() >= 2);
  }, options));
}

test('two devices at one job: each sees what the other kept, and overwrites nothing', { timeout: 60_000 }, () => with_(async (p, server, jobs) => {
  await walk(p, server.base, READ);
  const name = 'flat-top-new-saddle';
  const other = await page(p.context().browser(), HANDS.mouse);
  await p.goto(`${server.base}/job/${name}/ask?at=slot`);
  await other.goto(`${server.base}/job/${name}/ask?at=slot`);
  await lines(p, 'slot.width').first().fill('0.127');
  await lines(p, 'slot.width').first().blur();
  await p.waitForFunction(() => document.querySelector('.field[data-key="slot.width"]').dataset.state === 'kept');
  await lines(other, 'slot.length').first().fill('2.99');
  await lines(other, 'slot.length').first().blur();
  await other.locator('#toast', { hasText: 'changed elsewhere' }).waitFor();
  await other.getByRole('link', { name: 'Load the page again' }).click();
  // Nobody else changed that field: it goes on from there.
  await other.waitForFunction(() => document.querySelector('.field[data-key="slot.length"]')?.dataset.state === 'kept');
  assert.ok((await lines(other, 'slot.width').first().inputValue()).startsWith('0.127'));
  const job = text(jobs, name);
  assert.match(job, /width\s*= "0\.127 in"/);
  assert.match(job, /length\s*= "2\.99 in"/);
  assert.ok(await field(other, 'slot.width').count());
  assert.deepEqual(other.troubles, []);
}, HANDS.thumb));
