// What a person gives for the making of the open blanket: loaded once, changed field by field, each
// change kept by the program as one step to take back.

/** @import { Making } from "../types.js" */
/** @import { Bus } from "./bus.js" */
/** @import { OpenBlanket } from "./open-blanket.js" */

import { http } from "./http.js";

/** How long to wait for more to be told, in milliseconds. */
const MOMENT = 30;

export class MakingKeeper {
  /** @type {Making | null} */
  #value = null;
  /** Changes on their way: their answers are not news. */
  #underWay = 0;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;

  /**
   * @param {{blanket: OpenBlanket, bus: Bus, signal: AbortSignal, changed: (own: boolean) => void}} options `changed`:
   *   what comes of it has to be asked for again; `own`: the change came from here.
   */
  constructor({ blanket, bus, signal, changed }) {
    this.blanket = blanket;
    this.bus = bus;
    this.signal = signal;
    this.changed = changed;
    for (const event of /** @type {const} */ (["reloaded", "palette", "settings"])) bus.on(event, () => this.#news(), signal);
    // Of the answers to changes from here nothing is new.
    for (const event of /** @type {const} */ (["making", "numbers"])) bus.on(event, () => { if (this.#underWay === 0) this.#news(); }, signal);
    signal.addEventListener("abort", () => clearTimeout(this.#timer), { once: true });
  }

  /** Only once it is loaded. */
  get value() {
    if (this.#value === null) throw new Error("what is kept for the making is not loaded yet");
    return this.#value;
  }

  async load() {
    this.#value = (await http.making(this.blanket.id)).making;
  }

  /** Much may be told at once; it is asked for once. */
  #news() {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.#again(), MOMENT);
  }

  async #again() {
    try {
      await this.load();
      if (!this.signal.aborted) this.changed(false);
    } catch (error) {
      if (!this.signal.aborted) this.bus.emit("trouble", { error });
    }
  }

  /**
   * Changes some of it. Where that is refused, all is as it was.
   * @param {Partial<Making>} change
   * @returns {Promise<unknown>} What was wrong with it, or null.
   */
  async change(change) {
    const before = this.value;
    const after = { ...before, ...change };
    if (JSON.stringify(after) === JSON.stringify(before)) return null;
    this.#value = after;
    this.#underWay += 1;
    try {
      await this.blanket.keepMaking(after);
      return null;
    } catch (error) {
      if (this.#value === after) this.#value = before;
      return error;
    } finally {
      this.#underWay -= 1;
      if (this.#underWay === 0 && !this.signal.aborted) this.changed(true);
    }
  }
}
