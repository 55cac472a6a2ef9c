// Does a card still hold? The tables of this page are the answer; nothing is kept or sent.
(() => {
  'use strict';
  const form = document.getElementById('card-check');
  if (!form) return;
  const field = document.getElementById('card-code');
  const said = document.getElementById('card-said');
  const { letters, taken } = form.dataset;
  const meant = (c) => { const i = taken.indexOf(c); return i >= 0 && i % 2 === 0 ? taken[i + 1] : c; };
  const read = (text) => [...text.toUpperCase()].filter((c) => !/[\s-]/.test(c)).map(meant);
  // The check letter: the sum of value times place, modulo the number of letters.
  const fits = (code) => {
    const values = code.map((c) => letters.indexOf(c));
    const sum = values.slice(0, -1).reduce((all, v, i) => all + v * (i + 1), 0);
    return sum % letters.length === values[values.length - 1];
  };
  const answer = (text) => {
    const code = read(text);
    if (code.length !== 8) return `A check code has 8 letters; this has ${code.length}.`;
    const wrong = code.find((c) => !letters.includes(c));
    if (wrong) return `No check code has the letter ${wrong}. Read it again from the card.`;
    if (!fits(code)) return 'Misread or mistyped: the last letter does not fit the others. Read it again from the card.';
    const shown = `${code.slice(0, 4).join('')}-${code.slice(4).join('')}`;
    const row = document.querySelector(`tr[data-code="${shown}"]`);
    if (!row) return `${shown}: not a code of this pack. Do not use the card until its pack is known.`;
    // A site is as old as the day on which it was compiled; the day of a review may have passed since.
    const { by } = row.dataset;
    const late = by && new Date().toISOString().slice(0, 10) > by ? ' That day has passed: do not go by the card until it has been looked at again.' : '';
    return `${shown}, ${row.cells[1].textContent}: ${row.querySelector('.said').textContent}${late}`;
  };
  const show = () => { said.textContent = field.value.trim() === '' ? '' : answer(field.value); };
  form.addEventListener('submit', (event) => { event.preventDefault(); show(); });
  field.addEventListener('input', () => { if (read(field.value).length >= 8) show(); else said.textContent = ''; });
  form.hidden = false;
  const asked = decodeURIComponent(location.hash.slice(1));
  if (asked) { field.value = asked; show(); }
})();
