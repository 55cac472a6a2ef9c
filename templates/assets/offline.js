// Offers the site for installing and for use without a network, where it was loaded from a host that allows it. From a
// disk nothing happens. A newer edition is announced in one line; a page never reloads by itself, since somebody may be
// treating by it.
(function () {
  'use strict';
  var root = document.currentScript.dataset.root;
  var loopback = /^(localhost|127\.\d+\.\d+\.\d+|\[::1\])$/.test(location.hostname);
  if (location.protocol !== 'https:' && !(location.protocol === 'http:' && loopback)) { return; }

  function link(rel, href) {
    var el = document.createElement('link');
    el.rel = rel;
    el.href = href;
    document.head.appendChild(el);
  }
  link('manifest', root + 'manifest.webmanifest');
  link('apple-touch-icon', root + 'assets/icon-192.png');
  if (!('serviceWorker' in navigator)) { return; }

  var workers = navigator.serviceWorker;
  var line = null;
  var own = null;
  function say(text, reload) {
    if (!line) {
      line = document.createElement('div');
      line.className = 'edition-line';
      line.setAttribute('role', 'status');
      document.body.insertBefore(line, document.body.firstChild.nextSibling);
    }
    line.textContent = text;
    if (!reload) { return; }
    var button = document.createElement('button');
    button.type = 'button';
    button.textContent = 'Reload';
    button.addEventListener('click', function () { location.reload(); });
    line.appendChild(button);
  }
  function ask(what) {
    if (workers.controller) { workers.controller.postMessage(Object.assign({ address: location.href }, what)); }
  }
  workers.addEventListener('message', function (event) {
    var told = event.data || {};
    if (told.served) {
      own = told.served.hash;
      if (told.served.kept) { say('No connection: this is the edition kept on this device. Whether there is a newer one is not known.'); }
    } else if ('listed' in told && own && told.listed !== own) {
      say(told.listed ? 'A newer edition is here. ' : 'This page is not in the newer edition that is here. ', true);
    }
  });
  workers.addEventListener('controllerchange', function () { ask({ ask: 'listed' }); });

  function start() {
    workers.register(root + 'sw.js', { updateViaCache: 'none' }).then(function (registration) {
      function look() { registration.update().catch(function () {}); }
      look();
      document.addEventListener('visibilitychange', function () { if (document.visibilityState === 'visible') { look(); } });
    }).catch(function () {});
  }
  ask({ ask: 'served' });
  if (workers.controller) {
    start();
  } else {
    // The first page comes before the keeping of all others.
    window.addEventListener('load', function () { setTimeout(start, 3000); });
  }
}());
