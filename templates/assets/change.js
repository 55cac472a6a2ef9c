// Is a change larger than the error? Two numbers against the thresholds in the list; nothing is kept.
(() => {
  'use strict';
  const form = document.getElementById('change');
  if (!form) return;
  const [before, after] = ['change-before', 'change-after'].map((id) => document.getElementById(id));
  const who = document.getElementById('change-who');
  const said = document.getElementById('change-said');
  const { unit, one, better } = form.dataset;
  // Digits of decimal arithmetic, not of doubles: 0.3 - 0.1 is 0.2.
  const tidy = (x) => Number(x.toFixed(6));
  const amount = (x) => `${tidy(x)}${/^[/°%]/.test(unit) ? '' : ' '}${tidy(x) === 1 ? one : unit}`;
  const way = (up) => `${up ? 'upwards' : 'downwards'}${better ? ` (${better} is better)` : ''}`;
  const read = (field) => (field.value.trim() === '' || field.validity.badInput ? null : Number(field.value));
  const sentence = () => {
    const [from, to] = [read(before), read(after)];
    if (from === null || to === null) return 'Enter both readings.';
    const outside = [before, after].some((f) => f.validity.rangeUnderflow || f.validity.rangeOverflow);
    if (outside) return `A reading must lie between ${before.min} and ${before.max} ${unit}.`;
    const { low, high, level } = who.selectedOptions[0].dataset;
    const size = tidy(Math.abs(to - from));
    const what = size === 0 ? `A change of ${amount(0)}` : `One person's change of ${amount(size)} ${way(to > from)}`;
    if (size < Number(low)) return `${what} lies within what repeated measuring gives (up to ${amount(Number(low))}, ${level}). It cannot be told from error.`;
    if (size < Number(high)) return `${what} may lie within what repeated measuring gives (${amount(Number(low))} to ${amount(Number(high))}, ${level}). It may be error.`;
    return `${what} is as large as what repeated measuring gives, or larger (${amount(Number(high))}, ${level}). Why, and whether it matters or lasts, is for your judgement.`;
  };
  const show = () => { said.textContent = sentence(); };
  for (const field of [before, after, who]) field.addEventListener('input', show);
  form.addEventListener('submit', (event) => event.preventDefault());
  form.hidden = false;
  show();
})();
