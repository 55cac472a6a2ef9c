// Cards to PDF: page count, paper size, clipped/overlapping/lost text, legibility without backgrounds.
import fs from 'node:fs';
import path from 'node:path';
import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';
import { svgTextOutside } from '../../browser/svg-text.mjs';
import { httpUrl, settle } from './browser.mjs';

const MM = 72 / 25.4;
const PAPERS = { A5: [148, 210], A4: [210, 297], Letter: [215.9, 279.4], A6: [105, 148], Legal: [215.9, 355.6] };
let pdfjs;
async function readPdf(buf) {
  if (!pdfjs) {
    const req = createRequire(import.meta.url); const w = console.warn, l = console.log; console.warn = console.log = () => {};
    pdfjs = await import(pathToFileURL(req.resolve('pdfjs-dist/legacy/build/pdf.mjs')).href); console.warn = w; console.log = l;
  }
  const dir = path.dirname(createRequire(import.meta.url).resolve('pdfjs-dist/package.json'));
  const doc = await pdfjs.getDocument({ data: new Uint8Array(buf), verbosity: 0, isEvalSupported: false, useSystemFonts: false, standardFontDataUrl: path.join(dir, 'standard_fonts') + path.sep }).promise;
  const pages = [];
  for (let i = 1; i <= doc.numPages; i++) {
    const p = await doc.getPage(i); const [x0, y0, x1, y1] = p.view; const tc = await p.getTextContent({ disableNormalization: false });
    const ops = await p.getOperatorList();
    pages.push({ w: x1 - x0, h: y1 - y0, ops: ops.fnArray.length, items: tc.items.filter((t) => t.str && t.str.trim()).map((t) => ({ s: t.str, x: t.transform[4], y: t.transform[5], w: t.width, size: Math.hypot(t.transform[2], t.transform[3]) || Math.hypot(t.transform[0], t.transform[1]), rot: Math.abs(t.transform[1]) > 0.01 })) });
  }
  await doc.destroy();
  return pages;
}
const paperName = (w, h) => { for (const [n, [a, b]] of Object.entries(PAPERS)) { const A = a * MM, B = b * MM; if (Math.abs(w - A) < 2 && Math.abs(h - B) < 2) return n; if (Math.abs(w - B) < 2 && Math.abs(h - A) < 2) return n + ' landscape'; } return `${Math.round(w / MM)}x${Math.round(h / MM)}mm`; };
const squash = (s) => s.normalize('NFKC').replace(/[\u00ad\u200b-\u200d\u2060\ufeff]/g, '').replace(/[\u2010\u2011]/g, '-').replace(/\s+/g, '').toLowerCase();

// in page, print media
const DOM_CHECK = ({ contentH }) => {
  const out = { clipped: [], overlap: [], faint: [], words: [], pageRule: [], spill: [] };
  const nm = (e) => e.tagName.toLowerCase() + (e.id ? '#' + e.id : '') + (typeof e.className === 'string' && e.className.trim() ? '.' + e.className.trim().split(/\s+/)[0] : '');
  const vis = (e) => e.checkVisibility({ visibilityProperty: true, opacityProperty: true });
  const srOnly = (e) => { for (let x = e; x && x !== document.body; x = x.parentElement) { const s = getComputedStyle(x); if ((s.clip !== 'auto' && s.position === 'absolute') || (s.clipPath.startsWith('inset') && x.offsetWidth <= 2) || (x.offsetWidth <= 1 && x.offsetHeight <= 1 && s.overflow === 'hidden')) return true; } return false; };
  const rules = (list) => { for (const r of list) { if (r instanceof CSSPageRule) out.pageRule.push(r.cssText.slice(0, 160)); else if (r instanceof CSSMediaRule) { if (matchMedia(r.conditionText).matches) rules(r.cssRules); } else if (r.cssRules && !(r instanceof CSSStyleRule)) rules(r.cssRules); } };
  for (const s of document.styleSheets) { try { if (!s.media.length || matchMedia(s.media.mediaText).matches) rules(s.cssRules); } catch {} }
  // clip: any box that hides overflow and has text beyond its box
  for (const e of document.body.querySelectorAll('*')) {
    if (e.closest('svg') && e.tagName.toLowerCase() !== 'foreignobject') continue;
    if (!vis(e) || srOnly(e)) continue;
    const s = getComputedStyle(e); if (!e.innerText?.trim()) continue;
    const hidesY = s.overflowY !== 'visible', hidesX = s.overflowX !== 'visible';
    if (hidesY && e.scrollHeight > e.clientHeight + 1 && e.clientHeight > 0) out.clipped.push(`${nm(e)} scrollHeight ${e.scrollHeight} > clientHeight ${e.clientHeight}`);
    else if (hidesX && e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 0) out.clipped.push(`${nm(e)} scrollWidth ${e.scrollWidth} > clientWidth ${e.clientWidth}`);
    if (s.webkitLineClamp !== 'none') { if (e.scrollHeight > e.clientHeight + 1) out.clipped.push(`${nm(e)} line-clamp cuts text`); }
  }
  // text boxes: words, spill out of fixed-height boxes and the sheet, overlaps, contrast on white
  const leafs = []; const w = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const lum = (c) => { const m = /rgba?\(([\d.]+),\s*([\d.]+),\s*([\d.]+)(?:,\s*([\d.]+))?/.exec(c); if (!m) return 0; const a = m[4] === undefined ? 1 : +m[4]; const f = (v) => { v = (a * v + (1 - a) * 255) / 255; return v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; }; return 0.2126 * f(+m[1]) + 0.7152 * f(+m[2]) + 0.0722 * f(+m[3]); };
  while (w.nextNode()) {
    const t = w.currentNode, e = t.parentElement; if (!t.data.trim() || !e || /^(script|style|noscript|template|title|desc)$/i.test(e.tagName) || !vis(e) || srOnly(e) || e.closest('[aria-hidden=true] option')) continue;
    const s = getComputedStyle(e); const inSvg = !!e.closest('svg');
    const r = document.createRange(); r.selectNodeContents(t);
    for (const b of r.getClientRects()) if (b.width > 0.5 && b.height > 0.5) leafs.push({ x0: b.left, x1: b.right, y0: b.top + b.height * 0.15, y1: b.bottom - b.height * 0.2, e, n: t });
    const col = inSvg ? s.fill : s.color; let exact = false; for (let x = e; x; x = x.parentElement) if (getComputedStyle(x).printColorAdjust === 'exact') exact = true;
    const L = lum(col); const cr = 1.05 / (L + 0.05); if (!exact && !inSvg && cr < 3) out.faint.push(`"${t.data.trim().slice(0, 30)}" ${cr.toFixed(1)}:1 on white paper (browsers drop backgrounds)`);
    let txt = t.data; const tt = s.textTransform; if (tt === 'uppercase') txt = txt.toUpperCase(); out.words.push(...txt.split(/\s+/).filter((x) => x.length > 2));
    for (let x = e; x && x !== document.body; x = x.parentElement) { const cs = getComputedStyle(x); if (cs.overflowY === 'visible' && !x.closest('svg') && x.clientHeight > 0 && x.scrollHeight > x.clientHeight + 3 && cs.display !== 'inline' && x.offsetHeight > 40) { const bb = x.getBoundingClientRect(); const rr = r.getBoundingClientRect(); if (rr.bottom > bb.bottom + 3 && (cs.position !== 'static' || x.matches('[data-card],.card,article,main,section'))) { out.spill.push(`"${t.data.trim().slice(0, 30)}" sticks out of ${nm(x)} by ${Math.round(rr.bottom - bb.bottom)}px`); } break; } }
  }
  const cell = 40, grid = new Map(); let tests = 0;
  leafs.forEach((a, i) => { for (let gx = Math.floor(a.x0 / cell); gx <= Math.floor(a.x1 / cell); gx++) for (let gy = Math.floor(a.y0 / cell); gy <= Math.floor(a.y1 / cell); gy++) { const k = gx + ',' + gy; const l = grid.get(k) || grid.set(k, []).get(k); for (const j of l) { if (tests++ > 4e5) return; const b = leafs[j]; if (b.n === a.n) continue; const ox = Math.min(a.x1, b.x1) - Math.max(a.x0, b.x0), oy = Math.min(a.y1, b.y1) - Math.max(a.y0, b.y0); if (ox > 2 && oy > 2 && ox * oy > 0.2 * Math.min((a.x1 - a.x0) * (a.y1 - a.y0), (b.x1 - b.x0) * (b.y1 - b.y0))) out.overlap.push(`"${a.n.data.trim().slice(0, 24)}" over "${b.n.data.trim().slice(0, 24)}"`); } l.push(i); } });
  out.overlap = [...new Set(out.overlap)]; out.spill = [...new Set(out.spill)]; out.faint = [...new Set(out.faint)];
  return out;
};

const glob = (g) => new RegExp('^' + g.replace(/[.+^${}()|[\]\\]/g, '\\$&').replace(/\*\*\/?/g, '\u0001').replace(/\*/g, '[^/]*').replace(/\u0001/g, '.*') + '$');
export async function auditPrint(browser, root, base, pages, cfg, R) {
  const C = (id, s = 'fail') => R.check('print.' + id, s);
  const count = C('pageCount'), size = C('paperSize'), clip = C('clipped'), lost = C('lostText'), out = C('outsidePage'), small = C('smallText'), overlap = C('overlap'), faint = C('faintWithoutBackground'), blank = C('blankPage'), spill = C('spill'), svgc = C('svgTextClipped'), paper = C('otherPapers', 'warn');
  const m = cfg.cards.match?.length ? cfg.cards.match.map(glob) : null;
  let cards = [...pages.values()].filter((p) => (m ? m.some((r) => r.test(p.rel)) : p.card || p.cardPages || /(^|\/)cards?\//.test(p.rel) && !/(^|\/)index\.html$/.test(p.rel) || /(^|[-_.])card[-_.].*html$/.test(path.basename(p.rel))));
  R.info('cardPages', cards.length);
  if (!cards.length) { for (const c of ['pageCount', 'clipped']) R.skip('print.' + c, 'no card pages found (set cards.match in the config)'); return; }
  cards = cards.sort((a, b) => b.words - a.words); // longest first: most likely to overflow
  const step = Math.max(1, Math.floor(cards.length / cfg.cards.max)); const tail = cards.filter((_, i) => i % step === 0).slice(0, cfg.cards.max);
  const chosen = [...new Set([...cards.slice(0, Math.ceil(cfg.cards.max / 2)), ...tail])].slice(0, cfg.cards.max);
  count.tested = chosen.length;
  const ctx = await browser.newContext({ viewport: { width: 794, height: 1123 } });
  const rows = []; const page = await ctx.newPage();
  for (const p of chosen) {
    const want = p.cardPages ?? cfg.cards.pages;
    try {
      await page.setViewportSize({ width: 794, height: 1123 }); await page.emulateMedia({ media: 'screen', colorScheme: 'light' });
      await page.goto(httpUrl(base, p.rel), { waitUntil: 'load' }); await settle(page, cfg.settleMs); await page.emulateMedia({ media: 'print', colorScheme: 'light' });
      const pre = await page.evaluate(DOM_CHECK, { contentH: 0 });
      const buf = await page.pdf({ preferCSSPageSize: true, printBackground: false });
      if (cfg.pdfDir) { fs.mkdirSync(cfg.pdfDir, { recursive: true }); fs.writeFileSync(path.join(cfg.pdfDir, p.rel.replace(/\//g, '__') + '.pdf'), buf); }
      const pg = await readPdf(buf);
      const name = paperName(pg[0].w, pg[0].h); rows.push({ page: p.rel, pages: pg.length, paper: name, minPt: +Math.min(...pg.flatMap((q) => q.items.map((i) => i.size)), 99).toFixed(1) });
      if (pg.length !== want) count.add({ at: p.rel, msg: `${pg.length} pages, expected ${want} (${name})` });
      const hasSize = pre.pageRule.some((r) => /size\s*:/.test(r));
      if (!hasSize) size.add({ at: p.rel, msg: 'no @page size rule applies' });
      else if (!cfg.cards.papers.includes(name.replace(' landscape', ''))) size.add({ at: p.rel, msg: `paper is ${name}, expected one of ${cfg.cards.papers.join('/')}` });
      for (const [i, q] of pg.entries()) {
        if (!q.items.length && q.ops < 12) blank.add({ at: p.rel, msg: `page ${i + 1} is blank` });
        for (const t of q.items) { if (t.x < -1 || t.y < -1 || (!t.rot && t.x + t.w > q.w + 1) || t.y + t.size * 0.7 > q.h + 2) out.add({ at: p.rel, msg: `"${t.s.slice(0, 40)}" leaves the paper on page ${i + 1}` }); if (t.size < cfg.cards.minPt && t.s.trim().length > 1) small.add({ at: p.rel, msg: `"${t.s.slice(0, 30)}" is ${t.size.toFixed(1)} pt` }); }
      }
      const all = squash(pg.flatMap((q) => q.items.map((i) => i.s)).join(''));
      const miss = [...new Set(pre.words)].filter((w) => !all.includes(squash(w)) && squash(w).length > 2 && /[\p{L}\p{N}]/u.test(w));
      const missReal = miss.filter((w) => { const parts = squash(w).split(/[-/–—]/).filter((x) => x.length > 2); return parts.length === 0 ? true : !parts.every((x) => all.includes(x)); });
      if (missReal.length) lost.add({ at: p.rel, msg: `${missReal.length} words are in the page but not in the PDF: ${missReal.slice(0, 6).join(', ')}` });
      // lay out at the printed width, then measure
      const mg = /margin\s*:\s*([^;]+);/.exec(pre.pageRule.find((r) => /margin/.test(r)) || '');
      const px = (v) => { const x = /([\d.]+)(mm|cm|in|pt|px)?/.exec(v || ''); return x ? +x[1] * ({ mm: 96 / 25.4, cm: 96 / 2.54, in: 96, pt: 96 / 72, px: 1 }[x[2] || 'px']) : 0; };
      const ms = (mg ? mg[1].trim().split(/\s+/) : ['0.4in']).map(px); const [mt, mr, mb, ml] = [ms[0], ms[1] ?? ms[0], ms[2] ?? ms[0], ms[3] ?? ms[1] ?? ms[0]];
      await page.setViewportSize({ width: Math.max(120, Math.floor(pg[0].w * 96 / 72 - ml - mr)), height: Math.max(120, Math.floor(pg[0].h * 96 / 72 - mt - mb)) }); await settle(page, 60);
      const d = await page.evaluate(DOM_CHECK, { contentH: 0 });
      for (const [chk, arr] of [[clip, d.clipped], [overlap, d.overlap], [faint, d.faint], [spill, d.spill], [svgc, await page.evaluate(svgTextOutside)]]) for (const t of arr.slice(0, 6)) chk.add({ at: `${p.rel} (${name})`, msg: t });
      // printed on another paper: browser scales to fit when the dialog's paper differs
      for (const f of cfg.cards.papers) { const b2 = await page.pdf({ format: f, preferCSSPageSize: false, printBackground: false }); const n = (await readPdf(b2)).length; if (n !== want) paper.add({ at: p.rel, msg: `${n} pages when printed on ${f}` }); }
    } catch (e) { count.add({ at: p.rel, msg: 'could not print: ' + e.message.split('\n')[0] }); }
  }
  R.metrics.cards = rows; await ctx.close();
}
