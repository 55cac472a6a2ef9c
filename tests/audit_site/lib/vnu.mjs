// Nu HTML checker over all pages, in batches.
import { spawn } from 'node:child_process';
import { createRequire } from 'node:module';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

export async function auditVnu(root, pages, cfg, R) {
  const jar = createRequire(import.meta.url)('vnu-jar');
  const jarPath = String(jar);
  const err = R.check('vnu.errors', 'fail'), warn = R.check('vnu.warnings', 'warn'), css = R.check('vnu.css', cfg.cssErrors === 'fail' ? 'fail' : 'warn');
  let rels = [...pages.keys()];
  if (cfg.maxVnuPages && rels.length > cfg.maxVnuPages) rels = rels.slice(0, cfg.maxVnuPages);
  err.tested = rels.length;
  const byMsg = {};
  for (let i = 0; i < rels.length; i += 400) {
    const batch = rels.slice(i, i + 400).map((r) => path.join(root, r));
    const out = await new Promise((res) => {
      const c = spawn('java', ['-Xss2m', '-jar', jarPath, '--format', 'json', '--stdout', '--exit-zero-always', ...batch], { stdio: ['ignore', 'pipe', 'pipe'] });
      const o = [], e = []; c.stdout.on('data', (d) => o.push(d)); c.stderr.on('data', (d) => e.push(d));
      c.on('error', (x) => res({ error: x.message })); c.on('close', (code) => res({ code, o: Buffer.concat(o).toString(), e: Buffer.concat(e).toString() }));
    });
    if (out.error) { err.add({ at: 'vnu', msg: 'java cannot be run: ' + out.error }); return; }
    let j; try { j = JSON.parse(out.o || '{"messages":[]}'); } catch { err.add({ at: 'vnu', msg: 'checker crashed: ' + (out.e || out.o).slice(0, 200) }); continue; }
    for (const m of j.messages) {
      let rel = ''; try { rel = path.relative(root, fileURLToPath(m.url)); } catch {}
      const d = { at: `${rel}:${m.lastLine ?? ''}`, msg: m.message };
      if (/^Resource violates Content Security Policy/.test(m.message)) continue; // wrong for 'self' on local files; CSP is tested in the browser
      // Data blocks are neither fetched nor run, so the policy has no say in them; that no page logs an error is tested in the browser.
      if (/^Inline script violates Content Security Policy/.test(m.message) && /application\/ld\+json/.test(m.extract ?? '')) continue;
      const key = m.message.replace(/“[^”]*”/g, '“…”').slice(0, 100);
      if (m.type === 'error') { const isCss = /^CSS:/.test(m.message); (isCss ? css : err).add(d); byMsg[key] = (byMsg[key] || 0) + 1; }
      else if (m.type === 'non-document-error') err.add({ at: rel || 'vnu', msg: m.message });
      else if (m.subType === 'warning') { warn.add(d); byMsg[key] = (byMsg[key] || 0) + 1; }
    }
  }
  if (Object.keys(byMsg).length) R.info('vnuByMessage', byMsg);
}
