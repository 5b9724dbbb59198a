// Words as stitches: what they say, how large, in which font; and how they look, stitch by stitch.

/** @import { Lettering } from "../types.js" */

import { freshId, h } from "../base/dom.js";
import { readCells } from "../base/open-blanket.js";
import { t } from "../base/words.js";
import { choice, numberField } from "./fields.js";

/** How long to wait for the next letter before the words are set, in milliseconds. */
const REST = 250;
/** The largest font file taken. */
const MAX_FONT = 8 * 1024 * 1024;

/** @typedef {{columns: number, rows: number, cells: Uint8Array}} Block */

export class LetteringForm {
  /** @type {"left" | "centre" | "right"} */
  #align = "centre";
  /** @type {string | null} */
  #font = null;
  /** @type {Block | null} As it stands. */
  block = null;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;
  #asked = 0;

  /**
   * @param {{set: (lettering: Lettering) => Promise<{columns: number, rows: number, cells: string}>, proportion: number, room: number | null, changed?: () => void}} options
   *   `set`: asks the program for the stitches. `proportion`: height of a stitch over its width. `room`: stitches across there is room for.
   */
  constructor({ set, proportion, room, changed }) {
    this.set = set;
    this.proportion = proportion;
    this.changed = changed;
    const id = freshId("words");
    const again = () => this.#soon();
    this.text = h("textarea", { id, rows: 3, maxlength: 2000, on: { input: again } });
    this.height = numberField({ label: t("words.height"), value: 7, whole: true, unit: t("picture.unitRows"), changed: again });
    this.spacing = numberField({ label: t("words.spacing"), value: null, whole: true, unit: t("picture.unitStitches"), placeholder: t("words.usual"), changed: again });
    this.gap = numberField({ label: t("words.gap"), value: 2, whole: true, unit: t("picture.unitRows"), changed: again });
    this.width = numberField({ label: t("words.width"), value: room, whole: true, unit: t("picture.unitStitches"), placeholder: t("words.noWidth"), changed: again });
    this.file = h("input", { type: "file", accept: ".ttf,.otf,font/ttf,font/otf", id: freshId("font"), on: { change: () => void this.#readFont() } });
    this.canvas = h("canvas", { class: "words-sheet", role: "img", "aria-label": t("words.preview") });
    this.message = h("p", { class: "soft", role: "status" });
    this.element = h("div", { class: "stack" },
      h("label", { class: "field", for: id }, h("span", {}, t("words.text")), this.text),
      h("div", { class: "field-row" }, this.height.element, this.spacing.element, this.gap.element, this.width.element),
      choice({
        label: t("words.align"), value: this.#align, options: [["left", t("words.left")], ["centre", t("words.centre")], ["right", t("words.right")]],
        changed: (align) => { this.#align = align; again(); },
      }),
      h("label", { class: "field", for: this.file.id }, h("span", {}, t("words.font")), this.file, h("small", {}, t("words.fontHint"))),
      h("div", { class: "words-stand" }, this.canvas), this.message);
  }

  /** @returns {Lettering} */
  get value() {
    return {
      text: this.text.value, height: this.height.value ?? 7, spacing: this.spacing.value, line_gap: this.gap.value ?? 2, align: this.#align,
      width: this.width.value, font: this.#font,
    };
  }

  async #readFont() {
    const file = this.file.files?.[0];
    this.#font = null;
    if (file !== undefined && file.size > MAX_FONT) {
      this.message.textContent = t("words.fontLarge");
      return;
    }
    if (file !== undefined) {
      const bytes = new Uint8Array(await file.arrayBuffer());
      let text = "";
      for (let at = 0; at < bytes.length; at += 8192) text += String.fromCharCode(...bytes.subarray(at, at + 8192));
      this.#font = btoa(text);
    }
    this.#soon();
  }

  #soon() {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.#ask(), REST);
  }

  async #ask() {
    const asked = ++this.#asked;
    if (this.text.value.trim() === "") {
      this.#show(null, "");
      return;
    }
    try {
      const { columns, rows, cells } = await this.set(this.value);
      if (asked === this.#asked) this.#show({ columns, rows, cells: readCells(cells) }, t("words.size", { columns, rows }));
    } catch (error) {
      if (asked !== this.#asked) return;
      const { what, hint } = /** @type {{what?: string, hint?: string}} */ (error);
      this.#show(null, what === undefined ? String(error) : `${what}. ${hint ?? ""}`);
    }
  }

  /**
   * @param {Block | null} block
   * @param {string} message
   */
  #show(block, message) {
    this.block = block;
    this.message.textContent = message;
    const context = this.canvas.getContext("2d");
    if (context !== null && block !== null) {
      const cell = Math.max(2, Math.min(12, Math.floor(900 / block.columns)));
      const tall = Math.max(2, Math.round(cell * this.proportion));
      this.canvas.width = block.columns * cell;
      this.canvas.height = block.rows * tall;
      context.fillStyle = getComputedStyle(this.canvas).color;
      block.cells.forEach((inked, at) => {
        if (inked) context.fillRect((at % block.columns) * cell, (block.rows - 1 - Math.floor(at / block.columns)) * tall, cell - (cell > 3 ? 1 : 0), tall - (tall > 3 ? 1 : 0));
      });
    }
    this.canvas.hidden = block === null;
    this.changed?.();
  }
}
