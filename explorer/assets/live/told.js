// What is said of the state in the picture, beside it: the sentence, hazards under it, the hottest places, the notch, what makes
// the numbers less sure. All sentences come from the program.

import { say } from './element.js';
import { hottest, named, tellsPlaces } from './words.js';

const $ = (id) => document.getElementById(id);

export class Told {
  constructor(stage, start) {
    Object.assign(this, { stage, start });
  }

  show(head) {
    say($('sentence'), head.sentence);
    // Hazards stand where the eye is; what makes numbers less sure comes after them.
    this.#list($('hazards'), [head.stresses, ...head.hazards].filter(Boolean));
    // The first of them may be of the map alone: the metal of a pull does yield.
    $('hazards').classList.toggle('map-first', Boolean(head.stresses));
    this.#list($('warnings'), head.notes);
    this.#hottest(hottest(head));
    $('no-places').hidden = tellsPlaces(head);
    say($('notch'), [head.notch, head.nose?.beside].filter(Boolean).join(' '));
  }

  #list(home, all) {
    while (home.children.length > all.length) home.lastChild.remove();
    all.forEach((words, i) => {
      if (!home.children[i]) home.append(document.createElement('li'));
      say(home.children[i], named(words, this.start));
    });
  }

  #hottest(peaks) {
    const list = $('highest');
    while (list.children.length > peaks.length) list.lastChild.remove();
    peaks.forEach((peak, i) => {
      const button = list.children[i]?.firstChild ?? this.#entry(list, i);
      say(button.children[1], `${Math.round(peak.von_mises_mpa)} MPa`);
      say(button.lastChild, peak.where);
    });
  }

  #entry(list, i) {
    const { stage } = this;
    const button = document.createElement('button');
    button.type = 'button';
    const place = document.createElement('i');
    place.textContent = String(i + 1);
    button.append(place, document.createElement('b'), document.createElement('span'));
    const mark = (on) => () => {
      stage.mark = on ? i : null;
      stage.ask();
    };
    for (const event of ['pointerenter', 'focus']) button.addEventListener(event, mark(true));
    for (const event of ['pointerleave', 'blur']) button.addEventListener(event, mark(false));
    const item = document.createElement('li');
    item.append(button);
    list.append(item);
    return button;
  }
}
