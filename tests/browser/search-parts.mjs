// A site whose index comes in parts: a copy of the site with the parts that `cargo test --test search_parts` wrote. It must
// answer in a browser, over file:// and http, as the site with the whole index does.
import assert from 'node:assert/strict';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { controlled, host, stamp } from './offline.mjs';

const target = process.env.CARGO_TARGET_DIR ?? fileURLToPath(new URL('../../target', import.meta.url));
const made = path.join(target, 'tmp/search-parts');
const head = 'assets/search-index.js';

// Words, and the page that must be the first result. The last two fetch parts in a second round: nothing holds the words as typed.
const queries = [
  ['infraspinatus', 'muscles/infraspinatus.html'],
  ['so', 'muscles/soleus.html'],
  ['musculus trapezius', 'muscles/upper-trapezius.html'],
  ['infraspinatis', 'muscles/infraspinatus.html'],
  ['quadratus lumborm', 'muscles/quadratus-lumborum.html'],
];

// As a compile would write it: the parts are listed for the worker, and pages name the head by its own hash.
const inParts = (site) => {
  const copy = fs.mkdtempSync(path.join(os.tmpdir(), 'fascicle-parts-'));
  fs.cpSync(site, copy, { recursive: true });
  const whole = stamp(fs.readFileSync(path.join(site, head)));
  fs.cpSync(path.join(made, 'parts'), copy, { recursive: true });
  const parts = fs.readdirSync(path.join(copy, 'assets/search')).sort().map((f) => `assets/search/${f}`);
  const of = (file) => stamp(fs.readFileSync(path.join(copy, file)));
  const swap = (file, change) => fs.writeFileSync(file, change(fs.readFileSync(file, 'utf8')));
  const listed = {};
  for (const page of fs.readdirSync(copy, { recursive: true }).filter((f) => f.endsWith('.html'))) {
    swap(path.join(copy, page), (text) => text.replaceAll(`${head}?v=${whole}`, `${head}?v=${of(head)}`));
    listed[page.split(path.sep).join('/')] = of(page);
  }
  for (const part of [head, ...parts]) listed[part] = of(part);
  swap(path.join(copy, 'sw.js'), (text) => {
    const [first, ...rest] = text.split('\n');
    const files = JSON.parse(first.replace(/^self\.fascicleFiles = /, '').replace(/;$/, ''));
    return [`self.fascicleFiles = ${JSON.stringify({ ...files, ...listed })};`, ...rest].join('\n');
  });
  return { copy, parts };
};

// What is shown for words once nothing is on its way.
const answer = async (page, words) => {
  await page.locator('#search').fill(words);
  await page.waitForFunction(() => /result|Nothing/.test(document.getElementById('search-status').textContent), null, { timeout: 10000 });
  return page.evaluate(() => ({
    said: document.getElementById('search-status').textContent,
    shown: document.getElementById('search-results').innerText,
    links: Array.from(document.querySelectorAll('#search-results a'), (a) => a.getAttribute('href')),
  }));
};
const sifts = (page) => page.locator('.sifts select').evaluateAll((all) => all.map((s) => [s.dataset.sift, s.parentElement.hidden, Array.from(s.options, (o) => o.value)]));

// All that a visitor asks on one page, and what came for it.
const visit = async (page, address) => {
  const asked = [];
  const note = (r) => asked.push(new URL(r.url()).pathname.replace(/^.*\/assets\//, 'assets/'));
  page.on('request', note);
  await page.goto(address);
  const quiet = asked.some((a) => a.includes('search-index') || a.includes('assets/search/'));
  await page.locator('#search').focus();
  await page.waitForFunction(() => !document.getElementById('search-panel').hidden);
  const offered = await sifts(page);
  const answers = [];
  for (const [words] of queries) answers.push(await answer(page, words));
  await page.locator('select[data-sift=techniques]').selectOption('Sustained pressure');
  await page.locator('select[data-sift=parts]').selectOption('Lower leg');
  const narrowed = [await answer(page, 'so'), await answer(page, '')];
  page.off('request', note);
  return { asked, quiet, offered, answers, narrowed };
};

export default async ({ test, watched, origins, site }) => {
  const name = 'an index in parts';
  await test(`${name}: was made of this very site`, async () => {
    const file = path.join(made, 'whole', head);
    assert.ok(fs.existsSync(file), 'run cargo test --test search_parts first');
    assert.equal(stamp(fs.readFileSync(file)), stamp(fs.readFileSync(path.join(site, head))), 'run cargo test --test search_parts again');
  });
  if (!fs.existsSync(path.join(made, 'parts', head))) return;
  // Made when the first test asks for it: a run of other tests need not wait.
  let opened = null;
  const open = async () => {
    if (!opened) {
      const { copy, parts } = inParts(site);
      const place = await host(copy);
      opened = { copy, parts, place, origins: { file: `${pathToFileURL(copy).href}/`, http: place.origin } };
    }
    return opened;
  };
  try {
    for (const kind of ['file', 'http']) {
      for (const from of ['index.html', 'muscles/soleus.html']) {
        await test(`${kind}: ${name} answers as the whole one does, from ${from}`, async () => {
          const origin = (await open()).origins[kind];
          const here = await watched(origin);
          const there = await watched(origins[kind]);
          const got = await visit(here.page, origin + from);
          const wanted = await visit(there.page, origins[kind] + from);
          const root = from.includes('/') ? '../' : '';
          queries.forEach(([words, first], i) => assert.equal(got.answers[i].links[0], root + first, words));
          queries.forEach(([words], i) => assert.deepEqual(got.answers[i], wanted.answers[i], words));
          for (const [key, hidden, values] of got.offered) {
            assert.ok(values.length > 1, `nothing to sift ${key} by`);
            assert.equal(hidden, values.length < 3, key);
          }
          assert.ok(got.offered.filter(([, hidden]) => !hidden).length > 1, JSON.stringify(got.offered));
          assert.deepEqual(got.offered, wanted.offered);
          got.narrowed.forEach((n) => assert.ok(n.links.length > 0, n.said));
          assert.deepEqual(got.narrowed, wanted.narrowed);
          const came = got.asked.filter((a) => a.startsWith('assets/search/'));
          assert.ok(!got.quiet, 'the index is fetched before anybody searches');
          assert.ok(came.some((a) => a.includes('words-')) && came.some((a) => a.includes('titles-')), `${came}`);
          assert.equal(new Set(came).size, came.length, 'a part is fetched twice');
          assert.deepEqual(wanted.asked.filter((a) => a.startsWith('assets/search/')), []);
          assert.deepEqual([here.faults, there.faults], [[], []]);
          await here.close();
          await there.close();
        });
      }
    }

    await test(`http: ${name}: one question does not fetch every part`, async () => {
      const { parts, place } = await open();
      const { page, close } = await watched(place.origin);
      place.asked.length = 0;
      await page.goto(`${place.origin}index.html`);
      await answer(page, 'infraspinatus');
      const came = place.asked.filter((a) => a.includes('/assets/search/'));
      assert.ok(came.length > 0 && came.length < parts.length, `${came.length} of ${parts.length}`);
      await close();
    });

    await test(`http: ${name} answers without a network`, async () => {
      const { place } = await open();
      const { page, close } = await watched(place.origin);
      await page.goto(`${place.origin}index.html`);
      await controlled(page);
      place.cut(true);
      await page.goto(`${place.origin}muscles/soleus.html`);
      assert.equal((await answer(page, 'infraspinatis')).links[0], '../muscles/infraspinatus.html');
      place.cut(false);
      await close();
    });
  } finally {
    await opened?.place.close();
    if (opened) fs.rmSync(opened.copy, { recursive: true });
  }
};
