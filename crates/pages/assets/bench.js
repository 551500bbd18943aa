// The page works without this. With it, answers are checked while they are typed, pictures follow, and a contact can be dragged.
// Every figure comes from the server; the one sum here turns the pointer's way on the screen into millimetres.
'use strict';
document.documentElement.classList.add('js');
const body = document.body;
const token = document.querySelector('meta[name=token]').content;
const job = body.dataset.job;
const live = document.getElementById('live');
const toast = document.getElementById('toast');

// The longest that an answer may take, seconds.
const PATIENCE = 20;
const UNREADABLE = 'What bonewright answered cannot be read.';
const UNKNOWN = 'It is not known whether this was kept: load the page again to see.';

// What the server says, or nothing once the user was told why not. It never throws: what waits behind it goes on.
async function ask(path, fields, get) {
  const data = new URLSearchParams(fields);
  if (!get) data.set('token', token);
  const address = `/job/${job}/${path}`;
  const kept = get || path.endsWith('try') ? '' : UNKNOWN;
  const hang = new AbortController();
  const alarm = setTimeout(() => hang.abort(), PATIENCE * 1000);
  let kind;
  let text;
  try {
    const by = { headers: { 'X-Bench': '1' }, signal: hang.signal };
    const reply = get
      ? await fetch(`${address}?${data}`, by)
      : await fetch(address, { ...by, method: 'POST', body: data });
    kind = reply.headers.get('content-type') || '';
    text = await reply.text();
  } catch {
    if (hang.signal.aborted) tell(`bonewright has not answered for ${PATIENCE} s. ${kept}`, true);
    else tell('bonewright does not answer. What was kept is safe on the disk. Start it again, then make this change again.');
    return null;
  } finally {
    clearTimeout(alarm);
  }
  if (kind.startsWith('text/plain')) {
    tell(text, true);
    return null;
  }
  let said = null;
  try { said = JSON.parse(text); } catch { /* told below */ }
  if (!said || typeof said !== 'object') {
    tell(`${UNREADABLE} ${kept}`, true);
    return null;
  }
  if (said.state === 'stopped') {
    tell(said.why, said.reload);
    return null;
  }
  return said;
}

// An answer that the page cannot show must not stand in the way of the next.
function broke(error) {
  console.error(error);
  tell(UNREADABLE, true);
}

function tell(text, reload) {
  toast.textContent = text;
  if (!reload) return;
  const link = document.createElement('a');
  link.href = location.href;
  link.textContent = 'Load the page again';
  link.addEventListener('click', (event) => { event.preventDefault(); location.reload(); });
  toast.append(' ', link);
}

// Only the newest wish is worth answering: while one is under way, the next waits and replaces the one before it.
function newest(work) {
  let busy = false;
  let waiting = null;
  return async function run(...wish) {
    if (busy) { waiting = wish; return; }
    busy = true;
    try { await work(...wish); } catch (error) { broke(error); }
    busy = false;
    if (waiting) { const next = waiting; waiting = null; run(...next); }
  };
}

function version(text) {
  body.dataset.version = text;
  for (const field of document.querySelectorAll('input[name=version]')) field.value = text;
}

function say(form, said) {
  const place = form.querySelector('.say');
  place.className = `say ${said.state}`;
  place.innerHTML = said.say;
  form.dataset.state = said.state;
  const input = form.querySelector('[name=text]');
  if (said.state === 'refused') input.setAttribute('aria-invalid', 'true');
  else input.removeAttribute('aria-invalid');
}

function typed(form) {
  const fields = { key: form.dataset.key, text: new FormData(form).get('text') || '' };
  if (live) fields.part = live.dataset.part;
  return fields;
}

// A field, and what it offers to take.
function offer(form) {
  const take = form.querySelector('.take');
  return form.dataset.key + (take ? `>${take.value}` : '');
}

let keeping = Promise.resolve();
let keeps = 0;

const attempt = newest(async (form) => {
  const before = keeps;
  const fields = typed(form);
  const said = await ask('try', fields);
  // What was kept meanwhile has the last word.
  if (!said || before !== keeps) return;
  if (form.dataset.state !== 'kept' || form.dataset.kept !== fields.text) say(form, said);
  if (said.live && live) {
    live.innerHTML = said.live;
    requestAnimationFrame(() => { body.dataset.redrawn = String(Number(body.dataset.redrawn || 0) + 1); });
  }
});

function keep(form, sure) {
  const fields = typed(form);
  if (sure) fields.sure = 'yes';
  fields.view = form.querySelector('[name=view]').value;
  keeps++;
  keeping = keeping.then(async () => {
    fields.version = body.dataset.version;
    const said = await ask('answer', fields);
    if (!said) return;
    if (said.state !== 'kept') { say(form, said); return; }
    version(said.version);
    form.dataset.kept = fields.text;
    const steps = document.getElementById('steps');
    if (steps) steps.outerHTML = said.steps;
    if (said.live && live) live.innerHTML = said.live;
    const title = document.querySelector('.job');
    if (title) title.textContent = said.title;
    const list = document.getElementById('survey');
    const shown = list && [...list.querySelectorAll('form[data-key]')].map(offer).sort().join(' ');
    if (list && said.list && shown !== said.keys) {
      // What is asked has changed: draw the list again, and leave hand and eye where they were.
      const at = document.activeElement && document.activeElement.id;
      const top = form.getBoundingClientRect().top;
      const open = [...list.querySelectorAll('form[data-key]')].map((f) => [f.dataset.key, f.querySelector('input[name=text]:not([type=radio])')]).filter(([, input]) => input && input.value !== input.defaultValue).map(([key, input]) => [key, input.value]);
      list.innerHTML = said.list;
      for (const [key, text] of open) {
        const again = list.querySelector(`form[data-key="${CSS.escape(key)}"] input[name=text]`);
        if (again && key !== form.dataset.key) again.value = text;
      }
      const same = list.querySelector(`form[data-key="${CSS.escape(form.dataset.key)}"]`);
      if (same) window.scrollBy({ top: same.getBoundingClientRect().top - top, behavior: 'instant' });
      const back = at && document.getElementById(at);
      if (back) back.focus({ preventScroll: true });
    } else {
      const input = form.querySelector('input[name=text]:not([type=radio])');
      if (input && said.text !== null && document.activeElement !== input) input.value = said.text;
      if (input) input.defaultValue = input.value;
      say(form, said);
    }
  }).catch(broke);
  return keeping;
}

// The survey, and the one reading on the plan's page.
document.addEventListener('input', (event) => {
  const form = event.target.closest('form[data-key]');
  if (form && event.target.name === 'text') attempt(form);
});
document.addEventListener('change', (event) => {
  const form = event.target.closest('form[data-key]');
  if (event.target.id === 'lever-key') { event.target.form.requestSubmit(); return; }
  if (!form || event.target.name !== 'text' || form.dataset.one) return;
  if (form.querySelector('[name=view]').value === 'plan') return;
  if (event.target.type !== 'radio' && event.target.value === event.target.defaultValue) return;
  keep(form);
});
document.addEventListener('submit', (event) => {
  const form = event.target;
  if (!form.dataset.key || form.dataset.one) return;
  event.preventDefault();
  const by = event.submitter;
  if (by && by.name === 'take') {
    const input = form.querySelector(`[type=radio][value="${CSS.escape(by.value)}"]`) || form.querySelector('[name=text]');
    if (input.type === 'radio') input.checked = true;
    else input.value = by.value;
    input.focus();
    by.remove();
  }
  keep(form, by && by.name === 'sure');
});

// Filing: the slider, the field and the dot on the picture are one and the same.
const filed = document.getElementById('filed');
if (filed) {
  const slide = document.getElementById('slide');
  const by = document.getElementById('by');
  const spoken = document.getElementById('spoken');
  const show = newest(async (fields, from) => {
    const said = await ask('filing', { string: filed.dataset.string, ...fields }, true);
    if (!said) return;
    document.getElementById('by-say').textContent = said.why || '';
    if (said.state === 'refused') { by.setAttribute('aria-invalid', 'true'); return; }
    by.removeAttribute('aria-invalid');
    filed.innerHTML = said.live;
    spoken.textContent = said.say;
    if (from !== by) by.value = said.by;
    if (from !== slide) slide.value = said.mm;
    slide.setAttribute('aria-valuetext', said.by);
    requestAnimationFrame(() => { body.dataset.redrawn = String(Number(body.dataset.redrawn || 0) + 1); });
  });
  slide.setAttribute('aria-valuetext', by.value);
  slide.addEventListener('input', () => show({ mm: slide.value }, slide));
  by.addEventListener('input', () => show({ by: by.value }, by));
  document.getElementById('move').addEventListener('submit', (event) => { event.preventDefault(); show({ by: by.value }, by); });
  let drag = null;
  filed.addEventListener('pointerdown', (event) => {
    const grip = event.target.closest('.grip');
    if (!grip) return;
    const svg = grip.ownerSVGElement;
    // User units of the picture per millimetre, times pixels per user unit.
    const unit = Number(grip.dataset.unit) * svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
    drag = { x: event.clientX, from: Number(slide.value), unit };
    filed.setPointerCapture(event.pointerId);
    event.preventDefault();
  });
  filed.addEventListener('pointermove', (event) => {
    if (!drag) return;
    slide.value = drag.from + (drag.x - event.clientX) / drag.unit;
    show({ mm: slide.value }, slide);
  });
  for (const end of ['pointerup', 'pointercancel']) filed.addEventListener(end, () => { drag = null; });
}

// Readings after stringing up: what is left follows while they are typed.
const readings = document.getElementById('strung-form');
if (readings) {
  const left = document.getElementById('left');
  const words = document.getElementById('strung-say');
  const follow = newest(async () => {
    const said = await ask('strung/try', new FormData(readings));
    if (!said) return;
    words.innerHTML = said.say;
    if (said.live) left.innerHTML = said.live;
  });
  readings.addEventListener('input', () => follow());
}

// Ticks.
const work = document.getElementById('work');
if (work) {
  work.addEventListener('change', async (event) => {
    const box = event.target;
    const fields = { shown: box.value };
    if (box.checked) fields.done = box.value;
    if (!(await ask('tick', fields))) box.checked = !box.checked;
  });
}
