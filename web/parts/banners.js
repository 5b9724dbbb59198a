// What went wrong (what, where, what to do), what is worth knowing, and what is not saved yet.

/** @import { Bus } from "../base/bus.js" */

import { h, put } from "../base/dom.js";
import { Lost, Refusal } from "../base/http.js";
import { icon } from "../base/icons.js";
import { t } from "../base/words.js";

/** How long a note stays, in milliseconds. */
const NOTE = 9000;
/** Silence of the program shorter than this, in milliseconds, is not worth a word. */
const SHORT_SILENCE = 500;

export class Banners {
  /** @type {HTMLElement | null} */
  #lost = null;
  /** @type {HTMLElement | null} */
  #trouble = null;
  /** @type {HTMLElement | null} */
  #note = null;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #silence;

  /** @param {{root: HTMLElement, bus: Bus, signal: AbortSignal}} options */
  constructor({ root, bus, signal }) {
    this.root = root;
    bus.on("trouble", ({ error }) => this.#show(error), signal);
    bus.on("note", ({ text, undo, undoLabel }) => this.#tell(text, undo, undoLabel), signal);
    bus.on("outbox", ({ waiting, lost }) => this.#outbox(waiting, lost), signal);
  }

  clear() {
    this.#trouble?.remove();
    this.#trouble = null;
  }

  /**
   * @param {string} kind
   * @param {string} role
   * @param {(string | HTMLElement | false)[]} words
   * @param {() => void} [closed]
   */
  #banner(kind, role, words, closed) {
    const banner = h("div", { class: `banner banner-${kind}` });
    const text = h("div", { class: "banner-words", role });
    put(banner, icon(kind === "note" ? "check" : "warn"), text);
    if (closed) {
      put(banner, h("button", { type: "button", class: "button button-bare", "aria-label": t("action.close"), on: { click: () => { banner.remove(); closed(); } } }, icon("close")));
    }
    // An open dialog makes everything outside it unreachable, so the banners go into it meanwhile.
    const dialog = [...document.querySelectorAll("dialog[open]")].at(-1);
    if (dialog !== undefined && !dialog.contains(this.root)) {
      dialog.append(this.root);
      dialog.addEventListener("close", () => document.body.append(this.root), { once: true });
    }
    this.root.append(banner);
    // A live region speaks only of what comes after it.
    requestAnimationFrame(() => put(text, ...words));
    return banner;
  }

  /** @param {unknown} error */
  #show(error) {
    this.#trouble?.remove();
    const { what, where, hint } = told(error);
    this.#trouble = this.#banner("trouble", "alert", [
      h("strong", {}, what), where !== "" && h("span", { class: "banner-where" }, t("trouble.where", { where })),
      hint !== "" && h("span", {}, hint),
    ], () => { this.#trouble = null; });
  }

  /**
   * @param {string} text
   * @param {(() => void) | undefined} undo
   * @param {string | undefined} undoLabel
   */
  #tell(text, undo, undoLabel) {
    this.#note?.remove();
    const note = this.#banner("note", "status", [
      h("span", {}, text),
      undo !== undefined && h("button", { type: "button", class: "button button-small", on: { click: () => { note.remove(); undo(); } } }, undoLabel ?? t("action.takeBack")),
    ], () => undefined);
    this.#note = note;
    setTimeout(() => { if (!note.contains(document.activeElement)) note.remove(); }, NOTE);
  }

  /**
   * @param {number} waiting
   * @param {boolean} lost
   */
  #outbox(waiting, lost) {
    clearTimeout(this.#silence);
    if (!lost) {
      if (this.#lost !== null) this.#tell(t("lost.again"), undefined, undefined);
      this.#lost?.remove();
      this.#lost = null;
      return;
    }
    if (this.#lost !== null) {
      const count = this.#lost.querySelector(".banner-count");
      if (count) count.textContent = t("lost.waiting", { count: waiting });
      return;
    }
    this.#silence = setTimeout(() => {
      this.#lost = this.#banner("lost", "alert", [
        h("strong", {}, t("lost.what")), h("span", { class: "banner-count" }, t("lost.waiting", { count: waiting })), h("span", {}, t("lost.hint")),
      ]);
    }, SHORT_SILENCE);
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
  const whole = text.charAt(0).toUpperCase() + text.slice(1);
  return /[.!?]$/.test(whole) ? whole : `${whole}.`;
}
