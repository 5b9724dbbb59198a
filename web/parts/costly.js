// Shows which stitches cost most: those of strands that make only a few. Each strand has two ends,
// however short it is.

/** @import { StrandPlan } from "../types.js" */
/** @import { Bus } from "../base/bus.js" */
/** @import { OpenBlanket } from "../base/open-blanket.js" */
/** @import { Colours } from "../canvas/painter.js" */
/** @import { Cell, View } from "../canvas/view.js" */

import { h } from "../base/dom.js";
import { http } from "../base/http.js";
import { icon } from "../base/icons.js";
import { t } from "../base/words.js";

/** A strand of so many stitches, or fewer, is costly. */
const FEW = 5;
/** How long the hand must rest before the plan is asked for again, in milliseconds. */
const REST = 400;

/** @typedef {Cell & {count: number, strand: number}} Run Stitches side by side, from their left. */

export class Costly {
  /** @type {Run[]} */
  #runs = [];
  #at = -1;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #resting;
  /** @type {AbortController | null} */
  #asking = null;

  /**
   * @param {object} options
   * @param {OpenBlanket} options.blanket
   * @param {Bus} options.bus
   * @param {AbortSignal} options.signal
   * @param {() => void} options.changed What is marked changed.
   * @param {(cell: Cell) => void} options.show Brings a stitch into sight.
   */
  constructor({ blanket, bus, signal, changed, show }) {
    this.blanket = blanket;
    this.bus = bus;
    this.signal = signal;
    this.changed = changed;
    this.show = show;
    this.button = h("button", {
      type: "button", class: "button button-small toggle", "aria-pressed": "false", title: t("costly.hint", { few: FEW }), on: { click: () => this.#toggle() },
    }, t("costly.toggle"));
    this.words = h("span", { role: "status" });
    this.next = h("button", { type: "button", class: "button button-small", on: { click: () => this.#next() } }, t("costly.next"), icon("next", 18));
    this.element = h("div", { class: "costly", hidden: true }, this.words, this.next);
    const again = () => {
      clearTimeout(this.#resting);
      if (this.on) this.#resting = setTimeout(() => void this.#ask(), REST);
    };
    bus.on("numbers", again, signal);
    signal.addEventListener("abort", () => clearTimeout(this.#resting), { once: true });
  }

  get on() {
    return this.button.getAttribute("aria-pressed") === "true";
  }

  #toggle() {
    const on = !this.on;
    this.button.setAttribute("aria-pressed", String(on));
    this.element.hidden = !on;
    this.#runs = [];
    this.#at = -1;
    this.words.textContent = on ? t("costly.looking") : "";
    this.next.hidden = true;
    if (on) void this.#ask();
    this.changed();
  }

  async #ask() {
    this.#asking?.abort();
    const asking = new AbortController();
    this.#asking = asking;
    try {
      this.#find(await http.strands(this.blanket.id, AbortSignal.any([asking.signal, this.signal])));
    } catch (error) {
      if (!asking.signal.aborted && !this.signal.aborted) this.bus.emit("trouble", { error });
    }
  }

  /** @param {StrandPlan} plan */
  #find({ strands, rows }) {
    if (!this.on) return;
    const few = new Set(strands.flatMap(({ stitches }, at) => (stitches <= FEW ? [at] : [])));
    this.#runs = rows.flatMap(({ steps }, row) => steps.flatMap((step) =>
      (step[0] === "work" && few.has(step[1]) ? [{ row, column: Math.min(step[2], step[3]), count: Math.abs(step[3] - step[2]), strand: step[1] }] : [])));
    this.#at = Math.min(this.#at, this.#runs.length - 1);
    const stitches = this.#runs.reduce((sum, { count }) => sum + count, 0);
    const words = few.size === 0 ? t("costly.none", { few: FEW }) : t("costly.some", { stitches, strands: few.size, ends: 2 * few.size });
    if (this.words.textContent !== words) this.words.textContent = words;
    this.next.hidden = few.size === 0;
    this.changed();
  }

  /** Goes to the first stitches of the next such strand. */
  #next() {
    if (this.#runs.length === 0) return;
    const strand = this.#runs[this.#at]?.strand;
    for (let tried = 0; tried < this.#runs.length; tried += 1) {
      this.#at = (this.#at + 1) % this.#runs.length;
      if (this.#runs[this.#at]?.strand !== strand) break;
    }
    const run = this.#runs[this.#at];
    if (run === undefined) return;
    this.show(run);
    this.bus.emit("say", { text: t("costly.at", { row: run.row + 1, count: run.count, yarn: this.blanket.palette[this.blanket.cells[run.row * this.blanket.columns + run.column] ?? 0]?.name ?? "" }) });
  }

  /**
   * @param {CanvasRenderingContext2D} context
   * @param {View} view
   * @param {Colours} colours
   */
  draw(context, view, colours) {
    if (!this.on) return;
    const { fromColumn, toColumn, fromRow, toRow } = view.inSight;
    const seen = this.#runs.filter(({ column, row, count }) => row >= fromRow && row < toRow && column < toColumn && column + count > fromColumn);
    const spare = view.cell >= 8 ? 1.5 : 2.5;
    for (const [width, style] of /** @type {const} */ ([[5, colours.paper], [2.5, colours.mark]])) {
      context.lineWidth = width;
      context.strokeStyle = style;
      context.beginPath();
      for (const { column, row, count } of seen) {
        context.rect(view.x(column) - spare, view.y(row) - spare, count * view.cell + 2 * spare, view.cellHeight + 2 * spare);
      }
      context.stroke();
    }
  }
}
