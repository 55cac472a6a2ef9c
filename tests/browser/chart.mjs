// Charts of muscle, protocol and region pages: the figure loads, layers are hidden by keyboard, nothing is lost in words.
import assert from 'node:assert/strict';

export default async ({ test, watched, origins, pages }) => {
  const drawn = pages.filter((p) => /^(muscles|protocols)\/(?!index)/.test(p));
  for (const [how, origin] of Object.entries(origins)) {
    await test(`${how}: every muscle and protocol page carries its chart`, async () => {
      const { page, faults, close } = await watched(origin);
      for (const p of drawn) {
        await page.goto(origin + p);
        const figures = await page.locator('.chart image').evaluateAll((all) => all.map((i) => i.getAttribute('href')));
        assert.ok(figures.length > 0, p);
        const wide = await page.evaluate((hrefs) => Promise.all(hrefs.map(async (href) => {
          const image = new Image();
          image.src = href;
          await image.decode();
          return image.naturalWidth;
        })), figures);
        assert.ok(wide.every((w) => w > 0), p);
        const rings = await page.locator('.c-number.layer-ring').allTextContents();
        const points = await page.locator('[id^="point-"]').evaluateAll((all) => all.map((e) => e.id.slice('point-'.length)));
        assert.deepEqual([...new Set(rings)].sort(), [...new Set(points)].sort(), p);
      }
      assert.deepEqual(faults, []);
      await close();
    });
  }
  await test('each layer is hidden and shown again by keyboard', async () => {
    const { page, close } = await watched(origins.file);
    for (const p of drawn.slice(0, 4)) {
      await page.goto(origins.file + p);
      for (const box of await page.locator('.chart-layers input').all()) {
        const layer = page.locator(`.layer-${(await box.getAttribute('class')).slice('show-'.length)}`);
        const hidden = () => layer.evaluateAll((all) => all.map((e) => getComputedStyle(e).display === 'none'));
        assert.ok((await hidden()).length > 0 && !(await hidden()).includes(true), p);
        await box.focus();
        await page.keyboard.press('Space');
        assert.ok(!(await hidden()).includes(false), p);
        await page.keyboard.press('Space');
        assert.ok(!(await hidden()).includes(true), p);
      }
    }
    await close();
  });
  await test('the words of a chart name every layer, and fit a telephone', async () => {
    const { page, close } = await watched(origins.file, { viewport: { width: 390, height: 800 } });
    for (const p of drawn) {
      await page.goto(origins.file + p);
      await page.locator('.chart-words summary').click();
      const words = (await page.locator('.chart-words').innerText()).toLowerCase();
      for (const layer of await page.locator('.chart-layers label').allInnerTexts()) {
        const word = layer.trim().split('\n').pop().trim().toLowerCase().replace('pain zone, ', '').replace(/s$/, '');
        assert.ok(words.includes(word), `${p}: ${word}`);
      }
      assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), p);
    }
    await close();
  });
};
