// Who may ask: the right host, our own page, the token; small bodies; on a network a key that works once.
import assert from 'node:assert/strict';
import { request } from 'node:http';
import { networkInterfaces } from 'node:os';
import test from 'node:test';
import { Server, axe, browser, clear, example, folder, page, shot, text } from './kit.mjs';

function ask(base, path, { method = 'GET', headers = {}, body } = {}) {
  const url = new URL(path, base);
  return new Promise((done, fail) => {
    const sent = request({ host: url.hostname, port: url.port, path: url.pathname + url.search, method, headers, agent: false }, (reply) => {
      let content = '';
      reply.on('data', (data) => { content += data; });
      reply.on('end', () => done({ status: reply.statusCode, headers: reply.headers, content }));
    });
    sent.on('error', fail);
    sent.end(body);
  });
}

test('other hosts, other sites, no token, long bodies', { timeout: 60_000 }, async () => {
  const jobs = folder();
  example(jobs, 'parlour', 'a');
  const server = await Server.start(jobs);
  try {
    const home = await ask(server.base, '/');
    assert.equal(home.status, 200);
    for (const [name, value] of [['content-security-policy', /default-src 'none'.*frame-ancestors 'none'/], ['x-content-type-options', /nosniff/],
      ['cache-control', /no-store/], ['cross-origin-resource-policy', /same-origin/]]) assert.match(home.headers[name], value);
    assert.doesNotMatch(home.content, /<script>|<style|style="|onclick/, 'nothing inline');
    assert.equal((await ask(server.base, '/', { headers: { Host: 'evil.example' } })).status, 403);
    const token = /name="token" content="(\w+)"/.exec(home.content)[1];
    const before = text(jobs, 'a');
    const version = /data-version="(\w+)"/.exec((await ask(server.base, '/job/a/text')).content)[1];
    const fields = new URLSearchParams({ token, version, key: 'title', text: 'Taken over' });
    const post = (body, headers = {}) => ask(server.base, '/job/a/answer', { method: 'POST', body: body.toString(), headers: { 'Content-Type': 'application/x-www-form-urlencoded', ...headers } });
    assert.equal((await post(fields, { Origin: 'http://evil.example' })).status, 403);
    assert.equal((await post(fields, { 'Sec-Fetch-Site': 'cross-site' })).status, 403);
    assert.equal((await post(new URLSearchParams({ version, key: 'title', text: 'x' }))).status, 403);
    assert.equal((await post(new URLSearchParams({ token: '0'.repeat(32), version, key: 'title', text: 'x' }))).status, 403);
    assert.equal((await post(`${fields}&more=${'x'.repeat(300_000)}`).catch(() => ({ status: 413 }))).status, 413);
    assert.equal((await ask(server.base, '/job/a/text', { method: 'PUT' })).status, 405);
    for (const path of ['/job/..%2fa/text', '/job/.bonewright/text', '/job/a/out/..%2fa.toml', '/../etc/passwd', '/job/a/out/b.toml']) {
      assert.equal((await ask(server.base, path)).status, 404, path);
    }
    assert.equal(text(jobs, 'a'), before, 'nothing was changed by any of them');
    assert.equal((await post(fields, { Origin: server.base, 'Sec-Fetch-Site': 'same-origin' })).status, 303);
    assert.match(text(jobs, 'a'), /title = "Taken over"/);
  } finally {
    assert.equal((await server.stop()).code, 0);
    clear(jobs);
  }
});

// A post of a form, as a browser sends it.
function give(base, path, fields, headers = {}) {
  return ask(base, path, { method: 'POST', body: new URLSearchParams(fields).toString(), headers: { 'Content-Type': 'application/x-www-form-urlencoded', Origin: base, ...headers } });
}

async function audited(p) {
  await p.waitForLoadState('load');
  await p.evaluate(axe);
  const found = await p.evaluate(() => globalThis.axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] }));
  assert.deepEqual(found.violations.map((v) => `${v.id}: ${v.nodes[0].html}`), []);
}

function own() {
  const found = Object.values(networkInterfaces()).flat().find((a) => a.family === 'IPv4' && !a.internal);
  assert.ok(found, 'this machine has an address beside loopback');
  return found.address;
}

for (const [where, flags] of [['on the network', () => ['--listen', `${own()}:0`]], ['with --key on loopback', () => ['--key']]]) {
  test(`${where} each printed address lets in one browser, by its button`, { timeout: 60_000 }, async () => {
    const jobs = folder();
    const server = await Server.start(jobs, ...flags());
    const chromium = await browser();
    try {
      const first = server.printed();
      assert.match(first, /\?key=\w{32}$/);
      const key = first.slice(-32);
      assert.equal((await ask(server.base, '/')).status, 403, 'no key, no page');
      assert.equal((await ask(server.base, `/?key=${'0'.repeat(32)}`)).status, 403);
      // A link preview looks at the address first.
      for (const method of ['HEAD', 'GET']) {
        const looked = await ask(server.base, first, { method });
        assert.equal(looked.status, 200);
        assert.equal(looked.headers['set-cookie'], undefined);
      }
      assert.equal((await give(server.base, '/open', { key }, { Origin: 'http://evil.example' })).status, 403);
      const let_in = await give(server.base, '/open', { key });
      assert.equal(let_in.status, 303);
      const cookie = let_in.headers['set-cookie'][0];
      assert.match(cookie, /HttpOnly; SameSite=Strict/);
      assert.equal((await give(server.base, '/open', { key })).status, 403, 'it works once');
      assert.equal((await ask(server.base, first)).status, 403);
      const shows = { headers: { Cookie: cookie.split(';')[0] } };
      assert.equal((await ask(server.base, '/', shows)).status, 200);
      assert.notEqual(server.printed(), first, 'the next one is printed');
      // The same in a browser without script; then the first one is shut out.
      const p = await page(chromium, { javaScriptEnabled: false });
      await p.goto(server.printed());
      await shot(p, 'door-390');
      await p.getByRole('button', { name: 'Open the bench here' }).click();
      await p.getByRole('heading', { name: 'Jobs', exact: true }).waitFor();
      await p.getByRole('link', { name: 'Devices that may in here' }).click();
      assert.equal(await p.getByRole('button', { name: /^Shut out/ }).count(), 2);
      await shot(p, 'devices-390');
      await p.getByRole('button', { name: /^Shut out/ }).first().click();
      await p.waitForLoadState('load');
      assert.equal(await p.getByRole('button', { name: /^Shut out/ }).count(), 1);
      assert.match(await p.locator('.jobs').textContent(), /this one/);
      assert.equal((await ask(server.base, '/', shows)).status, 403);
      assert.equal((await p.goto(server.base)).status(), 200);
      const q = await page(chromium);
      await q.goto(server.printed());
      await audited(q);
      await q.getByRole('button', { name: 'Open the bench here' }).click();
      await q.getByRole('link', { name: 'Devices that may in here' }).click();
      await audited(q);
      // On a network without TLS a browser leaves this header aside, and says so.
      assert.deepEqual(q.troubles.filter((said) => !said.startsWith('The Cross-Origin-Opener-Policy header has been ignored')), []);
    } finally {
      await chromium.close();
      await server.stop();
      clear(jobs);
    }
  });
}

test('the port is the same every time, or the next one', { timeout: 60_000 }, async () => {
  const jobs = folder();
  const servers = [];
  try {
    for (let i = 0; i < 2; i++) servers.push(await Server.start(jobs, '--usual'));
    const [first, second] = servers.map((server) => Number(new URL(server.base).port));
    assert.ok(first >= 7380 && second > first, `${first}, ${second}`);
    await assert.rejects(Server.start(jobs, '--port', String(first)), /could not listen at 127.0.0.1:/);
  } finally {
    for (const server of servers) await server.stop();
    clear(jobs);
  }
});
