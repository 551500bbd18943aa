// The module of the edition, run by node as the package for node does.
import { readFileSync } from 'node:fs';
import { gunzipSync } from 'node:zlib';
import { bench as begun } from '../../../crates/web/npm/module.mjs';

// The module out of the one file.
export function module_of(html) {
  const [, text] = /<script type="application\/octet-stream" id="module">([^<]+)<\/script>/.exec(readFileSync(html, 'utf8'));
  return gunzipSync(Buffer.from(text, 'base64'));
}

export async function bench(bytes) {
  const answer = await begun(bytes);
  return {
    load: (path, body) => answer({ do: 'load', files: [{ path, when: 1, bytes: body.length }] }, body),
    get: (address) => answer({ do: 'ask', now: 5, address }),
    // What is typed on the plan, tried: a plan drawn anew.
    attempt: (job, fields) => answer({ do: 'ask', now: 5, address: `/job/${job}/try`, post: true, script: true }, Buffer.from(String(new URLSearchParams(fields)))),
    print: (name, form, body) => answer({ do: 'print', name, form }, body),
  };
}
