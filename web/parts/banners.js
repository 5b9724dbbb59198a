// What went wrong (what, where, what to do), what is worth knowing, and what is not saved yet.

/** @import { Bus } from "../base/bus.js" */

import { h, put } from "../base/dom.js";
import { Lost, Refusal } from "../base/http.js";
import { icon } from "../base/icons.js";
import { capital, t } from "../base/words.js";

/** How long a note stays, in milliseconds. */
const NOTE = 6000;
/** What went wrong stays at least so long, in milliseconds, while stitches go well again. */
const LEAST = 2500;
/** Silence of the program shorter than this, in milliseconds, is not worth a word. */
const SHORT_SILENCE = 500;

/** @typedef {"lost" | "trouble" | "note"} Kind Of each there is one at most. */

export class Banners {
  /** @type {Map<Kind, HTMLElement>} */
  #shown = new Map();
  #troubledAt = 0;
  #locked = false;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #silence;

  /** @param {{root: HTMLElement, bus: Bus, signal: AbortSignal}} options */
  constructor({ root, bus, signal }) {
    this.root = root;
    bus.on("trouble", ({ error }) => this.#show(error), signal);
    bus.on("note", ({ text, undo, undoLabel }) => this.#tell(text, undo, undoLabel), signal);
    bus.on("outbox", ({ waiting, lost, locked }) => this.#outbox(waiting, lost, locked), signal);
    // What went well makes an older failure a thing of the past.
    bus.on("numbers", ({ waited }) => { if (waited !== null) this.#passed(); }, signal);
    bus.on("yarns", () => this.#passed(), signal);
  }

  /** The room is another: what was said in the one before is over. */
  clear() {
    this.#take("trouble");
    this.#take("note");
  }

  #passed() {
    if (performance.now() - this.#troubledAt > LEAST) this.#take("trouble");
  }

  /** @param {Kind} kind */
  #take(kind) {
    this.#shown.get(kind)?.remove();
    this.#shown.delete(kind);
  }

  /**
   * @param {Kind} kind
   * @param {(string | HTMLElement | false)[]} words
   * @param {boolean} [closing] Whether the person can close it.
   */
  #banner(kind, words, closing = true) {
    this.#take(kind);
    const banner = h("div", { class: `banner banner-${kind}` });
    const text = h("div", { class: "banner-words", role: kind === "note" ? "status" : "alert" });
    put(banner, icon(kind === "note" ? "check" : "warn"), text);
    if (closing) {
      put(banner, h("button", { type: "button", class: "button button-bare", "aria-label": t("action.close"), on: { click: () => this.#take(kind) } }, icon("close")));
    }
    // An open dialog makes everything outside it unreachable, so the banners go into it meanwhile.
    const dialog = [...document.querySelectorAll("dialog[open]")].at(-1);
    if (dialog !== undefined && !dialog.contains(this.root)) {
      dialog.append(this.root);
      dialog.addEventListener("close", () => document.body.append(this.root), { once: true });
    }
    this.root.append(banner);
    this.#shown.set(kind, banner);
    // A live region speaks only of what comes after it.
    requestAnimationFrame(() => put(text, ...words));
    return banner;
  }

  /** @param {unknown} error */
  #show(error) {
    const { what, where, hint } = told(error);
    this.#troubledAt = performance.now();
    this.#banner("trouble", [
      h("strong", {}, what), where !== "" && h("span", { class: "banner-where" }, t("trouble.where", { where })),
      hint !== "" && h("span", {}, hint),
    ]);
  }

  /**
   * @param {string} text
   * @param {(() => void) | undefined} undo
   * @param {string | undefined} undoLabel
   */
  #tell(text, undo, undoLabel) {
    this.#take("trouble");
    const note = this.#banner("note", [
      h("span", {}, capital(text)),
      undo !== undefined && h("button", { type: "button", class: "button button-small", on: { click: () => { this.#take("note"); undo(); } } }, undoLabel ?? t("action.takeBack")),
    ]);
    const leave = () => {
      if (this.#shown.get("note") !== note) return;
      // Not under the hand of someone who is about to use it.
      if (note.contains(document.activeElement) || note.matches(":hover")) setTimeout(leave, 1000);
      else this.#take("note");
    };
    setTimeout(leave, NOTE);
  }

  /**
   * @param {number} waiting
   * @param {boolean} lost
   * @param {boolean} locked
   */
  #outbox(waiting, lost, locked) {
    clearTimeout(this.#silence);
    if (!lost) {
      if (this.#shown.has("lost")) this.#tell(t("lost.again"), undefined, undefined);
      this.#take("lost");
      return;
    }
    const words = () => [
      h("strong", {}, t(locked ? "locked.what" : "lost.what")), h("span", { class: "banner-count" }, t(locked ? "locked.waiting" : "lost.waiting", { count: waiting })),
      h("span", {}, t(locked ? "locked.hint" : "lost.hint")),
    ];
    const now = this.#shown.get("lost");
    if (now !== undefined && this.#locked === locked) {
      const count = now.querySelector(".banner-count");
      const text = t(locked ? "locked.waiting" : "lost.waiting", { count: waiting });
      if (count && count.textContent !== text) count.textContent = text;
      return;
    }
    this.#locked = locked;
    if (now !== undefined) this.#banner("lost", words(), false);
    else this.#silence = setTimeout(() => this.#banner("lost", words(), false), SHORT_SILENCE);
  }
}

/**
 * @param {unknown} error
 * @returns {{what: string, where: string, hint: string}}
 */
function told(error) {
  if (error instanceof Refusal) {
    if (error.status === 409) return { what: t("trouble.stale"), where: "", hint: t("trouble.staleHint") };
    if (error.status === 401 || error.status === 403) return { what: t("trouble.locked"), where: "", hint: t("trouble.lockedHint") };
    return { what: sentence(error.what), where: error.where, hint: sentence(error.hint) };
  }
  if (error instanceof Lost) return { what: t("lost.what"), where: "", hint: t("lost.hint") };
  return { what: t("trouble.unknown"), where: error instanceof Error ? error.message : String(error), hint: t("trouble.unknownHint") };
}

/**
 * The program writes its messages in lower case and without a full stop.
 * @param {string} text
 */
function sentence(text) {
  if (text === "") return "";
  const whole = capital(text);
  return /[.!?]$/.test(whole) ? whole : `${whole}.`;
}
