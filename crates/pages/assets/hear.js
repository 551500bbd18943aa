// Listening to the strings. What the microphone gives lies in memory for a few seconds; the sound of one pluck goes to the server, which says what
// was heard and whether plucks agree. Levels and times come from the page; nothing is judged here.
'use strict';
{
  const hear = document.getElementById('hear');
  const by = (id) => document.getElementById(id);
  const figure = (name) => Number(hear.dataset[name]);
  // Seconds of sound that lie in memory: one pluck and a little.
  const RING = 6;
  // Of so many seconds before a moment it is known how loud they were.
  const PAST = 0.5;
  // A second pluck this long after one takes its place, seconds.
  const ANEW = 0.3;
  // Nothing at all for so long, seconds: muted.
  const NOTHING = 2;
  // Under the least level by this factor nothing is said of it, and what the bar begins at, decibels.
  const FAINT = 0.3;
  const FLOOR = 60;
  const ALLOW = 'The browser keeps the microphone from this page. Allow it beside the address, or in the browser\u2019s settings, then press Listen again. A recording serves as well.';
  const TROUBLES = {
    NotAllowedError: ALLOW,
    SecurityError: ALLOW,
    NotFoundError: 'No microphone is found. Plug one in and press Listen again, or choose a recording.',
    OverconstrainedError: 'No microphone is found. Plug one in and press Listen again, or choose a recording.',
    NotReadableError: 'The microphone cannot be opened: another program may hold it. Close that, then press Listen again.',
  };
  const NO_WAY = 'This browser gives the microphone only to a page of this computer (127.0.0.1) or over https, and this page came in another way. Record the string with any recorder that saves WAV, and choose the recording below.';
  const MUTED = 'Nothing at all comes from the microphone: it is muted. Look for its switch, and for its level in the system\u2019s settings.';
  const GONE = 'The microphone is gone. Plug it in again, then press Listen.';

  const listen = by('listen');
  const say = by('hear-say');
  const state = by('hear-state');
  const offer = by('offer');
  const links = [...document.querySelectorAll('a[data-string]')];
  // What was heard of each string so far, as texts that the server reads again.
  const plucks = {};
  let string = hear.dataset.string;
  let fret = '0';
  // off, waiting for a pluck, ringing after one, asking the server, or agreed.
  let at = 'off';
  let open = null;

  // And whether it was kept: those plucks count in no other round.
  const kept = new Set();

  const heardOf = (number) => (plucks[number] ||= { 0: [], 12: [] });
  const linkOf = (number) => document.querySelector(`a[data-string="${number}"]`);

  function told(kind, html) {
    say.className = `say ${kind}`;
    say.innerHTML = html;
  }
  function trouble(text) {
    told('refused', '');
    say.textContent = `\u2715 ${text}`;
  }

  const STATES = { off: '', waiting: 'Listening. Pluck once, softly, and let it ring.', ringing: 'Heard a pluck: let it ring.', asking: 'Working it out.', agreed: 'The microphone waits.' };
  function turn(to) {
    at = to;
    hear.dataset.at = to;
    state.textContent = STATES[to];
    listen.textContent = open ? 'Stop listening' : 'Listen';
  }
  const wait = () => turn(open ? 'waiting' : 'off');

  // Another string, or the same at another fret.
  function go(number, to) {
    string = number;
    fret = to;
    for (const link of links) link.removeAttribute('aria-current');
    const link = linkOf(number);
    link.setAttribute('aria-current', 'true');
    by('now').textContent = fret === '0' ? link.dataset.open : link.dataset.fretted;
    told('', '');
    offer.replaceChildren();
    by('partials').replaceChildren();
    history.replaceState(null, '', `?string=${number}`);
    wait();
    by('now').focus({ preventScroll: true });
    by('now').scrollIntoView({ block: 'nearest' });
  }

  function drawRow(number, html) {
    const row = document.querySelector(`tr[data-row="${number}"]`);
    row.innerHTML = html;
    links.splice(0, links.length, ...document.querySelectorAll('a[data-string]'));
    if (number !== string) linkOf(number).removeAttribute('aria-current');
  }

  async function send(sound) {
    const [number, held] = [string, fret];
    turn('asking');
    const anew = kept.has(`${number} ${held}`);
    const before = { ...heardOf(number), ...(anew ? { [held]: [] } : {}) };
    const fields = { string: number, fret: held, version: body.dataset.version, open: before[0].join(), fretted: before[12].join() };
    const said = await ask('hear/try', fields, false, sound);
    if (said && said.pluck) {
      kept.delete(`${number} ${held}`);
      heardOf(number)[held] = [...before[held], said.pluck];
      drawRow(number, said.row);
    }
    // Who has gone on meanwhile is not called back.
    if (number !== string || held !== fret) return;
    if (!said) { wait(); return; }
    told(said.state === 'agreed' ? 'kept' : said.state === 'heard' ? 'doubt' : 'refused', said.say);
    if (said.partials) by('partials').innerHTML = said.partials;
    offer.innerHTML = said.offer || '';
    if (said.offer) turn('agreed'); else wait();
  }

  // Floating point of one channel as a WAV file.
  function wav(samples, rate) {
    const view = new DataView(new ArrayBuffer(44 + 4 * samples.length));
    const word = (place, text) => { for (let i = 0; i < 4; i++) view.setUint8(place + i, text.charCodeAt(i)); };
    word(0, 'RIFF'); view.setUint32(4, 36 + 4 * samples.length, true); word(8, 'WAVE');
    word(12, 'fmt '); view.setUint32(16, 16, true); view.setUint16(20, 3, true); view.setUint16(22, 1, true);
    view.setUint32(24, rate, true); view.setUint32(28, 4 * rate, true); view.setUint16(32, 4, true); view.setUint16(34, 32, true);
    word(36, 'data'); view.setUint32(40, 4 * samples.length, true);
    samples.forEach((sample, i) => view.setFloat32(44 + 4 * i, sample, true));
    return view.buffer;
  }

  // The last few seconds, how loud they were from block to block, and a pluck in them: a jump of the level.
  class Ear {
    constructor(rate) {
      this.rate = rate;
      this.ring = new Float32Array(Math.ceil(RING * rate));
      this.count = 0;
      this.past = [];
      this.from = 0;
      this.silent = 0;
      this.peak = 0;
      this.shown = 0;
      // What may be sent at once bounds the seconds of a very high rate.
      this.long = Math.min(figure('before') + figure('after'), (figure('most') - 44) / 4 / rate);
    }

    take(block) {
      let peak = 0;
      let power = 0;
      for (const sample of block) {
        this.ring[this.count++ % this.ring.length] = sample;
        peak = Math.max(peak, Math.abs(sample));
        power += sample * sample;
      }
      const loud = Math.sqrt(power / block.length);
      const seconds = block.length / this.rate;
      this.silent = peak === 0 ? this.silent + seconds : 0;
      if (this.silent >= NOTHING && this.silent < NOTHING + seconds) trouble(MUTED);
      const enough = this.past.length * seconds >= PAST;
      const was = this.past.reduce((sum, one) => sum + one, 0) / this.past.length;
      this.past.push(loud);
      if (enough) this.past.shift();
      this.show(peak, seconds);
      const jump = enough && peak >= figure('quiet') && loud > figure('jump') * was;
      const since = (this.count - this.from) / this.rate - figure('before');
      if (jump && (at === 'waiting' || at === 'ringing' && since > ANEW)) {
        this.from = Math.max(0, this.count - block.length - Math.round(figure('before') * this.rate));
        this.peak = 0;
        turn('ringing');
      }
      this.peak = Math.max(this.peak, peak);
      const long = Math.floor(this.long * this.rate);
      if (at === 'ringing' && this.count >= this.from + long) {
        const samples = Float32Array.from({ length: long }, (_, i) => this.ring[(this.from + i) % this.ring.length]);
        send(wav(samples, this.rate)).catch((error) => { broke(error); wait(); });
      }
    }

    // The bar follows the level; its word is of the last two seconds' loudest.
    show(peak, seconds) {
      this.held = peak > (this.held || 0) || (this.since += seconds) > 2 ? (this.since = 0, peak) : this.held;
      this.shown = Math.max(peak, this.shown * 0.85);
      this.last = (this.last || 0) + seconds;
      if (this.last < 0.1) return;
      this.last = 0;
      const part = Math.max(0, Math.min(1, 1 + 20 * Math.log10(Math.max(this.shown, 1e-9)) / FLOOR));
      const word = this.held > figure('loud') ? 'too loud' : this.held >= figure('quiet') ? 'good' : this.held >= FAINT * figure('quiet') ? 'too quiet' : 'nothing yet';
      const bar = by('level');
      bar.firstElementChild.style.width = `${100 * part}%`;
      bar.setAttribute('aria-valuenow', String(Math.round(100 * part)));
      bar.setAttribute('aria-valuetext', word);
      by('level-word').textContent = word;
    }
  }

  async function start() {
    if (!navigator.mediaDevices) { trouble(NO_WAY); return; }
    listen.disabled = true;
    let stream = null;
    let context = null;
    try {
      stream = await navigator.mediaDevices.getUserMedia({ audio: { echoCancellation: false, noiseSuppression: false, autoGainControl: false, channelCount: { ideal: 1 } } });
      context = new AudioContext();
      await context.audioWorklet.addModule('/sampler.js');
      const source = context.createMediaStreamSource(stream);
      const sampler = new AudioWorkletNode(context, 'sampler', { numberOfOutputs: 0 });
      const ear = new Ear(context.sampleRate);
      sampler.port.onmessage = (event) => ear.take(event.data);
      source.connect(sampler);
      await context.resume();
      const [track] = stream.getAudioTracks();
      track.addEventListener('ended', () => { stop(); trouble(GONE); });
      track.addEventListener('mute', () => trouble(MUTED));
      open = { stream, context };
      told('', '');
      wait();
      if (track.muted) trouble(MUTED);
    } catch (error) {
      for (const track of stream ? stream.getTracks() : []) track.stop();
      if (context) context.close();
      trouble(TROUBLES[error.name] || `The microphone cannot be opened: ${error.message}. A recording serves as well.`);
    } finally {
      listen.disabled = false;
    }
  }

  function stop() {
    if (!open) return;
    for (const track of open.stream.getTracks()) track.stop();
    open.context.close();
    open = null;
    if (at !== 'asking' && at !== 'agreed') turn('off'); else listen.textContent = 'Listen';
    by('level').firstElementChild.style.width = '0';
    by('level-word').textContent = 'off';
  }

  listen.addEventListener('click', () => { if (open) stop(); else start(); });
  addEventListener('pagehide', stop);

  by('sound').addEventListener('change', async (event) => {
    const [file] = event.target.files;
    if (!file) return;
    // Of a long one the first seconds are heard.
    const bytes = await file.slice(0, figure('most')).arrayBuffer();
    event.target.value = '';
    await send(bytes).catch((error) => { broke(error); wait(); });
  });

  document.addEventListener('click', (event) => {
    const link = event.target.closest('a[data-string]');
    if (link && !event.ctrlKey && !event.metaKey && !event.shiftKey) {
      event.preventDefault();
      go(link.dataset.string, '0');
      return;
    }
    const button = event.target.closest('button[data-do]');
    if (!button) return;
    if (button.dataset.do === 'next') { go(button.value, '0'); return; }
    if (button.dataset.do === 'again') heardOf(string)[fret] = [];
    go(string, button.dataset.do === 'again' ? fret : button.dataset.do);
  });

  offer.addEventListener('submit', async (event) => {
    event.preventDefault();
    const [number, held] = [string, fret];
    const said = await ask('hear', new FormData(event.target));
    if (!said) return;
    version(said.version);
    kept.add(`${number} ${held}`);
    by('steps').outerHTML = said.steps;
    drawRow(number, said.row);
    if (number !== string) return;
    told('kept', said.say);
    offer.innerHTML = said.offer;
    const next = offer.querySelector('button:last-of-type');
    if (next) next.focus();
  });

  hear.hidden = false;
  if (!['127.0.0.1', 'localhost', '[::1]'].includes(location.hostname)) {
    by('forgotten').hidden = true;
    by('elsewhere').hidden = false;
  }
  if (!navigator.mediaDevices) {
    listen.hidden = true;
    document.querySelector('.level-row').hidden = true;
    trouble(NO_WAY);
  }
  turn('off');
}
