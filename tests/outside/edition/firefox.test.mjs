// The edition in Firefox, by its own protocol (WebDriver BiDi): from disk to a plan, to programs, and to the same job after a reload.
import assert from 'node:assert/strict';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import test from 'node:test';
import { FILE } from './kit.mjs';

const puppeteer = createRequire(join(process.env.BENCH_MODULES, 'here.js'))('puppeteer-core');

test('in Firefox: a job begun, planned, cut, and there again', { timeout: 120_000 }, async () => {
  const firefox = await puppeteer.launch({ browser: 'firefox', executablePath: '/usr/bin/firefox-esr', headless: true });
  try {
    const p = await firefox.newPage();
    p.setDefaultTimeout(40_000);
    const troubles = [];
    p.on('pageerror', (error) => troubles.push(error.message));
    p.on('console', (message) => { if (message.type() === 'error') troubles.push(message.text()); });
    const press = (words) => p.evaluate((words) => [...document.querySelectorAll('a, button')].find((one) => one.textContent === words).click(), words);
    const stands = (name) => p.waitForFunction((name) => document.querySelector('nav a[aria-current]')?.textContent === name, {}, name);
    await p.goto(FILE);
    await p.waitForSelector('#new-title');
    await p.type('#new-title', 'In another browser');
    await p.evaluate(() => { document.querySelector('#new-from').value = 'example:parlour'; });
    await press('Begin');
    await stands('Plan');
    assert.ok(await p.evaluate(() => document.querySelectorAll('#live svg').length) > 2);
    await press('Programs');
    await stands('Programs');
    await press('Make and check');
    await p.waitForFunction(() => document.querySelector('.verdict'));
    await p.reload();
    await stands('Programs');
    await p.goto(`${FILE}#/`);
    await p.waitForFunction(() => document.querySelector('#home-saved')?.textContent.includes('Never saved outside this browser'));
    assert.ok(await p.evaluate(() => [...document.querySelectorAll('ul.jobs a')].some((link) => link.textContent === 'In another browser')));
    assert.deepEqual(troubles, []);
  } finally {
    await firefox.close();
  }
});
