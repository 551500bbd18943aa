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

// Whether the server answered when it was last asked.
let reached = true;
// Whether it said that the page is not of the job as it is now.
let stale = false;

// What the server says, or nothing once the user was told why not. It never throws: what waits behind it goes on.
// With `sound`, bytes, that is what is posted, and the fields stand in the address.
async function ask(path, fields, get, sound) {
  const data = new URLSearchParams(fields);
  if (!get && !sound) data.set('token', token);
  const address = `/job/${job}/${path}`;
  const kept = get || path.endsWith('try') ? '' : UNKNOWN;
  const hang = new AbortController();
  const alarm = setTimeout(() => hang.abort(), PATIENCE * 1000);
  let kind;
  let text;
  try {
    const by = { headers: { 'X-Bench': '1' }, signal: hang.signal };
    if (sound) Object.assign(by, { method: 'POST', body: sound, headers: { ...by.headers, 'X-Bench-Token': token, 'Content-Type': 'audio/wav' } });
    const reply = get || sound
      ? await fetch(`${address}?${data}`, by)
      : await fetch(address, { ...by, method: 'POST', body: data });
    kind = reply.headers.get('content-type') || '';
    text = await reply.text();
    reached = true;
  } catch {
    reached = false;
    if (hang.signal.aborted) tell(`bonewright has not answered for ${PATIENCE} s. ${kept}`, true);
    else tell(path === 'answer' || path === 'try' ? `bonewright does not answer. ${LYING}` : 'bonewright does not answer. What was kept is safe on the disk. Start it again, then make this change again.');
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
    stale = Boolean(said.reload);
    tell(said.why, said.reload);
    return null;
  }
  return said;
}

// What moved, for those who hear it, once the hand rests.
let hearing = 0;
function hear(words) {
  clearTimeout(hearing);
  hearing = setTimeout(() => { document.getElementById('moved').textContent = words || ''; }, 700);
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

// What is typed and not kept yet lies in the browser as well: it outlives a reload, a way back and a server that is gone.
const shelf = {
  name: (key) => `bonewright ${job} ${key}`,
  put(key, text, was, sent) { try { localStorage.setItem(this.name(key), JSON.stringify({ text, was, sent })); } catch { /* there is none: the page keeps it */ } },
  get(key) { try { return JSON.parse(localStorage.getItem(this.name(key))); } catch { return null; } },
  drop(key) { try { localStorage.removeItem(this.name(key)); } catch { /* nothing lies there */ } },
};
const LYING = 'What you typed is kept in this browser until bonewright answers again.';
// How often it is tried again, seconds.
const AGAIN = 3;

// Stands between several choices of one field.
const BETWEEN = '; ';
const controls = (field) => [...field.querySelectorAll('input:not([type=hidden]), select')];
const lines = (field) => controls(field).filter((input) => input.tagName === 'INPUT' && !['radio', 'checkbox'].includes(input.type));

// What stands in a field: one text, whether it is a line, a choice, or a line for every string.
function textOf(field) {
  const all = controls(field);
  if (all[0] && all[0].type === 'checkbox') return all.filter((input) => input.checked).map((input) => input.value).join(BETWEEN);
  const radio = all.find((input) => input.type === 'radio');
  if (radio) { const on = all.find((input) => input.checked); return on ? on.value : ''; }
  const join = field.dataset.join;
  if (join === undefined) return all.length ? all[0].value.trim() : '';
  const texts = all.map((input) => input.value.trim());
  return texts.every((text) => !text) ? '' : texts.map((text) => text || field.dataset.blank).join(join);
}

// What stood in it when it was drawn, or was kept last.
function drawn(field) {
  const all = controls(field);
  if (all[0] && all[0].type === 'checkbox') return all.filter((input) => input.defaultChecked).map((input) => input.value).join(BETWEEN);
  if (all[0] && all[0].type === 'radio') { const on = all.find((input) => input.defaultChecked); return on ? on.value : ''; }
  const stood = (input) => {
    if (input.tagName !== 'SELECT') return input.defaultValue.trim();
    const on = [...input.options].find((option) => option.defaultSelected);
    return on ? on.value : '';
  };
  const texts = all.map(stood);
  if (field.dataset.join === undefined) return texts[0] || '';
  return texts.every((text) => !text) ? '' : texts.map((text) => text || field.dataset.blank).join(field.dataset.join);
}

function settle(field) {
  for (const input of controls(field)) {
    if (['radio', 'checkbox'].includes(input.type)) input.defaultChecked = input.checked;
    else if (input.tagName === 'SELECT') for (const option of input.options) option.defaultSelected = option.selected;
    else input.defaultValue = input.value;
  }
}

function fill(field, text) {
  const all = controls(field);
  const join = field.dataset.join;
  if (join !== undefined) {
    const texts = text ? text.split(join.trim() || /\s+/) : [];
    all.forEach((input, i) => { input.value = (texts[i] || '').trim().replace(/^-$/, ''); });
  } else if (all[0] && all[0].type === 'checkbox') {
    const on = text.split(BETWEEN.trim()).map((one) => one.trim());
    for (const input of all) input.checked = on.includes(input.value);
  } else if (all[0] && all[0].type === 'radio') {
    for (const input of all) input.checked = input.value === text;
  } else if (all[0]) {
    all[0].value = text;
  }
}

function say(field, said) {
  const place = field.querySelector('.say');
  place.className = `say ${said.state}`;
  place.innerHTML = said.say;
  field.dataset.state = said.state;
  for (const input of lines(field)) {
    if (said.state === 'refused') input.setAttribute('aria-invalid', 'true');
    else input.removeAttribute('aria-invalid');
  }
}

const viewOf = (field) => {
  const list = field.closest('[data-view]');
  return list ? list.dataset.view : '';
};

function typed(field) {
  const fields = { key: field.dataset.key, text: textOf(field), view: viewOf(field) };
  const station = field.closest('form[data-station]');
  if (station) fields.at = station.dataset.station;
  if (live) fields.part = live.dataset.part;
  const treble = otherEnd(field, 'bass', 'treble');
  if (treble) fields.other = textOf(treble);
  return fields;
}

// The field of the other end, beside that of this one. "Same" in that of the treble end is kept together with the bass end.
function otherEnd(field, own, other) {
  const key = field.dataset.key;
  const pair = key.endsWith(`.${own}`) && field.closest('.ends');
  return pair ? pair.querySelector(`.field[data-key="${CSS.escape(key.slice(0, -own.length) + other)}"]`) : null;
}

let keeping = Promise.resolve();
let keeps = 0;
let gone = false;

const attempt = newest(async (field) => {
  const before = keeps;
  const fields = typed(field);
  const said = await ask('try', fields);
  if (!said) { if (!reached) later(); return; }
  // What was kept meanwhile has the last word.
  if (before !== keeps) return;
  if (field.dataset.state !== 'kept' || field.dataset.kept !== fields.text) say(field, said);
  if (said.live && live) {
    live.innerHTML = said.live;
    hear(said.moved);
    requestAnimationFrame(() => { body.dataset.redrawn = String(Number(body.dataset.redrawn || 0) + 1); });
  }
});

// What a form's fields are made of: it is drawn again when that changes.
const shape = (within) => [...within.querySelectorAll('[data-key], [data-key] button, details.usual > summary')].map((one) => one.dataset.key || `${one.name}${one.value}` || one.textContent).join('|');

// Draws the forms again, and leaves hand and eye where they were.
function redraw(list, html, field) {
  const fresh = document.createElement('div');
  fresh.innerHTML = html;
  const old = list.dataset.view === 'ask' ? list.querySelector('form[data-station]') : list;
  const now = list.dataset.view === 'ask' ? fresh.querySelector('form[data-station]') : fresh;
  if (!old || !now || shape(old) === shape(now)) return false;
  const hand = document.activeElement;
  const at = hand && hand.id ? `#${CSS.escape(hand.id)}`
    : hand && hand.name && hand.form && hand.form.dataset.station ? `form[data-station="${hand.form.dataset.station}"] [name="${CSS.escape(hand.name)}"][value="${CSS.escape(hand.value)}"]` : null;
  const place = document.activeElement && document.activeElement.selectionStart;
  const top = field.getBoundingClientRect().top;
  const open = [...list.querySelectorAll('[data-key]')].filter((one) => shelf.get(one.dataset.key) !== null && one !== field).map((one) => [one.dataset.key, textOf(one)]);
  const unfolded = [...list.querySelectorAll('form[data-station]')].filter((form) => form.querySelector('details.usual[open]')).map((form) => form.dataset.station);
  if (old === list) list.replaceChildren(...now.childNodes);
  else old.replaceWith(now);
  for (const [key, text] of open) {
    const again = list.querySelector(`[data-key="${CSS.escape(key)}"]`);
    if (again) fill(again, text);
  }
  for (const name of unfolded) {
    const usual = list.querySelector(`form[data-station="${name}"] details.usual`);
    if (usual) usual.open = true;
  }
  const same = list.querySelector(`[data-key="${CSS.escape(field.dataset.key)}"]`);
  if (same) window.scrollBy({ top: same.getBoundingClientRect().top - top, behavior: 'instant' });
  const back = at && document.querySelector(at);
  if (back) {
    back.focus({ preventScroll: true });
    if (place !== null && back.setSelectionRange && back.type === 'text') back.setSelectionRange(place, place);
  }
  return true;
}

// Nothing is drawn anew under a finger that is down.
let down = false;
for (const [what, is] of [['pointerdown', true], ['pointerup', false], ['pointercancel', false]]) document.addEventListener(what, () => { down = is; }, true);
const released = () => new Promise((done) => {
  const look = () => (down ? setTimeout(look, 30) : setTimeout(done, 0));
  look();
});

// Keeps what stands in a field; `pressed` is a button beside it.
function keep(field, pressed) {
  const fields = typed(field);
  if (pressed) fields[pressed.name.split('.')[0]] = pressed.value;
  keeps++;
  keeping = keeping.then(async () => {
    fields.version = body.dataset.version;
    const said = await ask('answer', fields);
    if (!said) { if (!reached) later(); return; }
    gone = false;
    if (said.state !== 'kept') { say(field, said); return; }
    version(said.version);
    if (shelf.get(fields.key) === null || textOf(field) === fields.text || pressed) shelf.drop(fields.key);
    field.dataset.kept = fields.text;
    const none = { state: '', say: '' };
    const treble = otherEnd(field, 'bass', 'treble');
    if (treble && textOf(treble) === fields.other && (fields.text ? fields.other === 'same' : !fields.other)) {
      shelf.drop(treble.dataset.key);
      settle(treble);
      say(treble, fields.text ? said : none);
    }
    // Where neither end has anything, none of them is missing.
    const bass = otherEnd(field, 'treble', 'bass');
    if (bass && !fields.text && !textOf(bass)) say(bass, none);
    const steps = document.getElementById('steps');
    if (steps) steps.outerHTML = said.steps;
    if (said.live && live) { live.innerHTML = said.live; hear(said.moved); }
    const map = document.getElementById('map');
    if (map && said.map) map.innerHTML = said.map;
    const title = document.querySelector('.job');
    if (title) title.textContent = said.title;
    const list = field.closest('[data-view]');
    if (list) await released();
    if (list && said.form && redraw(list, said.form, field)) return;
    const input = lines(field)[0];
    const listed = field.dataset.join !== undefined;
    if (pressed) fill(field, said.text);
    else if (input && !listed && said.text !== null && document.activeElement !== input) input.value = said.text;
    settle(field);
    say(field, said);
  }).catch(broke);
  return keeping;
}

// The server is gone: what lies in the browser is brought to it when it answers again.
function later() {
  if (!gone) setTimeout(retry, AGAIN * 1000);
  gone = true;
}

async function retry() {
  gone = false;
  for (const field of document.querySelectorAll('.field[data-key]')) {
    if (shelf.get(field.dataset.key) !== null && !gone) await keep(field);
  }
  if (!gone) toast.textContent = '';
}

const fieldOf = (target) => (target.closest ? target.closest('.field[data-key]') : null);

// The survey, and the one reading on the plan's page.
document.addEventListener('input', (event) => {
  const field = fieldOf(event.target);
  if (!field || !event.target.name) return;
  const view = viewOf(field);
  // What is tried on the plan is no answer yet: it comes back there, and is not kept elsewhere.
  if (view) shelf.put(view === 'plan' ? `try ${field.dataset.key}` : field.dataset.key, textOf(field), drawn(field));
  attempt(field);
});
document.addEventListener('change', (event) => {
  const field = fieldOf(event.target);
  if (event.target.id === 'lever-key') { event.target.form.requestSubmit(); return; }
  if (!field || !viewOf(field) || viewOf(field) === 'plan') return;
  const chosen = ['radio', 'checkbox'].includes(event.target.type) || event.target.tagName === 'SELECT';
  if (!chosen && event.target.value === event.target.defaultValue) { shelf.drop(field.dataset.key); return; }
  keep(field);
});
document.addEventListener('submit', (event) => {
  const form = event.target;
  const by = event.submitter;
  if (form.dataset.key) {
    event.preventDefault();
    if (by && by.name.startsWith('take')) fill(form, by.value);
    keep(form, by && by.name ? by : null);
    return;
  }
  if (!form.dataset.station) return;
  const field = by && by.name.includes('.') ? fieldOf(by) : null;
  event.preventDefault();
  if (field) {
    if (by.name.startsWith('take.')) fill(field, by.value);
    keep(field, by);
    return;
  }
  // The whole station goes on its way once all before it is kept.
  keeping.then(() => {
    if (gone) { tell(LYING); return; }
    // It may have been drawn again meanwhile.
    const now = document.querySelector(`form[data-station="${form.dataset.station}"]`) || form;
    const send = document.createElement('input');
    send.type = 'hidden';
    send.name = by && by.name ? by.name : 'go';
    send.value = by && by.name ? by.value : 'yes';
    now.append(send);
    now.submit();
  });
});

// Enter goes on to the next line, and from the last one to the next station.
document.addEventListener('keydown', (event) => {
  const form = event.target.closest && event.target.closest('form[data-station]');
  if (event.key !== 'Enter' || !form || event.target.tagName !== 'INPUT' || event.isComposing) return;
  event.preventDefault();
  onward(event.target);
});

function onward(input) {
  const form = input.closest('form[data-station]');
  const shown = [...form.querySelectorAll('.field input:not([type=hidden]), .field select')].filter((one) => one.checkVisibility ? one.checkVisibility() : one.offsetParent);
  const group = (one) => (one.type === 'radio' ? one.name : one.id);
  const rest = shown.slice(shown.indexOf(input) + 1).filter((one) => group(one) !== group(input));
  const next = rest.find((one) => one.type !== 'radio' || one.checked) || rest[0];
  if (next) { next.focus(); if (next.select && next.type !== 'radio') next.select(); } else { input.blur(); form.requestSubmit(form.querySelector('button.main')); }
}

// What was typed before and not kept comes back, and is kept now, unless the field was changed meanwhile.
for (const field of document.querySelectorAll('[data-view] .field[data-key]')) {
  const lies = shelf.get(field.dataset.key);
  if (lies === null) continue;
  const now = textOf(field);
  if (lies.text === now) { if (!['refused', 'doubt'].includes(field.dataset.state)) shelf.drop(field.dataset.key); continue; }
  fill(field, lies.text);
  if (lies.was === drawn(field)) keep(field).then(() => { if (stale) overtaken(field, now).catch(broke); });
  else overtakenAlready(field).catch(broke);
}

// Whether a field that is drawn so has been kept as what is typed in ours: with its unit, or as the same as at the other end.
async function isKept(field, shown) {
  const said = await ask('try', typed(field));
  if (!said || !said.as) return false;
  const bass = document.querySelector(`.field[data-key="${CSS.escape(field.dataset.key.replace(/treble$/, 'bass'))}"]`);
  return said.as === shown || (shown === 'same' && bass && drawn(bass) === said.as);
}

async function overtakenAlready(field) {
  if (!await isKept(field, drawn(field))) { meanwhile(field); return; }
  fill(field, drawn(field));
  shelf.drop(field.dataset.key);
}

// Somebody else has answered: both are shown, and the hand decides.
function meanwhile(field) {
  const words = document.createElement('span');
  words.textContent = `? Typed before and not kept: meanwhile it became ${drawn(field) || 'empty'}. `;
  const sure = document.createElement('button');
  sure.name = `sure.${field.dataset.key}`;
  sure.value = 'yes';
  sure.textContent = 'Keep it all the same';
  say(field, { state: 'doubt', say: '' });
  field.querySelector('.say').append(words, sure);
  const usual = field.closest('details');
  if (usual) usual.open = true;
}

// What the last page sent on its way out came in after this one was drawn. If this field is still as it was drawn, or already as it was
// typed, nobody's answer is lost by going on from there.
async function overtaken(field, was) {
  const key = field.dataset.key;
  const reply = await fetch(location.href);
  const now = new DOMParser().parseFromString(await reply.text(), 'text/html');
  const there = now.querySelector(`.field[data-key="${CSS.escape(key)}"]`);
  const done = there && await isKept(field, textOf(there));
  if (!there || !done && textOf(there) !== was) return;
  stale = false;
  toast.textContent = '';
  version(now.body.dataset.version);
  if (done) shelf.drop(key);
  else await keep(field);
}

// What is tried on the plan: it is back after a way elsewhere, and goes when it is kept or taken back.
for (const field of document.querySelectorAll('form.field[data-view=plan]')) {
  const name = `try ${field.dataset.key}`;
  const back = document.createElement('button');
  back.type = 'button';
  back.className = 'quiet';
  back.textContent = 'Back as it was';
  field.append(back);
  back.addEventListener('click', () => { fill(field, drawn(field)); shelf.drop(name); attempt(field); });
  field.addEventListener('submit', () => shelf.drop(name));
  const lies = shelf.get(name);
  if (lies === null) continue;
  if (lies.was !== drawn(field) || lies.text === textOf(field)) shelf.drop(name);
  else { fill(field, lies.text); attempt(field); }
}

{
  const form = document.querySelector('[data-view=ask] form[data-station]:not([data-setting])');
  const open = form ? [...form.querySelectorAll('.field[data-key]')].filter((field) => !field.closest('details.usual:not([open])')) : [];
  const empty = open.filter((field) => !textOf(field)).map((field) => controls(field)[0])[0];
  if (empty && !location.hash) empty.focus({ preventScroll: true });
}

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

// A contact dragged on the plan, or moved by the slider below it: what filing it there would cost stands below. Nothing is changed by it.
if (live) {
  let drag = null;
  const gripOf = (slider) => slider.closest('.cut-one').querySelector('.grip');
  // It goes back where it is.
  const leave = (slider) => {
    gripOf(slider).removeAttribute('transform');
    slider.value = 0;
    slider.removeAttribute('aria-valuetext');
  };
  const cost = newest(async (at, string, mm) => {
    const said = await ask('filing', { string, mm: String(mm) }, true);
    if (!said || said.state === 'refused') return;
    const place = at.closest('section').querySelector('.costs-of');
    place.hidden = false;
    place.firstElementChild.innerHTML = said.live;
    place.lastElementChild.href = `/job/${job}/filing?string=${string}&by=${encodeURIComponent(said.by)}`;
    const slider = at.closest('.cut-one').querySelector('.cut-by input');
    if (document.activeElement === slider && Number(slider.value)) slider.setAttribute('aria-valuetext', `${said.mm < 0 ? 'back' : 'forward'} ${said.by.replace(/^[-\u2212]/, '')}`);
    else if (!drag || drag.grip !== at) return;
    at.setAttribute('transform', `translate(${(-said.mm * Number(at.dataset.unit)).toFixed(2)} 0)`);
  });
  const isSlider = (one) => one.matches('.cut-by input');
  live.addEventListener('input', (event) => {
    if (isSlider(event.target)) cost(gripOf(event.target), event.target.dataset.string, event.target.value * event.target.dataset.step);
  });
  live.addEventListener('keydown', (event) => { if (event.key === 'Escape' && isSlider(event.target)) leave(event.target); });
  live.addEventListener('focusout', (event) => { if (isSlider(event.target)) leave(event.target); });
  live.addEventListener('pointerdown', (event) => {
    const grip = event.target.closest('.cuts .grip');
    if (!grip) return;
    const svg = grip.ownerSVGElement;
    const unit = Number(grip.dataset.unit);
    drag = { grip, unit, x: event.clientX, pixels: unit * svg.getBoundingClientRect().width / svg.viewBox.baseVal.width };
    live.setPointerCapture(event.pointerId);
    event.preventDefault();
  });
  live.addEventListener('pointermove', (event) => {
    if (drag) cost(drag.grip, drag.grip.dataset.string, (drag.x - event.clientX) / drag.pixels);
  });
  for (const end of ['pointerup', 'pointercancel']) {
    live.addEventListener(end, () => { if (drag) drag.grip.removeAttribute('transform'); drag = null; });
  }
}

// Programs: how far the check is, and a word to stop it.
const make = document.getElementById('make-programs');
if (make) {
  const box = document.getElementById('checking');
  const [words, bar, halt] = box.children;
  let under = false;
  make.addEventListener('submit', async (event) => {
    event.preventDefault();
    if (under) return;
    under = true;
    box.hidden = bar.hidden = halt.hidden = false;
    bar.removeAttribute('value');
    words.textContent = 'Checking.';
    let stopped = false;
    halt.onclick = async () => { stopped = true; words.textContent = 'Stopping.'; await ask('stop', {}); };
    const alarm = setInterval(async () => {
      try {
        const said = await (await fetch(`/job/${job}/checking`, { headers: { 'X-Bench': '1' } })).json();
        if (stopped || !said.of) return;
        bar.max = said.of;
        bar.value = said.before;
        if (words.textContent !== said.say) words.textContent = said.say;
      } catch { /* the answer itself says so */ }
    }, 250);
    const there = `${make.getAttribute('action')}?make=yes`;
    try {
      const reply = await fetch(there);
      const text = await reply.text();
      if (stopped && !text.includes('class="verdict')) words.textContent = 'Stopped: no program was made.';
      else location.assign(there);
    } catch {
      words.textContent = '';
      tell('bonewright does not answer. Start it again, then make the programs again.');
    }
    clearInterval(alarm);
    under = false;
    // What had the hand is gone.
    if (stopped && halt.contains(document.activeElement)) make.querySelector('button').focus();
    bar.hidden = halt.hidden = stopped;
  });
}

// A form that is kept as a whole: what was typed before and not kept is here again, and the hand keeps it. What was sent and came in is not.
function lie(form, key, follow) {
  const lines = [...form.querySelectorAll('input:not([type=hidden]), select, textarea')];
  const drawn = (line) => (line.tagName === 'SELECT' ? ([...line.options].find((option) => option.defaultSelected) || line.options[0]).value : line.defaultValue);
  const texts = (of) => JSON.stringify(lines.map(of));
  const was = texts(drawn);
  form.addEventListener('input', () => {
    shelf.put(key, texts((line) => line.value), was);
    follow();
  });
  form.addEventListener('submit', () => shelf.put(key, texts((line) => line.value), was, true));
  const lies = shelf.get(key);
  let old = [];
  try { old = lies ? JSON.parse(lies.text) : []; } catch { /* nothing lies there */ }
  if (lies && (lies.text === texts((line) => line.value) || lies.sent && lies.was !== was)) shelf.drop(key);
  else if (old.length === lines.length) {
    lines.forEach((line, i) => {
      line.value = old[i];
      if (old[i] !== drawn(line)) for (let fold = line.closest('details'); fold; fold = fold.parentElement.closest('details')) fold.open = true;
    });
    const back = document.createElement('button');
    back.type = 'button';
    back.className = 'quiet';
    back.textContent = 'Leave it';
    back.addEventListener('click', () => { shelf.drop(key); location.reload(); });
    toast.textContent = lies.was === was ? 'What you typed and did not keep is here again. ' : 'What you typed and did not keep is here again; it was changed elsewhere meanwhile. ';
    toast.append(back);
    follow();
  }
}

// Readings after stringing up: what is left follows while they are typed.
const readings = document.getElementById('strung-form');
if (readings) {
  const left = document.getElementById('left');
  const words = document.getElementById('strung-say');
  const follow = newest(async () => {
    const said = await ask('strung/try', new FormData(readings));
    if (!said) return;
    // What is drawn anew must not push the line that is typed in out of sight.
    const line = readings.contains(document.activeElement) ? document.activeElement : null;
    const seen = () => { const box = line.getBoundingClientRect(); return box.top >= 0 && box.bottom <= innerHeight; };
    const was = line && seen();
    words.innerHTML = said.say;
    if (said.live) left.innerHTML = said.live;
    if (was && !seen()) line.scrollIntoView({ block: 'nearest' });
  });
  lie(readings, 'strung', follow);
}

// What a job has beside its survey.
const entry = document.querySelector('form[data-lies]');
if (entry) lie(entry, entry.dataset.lies, () => {});

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
