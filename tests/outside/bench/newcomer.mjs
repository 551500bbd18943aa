// A newcomer at the page: from the empty folder, station by station, to the plan.
import assert from 'node:assert/strict';
import { SIZES, Server, browser, clear, folder, page } from './kit.mjs';

export const PHONE = { viewport: SIZES[0], hasTouch: true, isMobile: true };
// An invented flat-top, read for the barest saddle by straightedge.
export const READ = {
  'instrument.nut_to_12': '12.7', 'strings.nut_spread': '1 7/16', 'strings.saddle_spread': '2 1/8',
  'slot.edge_from_fret_12.bass': '12 25/32', 'slot.edge_from_fret_12.treble': '12 23/32',
  'instrument.relief:gap': '8 thou', 'nut.held_at_3.bass': '6 thou', 'nut.held_at_3.treble': '4 thou',
  'slot.bridge_top.bass': '-10 thou', 'slot.bridge_top.treble': '-14 thou', 'slot.lean': '2 deg',
  'slot.depth.bass': '0.22', 'slot.depth.treble': '0.21', 'slot.width': '0.126', 'slot.length': '2.98', 'blank.height': '0.5',
};
// What it takes besides to be read in every way that tells more.
export const MORE = {
  'present.action_12.bass': '0.09', 'present.action_12.treble': '0.07',
  'present.contact_from_fret_12.bass': '12.85', 'present.contact_from_fret_12.treble': '12.77',
  'present.exposure.bass': ['0.12', '0.13', '0.135', '0.135', '0.13', '0.11'], 'present.over_bridge.bass': ['0.12', '', '', '', '', '0.12'],
  'present.cents_12': ['3', '2', '', '1', '4', '1'],
  'present.saddle_height.bass': ['0.34', '0.35', '', '0.35', '0.35', '0.33'], 'present.saddle_back.bass': ['0.06', '', '', '', '', '0.06'],
};

// Waits until what was typed is kept, and lies nowhere else.
export async function settled(p, key) {
  const is = ([key]) => {
    const name = Object.keys(localStorage).find((name) => name.endsWith(` ${key}`));
    return !name && !['refused', 'doubt'].includes(document.querySelector(`.field[data-key="${key}"]`).dataset.state);
  };
  await p.waitForFunction(is, [key]).catch(async () => assert.fail(`${key}: ${await field(p, key).textContent()} ${await p.locator('#toast').textContent()}`));
}

export const field = (p, key) => p.locator(`.field[data-key="${key}"]`);
export const lines = (p, key) => field(p, key).locator('input:not([type=hidden])');

export async function begin(p, base) {
  await p.goto(base);
  await p.getByLabel('What is it?').fill('Flat-top, new saddle');
  await p.getByLabel('Unit of numbers without one').selectOption('in');
  await p.getByRole('button', { name: 'Begin', exact: true }).click();
  await p.waitForURL('**/ask*');
}

// Goes on from a station to the next screen.
export async function goOn(p) {
  const here = p.url();
  const button = p.getByRole('button', { name: 'Keep and go on' }).last();
  await button.evaluate((one) => one.scrollIntoView({ block: 'center' })); // above the keys
  await button.click();
  await p.waitForURL((url) => String(url) !== here).catch(async () => assert.fail(`${here} stays: ${await p.locator('.say').allTextContents()}`));
  await p.waitForLoadState('load');
}

// Every reading of the screen that is among these, with what follows each.
export async function type(p, readings, each = async () => {}) {
  let typed = 0;
  for (const [key, value] of Object.entries(readings)) {
    const all = await field(p, key).count() ? await lines(p, key).all() : [];
    if (!all.length || !await all[0].isVisible()) continue;
    const texts = [value].flat();
    for (const [i, text] of texts.entries()) {
      if (!text) continue;
      typed++;
      await all[i].fill(text);
      await each(key, all[i], text);
    }
  }
  const material = field(p, 'blank.material').locator('select');
  if (await material.count()) await material.selectOption('bone');
  return typed;
}

// From the empty folder to the plan: the screens, and the values that were typed.
export async function walk(p, base, readings, at = {}) {
  await begin(p, base);
  let [screens, typed] = [1, 1]; // the first page, with the title
  while (p.url().includes('/ask')) {
    screens++;
    assert.ok(screens < 30, 'the survey comes to an end');
    await at.station?.(p);
    typed += await type(p, readings, at.typed);
    await at.leaving?.(p);
    await goOn(p);
  }
  assert.match(p.url(), /\/plan$/);
  return { screens: screens + 1, typed };
}

export async function with_(check, options = PHONE) {
  const jobs = folder();
  const server = await Server.start(jobs);
  const chromium = await browser();
  try {
    const p = await page(chromium, options);
    await check(p, server, jobs);
    assert.deepEqual(p.troubles, []);
  } finally {
    await chromium.close();
    await server.kill();
    clear(jobs);
  }
}
