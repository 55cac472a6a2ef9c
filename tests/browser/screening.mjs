// Browser tests of the screening page: what it says of ticked answers is the compiled table laid over itself, it works by
// keyboard, forgets everything, and stands as tables without script and on paper.
import assert from 'node:assert/strict';
import fs from 'node:fs';
import path from 'node:path';

const PAGE = 'screening.html';

export default async ({ test, watched, origins, site }) => {
  const data = JSON.parse(fs.readFileSync(path.join(site, 'data/screening.json'), 'utf8'));
  const conditions = new Map(data.conditions.map((c) => [c.id, c]));
  const ids = [...conditions.keys()];
  const box = (page, id) => page.locator(`.ask input[data-condition="${id}"]`);
  const read = (page) => page.$$eval('#screening-protocols > li', (all) => all.map((p) => ({
    id: p.dataset.protocol,
    verdict: p.dataset.verdict,
    word: p.querySelector('.verdict').textContent.trim(),
    steps: [...p.querySelectorAll('.step-row')].map((s) => ({ name: s.querySelector('strong').textContent, left: s.classList.contains('left-out'), text: s.textContent })),
  })));

  // A row as it is told to steps for which only some of its limits are meant.
  const meant = (row, parameters) => {
    const limits = row.limits.filter((l) => parameters.includes(l.parameter));
    const said = limits.map((l) => `${l.label ? `${l.label} ` : ''}${l.least ? 'at least' : 'at most'} ${l.text}`).join(', ');
    return { ...row, limits, numbers: limits.length < row.limits.length ? said : row.numbers };
  };
  // Every row of the table that touches a step or home item under these answers, by another way than the page goes.
  const rows = (protocol, ticked) => {
    const out = new Map();
    const add = (touched, rules, condition) => {
      for (const { rule, limits, steps, home } of touched) {
        const found = meant(rules.find((r) => r.rule === rule), limits);
        for (const name of [...steps.map((n) => `Step ${n}`), ...home.map((n) => `Home item ${n}`)]) {
          out.set(name, [...(out.get(name) ?? []), { ...found, condition }]);
        }
      }
    };
    for (const touch of protocol.touches) {
      const own = conditions.get(touch.condition);
      if (ticked.includes(touch.condition)) add(touch.rows, own.rules, own.name);
    }
    for (const touch of protocol.together) {
      const pair = data.combinations[touch.combination];
      const others = pair.with.filter((id) => ticked.includes(id)).map((id) => conditions.get(id).name);
      if (ticked.includes(pair.condition) && others.length) add(touch.rows, pair.rules, `${conditions.get(pair.condition).name}, together with ${others.join(', ')}`);
    }
    return out;
  };
  const agree = (shown, ticked) => {
    assert.equal(shown.length, data.protocols.length);
    for (const [i, protocol] of data.protocols.entries()) {
      const wanted = rows(protocol, ticked);
      const own = shown[i];
      assert.equal(own.id, protocol.id);
      assert.deepEqual(new Set(own.steps.filter((s) => wanted.has(s.name)).map((s) => s.name)), new Set(wanted.keys()), protocol.id);
      for (const step of own.steps) {
        const all = wanted.get(step.name) ?? [];
        if (all.some((r) => r.bars)) assert.ok(step.left, `${protocol.id}, ${step.name}: ${step.text}`);
        for (const r of all) assert.ok(step.text.includes(`${r.strength}${r.numbers ? `: ${r.numbers}` : ''} (${r.stressor}`) && step.text.includes(r.condition), `${step.text}\n${JSON.stringify(r)}`);
      }
      const excluded = protocol.excludes.some((c) => ticked.includes(c));
      if (excluded) assert.equal(own.verdict, 'today', protocol.id);
      if (!excluded && wanted.size === 0) assert.equal(own.verdict, 'done', protocol.id);
      const free = [...wanted.values()].filter((all) => !all.some((r) => r.bars)).flat();
      if (own.verdict === 'changes') assert.ok(!free.some((r) => r.strength === 'ask first'), protocol.id);
      if (own.verdict === 'done') assert.ok(free.every((r) => r.strength === 'watch'), protocol.id);
    }
  };

  for (const [kind, origin] of Object.entries(origins)) {
    await test(`${kind}: each condition alone, and every pair of neighbours, lead to what the table says`, async () => {
      const { page, faults, close } = await watched(origin);
      await page.goto(origin + PAGE);
      agree(await read(page), []);
      for (const [i, id] of ids.entries()) {
        await box(page, id).check();
        agree(await read(page), [id]);
        const next = ids[(i + 1) % ids.length];
        await box(page, next).check();
        agree(await read(page), [id, next]);
        await page.locator('#screening-clear').click();
        assert.equal(await page.locator('.ask input:checked').count(), 0);
      }
      assert.deepEqual(faults, []);
      await close();
    });

    await test(`${kind}: ticks are kept nowhere, and are gone after reload and on the way back`, async () => {
      const { page, close } = await watched(origin);
      await page.goto(origin + PAGE);
      await box(page, ids[0]).check();
      await page.locator('.ask input[data-flag]').first().check();
      const kept = () => page.evaluate(async () => [localStorage.length, sessionStorage.length, document.cookie, location.search, location.hash, (await indexedDB.databases()).length]);
      assert.deepEqual(await kept(), [0, 0, '', '', '', 0]);
      await page.reload();
      assert.equal(await page.locator('.ask input:checked').count(), 0);
      await box(page, ids[0]).check();
      await page.goto(`${origin}index.html`);
      await page.goBack();
      assert.equal(await page.locator('.ask input:checked').count(), 0);
      assert.equal(await page.locator('#screening-said').innerText(), 'Nothing is ticked.');
      await close();
    });
  }

  await test('two conditions that have a row together lead to more than each alone', async () => {
    const { page, close } = await watched(origins.file);
    await page.goto(origins.file + PAGE);
    assert.ok(data.combinations.length > 0, 'the demonstration has conditions that do more together');
    for (const [at, pair] of data.combinations.entries()) {
      for (const other of pair.with) {
        for (const ticked of [[pair.condition], [other], [pair.condition, other]]) {
          await page.locator('#screening-clear').click();
          for (const id of ticked) await box(page, id).check();
          const shown = await read(page);
          agree(shown, ticked);
          for (const [i, protocol] of data.protocols.entries()) {
            const touched = protocol.together.filter((t) => t.combination === at).flatMap((t) => t.rows);
            for (const row of touched.filter((r) => pair.rules.find((x) => x.rule === r.rule).bars)) {
              for (const n of row.steps) {
                const step = shown[i].steps.find((s) => s.name === `Step ${n}`);
                const alone = [...rows(protocol, ticked.slice(0, 1)).get(step.name) ?? []].some((r) => r.bars);
                if (ticked.length > 1) assert.ok(step.left && step.text.includes(conditions.get(other).name) && step.text.includes('left out'), step.text);
                else if (!alone) assert.ok(!step.left && step.text.includes('with limits'), step.text);
              }
            }
          }
        }
      }
    }
    await close();
  });

  await test('of several limits the lowest holds, and every one is shown', async () => {
    const { page, close } = await watched(origins.file);
    await page.goto(origins.file + PAGE);
    const limiting = ids.filter((id) => conditions.get(id).rules.some((r) => r.limits.length));
    assert.ok(limiting.length > 2);
    for (const id of limiting) await box(page, id).check();
    const shown = await read(page);
    let several = 0;
    for (const [i, protocol] of data.protocols.entries()) {
      for (const [name, all] of rows(protocol, limiting)) {
        const step = shown[i].steps.find((s) => s.name === name);
        if (step.left) continue;
        const keys = new Map();
        for (const r of all) for (const l of r.limits) keys.set(`${r.stressor} ${l.parameter}`, [...(keys.get(`${r.stressor} ${l.parameter}`) ?? []), l]);
        for (const limits of keys.values()) {
          const tightest = limits.reduce((a, b) => ((a.least ? b.base > a.base : b.base < a.base) ? b : a));
          assert.ok(step.text.includes(`${tightest.least ? 'at least' : 'at most'} ${tightest.text}`), `${protocol.id}, ${name}: ${step.text}`);
          if (new Set(limits.map((l) => l.base)).size > 1) several += 1;
        }
      }
    }
    assert.ok(several > 0, 'no step with two different limits');
    await close();
  });

  await test('a red flag stops everything, and the most urgent is told first', async () => {
    const { page, close } = await watched(origins.file);
    await page.goto(origins.file + PAGE);
    const slow = data.flags.find((f) => f.urgency !== 'now');
    const now = data.flags.find((f) => f.urgency === 'now');
    await page.locator(`.ask input[data-flag="${slow.id}"]`).check();
    assert.ok((await page.locator('#screening-said').innerText()).includes(slow.destination));
    assert.ok((await read(page)).every((p) => p.word === 'not today'));
    await page.locator(`.ask input[data-flag="${now.id}"]`).check();
    const items = await page.locator('#screening-stop li').allInnerTexts();
    assert.equal(items.length, 2);
    assert.ok(items[0].startsWith(now.name) && items[0].includes(now.destination) && items[1].startsWith(slow.name));
    assert.ok((await page.locator('#screening-said').innerText()).startsWith(`Stop. Send on now: ${now.destination}`));
    const above = await page.evaluate(() => document.getElementById('screening-stop').getBoundingClientRect().bottom <= document.querySelector('.screening-layout').getBoundingClientRect().top + 30);
    assert.ok(above, 'it stands above questions and protocols');
    await close();
  });

  await test('a step that is left out shortens the time between two others, and takes with it what needs it', async () => {
    await import(new URL(`file://${path.join(site, 'assets/screening.js')}`).href);
    const { judge } = globalThis.fascicleScreening;
    const pair = data.protocols.flatMap((p) => p.apart.map((a) => [p, a]))[0];
    assert.ok(pair, 'the demonstration has heat and cold with a time between them');
    const [protocol, apart] = pair;
    const between = protocol.steps.map((s) => s.number).filter((n) => n > apart.earlier && n < apart.later);
    const rule = { rule: 0, stressor: 'pressure', strength: 'never', bars: true, numbers: '', limits: [], places: [], why: null, instead: null };
    const made = (steps, needs = []) => ({
      ...data,
      conditions: [{ id: 'made', name: 'Made', question: '?', reason: 'R.', clears: null, rules: [rule] }],
      combinations: [],
      protocols: [{ ...protocol, excludes: [], needs, touches: [{ condition: 'made', rows: [{ rule: 0, steps, home: [] }] }], together: [] }],
    });
    const of = (result, number) => result.protocols[0].steps.find((s) => s.step.number === number);
    const short = judge(made([between[0]]), [], ['made']);
    assert.ok(of(short, apart.later).because.some((b) => b.includes(apart.gap) && b.includes(`step ${between[0]} left out`)));
    const gone = judge(made([between[0], apart.earlier]), [], ['made']);
    assert.deepEqual(of(gone, apart.later).because, [], 'nothing to wait for');
    const needing = judge(made([between[0]], [{ step: apart.later, any_of: [between[0]], why: 'W.' }]), [], ['made']);
    assert.ok(of(needing, apart.later).left && of(needing, apart.later).because[0].endsWith('W.'));
    const all = judge(made(protocol.steps.map((s) => s.number)), [], ['made']);
    assert.equal(all.protocols[0].verdict, 'today');
  });

  await test('the screening page works by keyboard alone, with targets of 44 px', async () => {
    const { page, close } = await watched(origins.file, { viewport: { width: 390, height: 844 } });
    await page.goto(origins.file + PAGE);
    const boxes = await page.$$eval('.ask, .screening-bar :is(a, button)', (all) => all.map((e) => e.getBoundingClientRect().height));
    assert.ok(boxes.length === data.flags.length + ids.length + 2 && boxes.every((h) => h >= 44), boxes.join(' '));
    await page.locator('#screening-clear').focus();
    await page.keyboard.press('Tab');
    await page.keyboard.press('Space');
    assert.equal(await page.evaluate(() => document.activeElement.dataset.flag), data.flags[0].id);
    assert.match(await page.locator('#screening-said').innerText(), /^Stop\./);
    await page.keyboard.press('Shift+Tab');
    await page.keyboard.press('Enter');
    assert.equal(await page.locator('#screening-said').innerText(), 'Nothing is ticked.');
    await close();
  });

  await test('without script and on paper the whole table stands, and no box that cannot work', async () => {
    const { page, close } = await watched(origins.file, { javaScriptEnabled: false });
    await page.goto(origins.file + PAGE);
    for (const media of ['screen', 'print']) {
      await page.emulateMedia({ media });
      assert.equal(await page.locator('input[type=checkbox]:visible').count(), 0);
      assert.equal(await page.locator('.overview').first().locator('tbody tr').count(), ids.length + data.combinations.length);
    }
    for (const protocol of data.protocols) {
      const table = page.locator(`details:has(summary:text-is("${protocol.title}")) table`);
      const text = await table.textContent();
      for (const touch of protocol.touches) {
        const body = await table.locator(`tbody[data-condition="${touch.condition}"]`).textContent();
        for (const { rule, limits, steps } of touch.rows) {
          const found = meant(conditions.get(touch.condition).rules.find((r) => r.rule === rule), limits);
          assert.ok(body.includes(found.strength) && body.includes(found.stressor), `${protocol.id}, ${touch.condition}`);
          for (const l of found.limits) assert.ok(body.includes(l.text), `${protocol.id}, ${touch.condition}: ${l.parameter}`);
          for (const n of steps) assert.ok(new RegExp(`(^|\\D)${n}(\\D|$)`).test(body), `${protocol.id}, ${touch.condition}, step ${n}`);
        }
      }
      for (const touch of protocol.together) {
        const pair = data.combinations[touch.combination];
        const bodies = (await table.locator(`tbody[data-together="${pair.condition}"]`).allTextContents()).join(' ');
        for (const { rule, steps } of touch.rows) {
          assert.ok(bodies.includes(pair.rules.find((r) => r.rule === rule).strength) && bodies.includes(conditions.get(pair.with[0]).name), bodies);
          for (const n of steps) assert.ok(new RegExp(`(^|\\D)${n}(\\D|$)`).test(bodies), `${protocol.id}, ${pair.condition}, step ${n}`);
        }
      }
      assert.ok(text.length > 100);
    }
    assert.ok(await page.locator('.by-step').first().isVisible(), 'details are open on paper');
    await close();
  });
};
