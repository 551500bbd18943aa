// The shop's own: begun from what is built in, told at its field what is wrong, in every list at once, and taken away again; with the script and
// without.
import assert from 'node:assert/strict';
import test from 'node:test';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { SIZES, command, example, page, shared, shot, text } from './kit.mjs';

let server, chromium, jobs;
shared((at) => ({ server, chromium, jobs } = at));

const own = () => readFileSync(join(jobs, '.bonewright', 'profiles.toml'), 'utf8');

for (const script of [true, false]) {
  test(`a machine of one's own, ${script ? 'with' : 'without'} the script`, { timeout: 180_000 }, async () => {
    const job = script ? 'with' : 'without';
    const name = `mill ${job}`;
    example(jobs, 'sound', job);
    const p = await page(chromium, { javaScriptEnabled: script });
    await p.goto(server.base);
    await p.getByRole('link', { name: 'Your shop' }).click();
    const machines = p.locator('section', { has: p.getByRole('heading', { name: 'Machines', exact: true }) });
    await machines.getByLabel('Begin from').selectOption('small ballscrew mill');
    await machines.getByRole('button', { name: 'Add your own' }).click();
    await p.getByRole('heading', { name: 'Add a machine of your own' }).waitFor();
    assert.equal(await p.getByLabel('Name').inputValue(), 'my small ballscrew mill');
    assert.equal(await p.getByLabel('Travel X').inputValue(), '260 mm');
    await p.getByLabel('Name').fill(name);
    await p.getByLabel('Travel X').fill('30');
    await p.getByLabel('Spindle comes to speed in').fill('soon');
    await shot(p, `shop-${job}-form`);
    await p.getByRole('button', { name: 'Keep' }).click();
    // Each at its field, with what was typed; nothing is kept.
    await p.locator('#f-travel-0-say').waitFor();
    assert.match(await p.locator('#f-travel-0-say').textContent(), /has no unit/);
    assert.match(await p.locator('#f-spindle_up-say').textContent(), /no number/);
    assert.equal(await p.getByLabel('Name').inputValue(), name);
    assert.equal(await p.locator('[aria-invalid=true]').count(), 2);
    assert.ok(!existsSync(join(jobs, '.bonewright', 'profiles.toml')) || !own().includes(name));
    await shot(p, `shop-${job}-refused`);
    await p.reload();
    assert.equal(await p.getByLabel('Travel X').inputValue(), '30', 'loaded again, it is still there');
    await p.getByLabel('Travel X').fill('30 mm');
    await p.getByLabel('Spindle comes to speed in').fill('3');
    await p.getByRole('button', { name: 'Keep' }).click();
    await p.getByText(`“${name}” is kept.`).waitFor();
    await shot(p, `shop-${job}-kept`);
    assert.match(own(), new RegExp(`name = "${name}"[^[]*travel = \\["30 mm", "140 mm", "180 mm"\\]`));
    // In the list of the job at once; so short a machine cannot cut it, and says so.
    await p.goto(`${server.base}/job/${job}/ask?at=cutting`);
    const choice = p.locator('.field[data-key="cut.machine"]');
    if (await choice.locator('select').count()) await choice.locator('select').selectOption(name); else await choice.getByLabel(name, { exact: true }).check();
    if (script) await p.waitForFunction(() => document.querySelector('.field[data-key="cut.machine"]').dataset.state === 'kept');
    await shot(p, `shop-${job}-cutting`);
    await p.getByRole('button', { name: 'Keep', exact: true }).last().click();
    await p.waitForURL(/programs$|at=cutting/);
    assert.match(text(jobs, job), new RegExp(`machine = "${name}"`));
    const checked = async () => {
      await p.goto(`${server.base}/job/${job}/programs?make=yes`, { timeout: 60_000 });
      return p.locator('main').textContent();
    };
    const short = await checked();
    await shot(p, `shop-${job}-short`);
    assert.match(short, /travel/i);
    // The command reads the same file by itself.
    assert.throws(() => command('cut', join(jobs, `${job}.toml`), '--out', join(jobs, 'out')), /travel/i);
    // Changed, the programs that were remembered are not handed out again.
    await p.goto(`${server.base}/shop`);
    await p.locator('li', { hasText: name }).getByRole('link', { name: 'Change' }).click();
    await p.getByText('1 job names it').waitFor();
    await p.getByLabel('Travel X').fill('260 mm');
    await p.getByRole('button', { name: 'Keep' }).click();
    await p.getByText(`“${name}” is kept.`).waitFor();
    assert.doesNotMatch(await checked(), /travel of the machine/i);
    const program = await p.locator('.files a[href*=".ngc"]').first().getAttribute('href');
    const got = await (await p.request.get(server.base + program)).text();
    command('cut', join(jobs, `${job}.toml`), '--out', join(jobs, `out-${job}`), '--profiles', join(jobs, '.bonewright', 'profiles.toml'));
    const file = new URL(server.base + program).pathname.split('/').at(-1);
    assert.equal(got, readFileSync(join(jobs, `out-${job}`, file), 'utf8'));
    assert.ok(got.includes(name));
    // Two windows: what was changed elsewhere is not written over, and nothing typed is lost.
    await p.goto(`${server.base}/shop`);
    await p.locator('li', { hasText: name }).getByRole('link', { name: 'Change' }).click();
    await p.getByLabel('Travel Y').fill('150 mm');
    writeFileSync(join(jobs, '.bonewright', 'profiles.toml'), `${own()}# by hand\n`);
    await p.getByRole('button', { name: 'Keep' }).click();
    await p.getByText('was changed elsewhere').waitFor();
    assert.equal(await p.getByLabel('Travel Y').inputValue(), '150 mm');
    await p.getByRole('button', { name: 'Keep' }).click();
    await p.getByText(`“${name}” is kept.`).waitFor();
    assert.match(own(), /"260 mm", "150 mm", "180 mm"[^]*# by hand/);
    // Taken away: which job names it is said first; put back by a press.
    await p.locator('li', { hasText: name }).getByRole('link', { name: 'Take away' }).click();
    await p.getByText('1 job names it').waitFor();
    await shot(p, `shop-${job}-away`);
    await p.getByRole('button', { name: 'Take it away' }).click();
    await p.getByText(`“${name}” is taken away.`).waitFor();
    assert.ok(!own().includes(name));
    assert.match(await (await p.request.get(`${server.base}/job/${job}/survey`)).text(), /No machine of this name/);
    await p.getByRole('button', { name: 'Put it back' }).click();
    await p.getByText(`“${name}” is there again.`).waitFor();
    assert.ok(own().includes(name));
    assert.deepEqual(p.troubles, []);
  });
}

test('every kind, narrow and wide', { timeout: 180_000 }, async () => {
  for (const viewport of SIZES) {
    const p = await page(chromium, { viewport });
    for (const [kind, from] of [['machine', 'small belt router'], ['cutter', 'tapered ball 0.5 mm'], ['tool', 'caliper'], ['string_set', 'light bronze 12-string'], ['string_material', 'nylon'], ['wrap', 'nickel'], ['blank_material', 'bone'], ['cutting', 'bone']]) {
      await p.goto(`${server.base}/shop/entry?${new URLSearchParams({ kind, from })}`);
      await shot(p, `shop-${kind}-${viewport.width}`);
      const main = await p.locator('main').textContent();
      assert.doesNotMatch(main, /`|_|\[\[|TOML/);
      assert.ok(await p.evaluate(() => document.documentElement.scrollWidth <= innerWidth), kind);
      const source = p.getByLabel('Where its figures come from');
      assert.match(await source.inputValue(), /begun from/);
      await p.getByLabel(kind === 'cutting' ? 'Material' : 'Name', { exact: true }).fill(`${kind.replaceAll('_', ' ')} ${viewport.width}`);
      await p.getByRole('button', { name: 'Keep' }).click();
      await p.getByText('is kept.').waitFor();
    }
    await shot(p, `shop-${viewport.width}`);
    assert.ok(await p.evaluate(() => document.documentElement.scrollWidth <= innerWidth));
    assert.deepEqual(p.troubles, []);
  }
  assert.match(command('profiles', '--profiles', join(jobs, '.bonewright', 'profiles.toml')), /tools of the bench: tool 390; tool 1280/);
});
