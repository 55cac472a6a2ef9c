// Browser tests of the page that says whether a printed card still holds: from a disk and over http, as it is typed, by the
// address of a square code, without script, and with nothing kept.
import assert from 'node:assert/strict';
import fs from 'node:fs';
import path from 'node:path';
import zlib from 'node:zlib';

const PAGE = 'card-check.html';

export default async ({ test, watched, origins, site, cards }) => {
  const ask = async (page, text) => {
    await page.locator('#card-code').fill(text);
    await page.locator('#card-check button').click();
    return page.locator('#card-said').innerText();
  };
  for (const [name, origin] of Object.entries(origins)) {
    await test(`${name}: a code is answered as the lists have it, and a slip is told`, async () => {
      const { page, faults, close } = await watched(origin);
      await page.goto(origin + PAGE);
      const lists = await page.$$eval('tr[data-code]', (all) => all.map((r) => [r.dataset.code, r.querySelector('.said').textContent, r.closest('section').getAttribute('aria-labelledby')]));
      assert.ok(lists.some(([, , list]) => list === 'holding') && lists.some(([, , list]) => list === 'withdrawn'));
      for (const [code, said, list] of lists) {
        assert.match(said, list === 'holding' ? /^Current/ : /out of use|Do not use/);
        for (const typed of [code, code.toLowerCase(), code.replace('-', ' '), code.replaceAll('8', 'B').replaceAll('2', 'z')]) {
          assert.ok((await ask(page, typed)).endsWith(said), typed);
        }
      }
      const [code] = lists[0];
      const other = code[0] === '2' ? '3' : '2';
      assert.match(await ask(page, other + code.slice(1)), /Misread or mistyped/);
      assert.match(await ask(page, `${code[1]}${code[0]}${code.slice(2)}`), code[0] === code[1] ? /./ : /Misread or mistyped/);
      assert.match(await ask(page, '2222-2222'), /not a code of this pack/);
      assert.match(await ask(page, '222'), /has 8 letters; this has 3/);
      assert.match(await ask(page, '0222-2222'), /has the letter 0/);
      assert.equal(await ask(page, ''), '');
      assert.deepEqual(await page.evaluate(() => [localStorage.length, sessionStorage.length, document.cookie]).catch(() => [0, 0, '']), [0, 0, '']);
      await page.goto(`${origin}${PAGE}#${code.toLowerCase()}`);
      await page.reload();
      assert.ok((await page.locator('#card-said').innerText()).startsWith(code));
      assert.deepEqual(faults, []);
      await close();
    });
  }
  await test('a card whose review day has passed since the site was made is not waved through', async () => {
    const { page, close } = await watched(origins.file);
    await page.clock.setFixedTime(new Date('2035-01-01T12:00:00Z'));
    await page.goto(origins.file + PAGE);
    const code = await page.locator('tr[data-by]').first().getAttribute('data-code');
    assert.match(await ask(page, code), /That day has passed: do not go by the card/);
    await page.clock.setFixedTime(new Date('2026-12-01T12:00:00Z'));
    assert.doesNotMatch(await ask(page, code), /has passed/);
    await close();
  });
  await test('every printed card carries a code of the lists, in letters and as a square', async () => {
    const { page, close } = await watched(origins.file, { javaScriptEnabled: false });
    await page.goto(origins.file + PAGE);
    const known = await page.$$eval('tr[data-code]', (all) => all.map((r) => r.dataset.code));
    for (const card of cards.filter((c) => !c.endsWith('/all.html'))) {
      await page.goto(origins.file + card);
      const codes = await page.$$eval('.face-foot .code', (all) => all.map((c) => c.textContent));
      assert.ok(codes.length > 0 && new Set(codes).size === 1 && known.includes(codes[0]), `${card}: ${codes}`);
      const [square, ...more] = await page.$$eval('.face-square', (all) => all.map((s) => s.getBoundingClientRect().width));
      assert.ok(square > 60 && more.length === 0, `${card}: ${square}`);
    }
    await close();
  });
  await test('the script of the card check is small', () => {
    assert.ok(zlib.gzipSync(fs.readFileSync(path.join(site, 'assets/card-check.js'))).length < 1500);
  });
};
