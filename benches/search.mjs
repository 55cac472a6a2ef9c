// How long an answer of the search takes in a browser, for a number of made-up documents.
// Usage: node benches/search.mjs [DOCUMENTS]; needs `npm ci` in tests/browser, and Chromium.
// The corpus is invented: about 300 words a document out of 12,000 made-up words, the common ones often (Zipf), and
// a name of two Latin-looking words. Every beginning of every query is asked, as somebody types it.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { createRequire } from 'node:module';
import { fileURLToPath, pathToFileURL } from 'node:url';

const root = path.dirname(path.dirname(fileURLToPath(import.meta.url)));
const require = createRequire(path.join(root, 'tests/browser/bench.js'));
const { chromium } = require('playwright-core');
const MiniSearch = require(path.join(root, 'templates/assets/minisearch.js'));
const count = Number(process.argv[2] ?? 5000);

let state = 7;
const random = () => { state = (Math.imul(state, 1664525) + 1013904223) >>> 0; return state / 2 ** 32; };
const pick = (list) => list[Math.floor(random() * list.length)];
const heads = 'b c d f g h l m n p r s t v br cr dr fl gl gr pl pr st tr'.split(' ');
const vowels = 'a e i o u ae io ua'.split(' ');
const tails = 'l n r s x m t us is or um'.split(' ');
const made = new Set();
while (made.size < 12000) {
  let word = '';
  for (let i = 0; i < 1 + Math.floor(random() * 3); i += 1) word += pick(heads) + pick(vowels);
  made.add(word + pick(tails));
}
const vocabulary = [...made];
// Zipf: the share of a rank falls with one over the rank.
const zipf = () => vocabulary[Math.min(vocabulary.length - 1, Math.floor(vocabulary.length ** random()) - 1)];
const several = (n) => Array.from({ length: n }, zipf).join(' ');
const kinds = ['Muscles', 'Protocols', 'Techniques', 'Conditions', 'Sources'];
const names = Array.from({ length: count }, () => `${vocabulary[2000 + Math.floor(random() * 9000)]} ${vocabulary[2000 + Math.floor(random() * 9000)]}`);
const documents = names.map((title, id) => ({ id, title, names: several(3), places: several(6), tags: kinds[id % 5], body: several(300), kind: kinds[id % 5], href: `d/${id}.html` }));

const search = fs.readFileSync(path.join(root, 'templates/assets/search.js'), 'utf8');
const words = (text) => text.split(' ');
const index = new MiniSearch({ fields: ['title', 'names', 'places', 'tags', 'body'], storeFields: ['title', 'kind', 'href'], tokenize: words });
index.addAll(documents);
const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'search-'));
const data = JSON.stringify(index);
fs.writeFileSync(path.join(folder, 'data.js'), `window.data=${data}`);
fs.copyFileSync(path.join(root, 'templates/assets/minisearch.js'), path.join(folder, 'minisearch.js'));
fs.writeFileSync(path.join(folder, 'index.html'), '<!doctype html><script src="minisearch.js"></script><script src="data.js"></script>');

const queries = [];
for (let i = 0; i < 100; i += 1) {
  const name = names[Math.floor(random() * count)];
  const wrong = i % 2 ? name.slice(0, 2) + name.slice(3) : name;
  for (let n = 1; n <= wrong.length; n += 1) queries.push(wrong.slice(0, n));
}
const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: ['--no-sandbox'] });
const page = await browser.newPage();
await page.goto(pathToFileURL(path.join(folder, 'index.html')).href);
const { restore, times } = await page.evaluate(([source, asked]) => {
  new Function('document', source)(undefined);
  const { load, find } = globalThis.fascicleSearch;
  const before = performance.now();
  const index = load(globalThis.MiniSearch, globalThis.data);
  const restore = performance.now() - before;
  const times = asked.map((q) => { const t = performance.now(); find(index, q, () => true); return [performance.now() - t, q]; });
  return { restore, times };
}, [search, queries]);
await browser.close();
fs.rmSync(folder, { recursive: true });
times.sort((a, b) => a[0] - b[0]);
const at = (share) => times[Math.min(times.length - 1, Math.floor(share * times.length))][0].toFixed(1);
console.log(`${count} documents, ${index.termCount} words, ${(data.length / 1e6).toFixed(1)} MB; restored in ${restore.toFixed(0)} ms`);
console.log(`${times.length} answers: p50 ${at(0.5)} ms, p90 ${at(0.9)} ms, p95 ${at(0.95)} ms, p99 ${at(0.99)} ms, longest ${at(1)} ms`);
console.log('slowest:', times.slice(-5).map(([t, q]) => `${q} ${t.toFixed(0)}`).join(', '));
