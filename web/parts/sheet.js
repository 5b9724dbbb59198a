// The chart as one can see, move, enlarge and touch it; tools and rooms say what a touch means and
// what is drawn on top.

/** @import { PaletteYarn } from "../types.js" */
/** @import { Bus } from "../base/bus.js" */
/** @import { Colours } from "../canvas/painter.js" */
/** @import { Cell } from "../canvas/view.js" */

import { h, token } from "../base/dom.js";
import { t } from "../base/words.js";
import { Gestures } from "../canvas/gestures.js";
import { Painter } from "../canvas/painter.js";
import { View } from "../canvas/view.js";

/**
 * @typedef {object} Shown The chart that is shown; asked for at every frame.
 * @property {number} columns
 * @property {number} rows
 * @property {Uint8Array} cells
 * @property {PaletteYarn[]} palette
 * @property {"right" | "left"} hand
 * @property {number} proportion
 */

/**
 * @typedef {object} SheetOptions
 * @property {() => Shown} chart
 * @property {Bus} bus
 * @property {AbortSignal} signal
 * @property {string} label
 * @property {string} help
 * @property {{shifting: () => boolean, begin: (cell: Cell) => void, draw: (cells: Cell[]) => void, end: (kept: boolean) => void, tap?: (cell: Cell) => void, pick?: (cell: Cell) => void}} hands
 * @property {{act: (cell: Cell) => void, along: (cell: Cell) => void, letter: (letter: string) => void, describe: (cell: Cell) => string, pick?: (cell: Cell) => void}} keys
 * @property {(context: CanvasRenderingContext2D, view: View, colours: Colours) => void} [over] Draws on top of the cells.
 * @property {() => number | null} [markedRow] Stitches below are counted as this row is worked; where
 *   there is none, as row 1.
 */

/** How many frames the drawing times are kept of. */
const FRAMES = 240;

export class Sheet {
  symbols = true;
  fabric = true;
  /** @type {Cell} Where the keyboard is. */
  cursor = { column: 0, row: 0 };
  #cursorShown = false;
  /** @type {Cell | null} */
  #hovered = null;
  #asked = 0;
  /** @type {number[]} Milliseconds of the last frames. */
  #times = [];
  #drawnSingly = 0;
  /** @type {Colours | null} */
  #colours = null;

  /** @param {SheetOptions} options */
  constructor(options) {
    this.options = options;
    const { chart, bus, signal, label, help, hands } = options;
    const { columns, rows, hand, proportion } = chart();
    this.view = new View({ columns, rows, proportion });
    this.painter = new Painter({ columns, rows });
    this.cursor = { column: hand === "right" ? columns - 1 : 0, row: 0 };
    this.canvas = h("canvas", { "aria-hidden": "true" });
    const helpText = h("p", { class: "unseen", id: "sheet-help" }, help);
    this.element = h("div", {
      class: "sheet", tabindex: 0, role: "application", "aria-label": label, "aria-roledescription": t("sheet.role"),
      "aria-describedby": "sheet-help",
      on: {
        keydown: (event) => this.#key(event),
        keyup: (event) => this.#keyUp(event),
        focus: () => { this.#cursorShown = this.element.matches(":focus-visible"); this.ask(); },
        blur: () => { this.#cursorShown = false; this.gestures.spaceHeld = false; this.ask(); },
      },
    }, this.canvas, helpText);
    this.gestures = new Gestures({
      element: this.element, view: this.view,
      hands: {
        shifting: hands.shifting,
        begin: (cell) => { this.cursor = cell; this.#cursorShown = false; hands.begin(cell); this.ask(); },
        draw: (cells) => { this.cursor = cells.at(-1) ?? this.cursor; hands.draw(cells); },
        end: hands.end,
        hover: (cell) => { this.#hovered = cell; this.ask(); },
        changed: () => this.ask(),
        tap: (cell) => { this.cursor = cell; hands.tap?.(cell); this.ask(); },
        pick: hands.pick && ((cell) => { this.cursor = cell; hands.pick?.(cell); this.ask(); }),
      },
    });
    const watcher = new ResizeObserver(() => this.#resize());
    watcher.observe(this.element);
    signal.addEventListener("abort", () => { watcher.disconnect(); cancelAnimationFrame(this.#asked); }, { once: true });
    bus.on("cells", ({ cells }) => this.renew(cells), signal);
    bus.on("settings", () => { this.#colours = null; this.ask(); }, signal);
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => { this.#colours = null; this.ask(); }, { signal });
    document.fonts.ready.then(() => this.renew(null));
    this.renew(null);
  }

  /** The chart may have another size now. */
  renewChart() {
    const { columns, rows } = this.options.chart();
    if (columns !== this.view.columns || rows !== this.view.rows) {
      this.view.columns = columns;
      this.view.rows = rows;
      this.painter = new Painter({ columns, rows });
      this.cursor = { column: 0, row: 0 };
      this.view.fit();
    }
    this.renew(null);
  }

  /** @param {Iterable<number> | null} cells Changed ones; null: all. */
  renew(cells) {
    const { cells: all, palette, columns, rows } = this.options.chart();
    if (columns === this.painter.columns && rows === this.painter.rows) this.painter.renew(all, palette, cells);
    this.ask();
  }

  /** Asks for a frame. */
  ask() {
    if (this.#asked !== 0 || this.options.signal.aborted) return;
    this.#asked = requestAnimationFrame(() => {
      this.#asked = 0;
      this.#draw();
    });
  }

  /** Where the pointer is. */
  get hovered() {
    return this.#hovered;
  }

  /** What drawing takes: the median and the slowest in twenty of the last frames, in milliseconds. */
  get drawing() {
    const sorted = [...this.#times].sort((one, two) => one - two);
    const at = (/** @type {number} */ part) => sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * part))] ?? 0;
    const { fromColumn, toColumn, fromRow, toRow } = this.view.inSight;
    const inSight = Math.max(0, toColumn - fromColumn) * Math.max(0, toRow - fromRow);
    return { median: at(0.5), slow: at(0.95), inSight, singly: this.#drawnSingly, frames: sorted.length };
  }

  /** @param {boolean} fabric Whether cells have the fabric's proportions, or are square. */
  setFabric(fabric) {
    this.fabric = fabric;
    this.view.proportion = fabric ? this.options.chart().proportion : 1;
    this.view.fit();
    this.ask();
  }

  /** @param {Cell} cell */
  show(cell) {
    this.view.reveal(cell);
    this.ask();
  }

  /** @param {number} factor */
  zoom(factor) {
    this.view.zoom(factor);
    this.ask();
  }

  fit() {
    this.view.fit();
    this.ask();
  }

  #resize() {
    const { clientWidth: width, clientHeight: height } = this.element;
    this.view.resize(width, height);
    this.#draw();
  }

  /** @returns {Colours} */
  #paints() {
    this.#colours ??= {
      table: token("--table"), paper: token("--paper"), ink: token("--ink"), faint: token("--ink-soft"),
      rule: token("--rule"), rule10: token("--rule-10"), mark: token("--wool"),
    };
    return this.#colours;
  }

  #draw() {
    const began = performance.now();
    const { width, height } = this.view;
    if (width === 0 || height === 0) return;
    const density = Math.min(3, devicePixelRatio || 1);
    const [across, upwards] = [Math.round(width * density), Math.round(height * density)];
    if (this.canvas.width !== across || this.canvas.height !== upwards) {
      this.canvas.width = across;
      this.canvas.height = upwards;
    }
    const context = /** @type {CanvasRenderingContext2D} */ (this.canvas.getContext("2d", { alpha: false }));
    const { cells, palette, hand } = this.options.chart();
    const colours = this.#paints();
    context.setTransform(density, 0, 0, density, 0, 0);
    context.fillStyle = colours.table;
    context.fillRect(0, 0, width, height);
    const marked = this.options.markedRow?.() ?? null;
    const starts = (/** @type {number | null} */ row) => ((row ?? 0) % 2 === 0 ? hand : hand === "right" ? "left" : "right");
    const from = starts(marked);
    this.#drawnSingly = this.painter.chart(context, this.view, { cells, palette, symbols: this.symbols, colours, from, density });
    context.save();
    const { left, top, right, bottom } = this.view.frame;
    context.beginPath();
    context.rect(left, top, right - left, bottom - top);
    context.clip();
    this.options.over?.(context, this.view, colours);
    this.#pointOut(context, colours);
    context.restore();
    const pointed = this.#cursorShown ? this.cursor : this.#hovered;
    this.painter.numbers(context, this.view, {
      colours, hand, from, pointedFrom: marked === null ? from : starts(pointed?.row ?? marked), arrow: marked !== null, row: pointed?.row ?? marked, column: pointed?.column ?? null,
    });
    this.#times.push(performance.now() - began);
    if (this.#times.length > FRAMES) this.#times.shift();
  }

  /**
   * A frame around the cell that the keyboard or the pointer is at.
   * @param {CanvasRenderingContext2D} context
   * @param {Colours} colours
   */
  #pointOut(context, colours) {
    const cell = this.#cursorShown ? this.cursor : this.#hovered;
    if (cell === null || (!this.#cursorShown && this.view.cell < 4)) return;
    const width = Math.max(5, this.view.cell);
    const height = Math.max(5, this.view.cellHeight);
    const x = this.view.x(cell.column) + (this.view.cell - width) / 2;
    const y = this.view.y(cell.row) + (this.view.cellHeight - height) / 2;
    context.lineWidth = this.#cursorShown ? 5 : 3;
    context.strokeStyle = colours.paper;
    context.strokeRect(x - 1, y - 1, width + 2, height + 2);
    context.lineWidth = this.#cursorShown ? 2.5 : 1.5;
    context.strokeStyle = this.#cursorShown ? colours.mark : colours.ink;
    context.strokeRect(x - 1, y - 1, width + 2, height + 2);
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const { columns, rows } = this.options.chart();
    const far = 10;
    /** @type {Record<string, [number, number]>} */
    const ways = {
      ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1],
      PageUp: [0, far], PageDown: [0, -far], Home: [-columns, 0], End: [columns, 0],
    };
    const way = ways[event.key];
    const { keys } = this.options;
    if (way !== undefined) {
      const column = Math.min(columns - 1, Math.max(0, this.cursor.column + way[0]));
      const row = Math.min(rows - 1, Math.max(0, this.cursor.row + way[1]));
      this.#cursorShown = true;
      this.cursor = { column, row };
      this.view.reveal(this.cursor);
      if (event.shiftKey) keys.along(this.cursor);
      this.options.bus.emit("say", { text: keys.describe(this.cursor) });
      this.ask();
    } else if (event.key === "Enter") {
      this.#cursorShown = true;
      keys.act(this.cursor);
      this.options.bus.emit("say", { text: keys.describe(this.cursor) });
      this.ask();
    } else if (event.key === " ") {
      if (!event.repeat) {
        this.gestures.spaceHeld = true;
        this.gestures.spaceUsed = false;
      }
    } else if (event.key === "+" || event.key === "=") {
      this.#zoomAtCursor(1.25);
    } else if (event.key === "-") {
      this.#zoomAtCursor(0.8);
    } else if (event.key === "0") {
      this.fit();
    } else if (event.key === "." && keys.pick) {
      keys.pick(this.cursor);
    } else if (/^\p{L}$/u.test(event.key)) {
      keys.letter(event.key.toUpperCase());
    } else {
      return;
    }
    event.preventDefault();
  }

  /** @param {number} factor */
  #zoomAtCursor(factor) {
    const { x, y } = { x: this.view.x(this.cursor.column + 0.5), y: this.view.y(this.cursor.row - 0.5) };
    this.view.zoom(factor, x, y);
    this.ask();
  }

  /** @param {KeyboardEvent} event */
  #keyUp(event) {
    if (event.key !== " " || !this.gestures.spaceHeld) return;
    event.preventDefault();
    this.gestures.spaceHeld = false;
    if (this.gestures.spaceUsed) return;
    this.#cursorShown = true;
    this.options.keys.act(this.cursor);
    this.options.bus.emit("say", { text: this.options.keys.describe(this.cursor) });
    this.ask();
  }
}
