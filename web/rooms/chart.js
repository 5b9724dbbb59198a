// The chart room: the chart to change by hand, the yarns, and the numbers that move with the hand.

/** @import { Yarn } from "../types.js" */
/** @import { Bus } from "../base/bus.js" */
/** @import { IconName } from "../base/icons.js" */
/** @import { OpenBlanket } from "../base/open-blanket.js" */
/** @import { Settings } from "../base/settings.js" */
/** @import { Cell } from "../canvas/view.js" */

import { h } from "../base/dom.js";
import { http } from "../base/http.js";
import { icon } from "../base/icons.js";
import { lineCells } from "../base/shapes.js";
import { maybe, t } from "../base/words.js";
import { ask, Dialog } from "../parts/dialog.js";
import { NumbersPanel } from "../parts/numbers.js";
import { Sheet } from "../parts/sheet.js";
import { YarnChips } from "../parts/yarn-chips.js";
import { keyOf, plainYarn, YarnForm } from "../parts/yarn-form.js";

/** @typedef {"stitch" | "line" | "flood" | "swap" | "move"} Tool */

/** @type {[Tool, IconName][]} */
const TOOLS = [["stitch", "stitch"], ["line", "line"], ["flood", "flood"], ["swap", "swap"], ["move", "move"]];

export class ChartRoom {
  /** @type {Tool} */
  #tool = "stitch";
  /** @type {{name: string, last: Cell, painted: boolean} | null} The stroke under the hand. */
  #stroke = null;
  /** @type {{from: Cell, to: Cell} | null} The line under the hand, or begun with the keyboard. */
  #line = null;

  /** @param {{blanket: OpenBlanket, bus: Bus, settings: Settings, signal: AbortSignal}} options */
  constructor({ blanket, bus, settings, signal }) {
    this.blanket = blanket;
    this.bus = bus;
    this.settings = settings;
    this.signal = signal;
    this.chips = new YarnChips({ palette: () => blanket.palette, bus, signal, change: (yarn) => this.#changeYarn(yarn) });
    this.sheet = new Sheet({
      chart: () => this.#shown(), bus, signal, label: t("chart.label", { name: blanket.name }), help: t("chart.help"),
      hands: {
        shifting: () => this.#tool === "move",
        begin: (cell) => this.#begin(cell), draw: (cells) => this.#draw(cells), end: (kept) => this.#end(kept),
      },
      keys: {
        act: (cell) => this.#act(cell), along: (cell) => this.#along(cell),
        letter: (letter) => this.chips.letter(letter), describe: (cell) => this.#describe(cell),
      },
      over: (context, view, colours) => this.#showLine(context, view, colours.mark),
    });
    this.numbers = new NumbersPanel({ numbers: () => blanket.numbers, bus, signal, drawing: () => this.sheet.drawing });
    this.back = this.#historyButton("back", () => this.blanket.takeBack());
    this.again = this.#historyButton("again", () => this.blanket.doAgain());
    this.waiting = h("span", { class: "waiting", role: "status" });
    this.tools = h("div", { class: "tools", role: "radiogroup", "aria-label": t("chart.tools"), on: { keydown: (event) => this.#toolKey(event) } },
      ...TOOLS.map(([tool, name]) => h("button", {
        type: "button", class: "tool", role: "radio", "aria-checked": tool === this.#tool ? "true" : "false", tabindex: tool === this.#tool ? 0 : -1,
        "data-tool": tool, title: t(`tool.${tool}.hint`), on: { click: () => this.#choose(tool) },
      }, icon(name, 24), h("span", {}, t(`tool.${tool}`)))));
    this.element = h("div", { class: "chart-room" }, h("h1", { class: "unseen" }, this.title),
      h("div", { class: "chart-main" }, this.#bar(), this.sheet.element),
      h("aside", { class: "chart-side", "aria-label": t("chart.basket") }, this.numbers.element,
        h("div", { class: "side-tools" }, this.tools),
        h("div", { class: "side-yarns" }, h("div", { class: "between" }, h("h2", {}, t("chart.yarns")), h("div", { class: "button-row" },
          h("button", { type: "button", class: "button button-small", on: { click: () => this.#changeYarn(this.chips.chosen) } }, t("chart.changeYarn")),
          h("button", { type: "button", class: "button button-small", on: { click: () => void this.#addYarn() } }, icon("plus", 16), t("chart.addYarn")))), this.chips.element)));
    bus.on("history", () => this.#history(), signal);
    bus.on("reloaded", () => this.sheet.renewChart(), signal);
    bus.on("outbox", ({ waiting, lost }) => { this.waiting.textContent = lost ? t("chart.waiting", { count: waiting }) : ""; this.#history(); }, signal);
    addEventListener("keydown", (event) => this.#shortcut(event), { signal });
    this.#history();
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
    const toggle = (/** @type {string} */ label, /** @type {boolean} */ on, /** @type {(on: boolean) => void} */ change) => {
      const button = h("button", {
        type: "button", class: "button button-small toggle", "aria-pressed": on ? "true" : "false",
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
    return h("div", { class: "chart-bar", role: "group", "aria-label": t("chart.bar") }, this.back, this.again, this.waiting,
      h("span", { class: "spring" }),
      toggle(t("chart.symbols"), this.sheet.symbols, (on) => { this.sheet.symbols = on; this.sheet.ask(); }),
      toggle(t("chart.fabric"), this.sheet.fabric, (on) => this.sheet.setFabric(on)),
      round("minus", t("chart.smaller"), () => this.sheet.zoom(0.8)),
      round("whole", t("chart.fit"), () => this.sheet.fit()),
      round("plus", t("chart.larger"), () => this.sheet.zoom(1.25)));
  }

  /**
   * @param {"back" | "again"} name
   * @param {() => void} run
   */
  #historyButton(name, run) {
    return h("button", { type: "button", class: "button button-small", "data-do": name, on: { click: run } }, icon(name, 20), h("span", {}, t(name === "back" ? "action.takeBack" : "action.doAgain")));
  }

  #history() {
    for (const [button, what, can, label] of /** @type {const} */ ([
      [this.back, this.blanket.canTakeBack, this.blanket.canGoBack, "action.takeBack"],
      [this.again, this.blanket.canDoAgain, this.blanket.canDoAgain !== null, "action.doAgain"],
    ])) {
      // Not "disabled": that would throw the focus away just after the last step.
      button.setAttribute("aria-disabled", String(!can));
      const words = what === null ? t(label) : t("chart.stepOf", { label: t(label), step: maybe(`operation.${what}`, what) });
      button.title = words;
    }
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
    this.sheet.ask();
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
    if (!(event.ctrlKey || event.metaKey) || event.altKey || document.querySelector("dialog[open]")) return;
    const typing = event.target instanceof HTMLInputElement || event.target instanceof HTMLTextAreaElement;
    const key = event.key.toLowerCase();
    if (typing || (key !== "z" && key !== "y")) return;
    event.preventDefault();
    if (key === "y" || event.shiftKey) this.blanket.doAgain();
    else this.blanket.takeBack();
  }

  /** @param {Cell} cell */
  #index({ column, row }) {
    return row * this.blanket.columns + column;
  }

  /** @param {Cell} cell */
  #begin(cell) {
    const yarn = this.chips.chosen;
    if (this.#tool === "stitch") {
      const painted = this.blanket.cells[this.#index(cell)] !== yarn;
      this.#stroke = { name: crypto.randomUUID(), last: cell, painted };
      this.blanket.stitch(this.#stroke.name, [this.#index(cell)], yarn);
    } else if (this.#tool === "line") {
      this.#line = { from: cell, to: cell };
    } else {
      this.#act(cell);
    }
  }

  /** @param {Cell[]} cells */
  #draw(cells) {
    if (this.#stroke !== null) {
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
    if (!kept) {
      if (stroke?.painted) this.blanket.takeBack();
    } else if (line !== null) {
      this.blanket.line([line.from.column, line.from.row], [line.to.column, line.to.row], this.chips.chosen);
    }
    this.sheet.ask();
  }

  /**
   * The tool on one cell, by key or by touch.
   * @param {Cell} cell
   */
  #act(cell) {
    const yarn = this.chips.chosen;
    const there = this.blanket.cells[this.#index(cell)] ?? 0;
    if (this.#tool === "stitch" || this.#tool === "move") {
      this.blanket.stitch(crypto.randomUUID(), [this.#index(cell)], yarn);
    } else if (this.#tool === "line") {
      if (this.#line === null) {
        this.#line = { from: cell, to: cell };
        this.bus.emit("say", { text: t("chart.lineBegun") });
      } else {
        this.blanket.line([this.#line.from.column, this.#line.from.row], [cell.column, cell.row], yarn);
        this.#line = null;
      }
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
    if (this.#tool === "line" && this.#line !== null) this.#line.to = cell;
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
    if (this.#line === null) return;
    const { from } = this.#line;
    const to = this.sheet.element.matches(":focus-visible") && this.#stroke === null && this.#line.to === this.#line.from ? this.sheet.cursor : this.#line.to;
    context.fillStyle = this.blanket.palette[this.chips.chosen]?.colour ?? mark;
    for (const [column, row] of lineCells([from.column, from.row], [to.column, to.row])) {
      context.fillRect(view.x(column), view.y(row), Math.max(1, view.cell), Math.max(1, view.cellHeight));
    }
  }

  async #addYarn() {
    /** @type {Yarn[]} */
    let list = [];
    try {
      list = (await http.yarns()).yarns;
    } catch (error) {
      this.bus.emit("trouble", { error });
    }
    const taken = this.blanket.palette.map(({ key }) => key);
    const name = t("yarns.newName");
    const form = new YarnForm({ yarn: plainYarn(keyOf(name, taken), name, "#b9a58c"), stock: false });
    const add = (/** @type {Yarn | null} */ yarn) => {
      if (yarn === null) return;
      this.blanket.addYarn(yarn);
      dialog.close();
    };
    const free = list.filter(({ key }) => !taken.includes(key));
    const dialog = new Dialog({
      title: t("chart.addTitle"),
      body: [
        free.length > 0 && h("section", { class: "stack" }, h("h3", {}, t("chart.addFromList")), h("div", { class: "picker-list" }, ...free.map((yarn) => {
          const dot = h("span", { class: "dot", "aria-hidden": "true" });
          dot.style.setProperty("background-color", yarn.colour);
          return h("button", { type: "button", class: "picker-one", on: { click: () => add(yarn) } }, dot, h("span", { class: "picker-name" }, yarn.name));
        }))),
        h("section", { class: "stack" }, h("h3", {}, t("chart.addNew")), form.element),
      ],
      actions: [
        h("button", { type: "button", class: "button", on: { click: () => dialog.close() } }, t("action.cancel")),
        h("button", { type: "button", class: "button button-main", on: { click: () => add(keyed(form, taken)) } }, t("chart.addYarn")),
      ],
    });
    dialog.open();
  }

  /** @param {number} index */
  #changeYarn(index) {
    const yarn = this.blanket.palette[index];
    if (yarn === undefined) return;
    const form = new YarnForm({ yarn, stock: false });
    const dialog = new Dialog({
      title: t("chart.changeTitle", { name: yarn.name }), body: [form.element],
      actions: [
        h("button", { type: "button", class: "button", on: { click: () => dialog.close() } }, t("action.cancel")),
        h("button", {
          type: "button", class: "button button-main",
          on: {
            click: () => {
              const { value } = form;
              if (value === null) return;
              this.blanket.changeYarn(index, value);
              dialog.close();
            },
          },
        }, t("action.keep")),
      ],
    });
    dialog.open();
  }
}

/**
 * The yarn of a form with a key made of its name.
 * @param {YarnForm} form
 * @param {string[]} taken
 * @returns {Yarn | null}
 */
function keyed(form, taken) {
  const { value } = form;
  return value === null ? null : { ...value, key: keyOf(value.name, taken) };
}
