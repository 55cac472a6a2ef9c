// The room view: the step lives in the address, this adds the keyboard, the focus and the times. Nothing is kept.
(() => {
  'use strict';
  const screens = [...document.querySelectorAll('.screen')];
  const said = document.getElementById('room-said');
  const strip = document.getElementById('room-running');
  const timers = [];
  const shown = () => screens.find((s) => s.id === location.hash.slice(1)) ?? screens[0];
  const clock = (seconds) => `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, '0')}`;

  // Whole seconds by the difference of times, so that a hidden page and a sleeping screen lose none.
  const elapsed = (t) => Math.max(0, Math.floor(((t.since === null ? 0 : Date.now() - t.since) + t.before) / 1000));
  const stateOf = (t, seconds) => {
    if (t.since === null && t.before === 0) return 'off';
    if (t.most !== null && seconds > t.most) return 'past';
    return seconds >= t.least ? 'reached' : 'short';
  };
  const shapes = { off: 'dash', short: 'ring', reached: 'circle', past: 'octagon' };
  const words = (t, state) => ({
    off: 'not running',
    short: `not yet: ${t.shown}`,
    reached: t.least === t.most ? `reached: ${t.shown}` : `least reached: ${t.shown}`,
    past: `past the most: ${t.shown}. End it.`,
  })[state];
  const showTimer = (t) => {
    const seconds = elapsed(t);
    const state = stateOf(t, seconds);
    const word = `${t.since === null && state !== 'off' ? 'stopped, ' : ''}${words(t, state)}`;
    if (t.clock.textContent !== clock(seconds)) t.clock.textContent = clock(seconds);
    if (t.word.textContent !== word) t.word.textContent = word;
    t.use.setAttribute('href', `#m-${shapes[state]}`);
    t.box.dataset.state = state;
    t.button.textContent = t.since === null ? 'Start' : 'Stop';
    if (t.since !== null && state !== t.told && (state === 'reached' || state === 'past')) {
      t.told = state;
      said.textContent = `${t.at}, ${t.name}: ${words(t, state)}`;
    }
  };
  // Times of other steps that are still running stand in the bar, so that nobody forgets a pack while looking ahead.
  const showStrip = () => {
    const screen = shown();
    const away = timers.filter((t) => t.since !== null && t.screen !== screen);
    strip.hidden = away.length === 0;
    while (strip.children.length > away.length) strip.lastChild.remove();
    while (strip.children.length < away.length) strip.append(document.createElement('a'));
    away.forEach((t, i) => {
      const text = `${t.at}, ${t.name}: ${clock(elapsed(t))}, ${words(t, stateOf(t, elapsed(t)))}`;
      strip.children[i].href = `#${t.screen.id}`;
      if (strip.children[i].textContent !== text) strip.children[i].textContent = text;
    });
    const place = screen.querySelector('.room-bar') ?? screen.querySelector('.room-body');
    if (strip.parentNode !== place) place.append(strip);
  };
  let beat = 0;
  const tick = () => {
    timers.forEach(showTimer);
    showStrip();
    if (beat && timers.every((t) => t.since === null)) { clearInterval(beat); beat = 0; }
  };
  const press = (t) => {
    if (t.since === null) { t.before = 0; t.told = ''; t.since = Date.now(); } else { t.before = Date.now() - t.since; t.since = null; }
    if (!beat) beat = setInterval(tick, 200);
    tick();
  };
  for (const box of document.querySelectorAll('.timer')) {
    const screen = box.closest('.screen');
    const t = {
      box, screen, name: box.dataset.name, shown: box.dataset.shown, at: screen.querySelector('.room-at').textContent,
      least: Number(box.dataset.least), most: 'most' in box.dataset ? Number(box.dataset.most) : null, since: null, before: 0, told: '',
      clock: box.querySelector('.timer-clock'), word: box.querySelector('.timer-word'), use: box.querySelector('use'), button: box.querySelector('.timer-do'),
    };
    timers.push(t);
    box.querySelector('button').addEventListener('click', () => press(t));
    box.hidden = false;
  }
  document.addEventListener('visibilitychange', tick);

  const arrive = () => {
    const screen = shown();
    const heading = screen.querySelector('h1');
    const at = screen.querySelector('.room-at');
    document.title = `${at ? `${at.textContent} – ` : ''}${document.querySelector('.room-name').textContent}`;
    showStrip();
    heading.focus({ preventScroll: true });
    screen.scrollIntoView({ block: 'start' });
  };
  window.addEventListener('hashchange', arrive);
  document.addEventListener('keydown', (event) => {
    if (event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
    const ways = { ArrowLeft: '.room-back, .room-return', ArrowRight: '.room-next', Escape: '.room-return' };
    const way = ways[event.key] && shown().querySelector(ways[event.key]);
    if (!way) return;
    event.preventDefault();
    way.click();
  });
  showStrip();
})();
