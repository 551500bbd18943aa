// The list of jobs is filtered while one types, and undo leaves hand and eye where they were.
'use strict';
{
  // Where the page was, for the one that takes its place.
  const PLACE = 'bonewright place';
  const find = document.getElementById('find');
  const lists = [...document.querySelectorAll('ul.list li[data-words]')];
  if (find && lists.length && !new URLSearchParams(location.search).get('q')) {
    const found = document.getElementById('found');
    const folds = [...document.querySelectorAll('details.fold')];
    let unfolded = null;
    // As the server searches: a letter with a mark, or as it is written plainly.
    const PLAIN = { '\u00e4': 'ae', '\u00f6': 'oe', '\u00fc': 'ue', '\u00df': 'ss', '\u00e5': 'a', '\u00f8': 'oe', '\u00e6': 'ae' };
    const plainly = (word) => [...word].map((letter) => PLAIN[letter] || letter.normalize('NFD').replace(/[\u0300-\u036f]/g, '')).join('');
    const filter = () => {
      const words = find.value.toLowerCase().split(/\s+/).filter(Boolean).map((word) => [word, plainly(word)]);
      let count = 0;
      for (const row of lists) {
        const shown = words.every((ways) => ways.some((word) => row.dataset.words.includes(word)));
        row.hidden = !shown;
        if (shown) count++;
      }
      if (words.length && !unfolded) {
        unfolded = folds.map((fold) => fold.open);
        for (const fold of folds) if (fold.querySelector('li[data-words]')) fold.open = true;
      } else if (!words.length && unfolded) {
        folds.forEach((fold, i) => { fold.open = unfolded[i]; });
        unfolded = null;
      }
      found.textContent = words.length ? (count ? `${count} of ${lists.length}.` : `None of ${lists.length} has these words.`) : '';
    };
    find.addEventListener('input', filter);
    if (find.value) filter();
  }

  // Undo and redo: what is being kept is kept first, and the page that comes stands where this one stood.
  document.addEventListener('submit', (event) => {
    const form = event.target;
    const steps = form.closest('.steps');
    if (!steps || form.dataset.sent) return;
    event.preventDefault();
    form.dataset.sent = 'yes';
    const page = location.pathname.split('/').pop();
    const query = new URLSearchParams(location.search);
    query.delete('said');
    const asked = query.toString();
    form.elements.back.value = asked ? `${page}?${asked}` : page;
    keeping.then(() => {
      try { sessionStorage.setItem(PLACE, JSON.stringify({ path: location.pathname, y: scrollY, id: event.submitter ? event.submitter.id : '' })); } catch { /* it begins at its top then */ }
      // It may have been drawn anew meanwhile, with the version that was kept.
      const now = document.querySelector(`.steps form[action="${form.getAttribute('action')}"]`) || form;
      now.elements.back.value = form.elements.back.value;
      now.dataset.sent = 'yes';
      now.submit();
    });
  });
  const query = new URLSearchParams(location.search);
  if (query.has('said')) {
    let place = null;
    try { place = JSON.parse(sessionStorage.getItem(PLACE)); sessionStorage.removeItem(PLACE); } catch { /* none was kept */ }
    if (place && place.path === location.pathname) {
      scrollTo({ top: place.y, behavior: 'instant' });
      const hand = document.getElementById(place.id);
      const other = document.getElementById(place.id === 'undo' ? 'redo' : 'undo');
      const to = hand && !hand.disabled ? hand : other;
      if (to && !to.disabled) to.focus({ preventScroll: true });
    }
    // What was done is said once; what was refused stays in the address, and so on the page that is loaded again.
    if (document.querySelector('#toast span')) {
      query.delete('said');
      const asked = query.toString();
      history.replaceState(history.state, '', location.pathname + (asked ? `?${asked}` : '') + location.hash);
    }
  }
  // A page that the browser kept may be left and come back to.
  addEventListener('pageshow', () => { for (const form of document.querySelectorAll('.steps form')) delete form.dataset.sent; });

  // The tab of this page is in sight, and then the one that has the focus.
  const tabs = document.querySelector('.top nav ul');
  const bring = (tab) => { tabs.scrollLeft = tab.offsetLeft - (tabs.clientWidth - tab.offsetWidth) / 2; };
  const here = tabs && tabs.querySelector('a[aria-current]');
  if (here) bring(here);
  if (tabs) tabs.addEventListener('focusin', (event) => { if (event.target.matches(':focus-visible')) bring(event.target); });
}
