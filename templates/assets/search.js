// Search over the prebuilt index. Nothing is loaded before the box is used, and nothing is stored.
(function () {
  'use strict';

  // Must fold like `search.rs`: no marks, lower case, ae and oe as e.
  function fold(text) {
    return text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase().replace(/ae|oe|æ|œ/g, 'e');
  }
  var dropped = new Set(['m', 'mm', 'musculus']);
  var options = {
    idField: 'id',
    fields: ['title', 'names', 'tags', 'body'],
    storeFields: ['title', 'kind', 'href', 'note'],
    tokenize: function (text) { return fold(text).split(/[^\p{L}\p{N}]+/u).filter(Boolean); },
    processTerm: function (term) { return dropped.has(term) ? null : term; }
  };
  var asked = {
    boost: { title: 8, names: 5, tags: 3, body: 1 },
    prefix: function (term) { return term.length > 1; },
    maxFuzzy: 6
  };
  // Edits allowed in a word: few at first, more where nothing is found.
  function strict(term) { return term.length > 7 ? 2 : term.length > 3 ? 1 : false; }
  function loose(term) { return term.length > 4 ? 2 : term.length > 2 ? 1 : false; }
  function find(index, text) {
    var tries = [['AND', strict], ['AND', loose], ['OR', strict], ['OR', loose]];
    for (var i = 0; i < tries.length; i += 1) {
      var all = index.search(text, Object.assign({ combineWith: tries[i][0], fuzzy: tries[i][1] }, asked));
      if (all.length) { return all; }
    }
    return [];
  }
  function load(MiniSearch, data) { return MiniSearch.loadJS(data, options); }

  if (typeof document === 'undefined') {
    globalThis.fascicleSearch = { load: load, find: find, fold: fold };
    return;
  }

  var form = document.querySelector('form.search');
  if (!form) { return; }
  var root = form.dataset.root;
  var box = form.querySelector('input');
  var status = document.getElementById('search-status');
  var list = document.getElementById('search-results');
  var index = null;
  var loading = false;
  var links = [];

  form.hidden = false;
  document.querySelectorAll('.no-script').forEach(function (el) { el.hidden = true; });

  function script(address, done) {
    var el = document.createElement('script');
    el.src = address;
    el.onload = done;
    el.onerror = function () { status.textContent = 'Search could not be loaded. Use the list from A to Z.'; };
    document.head.appendChild(el);
  }
  window.fascicleSearchIndex = function (data) {
    index = load(window.MiniSearch, data);
    show();
  };
  function start() {
    if (loading) { return; }
    loading = true;
    script(form.dataset.engine, function () { script(form.dataset.index, function () {}); });
  }

  function group(results) {
    var kinds = new Map();
    results.slice(0, 40).forEach(function (r) {
      if (!kinds.has(r.kind)) { kinds.set(r.kind, []); }
      kinds.get(r.kind).push(r);
    });
    return kinds;
  }
  function show() {
    var text = box.value.trim();
    list.textContent = '';
    links = [];
    list.hidden = true;
    if (!text) { status.textContent = ''; return; }
    if (!index) { status.textContent = 'Loading'; return; }
    var results = find(index, text);
    status.textContent = results.length === 0 ? 'Nothing found' : results.length === 1 ? '1 result' : results.length + ' results';
    group(results).forEach(function (rows, kind) {
      var heading = document.createElement('p');
      heading.className = 'result-kind';
      heading.textContent = kind;
      heading.id = 'result-' + kind.replace(/\W+/g, '-').toLowerCase();
      var ul = document.createElement('ul');
      ul.setAttribute('aria-labelledby', heading.id);
      rows.forEach(function (r) {
        var li = document.createElement('li');
        var a = document.createElement('a');
        a.href = root + r.href;
        a.textContent = r.title;
        if (r.note) {
          var note = document.createElement('span');
          note.className = 'second';
          note.textContent = r.note;
          a.appendChild(note);
        }
        li.appendChild(a);
        ul.appendChild(li);
        links.push(a);
      });
      list.appendChild(heading);
      list.appendChild(ul);
    });
    list.hidden = results.length === 0;
  }
  function close() {
    list.hidden = true;
    status.textContent = '';
  }
  function move(by) {
    if (list.hidden || !links.length) { return false; }
    var at = links.indexOf(document.activeElement) + by;
    if (at < 0) { box.focus(); } else if (at < links.length) { links[at].focus(); }
    return true;
  }

  box.addEventListener('focus', function () { start(); if (box.value) { show(); } });
  box.addEventListener('input', function () { start(); show(); });
  form.addEventListener('submit', function (event) {
    event.preventDefault();
    if (!links.length) { return; }
    // What was typed opens a page at once; what was guessed from it is only pointed at.
    var sure = fold(links[0].firstChild.textContent).startsWith(fold(box.value.trim()));
    if (sure) { links[0].click(); } else { links[0].focus(); }
  });
  form.addEventListener('keydown', function (event) {
    if (event.key === 'Escape') { close(); box.focus(); event.preventDefault(); }
    else if (event.key === 'ArrowDown' && move(1)) { event.preventDefault(); }
    else if (event.key === 'ArrowUp' && document.activeElement !== box && move(-1)) { event.preventDefault(); }
  });
  // An address with `?q=` comes from the search field of a browser.
  var words = new URLSearchParams(location.search).get('q');
  if (words && words.trim()) {
    box.value = words.trim();
    start();
    show();
  }
  document.addEventListener('click', function (event) { if (!form.contains(event.target)) { close(); } });
  document.addEventListener('keydown', function (event) {
    var typing = /^(INPUT|TEXTAREA|SELECT)$/.test(event.target.nodeName) || event.target.isContentEditable;
    if (event.key === '/' && !typing && !event.ctrlKey && !event.metaKey && !event.altKey) {
      event.preventDefault();
      box.focus();
    }
  });
}());
