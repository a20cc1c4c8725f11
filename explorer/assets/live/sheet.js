// The page on paper: one sheet with the map, who carries the load, what fails first, the numbers, the warnings and the
// line of caution. It is made when the browser is about to print, whatever is open or in sight on the screen.

import { LOOKS } from './drawing.js';
import { element } from './element.js';
import { Stage } from './stage.js';

const LOOK = { ...LOOKS.light, paper: '#ffffff', halo: 'rgba(255, 255, 255, 0.92)' };
/** What fits inside margins of 12 mm, pixels of CSS: the lower of the two papers takes what is not known to be A4. The style sheet shows
 * the picture of the paper that is printed on. */
const PAPERS = { letter: 950, a4: 1018 };
/** Letters from large to small, until all of it fits with a picture of some size; then the picture from large to small. */
const LETTERS = [13, 12, 11, 10, 9];
const LEAST = [400, 380, 360, 330, 300];
const [TALLEST, STEP] = [640, 10];
const PICTURE_WIDE = 400;
/** Dots of the picture to a pixel: some 290 to the inch. */
const RATIO = 3;
/** More changed values than these are told by their number. */
const MOST_VALUES = 20;

export class Sheet {
  constructor(page) {
    this.page = page;
    this.home = element('section', { className: 'sheet', id: 'sheet', 'aria-hidden': 'true' });
    document.body.append(this.home);
    addEventListener('beforeprint', () => this.fill());
    addEventListener('afterprint', () => this.home.replaceChildren());
  }

  /** Puts the present state on the sheet. */
  fill() {
    const { page, home } = this;
    if (!page.scene) return;
    page.forecast.show();
    const { head } = page.scene;
    const maps = Object.keys(PAPERS).map((paper) => element('canvas', { className: paper }));
    home.replaceChildren(
      element('header', {}, [copy('mark'), element('p', {}, [element('b', { textContent: head.findings.connector }), `, ${head.rig_words}`])]),
      element('h2', { textContent: head.sentence }),
      copy('hazards'),
      page.scene.state === page.store.state ? '' : element('p', { textContent: 'What is set now has no answer yet, or cannot be built; this is the last state that was solved.' }),
      element('div', { className: 'upper' }, [
        ...maps,
        element('div', { className: 'beside' }, [copy('balance'), page.weakest() ? copy('weakest') : '', part('Highest stresses away from notch and hinge hole', copy('highest')), copy('notch'), this.#values()]),
      ]),
      part('Forecast', this.#forecast()),
      element('footer', {}, [element('p', { textContent: page.told.caution }), element('p', { textContent: `pullmap ${page.told.program}` })]),
    );
    home.classList.add('tried');
    const heights = this.#fit(maps);
    home.classList.remove('tried');
    maps.forEach((canvas, i) => this.#draw(canvas, heights[i]));
  }

  // Tries sizes until the sheet is one page; returns the height of the picture for each paper. Letters are those that fit on the lower one.
  #fit(maps) {
    const { style } = this.home;
    const [first] = maps;
    for (const canvas of maps) canvas.hidden = canvas !== first;
    const tallest = (high, least) => {
      for (let height = TALLEST; height >= least; height -= STEP) {
        first.style.height = `${height}px`;
        if (this.home.scrollHeight <= high) return height;
      }
      return null;
    };
    const [low, ...others] = Object.values(PAPERS);
    let found = null;
    for (let i = 0; i < LETTERS.length && !found; i++) {
      style.fontSize = `${LETTERS[i]}px`;
      found = tallest(low, LEAST[i]);
    }
    const least = LEAST.at(-1);
    const heights = [found ?? least, ...others.map((high) => tallest(high, least) ?? least)];
    maps.forEach((canvas, i) => Object.assign(canvas, { hidden: false }).style.setProperty('height', `${heights[i]}px`));
    return heights;
  }

  #draw(canvas, height) {
    const { store, stage, scene } = this.page;
    const size = [PICTURE_WIDE, height];
    const picture = new Stage(this.home, canvas, store, { size, rem: 13, ratio: RATIO, look: LOOK });
    picture.most = stage.most;
    picture.behind = scene.state !== store.state;
    picture.show(scene);
    picture.now();
  }

  // Bars, story and warnings, without what is opened on the screen for reading.
  #forecast() {
    const warnings = part('To know', copy('warnings'));
    const { limitsNow, limitsOf, scene } = this.page;
    if (!limitsNow?.limits || limitsOf !== scene.state) return element('div', {}, [element('p', { textContent: 'The forecast of this state was still being worked out when this was printed.' }), warnings]);
    const bars = copy('forecast-bars');
    for (const details of bars.querySelectorAll('details')) details.open = false;
    // What is opened on the screen only is a heading of nothing on paper.
    for (const details of bars.querySelectorAll('.range-words details')) details.remove();
    for (const caution of bars.querySelectorAll('.caution-line')) caution.remove();
    for (const range of bars.querySelectorAll('.range-words.waits')) range.replaceWith(element('p', { textContent: 'The 90 % range of this state was still being worked out when this was printed.' }));
    // Nor is a mark of another state: on the screen it is only pale until the new one has come.
    for (const mark of bars.querySelectorAll('.range-band.waits, .range-middle.waits, .marking.waits')) mark.remove();
    bars.lastElementChild.append(warnings);
    return bars;
  }

  // What was changed, with what the model says; of a model of one's own, what it holds.
  #values() {
    const { scene, told, controls } = this.page;
    const { model, set } = scene.state;
    const words = (value) => (typeof value === 'number' ? String(Number(value.toPrecision(6))) : String(value)).replace('-', '\u2212');
    const row = (p, value, was) => {
      const of = told.groups.find((g) => g.id === p.group).title;
      const label = (p.choices ?? []).find((c) => c.value === value)?.label ?? words(value);
      const before = was === undefined || String(was) === String(value) ? '' : ` (model: ${words(was)})`;
      return element('li', {}, [`${of}, ${p.label.toLowerCase()}: `, element('b', { textContent: `${label}${p.unit ? ` ${p.unit}` : ''}` }), before]);
    };
    const own = typeof model !== 'string';
    const value = (p) => set[p.key] ?? (own ? model[p.key] : undefined);
    const given = told.parameters.filter((p) => p.kind !== 'text' && value(p) !== undefined);
    const rows = given.slice(0, MOST_VALUES).map((p) => row(p, value(p), controls.base(p.key)));
    if (given.length > MOST_VALUES) rows.push(element('li', { textContent: `and ${given.length - MOST_VALUES} more, in the model file` }));
    if (!rows.length) return part('Values', element('p', { textContent: 'As in the model, nothing changed.' }));
    return part(own ? 'Values' : 'Changed from the model', element('ul', { className: 'values' }, rows));
  }
}

/** A part of the screen's page as it stands, without what only the screen needs. */
function copy(id) {
  const made = document.getElementById(id).cloneNode(true);
  for (const one of [made, ...made.querySelectorAll('*')]) {
    one.removeAttribute('id');
    one.removeAttribute('data-test');
  }
  for (const button of made.querySelectorAll('button')) button.replaceWith(element('p', {}, [...button.childNodes]));
  return made;
}

/** A heading and what stands under it; nothing where that is empty. */
function part(title, content) {
  if (!content.childNodes.length) return '';
  return element('div', { className: 'part' }, [element('h3', { textContent: title }), content]);
}
