// Pages of evidence: the figure holds the numbers of the table, its letters are large enough, nothing scrolls sideways.
import assert from 'node:assert/strict';

const numbers = (text) => text.replace(/\s+/g, ' ').trim();

export default async ({ test, watched, origins, pages }) => {
  const questions = pages.filter((p) => /^questions\/(?!index)/.test(p));
  await test('the figure of a question holds the same numbers as its table', async () => {
    const { page, faults, close } = await watched(origins.file);
    let compared = 0;
    for (const p of questions) {
      await page.goto(origins.file + p);
      for (const section of await page.locator('section:has(.forest)').all()) {
        const drawn = await section.locator('.f-study .f-numbers, .f-pool .f-numbers').allTextContents();
        const listed = await section.locator('table.results .effect').allTextContents();
        assert.deepEqual(drawn.map(numbers), listed.map(numbers), p);
        compared += drawn.length;
      }
    }
    assert.ok(questions.length === 0 || compared > 0, 'no figure was compared');
    assert.deepEqual(faults, []);
    await close();
  });
  await test('a figure is readable on a telephone', async () => {
    const { page, close } = await watched(origins.file, { viewport: { width: 390, height: 800 } });
    for (const p of questions) {
      await page.goto(origins.file + p);
      const [scroll, client] = await page.evaluate(() => [document.documentElement.scrollWidth, document.documentElement.clientWidth]);
      assert.ok(scroll <= client, `${p}: ${scroll} > ${client}`);
      for (const svg of await page.locator('.forest svg').all()) {
        const { letter, wrong } = await svg.evaluate((s) => {
          const box = s.getBoundingClientRect();
          const out = [...s.querySelectorAll('text')].filter((t) => { const r = t.getBoundingClientRect(); return r.left < box.left - 1 || r.right > box.right + 1; });
          return { letter: 12.5 * box.width / s.viewBox.baseVal.width, wrong: out.map((t) => t.textContent) };
        });
        assert.ok(letter >= 12, `${p}: letters of ${letter} px`);
        assert.deepEqual(wrong, [], `${p}: text leaves the figure`);
      }
    }
    await close();
  });
  await test('every answer begins with its certainty in words', async () => {
    const { page, close } = await watched(origins.file);
    for (const p of questions) {
      await page.goto(origins.file + p);
      const first = await page.locator('.answers li strong').allTextContents();
      assert.ok(first.length > 0 && first.every((t) => /^((Very low|Low|Moderate|High) certainty|Certainty not judged):$/.test(t)), `${p}: ${first}`);
    }
    await close();
  });
};
