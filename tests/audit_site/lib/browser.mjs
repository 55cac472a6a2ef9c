// Browser phases: without script, keyboard, injected text, search.
import { chromium } from 'playwright-core';
import http from 'node:http';
import fs from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';

const ARGS = ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync',
  '--host-resolver-rules=MAP * ~NOTFOUND , EXCLUDE 127.0.0.1', '--disable-features=Translate,OptimizationHints,MediaRouter'];
const MIME = { '.html': 'text/html; charset=utf-8', '.htm': 'text/html; charset=utf-8', '.js': 'text/javascript', '.mjs': 'text/javascript', '.css': 'text/css', '.json': 'application/json', '.svg': 'image/svg+xml', '.png': 'image/png', '.jpg': 'image/jpeg', '.webp': 'image/webp', '.woff2': 'font/woff2', '.woff': 'font/woff', '.ttf': 'font/ttf', '.wasm': 'application/wasm', '.webmanifest': 'application/manifest+json', '.txt': 'text/plain', '.pdf': 'application/pdf', '.xml': 'application/xml', '.ico': 'image/x-icon' };

export function findChromium() {
  if (process.env.CHROMIUM) return process.env.CHROMIUM;
  for (const d of (process.env.PATH || '').split(path.delimiter)) for (const n of ['chromium', 'chromium-browser', 'google-chrome']) { const f = path.join(d, n); if (fs.existsSync(f)) return f; }
  throw new Error('Chromium not found: install it or set CHROMIUM');
}

export async function launch() { return chromium.launch({ executablePath: findChromium(), headless: true, args: ARGS }); }

// base: serve the site under a sub-path (such as /ref/) to catch root-absolute URLs
export function serve(root, base = '/') {
  const srv = http.createServer((q, r) => {
    let p; try { p = decodeURIComponent(new URL(q.url, 'http://x').pathname); } catch { r.writeHead(400); return r.end(); }
    if (!p.startsWith(base)) { r.writeHead(p === '/favicon.ico' ? 204 : 404); return r.end(); }
    let f = path.join(root, path.posix.normalize('/' + p.slice(base.length)));
    const st = fs.statSync(f, { throwIfNoEntry: false });
    if (st?.isDirectory()) f = path.join(f, 'index.html');
    if (!fs.existsSync(f) || !f.startsWith(root)) { r.writeHead(p.endsWith('/favicon.ico') ? 204 : 404); return r.end(); }
    const body = fs.readFileSync(f);
    r.writeHead(200, { 'content-type': MIME[path.extname(f).toLowerCase()] || 'application/octet-stream', 'content-length': body.length, 'cache-control': 'no-store' });
    r.end(body);
  });
  return new Promise((res) => srv.listen(0, '127.0.0.1', () => res({ srv, url: `http://127.0.0.1:${srv.address().port}${base}`, close: () => srv.close() })));
}
export const fileUrl = (root, rel) => pathToFileURL(path.join(root, ...rel.split('/'))).href;
export const httpUrl = (base, rel) => base + rel.split('/').map(encodeURIComponent).join('/');

function watch(page, root, base) {
  const ev = { console: [], errors: [], external: [], failed: [], dialogs: [], urls: [] };
  const rootHref = pathToFileURL(root).href + '/';
  page.on('console', (m) => { if (m.type() === 'error') ev.console.push(m.text().slice(0, 220)); });
  page.on('pageerror', (e) => ev.errors.push(String(e.message || e).slice(0, 220)));
  page.on('dialog', (d) => { ev.dialogs.push(d.type() + ': ' + d.message().slice(0, 60)); d.dismiss().catch(() => {}); });
  page.on('request', (r) => {
    const u = r.url(); ev.urls.push(u);
    if (/^(data|blob|about):/.test(u)) return;
    if (u.startsWith(rootHref) || (base && u.startsWith(base))) return;
    if (base && u.startsWith(new URL(base).origin + '/favicon.ico')) return;
    ev.external.push(u.slice(0, 160));
  });
  page.on('response', (r) => { if (r.status() >= 400) ev.failed.push(`${r.status()} ${r.url().slice(-120)}`); });
  page.on('requestfailed', (r) => { const t = r.failure()?.errorText || ''; if (!/ERR_ABORTED/.test(t)) ev.failed.push(`${t} ${r.url().slice(-120)}`); });
  return ev;
}
export const settle = (page, ms = 120) => page.waitForTimeout(ms);
const sessions = new WeakMap(); // never detach: detaching a session resets emulated media to screen
// site-relative file of an http URL under base, or null when it is not ours
function toRel(href, base) { const u = String(href).split(/[?#]/)[0]; if (!u.startsWith(base)) return null; let r = u.slice(base.length); try { r = decodeURIComponent(r); } catch {} return r === '' || r.endsWith('/') ? r + 'index.html' : r; }

// ---------- works without JavaScript ----------
export async function auditNoJs(browser, root, base, rels, cfg, R) {
  const c = R.check('nojs.content', 'fail'), lk = R.check('nojs.links', 'fail'), plots = R.check('nojs.plots', 'fail'), dead = R.check('nojs.deadControls', 'warn');
  c.tested = rels.length;
  const a = await browser.newContext({ javaScriptEnabled: false }), b = await browser.newContext({});
  const snap = (page) => page.evaluate(() => { const vis = (e) => e.checkVisibility ? e.checkVisibility({ visibilityProperty: true, opacityProperty: true }) : true; return { words: document.body.innerText.split(/\s+/).filter(Boolean).length, links: [...document.querySelectorAll('a[href]')].filter(vis).length, svg: [...document.querySelectorAll('svg')].filter((e) => vis(e) && e.querySelectorAll('path,rect,line,circle,text,polyline,polygon').length > 3).length, search: [...document.querySelectorAll('input[type=search],[role=searchbox]')].filter(vis).filter((e) => !e.closest('form[action]')).length }; });
  const p = await a.newPage(), q = await b.newPage();
  for (const rel of rels) {
    await p.goto(fileUrl(root, rel), { waitUntil: 'load' }); await q.goto(fileUrl(root, rel), { waitUntil: 'load' }); await settle(q, cfg.settleMs);
    const s = await snap(p), j = await snap(q);
    if (s.words < cfg.noJsMinWords || s.words < 0.7 * j.words) c.add({ at: rel, msg: `${s.words} words without JS, ${j.words} with` });
    if (s.links < 0.7 * j.links || s.links === 0) lk.add({ at: rel, msg: `${s.links} links without JS, ${j.links} with` });
    if (s.svg < j.svg) plots.add({ at: rel, msg: `${s.svg} drawings without JS, ${j.svg} with` });
    if (s.search) dead.add({ at: rel, msg: 'search box is shown without JS but has no form action' });
  }
  await a.close(); await b.close();
}

// ---------- keyboard ----------
const KB_INIT = () => { // remember elements that got their own mouse listeners
  const o = EventTarget.prototype.addEventListener; window.__audMouse = new Set();
  EventTarget.prototype.addEventListener = function (t, ...r) { if (/^(click|mousedown|pointerdown|mouseup|pointerup)$/.test(t) && this instanceof Element) window.__audMouse.add(this); return o.call(this, t, ...r); };
};
const KB_COLLECT = () => {
  const sel = 'a[href],area[href],button,input:not([type=hidden]),select,textarea,summary,[tabindex],[contenteditable=""],[contenteditable=true],audio[controls],video[controls],[role=button],[role=link],[role=checkbox],[role=switch],[role=radio],[role=option],[role=tab],[role=menuitem],[role=slider],[role=combobox],[role=searchbox],[role=gridcell][aria-selected]';
  const vis = (e) => e.checkVisibility({ visibilityProperty: true }) && !e.closest('[inert]') && !e.disabled && !e.closest('fieldset[disabled]');
  const name = (e) => (e.tagName.toLowerCase() + (e.id ? '#' + e.id : '') + (e.getAttribute('role') ? `[role=${e.getAttribute('role')}]` : '') + ' "' + (e.getAttribute('aria-label') || e.textContent || e.value || '').trim().slice(0, 30) + '"');
  const els = [...document.querySelectorAll(sel)].filter(vis);
  window.__aud = els; window.__audName = name;
  const snap = (e) => { const f = (x) => { if (!x) return ''; const s = getComputedStyle(x); return [s.outlineStyle, s.outlineWidth, s.outlineColor, s.boxShadow, s.borderTopColor, s.borderTopWidth, s.borderBottomColor, s.borderBottomWidth, s.backgroundColor, s.color, s.textDecorationLine, s.stroke, s.strokeWidth, s.fill, s.filter, s.transform].join('|'); }; const l = e.labels?.[0]; return f(e) + '#' + f(e.parentElement) + '#' + f(l) + '#' + f(e.firstElementChild) + '#' + f(e.nextElementSibling); };
  window.__audSnap = snap; window.__audBefore = els.map(snap);
  const comp = '[role=radiogroup],[role=listbox],[role=grid],[role=tablist],[role=menu],[role=menubar],[role=toolbar],[role=tree],[role=application],[data-roving]';
  window.__audComp = comp;
  return els.map((e) => ({ name: name(e), tab: e.tabIndex >= 0 && !(e.tagName === 'INPUT' && e.type === 'radio' && e.name && !e.checked && [...document.getElementsByName(e.name)].some((x) => x !== e && (x.checked || x.compareDocumentPosition(e) & 4))), roleNoFocus: e.tabIndex < 0 && !e.hasAttribute('tabindex') && !e.closest(comp) && !['OPTION'].includes(e.tagName), inComp: !!e.closest(comp), pos: (e.getAttribute('tabindex') | 0) > 0, inDisabledAria: e.getAttribute('aria-disabled') === 'true' }));
};
const KB_CUR = () => { let e = document.activeElement; while (e && e.shadowRoot && e.shadowRoot.activeElement) e = e.shadowRoot.activeElement; const i = window.__aud.indexOf(e); if (!e || e === document.body || e === document.documentElement) return { i: -1, body: true }; const b = i >= 0 ? window.__audBefore[i] : null; const s = getComputedStyle(e); return { i, name: window.__audName(e), ring: s.outlineStyle === 'auto' || (i < 0 ? true : window.__audSnap(e) !== b), off: (() => { const r = e.getBoundingClientRect(); return r.bottom < 0 || r.top > innerHeight || r.right < 0 || r.left > innerWidth; })() }; };
// focus may be drawn by another element: compare pixels around the control, focused and with focus elsewhere
async function focusPixels(page, i) {
  const clip = await page.evaluate((i) => { const r = window.__aud[i].getBoundingClientRect(); const x = Math.max(0, r.left - 8), y = Math.max(0, r.top - 8); const w = Math.min(innerWidth, r.right + 8) - x, h = Math.min(innerHeight, r.bottom + 8) - y; return w > 1 && h > 1 ? { x, y, width: w, height: h } : null; }, i);
  if (!clip) return true;
  const a = await page.screenshot({ clip, animations: 'disabled', caret: 'hide' });
  await page.evaluate((i) => { const box = window.__aud[i].closest('svg,[role=listbox],[role=radiogroup],fieldset') || window.__aud[i]; const o = window.__aud.find((e) => e.tabIndex >= 0 && !box.contains(e)) || document.body; o.focus({ preventScroll: true, focusVisible: true }); if (o === document.body) document.activeElement.blur(); }, i);
  await page.waitForTimeout(80);
  const b = await page.screenshot({ clip, animations: 'disabled', caret: 'hide' });
  await page.evaluate((i) => window.__aud[i].focus({ preventScroll: true, focusVisible: true }), i);
  return !a.equals(b);
}
export async function auditKeyboard(browser, root, base, rels, cfg, R) {
  const reach = R.check('keyboard.reach', 'fail'), ring = R.check('keyboard.focusVisible', 'fail'), trap = R.check('keyboard.trap', 'fail'), mouse = R.check('keyboard.mouseOnly', 'fail'), rov = R.check('keyboard.roving', 'fail'), pos = R.check('keyboard.positiveTabindex', 'fail'), skip = R.check('keyboard.skipLink', 'warn'), off = R.check('keyboard.focusOffscreen', 'warn'), main = R.check('keyboard.mainControls', 'fail');
  reach.tested = rels.length; let stops = 0;
  const ctx = await browser.newContext({ viewport: { width: 1280, height: 900 } }); await ctx.addInitScript(KB_INIT);
  const page = await ctx.newPage();
  for (const rel of rels) {
    await page.goto(fileUrl(root, rel), { waitUntil: 'load' }); await settle(page, cfg.settleMs);
    const els = await page.evaluate(KB_COLLECT);
    const reached = new Set(); let first = null, same = 0, last = null, bodies = 0;
    const limit = Math.min(cfg.maxTabs, els.length * 2 + 12);
    let n = 0;
    for (; n < limit; n++) {
      await page.keyboard.press('Tab');
      let c = await page.evaluate(KB_CUR);
      if (c.body) { if (++bodies >= 2 && reached.size) break; if (reached.size) break; continue; }
      const key = c.i >= 0 ? c.i : c.name;
      if (key === last) { if (++same >= 3) { trap.add({ at: rel, msg: `focus stays on ${c.name}` }); break; } } else same = 0;
      last = key;
      if (first === null) { first = key; const t = await page.evaluate(() => { const e = document.activeElement; return e.matches('a[href^="#"]'); }); if (!t && els.length > 15) skip.add({ at: rel, msg: `first Tab stop is ${c.name}, not a skip link` }); }
      else if (key === first && reached.size > 1) break;
      if (c.i >= 0 && !reached.has(c.i)) {
        reached.add(c.i); stops++;
        if (!c.ring) { await page.waitForTimeout(200); c = await page.evaluate(KB_CUR); if (!c.ring && !(await focusPixels(page, c.i))) ring.add({ at: rel, msg: `no visible focus change on ${c.name}` }); }
        if (c.off) off.add({ at: rel, msg: `focused but off screen: ${c.name}` });
      }
    }
    const capped = n >= limit && limit === cfg.maxTabs;
    els.forEach((e, i) => {
      if (e.pos) pos.add({ at: rel, msg: e.name });
      if (e.roleNoFocus) reach.add({ at: rel, msg: `has a role or is a control but cannot take focus: ${e.name}` });
      else if (e.tab && !reached.has(i) && !capped && !e.inDisabledAria) reach.add({ at: rel, msg: `not reached with Tab: ${e.name}` });
    });
    if (capped) R.bump('keyboardCappedPages');
    // roving groups: one stop inside, and arrows move it
    const groups = await page.evaluate(() => [...document.querySelectorAll(window.__audComp)].filter((g) => g.checkVisibility({ visibilityProperty: true }) && g.querySelectorAll('[tabindex],button,a[href]').length > 1 && !g.parentElement.closest(window.__audComp)).slice(0, 4).map((g, k) => { g.setAttribute('data-aud-g', k); const zero = [...g.querySelectorAll('*')].filter((e) => e.tabIndex >= 0 && e.checkVisibility()).length; return { k, zero, roving: g.querySelectorAll('[tabindex="-1"]').length > 0, act: g.hasAttribute('aria-activedescendant') || !!g.querySelector('[aria-activedescendant]'), name: window.__audName(g) }; }));
    for (const g of groups) {
      if (!g.roving && !g.act) continue;
      if (!g.zero && !g.act) { rov.add({ at: rel, msg: `no Tab stop inside ${g.name}` }); continue; }
      const foc = () => page.evaluate((k) => { const e = document.activeElement; const g = document.querySelector(`[data-aud-g="${k}"]`); return { in: g.contains(e), i: [...g.querySelectorAll('*')].indexOf(e), ad: (e.getAttribute('aria-activedescendant') || g.getAttribute('aria-activedescendant')) }; }, g.k);
      await page.evaluate((k) => { const g = document.querySelector(`[data-aud-g="${k}"]`); const e = [g, ...g.querySelectorAll('*')].find((x) => x.tabIndex >= 0 && x.checkVisibility()); e?.focus(); }, g.k);
      const a = await foc(); let moved = false;
      for (const key of ['ArrowRight', 'ArrowDown', 'ArrowLeft', 'ArrowUp']) { await page.keyboard.press(key); const b = await foc(); if (b.in && (b.i !== a.i || b.ad !== a.ad)) { moved = true; break; } }
      if (!moved) rov.add({ at: rel, msg: `arrow keys do not move inside ${g.name}` });
    }
    // mouse-only targets
    for (const m of await page.evaluate(() => {
      const foc = 'a[href],button,input,select,textarea,summary,label,[tabindex],[contenteditable],option'; const out = [];
      const bad = (e) => e.isConnected && e !== document.body && e !== document.documentElement && e.checkVisibility({ visibilityProperty: true }) && !e.closest(foc) && !e.querySelector(foc) && !e.closest('dialog');
      for (const e of document.querySelectorAll('[onclick],[onmousedown],[onpointerdown]')) window.__audMouse.add(e);
      for (const e of window.__audMouse) if (bad(e)) out.push('mouse listener, not focusable: ' + window.__audName(e));
      for (const e of document.querySelectorAll('body *')) if (getComputedStyle(e).cursor === 'pointer' && bad(e) && getComputedStyle(e.parentElement).cursor !== 'pointer' && !window.__audMouse.has(e)) out.push('cursor:pointer, not focusable: ' + window.__audName(e));
      return out.slice(0, 10);
    })) mouse.add({ at: rel, msg: m });
    for (const ctl of cfg.controls.filter((c) => c.page === rel)) {
      const r = await page.evaluate((s) => { const e = document.querySelector(s); return e ? { i: window.__aud.indexOf(e), any: [...e.querySelectorAll('*')].map((x) => window.__aud.indexOf(x)).filter((x) => x >= 0) } : null; }, ctl.selector);
      if (!r) main.add({ at: rel, msg: `missing control ${ctl.selector}` });
      else if (!reached.has(r.i) && !r.any.some((i) => reached.has(i))) main.add({ at: rel, msg: `control not reached: ${ctl.selector}` });
    }
  }
  R.info('keyboardStops', stops);
  await ctx.close();
}

// ---------- XSS through search box and URL ----------
const PAYLOADS = ['<img src=x onerror="window.__xss=1">', '"><svg onload="window.__xss=1">', "';window.__xss=1;//", '<script>window.__xss=1</script>', '{{constructor.constructor("window.__xss=1")()}}', 'javascript:window.__xss=1'];
export async function auditXssInput(browser, root, base, rels, cfg, R) {
  const x = R.check('xss.input', 'fail'); let n = 0;
  const ctx = await browser.newContext();
  const probe = async (page, ev, at) => {
    await settle(page, 150); n++;
    const s = await page.evaluate(() => ({ set: typeof window.__xss !== 'undefined', inj: [...document.querySelectorAll('*')].some((e) => [...e.attributes].some((a) => /^on/i.test(a.name) && /__xss/.test(a.value)) || (e.tagName === 'A' && /^\s*javascript:/i.test(e.getAttribute('href') || ''))) }));
    if (s.set) x.add({ at, msg: 'window.__xss was set' }); else if (s.inj) x.add({ at, msg: 'payload became live markup (only CSP stopped it)' });
    for (const d of ev.dialogs.splice(0)) x.add({ at, msg: 'dialog ' + d });
  };
  const page = await ctx.newPage(); const ev = watch(page, root, base);
  for (const rel of rels) for (const proto of ['file', 'http']) {
    const url = proto === 'file' ? fileUrl(root, rel) : httpUrl(base, rel);
    for (const p of PAYLOADS.slice(0, 3)) for (const suffix of [`?q=${encodeURIComponent(p)}`, `#q=${encodeURIComponent(p)}`, `#${encodeURIComponent(p)}`]) {
      await page.goto('about:blank'); await page.goto(url + suffix, { waitUntil: 'load' }); await probe(page, ev, `${rel} (${proto}) ${suffix.slice(0, 3)}…`);
    }
    await page.goto('about:blank'); await page.goto(url, { waitUntil: 'load' });
    const box = page.locator('input[type=search],[role=searchbox],input[type=text],textarea').first();
    if (await box.count() && await box.isVisible()) for (const p of PAYLOADS) { await box.fill(p).catch(() => {}); await page.keyboard.press('Enter').catch(() => {}); await settle(page, 100); if (page.url().split(/[?#]/)[0] !== url) { await probe(page, ev, `${rel} (${proto}) typed, navigated`); await page.goto(url); } else await probe(page, ev, `${rel} (${proto}) typed`); }
  }
  x.tested = n; await ctx.close();
}

// ---------- search latency and recall ----------
const SEARCH_INIT = () => { window.__s = { last: 0, n: 0 }; const go = () => new MutationObserver(() => { window.__s.last = performance.now(); window.__s.n++; }).observe(document.documentElement, { childList: true, subtree: true, characterData: true, attributes: true, attributeFilter: ['hidden', 'class', 'open', 'aria-expanded'] }); document.documentElement ? go() : addEventListener('DOMContentLoaded', go); addEventListener('input', (e) => { window.__s.t0 = performance.now(); window.__s.last = 0; }, true); };
export async function auditSearch(browser, root, base, pages, cfg, R, fileSet) {
  const bad = R.check('search.resultLinks', 'fail');
  const rec = R.check('search.recall', 'fail'), loc = R.check('search.fileProtocol', 'fail');
  let page0 = cfg.search?.page ?? [...pages.values()].find((p) => p.search && p.rel === 'index.html')?.rel ?? [...pages.values()].find((p) => p.search)?.rel;
  if (!page0 && pages.has('index.html')) { // the box may be made by script
    const ctx = await browser.newContext(); const page = await ctx.newPage(); await page.goto(fileUrl(root, 'index.html'), { waitUntil: 'load' }); await settle(page, cfg.settleMs);
    if (await page.locator('input[type=search],[role=searchbox]').count()) page0 = 'index.html'; await ctx.close();
  }
  if (!page0) { for (const c of ['search.recall', 'search.fileProtocol']) R.skip(c, 'no search box found'); return; }
  let qs = cfg.search?.queries; // cfg.search.open: selector of a button that shows the box
  if (!qs) {
    const cand = [...pages.values()].filter((p) => p.rel !== page0 && p.title && !/index\.html$/.test(p.rel) && !p.card).map((p) => ({ rel: p.rel, t: p.title.split(/\s+[|–—·-]\s+/)[0].trim() })).filter((c) => c.t.length > 4);
    const step = Math.max(1, Math.floor(cand.length / 10)); qs = cand.filter((_, i) => i % step === 0).slice(0, 10).map((c) => [c.t, c.rel]);
  }
  const typo = (s) => { const w = s.split(' '); let k = 0; w.forEach((x, i) => { if (x.length > w[k].length) k = i; }); const m = Math.floor(w[k].length / 2); if (w[k].length > 5) w[k] = w[k].slice(0, m) + w[k].slice(m + 1); return w.join(' '); };
  const out = {};
  for (const proto of ['http', 'file']) {
    const ctx = await browser.newContext({ viewport: { width: 1280, height: 900 } }); await ctx.addInitScript(SEARCH_INIT);
    const page = await ctx.newPage(); const url = proto === 'file' ? fileUrl(root, page0) : httpUrl(base, page0);
    await page.goto(url, { waitUntil: 'load' });
    if (cfg.search?.open) await page.click(cfg.search.open); else await settle(page, cfg.settleMs);
    const box = page.locator(cfg.search?.selector || 'input[type=search],[role=searchbox]').first();
    if (!(await box.isVisible().catch(() => false))) { rec.add({ at: page0, msg: 'the search box is not visible' }); await ctx.close(); continue; }
    const all = []; let firstMs = null; const hit = { title: [0, 0], prefix: [0, 0], typo: [0, 0] }; const missed = []; let any = 0;
    const linksTo = (rel) => page.evaluate(([want]) => { const vis = (e) => e.checkVisibility({ visibilityProperty: true }); const l = [...document.querySelectorAll('a[href]')].filter((a) => vis(a) && !a.hasAttribute('data-aud-old')); return { n: l.length, hrefs: l.map((a) => a.href), pos: l.findIndex((a) => decodeURIComponent(new URL(a.href).pathname).endsWith('/' + want)) }; }, [rel]);
    const waitDone = async () => { const t0 = Date.now(); for (;;) { const s = await page.evaluate(() => ({ now: performance.now(), ...window.__s })); if (s.last && s.now - s.last > 180) return s.last - s.t0; if (!s.last && s.now - s.t0 > 900) return null; if (Date.now() - t0 > 8000) return null; await page.waitForTimeout(25); } };
    const run = async (q, measure) => {
      await box.fill(''); await page.waitForTimeout(220);
      await page.evaluate(() => document.querySelectorAll('a[href]').forEach((a) => { if (a.checkVisibility({ visibilityProperty: true })) a.setAttribute('data-aud-old', ''); else a.removeAttribute('data-aud-old'); }));
      await box.focus();
      if (!measure) { await box.pressSequentially(q, { delay: 3 }); await waitDone(); return; }
      for (const ch of q.slice(0, 14)) { await page.keyboard.type(ch); const d = await waitDone(); if (d !== null) { if (firstMs === null) firstMs = d; else all.push(d); } }
      if (q.length > 14) { await page.keyboard.type(q.slice(14)); await waitDone(); }
    };
    for (const [i, [q, rel]] of qs.entries()) for (const [kind, text] of [['title', q], ['prefix', q.slice(0, Math.max(4, Math.ceil(q.length * 0.6)))], ['typo', typo(q)]]) {
      await run(text, kind === 'title' && i < 5);
      const r = await linksTo(rel); hit[kind][1]++;
      if (proto === 'http') for (const h of r.hrefs) { const t = toRel(h, base); if (t === null || !fileSet.has(t)) bad.add({ at: page0, msg: `result for "${text}" points to missing ${t ?? h.slice(0, 80)}` }); } any += r.n; if (r.pos >= 0 && r.pos < (kind === 'prefix' ? 20 : 10)) hit[kind][0]++; else missed.push({ at: `${page0} (${proto})`, msg: `${kind} "${text}": ${rel} not in the first results (${r.n} result links)` });
    }
    all.sort((a, b) => a - b); const pc = (p) => (all.length ? +all[Math.min(all.length - 1, Math.floor(all.length * p))].toFixed(1) : null);
    out[proto] = { keystrokes: all.length, p50: pc(0.5), p95: pc(0.95), first: firstMs === null ? null : Math.round(firstMs), recall: Object.fromEntries(Object.entries(hit).map(([k, [a, b]]) => [k, b ? +(a / b).toFixed(2) : null])) };
    if (!qs.length) R.skip('search.recall', 'no titled pages to query');
    if (qs.length && !any) (proto === 'file' ? loc : rec).add({ at: page0, msg: `no result links appear on ${proto}` });
    const floor = cfg.budgets.searchRecall; for (const k of Object.keys(hit)) if (hit[k][1] && hit[k][0] / hit[k][1] < floor[k]) { rec.add({ at: `${page0} (${proto})`, msg: `${k} recall ${hit[k][0]}/${hit[k][1]} < ${floor[k]}` }); for (const m of missed.filter((m) => m.msg.startsWith(k)).slice(0, 3)) rec.details.push(m); }
    await ctx.close();
  }
  R.metrics.search = out;
}
