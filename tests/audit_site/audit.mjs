#!/usr/bin/env node
// Audits a folder of built HTML. Exit 0 = no FAIL, 1 = at least one FAIL, 2 = could not run.
import fs from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { Report } from './lib/report.mjs';
import { auditStatic, samplePages } from './lib/static.mjs';
import * as B from './lib/browser.mjs';
import { auditPrint } from './lib/print.mjs';
import { auditVnu } from './lib/vnu.mjs';

export const PHASES = ['static', 'vnu', 'nojs', 'keyboard', 'xss', 'print', 'search'];
export const DEFAULTS = {
  sample: 10, settleMs: 150, maxTabs: 400, noJsMinWords: 25, seed: 1, basePath: '/sub/site/',
  cssErrors: 'warn', maxVnuPages: 0, ignoreFragments: [],
  controls: [], // [{ "page": "index.html", "selector": "#q" }]
  cards: { match: [], pages: 1, papers: ['A5', 'A4', 'Letter'], max: 12, minPt: 6 },
  search: null, // { "page": "index.html", "selector": "...", "queries": [["text", "path/of/result.html"]] }
  budgets: { searchRecall: { title: 0.9, prefix: 0.8, typo: 0.7 } },
};
const merge = (a, b) => { const o = { ...a }; for (const [k, v] of Object.entries(b || {})) o[k] = v && typeof v === 'object' && !Array.isArray(v) && a[k] && typeof a[k] === 'object' && !Array.isArray(a[k]) ? merge(a[k], v) : v; return o; };

export async function runAudit(dir, opts = {}, only = PHASES, shared) {
  const root = fs.realpathSync(dir); const cfg = merge(DEFAULTS, opts); const R = new Report();
  const timed = async (name, f) => { if (!only.includes(name)) return; const t = Date.now(); try { await f(); } catch (e) { R.check('audit.' + name, 'fail').add({ at: name, msg: 'phase crashed: ' + String(e.stack || e).split('\n').slice(0, 3).join(' ') }); } R.phases[name] = +((Date.now() - t) / 1000).toFixed(1); };
  // other phases need the page index, so always parse; drop static results if not asked for
  const S = new Report(); const st = auditStatic(root, cfg, only.includes('static') ? R : S);
  if (only.includes('static')) R.phases.static = 0;
  const pages = st.pages; if (!pages.size) throw new Error('no HTML files found');
  const named = (cfg.alsoSample ?? []).filter((r) => pages.has(r));
  const sample = opts.pages ?? [...new Set([...samplePages(pages, cfg.sample, cfg.seed), ...named])];
  R.info('samplePages', sample);
  await timed('vnu', () => auditVnu(root, pages, cfg, R));
  if (only.some((p) => !['static', 'vnu'].includes(p))) {
    const browser = shared ?? (await B.launch()); const srv = await B.serve(root, cfg.basePath);
    R.info('chromium', browser.version());
    try {
      await timed('nojs', () => B.auditNoJs(browser, root, srv.url, sample, cfg, R));
      await timed('keyboard', () => B.auditKeyboard(browser, root, srv.url, sample, cfg, R));
      const inputPages = sample.filter((r) => pages.get(r).search || r === 'index.html').slice(0, 4);
      await timed('xss', () => B.auditXssInput(browser, root, srv.url, inputPages, cfg, R));
      await timed('print', () => auditPrint(browser, root, srv.url, pages, cfg, R));
      await timed('search', () => B.auditSearch(browser, root, srv.url, pages, cfg, R, st.set));
    } finally { srv.close(); if (!shared) await browser.close(); }
  }
  return R;
}

if (process.argv[1] && import.meta.url === pathToFileURL(fs.realpathSync(process.argv[1])).href) {
  const a = process.argv.slice(2); const o = {}; let dir;
  for (let i = 0; i < a.length; i++) { if (a[i].startsWith('--')) { const [k, v] = a[i].slice(2).split('='); o[k] = v ?? (a[i + 1] && !a[i + 1].startsWith('--') && !['quiet', 'json-only'].includes(k) ? a[++i] : true); } else dir = a[i]; }
  if (!dir || o.help) { console.error('usage: audit.mjs <site-folder> [--config file.json] [--out report.json] [--only phase,phase] [--skip phase,phase] [--sample N] [--pdf-dir DIR] [--json-only]\nphases: ' + PHASES.join(' ')); process.exit(2); }
  try {
    const cfg = o.config ? JSON.parse(fs.readFileSync(o.config, 'utf8')) : {};
    if (o.sample) cfg.sample = Number(o.sample); if (o['pdf-dir']) cfg.pdfDir = path.resolve(o['pdf-dir']);
    const only = (o.only ? o.only.split(',') : PHASES).filter((p) => !(o.skip ? o.skip.split(',') : []).includes(p));
    const R = await runAudit(dir, cfg, only); const j = R.toJSON();
    if (o.out) fs.writeFileSync(o.out, JSON.stringify(j, null, 1) + '\n');
    if (!o['json-only']) console.log(R.table() + '\n');
    const { checks, info, ...sum } = j; console.log(JSON.stringify({ ...sum, checks: Object.fromEntries(Object.entries(checks).map(([k, v]) => [k, v.status + (v.count ? ':' + v.count : '')])) }));
    process.exit(R.failed.length ? 1 : 0);
  } catch (e) { console.error('audit could not run: ' + (e.stack || e)); process.exit(2); }
}
