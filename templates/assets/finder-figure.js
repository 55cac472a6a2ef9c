// The figure of the finder: one list of options for each picture, marked by pointer or by keyboard.
(function () {
  'use strict';
  var NS = 'http://www.w3.org/2000/svg';
  var WAYS = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowDown: [0, 1], ArrowUp: [0, -1] };

  function svg(name, attributes, children) {
    var el = document.createElementNS(NS, name);
    Object.keys(attributes).forEach(function (key) { el.setAttribute(key, attributes[key]); });
    (children || []).forEach(function (child) { el.append(child); });
    return el;
  }
  // Strength by texture: dots, thin lines, thick lines the other way. `u` is the distance between them.
  function texture(id, strength, u) {
    var turn = ['', 'rotate(0)', 'rotate(45)', 'rotate(-45)'][strength];
    var inner = strength === 1 ? svg('circle', { cx: u / 2, cy: u / 2, r: u * 0.24, class: 'tx-dot' })
      : svg('path', { d: 'M0 ' + u / 2 + 'H' + u, 'stroke-width': u * (strength === 2 ? 0.2 : 0.58), class: 'tx-line' });
    return svg('pattern', { id: id, width: u, height: u, patternUnits: 'userSpaceOnUse', patternTransform: turn },
      [svg('rect', { width: u, height: u, class: 'tx-ground' }), inner]);
  }
  function swatches() {
    document.querySelectorAll('svg.swatch').forEach(function (s) {
      var n = Number(s.dataset.strength);
      s.append(svg('defs', {}, [texture('swatch-' + n, n, 5)]));
      s.append(svg('rect', { x: 1, y: 1, width: 22, height: 14, class: 'swatch-box', fill: 'url(#swatch-' + n + ')' }));
    });
  }
  // The option that lies nearest in a direction: along it, and twice as dear across it.
  function nearest(options, from, way) {
    var best = null;
    var least = Infinity;
    options.forEach(function (o) {
      var dx = o.at[0] - from.at[0];
      var dy = o.at[1] - from.at[1];
      var along = dx * way[0] + dy * way[1];
      var across = Math.abs(dx * way[1]) + Math.abs(dy * way[0]);
      if (o === from || along < 0.3 || along + 2.2 * across >= least) { return; }
      best = o;
      least = along + 2.2 * across;
    });
    return best;
  }

  function picture(plan, view, act) {
    var flip = plan.flip ? -1 : 1;
    var box = plan.flip ? [-plan.box[0] - plan.box[2]].concat(plan.box.slice(1)) : plan.box;
    var texts = [1, 2, 3].map(function (n) { return texture(plan.id + '-' + n, n, plan.box[2] / 45); });
    var rings = ['focus-under', 'focus-over'].map(function (c) { return svg('path', { class: c, d: 'M0 0' }); });
    var list = svg('g', {
      role: 'listbox', 'aria-multiselectable': 'true', 'aria-label': plan.name, 'aria-describedby': 'finder-help'
    });
    var options = [];
    function lines(d, name) {
      return (view.mirror ? [1, -1] : [1]).map(function (half) { return svg('path', { class: name, d: d, transform: 'scale(' + half * flip + ' 1)' }); });
    }
    function option(shape, spot, mirrored) {
      var turn = flip * mirrored;
      var path = svg('path', { role: 'option', d: shape[1], transform: 'scale(' + turn + ' 1)', tabindex: -1, class: 'finder-option', 'data-spot': spot });
      path.append(svg('title', {}, [act.name(spot)]));
      options.push({ path: path, spot: spot, at: [shape[2] * turn, shape[3]] });
      list.append(path);
    }
    view.regions.forEach(function (shape) {
      if (plan.only && !plan.only.includes(shape[0])) { return; }
      var base = shape[0] * 3;
      if (!shape[4]) { option(shape, base, 1); return; }
      option(shape, base + plan.half, 1);
      if (view.mirror) { option(shape, base + 3 - plan.half, -1); }
    });
    var el = svg('svg', { viewBox: box.join(' '), focusable: 'false' }, [svg('defs', {}, texts), list]
      .concat(lines(view.detail, 'finder-detail'), lines(view.edge, 'finder-edge'), rings));

    function of(path) { return options.find(function (o) { return o.path === path; }); }
    function go(o) {
      options.forEach(function (x) { x.path.setAttribute('tabindex', x === o ? 0 : -1); });
      o.path.focus();
    }
    function ring(path) {
      rings.forEach(function (r) {
        r.setAttribute('d', path ? path.getAttribute('d') : 'M0 0');
        r.setAttribute('transform', path ? path.getAttribute('transform') : '');
      });
    }
    list.addEventListener('click', function (e) {
      var o = of(e.target.closest('[role=option]'));
      if (o) { go(o); act.toggle(o.spot); }
    });
    list.addEventListener('keydown', function (e) {
      var o = of(e.target);
      if (!o || e.ctrlKey || e.metaKey || e.altKey) { return; }
      if (WAYS[e.key]) { go(nearest(options, o, WAYS[e.key]) || o); }
      else if (e.key === 'Home') { go(options[0]); }
      else if (e.key === 'End') { go(options[options.length - 1]); }
      else if (/^[0-3]$/.test(e.key)) { act.set(o.spot, Number(e.key)); }
      else if (e.key === 'Delete' || e.key === 'Backspace') { act.set(o.spot, 0); }
      else if (e.key === ' ' || e.key === 'Enter') { act.toggle(o.spot); }
      else { return; }
      e.preventDefault();
    });
    if (options.length) { options[0].path.setAttribute('tabindex', 0); }
    function show(marks) {
      options.forEach(function (o) {
        var strength = marks.get(o.spot) || 0;
        if (o.shown === strength) { return; }
        o.shown = strength;
        o.path.setAttribute('aria-selected', strength > 0);
        o.path.setAttribute('aria-label', act.name(o.spot) + ': ' + act.words[strength]);
        o.path.setAttribute('fill', strength ? 'url(#' + plan.id + '-' + strength + ')' : 'transparent');
        o.path.classList.toggle('is-marked', strength > 0);
      });
    }
    var caption = document.createElement('figcaption');
    caption.textContent = plan.name + (plan.note ? '. ' + plan.note : '');
    var figure = document.createElement('figure');
    figure.className = 'finder-picture finder-picture-' + plan.view;
    figure.append(el, caption);
    // On the figure, not in the drawing: an SVG element that listens for focus can be tabbed to.
    figure.addEventListener('focusin', function (e) { ring(of(e.target) && e.target.matches(':focus-visible') ? e.target : null); });
    figure.addEventListener('focusout', function () { ring(null); });
    return { figure: figure, show: show };
  }

  window.fascicleFinderFigure = function (data, act) {
    var pictures = data.figure.pictures.map(function (plan) {
      return Object.assign(picture(plan, data.figure.views[plan.view], act), { group: plan.group });
    });
    var groups = Array.from(new Set(pictures.map(function (p) { return p.group; })));
    var choice = document.querySelector('.finder-views');
    var place = document.querySelector('.finder-pictures');
    function choose(group) { pictures.forEach(function (p) { p.figure.hidden = p.group !== group; }); }
    groups.forEach(function (group, i) {
      var radio = document.createElement('input');
      radio.type = 'radio';
      radio.name = 'picture';
      radio.checked = i === 0;
      radio.addEventListener('change', function () { choose(group); });
      var label = document.createElement('label');
      label.append(radio, ' ' + group);
      choice.append(label);
    });
    pictures.forEach(function (p) { place.append(p.figure); });
    choose(groups[0]);
    swatches();
    document.getElementById('finder-figure').hidden = false;
    return { show: function (marks) { pictures.forEach(function (p) { p.show(marks); }); } };
  };
}());
