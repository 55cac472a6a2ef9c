// How long the search of a compiled site takes to answer in a browser, opened from its folder.
// Usage: node benches/search_site.mjs SITE; needs `npm ci` in tests/browser, and Chromium.
// Titles of its sources, half of them with a letter left out, are typed letter by letter. An answer counts from the
// letter until results stand in the list, parts of the index that had to be fetched included.
import path from 'node:path';
import { createRequire } from 'node:module';
import { fileURLToPath, pathToFileURL } from 'node:url';

const root = path.dirname(path.dirname(fileURLToPath(import.meta.url)));
const { chromium } = createRequire(path.join(root, 'tests/browser/bench.js'))('playwright-core');
const site = path.resolve(process.argv[2]);
const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: ['--no-sandbox'] });
const page = await browser.newPage();
await page.goto(pathToFileURL(path.join(site, 'sources/index.html')).href);
const { first, times } = await page.evaluate(async () => {
  const titles = Array.from(document.querySelectorAll('main a'), (a) => a.textContent.trim()).filter((t) => t.length > 5);
  const typed = titles.filter((_, i) => i % Math.ceil(titles.length / 100) === 0).map((t, i) => (i % 2 ? t.slice(0, 2) + t.slice(3) : t).slice(0, 16));
  const box = document.querySelector('form.search input');
  const status = document.getElementById('search-status');
  const settled = () => new Promise((done) => {
    const ready = () => status.textContent !== '' && status.textContent !== 'Loading';
    if (ready()) { done(); return; }
    const watch = new MutationObserver(() => { if (ready()) { watch.disconnect(); done(); } });
    watch.observe(status, { childList: true, characterData: true, subtree: true });
  });
  const answer = async (text) => {
    const before = performance.now();
    box.value = text;
    box.dispatchEvent(new Event('input'));
    await settled();
    return performance.now() - before;
  };
  const first = await answer('so');
  const times = [];
  for (const text of typed) {
    for (let n = 1; n <= text.length; n += 1) { times.push([await answer(text.slice(0, n)), text.slice(0, n)]); }
  }
  return { first, times };
});
await browser.close();
times.sort((a, b) => a[0] - b[0]);
const at = (share) => times[Math.min(times.length - 1, Math.floor(share * times.length))][0].toFixed(1);
console.log(`first answer, with the index to be loaded: ${first.toFixed(0)} ms`);
console.log(`${times.length} answers: p50 ${at(0.5)} ms, p90 ${at(0.9)} ms, p95 ${at(0.95)} ms, p99 ${at(0.99)} ms, longest ${at(1)} ms`);
console.log('slowest:', times.slice(-5).map(([t, q]) => `${q} ${t.toFixed(0)}`).join(', '));
