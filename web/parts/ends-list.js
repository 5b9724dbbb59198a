// Every end to weave in, ten rows at a time, to tick off. The ticks are kept by the program.

/** @import { EndMark, PaletteYarn } from "../types.js" */
/** @import { Settings } from "../base/settings.js" */

import { fill, h } from "../base/dom.js";
import { inkOn, length } from "../base/measure.js";
import { t } from "../base/words.js";

/** Rows that stand together. */
const ROWS = 10;

export class EndsList {
  /** @type {EndMark[]} */
  #ends = [];
  /** @type {PaletteYarn[]} */
  #palette = [];
  /** @type {Set<number>} Stretches of rows that are open. */
  #open = new Set([0]);

  /** @param {{settings: Settings, tick: (marks: string[], ticked: boolean) => Promise<boolean>}} options `tick`: whether it was kept. */
  constructor({ settings, tick }) {
    this.settings = settings;
    this.keep = tick;
    this.progress = h("p", { class: "list-progress", role: "status" });
    this.list = h("div", { class: "ends-rows" });
    this.element = h("section", { class: "stack", "aria-labelledby": "ends-title" }, h("h2", { id: "ends-title" }, t("ends.title")), h("p", { class: "soft" }, t("ends.help")), this.progress, this.list);
  }

  /**
   * @param {EndMark[]} ends
   * @param {PaletteYarn[]} palette
   */
  show(ends, palette) {
    this.#ends = ends;
    this.#palette = palette;
    /** @type {Map<number, EndMark[]>} */
    const stretches = new Map();
    for (const end of ends) {
      const at = Math.floor((end.row - 1) / ROWS);
      stretches.set(at, [...(stretches.get(at) ?? []), end]);
    }
    fill(this.list, ...[...stretches].map(([at, own]) => this.#stretch(at, own)));
    this.#count();
  }

  #count() {
    this.progress.textContent = t("ends.progress", { done: this.#ends.filter(({ ticked }) => ticked).length, of: this.#ends.length });
  }

  /**
   * @param {number} at
   * @param {EndMark[]} ends
   */
  #stretch(at, ends) {
    const list = h("ul", { class: "tick-list" });
    const summary = h("summary", {});
    const told = () => { summary.textContent = t("ends.rows", { first: at * ROWS + 1, last: at * ROWS + ROWS, done: ends.filter(({ ticked }) => ticked).length, of: ends.length }); };
    const shown = () => {
      // What is closed is not made: a large blanket has thousands of ends.
      fill(list, ...(element.open ? ends.map((end) => this.#end(end, told)) : []));
      if (element.open) this.#open.add(at);
      else this.#open.delete(at);
    };
    const element = h("details", { class: "ends-stretch", open: this.#open.has(at), on: { toggle: shown } }, summary, list);
    told();
    return element;
  }

  /**
   * @param {EndMark} end
   * @param {() => void} told
   */
  #end(end, told) {
    const { units } = this.settings.value;
    const { colour = "", symbol = "", name = "" } = this.#palette[end.yarn] ?? {};
    const item = h("li", { class: end.ticked ? "tick-one tick-done" : "tick-one" });
    const change = async (/** @type {HTMLInputElement} */ box) => {
      const show = (/** @type {boolean} */ ticked) => {
        end.ticked = ticked;
        box.checked = ticked;
        item.classList.toggle("tick-done", ticked);
        told();
        this.#count();
      };
      const wanted = box.checked;
      show(wanted);
      if (!(await this.keep([end.mark], wanted))) show(!wanted);
    };
    item.append(h("label", { class: "tick-label" },
      h("input", { type: "checkbox", checked: end.ticked, on: { change: (event) => void change(event.target) } }),
      h("span", { class: "chip-swatch", "aria-hidden": "true", style: { "background-color": colour, color: colour === "" ? "inherit" : inkOn(colour) } }, symbol),
      h("span", { class: "tick-words" }, h("span", {}, h("strong", {}, end.label), ` ${name} · ${t(`ends.of.${end.of}`, { row: end.row, after: end.after })}`),
        h("span", { class: "soft" }, t("ends.left", { over: end.over, row: end.over_in, missing: end.missing, left: length(end.left_cm, units) })))));
    return item;
  }
}
