#!/usr/bin/env node
// bonewright by node: the bench in the browser of this machine, and plans at the command line. All else is the command's, which comes as
// a program of its own.
import { readFile } from 'node:fs/promises';
import { createServer } from 'node:http';
import { basename } from 'node:path';
import { argv, exit, stderr, stdin, stdout } from 'node:process';
import { bench } from './module.mjs';

const HELP = `bonewright: saddles and nuts

  bonewright open [--port N]                 the bench in a browser of this machine; it keeps its jobs in that browser
  bonewright plan JOB.toml [--json | --csv]  contact point, height and cost of filing of every string; - reads standard input

Exit codes: 0 made, 1 the job cannot be planned or the part cannot be made, 2 wrong use.
`;
const KINDS = { html: 'text/html', js: 'text/javascript', svg: 'image/svg+xml', png: 'image/png', webmanifest: 'application/manifest+json' };

function wrong(words) {
  stderr.write(`bonewright: ${words}\n\n${HELP}`);
  exit(2);
}

async function plan(args) {
  const forms = { '--json': 'json', '--csv': 'csv' };
  const flags = args.filter((arg) => arg.startsWith('--'));
  const [path, ...more] = args.filter((arg) => !arg.startsWith('--'));
  if (!path || more.length || flags.length > 1 || flags.some((flag) => !forms[flag])) wrong('plan takes one job, and --json or --csv.');
  let text;
  try {
    if (path === '-') {
      const parts = [];
      for await (const part of stdin) parts.push(part);
      text = Buffer.concat(parts);
    } else text = await readFile(path);
  } catch (error) {
    stderr.write(`bonewright: ${path} cannot be read: ${error.message}\n`);
    exit(1);
  }
  const answer = await bench();
  const reply = answer({ do: 'print', name: path === '-' ? 'standard input' : basename(path), form: forms[flags[0]] || 'page' }, text);
  for (const line of reply.told || []) stderr.write(`${line}\n`);
  stdout.write(reply.content);
  if (reply.status === 200) return;
  if (!reply.told) stderr.write('\n');
  process.exitCode = 1;
}

function open(args) {
  const port = args[0] === '--port' ? Number(args[1]) : 0;
  if ((args.length && args[0] !== '--port') || !Number.isInteger(port) || port < 0 || port > 65535) wrong('open takes --port and a number, or nothing.');
  const server = createServer(async (request, reply) => {
    const path = new URL(request.url, 'http://here').pathname;
    const name = path === '/' ? 'index.html' : path.slice(1);
    try {
      if (!/^[a-z0-9.-]+$/.test(name) || request.method !== 'GET') throw new Error('no such file');
      const content = await readFile(new URL(`site/${name}`, import.meta.url));
      reply.writeHead(200, { 'content-type': KINDS[name.split('.').at(-1)] || 'application/octet-stream', 'x-content-type-options': 'nosniff' });
      reply.end(content);
    } catch {
      reply.writeHead(404, { 'content-type': 'text/plain' });
      reply.end('There is nothing here.');
    }
  });
  server.on('error', (error) => { stderr.write(`bonewright: ${error.message}\n`); exit(1); });
  // The browser keeps the jobs by this address: another port begins another list.
  server.listen(port || 7316, '127.0.0.1', () => stdout.write(`Open http://127.0.0.1:${server.address().port}/ in a browser of this machine. Ctrl-C ends it; jobs stay in the browser.\n`));
}

const [command, ...args] = argv.slice(2);
if (command === 'plan') await plan(args);
else if (command === 'open') open(args);
else if (!command || command === '--help' || command === '-h') stdout.write(HELP);
else if (command === '--version' || command === '-V') stdout.write(`bonewright ${JSON.parse(await readFile(new URL('package.json', import.meta.url), 'utf8')).version}\n`);
else wrong(`there is no ${command} here.`);
