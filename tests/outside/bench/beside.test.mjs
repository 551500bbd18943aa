// What a job has beside its survey: a reading that is asked for next is typed in where it is said, and nothing typed is lost on the way.
import assert from 'node:assert/strict';
import test from 'node:test';
import { Server, browser, clear, example, folder, page, text } from './kit.mjs';

test('what to read next is typed in, left, found again, kept, taken away and brought back', { timeout: 90_000 }, async () => {
  const jobs = folder();
  example(jobs, 'parlour', 'a');
  const server = await Server.start(jobs);
  const chromium = await browser();
  try {
    const p = await page(chromium, { viewport: { width: 390, height: 844 }, hasTouch: true });
    const press = async (name) => { await p.getByRole('button', { name, exact: true }).click(); await p.waitForLoadState('load'); };
    const before = text(jobs, 'a');
    await p.goto(`${server.base}/job/a/sureness`);
    const chance = async () => Number(/chance is (\d+) %/.exec(await p.locator('main').innerText())[1]);
    const was = await chance();
    await p.getByRole('link', { name: /^Type it in: Height of the present saddle/ }).first().click();
    await p.waitForLoadState('load');
    assert.equal(await p.getByLabel('Read with').inputValue(), 'micrometer');
    // Left half-way, and come back to.
    await p.getByLabel('6 E2').first().fill('0.437');
    await p.getByLabel('Sure to').fill('0.5 thou');
    const form = p.url();
    await p.goto(`${server.base}/job/a/plan`);
    await p.goto(form);
    assert.equal(await p.getByLabel('6 E2').first().inputValue(), '0.437');
    assert.match(await p.locator('#toast').innerText(), /here again/);
    assert.equal(text(jobs, 'a'), before);
    // A slip is told at its field, and the rest stays.
    await p.getByLabel('1 E4').first().fill('4.4 in');
    await press('Keep');
    assert.match(await p.locator('#f-saddle_height-6--say').innerText(), /outside what is allowed/);
    assert.equal(await p.getByLabel('6 E2').first().inputValue(), '0.437');
    await p.getByLabel('1 E4').first().fill('0.417');
    await press('Keep');
    assert.match(await p.locator('main').innerText(), /Height of the old saddle: 6 E2 0\.437, 1 E4 0\.417/);
    assert.match(text(jobs, 'a'), /saddle_height = \[0\.437, "-", "-", "-", "-", 0\.417\]/);
    // The next round begins empty.
    await p.getByRole('link', { name: 'Add a round' }).click();
    await p.waitForLoadState('load');
    assert.equal(await p.locator('#toast').innerText(), '');
    await p.goto(`${server.base}/job/a/sureness`);
    assert.notEqual(await chance(), was);
    await p.goto(`${server.base}/job/a/more`);
    await p.getByRole('link', { name: /^Change a round of readings/ }).click();
    await p.waitForLoadState('load');
    await press('Take it away');
    assert.equal(text(jobs, 'a').trim(), before.trim());
    await p.getByRole('button', { name: /^Undo/ }).click();
    await p.waitForLoadState('load');
    assert.match(text(jobs, 'a'), /saddle_height/);
    assert.match(await p.locator('main').innerText(), /0\.437/);
    assert.deepEqual(p.troubles, []);
  } finally {
    await chromium.close();
    await server.stop();
    clear(jobs);
  }
});
