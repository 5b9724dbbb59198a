// The chart room: the chart to change by hand, the yarns, and the numbers that move with the hand.

/** @import { Lettering, Region } from "../types.js" */
/** @import { Block } from "../parts/lettering-form.js" */
/** @import { Bus } from "../base/bus.js" */
/** @import { IconName } from "../base/icons.js" */
/** @import { OpenBlanket } from "../base/open-blanket.js" */
/** @import { Settings } from "../base/settings.js" */
/** @import { Cell } from "../canvas/view.js" */

import { h } from "../base/dom.js";
import { http } from "../base/http.js";
import { icon } from "../base/icons.js";
import { lineCells } from "../base/shapes.js";
import { t } from "../base/words.js";
import { ask, Dialog } from "../parts/dialog.js";
import { ChangesPanel } from "../parts/changes.js";
import { Costly } from "../parts/costly.js";
import { numberField } from "../parts/fields.js";
import { HistoryButtons } from "../parts/history.js";
import { LetteringForm } from "../parts/lettering-form.js";
import { NumbersPanel } from "../parts/numbers.js";
import { Sheet } from "../parts/sheet.js";
import { YarnChips } from "../parts/yarn-chips.js";
import { addYarn, changeYarn } from "../parts/yarn-dialogs.js";

/** @typedef {"stitch" | "line" | "box" | "oval" | "flood" | "swap" | "pick" | "mark" | "move"} Tool */

/** @type {[Tool, IconName][]} */
const TOOLS = [["stitch", "stitch"], ["line", "line"], ["box", "box"], ["oval", "oval"], ["flood", "flood"], ["swap", "swap"], ["pick", "pick"], ["mark", "area"], ["move", "move"]];

/**
 * The smallest region that holds two cells.
 * @param {Cell} one
 * @param {Cell} other
 * @returns {Region}
 */
function around(one, other) {
  const column = Math.min(one.column, other.column);
  const row = Math.min(one.row, other.row);
  return { column, row, columns: Math.abs(one.column - other.column) + 1, rows: Math.abs(one.row - other.row) + 1 };
}

export class ChartRoom {
  /** @type {Tool} */
  #tool = "stitch";
  /** @type {{name: string, last: Cell, painted: boolean} | null} The stroke under the hand. */
  #stroke = null;
  /** @type {{from: Cell, to: Cell} | null} What goes from one cell to another, under the hand or begun with the keyboard. */
  #line = null;
  /** @type {Region | null} The marked area. */
  #area = null;
  /** @type {{block: Block, lettering: Lettering, yarn: number, edge: {yarn: number, stitches: number} | null, at: Cell} | null} Words on their way to a place. */
  #placing = null;

  /** @param {{blanket: OpenBlanket, bus: Bus, settings: Settings, signal: AbortSignal}} options */
  constructor({ blanket, bus, settings, signal }) {
    this.blanket = blanket;
    this.bus = bus;
    this.settings = settings;
    this.signal = signal;
    this.chips = new YarnChips({ palette: () => blanket.palette, bus, signal, change: (yarn) => void this.#changeYarn(yarn) });
    this.sheet = new Sheet({
      chart: () => this.#shown(), bus, signal, label: t("chart.label", { name: blanket.name }), help: t("chart.help"),
      hands: {
        shifting: () => this.#tool === "move",
        begin: (cell) => this.#begin(cell), draw: (cells) => this.#draw(cells), end: (kept) => this.#end(kept),
        pick: (cell) => this.#pick(cell),
      },
      keys: {
        act: (cell) => this.#act(cell), along: (cell) => this.#along(cell),
        letter: (letter) => this.chips.letter(letter), describe: (cell) => this.#describe(cell),
        pick: (cell) => this.#pick(cell),
      },
      over: (context, view, colours) => {
        this.costly.draw(context, view, colours);
        this.#showLine(context, view, colours.mark);
      },
    });
    this.costly = new Costly({ blanket, bus, signal, changed: () => this.sheet.ask(), show: (cell) => this.#look(cell) });
    this.changes = new ChangesPanel({ blanket, bus, signal, chosen: () => this.chips.chosen, hand: () => settings.value.hand });
    this.outline = numberField({ label: t("tool.outline"), value: null, whole: true, placeholder: t("tool.filled") });
    this.outline.element.hidden = true;
    this.numbers = new NumbersPanel({ numbers: () => blanket.numbers, bus, signal, drawing: () => this.sheet.drawing, why: () => (blanket.canTakeBack === "change_yarn" ? t("numbers.whyColour") : "") });
    this.steps = new HistoryButtons({ blanket, bus, signal });
    this.tools = h("div", { class: "tools", role: "radiogroup", "aria-label": t("chart.tools"), on: { keydown: (event) => this.#toolKey(event) } },
      ...TOOLS.map(([tool, name]) => h("button", {
        type: "button", class: "tool", role: "radio", "aria-checked": tool === this.#tool ? "true" : "false", tabindex: tool === this.#tool ? 0 : -1,
        "data-tool": tool, title: t(`tool.${tool}.hint`), on: { click: () => this.#choose(tool) },
      }, icon(name, 24), h("span", {}, t(`tool.${tool}`)))));
    this.element = h("div", { class: "chart-room" }, h("h1", { class: "unseen" }, this.title),
      h("div", { class: "chart-main" }, this.#bar(), this.costly.element, this.sheet.element),
      h("aside", { class: "chart-side", "aria-label": t("chart.basket") }, this.numbers.element,
        h("div", { class: "side-tools" }, this.tools, this.outline.element, this.changes.element,
          h("div", { class: "button-row" }, h("button", { type: "button", class: "button button-small", on: { click: () => this.#words() } }, icon("words", 18), t("words.open")), this.costly.button)),
        h("div", { class: "side-yarns" }, h("div", { class: "between" }, h("h2", {}, t("chart.yarns")), h("div", { class: "button-row" },
          h("button", { type: "button", class: "button button-small", on: { click: () => void this.#changeYarn(this.chips.chosen) } }, t("chart.changeYarn")),
          h("button", { type: "button", class: "button button-small", on: { click: () => void this.#addYarn() } }, icon("plus", 16), t("chart.addYarn")))), this.chips.element)));
    bus.on("reloaded", () => { this.#mark(null); this.sheet.renewChart(); }, signal);
    addEventListener("keydown", (event) => this.#shortcut(event), { signal });
  }

  get title() {
    return t("chart.heading", { name: this.blanket.name });
  }

  async open() {
    // Everything is there: the blanket is loaded before the room is entered.
  }

  #shown() {
    const { columns, rows, cells, palette, proportion } = this.blanket;
    return { columns, rows, cells, palette, hand: this.settings.value.hand, proportion };
  }

  #bar() {
    const toggle = (/** @type {string} */ label, /** @type {string} */ hint, /** @type {boolean} */ on, /** @type {(on: boolean) => void} */ change) => {
      const button = h("button", {
        type: "button", class: "button button-small toggle", "aria-pressed": on ? "true" : "false", title: hint,
        on: {
          click: () => {
            const now = button.getAttribute("aria-pressed") !== "true";
            button.setAttribute("aria-pressed", String(now));
            change(now);
          },
        },
      }, label);
      return button;
    };
    const round = (/** @type {IconName} */ name, /** @type {string} */ label, /** @type {() => void} */ run) =>
      h("button", { type: "button", class: "button button-bare", "aria-label": label, title: label, on: { click: run } }, icon(name, 20));
    return h("div", { class: "chart-bar", role: "group", "aria-label": t("chart.bar") }, this.steps.back, this.steps.again, this.steps.waiting,
      h("span", { class: "spring" }),
      toggle(t("chart.symbols"), t("chart.symbolsHint"), this.sheet.symbols, (on) => { this.sheet.symbols = on; this.sheet.ask(); }),
      toggle(t("chart.fabric"), t("chart.fabricHint"), this.sheet.fabric, (on) => this.sheet.setFabric(on)),
      round("minus", t("chart.smaller"), () => this.sheet.zoom(0.8)),
      round("whole", t("chart.fit"), () => this.sheet.fit()),
      round("plus", t("chart.larger"), () => this.sheet.zoom(1.25)));
  }

  /** @param {Tool} tool */
  #choose(tool) {
    this.#tool = tool;
    this.#line = null;
    for (const button of this.tools.children) {
      const on = button instanceof HTMLElement && button.dataset.tool === tool;
      button.setAttribute("aria-checked", String(on));
      button.setAttribute("tabindex", on ? "0" : "-1");
    }
    this.sheet.element.dataset.tool = tool;
    this.outline.element.hidden = tool !== "box" && tool !== "oval";
    this.sheet.ask();
  }

  /** Whether the tool goes from one cell to another. */
  get #spans() {
    return this.#tool === "line" || this.#tool === "box" || this.#tool === "oval" || this.#tool === "mark";
  }

  /** @param {Region | null} area */
  #mark(area) {
    this.#area = area;
    this.changes.mark(area);
    this.sheet.ask();
  }

  /**
   * Does what the tool does from one cell to another.
   * @param {{from: Cell, to: Cell}} ends
   */
  #span({ from, to }) {
    const region = around(from, to);
    const yarn = this.chips.chosen;
    const outline = this.outline.value || null;
    if (this.#tool === "line") this.blanket.line([from.column, from.row], [to.column, to.row], yarn);
    else if (this.#tool === "box") this.blanket.operate({ do: "rectangle", region, yarn, outline });
    else if (this.#tool === "oval") this.blanket.operate({ do: "ellipse", region, yarn, outline });
    else {
      // One cell alone takes the mark away.
      this.#mark(region.columns * region.rows === 1 ? null : region);
      this.bus.emit("say", { text: t(this.#area === null ? "chart.unmarked" : "chart.marked", { columns: region.columns, rows: region.rows }) });
    }
  }

  /** @param {KeyboardEvent} event */
  #toolKey(event) {
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (step === undefined) return;
    event.preventDefault();
    const at = TOOLS.findIndex(([tool]) => tool === this.#tool);
    const next = TOOLS[(at + step + TOOLS.length) % TOOLS.length]?.[0] ?? "stitch";
    this.#choose(next);
    const button = this.tools.querySelector(`[data-tool="${next}"]`);
    if (button instanceof HTMLElement) button.focus();
  }

  /** @param {KeyboardEvent} event */
  #shortcut(event) {
    if (event.key === "Escape" && this.#placing !== null && !document.querySelector("dialog[open]")) {
      this.#placing = null;
      this.sheet.ask();
    }
  }

  /** @param {Cell} cell */
  #index({ column, row }) {
    return row * this.blanket.columns + column;
  }

  /**
   * The yarn of a stitch becomes the chosen one.
   * @param {Cell} cell
   */
  #pick(cell) {
    const yarn = this.blanket.cells[this.#index(cell)] ?? 0;
    this.chips.choose(yarn);
    this.bus.emit("say", { text: t("chips.chosen", { name: this.blanket.palette[yarn]?.name ?? "" }) });
  }

  /**
   * Brings a stitch into sight, large enough to be touched.
   * @param {Cell} cell
   */
  #look({ column, row }) {
    if (this.sheet.view.cell < 12) this.sheet.view.zoom(16 / this.sheet.view.cell);
    this.sheet.cursor = { column, row };
    this.sheet.show(this.sheet.cursor);
  }

  /** @param {Cell} cell */
  #begin(cell) {
    const yarn = this.chips.chosen;
    if (this.#placing !== null) this.#placing.at = cell;
    else if (this.#tool === "stitch") {
      const painted = this.blanket.cells[this.#index(cell)] !== yarn;
      this.#stroke = { name: crypto.randomUUID(), last: cell, painted };
      this.blanket.stitch(this.#stroke.name, [this.#index(cell)], yarn);
    } else if (this.#spans) {
      this.#line = { from: cell, to: cell };
    } else {
      this.#act(cell);
    }
  }

  /** @param {Cell[]} cells */
  #draw(cells) {
    if (this.#placing !== null) {
      this.#placing.at = cells.at(-1) ?? this.#placing.at;
      this.sheet.ask();
    } else if (this.#stroke !== null) {
      /** @type {Set<number>} */
      const found = new Set();
      for (const cell of cells) {
        const { last } = this.#stroke;
        if (cell.column === last.column && cell.row === last.row) continue;
        for (const [column, row] of lineCells([last.column, last.row], [cell.column, cell.row])) found.add(this.#index({ column, row }));
        this.#stroke.last = cell;
      }
      if (found.size > 0) {
        this.#stroke.painted = true;
        this.blanket.stitch(this.#stroke.name, [...found], this.chips.chosen);
      }
    } else if (this.#line !== null) {
      this.#line.to = cells.at(-1) ?? this.#line.to;
      this.sheet.ask();
    }
  }

  /** @param {boolean} kept False: the touch was the beginning of a pinch. */
  #end(kept) {
    const [stroke, line] = [this.#stroke, this.#line];
    this.#stroke = null;
    this.#line = null;
    if (this.#placing !== null) {
      if (kept) this.#place();
    } else if (!kept) {
      if (stroke?.painted) this.blanket.takeBack();
    } else if (line !== null) {
      this.#span(line);
    }
    this.sheet.ask();
  }

  /**
   * The tool on one cell, by key or by touch.
   * @param {Cell} cell
   */
  #act(cell) {
    if (this.#placing !== null) {
      this.#placing.at = cell;
      this.#place();
      return;
    }
    const yarn = this.chips.chosen;
    const there = this.blanket.cells[this.#index(cell)] ?? 0;
    if (this.#tool === "stitch" || this.#tool === "move") {
      this.blanket.stitch(crypto.randomUUID(), [this.#index(cell)], yarn);
    } else if (this.#spans) {
      if (this.#line === null) {
        this.#line = { from: cell, to: cell };
        this.bus.emit("say", { text: t("chart.lineBegun") });
      } else {
        this.#span({ from: this.#line.from, to: cell });
        this.#line = null;
      }
    } else if (this.#tool === "pick") {
      this.#pick(cell);
    } else if (this.#tool === "flood") {
      this.blanket.flood([cell.column, cell.row], yarn);
    } else {
      void this.#swap(there, yarn);
    }
  }

  /**
   * The keyboard moves with Shift: stitches on its way.
   * @param {Cell} cell
   */
  #along(cell) {
    if (this.#placing !== null) this.#placing.at = cell;
    else if (this.#spans && this.#line !== null) this.#line.to = cell;
    else if (this.#tool === "pick") this.#pick(cell);
    else this.blanket.stitch(crypto.randomUUID(), [this.#index(cell)], this.chips.chosen);
  }

  /**
   * @param {number} from
   * @param {number} to
   */
  async #swap(from, to) {
    const [one, two] = [this.blanket.palette[from], this.blanket.palette[to]];
    if (one === undefined || two === undefined) return;
    if (from === to) {
      this.bus.emit("note", { text: t("chart.swapSame", { name: one.name }) });
      return;
    }
    const sure = await ask({
      title: t("chart.swapTitle", { from: one.name, to: two.name }), text: t("chart.swapText", { count: one.stitches, from: one.name, to: two.name }), yes: t("tool.swap"),
    });
    if (sure) this.blanket.swapColour(from, to);
  }

  /** @param {Cell} cell */
  #describe({ column, row }) {
    const { columns, cells, palette } = this.blanket;
    const right = (row % 2 === 0) === (this.settings.value.hand === "right");
    const stitch = right ? columns - column : column + 1;
    return t("chart.cell", { row: row + 1, stitch, yarn: palette[cells[row * columns + column] ?? 0]?.name ?? "" });
  }

  /**
   * @param {CanvasRenderingContext2D} context
   * @param {import("../canvas/view.js").View} view
   * @param {string} mark
   */
  #showLine(context, view, mark) {
    if (this.#placing !== null) {
      const { block, yarn, at } = this.#placing;
      const { column, row } = this.#inside(this.sheet.element.matches(":focus-visible") && this.#stroke === null ? this.sheet.cursor : this.sheet.hovered ?? at, block);
      context.fillStyle = this.blanket.palette[yarn]?.colour ?? mark;
      block.cells.forEach((inked, cell) => {
        if (inked) context.fillRect(view.x(column + (cell % block.columns)), view.y(row + Math.floor(cell / block.columns)), Math.max(1, view.cell), Math.max(1, view.cellHeight));
      });
      this.#frame(context, view, { column, row, columns: block.columns, rows: block.rows }, mark);
      return;
    }
    if (this.#area !== null) this.#frame(context, view, this.#area, mark);
    if (this.#line === null) return;
    const { from } = this.#line;
    const to = this.sheet.element.matches(":focus-visible") && this.#stroke === null && this.#line.to === this.#line.from ? this.sheet.cursor : this.#line.to;
    if (this.#tool !== "line") {
      this.#frame(context, view, around(from, to), mark);
      return;
    }
    context.fillStyle = this.blanket.palette[this.chips.chosen]?.colour ?? mark;
    for (const [column, row] of lineCells([from.column, from.row], [to.column, to.row])) {
      context.fillRect(view.x(column), view.y(row), Math.max(1, view.cell), Math.max(1, view.cellHeight));
    }
  }

  /**
   * A frame round a region: broken where it is only marked, or an oval in it.
   * @param {CanvasRenderingContext2D} context
   * @param {import("../canvas/view.js").View} view
   * @param {Region} region
   * @param {string} mark
   */
  #frame(context, view, region, mark) {
    const [x, y] = [view.x(region.column), view.y(region.row + region.rows - 1)];
    const [width, height] = [region.columns * view.cell, region.rows * view.cellHeight];
    context.save();
    context.beginPath();
    if (this.#line !== null && this.#tool === "oval" && region !== this.#area) context.ellipse(x + width / 2, y + height / 2, width / 2, height / 2, 0, 0, 2 * Math.PI);
    else context.rect(x, y, width, height);
    context.lineWidth = 4;
    context.strokeStyle = "rgb(255 255 255 / 85%)";
    context.stroke();
    context.lineWidth = 2;
    context.setLineDash(region === this.#area ? [6, 4] : []);
    context.strokeStyle = mark;
    context.stroke();
    context.restore();
  }

  /** Asks for words and lays them on the chart where the person says. */
  #words() {
    const { blanket } = this;
    const form = new LetteringForm({
      set: (lettering) => http.lettering(lettering, blanket.gauge), proportion: blanket.proportion, room: this.#area?.columns ?? blanket.columns,
      changed: () => { place.disabled = form.block === null; },
    });
    const yarnOf = (/** @type {string} */ label, /** @type {number | null} */ chosen) => {
      const select = h("select", {}, chosen === null && h("option", { value: "" }, t("words.noEdge")),
        ...blanket.palette.map(({ name, symbol }, at) => h("option", { value: at, selected: at === chosen }, `${symbol} · ${name}`)));
      return { select, element: h("label", { class: "field" }, h("span", {}, label), select) };
    };
    const yarn = yarnOf(t("words.yarn"), this.chips.chosen);
    const edge = yarnOf(t("words.edge"), null);
    const place = h("button", {
      type: "button", class: "button button-main", disabled: true,
      on: {
        click: () => {
          if (form.block === null) return;
          const at = this.#area ?? { column: Math.max(0, Math.floor((blanket.columns - form.block.columns) / 2)), row: Math.max(0, Math.floor((blanket.rows - form.block.rows) / 2)) };
          this.#placing = {
            block: form.block, lettering: form.value, yarn: Number(yarn.select.value), at,
            edge: edge.select.value === "" ? null : { yarn: Number(edge.select.value), stitches: 1 },
          };
          this.sheet.cursor = { column: at.column, row: at.row };
          dialog.close();
          this.sheet.element.focus();
          this.sheet.ask();
          this.bus.emit("note", { text: t("words.placeIt") });
        },
      },
    }, t("words.place"));
    const dialog = new Dialog({
      title: t("words.title"), body: [form.element, h("div", { class: "field-row" }, yarn.element, edge.element)],
      actions: [h("button", { type: "button", class: "button", on: { click: () => dialog.close() } }, t("action.cancel")), place],
    });
    dialog.open();
    form.text.focus();
  }

  /**
   * The nearest place at which a block lies on the chart whole, where it fits.
   * @param {Cell} cell
   * @param {Block} block
   * @returns {Cell}
   */
  #inside({ column, row }, block) {
    return { column: Math.max(0, Math.min(column, this.blanket.columns - block.columns)), row: Math.max(0, Math.min(row, this.blanket.rows - block.rows)) };
  }

  /** Lays the words down where they are. */
  #place() {
    if (this.#placing === null) return;
    const { lettering, yarn, edge, block } = this.#placing;
    const at = this.#inside(this.#placing.at, block);
    this.#placing = null;
    this.blanket.operate({ do: "words", lettering, at: [at.column, at.row], yarn, edge });
    this.sheet.ask();
  }

  /** The person's yarns; none where they can't be had. */
  async #list() {
    try {
      return (await http.yarns()).yarns;
    } catch (error) {
      this.bus.emit("trouble", { error });
      return [];
    }
  }

  async #addYarn() {
    const { blanket } = this;
    addYarn({ palette: blanket.palette, list: await this.#list(), add: (yarn) => blanket.addYarn(yarn) });
  }

  /** @param {number} index */
  async #changeYarn(index) {
    const { blanket } = this;
    changeYarn({
      palette: blanket.palette, index, list: await this.#list(),
      change: (yarn) => blanket.changeYarn(index, yarn), drop: () => blanket.operate({ do: "drop_yarn", index }),
    });
  }
}
