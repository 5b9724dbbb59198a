// The one event bus: what happened, told to whoever listens. Rooms and components know each other
// only through it.

/** @import { Numbers } from "../types.js" */

/**
 * @typedef {object} Events
 * @property {{cells: Iterable<number> | null}} cells Cells of the open blanket changed; null: all of them.
 * @property {{numbers: Numbers, before: Numbers | null, waited: number | null}} numbers New numbers, those
 *   before this act began, and the milliseconds from the hand to the numbers.
 * @property {{}} palette The yarns of the open blanket changed.
 * @property {{}} history What can be taken back changed.
 * @property {{waiting: number, lost: boolean, locked: boolean}} outbox Stitches that the program has not acknowledged;
 *   `locked`: it runs, but anew, and doesn't know this window yet.
 * @property {{}} making What is kept for the making of the open blanket changed.
 * @property {{}} reloaded The open blanket was loaded again.
 * @property {{}} settings
 * @property {{}} renamed
 * @property {{}} ended The program was ended.
 * @property {{}} yarns The person's list of yarns changed.
 * @property {{error: unknown}} trouble Something went wrong that a person should see.
 * @property {{text: string, undo?: () => void, undoLabel?: string}} note Something worth telling, calmly.
 * @property {{text: string}} say Something for those who listen to the page.
 */

export class Bus {
  /** @type {Map<string, Set<(event: any) => void>>} */
  #listeners = new Map();

  /**
   * Listens until the signal is aborted.
   * @template {keyof Events} K
   * @param {K} name
   * @param {(event: Events[K]) => void} listener
   * @param {AbortSignal} signal
   */
  on(name, listener, signal) {
    const listeners = this.#listeners.get(name) ?? new Set();
    this.#listeners.set(name, listeners);
    listeners.add(listener);
    signal.addEventListener("abort", () => listeners.delete(listener), { once: true });
  }

  /**
   * @template {keyof Events} K
   * @param {K} name
   * @param {Events[K]} event
   */
  emit(name, event) {
    for (const listener of [...(this.#listeners.get(name) ?? [])]) listener(event);
  }
}
