// Browser tests of a built site, over file:// and over loopback http.
// Usage: node tests/browser/run.mjs SITE [WORDS]; with words, only tests whose name has them.
import assert from 'node:assert/strict';
import fs from 'node:fs';
import http from 'node:http';
import path from 'node:path';
import zlib from 'node:zlib';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';
import axe from './axe.mjs';
import cardCheck from './card-check.mjs';
import change from './change.mjs';
import chart from './chart.mjs';
import everywhere from './everywhere.mjs';
import evidence from './evidence.mjs';
import finder from './finder.mjs';
import offline from './offline.mjs';
import room from './room.mjs';
import screening from './screening.mjs';
import searchParts from './search-parts.mjs';

const site = path.resolve(process.argv[2] ?? 'site');
const executablePath = process.env.CHROMIUM ?? '/usr/bin/chromium';
const types = { '.html': 'text/html', '.css': 'text/css', '.js': 'text/javascript', '.json': 'application/json', '.svg': 'image/svg+xml', '.png': 'image/png', '.webmanifest': 'application/manifest+json', '.xml': 'application/xml', '.txt': 'text/plain' };

const files = (folder) => fs.readdirSync(folder, { withFileTypes: true })
  .flatMap((e) => (e.isDirectory() ? files(path.join(folder, e.name)) : [path.join(folder, e.name)]));
const inner = (file) => path.relative(site, file).split(path.sep).join('/');
const pages = files(site).filter((f) => f.endsWith('.html')).map(inner).sort();
const cards = pages.filter((p) => p.startsWith('cards/'));

const server = http.createServer((request, response) => {
  const file = path.join(site, decodeURIComponent(new URL(request.url, 'http://localhost').pathname));
  if (!file.startsWith(site) || !fs.existsSync(file) || fs.statSync(file).isDirectory()) { response.writeHead(404).end(); return; }
  response.writeHead(200, { 'content-type': types[path.extname(file)] ?? 'application/octet-stream' });
  fs.createReadStream(file).pipe(response);
});
await new Promise((resolve) => server.listen(0, '127.0.0.1', resolve));
const origins = { file: `${pathToFileURL(site).href}/`, http: `http://127.0.0.1:${server.address().port}/` };

const browser = await chromium.launch({
  executablePath,
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'],
});
const failures = [];
let passed = 0;
const wanted = process.argv[3] ?? '';
const test = async (name, body) => {
  if (!name.includes(wanted)) return;
  try { await body(); passed += 1; console.log(`ok    ${name}`); }
  catch (error) { failures.push(name); console.log(`FAIL  ${name}\n      ${String(error.message ?? error).split('\n').join('\n      ')}`); }
};

// A page that reports every console error and every request that leaves the site.
const watched = async (origin, options = {}) => {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const faults = [];
  page.on('console', (m) => { if (m.type() === 'error') faults.push(`console: ${m.text()}`); });
  page.on('pageerror', (e) => faults.push(`script: ${e.message}`));
  page.on('request', (r) => { if (!r.url().startsWith(origin) && !r.url().startsWith('data:')) faults.push(`request: ${r.url()}`); });
  return { page, faults, close: () => context.close() };
};

const search = async (page, words) => {
  const box = page.locator('input[type=search]').first();
  await box.click();
  await box.fill(words);
  const results = page.locator('#search-results a');
  await results.first().waitFor({ timeout: 5000 });
  return results.evaluateAll((links) => links.map((a) => a.getAttribute('href')));
};

// Words, and the page that must be among the first three.
const queries = [
  ['infraspinatus', 'muscles/infraspinatus.html'],
  ['infraspinatis', 'muscles/infraspinatus.html'],
  ['levater scapulae', 'muscles/levator-scapulae.html'],
  ['solius', 'muscles/soleus.html'],
  ['latisimus', 'muscles/latissimus-dorsi.html'],
  ['quadratus lumborm', 'muscles/quadratus-lumborum.html'],
  ['musculus trapezius', 'muscles/upper-trapezius.html'],
];

for (const [kind, origin] of Object.entries(origins)) {
  await test(`${kind}: no page has a console error or an outside request`, async () => {
    const { page, faults, close } = await watched(origin);
    for (const p of pages) {
      await page.goto(origin + p);
      assert.deepEqual(faults, [], p);
    }
    await close();
  });

  await test(`${kind}: search finds muscles by other names and with letters wrong`, async () => {
    const { page, faults, close } = await watched(origin);
    await page.goto(`${origin}index.html`);
    for (const [words, wanted] of queries) {
      const found = (await search(page, words)).slice(0, 3).map((href) => new URL(href, origin).href);
      assert.ok(found.some((f) => f.endsWith(wanted)), `${words}: ${found}`);
    }
    assert.deepEqual(faults, []);
    await close();
  });

  await test(`${kind}: search works from a page in a folder`, async () => {
    const { page, close } = await watched(origin);
    await page.goto(`${origin}muscles/soleus.html`);
    const [first] = await search(page, 'hamstrings');
    await page.goto(new URL(first, page.url()).href);
    assert.match(page.url(), /hamstrings/);
    await close();
  });
}

await test('every link and anchor resolves', async () => {
  const { page, close } = await watched(origins.file);
  const ids = new Map();
  const links = [];
  for (const p of pages) {
    await page.goto(origins.file + p);
    ids.set(p, new Set(await page.$$eval('[id]', (all) => all.map((e) => e.id))));
    // Links of the page for a missing address are absolute, since a host shows it at any depth.
    if (p === '404.html') continue;
    for (const href of await page.$$eval('a[href]', (all) => all.map((a) => a.href))) links.push([p, href]);
  }
  assert.ok(links.length > 100);
  for (const [from, href] of links) {
    assert.ok(href.startsWith(origins.file), `${from} links to ${href}`);
    const [file, anchor] = href.slice(origins.file.length).split('#');
    assert.ok(fs.existsSync(path.join(site, file.split('?')[0])), `${from} links to ${href}`);
    if (anchor && ids.has(file)) assert.ok(ids.get(file).has(decodeURIComponent(anchor)), `${from} links to ${href}`);
  }
  await close();
});

await test('pages are readable without script', async () => {
  const { page, close } = await watched(origins.file, { javaScriptEnabled: false });
  for (const p of pages.filter((x) => !x.startsWith('cards/'))) {
    await page.goto(origins.file + p);
    assert.ok((await page.locator('main').innerText()).length > 40, p);
    assert.equal(await page.locator('input[type=search]:visible').count(), 0, `${p}: a search box that cannot work`);
    assert.ok(await page.locator('a[href$="a-z.html"]:visible').count() > 0, `${p}: no way to the A-Z page`);
  }
  await close();
});

await test('no page scrolls sideways at 390, 820 and 1280 px', async () => {
  for (const width of [390, 820, 1280]) {
    const { page, close } = await watched(origins.file, { viewport: { width, height: 900 } });
    for (const p of pages.filter((x) => !x.startsWith('cards/'))) {
      await page.goto(origins.file + p);
      const [scroll, client] = await page.evaluate(() => [document.documentElement.scrollWidth, document.documentElement.clientWidth]);
      assert.ok(scroll <= client, `${p} at ${width}: ${scroll} > ${client}`);
    }
    await close();
  }
});

await test('nothing on a card face overflows', async () => {
  const { page, close } = await watched(origins.file);
  assert.ok(cards.length > 1);
  for (const p of cards) {
    await page.goto(origins.file + p);
    await page.emulateMedia({ media: 'print' });
    const faces = await page.$$eval('.face', (all) => all.map((f) => [f.scrollHeight, f.clientHeight, f.scrollWidth, f.clientWidth]));
    assert.ok(faces.length > 0, p);
    faces.forEach(([sh, ch, sw, cw], i) => assert.ok(sh <= ch && sw <= cw, `${p}, face ${i + 1}: ${sh}x${sw} in ${ch}x${cw}`));
  }
  await close();
});

await test('the first view of a protocol is under 100 KB compressed, all script of the site under 60 KB', async () => {
  const { page, close } = await watched(origins.file);
  const packed = (file) => zlib.gzipSync(fs.readFileSync(file)).length;
  let bytes = 0;
  page.on('requestfinished', (r) => { if (!/\.(png|svg)/.test(r.url())) bytes += packed(fileURLToPath(r.url().split(/[?#]/)[0])); });
  const protocols = pages.filter((p) => p.startsWith('protocols/'));
  assert.ok(protocols.length > 1);
  for (const p of protocols) {
    bytes = 0;
    await page.goto(origins.file + p, { waitUntil: 'networkidle' });
    assert.ok(bytes > 10_000 && bytes < 100_000, `${p}: ${bytes}`);
  }
  const scripts = files(path.join(site, 'assets')).filter((f) => f.endsWith('.js') && !/minisearch|search-index|-data\.js/.test(f));
  const all = scripts.reduce((sum, f) => sum + packed(f), packed(path.join(site, 'sw.js')));
  assert.ok(all < 60_000, `${all}`);
  await close();
});

await test('each card prints on the pages that it says', async () => {
  const { page, close } = await watched(origins.file);
  for (const p of cards.filter((c) => !c.endsWith('all.html'))) {
    await page.goto(origins.file + p);
    const marks = await page.$$eval('.face-page', (all) => all.map((m) => m.textContent));
    const said = marks.map((m) => /page (\d+) of (\d+)/.exec(m).slice(1).map(Number));
    const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
    const printed = [...pdf.matchAll(/\/Type\s*\/Page[^s]/g)].length;
    assert.equal(said.length, printed, `${p}: faces and sheets`);
    said.forEach(([x, y], i) => assert.deepEqual([x, y], [i + 1, printed], p));
    const boxes = [...pdf.matchAll(/\/MediaBox\s*\[([^\]]+)\]/g)].map((m) => m[1].trim().split(/\s+/).map(Number).slice(2).map(Math.round));
    boxes.forEach(([w, h]) => assert.ok(Math.abs(w - 420) <= 1 && Math.abs(h - 595) <= 1, `${p}: ${w}x${h} is not A5`));
  }
  await close();
});

// Three A4 sheets at most, a person's words in 11 pt at least, each list of signs on the sheet of its heading.
await test('a leaflet prints on three sheets in type that can be read', async () => {
  const { page, close } = await watched(origins.file);
  const leaflets = pages.filter((p) => p.startsWith('leaflets/'));
  assert.ok(leaflets.length > 1);
  for (const p of leaflets) {
    await page.goto(origins.file + p);
    const pdf = (await page.pdf({ format: 'A4', preferCSSPageSize: true })).toString('latin1');
    assert.ok([...pdf.matchAll(/\/Type\s*\/Page[^s]/g)].length <= 3, p);
    await page.emulateMedia({ media: 'print' });
    const small = await page.$$eval('main :is(p, li, td, th, h2, h3)', (all) => all
      .filter((e) => e.checkVisibility() && !e.closest('.head') && parseFloat(getComputedStyle(e).fontSize) < 11 * 96 / 72 - 0.1).map((e) => e.textContent.slice(0, 40)));
    assert.deepEqual(small, [], p);
    const whole = await page.$$eval('.leaflet-help', (all) => all.every((e) => getComputedStyle(e).breakInside === 'avoid'));
    assert.ok(whole, p);
    await page.emulateMedia({ media: null });
  }
  await close();
});

const shared = { test, watched, origins, site, pages };
await finder(shared);
await change({ test, watched, origins, site });
await cardCheck({ test, watched, origins, site, cards });
await chart({ test, watched, origins, pages });
await evidence({ test, watched, origins, pages });
await everywhere(shared);
await offline(shared);
await room(shared);
await screening(shared);
await searchParts(shared);
await axe(shared);

await browser.close();
server.close();
console.log(`\n${passed} passed, ${failures.length} failed`);
process.exitCode = failures.length ? 1 : 0;
