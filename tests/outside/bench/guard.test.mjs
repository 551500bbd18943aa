// Who may ask: the right host, our own page, the token; small bodies; on a network a key that works once.
import assert from 'node:assert/strict';
import { request } from 'node:http';
import { networkInterfaces } from 'node:os';
import test from 'node:test';
import { Server, clear, example, folder, text } from './kit.mjs';

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

test('on the network each printed address lets in one browser', { timeout: 60_000 }, async () => {
  const own = Object.values(networkInterfaces()).flat().find((a) => a.family === 'IPv4' && !a.internal);
  assert.ok(own, 'this machine has an address beside loopback');
  const jobs = folder();
  const server = await Server.start(jobs, `${own.address}:0`);
  try {
    const first = server.printed();
    assert.match(first, /\?key=\w{32}$/);
    assert.equal((await ask(server.base, '/')).status, 403, 'no key, no page');
    assert.equal((await ask(server.base, `/?key=${'0'.repeat(32)}`)).status, 403);
    const let_in = await ask(server.base, first);
    assert.equal(let_in.status, 303);
    const cookie = let_in.headers['set-cookie'][0];
    assert.match(cookie, /HttpOnly; SameSite=Strict/);
    assert.equal((await ask(server.base, first)).status, 403, 'it works once');
    assert.equal((await ask(server.base, '/', { headers: { Cookie: cookie.split(';')[0] } })).status, 200);
    assert.notEqual(server.printed(), first, 'the next one is printed');
    assert.equal((await ask(server.base, server.printed())).status, 303);
  } finally {
    await server.stop();
    clear(jobs);
  }
});
