// Yarns of the person's list to tick: for a new blanket, or to say which ones a picture may use.

/** @import { Yarn } from "../types.js" */
/** @import { Child } from "../base/dom.js" */

import { fill, h } from "../base/dom.js";
import { number, t } from "../base/words.js";

export class YarnPicker {
  /** @type {Set<string>} Keys of the yarns ticked. */
  chosen;

  /** @param {{yarns: Yarn[], chosen: Iterable<string>, label: string, changed?: () => void}} options */
  constructor({ yarns, chosen, label, changed }) {
    this.chosen = new Set(chosen);
    this.changed = changed;
    this.list = h("div", { class: "picker-list" });
    this.none = h("div", { class: "stack", hidden: true });
    this.element = h("fieldset", { class: "picker" }, h("legend", {}, label), this.none, this.list);
    this.show(yarns);
  }

  /**
   * @param {Yarn[]} yarns
   * @param {Child[]} [instead] Said above them, where they stand in for a list that is empty.
   */
  show(yarns, instead = []) {
    this.none.hidden = instead.length === 0;
    fill(this.none, ...instead);
    fill(this.list, ...yarns.map((yarn) => {
      const swatch = h("span", { class: "dot", "aria-hidden": "true" });
      swatch.style.setProperty("background-color", yarn.colour);
      const input = h("input", {
        type: "checkbox", checked: this.chosen.has(yarn.key),
        on: {
          change: () => {
            if (input.checked) this.chosen.add(yarn.key);
            else this.chosen.delete(yarn.key);
            this.changed?.();
          },
        },
      });
      return h("label", { class: "picker-one" }, input, swatch, h("span", { class: "picker-name" }, yarn.name),
        yarn.on_hand !== undefined && yarn.on_hand !== null && h("small", {}, t("yarns.onHandShort", { count: number(yarn.on_hand) })));
    }));
  }
}
