// Browser tests of the finder: by keyboard alone, in step with its list, the same as the command, readable
// without script, and nothing kept.
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import fs from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import zlib from 'node:zlib';

const root = fileURLToPath(new URL('../..', import.meta.url));
const packs = ['--packs', 'packs/millrace-course'];

// What the command says of marks such as `heel left=2`.
const told = (marks, format = []) => {
  const args = ['find', ...marks, ...format, ...packs];
  const [program, all] = process.env.FASCICLE ? [process.env.FASCICLE, args] : ['cargo', ['run', '--locked', '--quiet', '--', ...args]];
  const done = spawnSync(program, all, { cwd: root, encoding: 'utf8', maxBuffer: 1 << 26 });
  assert.equal(done.status, 0, done.stderr);
  return done.stdout;
};
const command = (marks) => JSON.parse(told(marks, ['--format', 'json']));
const short = (said) => ({
  flags: said.flags.map((f) => f.id),
  muscles: said.muscles.map((m) => [m.id, m.side, m.similarity]),
  under: said.under.map((m) => [m.id, m.side]),
});

// Presses Tab until the element that has the focus fits.
const tabTo = async (page, selector) => {
  for (let i = 0; i < 300; i += 1) {
    await page.keyboard.press('Tab');
    if (await page.evaluate((s) => document.activeElement.matches(s), selector)) return;
  }
  assert.fail(`no way to ${selector} by keyboard`);
};
const press = async (page, keys) => { for (const key of keys.split(' ')) await page.keyboard.press(key); };
const shown = (page) => page.evaluate(() => ({
  flags: [...document.querySelectorAll('#finder-flags .flag:not([hidden])')].map((f) => f.dataset.flag),
  muscles: [...document.querySelectorAll('#finder-rows > li')].map((m) => [m.dataset.muscle, m.dataset.side, Number(m.dataset.similarity)]),
  under: [...document.querySelectorAll('#finder-under > li')].map((m) => [m.dataset.muscle, m.dataset.side]),
}));
const selected = (page) => page.$$eval('#finder-list select', (all) => all.filter((s) => s.value !== '0').map((s) => [Number(s.dataset.spot), Number(s.value)]));

export default async ({ test, watched, origins, site }) => {
  const script = fs.readFileSync(path.join(site, 'assets/finder-data.js'), 'utf8');
  const data = JSON.parse(script.slice(script.indexOf('(') + 1, script.lastIndexOf(')')));
  const sides = ['midline', 'left', 'right'];
  const written = (marks) => marks.map(([spot, n]) => {
    const id = data.regions[Math.floor(spot / 3)][0];
    return `${id}${spot % 3 ? ` ${sides[spot % 3]}` : ''}=${n}`;
  });

  await test('the script of the finder and the command agree to the last digit', async () => {
    createRequire(import.meta.url)(path.join(site, 'assets/finder.js'));
    const { prepare, find, line } = globalThis.fascicleFinder;
    const tables = prepare(data);
    const spots = data.regions.flatMap(([, , paired], r) => (paired ? [r * 3 + 1, r * 3 + 2] : [r * 3]));
    // Every spot at least once, with all strengths mixed.
    const drawings = [0, 1, 2].map((k) => spots.filter((_, i) => i % 3 === k).map((s, i) => [s, 1 + (i + k) % 3]));
    drawings.push([[spots[0], 1]], [[spots[40], 2], [spots[41], 1], [spots[90], 2]]);
    let lying = 0;
    for (const marks of drawings) {
      const found = find(tables, new Map(marks));
      const said = command(written(marks));
      // What people read is the same too, rounding included.
      const lines = found.muscles.map((m) => `  ${data.muscles[m.muscle][1]}, ${sides[m.side]}. ${line(m)}`);
      assert.deepEqual(lines, told(written(marks)).split('\n').filter((l) => l.includes('. Similarity ')));
      const at = (spot) => [data.regions[Math.floor(spot / 3)][0], sides[spot % 3]];
      const where = (all) => all.map((w) => [w.region, w.side]);
      assert.deepEqual(found.flags.map((f) => [f.id, f.spots.map(at)]), said.flags.map((f) => [f.id, where(f.at)]));
      assert.deepEqual(found.unasked.map((u) => [u.topic, u.spots.map(at)]), said.not_covered.map((u) => [u.topic, where(u.at)]));
      assert.deepEqual(
        found.muscles.map((m) => [data.muscles[m.muscle][0], sides[m.side], m.similarity, m.covered, m.marked, m.closest,
          m.reasons.map((r) => [at(r.spot), r.strength, r.zones]), data.muscles[m.muscle][4].map((o) => data.muscles[o][1])]),
        said.muscles.map((m) => [m.id, m.side, m.similarity, m.covered, m.marked, m.closest,
          m.reasons.map((r) => [[r.at.region, r.at.side], r.strength, r.zones]), m.look_alikes.map((o) => o.name)]),
      );
      assert.deepEqual(found.under.map((u) => [data.under[u.muscle][0], sides[u.side], u.spots.map(at)]), said.under.map((u) => [u.id, u.side, where(u.at)]));
      lying += said.under.length;
    }
    assert.ok(lying > 20);
  });

  for (const [kind, origin] of Object.entries(origins)) {
    await test(`${kind}: marks made by keyboard alone lead to what the command says`, async () => {
      const { page, faults, close } = await watched(origin);
      await page.goto(`${origin}finder.html`);
      await tabTo(page, '[role=option]');
      await press(page, 'End 2 ArrowUp ArrowUp 3 ArrowLeft ArrowUp Space Home ArrowDown 1 ArrowRight 2 Delete ArrowDown 1');
      const marks = await selected(page);
      assert.ok(marks.length >= 4, JSON.stringify(marks));
      assert.deepEqual(await shown(page), short(command(written(marks))));
      const focused = await page.evaluate(() => document.activeElement.getAttribute('role'));
      assert.equal(focused, 'option', 'results took the focus');
      const options = await page.$$eval('[role=option][aria-selected=true]', (all) => [...new Set(all.map((o) => Number(o.dataset.spot)))]);
      assert.deepEqual(new Set(options), new Set(marks.map(([spot]) => spot)), 'figure and list differ');
      // One stop for each picture, and on to the list.
      const stops = [];
      do {
        await page.keyboard.press('Tab');
        stops.push(await page.evaluate(() => document.activeElement.getAttribute('role') ?? document.activeElement.localName));
      } while (stops.at(-1) === 'option');
      assert.deepEqual(stops.slice(0, 2), ['option', 'button']);
      await tabTo(page, '#finder-list summary');
      assert.deepEqual(faults, []);
      await close();
    });
  }

  await test('the list alone is enough, and undo, copy, swap and clear work', async () => {
    const { page, close } = await watched(origins.file);
    await page.goto(`${origins.file}finder.html`);
    assert.equal(await page.locator('#finder-undo').isDisabled(), true);
    await tabTo(page, '#finder-list summary');
    await press(page, 'Enter');
    await tabTo(page, '#finder-list select[aria-label$=left]');
    await press(page, 'ArrowDown ArrowDown');
    const left = await selected(page);
    assert.equal(left.length, 1);
    assert.equal(left[0][1], 2);
    assert.match(await page.locator('#finder-status').innerText(), /left: moderate\. 1 mark,/);
    const button = async (id) => { await page.locator(id).focus(); await page.keyboard.press('Enter'); return selected(page); };
    const right = [[left[0][0] + 1, 2]];
    assert.deepEqual(await button('#finder-swap'), right);
    assert.deepEqual(await button('#finder-copy'), [...left, ...right]);
    assert.deepEqual(await button('#finder-undo'), right);
    assert.deepEqual(await button('#finder-undo'), left);
    assert.deepEqual(await button('#finder-clear'), []);
    assert.equal(await page.locator('#finder-flags .flag:visible').count(), 0);
    assert.deepEqual(await button('#finder-undo'), left);
    assert.ok(await page.locator('#finder-flags .flag:visible').count() > 0);
    await close();
  });

  await test('marks are kept nowhere, and in the address only when asked', async () => {
    const { page, close } = await watched(origins.http);
    await page.goto(`${origins.http}finder.html`);
    await tabTo(page, '[role=option]');
    await press(page, '3 ArrowDown 1');
    const marks = await selected(page);
    assert.equal(new URL(page.url()).hash, '');
    await page.locator('#finder-keep').check();
    assert.match(page.url(), /#marks=/);
    await page.reload();
    assert.deepEqual(await selected(page), marks);
    await page.locator('#finder-keep').uncheck();
    assert.equal(new URL(page.url()).hash, '');
    await page.reload();
    assert.deepEqual(await selected(page), []);
    const kept = await page.evaluate(async () => [localStorage.length, sessionStorage.length, document.cookie, (await indexedDB.databases()).length]);
    assert.deepEqual(kept, [0, 0, '', 0]);
    await close();
  });

  await test('an address that cannot be read leaves a page that works', async () => {
    for (const hash of ['#marks=%E0%A4%A', '#%', '#marks=nowhere.left.2,heel.left.9,heel.left', '#marks=']) {
      const { page, faults, close } = await watched(origins.file);
      await page.goto(`${origins.file}finder.html${hash}`);
      assert.deepEqual(await selected(page), [], hash);
      assert.match(await page.locator('#finder-status').innerText(), hash === '#marks=' ? /^0 marks/ : /cannot be read/, hash);
      await page.locator('[role=option]').first().focus();
      await press(page, '3');
      assert.equal((await selected(page)).length, 1, hash);
      assert.deepEqual(faults, []);
      await close();
    }
  });

  await test('links within the page leave the marks in the address, and a changed address changes the marks', async () => {
    const { page, faults, close } = await watched(origins.file);
    await page.goto(`${origins.file}finder.html`);
    await page.locator('[role=option]').first().focus();
    await press(page, '3');
    await page.locator('#finder-keep').check();
    const address = page.url();
    for (const id of ['flags', 'muscles']) {
      await page.locator(`.finder-bar a[href="#${id}"]`).click();
      assert.equal(page.url(), address);
      assert.equal(await page.evaluate(() => document.activeElement.id), id);
    }
    await page.evaluate(() => { location.hash = '#main'; });
    await page.waitForURL(address);
    const heel = data.regions.findIndex(([id]) => id === 'heel') * 3 + 1;
    await page.evaluate(() => { location.hash = '#marks=heel.left.2'; });
    await page.waitForFunction(() => document.querySelectorAll('#finder-marks li').length === 1);
    assert.deepEqual(await selected(page), [[heel, 2]]);
    assert.deepEqual(faults, []);
    await close();
  });

  for (const [width, height] of [[390, 844], [820, 1180], [1280, 800]]) {
    await test(`the most urgent red flag is in sight after a mark in the figure, at ${width} px`, async () => {
      const { page, close } = await watched(origins.file, { viewport: { width, height }, hasTouch: true });
      await page.goto(`${origins.file}finder.html`);
      const bar = async () => {
        const box = await page.locator('.finder-bar').boundingBox();
        assert.ok(box.y >= 0 && box.y + box.height <= height / 3, JSON.stringify(box));
        assert.match(await page.locator('#finder-flag-count').innerText(), /red flags? to ask first\. Most urgent: \w/);
        return box.y + box.height;
      };
      for (const region of ['chest', 'knee-front', 'shin']) {
        const spot = data.regions.findIndex(([id]) => id === region) * 3 + 1;
        const option = page.locator(`[role=option][data-spot="${spot}"]:visible`).first();
        await option.scrollIntoViewIfNeeded();
        await option.tap();
        await bar();
      }
      await press(page, 'Home');
      for (let i = 0; i < 12; i += 1) {
        const under = await bar();
        const box = await page.evaluate(() => document.activeElement.getBoundingClientRect().toJSON());
        assert.ok(box.bottom > under + Math.min(box.height, 8) - 1 && box.top < height, JSON.stringify([under, box]));
        await press(page, i < 8 ? 'ArrowDown' : 'ArrowUp');
      }
      await page.emulateMedia({ media: 'print' });
      assert.equal(await page.locator('.finder-bar').isVisible(), false);
      await close();
    });
  }

  await test('a tap marks and a second tap clears', async () => {
    const { page, close } = await watched(origins.file, { viewport: { width: 390, height: 840 }, hasTouch: true });
    await page.goto(`${origins.file}finder.html`);
    const option = page.locator('[role=option]').first();
    await option.tap();
    assert.equal(await option.getAttribute('aria-selected'), 'true');
    assert.match(await option.getAttribute('aria-label'), /moderate/);
    await option.tap();
    assert.equal(await option.getAttribute('aria-selected'), 'false');
    await close();
  });

  await test('without script the finder leads from regions to muscles, after the red flags', async () => {
    const { page, close } = await watched(origins.file, { javaScriptEnabled: false });
    await page.goto(`${origins.file}finder.html`);
    const text = await page.locator('main').innerText();
    assert.ok(text.indexOf('stop, do not treat') < text.lastIndexOf('(core)') && text.includes('stop, do not treat'));
    assert.equal(await page.locator('#finder').isVisible(), false);
    await close();
  });

  await test('figure and data of the finder are under 120 KB compressed', async () => {
    const parts = ['finder-data.js', 'finder-figure.js', 'finder.js'].map((f) => zlib.gzipSync(fs.readFileSync(path.join(site, 'assets', f))).length);
    const sum = parts.reduce((a, b) => a + b);
    assert.ok(sum < 120 * 1024, `${parts} bytes`);
  });
};
