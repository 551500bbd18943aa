// Keys of the page's own for lengths, on touch screens: whole, fraction, sign and unit under one thumb. A keyboard works as it does.
'use strict';
{
  const KEYS = [
    ['7', '8', '9', 'back'],
    ['4', '5', '6', '/'],
    ['1', '2', '3', 'space'],
    ['0', '.', '\u2212', '.5'],
  ];
  const WORDS = { back: ['\u232b', 'Take the last sign away'], space: ['\u2423', 'Space'], '/': ['/', 'Fraction'], '.5': ['\u00bd', 'And a half'], '\u2212': ['\u2212', 'Minus'] };
  const UNITS = { length: ['/64 in', 'in', 'thou', 'mm', 'deg'], number: [] };
  // How long the keys stay when the field is left, milliseconds: longer than a tap.
  const STAYS = 350;
  let input = null;
  let written = false; // by these keys, of which the field itself tells nobody
  let asked = false; // the device's own keyboard, for this field
  const pad = document.createElement('div');
  pad.className = 'pad';
  pad.hidden = true;
  pad.setAttribute('role', 'group');
  pad.setAttribute('aria-label', 'Keys');

  const key = (sign, words, act, kind) => {
    const button = document.createElement('button');
    button.type = 'button';
    button.textContent = sign;
    button.className = kind || 'quiet';
    if (words) button.setAttribute('aria-label', words);
    // The field keeps the hand.
    button.addEventListener('pointerdown', (event) => event.preventDefault());
    button.addEventListener('click', act);
    return button;
  };

  const write = (text) => {
    const [from, to] = [input.selectionStart ?? input.value.length, input.selectionEnd ?? input.value.length];
    input.setRangeText(text, from, to, 'end');
    written = true;
    input.dispatchEvent(new Event('input', { bubbles: true }));
  };
  const back = () => {
    const [from, to] = [input.selectionStart ?? input.value.length, input.selectionEnd ?? input.value.length];
    input.setRangeText('', from === to ? Math.max(0, from - 1) : from, to, 'end');
    written = true;
    input.dispatchEvent(new Event('input', { bubbles: true }));
  };
  // A unit takes the place of the one that stands there.
  const unit = (name) => {
    const bare = input.value.replace(/\s*(\/64 in|in|thou|mm|deg)?\s*$/, '');
    input.value = name.startsWith('/') ? bare + name : `${bare} ${name}`;
    written = true;
    input.dispatchEvent(new Event('input', { bubbles: true }));
  };

  function show(field) {
    input = field;
    const keys = document.createElement('div');
    keys.className = 'pad-keys';
    for (const sign of KEYS.flat()) {
      const [shown, words] = WORDS[sign] || [sign, ''];
      const written = { space: ' ', '\u2212': '-' }[sign] || sign;
      keys.append(key(shown, words, sign === 'back' ? back : () => write(written)));
    }
    const row = document.createElement('div');
    row.className = 'pad-row';
    for (const name of UNITS[field.dataset.keys] || []) row.append(key(name === '/64 in' ? '/64' : name, name === '/64 in' ? '64ths of an inch' : '', () => unit(name)));
    const last = document.createElement('div');
    last.className = 'pad-row';
    last.append(
      key('abc', 'The keyboard of the device', () => { asked = true; pad.hidden = true; document.body.classList.remove('padded'); input.inputMode = ''; input.blur(); input.focus(); }),
      key('Next', '', () => onward(input), 'main'),
    );
    pad.replaceChildren(keys, row, last);
    pad.hidden = false;
    document.body.classList.add('padded');
    field.closest('.field').scrollIntoView({ block: 'center', behavior: 'instant' });
  }

  // The keys go once the finger is up: what it is on must not move from under it.
  function away() {
    setTimeout(() => {
      const now = document.activeElement;
      if (now && now.dataset && now.dataset.keys && !asked) return;
      pad.hidden = true;
      document.body.classList.remove('padded');
    }, STAYS);
  }

  const coarse = matchMedia('(pointer: coarse)').matches;
  if (coarse) {
    document.body.append(pad);
    for (const field of document.querySelectorAll('input[data-keys]')) field.inputMode = 'none';
    document.addEventListener('focusin', (event) => {
      const field = event.target;
      if (field.dataset && field.dataset.keys && field.closest('.field')) {
        if (field === input && asked) return;
        asked = false;
        field.inputMode = 'none';
        show(field);
      } else if (!pad.contains(field)) {
        away();
      }
    });
    document.addEventListener('focusout', (event) => {
      if (written && event.target === input) {
        written = false;
        input.dispatchEvent(new Event('change', { bubbles: true }));
      }
      if (!event.relatedTarget) away();
    });
    const first = document.activeElement;
    if (first && first.dataset && first.dataset.keys) show(first);
  }
}
