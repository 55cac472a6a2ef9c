// Usage: node tests/search_parts.mjs FOLDER; FOLDER/whole and FOLDER/parts hold an index in both forms.
// Asks both the same and compares results, their order and their scores. Run by tests/search_parts.rs.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import vm from 'node:vm';

const folder = process.argv[2];
const assets = new URL('../templates/assets/', import.meta.url);
const context = vm.createContext({});
for (const file of ['minisearch.js', 'search.js']) vm.runInContext(readFileSync(new URL(file, assets), 'utf8'), context);
const { load, find } = context.fascicleSearch;
const run = (path) => vm.runInContext(readFileSync(join(folder, path), 'utf8'), context);

let data;
context.fascicleSearchIndex = (value) => { data = value; };
run('whole/assets/search-index.js');
const whole = load(context.MiniSearch, data);
const documents = Object.values(data.storedFields);
run('parts/assets/search-index.js');
const parts = () => load(context.MiniSearch, data);

// As a browser does: what lacks is fetched, and the question is asked again.
const answer = (index, text, fits) => {
  context.fascicleSearchWords = index.parts.words;
  context.fascicleSearchTitles = index.parts.shown;
  for (let round = 0; round < 9; round += 1) {
    let lacks = [];
    const found = find(index, text, fits, (numbers) => { lacks = numbers; });
    if (!lacks.length) {
      for (const block of new Set(found.map((r) => Math.floor(r.id / index.parts.titles)))) run(`parts/assets/search/titles-${block}.js`);
      return find(index, text, fits, () => assert.fail('nothing more can lack'));
    }
    for (const n of lacks) run(`parts/assets/search/words-${n}.js`);
  }
  return assert.fail(`${text}: no end`);
};
const plain = (results) => results.map((r) => [r.id, r.title, r.href, r.kind, r.note ?? '', r.score]);

const table = JSON.parse(readFileSync(new URL('search_queries.json', import.meta.url), 'utf8')).map((row) => row[0]);
const titles = documents.filter((d) => d.kind === 'Muscles' || d.kind === 'Techniques').map((d) => d.title);
const typed = titles.flatMap((t) => [1, 2, 3, 5].map((n) => t.slice(0, n)).concat(t, t.slice(0, 2) + t.slice(3)));
const questions = [...table, ...typed, 'nothing like this', 'zzzz'];
assert.ok(questions.length > 150);
const filled = parts();
for (const text of questions) {
  // In an index that has been asked before, and in a fresh one.
  for (const index of [filled, parts()]) assert.deepEqual(plain(answer(index, text, () => true)), plain(find(whole, text, () => true)), text);
}
const sifted = (r) => r.kind === 'Muscles' && (r.parts ?? []).includes(documents.find((d) => d.kind === 'Muscles').parts[0]);
const some = plain(answer(filled, 'tr', sifted));
assert.ok(some.length > 0);
assert.deepEqual(some, plain(find(whole, 'tr', sifted)));
const fresh = parts();
answer(fresh, 'soleus', () => true);
assert.ok(fresh.parts.come.size < new Set(fresh.parts.of.values()).size, 'one question does not load every part');
console.log(`${questions.length} questions answered the same`);
