// An accessibility audit with axe-core: one page of each kind, light, dark and print, narrow and wide; the finder with marks.
import assert from 'node:assert/strict';
import fs from 'node:fs';
import { createRequire } from 'node:module';
import { kinds } from './kinds.mjs';
import { svgTextContrast, svgTextOutside } from './svg-text.mjs';

const source = fs.readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
// On paper nobody tabs or taps.
const screenOnly = ['target-size', 'scrollable-region-focusable', 'bypass', 'skip-link', 'region', 'landmark-one-main', 'page-has-heading-one'];

export default async ({ test, watched, origins, pages }) => {
  const chosen = kinds(pages);
  const measures = pages.filter((p) => p.startsWith('measures/'));
  const audit = async (page, name, off = []) => {
    await page.evaluate(source);
    // A shadow at the edge of a table is a background image, before which axe-core leaves contrast undecided.
    await page.evaluate(() => { for (const box of document.querySelectorAll('.scroll')) box.style.backgroundImage = 'none'; });
    const rules = Object.fromEntries(off.map((id) => [id, { enabled: false }]));
    const { violations } = await page.evaluate((r) => globalThis.axe.run(document, { resultTypes: ['violations'], rules: r }), rules);
    const lines = violations.map((v) => `${v.id}: ${v.nodes.slice(0, 3).map((n) => n.target.join(' ')).join('; ')}`);
    assert.deepEqual(lines, [], name);
  };
  for (const colorScheme of ['light', 'dark', 'print']) {
    for (const width of [390, 1280]) {
      await test(`${colorScheme}, ${width} px: axe-core reports nothing on any kind of page`, async () => {
        const paper = colorScheme === 'print';
        const { page, close } = await watched(origins.file, { colorScheme: paper ? 'light' : colorScheme, viewport: { width, height: 900 } });
        if (paper) await page.emulateMedia({ media: 'print' });
        assert.ok(chosen.length > 20);
        for (const p of [...new Set([...chosen, ...measures])]) {
          await page.goto(origins.file + p);
          await audit(page, p, paper ? screenOnly : []);
          if (!paper && !p.startsWith('cards/')) assert.deepEqual(await page.evaluate(svgTextContrast), [], p);
          assert.deepEqual(await page.evaluate(svgTextOutside), [], p);
        }
        await close();
      });
    }
  }
  for (const colorScheme of ['light', 'dark']) {
    await test(`${colorScheme}: axe-core reports nothing on screening with ticks, on the room view and on the finder with marks`, async () => {
      const { page, close } = await watched(origins.file, { colorScheme });
      await page.goto(`${origins.file}screening.html`);
      for (const box of ['flag', 'condition']) for (const i of [0, 4]) await page.locator(`.ask input[data-${box}]`).nth(i).check();
      await audit(page, 'screening.html with ticks');
      await page.locator('.ask input[data-flag]:checked').first().uncheck();
      await page.locator('.ask input[data-flag]:checked').first().uncheck();
      await audit(page, 'screening.html with conditions');
      for (const at of ['#cautions', '#set-up', '#step-1', '#step-7', '#stop-7', '#after-care']) {
        await page.goto(`${origins.file}room/soleus.html${at}`);
        await audit(page, at);
      }
      await page.goto(`${origins.file}finder.html`);
      const options = page.locator('[role=option]:visible');
      await options.first().focus();
      for (const key of ['1', 'ArrowDown', '2', 'ArrowDown', '3', 'ArrowDown']) await page.keyboard.press(key);
      await page.locator('#finder-list summary').first().click();
      for (const group of await page.locator('.finder-views input').all()) {
        await group.check();
        await audit(page, 'finder.html with marks');
      }
      await close();
    });
  }
};
