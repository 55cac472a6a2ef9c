// Text in drawings, which axe-core leaves undecided: its contrast with what is painted under it, and whether an edge cuts it.
// Each function runs inside the page.
// runs in page: SVG text outside its root svg viewport (clipped labels on plots)
export function svgTextOutside() {
  const out = [];
  for (const t of document.querySelectorAll('svg text')) {
    let s = t.ownerSVGElement; if (!s) continue; while (s.ownerSVGElement) s = s.ownerSVGElement;
    if (getComputedStyle(s).overflow === 'visible' || !t.textContent.trim()) continue;
    if (!t.checkVisibility?.({ visibilityProperty: true })) continue;
    const a = t.getBoundingClientRect(), b = s.getBoundingClientRect(); if (!a.width || !b.width) continue;
    if (a.left < b.left - 1.5 || a.right > b.right + 1.5 || a.top < b.top - 2.5 || a.bottom > b.bottom + 2.5) out.push(`svg text "${t.textContent.trim().slice(0, 40)}" is cut by the svg edge`);
  }
  return out;
}

// runs in page: contrast of SVG text against what is painted under it (axe leaves SVG text undecided)
export function svgTextContrast() {
  const out = []; const y0 = scrollY;
  const rgb = (c) => { const m = /rgba?\(([\d.]+),\s*([\d.]+),\s*([\d.]+)(?:,\s*([\d.]+))?/.exec(c || ''); return m ? [+m[1], +m[2], +m[3], m[4] === undefined ? 1 : +m[4]] : null; };
  const over = (a, b) => [0, 1, 2].map((i) => a[3] * a[i] + (1 - a[3]) * b[i]);
  const lum = (c) => { const f = (v) => { v /= 255; return v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; }; return 0.2126 * f(c[0]) + 0.7152 * f(c[1]) + 0.0722 * f(c[2]); };
  for (const t of [...document.querySelectorAll('svg text')].slice(0, 400)) {
    if (!t.textContent.trim() || !t.checkVisibility({ visibilityProperty: true, opacityProperty: true })) continue;
    let b = t.getBoundingClientRect(); if (!b.width || !b.height) continue;
    if (b.top < 0 || b.bottom > innerHeight) { t.scrollIntoView({ block: 'center', behavior: 'instant' }); b = t.getBoundingClientRect(); }
    const cs = getComputedStyle(t); const fg = rgb(cs.fill); if (!fg || cs.fill.startsWith('url')) continue;
    const under = document.elementsFromPoint(b.left + b.width / 2, b.top + b.height / 2); let layers = [], unknown = false;
    for (const e of under) {
      if (e === t || t.contains(e) || (e.closest && e.closest('text'))) continue;
      const s = getComputedStyle(e); let c;
      if (e instanceof SVGGeometryElement) { if (s.fill.startsWith('url')) { unknown = true; break; } c = rgb(s.fill); if (c) c = [...c.slice(0, 3), c[3] * s.fillOpacity * s.opacity]; } else { if (s.backgroundImage !== 'none') { unknown = true; break; } c = rgb(s.backgroundColor); }
      if (c && c[3] > 0) { layers.push(c); if (c[3] >= 1) break; }
    }
    if (unknown) continue;
    let bg = matchMedia('(prefers-color-scheme:dark)').matches && /dark/.test(getComputedStyle(document.documentElement).colorScheme) ? [18, 18, 18] : [255, 255, 255];
    for (const l of layers.reverse()) bg = over(l, bg);
    const f = over([fg[0], fg[1], fg[2], fg[3] * cs.fillOpacity * cs.opacity], bg); const [a, c] = [lum(f), lum(bg)].sort((x, y) => y - x); const r = (a + 0.05) / (c + 0.05);
    const big = b.height > 30; if (r < (big ? 3 : 4.5)) out.push(`svg text "${t.textContent.trim().slice(0, 30)}" ${r.toFixed(1)}:1`);
  }
  scrollTo(0, y0); return out.slice(0, 10);
}
