// What is known of a yarn's balls: what one holds, how many are there, what one costs, which lot.

/** @import { PaletteYarn, Yarn } from "../types.js" */

import { h } from "../base/dom.js";
import { t } from "../base/words.js";
import { Dialog } from "./dialog.js";
import { numberField, textField } from "./fields.js";

/**
 * Asks for it.
 * @param {{yarn: PaletteYarn, change: (yarn: Yarn) => void}} options
 */
export function askBalls({ yarn, change }) {
  const { symbol: _symbol, stitches: _stitches, ...own } = yarn;
  const metres = numberField({ label: t("yarn.metres"), value: own.metres ?? null, unit: "m" });
  const grams = numberField({ label: t("yarn.grams"), value: own.grams ?? null, unit: "g" });
  const onHand = numberField({ label: t("yarn.onHand"), value: own.on_hand ?? null, whole: true });
  const price = numberField({ label: t("yarn.price"), value: own.price ?? null });
  const lot = textField({ label: t("yarn.dyeLot"), value: own.dye_lot ?? "" });
  const keep = () => {
    const half = (metres.value === null) !== (grams.value === null);
    for (const [field, other] of [[metres, grams], [grams, metres]]) {
      const wrong = field?.unreadable || field?.value === 0;
      field?.fail(wrong ? t("yarn.wrongNumber") : half && field.value === null && other !== field ? t("yarn.wrongPair") : "");
    }
    for (const field of [onHand, price]) field.fail(field.unreadable ? t("yarn.wrongFree") : "");
    const first = form.querySelector("[aria-invalid]");
    if (first instanceof HTMLElement) {
      first.focus();
      return;
    }
    change({ ...own, metres: metres.value, grams: grams.value, on_hand: onHand.value, price: price.value, dye_lot: lot.input.value.trim() || null });
    dialog.close();
  };
  const form = h("form", { id: "balls-form", class: "stack", novalidate: true, on: { submit: (event) => { event.preventDefault(); keep(); } } },
    h("p", { class: "soft" }, t("balls.help")),
    h("div", { class: "field-row" }, metres.element, grams.element), h("div", { class: "field-row" }, onHand.element, price.element), lot.element);
  const dialog = new Dialog({
    title: t("balls.title", { name: yarn.name }), body: [form],
    actions: [
      h("button", { type: "button", class: "button", on: { click: () => dialog.close() } }, t("action.cancel")),
      h("button", { type: "submit", form: "balls-form", class: "button button-main" }, t("action.keep")),
    ],
  });
  dialog.open();
  onHand.input.focus();
}
