// Browser tests of the room view: one step a screen by address alone, by key and by a large target; times that
// count by the clock and say so in words; nothing small, nothing kept.
import assert from 'node:assert/strict';

const PAGE = 'room/soleus.html';
const shown = (page) => page.$$eval('.screen', (all) => all.filter((s) => s.getBoundingClientRect().height > 0).map((s) => s.id));
// Between a number and its unit stands a blank that does not break.
const blanks = (text) => text.replaceAll('\u00a0', ' ');
const noon = new Date('2026-12-01T12:00:00Z');

export default async ({ test, watched, origins, pages }) => {
  const rooms = pages.filter((p) => p.startsWith('room/'));
  assert.ok(rooms.length > 1);

  for (const [kind, origin] of Object.entries(origins)) {
    await test(`${kind}: the room view goes from screen to screen by key, keeps its step on reload, and the way back leads through the steps`, async () => {
      const { page, faults, close } = await watched(origin);
      await page.goto(origin + PAGE);
      const ids = await page.$$eval('.screen:not(.screen-now)', (all) => all.map((s) => s.id));
      assert.deepEqual(ids.slice(0, 4), ['stop', 'cautions', 'set-up', 'step-1']);
      assert.equal(ids.at(-1), 'after-care');
      assert.deepEqual(await shown(page), ['stop']);
      for (const id of ids.slice(1)) {
        await page.keyboard.press('ArrowRight');
        assert.deepEqual(await shown(page), [id]);
        // The focus follows the change of the address, which the browser reports a moment later.
        await page.waitForFunction((heading) => document.activeElement.id === heading, `h-${id}`);
      }
      await page.keyboard.press('ArrowLeft');
      await page.goBack();
      assert.deepEqual(await shown(page), ['after-care']);
      await page.goBack();
      await page.goBack();
      assert.deepEqual(await shown(page), [ids.at(-3)]);
      await page.reload();
      assert.deepEqual(await shown(page), [ids.at(-3)]);
      assert.deepEqual(await page.evaluate(() => [localStorage.length, sessionStorage.length, document.cookie]).catch(() => [0, 0, '']), [0, 0, '']);
      assert.deepEqual(faults, []);
      await close();
    });

    await test(`${kind}: the stop rules of a step are one tap away, and closing returns to the step, with and without script`, async () => {
      for (const javaScriptEnabled of [true, false]) {
        const { page, close } = await watched(origin, { javaScriptEnabled });
        await page.goto(`${origin}${PAGE}#step-7`);
        assert.deepEqual(await shown(page), ['step-7']);
        const rules = await page.locator('#step-7 .stop-rules li').allInnerTexts();
        assert.ok(rules.length > 2);
        await page.locator('#step-7 .room-stop').click();
        assert.deepEqual(await shown(page), ['stop-7']);
        assert.deepEqual(await page.locator('#stop-7 .stop-rules li').allInnerTexts(), rules);
        assert.match(await page.locator('#stop-7').innerText(), /Now: Emergency service/);
        await page.locator('#stop-7 .room-return').click();
        assert.deepEqual(await shown(page), ['step-7']);
        await page.locator('#step-7 .room-next').click();
        assert.deepEqual(await shown(page), ['step-8']);
        await page.locator('#step-8 .room-back').click();
        assert.deepEqual(await shown(page), ['step-7']);
        assert.equal(await page.locator('.timer:visible').count() > 0, javaScriptEnabled, 'a timer that cannot count is not shown');
        await close();
      }
    });
  }

  await test('a time counts by the clock, says when its least is reached and its most is passed, and is silent in between', async () => {
    const { page, faults, close } = await watched(origins.file);
    await page.clock.install({ time: noon });
    await page.goto(`${origins.file}${PAGE}#step-7`);
    const timer = page.locator('#step-7 .timer[data-name=hold]');
    const said = page.locator('#room-said');
    const word = async () => blanks(await timer.locator('.timer-word').innerText());
    const shape = () => timer.locator('use').getAttribute('href');
    assert.deepEqual([await timer.getAttribute('data-least'), await timer.getAttribute('data-most')].map(Number), [45, 60]);
    await timer.locator('button').click();
    await page.clock.runFor(44_500);
    assert.deepEqual([await word(), await shape(), await said.innerText()], ['not yet: 45–60 s', '#m-ring', '']);
    await page.clock.runFor(1_000);
    assert.deepEqual([await word(), await shape()], ['least reached: 45–60 s', '#m-circle']);
    assert.match(await said.innerText(), /^Step 7 of 13, hold: least reached/);
    await page.clock.runFor(14_700);
    assert.equal(await word(), 'least reached: 45–60 s', 'the most itself is still within');
    // A page that slept: the clock went on, no beat came.
    await page.clock.fastForward(30_000);
    assert.deepEqual([await word(), await shape()], ['past the most: 45–60 s. End it.', '#m-octagon']);
    assert.match(await said.innerText(), /past the most/);
    await timer.locator('button').click();
    const stopped = await timer.locator('.timer-clock').innerText();
    assert.equal(stopped, '1:30');
    await page.clock.runFor(5_000);
    assert.equal(await timer.locator('.timer-clock').innerText(), stopped);
    assert.match(await word(), /^stopped/);
    await timer.locator('button').click();
    assert.equal(await timer.locator('.timer-clock').innerText(), '0:00');
    assert.equal(await page.locator('audio, video').count(), 0);
    assert.deepEqual(faults, []);
    await close();
  });

  await test('a time that runs in another step stays in sight, and its line leads back', async () => {
    const { page, close } = await watched(origins.file);
    await page.clock.install({ time: noon });
    await page.goto(`${origins.file}${PAGE}#step-5`);
    await page.locator('#step-5 .timer button').first().click();
    await page.keyboard.press('ArrowRight');
    await page.clock.runFor(61_000);
    const line = page.locator('#room-running a');
    assert.match(blanks(await line.innerText()), /^Step 5 of 13, time: 1:01, not yet: 10 min$/);
    await page.locator('#step-6 .room-stop').click();
    await page.clock.runFor(1_000);
    assert.ok(await line.isVisible(), 'also beside the stop rules');
    await line.click();
    assert.deepEqual(await shown(page), ['step-5']);
    assert.ok(await page.locator('#room-running').isHidden());
    await close();
  });

  await test('in the room view nothing is smaller than 18 px, no target lower than 64 px, neighbours stand 16 px apart, numbers are 26 pt', async () => {
    for (const width of [390, 1280]) {
      const { page, close } = await watched(origins.file, { viewport: { width, height: 844 } });
      for (const p of rooms) {
        await page.goto(origins.file + p);
        const ids = await page.$$eval('.screen', (all) => all.map((s) => s.id));
        for (const id of ids) {
          await page.goto(`${origins.file}${p}#${id}`);
          const wrong = await page.evaluate(() => {
            const out = [];
            const boxes = [...document.querySelectorAll('a, button, summary, input')].filter((e) => !e.matches('.skip') && e.getBoundingClientRect().height > 0);
            for (const e of boxes) {
              const r = e.getBoundingClientRect();
              if (r.height < 64 || r.width < 64) out.push(`${e.outerHTML.slice(0, 60)}: ${r.width} x ${r.height}`);
            }
            for (const nav of document.querySelectorAll('.room-nav, .room-ways ul, .room-timers')) {
              const rects = [...nav.querySelectorAll('a, button')].map((e) => e.getBoundingClientRect()).filter((r) => r.height > 0);
              rects.forEach((a, i) => rects.slice(i + 1).forEach((b) => {
                const gap = Math.max(a.left - b.right, b.left - a.right, a.top - b.bottom, b.top - a.bottom);
                if (gap < 15.9) out.push(`${nav.className}: ${gap} px between two targets`);
              }));
            }
            const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
            for (let n = walker.nextNode(); n; n = walker.nextNode()) {
              const e = n.parentElement;
              if (!n.textContent.trim() || e.closest('.sr, .skip, script, noscript, [hidden]') || e.getBoundingClientRect().height === 0) continue;
              const size = parseFloat(getComputedStyle(e).fontSize);
              if (size < 18) out.push(`${size} px: ${n.textContent.trim().slice(0, 40)}`);
            }
            for (const e of document.querySelectorAll('.screen-step .room-dose .value')) {
              const size = parseFloat(getComputedStyle(e).fontSize);
              if (e.getBoundingClientRect().height > 0 && size < 26 * 4 / 3) out.push(`a number of ${size} px`);
            }
            for (const e of document.querySelectorAll('.screen h1')) {
              const size = parseFloat(getComputedStyle(e).fontSize);
              if (size < 20) out.push(`an action of ${size} px`);
            }
            const { scrollWidth, clientWidth } = document.documentElement;
            if (scrollWidth > clientWidth) out.push(`sideways: ${scrollWidth} > ${clientWidth}`);
            return out;
          });
          assert.deepEqual(wrong, [], `${p}#${id} at ${width}`);
        }
      }
      await close();
    }
  });

  await test('name, side, step and stop stay in sight while a screen is scrolled, with state and demonstration on each', async () => {
    const { page, close } = await watched(origins.file, { viewport: { width: 390, height: 700 } });
    for (const id of ['stop', 'step-5', 'after-care']) {
      await page.goto(`${origins.file}${PAGE}#${id}`);
      assert.match(await page.locator(`#${id} .room-stands`).innerText(), /Sign-off invented, not reviewed.*Review by \d{4}-\d\d-\d\d.*Not for treatment/s);
      for (const to of [0, 300, 600]) {
        await page.evaluate((y) => scrollBy(0, y), to);
        for (const part of ['.room-name', '.room-at', '.room-stop', '.room-nav']) {
          const box = await page.locator(`#${id} ${part}`).boundingBox();
          assert.ok(box && box.y >= -1 && box.y + box.height <= 701, `${id} ${part} after ${to}: ${JSON.stringify(box)}`);
        }
      }
    }
    await close();
  });

  await test('without script each step of the room view is an address, and on paper all steps stand in a row', async () => {
    const { page, close } = await watched(origins.file, { javaScriptEnabled: false });
    await page.goto(`${origins.file}${PAGE}#step-4`);
    assert.deepEqual(await shown(page), ['step-4']);
    await page.goto(origins.file + PAGE);
    assert.deepEqual(await shown(page), ['stop']);
    await page.emulateMedia({ media: 'print' });
    const all = await shown(page);
    assert.ok(all.includes('stop') && all.includes('step-13') && all.includes('after-care') && !all.some((id) => id.startsWith('stop-')));
    assert.equal(await page.locator('.room-nav:visible, .room-stop:visible').count(), 0);
    await close();
  });

  await test('forced colours keep the edge of every large target', async () => {
    const { page, close } = await watched(origins.file, { forcedColors: 'active' });
    await page.goto(`${origins.file}${PAGE}#step-7`);
    const edges = await page.$$eval('#step-7 :is(.room-stop, .room-nav a, .timer button)', (all) => all.map((e) => [parseFloat(getComputedStyle(e).borderTopWidth), getComputedStyle(e).borderTopStyle]));
    assert.ok(edges.length >= 4 && edges.every(([w, s]) => w >= 2 && s !== 'none'), JSON.stringify(edges));
    await close();
  });
};
