// What a person says of their yarns before some of them are chosen: which must be in, which stay out.

/** @import { Yarn } from "../types.js" */

import { fill, freshId, h } from "../base/dom.js";
import { t } from "../base/words.js";
import { tick } from "./fields.js";

export class YarnWishes {
  /** @type {Set<string>} Keys of yarns that must be in. */
  keep;
  /** @type {Set<string>} Keys of yarns that stay out. */
  without;

  /** @param {{yarns: Yarn[], keep: Iterable<string>, without: Iterable<string>, onHand: boolean, changed: () => void}} options */
  constructor({ yarns, keep, without, onHand, changed }) {
    this.keep = new Set(keep);
    this.without = new Set(without);
    this.onHand = onHand;
    this.changed = changed;
    this.list = h("ul", { class: "wishes" });
    this.element = h("details", { class: "more", open: this.keep.size + this.without.size > 0 || onHand },
      h("summary", {}, t("wishes.title")),
      tick({ label: t("wishes.onHand"), checked: onHand, changed: (checked) => { this.onHand = checked; changed(); } }),
      h("p", { class: "soft" }, t("wishes.help")), this.list);
    this.show(yarns);
  }

  /** @param {Yarn[]} yarns */
  show(yarns) {
    this.element.hidden = yarns.length === 0;
    fill(this.list, ...yarns.map((yarn) => {
      const id = freshId("wish");
      const dot = h("span", { class: "dot", "aria-hidden": "true" });
      dot.style.setProperty("background-color", yarn.colour);
      const now = this.keep.has(yarn.key) ? "keep" : this.without.has(yarn.key) ? "without" : "may";
      const select = h("select", { id, on: { change: () => this.#wish(yarn.key, select.value) } },
        .../** @type {const} */ (["may", "keep", "without"]).map((one) => h("option", { value: one, selected: one === now }, t(`wishes.${one}`))));
      return h("li", { class: "wish" }, dot, h("label", { class: "picker-name", for: id }, yarn.name), select);
    }));
  }

  /**
   * @param {string} key
   * @param {string} wish
   */
  #wish(key, wish) {
    this.keep.delete(key);
    this.without.delete(key);
    if (wish === "keep") this.keep.add(key);
    if (wish === "without") this.without.add(key);
    this.changed();
  }

  /** As the program takes it. */
  get value() {
    return { keep: [...this.keep], without: [...this.without], on_hand: this.onHand };
  }
}
