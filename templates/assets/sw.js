// Keeps the whole site for use without a network. The lines above name every file with the start of its SHA-256.
// With a network a page always comes fresh, since a kept card may have been withdrawn; without one, the kept edition is
// whole: a file that does not fit its hash is refused, and then the edition before stays. Only files of this site are
// kept, never anything about a person and nothing of another host.
(function () {
  'use strict';
  var files = self.fascicleFiles;
  var scope = self.registration.scope;
  // One host may hold several sites.
  var prefix = 'fascicle ' + scope + ' ';
  var name = prefix + self.fascicleEdition;
  var patience = 3000;
  // What each open page was made of, so that it can ask whether that has changed.
  var served = new Map();

  function key(path) { return scope + path + '?v=' + files[path]; }
  function path(address) {
    var url = new URL(address);
    if (!(url.origin + url.pathname).startsWith(scope)) { return null; }
    var inner = decodeURI((url.origin + url.pathname).slice(scope.length));
    return inner === '' || inner.endsWith('/') ? inner + 'index.html' : inner;
  }
  async function hash(bytes) {
    var digest = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
    return Array.from(digest.slice(0, 5), function (b) { return b.toString(16).padStart(2, '0'); }).join('');
  }

  async function keep(cache, inner) {
    if (await cache.match(key(inner))) { return; }
    var old = await caches.match(key(inner));
    if (old) { await cache.put(key(inner), old); return; }
    var answer = await fetch(key(inner), { cache: 'no-store', credentials: 'same-origin' });
    if (!answer.ok || answer.redirected) { throw new Error(inner + ': ' + answer.status); }
    var bytes = await answer.arrayBuffer();
    if (await hash(bytes) !== files[inner]) { throw new Error(inner + ': not of this edition'); }
    await cache.put(key(inner), new Response(bytes, { headers: { 'content-type': answer.headers.get('content-type') || '' } }));
  }
  async function install() {
    var cache = await caches.open(name);
    var left = Object.keys(files);
    async function worker() {
      while (left.length) { await keep(cache, left.shift()); }
    }
    await Promise.all([worker(), worker(), worker(), worker()]);
    await self.skipWaiting();
  }
  async function activate() {
    var names = await caches.keys();
    await Promise.all(names.filter(function (n) { return n.startsWith(prefix) && n !== name; }).map(function (n) { return caches.delete(n); }));
    await self.clients.claim();
  }

  async function kept(inner) {
    if (!(inner in files)) { return undefined; }
    return (await caches.open(name)).match(key(inner));
  }
  function fresh(request) {
    return new Promise(function (resolve, reject) {
      var timer = setTimeout(function () { reject(new Error('no answer')); }, patience);
      fetch(new Request(request, { cache: 'no-cache' })).then(resolve, reject).finally(function () { clearTimeout(timer); });
    });
  }
  async function remember(client, answer, fromStore) {
    if (!client) { return; }
    served.set(client, answer.clone().arrayBuffer().then(hash).then(function (h) { return { hash: h, kept: fromStore }; }));
  }
  async function respond(event, inner) {
    var request = event.request;
    var stamp = new URL(request.url).searchParams.get('v');
    if (stamp && stamp === files[inner]) {
      var exact = await kept(inner);
      if (exact) { return exact; }
    }
    try {
      var answer = await fresh(request);
      if (request.mode === 'navigate') { remember(event.resultingClientId, answer, false); }
      return answer;
    } catch (error) {
      var own = await kept(inner);
      if (own && request.mode === 'navigate') { remember(event.resultingClientId, own, true); }
      if (own) { return own; }
      var none = request.mode === 'navigate' && await kept('404.html');
      return none ? new Response(none.body, { status: 404, headers: none.headers }) : Response.error();
    }
  }

  self.addEventListener('install', function (event) { event.waitUntil(install()); });
  self.addEventListener('activate', function (event) { event.waitUntil(activate()); });
  self.addEventListener('fetch', function (event) {
    var inner = event.request.method === 'GET' && path(event.request.url);
    if (inner) { event.respondWith(respond(event, inner)); }
  });
  self.addEventListener('message', function (event) {
    var asked = event.data || {};
    if (asked.ask === 'served') {
      Promise.resolve(served.get(event.source.id)).then(function (known) { event.source.postMessage({ served: known || null }); });
    } else if (asked.ask === 'listed') {
      event.source.postMessage({ listed: files[path(asked.address)] || null });
    }
  });
}());
