// The survey station by station, on a phone: how many screens and values it takes, that nothing typed is lost, that keys and thumbs do the same.
import assert from 'node:assert/strict';
import test from 'node:test';
import { join } from 'node:path';
import { MORE, PHONE, READ, begin, field, goOn, lines, settled, type, walk, with_ } from './newcomer.mjs';
import { SIZES, Server, browser, clear, command, folder, page, shot, text } from './kit.mjs';

// The most that the barest saddle and a complete one may take.
const BAREST = { screens: 8, values: 18 };
const COMPLETE = { screens: 14 };

test('the barest saddle by straightedge, 390 x 844', { timeout: 120_000 }, () => with_(async (p, server, jobs) => {
  const took = await walk(p, server.base, READ, { leaving: async (p) => shot(p, `stations-${new URL(p.url()).searchParams.get('at')}`) });
  console.log(`# the barest saddle: ${took.screens} screens (at most ${BAREST.screens}), ${took.typed} values typed (at most ${BAREST.values})`);
  assert.ok(took.screens <= BAREST.screens && took.typed <= BAREST.values, JSON.stringify(took));
  await p.getByRole('heading', { name: 'To make' }).waitFor();
  assert.match(command('plan', join(jobs, 'flat-top-new-saddle.toml')), /TO MAKE/);
  // What nobody read is told as assumed, in the file and where it stands.
  assert.match(text(jobs, 'flat-top-new-saddle'), /\[assumed\][^[]*board_radius = true/);
  await p.goto(`${server.base}/job/flat-top-new-saddle/ask?at=frets`);
  await p.locator('details.usual > summary').click();
  assert.match(await field(p, 'instrument.board_radius').textContent(), /assumed/);
  await field(p, 'instrument.board_radius').getByRole('button', { name: 'I have read it' }).click();
  await p.waitForFunction(() => !document.querySelector('.field[data-key="instrument.board_radius"] .tag'));
  assert.doesNotMatch(text(jobs, 'flat-top-new-saddle'), /\[assumed\]/);
}));

test('a complete survey, 390 x 844', { timeout: 120_000 }, () => with_(async (p, server, jobs) => {
  const more = async (p) => {
    if (!p.url().includes('at=wanted')) return;
    await p.locator('details.usual > summary').click();
    for (const key of ['ask.more', 'ask.assess']) {
      await field(p, key).locator('input[value=yes]').check();
      await p.waitForFunction((key) => document.querySelector(`.field[data-key="${key}"]`).dataset.state === 'kept', key);
    }
  };
  const took = await walk(p, server.base, { ...READ, ...MORE }, { station: more });
  console.log(`# a complete survey: ${took.screens} screens (at most ${COMPLETE.screens}), ${took.typed} values typed`);
  assert.ok(took.screens <= COMPLETE.screens, JSON.stringify(took));
  const job = text(jobs, 'flat-top-new-saddle');
  assert.match(job, /saddle_height += \["0\.34 in", "0\.35 in", "-", "0\.35 in", "0\.35 in", "0\.33 in"\]/);
  assert.match(job, /cents_12 += \[3, 2, "-", 1, 4, 1\]/);
}));

test('nothing typed is lost: left, reloaded, gone back from, at every value', { timeout: 240_000 }, () => with_(async (p, server, jobs) => {
  let at = 0;
  const leave = [
    (p) => p.reload(),
    async (p, here) => { await p.goto(server.base); await p.goto(here); },
    async (p) => { await p.getByRole('link', { name: 'Plan', exact: true }).click(); await p.waitForURL('**/plan*'); await p.goBack(); },
  ];
  await walk(p, server.base, READ, {
    typed: async (key, _, value) => {
      // The field still has the hand: nothing was sent to be kept.
      await leave[at++ % leave.length](p, p.url());
      await p.waitForLoadState('load');
      assert.equal(await lines(p, key).first().inputValue().then((text) => text.startsWith(value)), true, key);
      await settled(p, key);
    },
  });
  assert.ok(at >= Object.keys(READ).length);
  assert.match(text(jobs, 'flat-top-new-saddle'), /height += "0\.5 in"/);
}));

test('nothing typed is lost where the server is killed at every value', { timeout: 300_000 }, async () => {
  const jobs = folder();
  let server = await Server.start(jobs);
  const port = new URL(server.base).port;
  const chromium = await browser();
  try {
    const p = await page(chromium, PHONE);
    const kill = async (key, line, value) => {
      await server.kill();
      await line.blur();
      await p.locator('#toast').filter({ hasText: 'kept in this browser' }).waitFor();
      server = await Server.start(jobs, '--port', port);
      await p.reload();
      await settled(p, key);
      assert.ok((await lines(p, key).first().inputValue()).startsWith(value), key);
    };
    await walk(p, server.base, READ, { typed: kill });
    const killed = text(jobs, 'flat-top-new-saddle');
    // The same job as of one that went without a kill.
    await with_(async (p, calm, other) => {
      await walk(p, calm.base, READ);
      // Which of two was kept first says where each stands, and no more.
      const sorted = (job) => job.split('\n').map((line) => line.replaceAll(/\s+/g, ' ')).sort();
      assert.deepEqual(sorted(killed), sorted(text(other, 'flat-top-new-saddle')));
    });
    const unlike = p.troubles.filter((line) => !/ERR_CONNECTION|Failed to load/.test(line));
    assert.deepEqual(unlike, []);
  } finally {
    await chromium.close();
    await server.kill();
    clear(jobs);
  }
});

test('the keyboard alone goes through the survey', { timeout: 120_000 }, () => with_(async (p, server, jobs) => {
  await begin(p, server.base);
  for (let i = 0; i < 400 && p.url().includes('/ask'); i++) {
    const now = await p.evaluate(() => {
      const one = document.activeElement;
      const field = one.closest('.field[data-key]');
      const kind = one.tagName === 'SELECT' ? 'select' : one.matches('button.main') ? 'on' : field && one.tagName === 'INPUT' ? one.type : 'other';
      return { key: field?.dataset.key, value: one.value, kind };
    }).catch(() => null);
    if (!now) { await p.waitForLoadState('load'); continue; } // it is on its way to the next
    const here = p.url();
    if (now.kind === 'select' && now.key === 'blank.material') await p.keyboard.type('bone');
    if (now.kind === 'text' && READ[now.key] && !now.value) await p.keyboard.type(READ[now.key]);
    await p.keyboard.press(['text', 'on'].includes(now.kind) ? 'Enter' : 'Tab');
    if (now.kind !== 'other') await p.waitForTimeout(100);
    if (now.kind === 'on') await p.waitForURL((url) => String(url) !== here);
    if (p.url() !== here) await p.waitForLoadState('load');
  }
  assert.match(p.url(), /\/plan$/);
  assert.match(text(jobs, 'flat-top-new-saddle'), /depth += \{ bass = "0\.22 in", treble = "0\.21 in" \}/);
}, { viewport: SIZES[1] }));

test('the keys of the page write lengths', { timeout: 60_000 }, () => with_(async (p, server, jobs) => {
  await begin(p, server.base);
  await goOn(p); // what is wanted is as usual
  const press = async (...signs) => { for (const sign of signs) await p.locator('.pad').getByRole('button', { name: sign, exact: true }).tap(); };
  const pad = p.locator('.pad');
  await pad.waitFor();
  await shot(p, 'stations-keys');
  const first = lines(p, 'instrument.nut_to_12');
  assert.equal(await first.evaluate((line) => line === document.activeElement && line.inputMode), 'none', 'the first field has the hand, and no second keyboard');
  await press('1', '2', 'Space', '4', '5', 'Fraction', '6', '4', 'in');
  assert.equal(await first.inputValue(), '12 45/64 in');
  await press('Next');
  await p.waitForFunction(() => document.querySelector('.field[data-key="instrument.nut_to_12"]').dataset.state === 'kept');
  const spread = lines(p, 'strings.nut_spread');
  await spread.tap();
  await press('3', '6', '.', '5', 'mm', 'thou', 'mm');
  assert.equal(await spread.inputValue(), '36.5 mm', 'a unit takes the place of the one before');
  const edge = lines(p, 'slot.edge_from_fret_12.bass');
  await edge.tap();
  await press('1', '2', 'Space', '4', '9', 'And a half', '64ths of an inch', 'Minus', 'Take the last sign away');
  assert.equal(await edge.inputValue(), '12 49.5/64 in');
  await press('Next');
  await p.waitForFunction(() => document.querySelector('.field[data-key="slot.edge_from_fret_12.bass"]').dataset.state === 'kept');
  // A keyboard works alike, and what is in the field is where it was.
  await lines(p, 'slot.edge_from_fret_12.treble').focus();
  await p.keyboard.type('12 44/64 in');
  await p.keyboard.press('Tab');
  await p.waitForFunction(() => document.querySelector('.field[data-key="slot.edge_from_fret_12.treble"]').dataset.state === 'kept');
  // The device's own keyboard, for whom wants it.
  await spread.tap();
  await press('The keyboard of the device');
  assert.equal(await pad.isVisible(), false);
  assert.equal(await spread.evaluate((line) => line.inputMode), '');
  assert.match(text(jobs, 'flat-top-new-saddle'), /nut_to_12 += "12 45\/64 in"/);
}));

test('two ends: the treble string first, and "same" with the bass end', { timeout: 60_000 }, () => with_(async (p, server, jobs) => {
  await begin(p, server.base);
  const ask = (at) => p.goto(`${server.base}/job/flat-top-new-saddle/ask?at=${at}`);
  const kept = (key) => p.waitForFunction((key) => document.querySelector(`.field[data-key="${key}"]`).dataset.state === 'kept', key);
  const write = async (key, text) => { await lines(p, key).fill(text); await lines(p, key).press('Tab'); };
  await ask('frets');
  await write('present.action_12.bass', '3/q');
  await write('present.action_12.treble', '1.5 mm');
  await kept('present.action_12.treble');
  assert.equal(await lines(p, 'present.action_12.treble').inputValue(), '1.5 mm');
  assert.equal(await lines(p, 'present.action_12.bass').inputValue(), '3/q');
  assert.match(text(jobs, 'flat-top-new-saddle'), /\n *action_12 += \{ treble = "1\.5 mm" \}/);
  await write('present.action_12.bass', '2 mm');
  await kept('present.action_12.bass');
  assert.match(text(jobs, 'flat-top-new-saddle'), /action_12 += \{ bass = "2 mm", treble = "1\.5 mm" \}/);
  // The bass end is emptied: the treble end stays, and the bass end is told.
  await write('present.action_12.bass', '');
  await field(p, 'present.action_12.bass').getByText('Still missing').waitFor();
  assert.equal(await lines(p, 'present.action_12.treble').inputValue(), '1.5 mm');
  await p.reload();
  await field(p, 'present.action_12.bass').getByText('Still missing').waitFor();
  assert.equal(await lines(p, 'present.action_12.treble').inputValue(), '1.5 mm');
  await write('present.action_12.treble', '');
  await field(p, 'present.action_12.bass').getByText('Still missing').waitFor({ state: 'detached' });
  assert.doesNotMatch(text(jobs, 'flat-top-new-saddle'), /1\.5 mm/);
  // What stands in the treble end's field as taken goes with the bass end.
  await ask('bridge');
  await p.locator('details.usual > summary').click();
  await field(p, 'bridge.string_exit').getByText('tie block').click();
  const hole = 'bridge.behind_slot';
  await lines(p, `${hole}.bass`).waitFor();
  assert.equal(await lines(p, `${hole}.treble`).inputValue(), 'same');
  await write(`${hole}.bass`, '7/16 in');
  await kept(`${hole}.bass`);
  await kept(`${hole}.treble`);
  assert.match(text(jobs, 'flat-top-new-saddle'), /behind_slot += "7\/16 in"/);
  await p.reload();
  assert.equal(await lines(p, `${hole}.treble`).inputValue(), 'same');
  assert.equal(await p.locator('.field').getByText('Still missing').count(), 0);
}));

test('every string by itself, and a second job for the same instrument', { timeout: 60_000 }, () => with_(async (p, server, jobs) => {
  await begin(p, server.base);
  await field(p, 'target.action_12.bass').locator('xpath=ancestor::div[contains(@class,"ask-words")]').getByRole('button', { name: 'Each string by itself' }).click();
  await p.waitForURL('**each=target.action_12*');
  const texts = ['0.095', '0.094', '0.09', '0.085', '0.08', '0.075'];
  const each = lines(p, 'target.action_12.bass');
  assert.equal(await each.count(), texts.length);
  for (const [i, value] of texts.entries()) await each.nth(i).fill(value);
  await goOn(p);
  assert.match(text(jobs, 'flat-top-new-saddle'), /action_12 += \["0\.095 in", "0\.094 in", "0\.09 in", "0\.085 in", "0\.08 in", "0\.075 in"\]/);
  await p.goto(server.base);
  await p.getByLabel('What is it?').fill('The other saddle');
  await p.getByText('Begin from another job').click();
  await p.getByLabel('Start from').selectOption('again:flat-top-new-saddle');
  await p.getByRole('button', { name: 'Begin', exact: true }).click();
  await p.waitForURL('**/ask*');
  assert.match(text(jobs, 'the-other-saddle'), /title += "The other saddle"/);
  assert.match(text(jobs, 'the-other-saddle'), /action_12 += \["0\.095 in"/);
}));
