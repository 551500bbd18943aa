// The same from a host of plain files: offline after the first visit, a store that is full or taken away, a folder of the user's.
import assert from 'node:assert/strict';
import test from 'node:test';
import { browser, page } from '../bench/kit.mjs';
import { answer, begin_from, host, kept, open, text_of } from './kit.mjs';

async function on_site(check) {
  const at = await host();
  const chromium = await browser();
  try {
    const p = await page(chromium);
    await check(p, at);
    assert.deepEqual(p.troubles, []);
    const known = new Set(['/', '/index.html', '/sw.js', '/app.webmanifest', '/icon.svg', '/icon-180.png', '/icon-192.png', '/icon-512.png']);
    assert.deepEqual(at.asked.filter((path) => !known.has(path)), [], 'nothing but the edition\'s own files is asked for');
  } finally {
    await chromium.close();
    await at.stop();
  }
}

test('after the first visit it opens without a network, with its jobs, and may be installed', { timeout: 60_000 }, () => on_site(async (p, at) => {
  await open(p, `${at.base}/`);
  await begin_from(p, 'nylon-drop-in', 'Offline');
  await p.evaluate(() => navigator.serviceWorker.ready.then((one) => new Promise((done) => {
    const worker = one.active || one.waiting || one.installing;
    const look = () => worker.state === 'activated' && done();
    worker.addEventListener('statechange', look);
    look();
  })));
  const session = await p.context().newCDPSession(p);
  const { installabilityErrors } = await session.send('Page.getInstallabilityErrors');
  assert.deepEqual(installabilityErrors.map((one) => one.errorId).filter((id) => id !== 'in-incognito'), []);
  await at.stop();
  await p.goto('about:blank');
  await open(p, `${at.base}/`);
  await p.getByRole('link', { name: 'Offline' }).first().waitFor();
}));

test('where the store is taken away, the jobs are still there to be saved', { timeout: 60_000 }, () => on_site(async (p, at) => {
  const base = `${at.base}/`;
  await open(p, base);
  await begin_from(p, 'parlour', 'Gone');
  const session = await p.context().newCDPSession(p);
  await session.send('Storage.clearDataForOrigin', { origin: at.base, storageTypes: 'indexeddb' });
  await p.goto(`${base}#/`);
  await p.getByText('This browser keeps nothing for this page').waitFor();
  await p.getByRole('link', { name: 'Gone' }).first().waitFor();
  const [download] = await Promise.all([p.waitForEvent('download'), p.getByRole('button', { name: 'Save all jobs to a file' }).click()]);
  assert.equal(download.suggestedFilename(), 'bonewright-jobs.zip');
}));

test('in a folder of the user\'s: the command\'s own files, and what another writes there is seen', { timeout: 60_000 }, () => on_site(async (p, at) => {
  const base = `${at.base}/`;
  // A folder of the browser's own stands for the one that the user picks: the same kind of handle.
  await p.addInitScript(() => {
    const folder = async () => (await navigator.storage.getDirectory()).getDirectoryHandle('shop', { create: true });
    globalThis.showDirectoryPicker = folder;
    globalThis.written = async (name, text) => {
      const writer = await (await (await folder()).getFileHandle(name, { create: true })).createWritable();
      await writer.write(text);
      await writer.close();
    };
    globalThis.listed = async () => {
      const all = {};
      const walk = async (of, before) => { for await (const [name, entry] of of.entries()) if (entry.kind === 'file') all[before + name] = await (await entry.getFile()).text(); else await walk(entry, `${before}${name}/`); };
      await walk(await folder(), '');
      return all;
    };
  });
  await open(p, base);
  await begin_from(p, 'parlour', 'In the browser');
  await p.goto(`${base}#/`);
  await p.getByRole('button', { name: 'Work in a folder' }).click();
  await p.locator('#home-place', { hasText: 'In the folder shop' }).waitFor();
  assert.equal(await p.getByRole('link', { name: 'In the browser' }).count(), 0);
  await begin_from(p, 'parlour', 'In the folder');
  await answer(p, 'in-the-folder', 'slot.lean', '11 deg', base);
  await kept(p, 'slot.lean', '11 deg');
  const files = await p.evaluate(() => globalThis.listed());
  assert.match(files['in-the-folder.toml'], /lean = "11 deg"/);
  assert.doesNotMatch(files['.bonewright/in-the-folder/old-000001.toml'], /11 deg/);
  // By hand, or by the command, meanwhile.
  await p.evaluate((text) => globalThis.written('in-the-folder.toml', text), files['in-the-folder.toml'].replace('11 deg', '13 deg'));
  await p.locator('.field[data-key="slot.lean"] input:not([type=hidden])').fill('12 deg');
  await p.locator('.field[data-key="slot.lean"] input:not([type=hidden])').blur();
  await p.locator('#toast', { hasText: 'changed elsewhere' }).waitFor();
  assert.match((await p.evaluate(() => globalThis.listed()))['in-the-folder.toml'], /13 deg/);
  await p.goto(`${base}#/`);
  await p.getByRole('button', { name: 'Back to the browser\'s own jobs' }).click();
  await p.getByRole('link', { name: 'In the browser' }).first().waitFor();
}));
