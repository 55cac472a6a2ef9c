// What holds for every kind of page: it opens from a folder that cannot be written to, over http, by keyboard, without script
// and in forced colours, and writes nothing.
import assert from 'node:assert/strict';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { kinds } from './kinds.mjs';

const listing = (folder) => fs.readdirSync(folder, { recursive: true }).sort().map((name) => {
  const { size, mtimeMs } = fs.statSync(path.join(folder, name));
  return `${name} ${size} ${mtimeMs}`;
});
const mode = (folder, bits) => {
  for (const name of ['', ...fs.readdirSync(folder, { recursive: true })]) {
    const file = path.join(folder, name);
    fs.chmodSync(file, fs.statSync(file).isDirectory() ? bits.folder : bits.file);
  }
};

// The colours of the one who has a control, and how the eye sees that it has the focus.
const ring = () => {
  const e = document.activeElement;
  const own = getComputedStyle(e);
  const drawn = (s) => s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 2;
  // A region of the figure is outlined by a path of its own.
  const path = [...document.querySelectorAll('.focus-over')].some((p) => p.getAttribute('d'));
  return drawn(own) || path;
};

export default async ({ test, watched, origins, site, pages }) => {
  const chosen = kinds(pages);

  await test('from a folder that cannot be written to every kind of page opens without an error, and nothing is written', async () => {
    const copy = fs.mkdtempSync(path.join(os.tmpdir(), 'fascicle-site-'));
    fs.cpSync(site, copy, { recursive: true });
    mode(copy, { folder: 0o555, file: 0o444 });
    try {
      const before = listing(copy);
      const origin = `${pathToFileURL(copy).href}/`;
      const { page, faults, close } = await watched(origin);
      for (const p of chosen) {
        await page.goto(origin + p);
        assert.ok((await page.locator('main').innerText()).length > 40, p);
        assert.deepEqual(faults, [], p);
      }
      await page.goto(`${origin}index.html?q=soleus`);
      await page.locator('#search-results a').first().waitFor();
      assert.deepEqual(faults, []);
      await close();
      // Whoever may write everywhere could write here too; that nothing was written holds for everybody.
      assert.deepEqual(listing(copy), before);
    } finally {
      mode(copy, { folder: 0o755, file: 0o644 });
      fs.rmSync(copy, { recursive: true });
    }
  });

  await test('over http every kind of page says the same as from a disk', async () => {
    const texts = {};
    for (const [kind, origin] of Object.entries(origins)) {
      const { page, faults, close } = await watched(origin);
      texts[kind] = [];
      for (const p of chosen) {
        await page.goto(origin + p);
        texts[kind].push([p, await page.locator('body').innerText()]);
      }
      assert.deepEqual(faults, []);
      await close();
    }
    assert.deepEqual(texts.http, texts.file);
  });

  await test('without script every kind of page has its text, its warnings and its links', async () => {
    const { page, close } = await watched(origins.file, { javaScriptEnabled: false });
    for (const p of chosen) {
      await page.goto(origins.file + p);
      const text = await page.locator('main').innerText();
      assert.ok(text.split(/\s+/).length > 15, p);
      assert.ok(await page.locator('footer.bottom .use').isVisible(), `${p}: no word on what the site is for`);
      assert.ok(await page.locator('a[href]:visible').count() > 2, p);
    }
    await close();
  });

  await test('the keyboard reaches the last control of every kind of page and leaves each', async () => {
    const { page, close } = await watched(origins.file, { viewport: { width: 1280, height: 900 } });
    for (const p of chosen) {
      await page.goto(origins.file + p);
      let last = null;
      let passed = 0;
      let ended = false;
      for (let n = 0; n < 60; n += 1) {
        await page.keyboard.press('Tab');
        const at = await page.evaluate(() => {
          const e = document.activeElement;
          if (!e || e === document.body) return null;
          globalThis.seen ??= new Map();
          if (!globalThis.seen.has(e)) globalThis.seen.set(e, globalThis.seen.size);
          return globalThis.seen.get(e);
        });
        ended = at === null || (at === 0 && passed > 1);
        if (ended) break;
        assert.notEqual(at, last, `${p}: Tab does not leave ${await page.evaluate(() => document.activeElement.outerHTML.slice(0, 120))}`);
        last = at;
        passed += 1;
      }
      assert.ok(passed > 1, p);
      if (ended) continue;
      // On a long page the way back is open too.
      await page.keyboard.press('Shift+Tab');
      assert.notEqual(await page.evaluate(() => globalThis.seen.get(document.activeElement)), last, `${p}: no way back`);
    }
    await close();
  });

  await test('in forced colours text and the ring of the focus are seen on every kind of page', async () => {
    const { page, close } = await watched(origins.file, { forcedColors: 'active', viewport: { width: 1280, height: 900 } });
    for (const p of chosen) {
      await page.goto(origins.file + p);
      assert.ok(await page.evaluate(() => matchMedia('(forced-colors: active)').matches));
      const pale = await page.evaluate(() => {
        const number = (c) => c.match(/[\d.]+/g).map(Number);
        const light = (c) => { const f = (v) => (v / 255 <= 0.04045 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4); return 0.2126 * f(c[0]) + 0.7152 * f(c[1]) + 0.0722 * f(c[2]); };
        const ground = (e) => { for (let x = e; x; x = x.parentElement) { const c = number(getComputedStyle(x).backgroundColor); if (c.length < 4 || c[3] > 0) return c; } return [255, 255, 255]; };
        return [...document.querySelectorAll('main *')].filter((e) => !(e instanceof SVGElement) && e.checkVisibility() && [...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim()))
          .slice(0, 400)
          .filter((e) => { const [a, b] = [light(number(getComputedStyle(e).color)), light(ground(e))].sort((x, y) => y - x); return (a + 0.05) / (b + 0.05) < 4.5 && !e.closest(':disabled'); })
          .map((e) => e.outerHTML.slice(0, 100)).slice(0, 3);
      });
      assert.deepEqual(pale, [], p);
      for (let n = 0; n < 8; n += 1) {
        await page.keyboard.press('Tab');
        if (await page.evaluate(() => document.activeElement === document.body)) break;
        assert.ok(await page.evaluate(ring), `${p}: no ring on ${await page.evaluate(() => document.activeElement.outerHTML.slice(0, 120))}`);
      }
    }
    await close();
  });

  await test('controls are 44 px high on every kind of page, and fields forget', async () => {
    const { page, close } = await watched(origins.file, { viewport: { width: 390, height: 900 } });
    for (const p of chosen) {
      await page.goto(origins.file + p);
      const low = await page.evaluate(() => [...document.querySelectorAll('button, select, textarea, summary, input:not([type=hidden]), a.button')]
        .filter((e) => e.checkVisibility({ visibilityProperty: true }))
        .map((e) => [e.matches('[type=checkbox], [type=radio]') ? e.closest('label') ?? e : e, e])
        .filter(([box]) => box.getBoundingClientRect().height < 43.5)
        .map(([box, e]) => `${e.outerHTML.slice(0, 80)} ${Math.round(box.getBoundingClientRect().height)} px`));
      assert.deepEqual(low, [], p);
      const kept = await page.evaluate(() => [Object.keys(localStorage).length, Object.keys(sessionStorage).length, document.cookie]);
      assert.deepEqual(kept, [0, 0, ''], p);
    }
    await close();
  });
};
