// An accessibility audit with axe-core, light and dark, of the start page, the card check, the finder with marks, muscles, measures, regions and evidence.
import assert from 'node:assert/strict';
import fs from 'node:fs';
import { createRequire } from 'node:module';

const source = fs.readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

export default async ({ test, watched, origins, pages }) => {
  const muscles = pages.filter((p) => /^(muscles|measures)\//.test(p));
  // One page of each kind of evidence, and all questions.
  const first = (folder) => pages.filter((p) => p.startsWith(`${folder}/`) && !p.endsWith('/index.html')).slice(0, 3);
  const questions = pages.filter((p) => p.startsWith('questions/'));
  const evidence = ['evidence.html', 'wording.html', ...questions, ...first('outcomes'), ...first('populations'), ...first('sources')];
  const course = ['course.html', 'coverage.html', 'glossary.html', 'errata.html', 'editions.html', ...first('mark-sheets'), ...first('leaflets'), ...first('side-by-side')];
  for (const colorScheme of ['light', 'dark']) {
    await test(`${colorScheme}: axe-core reports nothing on finder, muscle, measure, region and evidence pages`, async () => {
      const { page, close } = await watched(origins.file, { colorScheme });
      const audit = async (name) => {
        await page.evaluate(source);
        const { violations } = await page.evaluate(() => globalThis.axe.run(document, { resultTypes: ['violations'] }));
        const lines = violations.map((v) => `${v.id}: ${v.nodes.slice(0, 3).map((n) => n.target.join(' ')).join('; ')}`);
        assert.deepEqual(lines, [], name);
      };
      assert.ok(muscles.length > 1);
      for (const p of [...muscles, ...evidence, ...course, 'regions/index.html', 'regions/neck-side.html', 'regions/pelvic-floor.html', 'card-check.html', 'index.html', 'finder.html']) {
        await page.goto(origins.file + p);
        await audit(p);
      }
      const options = page.locator('[role=option]:visible');
      await options.first().focus();
      for (const key of ['1', 'ArrowDown', '2', 'ArrowDown', '3', 'ArrowDown']) await page.keyboard.press(key);
      await page.locator('#finder-list summary').first().click();
      for (const group of await page.locator('.finder-views input').all()) {
        await group.check();
        await audit('finder.html with marks');
      }
      await close();
    });
  }
};
