// The finder: looks up what a drawing meets, and the page on which it is drawn. Nothing is stored or sent.
(function () {
  'use strict';

  // Weights in sixths and sums in whole numbers, as in `compute/finder`: both come to the very same number.
  var CORE = 6;
  var SPREAD = 3;
  var SIDES = ['midline', 'left', 'right'];
  var WORDS = ['not marked', 'weak', 'moderate', 'strong'];

  // A place is region * 6 + side (same, other, left, right, both, midline), a spot region * 3 + side.
  function spotsOf(place, treated) {
    var base = Math.floor(place / 6) * 3;
    var other = 3 - treated;
    return [[treated], [other], [1], [2], [1, 2], [0]][place % 6].map(function (side) { return base + side; });
  }
  function zone(point, treated) {
    var out = new Map();
    [[2, SPREAD], [1, CORE]].forEach(function (part) {
      point[part[0]].forEach(function (place) {
        spotsOf(place, treated).forEach(function (spot) { out.set(spot, part[1]); });
      });
    });
    return out;
  }
  // Zones of every muscle and side, made once.
  function prepare(data) {
    var rows = [];
    data.muscles.forEach(function (muscle, index) {
      [1, 2].forEach(function (treated) {
        var points = muscle[3].map(function (point) { return { numbers: [point[0]], zone: zone(point, treated) }; });
        var all = { numbers: muscle[3].map(function (point) { return point[0]; }), zone: new Map() };
        points.forEach(function (point) {
          point.zone.forEach(function (weight, spot) { all.zone.set(spot, Math.max(weight, all.zone.get(spot) || 0)); });
        });
        rows.push({ index: index, side: treated, points: points, all: all });
      });
    });
    return { data: data, rows: rows };
  }
  function compare(marks, strongest, drawn, zone) {
    var smaller = 0;
    var sum = drawn;
    var weight = 0;
    var met = 0;
    zone.forEach(function (w, spot) {
      weight += w;
      if (marks.has(spot)) {
        met += w;
        smaller += Math.min(w, 6 * marks.get(spot) / strongest);
      }
    });
    sum += weight;
    return { similarity: 2 * smaller / sum, marked: met / weight };
  }
  function candidate(row, marks, strongest, drawn, total) {
    var covered = 0;
    var reasons = [];
    marks.forEach(function (strength, spot) {
      if (!row.all.zone.has(spot)) { return; }
      covered += strength;
      var zones = row.points.filter(function (p) { return p.zone.has(spot); })
        .map(function (p) { return { point: p.numbers[0], part: p.zone.get(spot) === CORE ? 'core' : 'spread' }; });
      reasons.push({ spot: spot, strength: strength, zones: zones });
    });
    if (!reasons.length) { return null; }
    var best = null;
    row.points.concat([row.all]).forEach(function (p) {
      var found = compare(marks, strongest, drawn, p.zone);
      if (!best || found.similarity > best.similarity) { best = Object.assign(found, { closest: p.numbers }); }
    });
    return Object.assign(best, { muscle: row.index, side: row.side, covered: covered / total, reasons: reasons });
  }
  function meets(place, spot) {
    var side = place % 6;
    var half = spot % 3;
    return Math.floor(place / 6) === Math.floor(spot / 3) && !(side === 2 && half === 2) && !(side === 3 && half === 1);
  }
  // `marks` is a Map from spot to strength.
  function find(tables, marks) {
    var data = tables.data;
    marks = new Map(Array.from(marks).sort(function (a, b) { return a[0] - b[0]; }));
    var spots = Array.from(marks.keys());
    var strongest = Math.max.apply(null, [1].concat(Array.from(marks.values())));
    var drawn = 0;
    var total = 0;
    marks.forEach(function (s) { drawn += 6 * s / strongest; total += s; });
    var muscles = [];
    tables.rows.forEach(function (row) {
      var c = candidate(row, marks, strongest, drawn, total);
      if (c) { muscles.push(c); }
    });
    // Sorting is stable: what is equally alike stays in the order of names.
    muscles.sort(function (a, b) { return b.similarity - a.similarity; });
    var flags = data.flags.map(function (f) {
      return { id: f[0], spots: spots.filter(function (s) { return f[1].some(function (p) { return meets(p, s); }); }) };
    }).filter(function (f) { return f.spots.length; });
    var unasked = data.unasked.map(function (u) {
      return { topic: u[0], spots: u[1].filter(function (s) { return marks.has(s); }) };
    }).filter(function (u) { return u.spots.length; });
    var under = [];
    data.under.forEach(function (muscle, index) {
      [1, 2].forEach(function (treated) {
        var lying = new Set(muscle[3].flatMap(function (place) { return spotsOf(place, treated); }));
        var met = spots.filter(function (s) { return lying.has(s); });
        if (met.length) { under.push({ muscle: index, side: treated, spots: met }); }
      });
    });
    return { flags: flags, unasked: unasked, muscles: muscles, under: under };
  }
  function percent(share) { return Math.round(share * 100) + ' %'; }
  // What is said of a muscle, letter for letter as the command says it.
  function line(row) {
    var points = row.closest.length > 1 ? 'points ' + row.closest.slice(0, -1).join(', ') + ' and ' + row.closest.slice(-1)
      : 'point ' + row.closest[0];
    return 'Similarity ' + (Math.round(row.similarity * 100) / 100).toFixed(2) + '. Its zones cover ' + percent(row.covered) +
      ' of the marks. ' + percent(row.marked) + ' of its zone is marked (zone of ' + points + ').';
  }
  function names(data) {
    return {
      spot: function (spot) {
        var name = data.regions[Math.floor(spot / 3)][1];
        return spot % 3 ? name + ', ' + SIDES[spot % 3] : name;
      },
      read: function (region, side) {
        var row = data.regions.findIndex(function (r) { return r[0] === region; });
        var half = SIDES.indexOf(side);
        return row < 0 || half < 0 || (data.regions[row][2] === 1) !== half > 0 ? -1 : row * 3 + half;
      }
    };
  }

  if (typeof document === 'undefined') {
    globalThis.fascicleFinder = { prepare: prepare, find: find, line: line, names: names, sides: SIDES };
    return;
  }
  var byId = function (id) { return document.getElementById(id); };
  if (!byId('finder')) { return; }

  function element(name, options, children) {
    var el = document.createElement(name);
    Object.keys(options || {}).forEach(function (key) {
      if (key === 'text') { el.textContent = options.text; } else { el.setAttribute(key, options[key]); }
    });
    (children || []).forEach(function (child) { el.append(child); });
    return el;
  }

  window.fascicleFinderData = function (data) {
    var tables = prepare(data);
    var named = names(data);
    var marks = new Map();
    var history = [];
    var selects = new Map();
    var figure = null;
    var pending = 0;

    function strength() { return Number(document.querySelector('input[name=strength]:checked').value); }
    function counted(n, word) { return n + ' ' + word + (n === 1 ? '' : 's'); }
    function list(spots) { return spots.map(named.spot).join('; '); }

    // Every change goes through here: the old marks are kept for undo.
    function change(next, said) {
      history.push(marks);
      marks = next;
      show(said);
    }
    function set(spot, value) {
      if ((marks.get(spot) || 0) === value) { return; }
      var next = new Map(marks);
      if (value) { next.set(spot, value); } else { next.delete(spot); }
      change(next, named.spot(spot) + ': ' + WORDS[value] + '.');
    }
    function toggle(spot) { set(spot, marks.get(spot) === strength() ? 0 : strength()); }

    function show(said) {
      var found = find(tables, marks);
      selects.forEach(function (select, spot) { select.value = String(marks.get(spot) || 0); });
      if (figure) { figure.show(marks); }
      showMarks();
      showFlags(found);
      showMuscles(found.muscles);
      showUnder(found.under);
      var muscles = new Set(found.muscles.map(function (m) { return m.muscle; })).size;
      byId('finder-status').textContent = [said, counted(marks.size, 'mark') + ', ' + counted(found.flags.length, 'red flag') + ', ' +
        counted(muscles, 'muscle') + '.'].join(' ').trim();
      byId('finder-undo').disabled = !history.length;
      byId('finder-clear').disabled = byId('finder-copy').disabled = byId('finder-swap').disabled = !marks.size;
      remember();
    }
    function showMarks() {
      var ul = byId('finder-marks');
      var held = ul.contains(document.activeElement);
      ul.textContent = '';
      Array.from(marks).sort(function (a, b) { return a[0] - b[0]; }).forEach(function (mark) {
        var button = element('button', { type: 'button', text: 'Clear' }, [element('span', { class: 'sr', text: ' ' + named.spot(mark[0]) })]);
        button.addEventListener('click', function () { set(mark[0], 0); });
        ul.append(element('li', {}, [named.spot(mark[0]) + ': ' + mark[1] + ' ' + WORDS[mark[1]] + ' ', button]));
      });
      byId('finder-no-marks').hidden = marks.size > 0;
      // The button that was pressed is gone: the focus must not fall back to the top of the page.
      if (held) { (ul.querySelector('button') || byId('marked')).focus(); }
    }
    function showFlags(found) {
      var because = new Map(found.flags.map(function (f) { return [f.id, f.spots]; }));
      document.querySelectorAll('#finder-flags .flag').forEach(function (article) {
        var spots = because.get(article.dataset.flag);
        article.hidden = !spots;
        var line = article.querySelector('.finder-because') || article.appendChild(element('p', { class: 'finder-because under' }));
        line.textContent = spots ? 'Asked because of: ' + list(spots) + '.' : '';
      });
      document.querySelectorAll('#finder-flags .urgency').forEach(function (group) {
        group.hidden = !group.querySelector('.flag:not([hidden])');
      });
      var none = byId('finder-no-flags');
      none.hidden = found.flags.length > 0;
      none.textContent = marks.size ? 'No red flag here belongs to the marked regions. That is no sign that nothing is wrong.'
        : 'Nothing is marked. Red flags of the marked regions will stand here, most urgent first.';
      var open = byId('finder-unasked');
      open.textContent = '';
      open.hidden = !found.unasked.length;
      found.unasked.forEach(function (u) {
        open.append(element('li', { text: 'No red flag here covers ' + u.topic + ' (' + list(u.spots) + ').' }));
      });
      var first = document.querySelector('#finder-flags .urgency:not([hidden]) .act');
      byId('finder-flag-count').textContent = !marks.size ? 'Red flags: none yet, because nothing is marked.'
        : counted(found.flags.length, 'red flag') + ' to ask first' + (first ? '. Most urgent: ' + first.textContent.trim() : '') + '.';
    }
    function showMuscles(rows) {
      var none = byId('finder-no-muscles');
      none.hidden = rows.length > 0;
      none.textContent = marks.size ? 'No zone here meets the marks. A muscle without a drawn zone can still be sore.' : 'Nothing is marked.';
      var ol = element('ol', { id: 'finder-rows', class: 'finder-rows' });
      byId('finder-rows').replaceWith(ol);
      // The first rows at once, the others piece by piece, so that the next mark never has to wait.
      clearTimeout(pending);
      (function more(from) {
        rows.slice(from, from + 40).forEach(function (row) { ol.append(muscleRow(row)); });
        if (from + 40 < rows.length) { pending = setTimeout(more, 0, from + 40); }
      }(0));
    }
    function showUnder(rows) {
      byId('finder-no-under').hidden = rows.length > 0;
      byId('finder-no-under').textContent = marks.size ? 'No muscle of these packs is described or drawn there.' : 'Nothing is marked.';
      byId('finder-under').replaceChildren.apply(byId('finder-under'), rows.map(function (row) {
        var muscle = data.under[row.muscle];
        return element('li', { 'data-muscle': muscle[0], 'data-side': SIDES[row.side] },
          [element('a', { href: muscle[2], text: muscle[1] + ', ' + SIDES[row.side] }), ' (' + list(row.spots) + ')']);
      }));
    }
    function muscleRow(row) {
      var muscle = data.muscles[row.muscle];
      var reasons = row.reasons.map(function (r) {
        var zones = r.zones.map(function (z) { return z.part + ' of point ' + z.point; }).join(', ');
        return element('li', { text: named.spot(r.spot) + ' (' + WORDS[r.strength] + '): ' + zones });
      });
      var parts = [
        element('a', { class: 'main-link', href: muscle[2], text: muscle[1] + ', ' + SIDES[row.side] }),
        element('p', { class: 'num-line', text: line(row) }),
        element('ul', { class: 'finder-reasons' }, reasons)
      ];
      if (muscle[4].length) {
        var alike = element('p', { class: 'under', text: 'Looks alike: ' });
        muscle[4].forEach(function (other, i) {
          alike.append(i ? ', ' : '', element('a', { href: data.muscles[other][2], text: data.muscles[other][1] }));
        });
        parts.push(alike);
      }
      return element('li', { 'data-muscle': muscle[0], 'data-side': SIDES[row.side], 'data-similarity': row.similarity }, parts);
    }

    // The text path: one native control for each spot.
    function buildList() {
      data.groups.forEach(function (group, g) {
        var rows = [];
        data.regions.forEach(function (region, r) {
          if (region[3] !== g) { return; }
          var row = element('div', { class: 'finder-region' }, [element('span', { text: region[1] })]);
          (region[2] ? [1, 2] : [0]).forEach(function (side) { row.append(control(r * 3 + side)); });
          rows.push(row);
        });
        if (rows.length) { byId('finder-list').append(element('div', { role: 'group', 'aria-label': group, class: 'finder-group' }, [element('h3', { text: group })].concat(rows))); }
      });
    }
    function control(spot) {
      var select = element('select', { 'aria-label': named.spot(spot), 'data-spot': spot });
      WORDS.forEach(function (word, i) { select.append(element('option', { value: i, text: i ? i + ' ' + word : word })); });
      select.addEventListener('change', function () { set(spot, Number(select.value)); });
      selects.set(spot, select);
      return element('span', { class: 'finder-control' }, [spot % 3 ? SIDES[spot % 3] + ' ' : '', select]);
    }

    // The address holds marks only while the reader asks for it.
    function remember() {
      if (!byId('finder-keep').checked) { return; }
      var text = Array.from(marks).map(function (m) { return data.regions[Math.floor(m[0] / 3)][0] + '.' + SIDES[m[0] % 3] + '.' + m[1]; });
      window.history.replaceState(null, '', '#marks=' + text.join(','));
    }
    // Marks of the address and what to say of them; null if it speaks of no marks.
    function recall() {
      var hash = location.hash;
      try { hash = decodeURIComponent(hash); } catch (e) { hash = '#marks=%'; }
      var written = /^#marks=(.*)$/.exec(hash);
      if (!written) { return null; }
      var read = new Map();
      var lost = 0;
      written[1].split(',').filter(Boolean).forEach(function (mark) {
        var part = mark.split('.');
        var spot = named.read(part[0], part[1]);
        if (spot >= 0 && part.length === 3 && /^[123]$/.test(part[2])) { read.set(spot, Number(part[2])); } else { lost += 1; }
      });
      return { marks: read, said: lost ? 'Some marks in the address cannot be read and are left out.' : '' };
    }
    // A link within the page would put its own name where the marks stand.
    function jump(link) {
      var heading = byId(link.hash.slice(1));
      heading.tabIndex = -1;
      link.addEventListener('click', function (e) {
        e.preventDefault();
        heading.focus({ preventScroll: true });
        heading.scrollIntoView();
      });
    }
    function other(spot) { return spot % 3 ? spot - spot % 3 + 3 - spot % 3 : spot; }

    byId('finder-undo').addEventListener('click', function () {
      if (!history.length) { return; }
      marks = history.pop();
      show('Undone.');
    });
    byId('finder-clear').addEventListener('click', function () { change(new Map(), 'All cleared.'); });
    byId('finder-copy').addEventListener('click', function () {
      var next = new Map(marks);
      marks.forEach(function (value, spot) { next.set(other(spot), Math.max(value, marks.get(other(spot)) || 0)); });
      change(next, 'Copied to the other side.');
    });
    byId('finder-swap').addEventListener('click', function () {
      change(new Map(Array.from(marks).map(function (m) { return [other(m[0]), m[1]]; })), 'Left and right swapped.');
    });
    byId('finder-keep').addEventListener('change', function () {
      if (byId('finder-keep').checked) { remember(); } else { window.history.replaceState(null, '', location.pathname + location.search); }
    });

    window.addEventListener('hashchange', function () {
      var read = recall();
      if (!read) { remember(); return; }
      byId('finder-keep').checked = true;
      change(read.marks, read.said || 'Marks taken from the address.');
    });

    byId('marked').tabIndex = -1;
    var bar = document.querySelector('.finder-bar');
    bar.querySelectorAll('a').forEach(jump);
    // What takes the focus must not hide under the bar.
    new ResizeObserver(function () {
      if (getComputedStyle(bar).position === 'sticky') { document.documentElement.style.scrollPaddingTop = bar.offsetHeight + 8 + 'px'; }
    }).observe(bar);
    buildList();
    var read = recall();
    if (read) {
      marks = read.marks;
      byId('finder-keep').checked = marks.size > 0;
    }
    if (data.figure) { figure = window.fascicleFinderFigure(data, { set: set, toggle: toggle, name: named.spot, words: WORDS }); }
    byId('finder').hidden = byId('finder-results').hidden = byId('finder-lying').hidden = false;
    show(read ? read.said : '');
  };
}());
