// Between page and program something is wrong: the state cannot be solved, or the program does not answer. What is shown is then the
// last state that was solved, and says so; picture, straps and handles are of that state until an answer comes.

import { measureWords, mistakeWords } from './words.js';

/** A question that is not answered by then: the page says what it still shows. */
const SILENT_MS = 700;
/** A program that cannot be reached is asked again after so long. */
const AGAIN_MS = 500;

/** More mistakes than these stand beside their measures only. */
const MOST_TOLD = 2;
const WHAT_TO_DO = 'Set what is allowed, or undo.';

const SHOWN = 'What is shown is the last state that was solved.';

export class Trouble {
  #silent = 0;
  #again = 0;

  /** `home`: the box that tells it. `ask()` asks for the present state once more. */
  constructor(home, page, ask) {
    Object.assign(this, { home, page, ask, of: null });
  }

  /** The state that the trouble is with; what is shown is not it. */
  get now() {
    return this.of !== null;
  }

  /** A question goes out; `over()` when it was answered, one way or the other. */
  asked() {
    clearTimeout(this.#silent);
    this.#silent = setTimeout(() => this.#tell('The program has not answered yet.', ''), SILENT_MS);
  }

  over() {
    clearTimeout(this.#silent);
  }

  /** An answer came. `present`: of the state that is set. */
  answered(present) {
    clearTimeout(this.#again);
    if (!present && this.refused) return;
    this.refused = false;
    this.page.controls.explain([]);
    this.home.hidden = true;
    this.#mark(null);
  }

  /** The program refused a state, or could not be reached. */
  failed(error) {
    const { told, controls } = this.page;
    const lost = error.status === 0;
    this.refused = !lost;
    // What was wrong with a state before is not what is wrong now. Beside its measure it stands as well.
    controls.explain(error.mistakes);
    const all = error.mistakes.map((m) => {
      const measure = measureWords(m.key, controls.given(m.key), told);
      const words = mistakeWords(m, told);
      return measure ? `${measure}: ${words[0].toLowerCase()}${words.slice(1)}` : words;
    });
    const more = all.length - MOST_TOLD;
    const words = [...all.slice(0, MOST_TOLD), more > 0 ? `And ${more} more, beside ${more > 1 ? 'their measures' : 'its measure'}.` : ''].filter(Boolean).join(' ');
    if (error.status === 422) this.#tell('This is not possible.', all.length ? `${words} ${WHAT_TO_DO}` : words);
    else this.#tell(error.message, words);
    if (lost || error.status === 503) {
      clearTimeout(this.#again);
      this.#again = setTimeout(() => this.ask(), AGAIN_MS);
    }
  }

  #tell(head, words) {
    const { page } = this;
    const strong = document.createElement('b');
    strong.textContent = `${head} `;
    this.home.replaceChildren(strong, [words, page.scene ? SHOWN : ''].filter(Boolean).join(' '));
    this.home.hidden = false;
    this.#mark(page.store.state);
  }

  // The picture and what is dragged in it go back to what was solved.
  #mark(state) {
    const { stage } = this.page;
    const was = this.now;
    this.of = state;
    if (was === this.now) return;
    stage.behind = this.now;
    stage.home.classList.toggle('stale', this.now);
    document.body.classList.toggle('behind', this.now);
    stage.ask();
    this.page.aged();
  }
}
