// One page of each kind, found in the site itself: every page at the top, and of each folder the list and the first page.
export const kinds = (pages) => {
  const folders = new Map();
  for (const p of pages.filter((x) => x.includes('/'))) {
    const folder = p.split('/')[0];
    const own = folders.get(folder) ?? [];
    const list = p.endsWith('/index.html') || p.endsWith('/all.html');
    if (list || !own.some((x) => !x.list)) own.push({ p, list });
    folders.set(folder, own);
  }
  return [...pages.filter((p) => !p.includes('/')), ...[...folders.values()].flat().map((x) => x.p)];
};
