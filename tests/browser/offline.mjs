// Installing, use without a network, and a newer edition, over loopback http.
import assert from 'node:assert/strict';
import fs from 'node:fs';
import http from 'node:http';
import os from 'node:os';
import path from 'node:path';
import { createHash } from 'node:crypto';

const types = { '.html': 'text/html', '.css': 'text/css', '.js': 'text/javascript', '.json': 'application/json', '.svg': 'image/svg+xml', '.png': 'image/png', '.webmanifest': 'application/manifest+json' };

// A host whose folder and connection can be taken away, under a path as on a shared host.
export const host = async (root) => {
  let folder = root;
  let cut = false;
  const asked = [];
  const server = http.createServer((request, response) => {
    if (cut) { request.socket.destroy(); return; }
    const inner = decodeURIComponent(new URL(request.url, 'http://localhost').pathname);
    asked.push(inner);
    const file = path.join(folder, inner.replace(/^\/course\//, '/'));
    const there = inner.startsWith('/course/') && fs.existsSync(file) && fs.statSync(file).isFile();
    response.writeHead(there ? 200 : 404, { 'content-type': types[path.extname(there ? file : 'x.html')] ?? 'application/octet-stream', 'cache-control': 'no-cache' });
    response.end(fs.readFileSync(there ? file : path.join(folder, '404.html')));
  });
  await new Promise((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    origin: `http://127.0.0.1:${server.address().port}/course/`,
    asked,
    move: (to) => { folder = to; },
    cut: (now) => { cut = now; if (now) server.closeAllConnections(); },
    close: () => new Promise((resolve) => { server.closeAllConnections(); server.close(resolve); }),
  };
};

export const controlled = (page) => page.waitForFunction(() => navigator.serviceWorker.controller !== null, null, { timeout: 120000 });
export const stamp = (bytes) => createHash('sha256').update(bytes).digest('hex').slice(0, 10);

// The same site with one page changed, as a compile would write it.
const newer = (site) => {
  const copy = fs.mkdtempSync(path.join(os.tmpdir(), 'fascicle-newer-'));
  fs.cpSync(site, copy, { recursive: true });
  const page = path.join(copy, 'protocols/soleus.html');
  const before = stamp(fs.readFileSync(page));
  fs.writeFileSync(page, fs.readFileSync(page, 'utf8').replace('</h1>', ' (newer)</h1>'));
  const worker = path.join(copy, 'sw.js');
  const text = fs.readFileSync(worker, 'utf8');
  assert.ok(text.includes(before));
  fs.writeFileSync(worker, text.replace(before, stamp(fs.readFileSync(page))).replace(/fascicleEdition = "\w+"/, 'fascicleEdition = "next"'));
  return copy;
};

export default async ({ test, watched, origins, site }) => {
  await test('the manifest names a start, icons that are there, and nothing outside', async () => {
    const text = fs.readFileSync(path.join(site, 'manifest.webmanifest'), 'utf8');
    const manifest = JSON.parse(text);
    assert.ok(manifest.name && manifest.short_name && manifest.start_url === 'index.html' && manifest.scope === './');
    for (const icon of manifest.icons) {
      const bytes = fs.readFileSync(path.join(site, icon.src));
      if (icon.type === 'image/png') assert.equal(`${bytes.readUInt32BE(16)}x${bytes.readUInt32BE(20)}`, icon.sizes);
    }
    assert.doesNotMatch(text, /https?:/);
  });

  await test('the list of the worker fits every file of the site', async () => {
    const files = JSON.parse(fs.readFileSync(path.join(site, 'sw.js'), 'utf8').split('\n')[0].replace(/^self\.fascicleFiles = /, '').replace(/;$/, ''));
    const there = fs.readdirSync(site, { recursive: true }).filter((f) => fs.statSync(path.join(site, f)).isFile()).map((f) => f.split(path.sep).join('/'));
    assert.deepEqual(there.filter((f) => !(f in files) && f !== 'sw.js' && f !== 'fascicle-manifest.json' && f !== '.gitignore'), []);
    for (const [file, hash] of Object.entries(files)) assert.equal(stamp(fs.readFileSync(path.join(site, file))), hash, file);
  });

  await test('from a disk there is no worker, no manifest link and no error', async () => {
    const { page, faults, close } = await watched(origins.file);
    await page.goto(`${origins.file}protocols/soleus.html`);
    await page.waitForTimeout(300);
    assert.equal(await page.locator('link[rel=manifest]').count(), 0);
    assert.deepEqual(faults, []);
    await close();
  });

  await test('every link to an asset carries the hash of its content', async () => {
    const { page, close } = await watched(origins.file);
    for (const p of ['index.html', 'finder.html', 'protocols/soleus.html', 'cards/soleus.html']) {
      await page.goto(origins.file + p);
      const links = await page.$$eval('[href*="assets/"], [src*="assets/"], form[data-engine]', (all) => all.flatMap((e) => [e.getAttribute('href'), e.getAttribute('src'), e.dataset.engine, e.dataset.index]).filter((l) => l?.includes('assets/')));
      assert.ok(links.length > 2);
      for (const link of links) {
        const [file, hash] = link.split('?v=');
        assert.equal(hash, stamp(fs.readFileSync(path.join(site, path.dirname(p), file))), `${p}: ${link}`);
      }
    }
    await close();
  });

  await test('after one visit the whole site works without a network, and a newer edition is said and not forced', async () => {
    const place = await host(site);
    const { page, faults, close } = await watched(place.origin);
    const copy = newer(site);
    try {
      await page.goto(`${place.origin}index.html`);
      await controlled(page);
      assert.equal(await page.locator('link[rel=manifest]').count(), 1);
      await page.goto(`${place.origin}protocols/soleus.html`);
      assert.equal(await page.locator('.edition-line').count(), 0);
      assert.deepEqual(faults, []);

      place.cut(true);
      for (const p of ['cards/infraspinatus.html', 'data/protocols/soleus.json', 'flags/index.html', 'protocols/soleus.html']) {
        await page.goto(place.origin + p);
        assert.ok((await page.locator('body').innerText()).length > 200, p);
      }
      await page.getByText('No connection: this is the edition kept on this device.').waitFor();
      await page.locator('input[type=search]').fill('infraspinatis');
      await page.locator('#search-results a').first().waitFor();
      await page.goto(`${place.origin}no/such/page.html`);
      assert.match(await page.locator('h1').innerText(), /No page/);

      place.cut(false);
      await page.goto(`${place.origin}protocols/soleus.html`);
      await page.waitForTimeout(500);
      assert.equal(await page.locator('.edition-line').count(), 0);
      place.move(copy);
      place.asked.length = 0;
      await page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
      await page.getByText('A newer edition is here.').waitFor({ timeout: 60000 });
      assert.doesNotMatch(await page.locator('h1').innerText(), /newer/, 'the page reloaded by itself');
      // Only what changed is fetched.
      const fetched = place.asked.filter((p) => !p.endsWith('sw.js'));
      assert.deepEqual(fetched, ['/course/protocols/soleus.html']);
      await page.getByRole('button', { name: 'Reload' }).click();
      await page.locator('h1', { hasText: '(newer)' }).waitFor();
      const names = await page.evaluate(() => caches.keys());
      assert.equal(names.length, 1, 'the edition before was not cleared');
      place.cut(true);
      await page.goto(`${place.origin}protocols/soleus.html`);
      assert.match(await page.locator('h1').innerText(), /newer/);
    } finally {
      await close();
      await place.close();
      fs.rmSync(copy, { recursive: true });
    }
  });

  await test('a file that does not fit its hash is never kept, and the edition before stays', async () => {
    const place = await host(site);
    const { page, close } = await watched(place.origin);
    const copy = newer(site);
    try {
      await page.goto(`${place.origin}index.html`);
      await controlled(page);
      // The host has the new list, but still half of the old pages.
      fs.copyFileSync(path.join(site, 'protocols/soleus.html'), path.join(copy, 'protocols/soleus.html'));
      place.move(copy);
      const state = await page.evaluate(async () => {
        const registration = await navigator.serviceWorker.ready;
        const before = registration.active;
        // It may have failed before anybody can ask for it.
        const found = new Promise((resolve) => registration.addEventListener('updatefound', resolve, { once: true }));
        await registration.update().catch(() => {});
        await found;
        while (registration.installing) await new Promise((resolve) => setTimeout(resolve, 50));
        return { waits: registration.waiting !== null, same: registration.active === before, state: before.state };
      });
      assert.deepEqual(state, { waits: false, same: true, state: 'activated' });
      place.cut(true);
      await page.goto(`${place.origin}protocols/soleus.html`);
      assert.doesNotMatch(await page.locator('h1').innerText(), /newer/);
    } finally {
      await close();
      await place.close();
      fs.rmSync(copy, { recursive: true });
    }
  });

  await test('an address with ?q= searches at once, and what stands there is only text', async () => {
    for (const origin of Object.values(origins)) {
      const { page, faults, close } = await watched(origin);
      await page.goto(`${origin}a-z.html?q=${encodeURIComponent('solius')}`);
      await page.locator('#search-results a').first().waitFor();
      assert.equal(await page.locator('#search').inputValue(), 'solius');
      await page.goto(`${origin}a-z.html?q=${encodeURIComponent('<img src=x onerror=alert(1)>')}`);
      await page.waitForTimeout(200);
      assert.equal(await page.locator('main img').count(), 0);
      assert.deepEqual(faults, []);
      await close();
    }
  });
};
