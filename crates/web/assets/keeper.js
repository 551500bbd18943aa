// Keeps the edition's own files, so that it opens without a network after the first visit. A new edition takes over when the old one's
// windows are closed. Jobs are not here: they are in the page's own store.
'use strict';
const EDITION = 'bonewright @EDITION@';
const FILES = @FILES@;

self.addEventListener('install', (event) => {
  event.waitUntil(caches.open(EDITION).then((cache) => cache.addAll(FILES)));
});

self.addEventListener('activate', (event) => {
  event.waitUntil(caches.keys().then((names) => Promise.all(names.filter((name) => name.startsWith('bonewright ') && name !== EDITION).map((name) => caches.delete(name)))));
});

self.addEventListener('fetch', (event) => {
  if (event.request.method !== 'GET') return;
  event.respondWith(caches.open(EDITION).then(async (cache) => await cache.match(event.request, { ignoreSearch: true }) || fetch(event.request)));
});
