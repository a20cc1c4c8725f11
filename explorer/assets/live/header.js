// The head of the page and what stands about the picture: connector, gate, undo and redo, theme; how the picture is looked at.

import { fillSlider } from './controls.js';
import { attribute, say } from './element.js';
import { Names } from './names.js';
import { rememberWord } from './stored.js';

const $ = (id) => document.getElementById(id);

export class Header {
  constructor(page) {
    const { store, stage } = page;
    this.page = page;
    this.names = new Names($('model'), page, (model) => page.coming.hang(model));
    $('gate-state').addEventListener('change', (e) => page.controls.choose('rig.gate', e.target.value, e));
    $('undo').addEventListener('click', () => store.undo());
    $('redo').addEventListener('click', () => store.redo());
    $('reset').addEventListener('click', () => store.replace({ model: store.state.model, set: {} }));
    $('theme').addEventListener('click', () => {
      const dark = stage.look.paper !== '#f6f0e4';
      document.documentElement.dataset.theme = dark ? 'light' : 'dark';
      rememberWord('pullmap-theme', dark ? 'light' : 'dark');
      stage.ask();
      for (const listener of page.listeners) listener(page);
    });
    addEventListener('keydown', (e) => {
      if (!(e.ctrlKey || e.metaKey) || e.altKey) return;
      // What is being written has an undo of its own, and behind an open dialog nothing changes.
      if (e.target.matches('input:is([type="text"], [type="number"]), textarea') || document.querySelector('dialog[open]')) return;
      const again = e.key.toLowerCase() === 'y' || (e.shiftKey && e.key.toLowerCase() === 'z');
      if (!again && e.key.toLowerCase() !== 'z') return;
      e.preventDefault();
      if (again) store.redo();
      else store.undo();
    });
    $('field').addEventListener('change', (e) => store.look({ field: e.target.value }));
    $('ribbon').addEventListener('change', (e) => store.look({ ribbon: e.target.checked }));
    $('link-ends').addEventListener('change', (e) => store.look({ linked: e.target.checked }));
    $('enlarged').addEventListener('input', (e) => store.look({ enlarged: Number(e.target.value) }));
    $('zoom-in').addEventListener('click', () => page.looked.nearer(1.4));
    $('zoom-out').addEventListener('click', () => page.looked.nearer(1 / 1.4));
    $('zoom-fit').addEventListener('click', () => page.looked.fit());
    $('zoom-nose').addEventListener('click', () => stage.showNear(!stage.near));
    stage.drawn.push(() => {
      const can = stage.canNear;
      if ($('zoom-nose').hidden === can) $('zoom-nose').hidden = !can;
      attribute($('zoom-nose'), 'aria-pressed', stage.near);
    });
  }

  /** All of it as state and view say. */
  show() {
    const { store, controls } = this.page;
    const { state, view } = store;
    this.names.show();
    const gate = controls.chosen('rig.gate');
    for (const radio of $('gate-state').elements) radio.checked = radio.value === gate;
    for (const radio of $('field').elements) radio.checked = radio.value === view.field;
    $('ribbon').checked = view.ribbon;
    $('link-ends').checked = view.linked;
    $('enlarged').value = view.enlarged;
    say($('enlarged-words'), view.enlarged ? `${view.enlarged} times` : 'as it is');
    attribute($('enlarged'), 'aria-valuetext', view.enlarged ? `bending drawn ${view.enlarged} times enlarged` : 'not bent');
    fillSlider($('enlarged'));
    $('undo').disabled = !store.canUndo;
    $('redo').disabled = !store.canRedo;
    $('reset').disabled = Object.keys(state.set).length === 0;
  }
}
