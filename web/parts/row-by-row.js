// One row at a time in words, to work from: line by line, with what is made so far, and the place where
// the person is, which the browser keeps for each blanket.

/** @import { RowWords, StrandPlan } from "../types.js" */
/** @import { OpenBlanket } from "../base/open-blanket.js" */
/** @import { Settings } from "../base/settings.js" */

import { fill, h } from "../base/dom.js";
import { http } from "../base/http.js";
import { icon } from "../base/icons.js";
import { t } from "../base/words.js";
import { numberField } from "./fields.js";

/** What in a row is explained below it, and how it is found. */
const GLOSSARY = /** @type {const} */ ([
  ["join", /\bjoin\b/], ["layIn", /\blay in\b/], ["pickUp", /\bpick up\b/], ["over", / over /], ["carryAlong", /\bcarry along\b/],
  ["drawBack", /\bdraw back\b/], ["edge", /\bto the edge\b/], ["lift", /\blift\b/], ["drop", /\bdrop\b/], ["cut", /\bcut\b/],
  ["tail", /\b(start|end) tail\b/], ["waits", /\bits tail waits\b/], ["short", /\bis \d+ short\b/], ["times", /\] \d+ times\b/], ["turn", /, turn\b/],
]);

/**
 * @typedef {object} Line A thing to do in a row.
 * @property {string} words
 * @property {number} from Stitches of the row that are made before it.
 * @property {number} to And after it.
 * @property {string[]} labels The strands it names, the working one first.
 */

/** @typedef {{row: number, line: number}} Spot Both from 0. */

/** @param {number} id */
const shelfOf = (id) => `strandwright-row-${id}`;

export class RowByRow {
  /** The row that is shown, from 0. */
  row = 0;
  /** @type {Spot | null} Where the person is; null: nobody said so yet. */
  #place = null;
  /** @type {Line[]} */
  #lines = [];
  /** Whether the marked line is to be looked at when the row is read. */
  #eager = false;
  /** @type {AbortController | null} */
  #asking = null;

  /**
   * @param {object} options
   * @param {OpenBlanket} options.blanket
   * @param {Settings} options.settings
   * @param {() => StrandPlan} options.plan
   * @param {AbortSignal} options.signal
   * @param {(how: "turned" | "line" | "read") => void} options.moved Another row; another line to look at; or
   *   the words of the row are there.
   * @param {(error: unknown) => void} options.trouble
   */
  constructor({ blanket, settings, plan, signal, moved, trouble }) {
    this.blanket = blanket;
    this.settings = settings;
    this.plan = plan;
    this.signal = signal;
    this.moved = moved;
    this.trouble = trouble;
    this.#place = this.#kept();
    this.field = numberField({ label: t("strands.rowNumber"), value: 1, whole: true, changed: () => this.#typed() });
    this.head = h("h3", {});
    this.mine = h("button", { type: "button", class: "button button-small", hidden: true, on: { click: () => this.#home() } });
    this.list = h("ol", { class: "row-words", "aria-label": t("strands.lines"), on: { keydown: (event) => this.#key(event) } });
    this.glossary = h("dl", { class: "glossary" });
    this.meaning = h("section", { class: "stack", hidden: true, "aria-labelledby": "glossary-title" }, h("h3", { id: "glossary-title" }, t("strands.glossary")), this.glossary);
    const turn = (/** @type {"previous" | "next"} */ name, /** @type {"down" | "up"} */ picture, /** @type {string} */ label, /** @type {number} */ by) =>
      h("button", { type: "button", class: "button button-small", "data-do": `${name}-row`, on: { click: () => this.#turn(this.row + by) } }, icon(picture, 18), label);
    this.element = h("section", { class: "side-block row-block", "aria-labelledby": "row-title" }, h("h2", { id: "row-title", tabindex: -1 }, t("strands.rowByRow")),
      h("div", { class: "row-turn" }, turn("previous", "down", t("strands.previousRow"), -1), this.field.element, turn("next", "up", t("strands.nextRow"), 1)),
      h("div", { class: "row-head" }, h("div", { "aria-live": "polite" }, this.head), this.mine, h("p", { class: "soft" }, t("strands.linesHint"))),
      this.list, this.meaning);
  }

  /**
   * The first row to show.
   * @param {string | null} asked As the address has it.
   * @param {boolean} elsewhere A strand is followed: without a row in the address, its row stays.
   */
  begin(asked, elsewhere) {
    const row = Number(asked);
    if (asked !== null && Number.isInteger(row) && row >= 1 && row <= this.blanket.rows) {
      this.show(row - 1);
      return;
    }
    if (asked !== null || !elsewhere) this.show(this.#place?.row ?? 0);
    if (asked !== null) this.field.fail(t("strands.noRow", { rows: this.blanket.rows }));
  }

  /**
   * Shows a row; where the person is stays as it was.
   * @param {number} row From 0.
   */
  show(row) {
    this.row = Math.min(this.blanket.rows - 1, Math.max(0, row));
    this.field.value = this.row + 1;
    this.#shown();
  }

  #shown() {
    this.field.fail("");
    const away = this.#place !== null && this.#place.row !== this.row;
    this.mine.hidden = !away;
    if (this.#place !== null) this.mine.textContent = t("strands.toMyRow", { row: this.#place.row + 1 });
    this.#lines = [];
    this.moved("turned");
    void this.#read();
  }

  /** Whether the row shown is the one the person is at. */
  get #here() {
    return this.#place === null || this.#place.row === this.row;
  }

  /** The line that is marked, or null in a row that is only looked at. */
  get #line() {
    return this.#here && this.#lines.length > 0 ? Math.min(this.#place?.line ?? 0, this.#lines.length - 1) : null;
  }

  /** @returns {{row: number, from: number, to: number} | null} The marked line on the chart, as boundaries in the way the row is worked. */
  get stretch() {
    const line = this.#line === null ? undefined : this.#lines[this.#line];
    if (line === undefined) return null;
    const leftwards = (this.row % 2 === 0) === (this.settings.value.hand === "right");
    const at = (/** @type {number} */ made) => Math.min(this.blanket.columns, Math.max(0, leftwards ? this.blanket.columns - made : made));
    return { row: this.row, from: at(line.from), to: at(line.to) };
  }

  /** @returns {Spot | null} */
  #kept() {
    try {
      const { row, line } = JSON.parse(localStorage.getItem(shelfOf(this.blanket.id)) ?? "null") ?? {};
      return Number.isInteger(row) && Number.isInteger(line) && row >= 0 && row < this.blanket.rows ? { row, line } : null;
    } catch {
      return null;
    }
  }

  /** @param {Spot} place */
  #keep(place) {
    this.#place = place;
    try {
      localStorage.setItem(shelfOf(this.blanket.id), JSON.stringify(place));
    } catch {
      // A browser that keeps nothing: the place lasts as long as the room.
    }
  }

  /** @param {number} row */
  #turn(row) {
    const next = Math.min(this.blanket.rows - 1, Math.max(0, row));
    // Who only looks around keeps the place.
    if (this.#here && next !== this.row) this.#keep({ row: next, line: 0 });
    this.#eager = true;
    this.show(next);
  }

  #home() {
    this.#eager = true;
    this.show(this.#place?.row ?? 0);
    this.field.input.focus();
  }

  #typed() {
    const typed = this.field.value;
    if (typed === null || typed < 1 || typed > this.blanket.rows) {
      this.field.fail(t("strands.noRow", { rows: this.blanket.rows }));
      return;
    }
    this.row = typed - 1;
    if (this.#place?.row !== this.row) this.#keep({ row: this.row, line: 0 });
    this.#eager = true;
    this.#shown();
  }

  /**
   * Here the person is.
   * @param {number} line
   * @param {boolean} [focus]
   */
  #mark(line, focus = false) {
    this.#keep({ row: this.row, line });
    this.mine.hidden = true;
    this.#point(focus);
    this.moved("line");
  }

  /** @param {boolean} focus */
  #point(focus) {
    const current = this.#line;
    [...this.list.children].forEach((entry, at) => {
      const button = entry.firstElementChild;
      if (!(button instanceof HTMLElement)) return;
      if (at === current) button.setAttribute("aria-current", "true");
      else button.removeAttribute("aria-current");
      button.tabIndex = at === (current ?? 0) ? 0 : -1;
      button.classList.toggle("line-done", current !== null && at < current);
      if (at !== current) return;
      if (focus) button.focus({ preventScroll: true });
      if (focus) button.scrollIntoView({ block: "nearest" });
    });
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (step === undefined || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    const at = [...this.list.children].findIndex((entry) => entry.contains(document.activeElement));
    this.#mark(Math.min(this.#lines.length - 1, Math.max(0, at + step)), true);
  }

  async #read() {
    this.#asking?.abort();
    const asking = new AbortController();
    this.#asking = asking;
    try {
      const words = await http.row(this.blanket.id, this.row + 1, this.settings.value.terms, AbortSignal.any([asking.signal, this.signal]));
      this.#tell(words);
    } catch (error) {
      if (!asking.signal.aborted) this.trouble(error);
    }
  }

  /** @param {RowWords} words */
  #tell({ number, side, direction, text }) {
    const head = t("strands.rowHead", { row: number, side: t(side === "RS" ? "strands.rs" : "strands.ws"), way: t(direction.startsWith("l") ? "strands.leftwards" : "strands.rightwards") });
    if (this.head.textContent !== head) this.head.textContent = head;
    this.#lines = linesOf(text);
    const { strands } = this.plan();
    const colour = new Map(strands.map(({ label, yarn }) => [label, this.blanket.palette[yarn]?.colour ?? "transparent"]));
    fill(this.list, ...this.#lines.map(({ words, from, to, labels }, at) => h("li", {}, h("button", { type: "button", class: "line", on: { click: () => this.#mark(at) } },
      h("span", { class: "line-dots", "aria-hidden": "true" }, ...labels.map((label, place) => {
        const dot = h("span", { class: place === 0 ? "dot" : "dot dot-inside" });
        dot.style.setProperty("background-color", colour.get(label) ?? "transparent");
        return dot;
      })),
      " ", h("span", { class: "line-words" }, words), " ", to > from && h("small", { class: "line-made" }, t("strands.made", { count: to }))))));
    const found = GLOSSARY.filter(([, sign]) => sign.test(text));
    this.meaning.hidden = found.length === 0;
    fill(this.glossary, ...found.flatMap(([name]) => [h("dt", {}, t(`gloss.term.${name}`)), h("dd", {}, t(`gloss.${name}`))]));
    this.#point(false);
    this.moved(this.#eager && this.#line !== null ? "line" : "read");
    this.#eager = false;
  }
}

/**
 * The things to do in a row, with the stitches counted on.
 * @param {string} text
 * @returns {Line[]}
 */
function linesOf(text) {
  let made = 0;
  return text.split("\n").map((line) => line.replace(/^Rows? [^:]*:\s*/, "")).flatMap(parts).map((part) => {
    const words = part.replace(/^\(\d+ made\) /, "");
    const from = made;
    made += stitches(words);
    return { words, from, to: made, labels: [...new Set(words.match(/\b[A-Z]{1,2}\d+\b/g) ?? [])] };
  });
}

/**
 * How many stitches a thing to do makes.
 * @param {string} part
 * @returns {number}
 */
function stitches(part) {
  const [, inside = "", times = "0"] = /^\[(.*)\] (\d+) times/.exec(part) ?? [];
  if (inside !== "") return parts(inside).reduce((sum, one) => sum + stitches(one), 0) * Number(times);
  return Number(/^(\d+) [sd]c [A-Z]/.exec(part)?.[1] ?? 0);
}

/**
 * A list split at its semicolons, those inside brackets left alone.
 * @param {string} text
 * @returns {string[]}
 */
function parts(text) {
  /** @type {string[]} */
  const found = [];
  let depth = 0;
  let part = "";
  for (const letter of text.replace(/\s+/g, " ")) {
    if (letter === "[") depth += 1;
    if (letter === "]") depth -= 1;
    if (letter === ";" && depth === 0) {
      found.push(part.trim());
      part = "";
    } else {
      part += letter;
    }
  }
  if (part.trim() !== "") found.push(part.trim());
  return found;
}
