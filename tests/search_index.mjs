// Usage: node tests/search_index.mjs SITE [PACK]
// Loads the prebuilt index of a compiled site with the shipped search library and asserts that every
// muscle is found by its name, by each other name and misspelling, and with one letter wrong, and that each row
// of the table of queries leads first to what it names: first of all, or first of its kind.
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import vm from 'node:vm';

const site = process.argv[2];
if (!site) {
  console.error('name the site folder');
  process.exit(2);
}
const text = (path) => readFileSync(join(site, path), 'utf8');
const context = vm.createContext({ console });
let data = null;
context.fascicleSearchIndex = (value) => { data = value; };
for (const file of ['minisearch.js', 'search.js', 'search-index.js']) {
  vm.runInContext(text(join('assets', file)), context, { filename: file });
}
const { load, find } = context.fascicleSearch;
const index = load(context.MiniSearch, data);
const failures = [];
const expect = (query, href, why) => {
  const at = find(index, query).findIndex((r) => r.href === href);
  if (at < 0 || at > 9) failures.push(`${why}: "${query}" does not lead to ${href} (place ${at})`);
};
const wrong = (word) => [
  word.slice(0, 3) + word.slice(4),
  `${word.slice(0, 2)}x${word.slice(3)}`,
  word.slice(0, 2) + word[3] + word[2] + word.slice(4),
];
let muscles = 0;
let queries = 0;
for (const file of readdirSync(join(site, 'data', 'muscles')).sort()) {
  const json = JSON.parse(text(join('data', 'muscles', file)));
  const href = `muscles/${json.id}.html`;
  muscles += 1;
  const ask = (query, why) => { queries += 1; expect(query, href, why); };
  ask(json.title, 'name');
  ask(json.document.latin, 'Latin name');
  for (const name of json.document.other_names) ask(name, 'other name');
  for (const name of json.document.misspellings) ask(name, 'misspelling');
  const longest = json.title.split(' ').sort((a, b) => b.length - a.length)[0];
  for (const word of wrong(longest)) ask(json.title.replace(longest, word), 'one letter wrong');
}
const table = JSON.parse(readFileSync(new URL('search_queries.json', import.meta.url), 'utf8'));
for (const [query, href, kind] of table) {
  queries += 1;
  const hits = find(index, query).filter((r) => !kind || r.kind === kind);
  if (hits[0]?.href !== href) failures.push(`"${query}" leads to ${hits.slice(0, 3).map((r) => r.href).join(', ') || 'nothing'}, not to ${href}`);
}
if (table.length < 60) failures.push('the table of queries is short');
// The serialised form must survive the library's own round trip unchanged.
const again = JSON.parse(JSON.stringify(index));
if (again.serializationVersion !== 2 || again.index.length !== data.index.length) failures.push('the index changes in a round trip');
if (muscles === 0) failures.push('the site has no muscle');
for (const failure of failures) console.error(failure);
console.log(`${muscles} muscles, ${queries} queries, ${data.documentCount} documents, ${data.index.length} terms, ${failures.length} failures`);
process.exit(failures.length ? 1 : 0);
