// A newcomer on a desktop, with the whole survey on one page: from an empty one to the PDF.
import assert from 'node:assert/strict';
import { readFileSync, existsSync } from 'node:fs';
import { join } from 'node:path';
import test from 'node:test';
import { SIZES, Server, browser, clear, command, folder, page, shot, text } from './kit.mjs';

// What the newcomer reads off an invented instrument. What is not here is taken as usual, or skipped.
const READINGS = {
  unit: 'mm',
  'instrument.nut_to_12': '325', 'instrument.joint_fret': '14', 'ask.board': 'one radius', 'instrument.board_radius': '400',
  'instrument.relief:gap': '0.15',
  'strings.set': 'light bronze 12-53', 'strings.nut_spread': '36.5', 'strings.saddle_spread': '54',
  'present.action_12.bass': '2.8', 'present.action_12.treble': '2.2',
  'nut.first_fret_clearance.bass': '0.55', 'nut.first_fret_clearance.treble': '0.38',
  'target.action_12.bass': '2.4', 'target.action_12.treble': '1.8',
  'slot.edge_from_fret_12.bass': '327', 'slot.edge_from_fret_12.treble': '325.2',
  'slot.bridge_top.bass': '0.4', 'slot.bridge_top.treble': '0.5',
  'slot.lean': '3 deg', 'bridge.string_exit': 'pin holes', 'bridge.behind_slot.bass': '12',
  'slot.depth.bass': '6', 'slot.depth.treble': '6', 'slot.width': '3.2',
  'blank.kind': 'through', 'blank.material': 'bone', 'blank.height': '14', 'blank.length': '76',
};

async function begin(p, base, title) {
  await p.goto(base);
  await p.getByLabel('What is it?').fill(title);
  await p.getByRole('button', { name: 'Begin' }).click();
}

async function enter(form, value) {
  const select = form.locator('select');
  const radio = form.locator(`input[type=radio][value="${value}"]`);
  if (await select.count()) await select.selectOption(value);
  else if (await radio.count()) await radio.check();
  else await form.locator('input:not([type=hidden])').first().fill(value);
}

// Opens what stands folded where a field is in it.
async function unfold(p, key) {
  await p.evaluate((key) => { const usual = document.querySelector(`.field[data-key="${key}"]`)?.closest('details.usual'); if (usual) usual.open = true; }, key);
}

// Waits until an answer is kept; a doubtful one is kept all the same.
async function kept(p, key) {
  const state = (wanted) => p.waitForFunction(([key, wanted]) => {
    const now = document.querySelector(`.field[data-key="${key}"]`);
    return now && wanted.includes(now.dataset.state) && (now.dataset.state === 'kept' || now.querySelector('.say button'));
  }, [key, wanted]).catch(async (error) => assert.fail(`${key}: ${await p.locator(`[id="say-${key}"]`).textContent()} ${error}`));
  await state(['kept', 'doubt']);
  const sure = p.locator(`.field[data-key="${key}"]`).getByRole('button', { name: 'Keep it all the same' });
  if (await sure.count()) await sure.click();
  await state(['kept']);
}

async function toPdf(p, name, jobs) {
  await p.getByRole('link', { name: 'Plan', exact: true }).click();
  await assert.doesNotReject(p.getByRole('heading', { name: 'To make' }).waitFor({ timeout: 5000 }), 'there is a plan');
  await p.getByRole('link', { name: 'Sheets', exact: true }).click();
  const picture = p.locator('.sheet img').first();
  await picture.scrollIntoViewIfNeeded();
  await p.waitForFunction((img) => img.complete && img.naturalWidth > 100, await picture.elementHandle());
  const [download] = await Promise.all([p.waitForEvent('download'), p.getByRole('link', { name: 'Download the PDF' }).click()]);
  assert.equal(download.suggestedFilename(), `${name}.pdf`);
  const pdf = readFileSync(await download.path());
  assert.equal(pdf.subarray(0, 5).toString(), '%PDF-');
  for (const [label, begins] of [['SVG', '<'], ['DXF', '  0'], ['STL', ''], ['Job file', '#']]) {
    const [file] = await Promise.all([p.waitForEvent('download'), p.getByRole('link', { name: label, exact: true }).first().click()]);
    const content = readFileSync(await file.path());
    assert.ok(content.length > 500 && content.toString('latin1').trimStart().startsWith(begins.trim()), label);
  }
  await p.getByRole('link', { name: 'Programs', exact: true }).click();
  await p.getByRole('button', { name: 'Make and check' }).click();
  await p.locator('.verdict.kept').waitFor({ timeout: 60_000 });
  const [program] = await Promise.all([p.waitForEvent('download'), p.locator('.files a').first().click()]);
  assert.match(program.suggestedFilename(), new RegExp(`^${name}-on-edge.*\\.ngc$`));
  assert.match(readFileSync(await program.path(), 'utf8'), /G1/);
  // The command reads the same file and draws the same PDF.
  assert.match(command('plan', join(jobs, `${name}.toml`)), /TO MAKE/);
  command('draw', join(jobs, `${name}.toml`), '--out', join(jobs, 'out'), '--only', 'pdf');
  assert.ok(pdf.equals(readFileSync(join(jobs, 'out', `${name}.pdf`))), 'page and command draw the same');
}

test('all on one page, 1280 x 800', { timeout: 120_000 }, async () => {
  const jobs = folder();
  const server = await Server.start(jobs);
  const chromium = await browser();
  try {
    const p = await page(chromium, { viewport: SIZES[1] });
    await begin(p, server.base, 'Second');
    await p.goto(`${server.base}/job/second/survey`);
    for (const [key, value] of Object.entries(READINGS)) {
      const form = p.locator(`.field[data-key="${key}"]`);
      await unfold(p, key);
      await enter(form, value);
      await form.locator('input:not([type=hidden]), select').first().blur();
      await kept(p, key);
    }
    // What is usual is offered, and taken on a word.
    for (let taken = 0; await p.locator('.take:visible').filter({ hasText: 'Take' }).count(); taken++) {
      assert.ok(taken < 30);
      const take = p.locator('.take:visible').filter({ hasText: 'Take' }).first();
      const key = await take.evaluate((button) => button.closest('.field').dataset.key);
      await take.click();
      await kept(p, key);
    }
    await p.locator('#live table').waitFor();
    await shot(p, 'walk-1280-survey');
    await p.reload();
    assert.equal(await p.locator('.field[data-key="slot.lean"] input:not([type=hidden])').inputValue(), '3 deg', 'kept over a reload');
    await toPdf(p, 'second', jobs);
    assert.deepEqual(p.troubles, []);
    assert.ok(existsSync(join(jobs, '.bonewright', 'second')), 'old versions are kept');
    // Undo takes back the last answer.
    const before = text(jobs, 'second');
    await p.goto(`${server.base}/job/second/survey`);
    await p.getByRole('button', { name: 'Undo' }).click();
    await p.waitForLoadState('load');
    assert.notEqual(text(jobs, 'second'), before);
    await p.getByRole('button', { name: 'Do again' }).click();
    await p.waitForLoadState('load');
    assert.equal(text(jobs, 'second'), before);
  } finally {
    await chromium.close();
    assert.equal((await server.stop()).code, 0, server.errors);
    clear(jobs);
  }
});

// A nut alone: the saddle of the instrument stays.
const NUT = {
  'ask.part': 'nut', unit: 'mm',
  'instrument.nut_to_12': '322', 'instrument.joint_fret': '14', 'ask.board': 'one radius', 'instrument.board_radius': '400',
  'instrument.relief:gap': '0.15', 'strings.set': 'light bronze 12-53', 'strings.saddle_spread': '55',
  'present.action_12.bass': '2.2', 'present.action_12.treble': '1.7',
  'nut.first_fret_clearance.bass': '0.3', 'nut.first_fret_clearance.treble': '0.2',
  'nut.new_clearance.bass': '0.5', 'nut.new_clearance.treble': '0.36',
  'present.contact_from_fret_12.bass': '325.2', 'present.contact_from_fret_12.treble': '323.3', 'ask.setbacks': 'yes',
  'nut_blank.board_width': '43.5', 'nut_blank.margin.bass': '3.1', 'nut_blank.margin.treble': '2.9', 'nut_blank.headstock': '14',
  'nut_blank.fret_height': '1.05', 'nut_blank.seat': '3.1', 'nut_blank.thickness': '5', 'nut_blank.height': '9', 'nut_blank.length': '46',
};

for (const viewport of SIZES) {
  test(`a nut alone, ${viewport.width} x ${viewport.height}`, { timeout: 120_000 }, async () => {
    const jobs = folder();
    const server = await Server.start(jobs);
    const chromium = await browser();
    try {
      const p = await page(chromium, { viewport });
      await begin(p, server.base, 'Worn nut');
      await p.goto(`${server.base}/job/worn-nut/survey`);
      for (const [key, value] of Object.entries(NUT)) {
        const form = p.locator(`.field[data-key="${key}"]`);
        await unfold(p, key);
        await enter(form, value);
        await form.locator('input:not([type=hidden]), select').first().blur();
        await kept(p, key);
      }
      // Nothing is asked of the slot, the blank and the crown of a saddle.
      assert.equal(await p.locator('[data-key^="slot."], [data-key^="blank."], [data-key^="crown."]').count(), 0);
      // A wrong one is refused where it stands, with the words of the command.
      const seat = p.locator('.field[data-key="nut_blank.seat"]');
      await seat.locator('input:not([type=hidden])').fill('300');
      await seat.locator('input:not([type=hidden])').blur();
      await p.waitForFunction(() => document.querySelector('.field[data-key="nut_blank.seat"]')?.dataset.state === 'refused');
      assert.match(await p.locator('[id="say-nut_blank.seat"]').textContent(), /Not kept: .*300/);
      await p.reload();
      assert.equal(await p.locator('.field[data-key="nut_blank.seat"] input:not([type=hidden])').inputValue(), '3.1 mm');
      await p.locator('#live table').first().waitFor();
      await shot(p, `walk-nut-${viewport.width}-survey`);
      await p.getByRole('link', { name: 'Plan', exact: true }).click();
      await p.getByRole('heading', { name: 'To make' }).waitFor();
      assert.match(await p.locator('#live').textContent(), /The saddle stays/);
      await p.getByRole('link', { name: 'Sheets', exact: true }).click();
      const [download] = await Promise.all([p.waitForEvent('download'), p.getByRole('link', { name: 'Download the PDF of the nut' }).click()]);
      assert.equal(download.suggestedFilename(), 'worn-nut-nut.pdf');
      const pdf = readFileSync(await download.path());
      // The command reads the same file and draws the same PDF.
      assert.match(command('plan', join(jobs, 'worn-nut.toml')), /THE SADDLE STAYS/);
      command('draw', join(jobs, 'worn-nut.toml'), '--out', join(jobs, 'out'), '--only', 'pdf');
      assert.ok(pdf.equals(readFileSync(join(jobs, 'out', 'worn-nut-nut.pdf'))), 'page and command draw the same');
      // Its programs, each with a verdict; one is downloaded, and the command writes the same.
      await p.getByRole('link', { name: 'Programs', exact: true }).click();
      assert.equal(await p.getByRole('heading', { name: 'The saddle' }).count(), 0);
      await p.getByRole('heading', { name: 'The nut' }).waitFor();
      await p.getByRole('button', { name: 'Make and check' }).click();
      await p.locator('.verdict').first().waitFor({ timeout: 60_000 });
      assert.equal(await p.locator('.verdict.kept').count(), 2, await p.locator('main').textContent());
      assert.match(await p.locator('main').textContent(), /gauged files finish them[^]*not measured[^]*Grooves only start the slots/);
      const links = await p.locator('.files a').allTextContents();
      assert.deepEqual([links[0], links.at(-1)?.replace(/\d/, 'N')], ['nut-flat-1.ngc', 'nut-on-edge-N.ngc']);
      command('cut', join(jobs, 'worn-nut.toml'), '--out', join(jobs, 'cut'));
      for (const link of [links[0], links.at(-1)]) {
        const [file] = await Promise.all([p.waitForEvent('download'), p.getByRole('link', { name: link, exact: true }).click()]);
        assert.equal(file.suggestedFilename(), `worn-nut-${link}`);
        const program = readFileSync(await file.path(), 'utf8');
        assert.match(program.split('\n')[0], /Worn nut/i, 'it starts with the title of the job');
        assert.match(program, /^M30$/m);
        assert.equal(program, readFileSync(join(jobs, 'cut', `worn-nut-${link}`), 'utf8'), 'page and command write the same');
      }
      await shot(p, `walk-nut-${viewport.width}-programs`);
      assert.deepEqual(p.troubles, []);
    } finally {
      await chromium.close();
      assert.equal((await server.stop()).code, 0, server.errors);
      clear(jobs);
    }
  });
}

test('the essentials work without the script', { timeout: 60_000 }, async () => {
  const jobs = folder();
  const server = await Server.start(jobs);
  const chromium = await browser();
  try {
    const p = await page(chromium, { javaScriptEnabled: false });
    await p.goto(server.base);
    await p.getByLabel('What is it?').fill('Plain');
    await p.getByText('Begin from another job').click();
    await p.getByLabel('Start from').selectOption('example:nylon-drop-in');
    await p.getByRole('button', { name: 'Begin' }).click();
    await p.getByRole('heading', { name: 'To make' }).waitFor();
    await p.getByRole('link', { name: 'Survey', exact: true }).click();
    const form = p.locator('form[data-station="blank"]');
    const land = form.locator('[data-key="blank.land"] input:not([type=hidden])');
    await form.locator('details.usual > summary').click();
    await land.fill('1,600 mm');
    await form.getByRole('button', { name: 'Keep', exact: true }).click();
    assert.match(await p.locator('[id="say-blank.land"]').textContent(), /Not kept: .*1,600 mm/);
    assert.equal(await land.inputValue(), '1,600 mm', 'what was typed stays to be mended');
    await land.fill('0,6 mm');
    await form.getByRole('button', { name: 'Keep', exact: true }).click();
    assert.match(text(jobs, 'plain'), /land += "0\.6 mm"/);
    await p.getByRole('link', { name: 'Work list' }).click();
    await p.locator('#work input[type=checkbox]').first().check();
    await p.getByRole('button', { name: 'Keep the ticks' }).click();
    assert.ok(await p.locator('#work input[type=checkbox]').first().isChecked());
    await p.getByRole('link', { name: 'Filing', exact: true }).click();
    await p.getByLabel('Forward by').fill('0.2 mm');
    await p.getByRole('button', { name: 'Show' }).click();
    assert.match(await p.locator('.costs').textContent(), /Action at 12/);
  } finally {
    await chromium.close();
    await server.stop();
    clear(jobs);
  }
});
