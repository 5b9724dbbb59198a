// The blanket that is open: its cells and yarns as the program has them, what the hand has painted
// since, and the outbox between the two. One edit is under way at a time; each goes on the revision
// that the last answer named. What the program has not acknowledged stays visible and is sent again.

/** @import { Blanket, Edited, Gauge, Making, Numbers, Operation, PaletteYarn, Yarn } from "../types.js" */
/** @import { Bus, Events } from "./bus.js" */

import { floodCells, lineCells } from "./shapes.js";
import { http, Lost, Refusal } from "./http.js";

/**
 * @typedef {object} Entry One thing to tell the program.
 * @property {"stitch" | "other" | "back" | "again" | "making" | "gauge"} kind
 * @property {Operation | null} operation
 * @property {Making} [making] What is to be kept for the making.
 * @property {(error: unknown) => void} [settled] Hears of the answer; of a refusal in place of everybody else.
 * @property {string} act All entries of one stroke share it.
 * @property {number[]} cells Painted before the answer.
 * @property {number} yarn What they were painted with.
 * @property {number} at When the hand did it.
 */

/** Strokes are sent at most this often, in milliseconds. */
const BETWEEN = 16;
/** How long to wait before asking a silent program again. */
const PATIENCE = 1500;

/**
 * What waited when the page was closed while the program was silent. The browser keeps it for this
 * address of the program alone, and only until it is told.
 * @param {number} id
 */
const shelfOf = (id) => `strandwright-waiting-${id}`;

/**
 * @param {string} text Base64.
 * @returns {Uint8Array}
 */
export function readCells(text) {
  const raw = atob(text);
  const cells = new Uint8Array(raw.length);
  for (let at = 0; at < raw.length; at += 1) cells[at] = raw.charCodeAt(at);
  return cells;
}

export class OpenBlanket {
  /** @type {Entry[]} */
  #outbox = [];
  /** @type {Entry | null} */
  #underWay = null;
  #lost = false;
  /** Whether the program runs, but does not know this window: it was started anew. */
  #locked = false;
  #reapplied = false;
  #lastSent = 0;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;
  #act = "";
  /** @type {Uint8Array} */
  #settled = new Uint8Array();

  /**
   * @param {{blanket: Blanket, bus: Bus, signal: AbortSignal}} options `signal`: the person went to
   *   another place. It falls silent then, but still sends what is in the outbox.
   */
  constructor({ blanket, bus, signal }) {
    this.bus = bus;
    this.signal = signal;
    this.id = blanket.id;
    this.name = blanket.name;
    this.columns = blanket.columns;
    this.rows = blanket.rows;
    /** @type {Gauge} */
    this.gauge = blanket.gauge;
    this.hand = blanket.hand;
    /** @type {PaletteYarn[]} */
    this.palette = blanket.palette;
    /** What is seen: acknowledged cells and the hand's on top. */
    this.cells = new Uint8Array();
    /** @type {Numbers} */
    this.numbers = blanket.plan;
    /** @type {Numbers | null} Those before the last act. */
    this.before = null;
    this.picture = blanket.picture;
    this.revision = blanket.revision;
    this.canTakeBack = blanket.can_take_back;
    this.canDoAgain = blanket.can_do_again;
    this.#take(blanket);
    this.#remember();
    addEventListener("pagehide", () => this.#flush(), { signal });
    addEventListener("beforeunload", (event) => { if (this.#lost && this.waiting > 0) event.preventDefault(); }, { signal });
  }

  /** @param {Blanket} blanket */
  #take(blanket) {
    this.name = blanket.name;
    this.columns = blanket.columns;
    this.rows = blanket.rows;
    this.gauge = blanket.gauge;
    this.hand = blanket.hand;
    this.palette = blanket.palette;
    this.numbers = blanket.plan;
    this.picture = blanket.picture;
    this.revision = blanket.revision;
    this.canTakeBack = blanket.can_take_back;
    this.canDoAgain = blanket.can_do_again;
    this.#settled = readCells(blanket.cells);
    this.cells = this.#settled.slice();
  }

  /** Stitches and acts that the program has not acknowledged. */
  get waiting() {
    const entries = this.#underWay ? [this.#underWay, ...this.#outbox] : this.#outbox;
    return entries.reduce((sum, entry) => sum + Math.max(1, entry.cells.length), 0);
  }

  get canGoBack() {
    return this.canTakeBack !== null || this.waiting > 0;
  }

  /** Height of a cell over its width in the fabric. */
  get proportion() {
    return this.gauge.stitches / this.gauge.rows;
  }

  /** Loads it again; what waits in the outbox is painted on top where the chart still has its size. */
  async reload() {
    const blanket = await http.blanket(this.id);
    const same = blanket.columns === this.columns && blanket.rows === this.rows && blanket.palette.length >= this.palette.length;
    this.#take(blanket);
    if (!same) this.#outbox = [];
    this.#paintWaiting();
    this.before = null;
    this.#emit("reloaded", {});
    this.#emit("cells", { cells: null });
    this.#emit("palette", {});
    this.#emit("history", {});
    this.#emit("numbers", { numbers: this.numbers, before: null, waited: null });
    this.#tellOutbox();
  }

  /**
   * More stitches of a stroke, seen at once.
   * @param {string} stroke
   * @param {number[]} cells
   * @param {number} yarn
   */
  stitch(stroke, cells, yarn) {
    const fresh = cells.filter((cell) => this.cells[cell] !== yarn);
    if (fresh.length === 0) return;
    const last = this.#outbox.at(-1);
    if (last?.kind === "stitch" && last.act === stroke && last.yarn === yarn) {
      last.cells.push(...fresh);
      this.#paint(fresh, yarn);
      if (this.#lost) this.#tellOutbox();
      this.#pump();
      return;
    }
    const operation = /** @type {Operation} */ ({ do: "stitch", cells: [], yarn, stroke });
    this.#add({ kind: "stitch", operation, act: stroke, cells: fresh, yarn, at: performance.now() });
  }

  /**
   * @param {[number, number]} from Column and row from 0.
   * @param {[number, number]} to
   * @param {number} yarn
   */
  line(from, to, yarn) {
    const cells = lineCells(from, to).map(([column, row]) => row * this.columns + column);
    this.#other({ do: "line", from, to, yarn, width: 1 }, cells, yarn);
  }

  /**
   * @param {[number, number]} at
   * @param {number} yarn
   */
  flood(at, yarn) {
    const cells = floodCells(this.cells, this.columns, this.rows, at);
    if (this.cells[at[1] * this.columns + at[0]] === yarn) return;
    this.#other({ do: "flood", at, yarn }, cells, yarn);
  }

  /**
   * @param {number} from
   * @param {number} to
   */
  swapColour(from, to) {
    if (from === to) return;
    /** @type {number[]} */
    const cells = [];
    this.cells.forEach((yarn, cell) => { if (yarn === from) cells.push(cell); });
    this.#other({ do: "swap_colour", from, to }, cells, to);
  }

  /**
   * Anything else; what it changes is seen with the answer.
   * @param {Operation} operation
   */
  operate(operation) {
    this.#other(operation, [], 0);
  }

  /**
   * Keeps what the person gave for the making. A refusal is told to the caller alone.
   * @param {Making} making
   * @returns {Promise<void>}
   */
  keepMaking(making) {
    return new Promise((resolve, reject) => {
      const settled = (/** @type {unknown} */ error) => { if (error === null) resolve(); else reject(error); };
      this.#add({ kind: "making", operation: null, making, settled, act: crypto.randomUUID(), cells: [], yarn: 0, at: performance.now() });
    });
  }

  /** The gauge of the swatch for the whole blanket. */
  takeGauge() {
    this.#add({ kind: "gauge", operation: null, act: crypto.randomUUID(), cells: [], yarn: 0, at: performance.now() });
  }

  /** @param {Yarn} yarn */
  addYarn(yarn) {
    this.#other({ do: "add_yarn", yarn }, [], 0);
  }

  /**
   * @param {number} index
   * @param {Yarn} yarn
   */
  changeYarn(index, yarn) {
    this.#other({ do: "change_yarn", index, yarn }, [], 0);
  }

  takeBack() {
    if (this.canGoBack) this.#add({ kind: "back", operation: null, act: crypto.randomUUID(), cells: [], yarn: 0, at: performance.now() });
  }

  doAgain() {
    if (this.canDoAgain !== null) this.#add({ kind: "again", operation: null, act: crypto.randomUUID(), cells: [], yarn: 0, at: performance.now() });
  }

  /**
   * @param {Operation} operation
   * @param {number[]} cells
   * @param {number} yarn
   */
  #other(operation, cells, yarn) {
    this.#add({ kind: "other", operation, act: crypto.randomUUID(), cells, yarn, at: performance.now() });
  }

  /** @param {Entry} entry */
  #add(entry) {
    this.#outbox.push(entry);
    this.#paint(entry.cells, entry.yarn);
    if (this.#lost) this.#tellOutbox();
    this.#pump();
  }

  /**
   * @param {number[]} cells
   * @param {number} yarn
   */
  #paint(cells, yarn) {
    for (const cell of cells) this.cells[cell] = yarn;
    if (cells.length > 0) this.#emit("cells", { cells });
  }

  #paintWaiting() {
    for (const entry of this.#underWay ? [this.#underWay, ...this.#outbox] : this.#outbox) {
      for (const cell of entry.cells) if (cell < this.cells.length) this.cells[cell] = entry.yarn;
    }
  }

  #pump() {
    if (this.#underWay !== null || this.#lost || this.#outbox.length === 0) return;
    const wait = this.#lastSent + BETWEEN - performance.now();
    clearTimeout(this.#timer);
    if (wait > 0) {
      this.#timer = setTimeout(() => this.#pump(), wait);
      return;
    }
    const entry = /** @type {Entry} */ (this.#outbox.shift());
    this.#underWay = entry;
    this.#lastSent = performance.now();
    void this.#tell(entry);
  }

  /** @param {Entry} entry */
  async #tell(entry) {
    const before = entry.act === this.#act ? this.before : this.numbers;
    try {
      const answer = await this.#send(entry);
      this.#underWay = null;
      this.#reapplied = false;
      this.#act = entry.act;
      this.before = before;
      if (answer.reload) {
        await this.reload();
        this.before = before;
        this.#emit("numbers", { numbers: this.numbers, before, waited: performance.now() - entry.at });
      } else {
        this.#settle(entry, answer);
      }
      if (answer.making) this.#emit("making", {});
      entry.settled?.(null);
    } catch (error) {
      this.#underWay = null;
      await this.#failed(entry, error);
    }
    this.#pump();
  }

  /**
   * @param {Entry} entry
   * @param {boolean} [keepalive]
   * @returns {Promise<Edited>}
   */
  #send(entry, keepalive = false) {
    if (entry.kind === "back") return http.takeBack(this.id, this.revision);
    if (entry.kind === "again") return http.doAgain(this.id, this.revision);
    if (entry.kind === "gauge") return http.takeGauge(this.id, this.revision);
    if (entry.making) return http.putMaking(this.id, this.revision, entry.making, keepalive);
    const operation = /** @type {Operation} */ (entry.operation);
    const whole = operation.do === "stitch" ? { ...operation, cells: entry.cells } : operation;
    return http.edit(this.id, this.revision, whole, keepalive);
  }

  /**
   * The answer has the last word over what was painted before it.
   * @param {Entry} entry
   * @param {Edited} answer
   */
  #settle(entry, answer) {
    const touched = new Set(entry.cells);
    for (const [cell, yarn] of answer.cells) {
      this.#settled[cell] = yarn;
      touched.add(cell);
    }
    for (const cell of touched) this.cells[cell] = this.#settled[cell] ?? 0;
    this.#paintWaiting();
    const recoloured = answer.palette.length !== this.palette.length
      || answer.palette.some((yarn, at) => yarn.colour !== this.palette[at]?.colour || yarn.name !== this.palette[at]?.name);
    this.palette = answer.palette;
    this.numbers = answer.plan;
    this.revision = answer.revision;
    this.canTakeBack = answer.can_take_back;
    this.canDoAgain = answer.can_do_again;
    this.#emit("cells", { cells: recoloured ? null : touched });
    if (recoloured) this.#emit("palette", {});
    this.#emit("history", {});
    this.#emit("numbers", { numbers: this.numbers, before: this.before, waited: performance.now() - entry.at });
  }

  /**
   * @param {Entry} entry
   * @param {unknown} error
   */
  async #failed(entry, error) {
    const stale = error instanceof Refusal && error.status === 409;
    const silent = error instanceof Lost || (error instanceof Refusal && (error.status >= 500 || error.status === 401 || error.status === 403));
    try {
      if (stale) {
        // Stitches can be made again on the newer chart; anything else might now mean something else.
        if (entry.kind === "stitch" && !this.#reapplied) this.#outbox.unshift(entry);
        this.#reapplied = true;
        await this.reload();
        this.bus.emit("trouble", { error });
        entry.settled?.(error);
      } else if (silent) {
        this.#outbox.unshift(entry);
        this.#hold(error);
      } else {
        for (const cell of entry.cells) this.cells[cell] = this.#settled[cell] ?? 0;
        this.#paintWaiting();
        this.#emit("cells", { cells: entry.cells });
        if (entry.settled) entry.settled(error);
        else this.bus.emit("trouble", { error });
      }
    } catch (again) {
      this.#hold(again);
    }
  }

  /** @param {unknown} error Why nothing is acknowledged. */
  #hold(error) {
    this.#locked = error instanceof Refusal && (error.status === 401 || error.status === 403);
    if (!this.#lost && !this.#locked && !(error instanceof Lost)) this.bus.emit("trouble", { error });
    this.#lost = true;
    this.#tellOutbox();
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.#knock(), PATIENCE);
  }

  /** Asks whether the program is there again. The revision tells whether an edit got through unheard. */
  async #knock() {
    try {
      const blanket = await http.blanket(this.id);
      this.#lost = false;
      this.#locked = false;
      if (blanket.revision !== this.revision) {
        // The first of the outbox got through. Stitches can be sent twice; nothing else can.
        if (this.#outbox[0]?.kind !== "stitch") this.#outbox.shift();
        await this.reload();
      }
      this.#tellOutbox();
      this.#pump();
    } catch (error) {
      this.#hold(error);
    }
  }

  /**
   * @template {keyof Events} K
   * @param {K} name
   * @param {Events[K]} event
   */
  #emit(name, event) {
    if (!this.signal.aborted) this.bus.emit(name, event);
  }

  #tellOutbox() {
    this.#keep();
    this.bus.emit("outbox", { waiting: this.waiting, lost: this.#lost, locked: this.#locked });
  }

  /** While the program is silent the browser keeps what waits, should the page be closed. */
  #keep() {
    try {
      if (this.#lost && this.#outbox.length > 0) {
        localStorage.setItem(shelfOf(this.id), JSON.stringify({ revision: this.revision, outbox: this.#outbox }));
      } else {
        localStorage.removeItem(shelfOf(this.id));
      }
    } catch {
      // A browser that keeps nothing: the page warns before it is closed.
    }
  }

  /**
   * What waited when the page was closed is told now. Where the blanket was changed since, stitches
   * can be made on the newer chart; anything else might now mean something else.
   */
  #remember() {
    try {
      const kept = JSON.parse(localStorage.getItem(shelfOf(this.id)) ?? "null");
      localStorage.removeItem(shelfOf(this.id));
      /** @type {Entry[]} */
      const outbox = kept?.outbox ?? [];
      const fits = (/** @type {Entry} */ { kind, cells, yarn }) =>
        kept.revision === this.revision || (kind === "stitch" && yarn < this.palette.length && cells.every((cell) => cell < this.cells.length));
      this.#outbox = outbox.filter(fits).map((entry) => ({ ...entry, at: performance.now() }));
      this.#paintWaiting();
      setTimeout(() => this.#pump());
    } catch {
      // Nothing was kept, or nothing that can be read.
    }
  }

  /** Sends what is left when the page is closed. */
  #flush() {
    if (this.#underWay !== null) return;
    const entry = this.#outbox.shift();
    if (entry !== undefined) this.#send(entry, true).catch(() => undefined);
  }
}
