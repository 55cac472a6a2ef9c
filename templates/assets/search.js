// Search over the prebuilt index. Nothing is loaded before the box is used, and nothing is stored.
(function () {
  'use strict';

  // Must fold like `search/index.rs`: no marks, lower case, ae and oe as e.
  function fold(text) {
    return text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase()
      .replace(/ß/g, 'ss').replace(/ø/g, 'o').replace(/ł/g, 'l').replace(/ae|oe|æ|œ/g, 'e');
  }
  var dropped = new Set(['m', 'mm', 'musculus']);
  function words(text) { return fold(text).split(/[^\p{L}\p{N}]+/u).filter(Boolean); }
  var options = {
    idField: 'id',
    fields: ['title', 'names', 'places', 'tags', 'body'],
    storeFields: ['title', 'kind', 'href', 'note', 'names', 'parts', 'techniques', 'state'],
    tokenize: words,
    processTerm: function (term) { return dropped.has(term) ? null : term; }
  };
  // A muscle is what is looked for most, a source least; who types screening wants its questions.
  var weights = { Muscles: 1.6, Screening: 1.6, Protocols: 1.3, Regions: 1.1, Conditions: 1.2, 'Red flags': 1.2, Techniques: 1.2, Sources: 0.3, Populations: 0.5, Course: 0.3 };
  var asked = {
    boost: { title: 8, names: 7, places: 4, tags: 3, body: 1 },
    boostDocument: function (id, term, stored) { return weights[stored.kind] || 1; },
    maxFuzzy: 6
  };
  // Edits allowed in a word: none, few, more where little is found.
  function exact() { return false; }
  function strict(term) { return term.length > 7 ? 2 : term.length > 3 ? 1 : false; }
  function loose(term) { return term.length > 4 ? 2 : term.length > 2 ? 1 : false; }
  function single(term) { return term.length > 3 ? term.replace(/s$/, '') : term; }
  var enough = 4;

  // A word: its beginning and its misspellings. Two letters begin too many words of a long text, so they must be
  // a whole word there.
  var short = { prefix: true, fuzzy: false, fields: ['title', 'names', 'places', 'tags'] };
  function one(term, fuzzy) {
    if (term.length > 2) { return { queries: [term], prefix: true, fuzzy: fuzzy(term) }; }
    return { combineWith: 'OR', queries: [term].concat(term.length > 1 ? Object.assign({ queries: [term] }, short) : []) };
  }
  function query(terms, how, fuzzy) {
    return { combineWith: how, queries: terms.map(function (term) { return one(term, fuzzy); }) };
  }

  // The words of the index that a word of a question may mean: itself, what begins with it, and its misspellings.
  function meant(index, term, edits) {
    var all = index._index.has(term) ? [term] : [];
    if (term.length > 1) { all = all.concat(Array.from(index._index.atPrefix(term).keys())); }
    if (term.length > 2 && edits) { all = all.concat(Array.from(index._index.fuzzyGet(term, edits).keys())); }
    return all;
  }
  // Numbers of the parts that a try needs and that have not come yet.
  function lacking(index, terms, fuzzy) {
    var parts = index.parts;
    if (!parts) { return []; }
    var wanted = new Set(terms.flatMap(function (t) { return meant(index, t, fuzzy(t)).map(function (w) { return parts.of.get(w); }); }));
    return Array.from(wanted).filter(function (n) { return !parts.come.has(n); });
  }

  // Results of each try in turn until there are enough; a later try adds what an earlier one has not. Words are
  // only allowed to miss where nothing holds them all. An index in parts may lack some: then `ask` is called with their
  // numbers, and what was found so far is not the answer.
  function find(index, text, fits, ask) {
    var typed = words(text).filter(function (term) { return !dropped.has(term); });
    var plain = typed.map(single);
    var tries = [['AND', exact, typed], ['AND', exact, plain], ['AND', strict, typed], ['AND', loose, typed], ['OR', strict, plain], ['OR', loose, typed]];
    var seen = new Set();
    var done = new Set();
    var out = [];
    tries.some(function (t) {
      var same = JSON.stringify([t[0], t[2].map(function (term) { return [term, t[1](term)]; })]);
      if (done.has(same) || out.length >= (t[0] === 'OR' ? 1 : enough)) { return false; }
      done.add(same);
      var lacks = lacking(index, t[2], t[1]);
      if (lacks.length) { ask(lacks); return true; }
      index.search(query(t[2], t[0], t[1]), Object.assign({ filter: fits }, asked)).forEach(function (r) {
        if (!seen.has(r.id)) { seen.add(r.id); out.push(r); }
      });
      return false;
    });
    return out;
  }
  // Where a result was found, if its title does not show it.
  function place(result) {
    var fields = new Set(Object.values(result.match).flat());
    if (fields.has('title')) { return ''; }
    if (fields.has('names')) {
      var terms = Object.keys(result.match);
      var name = (result.names || []).find(function (n) { return words(n).some(function (w) { return terms.indexOf(w) >= 0; }); });
      return name ? 'also called ' + name : 'by another spelling';
    }
    if (fields.has('places')) { return 'lies or works there'; }
    return fields.has('body') ? 'in its text' : '';
  }
  function load(MiniSearch, data) { return data.words ? inParts(MiniSearch, data) : MiniSearch.loadJS(data, options); }
  // An index whose words stand nowhere yet. `words` and `titles` fill in a part that has come; the library has no
  // public way to add where a word stands.
  function inParts(MiniSearch, head) {
    var stored = head.fieldLength.map(function () { return {}; });
    Object.keys(head.sifts).forEach(function (key) {
      head.sifts[key][1].forEach(function (numbers, n) {
        var own = numbers.map(function (i) { return head.sifts[key][0][i]; });
        stored[n][key] = key === 'kind' || key === 'state' ? own[0] : own;
      });
    });
    var index = MiniSearch.loadJS({
      documentCount: head.documentCount, nextId: head.documentCount, dirtCount: 0, serializationVersion: 2,
      documentIds: stored.map(function (_, n) { return n; }), storedFields: stored,
      fieldIds: head.fieldIds, fieldLength: head.fieldLength, averageFieldLength: head.averageFieldLength,
      index: head.words.map(function (word) { return [word, {}]; })
    }, options);
    var of = new Map();
    head.starts.forEach(function (start, part) {
      head.words.slice(start, head.starts[part + 1]).forEach(function (word) { of.set(word, part); });
    });
    index.parts = { of: of, come: new Set(), titles: head.titles, stored: stored };
    index.parts.words = function (part, places) {
      places.forEach(function (fields, i) {
        var entry = index._index.get(head.words[head.starts[part] + i]);
        Object.keys(fields).forEach(function (field) {
          entry.set(Number(field), new Map(Object.entries(fields[field]).map(function (e) { return [Number(e[0]), e[1]]; })));
        });
      });
      index.parts.come.add(part);
    };
    index.parts.shown = function (part, rows) {
      rows.forEach(function (row, i) {
        Object.assign(stored[part * head.titles + i], { title: row[0], href: row[1], note: row[2], names: row[3] });
      });
    };
    return index;
  }

  if (typeof document === 'undefined') {
    globalThis.fascicleSearch = { load: load, find: find, fold: fold, place: place };
    return;
  }

  var form = document.querySelector('form.search');
  if (!form) { return; }
  var root = form.dataset.root;
  var box = form.querySelector('input');
  var status = document.getElementById('search-status');
  var panel = document.getElementById('search-panel');
  var list = document.getElementById('search-results');
  var sifts = Array.from(form.querySelectorAll('select'));
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
    offer(index.parts ? index.parts.stored : Object.values(data.storedFields));
    show();
  };

  // Parts of an index: each is asked for once, and the list is made anew when one has come.
  var fetched = new Set();
  function fetchPart(name, part) {
    var address = form.dataset.index.replace('search-index.js', 'search/' + name + '-' + part + '.js');
    if (fetched.has(address)) { return; }
    fetched.add(address);
    script(address, function () {});
  }
  window.fascicleSearchWords = function (part, places) { index.parts.words(part, places); show(); };
  window.fascicleSearchTitles = function (part, rows) { index.parts.shown(part, rows); show(); };

  // What can be sifted by, from the documents that are there.
  function offer(all) {
    sifts.forEach(function (select) {
      var key = select.dataset.sift;
      var found = new Set(all.flatMap(function (d) { return d[key] || []; }));
      Array.from(found).sort().forEach(function (word) { select.add(new Option(word, word)); });
      select.parentElement.hidden = found.size < 2;
    });
  }
  function fits(result) {
    return sifts.every(function (select) { return !select.value || [].concat(result[select.dataset.sift] || []).indexOf(select.value) >= 0; });
  }
  function sifted() { return sifts.some(function (select) { return select.value; }); }
  function start() {
    if (loading) { return; }
    loading = true;
    script(form.dataset.engine, function () { script(form.dataset.index, function () {}); });
  }

  // Under each kind at most so many; the number of the rest is said.
  var most = 8;
  function group(results) {
    var kinds = new Map();
    results.forEach(function (r) {
      if (!kinds.has(r.kind)) { kinds.set(r.kind, []); }
      kinds.get(r.kind).push(r);
    });
    return kinds;
  }
  function line(r) {
    var li = document.createElement('li');
    var a = document.createElement('a');
    a.href = root + r.href;
    a.textContent = r.title;
    [r.match && Object.keys(r.match).length ? place(r) : '', r.note].filter(Boolean).forEach(function (text) {
      var note = document.createElement('span');
      note.className = 'second';
      note.textContent = text;
      a.appendChild(note);
    });
    li.appendChild(a);
    links.push(a);
    return li;
  }
  function show() {
    var text = box.value.trim();
    list.textContent = '';
    links = [];
    panel.hidden = !index;
    list.hidden = true;
    if (!index) { status.textContent = text ? 'Loading' : ''; return; }
    if (!text && !sifted()) { status.textContent = ''; return; }
    var lacks = false;
    var ask = function (name) {
      return function (parts) { lacks = true; parts.forEach(function (part) { fetchPart(name, part); }); };
    };
    var results = text ? find(index, text, fits, ask('words')) : index.search(window.MiniSearch.wildcard, { filter: fits });
    var kinds = group(results);
    var bare = Array.from(kinds.values()).flatMap(function (rows) { return rows.slice(0, most); }).filter(function (r) { return !r.href; });
    if (!lacks && bare.length) { ask('titles')(bare.map(function (r) { return Math.floor(r.id / index.parts.titles); })); }
    if (lacks) { status.textContent = 'Loading'; return; }
    status.textContent = results.length === 0 ? 'Nothing found' : results.length === 1 ? '1 result' : results.length + ' results';
    kinds.forEach(function (rows, kind) {
      var heading = document.createElement('p');
      heading.className = 'result-kind';
      heading.textContent = kind;
      heading.id = 'result-' + kind.replace(/\W+/g, '-').toLowerCase();
      var ul = document.createElement('ul');
      ul.setAttribute('aria-labelledby', heading.id);
      rows.slice(0, most).forEach(function (r) { ul.appendChild(line(r)); });
      list.appendChild(heading);
      list.appendChild(ul);
      if (rows.length > most) {
        var more = document.createElement('p');
        more.className = 'second';
        more.textContent = 'and ' + (rows.length - most) + ' more: add a word';
        list.appendChild(more);
      }
    });
    list.hidden = results.length === 0;
  }
  function close() {
    panel.hidden = true;
    status.textContent = '';
  }
  function move(by) {
    if (panel.hidden || !links.length) { return false; }
    var at = links.indexOf(document.activeElement) + by;
    if (at < 0) { box.focus(); } else if (at < links.length) { links[at].focus(); }
    return true;
  }

  box.addEventListener('focus', function () { start(); show(); });
  box.addEventListener('input', function () { start(); show(); });
  sifts.forEach(function (select) { select.addEventListener('change', show); });
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
  var handed = new URLSearchParams(location.search).get('q');
  if (handed && handed.trim()) {
    box.value = handed.trim();
    start();
    show();
  }
  document.addEventListener('click', function (event) { if (!form.contains(event.target)) { close(); } });
  form.addEventListener('focusout', function (event) { if (event.relatedTarget && !form.contains(event.relatedTarget)) { close(); } });
  document.addEventListener('keydown', function (event) {
    var typing = /^(INPUT|TEXTAREA|SELECT)$/.test(event.target.nodeName) || event.target.isContentEditable;
    if (event.key === '/' && !typing && !event.ctrlKey && !event.metaKey && !event.altKey) {
      event.preventDefault();
      box.focus();
    }
  });
}());
