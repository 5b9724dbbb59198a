// The fields of one yarn: name, colour by picker or by number, what a ball holds, what is in the basket.

/** @import { PaletteYarn, Yarn } from "../types.js" */

import { freshId, h } from "../base/dom.js";
import { readHex } from "../base/measure.js";
import { maybe, t } from "../base/words.js";
import { numberField, textField } from "./fields.js";

/** Names of the standard yarn weight system, 0 to 7. */
const WEIGHTS = ["lace", "super fine", "fine", "light", "medium", "bulky", "super bulky", "jumbo"];

/**
 * A yarn of which nothing is known but a name and a colour: a ball of 100 g of medium yarn.
 * @param {string} key
 * @param {string} name
 * @param {string} colour
 * @returns {Yarn}
 */
export function plainYarn(key, name, colour) {
  return { key, name, colour, weight: "medium", metres: 170, grams: 100 };
}

/**
 * A yarn of a chart as one of the person's list, which must know what a ball holds.
 * @param {PaletteYarn} yarn
 * @returns {Yarn}
 */
export function listed({ symbol: _symbol, stitches: _stitches, ...yarn }) {
  return { ...plainYarn(yarn.key, yarn.name, yarn.colour), ...Object.fromEntries(Object.entries(yarn).filter(([, value]) => value !== null)) };
}

/**
 * A key made of a name: letters, digits, `-` and `_`, not taken yet.
 * @param {string} name
 * @param {Iterable<string>} taken
 */
export function keyOf(name, taken) {
  const others = new Set(taken);
  const stem = name.toLowerCase().replace(/[^\p{L}\p{N}_-]+/gu, "-").replace(/^-+|-+$/g, "").slice(0, 20) || "yarn";
  for (let at = 1; ; at += 1) {
    const key = at === 1 ? stem : `${stem}-${at}`;
    if (!others.has(key)) return key;
  }
}

export class YarnForm {
  /**
   * @param {{yarn: Yarn, changed?: () => void, stock?: boolean}} options `stock`: a yarn of the person's
   *   list, with balls on hand, price and dye lot; its weight and ball must be known.
   */
  constructor({ yarn, changed = () => undefined, stock = true }) {
    this.yarn = yarn;
    const pickerId = freshId("colour");
    const weightId = freshId("weight");
    this.name = textField({ label: t("yarn.name"), value: yarn.name, changed, required: true });
    this.picker = h("input", { type: "color", id: pickerId, value: yarn.colour, on: { input: () => { this.hex.input.value = this.picker.value; this.#mark(); changed(); } } });
    this.hex = textField({
      label: t("yarn.hex"), value: yarn.colour,
      changed: () => {
        const colour = readHex(this.hex.input.value);
        if (colour !== null) this.picker.value = colour;
        this.#mark();
        changed();
      },
    });
    this.stock = stock;
    this.weight = h("select", { id: weightId, on: { change: changed } },
      !stock && h("option", { value: "", selected: (yarn.weight ?? null) === null }, t("weight.unknown")), ...WEIGHTS.map((weight, at) =>
      h("option", { value: weight, selected: weight === yarn.weight || at === yarn.weight }, maybe(`weight.${weight}`, weight))));
    this.metres = numberField({ label: t("yarn.metres"), value: yarn.metres ?? null, unit: "m", changed });
    this.grams = numberField({ label: t("yarn.grams"), value: yarn.grams ?? null, unit: "g", changed });
    this.onHand = numberField({ label: t("yarn.onHand"), value: yarn.on_hand ?? null, whole: true, changed });
    this.price = numberField({ label: t("yarn.price"), value: yarn.price ?? null, changed });
    this.dyeLot = textField({ label: t("yarn.dyeLot"), value: yarn.dye_lot ?? "", changed });
    this.element = h("div", { class: "yarn-form" },
      this.name.element,
      h("div", { class: "field-row" }, h("div", { class: "field" }, h("label", { for: pickerId }, t("yarn.colour")), this.picker), this.hex.element),
      h("div", { class: "field" }, h("label", { for: weightId }, t("yarn.weight")), this.weight),
      h("div", { class: "field-row" }, this.metres.element, this.grams.element),
      stock && h("div", { class: "field-row" }, this.onHand.element, this.price.element, this.dyeLot.element));
  }

  #mark() {
    this.hex.fail(readHex(this.hex.input.value) === null ? t("yarn.wrongColour") : "");
  }

  /**
   * Says at each field what is wrong with it.
   * @param {boolean} [lead] Goes to the first of them as well.
   * @returns {Yarn | null} The yarn where nothing is wrong.
   */
  check(lead = true) {
    const { grams } = this;
    const ball = (/** @type {typeof this.metres} */ field, /** @type {typeof this.metres} */ other) => {
      if (field.unreadable || field.value === 0) return t("yarn.wrongNumber");
      if (field.value !== null) return "";
      return this.stock ? t("yarn.wrongMissing") : other.value !== null ? t("yarn.wrongPair") : "";
    };
    const free = (/** @type {typeof this.metres} */ field) => (field.unreadable ? t("yarn.wrongFree") : "");
    /** @type {[{fail: (text: string) => void, input: HTMLInputElement}, string][]} */
    const found = [
      [this.name, this.name.input.value.trim() === "" ? t("yarn.wrongName") : ""],
      [this.hex, readHex(this.hex.input.value) === null ? t("yarn.wrongColour") : ""],
      [this.metres, ball(this.metres, grams)], [grams, ball(grams, this.metres)],
      [this.onHand, free(this.onHand)], [this.price, free(this.price)],
    ];
    for (const [field, words] of found) field.fail(words);
    const first = found.find(([, words]) => words !== "");
    if (lead) first?.[0].input.focus();
    return first === undefined ? this.value : null;
  }

  /** The yarn as filled in, or null where something is missing. */
  get value() {
    const name = this.name.input.value.trim();
    const colour = readHex(this.hex.input.value);
    const [metres, grams] = [this.metres.value, this.grams.value];
    const known = Boolean(metres && grams);
    const unknown = !this.stock && metres === null && grams === null;
    if (name === "" || colour === null || !(known || unknown)) return null;
    /** @type {Yarn} */
    const yarn = { key: this.yarn.key, name, colour };
    if (this.weight.value !== "") yarn.weight = this.weight.value;
    if (known) Object.assign(yarn, { metres, grams });
    // Without these fields in sight, what was in them stays.
    if (this.price.value !== null) yarn.price = this.price.value;
    if (this.onHand.value !== null) yarn.on_hand = this.onHand.value;
    const lot = this.dyeLot.input.value.trim();
    if (lot !== "") yarn.dye_lot = lot;
    return yarn;
  }
}
