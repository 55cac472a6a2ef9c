// What the ticked answers leave of each protocol. Every row comes from the compiled table; here they are only
// laid over each other: of several strengths the strongest, of several limits the lowest. Nothing is kept or sent.
(() => {
  'use strict';
  const strengths = ['never', 'not here', 'limit', 'ask first', 'watch'];
  const urgencies = ['now', 'same day', 'within 2 weeks', 'routine'];
  const shapes = { never: 'octagon', 'not here': 'square', limit: 'triangle', 'ask first': 'diamond', watch: 'ring' };
  const verdicts = {
    today: { word: 'not today', shape: 'octagon' },
    ask: { word: 'ask first', shape: 'diamond' },
    changes: { word: 'with changes', shape: 'triangle' },
    done: { word: 'can be done', shape: 'circle' },
  };
  const sorted = (list, order, key) => [...list].sort((a, b) => order.indexOf(key(a)) - order.indexOf(key(b)));

  // Limits of a row that are meant for a step.
  const spoken = ({ rule, limits }) => rule.limits.filter((l) => limits.includes(l.parameter));
  // What a set of conditions does to one step: every row that holds, strongest first, and the limits that remain.
  const ofStep = (step, rows) => {
    const hits = sorted(rows, strengths, (h) => h.rule.strength);
    const limits = new Map();
    for (const hit of hits) {
      for (const limit of spoken(hit)) {
        const key = `${hit.rule.stressor}|${limit.parameter}|${limit.dimension}`;
        const known = limits.get(key);
        const tighter = !known || (limit.least ? limit.base > known.base : limit.base < known.base);
        if (tighter) limits.set(key, { ...limit, stressor: hit.rule.stressor });
      }
    }
    return { step, hits, limits: [...limits.values()], left: hits.some((h) => h.rule.bars), because: [], strength: hits.length ? hits[0].rule.strength : '' };
  };
  // A step whose only forerunner is left out is left out too; a step that is left out shortens the time between two others.
  const follow = (protocol, steps) => {
    const by = new Map(steps.map((s) => [s.step.number, s]));
    for (let again = true; again;) {
      again = false;
      for (const need of protocol.needs) {
        const own = by.get(need.step);
        if (!own || own.left || !need.any_of.every((n) => by.get(n)?.left)) continue;
        own.left = true;
        again = true;
        own.because.push(`Step ${need.any_of.join(' or ')}, which must come before it, is left out. ${need.why}`);
      }
    }
    for (const pair of protocol.apart) {
      const [a, b] = [by.get(pair.earlier), by.get(pair.later)];
      const from = steps.indexOf(a);
      const between = steps.slice(from + 1, steps.indexOf(b)).filter((s) => s.left || s.strength === 'not here');
      if (!a || !b || a.left || b.left || between.length === 0) continue;
      b.because.push(`With step ${between.map((s) => s.step.number).join(', ')} left out, wait until ${pair.gap} have passed since step ${pair.earlier}. ${pair.why}`);
    }
  };
  const ofProtocol = (protocol, ticked, conditions, pairs, stopped) => {
    const touches = protocol.touches.filter((t) => ticked.includes(t.condition));
    // What a condition does alone, and what two that are both ticked do together.
    const holding = [...touches.map((t) => [t, conditions.get(t.condition)]), ...protocol.together.map((t) => [t, pairs[t.combination]])].filter(([, condition]) => condition);
    const rows = (list, number) => holding.flatMap(([t, condition]) => t.rows.filter((r) => r[list].includes(number))
      .map((r) => ({ condition, rule: condition.byRow.get(r.rule), limits: r.limits })));
    const steps = protocol.steps.map((s) => ofStep(s, rows('steps', s.number)));
    const home = protocol.home.map((s) => ofStep(s, rows('home', s.number)));
    follow(protocol, steps);
    const excluded = protocol.excludes.filter((c) => ticked.includes(c)).map((c) => conditions.get(c).name);
    const treating = steps.filter((s) => s.step.treats);
    const why = [];
    if (stopped) why.push('A red flag was answered with yes: stop and send on.');
    if (excluded.length) why.push(`Not for people with: ${excluded.join(', ')}.`);
    if (protocol.barred) why.push(`${protocol.barred}.`);
    if (treating.length && treating.every((s) => s.left)) why.push('Every step that treats is left out.');
    const all = [...steps, ...home];
    const some = (word) => all.some((s) => !s.left && s.hits.some((h) => h.rule.strength === word));
    let verdict = 'done';
    if (why.length) verdict = 'today';
    else if (some('ask first')) verdict = 'ask';
    else if (all.some((s) => s.left || s.because.length) || some('not here') || some('limit')) verdict = 'changes';
    if (!why.length && all.some((s) => !s.left && s.strength === 'not here')) {
      why.push('“Not here” means: leave the step out where the trouble is. If the trouble lies where the protocol works, that is not today.');
    }
    if (verdict === 'done' && some('watch')) why.push('Watch closely in the steps named.');
    return { protocol, verdict, why, steps, home };
  };
  const judge = (data, flags, ticked) => {
    const byRow = (c) => new Map(c.rules.map((r) => [r.rule, r]));
    const conditions = new Map(data.conditions.map((c) => [c.id, { ...c, byRow: byRow(c) }]));
    // Those of which both sides are ticked, under the names of both; nothing for the rest.
    const pairs = data.combinations.map((c) => {
      const others = c.with.filter((id) => ticked.includes(id)).map((id) => conditions.get(id).name);
      if (!others.length || !ticked.includes(c.condition)) return null;
      return { name: `${conditions.get(c.condition).name}, together with ${others.join(', ')}`, reason: c.reason, byRow: byRow(c) };
    });
    const stop = sorted(data.flags.filter((f) => flags.includes(f.id)), urgencies, (f) => f.urgency);
    return { stop, protocols: data.protocols.map((p) => ofProtocol(p, ticked, conditions, pairs, stop.length > 0)), conditions };
  };
  // Also for tests without a page.
  globalThis.fascicleScreening = { judge };
  if (typeof document === 'undefined') return;

  const element = (name, text, className) => {
    const made = document.createElement(name);
    if (text) made.textContent = text;
    if (className) made.className = className;
    return made;
  };
  const mark = (shape) => {
    const svg = document.createElementNS('http://www.w3.org/2000/svg', 'svg');
    const use = document.createElementNS('http://www.w3.org/2000/svg', 'use');
    svg.setAttribute('class', 'mark');
    svg.setAttribute('viewBox', '0 0 16 16');
    svg.setAttribute('aria-hidden', 'true');
    use.setAttribute('href', `#m-${shape}`);
    svg.append(use);
    return svg;
  };
  const limitText = (l) => `${l.label ? `${l.label} ` : ''}${l.least ? 'at least ' : 'at most '}${l.text}`;
  const reason = (hit) => {
    const { condition, rule } = hit;
    const place = rule.places.length ? ` at ${rule.places.join(', ')}` : '';
    const given = spoken(hit).length < rule.limits.length ? [...spoken(hit).map(limitText), rule.words].filter(Boolean).join(', ') : rule.numbers;
    const numbers = given ? `: ${given}` : '';
    const instead = rule.instead ? ` Instead: ${rule.instead}.` : '';
    return `${rule.strength}${numbers} (${rule.stressor}${place}), ${condition.name}: ${rule.why ?? condition.reason}${instead}`;
  };
  // What is left out at one place keeps its limits everywhere else.
  const joint = (s) => (s.strength === 'not here' ? '; elsewhere' : '');
  const told = (s) => (s.left ? 'left out' : { 'not here': 'left out where the trouble is', limit: 'with limits', 'ask first': 'written clearance first', watch: 'watch closely' }[s.strength] ?? 'look');
  const stepRow = (s, name) => {
    const row = element('li', '', `step-row${s.left ? ' left-out' : ''}`);
    const head = element('p', '', 'step-what');
    head.append(element('strong', `${name} ${s.step.number}`), ` ${s.step.action}${s.step.dose ? ` (as written: ${s.step.dose})` : ''}`);
    const word = element('p', '', 'keep-to');
    word.append(mark(s.left ? 'octagon' : shapes[s.strength] ?? 'triangle'), ` ${told(s)}${!s.left && s.limits.length ? `${joint(s)}: ${s.limits.map(limitText).join(', ')}` : ''}`);
    const reasons = element('ul', '', 'reasons');
    for (const text of [...s.because, ...s.hits.map(reason)]) reasons.append(element('li', text));
    row.append(head, word, reasons);
    return row;
  };
  const protocolRow = ({ protocol, verdict, why, steps, home }) => {
    const row = element('li', '', verdict === 'today' ? 'not-today' : '');
    row.dataset.protocol = protocol.id;
    row.dataset.verdict = verdict;
    const title = element('h3');
    const link = element('a', protocol.title);
    link.href = protocol.page;
    title.append(link);
    const word = element('p', '', 'verdict');
    word.append(mark(verdicts[verdict].shape), element('span', verdicts[verdict].word));
    row.append(title, word, ...why.map((text) => element('p', text)));
    // No question asks for it, so it stands there whatever is ticked.
    if (protocol.not_for) row.append(element('p', `Not for: ${protocol.not_for}`));
    const list = element('ul');
    const touched = (s) => s.hits.length > 0 || s.because.length > 0;
    list.append(...steps.filter(touched).map((s) => stepRow(s, 'Step')), ...home.filter(touched).map((s) => stepRow(s, 'Home item')));
    if (list.children.length) {
      // Where nothing is done today, the steps are for those who want to know.
      const folded = verdict === 'today' ? element('details') : row;
      if (folded !== row) { folded.append(element('summary', `What the answers say of ${list.children.length} of its parts`)); row.append(folded); }
      folded.append(list);
      const rest = steps.filter((s) => !touched(s)).map((s) => s.step.number);
      if (rest.length) folded.append(element('p', `Not touched by these answers: ${rest.length === 1 ? 'step' : 'steps'} ${rest.join(', ')}.`, 'under'));
    }
    return row;
  };
  const stopBox = (box, stop) => {
    box.hidden = stop.length === 0;
    box.replaceChildren();
    if (!stop.length) return;
    box.append(element('h2', 'Stop: do not treat, send on'));
    const list = element('ul');
    for (const f of stop) {
      const item = element('li');
      item.append(element('strong', `${f.name}: send on ${f.urgency} (${f.clock}) to ${f.destination}.`), ` ${f.how ? `${f.how} ` : ''}${f.meanwhile}`);
      list.append(item);
    }
    box.append(list);
  };
  const summary = ({ stop, protocols }, count) => {
    if (stop.length) return `Stop. Send on ${stop[0].urgency}: ${stop[0].destination}.`;
    if (!count) return 'Nothing is ticked.';
    const parts = Object.keys(verdicts).map((v) => [protocols.filter((p) => p.verdict === v).length, verdicts[v].word]).filter(([n]) => n);
    return `${protocols.length} ${protocols.length === 1 ? 'protocol' : 'protocols'}: ${parts.map(([n, word]) => `${n} ${word}`).join(', ')}.`;
  };

  globalThis.fascicleScreeningData = (data) => {
    const root = document.getElementById('screening');
    const form = root.querySelector('form');
    const boxes = [...form.querySelectorAll('input')];
    const list = document.getElementById('screening-protocols');
    const said = document.getElementById('screening-said');
    const show = () => {
      const of = (key) => boxes.filter((b) => b.checked && key in b.dataset).map((b) => b.dataset[key]);
      const result = judge(data, of('flag'), of('condition'));
      stopBox(document.getElementById('screening-stop'), result.stop);
      list.replaceChildren(...result.protocols.map(protocolRow));
      said.textContent = summary(result, boxes.filter((b) => b.checked).length);
    };
    const clear = () => { for (const box of boxes) box.checked = false; show(); };
    form.addEventListener('change', show);
    form.addEventListener('submit', (event) => event.preventDefault());
    document.getElementById('screening-clear').addEventListener('click', () => { clear(); boxes[0]?.focus(); });
    // A page that a browser takes out of its memory, or a form that it fills in again, begins empty for the next person.
    window.addEventListener('pageshow', clear);
    window.addEventListener('pagehide', clear);
    root.hidden = false;
    // The same questions stand above, with boxes.
    document.querySelector('.screening-asked').open = false;
    clear();
  };
})();
