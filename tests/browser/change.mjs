// Browser tests of the question "is this change larger than the error?" on the page of a measure: by
// keyboard alone, said aloud, the same as the table, readable without script, nothing kept.
import assert from 'node:assert/strict';
import fs from 'node:fs';
import path from 'node:path';
import zlib from 'node:zlib';

const PAGE = 'measures/neck-rotation.html';

export default async ({ test, watched, origins, site }) => {
  const open = async (options = {}) => {
    const it = await watched(origins.file, options);
    await it.page.goto(origins.file + PAGE);
    return it;
  };
  const said = (page) => page.locator('#change-said').innerText();
  const ask = async (page, before, after, who = 0) => {
    await page.locator('#change-before').fill(String(before));
    await page.locator('#change-after').fill(String(after));
    await page.locator('#change-who').selectOption({ index: who });
    return said(page);
  };

  await test('a change is held against the thresholds that the table shows', async () => {
    const { page, faults, close } = await open();
    const rows = await page.$$eval('[aria-labelledby=larger] tbody tr', (all) => all.map((r) => [...r.cells].map((c) => c.textContent.trim())));
    const options = await page.$$eval('#change-who option', (all) => all.map((o) => [o.textContent, Number(o.dataset.low), Number(o.dataset.high)]));
    assert.ok(rows.length > 1);
    assert.deepEqual(rows.map(([name, low, high]) => [name, parseFloat(low), parseFloat(high)]), options);
    for (const [i, [, low, high]] of options.entries()) {
      assert.match(await ask(page, 50, 50 + low - 0.1, i), /lies within what repeated measuring gives .* cannot be told from error/);
      assert.match(await ask(page, 50, 50 + low, i), low < high ? /may lie within/ : /is as large as/);
      assert.match(await ask(page, 50 + high, 50, i), /downwards \(higher is better\) is as large as .* or larger .* for your judgement/);
    }
    assert.match(await ask(page, 50, 50), /^A change of 0.* lies within/);
    assert.match(await ask(page, 50, 500), /must lie between 0 and 120/);
    assert.match(await ask(page, 50, ''), /^Enter both readings/);
    assert.deepEqual(faults, []);
    await close();
  });

  await test('the change is asked by keyboard alone and said aloud', async () => {
    const { page, close } = await open();
    for (let i = 0; i < 200; i += 1) {
      await page.keyboard.press('Tab');
      if (await page.evaluate(() => document.activeElement.id === 'change-before')) break;
    }
    await page.keyboard.type('50');
    await page.keyboard.press('Tab');
    await page.keyboard.type('53');
    await page.keyboard.press('Tab');
    assert.equal(await page.evaluate(() => document.activeElement.id), 'change-who');
    assert.match(await said(page), /change of 3° upwards \(higher is better\) lies within/);
    // An output is a polite status by itself (ARIA in HTML, W3C): no attribute says it twice.
    assert.equal(await page.getByRole('status').and(page.locator('#change-said')).count(), 1);
    await page.locator('#change-before').press('Enter');
    assert.ok(page.url().endsWith(PAGE), 'Enter leaves the page as it is');
    assert.deepEqual(await page.evaluate(() => [localStorage.length, sessionStorage.length, document.cookie]), [0, 0, '']);
    await close();
  });

  await test('without script and in print the table answers instead', async () => {
    const { page, close } = await open({ javaScriptEnabled: false });
    assert.equal(await page.locator('#change:visible').count(), 0);
    assert.ok(await page.locator('[aria-labelledby=larger] table:visible').count() > 0);
    await close();
    const print = await open();
    await print.page.emulateMedia({ media: 'print' });
    assert.equal(await print.page.locator('#change:visible').count(), 0);
    assert.ok(await print.page.locator('[aria-labelledby=larger] table:visible').count() > 0);
    await print.close();
  });

  await test('the script of the change is tiny', async () => {
    assert.ok(zlib.gzipSync(fs.readFileSync(path.join(site, 'assets/change.js'))).length < 1500);
  });
};
