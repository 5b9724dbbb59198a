// "Take back" and "Do again": two buttons that every room has in which something can be changed, and
// their keys.

/** @import { Bus } from "../base/bus.js" */
/** @import { OpenBlanket } from "../base/open-blanket.js" */

import { h } from "../base/dom.js";
import { icon } from "../base/icons.js";
import { maybe, t } from "../base/words.js";

export class HistoryButtons {
  /** @param {{blanket: OpenBlanket, bus: Bus, signal: AbortSignal}} options */
  constructor({ blanket, bus, signal }) {
    this.blanket = blanket;
    this.back = this.#button("back", () => blanket.takeBack());
    this.again = this.#button("again", () => blanket.doAgain());
    this.waiting = h("span", { class: "waiting", role: "status" });
    bus.on("history", () => this.#show(), signal);
    bus.on("outbox", ({ waiting, lost }) => { this.waiting.textContent = lost ? t("chart.waiting", { count: waiting }) : ""; this.#show(); }, signal);
    addEventListener("keydown", (event) => this.#key(event), { signal });
    this.#show();
  }

  /**
   * @param {"back" | "again"} name
   * @param {() => void} run
   */
  #button(name, run) {
    return h("button", { type: "button", class: "button button-small", "data-do": name, on: { click: run } }, icon(name, 20), h("span", {}, t(name === "back" ? "action.takeBack" : "action.doAgain")));
  }

  #show() {
    for (const [button, what, can, label] of /** @type {const} */ ([
      [this.back, this.blanket.canTakeBack, this.blanket.canGoBack, "action.takeBack"],
      [this.again, this.blanket.canDoAgain, this.blanket.canDoAgain !== null, "action.doAgain"],
    ])) {
      // Not "disabled": that would throw the focus away just after the last step.
      button.setAttribute("aria-disabled", String(!can));
      const words = !can ? t(button === this.back ? "chart.nothingBack" : "chart.nothingAgain") : what === null ? t(label) : t("chart.stepOf", { label: t(label), step: maybe(`operation.${what}`, what) });
      button.title = words;
    }
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    if (!(event.ctrlKey || event.metaKey) || event.altKey || document.querySelector("dialog[open]")) return;
    const { target } = event;
    const typing = target instanceof HTMLTextAreaElement || (target instanceof HTMLInputElement && !["checkbox", "radio", "range"].includes(target.type));
    const key = event.key.toLowerCase();
    if (typing || (key !== "z" && key !== "y")) return;
    event.preventDefault();
    if (key === "y" || event.shiftKey) this.blanket.doAgain();
    else this.blanket.takeBack();
  }
}
