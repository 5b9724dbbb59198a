// How much of each yarn: a bar of where it goes, and beside it what to have, to buy and to pay.

/** @import { Amount, Amounts, PaletteYarn } from "../types.js" */
/** @import { Settings } from "../base/settings.js" */

import { fill, h } from "../base/dom.js";
import { inkOn, weight, yarnLength } from "../base/measure.js";
import { money, t } from "../base/words.js";

/** What a bar is made of, in the order in which it stands there. */
const PIECES = /** @type {const} */ (["stitches", "carried", "tails", "foundation", "border"]);

/**
 * The parts of an amount, as few as a bar shows.
 * @param {Amount} amount
 * @returns {[typeof PIECES[number], number][]} Metres.
 */
function pieces({ parts }) {
  return [
    ["stitches", parts.stitches], ["carried", parts.carried + parts.lifts], ["tails", parts.tails],
    ["foundation", parts.foundation + parts.turning_chains], ["border", parts.border],
  ];
}

export class YarnAmounts {
  /** @param {{settings: Settings, balls: (yarn: number) => void}} options `balls`: the person wants to say more of a yarn's balls. */
  constructor({ settings, balls }) {
    this.settings = settings;
    this.balls = balls;
    this.list = h("ul", { class: "amount-list" });
    this.total = h("div", { class: "amount-total" });
    this.legend = h("ul", { class: "bar-legend", "aria-label": t("amounts.legend") }, ...PIECES.map((piece) =>
      h("li", {}, h("span", { class: `bar-piece bar-${piece} bar-sample`, "aria-hidden": "true" }), t(`part.${piece}`))),
      h("li", {}, h("span", { class: "bar-piece bar-more bar-sample", "aria-hidden": "true" }), t("part.more")));
    this.element = h("section", { class: "stack", "aria-labelledby": "amounts-title" }, h("h2", { id: "amounts-title" }, t("amounts.yarn")), this.legend, this.list, this.total);
  }

  /** @param {Amounts} told */
  show(told) {
    const { amounts, yarns } = told;
    const most = Math.max(...amounts.map(({ to_have }) => to_have), 1);
    fill(this.list, ...amounts.map((amount) => this.#one(amount, yarns[amount.yarn], most, told)));
    const { units } = this.settings.value;
    const buy = amounts.reduce((sum, { balls }) => sum + (balls?.buy ?? 0), 0);
    const names = (/** @type {number[]} */ places) => places.map((at) => yarns[at]?.name ?? "").join(", ");
    const unknown = amounts.filter(({ balls }) => balls === null).map(({ yarn }) => yarn);
    const priceless = told.cost_unknown.filter((at) => !unknown.includes(at));
    fill(this.total,
      h("p", { class: "amount-buy" }, h("strong", {}, t("amounts.buy", { count: buy })), told.cost > 0 && h("span", {}, t("amounts.cost", { cost: money(told.cost) }))),
      unknown.length > 0 && h("p", { class: "soft" }, t("amounts.unknownBalls", { names: names(unknown) })),
      priceless.length > 0 && told.cost > 0 && h("p", { class: "soft" }, t("amounts.unknownPrice", { names: names(priceless) })),
      told.finished.grams.likely > 0 && h("p", {}, t("amounts.weight", { likely: weight(told.finished.grams.likely, units), low: weight(told.finished.grams.low, units), high: weight(told.finished.grams.high, units) }),
        told.finished.unweighed.length > 0 && ` ${t("amounts.unweighed", { names: names(told.finished.unweighed) })}`));
  }

  /**
   * @param {Amount} amount
   * @param {PaletteYarn | undefined} yarn
   * @param {number} most The longest bar, in metres.
   * @param {Amounts} told
   */
  #one(amount, yarn, most, told) {
    if (yarn === undefined) return null;
    const { units } = this.settings.value;
    const { balls, metres, grams } = amount;
    const bar = h("div", { class: "bar", "aria-hidden": "true" });
    const drawn = pieces(amount);
    for (const [piece, length] of [...drawn, /** @type {const} */ (["more", amount.to_have - metres.likely])]) {
      const part = h("span", { class: `bar-piece bar-${piece}`, style: { "--share": `${(length / most) * 100}%`, "--yarn": yarn.colour, "--on-yarn": inkOn(yarn.colour) } });
      if (length > 0) bar.append(part);
    }
    const swatch = h("span", { class: "chip-swatch", "aria-hidden": "true", style: { "background-color": yarn.colour, color: inkOn(yarn.colour) } }, yarn.symbol);
    const left = amount.yarn >= told.of_blanket;
    const plain = (/** @type {number} */ value) => yarnLength(value, units);
    const where = drawn.filter(([, length]) => length > 0).flatMap(([piece, length]) => [h("dt", {}, t(`part.${piece}`)), h("dd", {}, plain(length))]);
    return h("li", { class: "amount", "data-yarn": yarn.key },
      h("div", { class: "amount-head" }, swatch, h("h3", {}, yarn.name), h("span", { class: "amount-have", "data-have": yarn.key },
        yarnLength(amount.to_have, units, true), grams !== null && ` · ${weight(grams.likely * amount.to_have / metres.likely, units)}`)),
      bar,
      h("p", { class: "soft" }, t("amounts.takes", { likely: plain(metres.likely), low: plain(metres.low), high: plain(metres.high) }), " ", amount.strands > 0 ? t("amounts.strands", { count: amount.strands }) : t("amounts.onlyBorder")),
      h("div", { class: "amount-foot" }, h("p", { class: "amount-balls" }, balls === null ? t("amounts.noBall") : t("amounts.balls", { needed: balls.needed, hand: balls.on_hand, spare: balls.spare, buy: balls.buy }),
        amount.cost !== null && amount.cost > 0 && ` ${t("amounts.cost", { cost: money(amount.cost) })}`),
        !left && h("button", { type: "button", class: "button button-small", "aria-label": t("balls.openOf", { name: yarn.name }), on: { click: () => this.balls(amount.yarn) } }, t("balls.open"))),
      h("details", { class: "more" }, h("summary", {}, t("amounts.where")), h("dl", { class: "facts" }, ...where)),
      amount.lots.length > 0 && h("details", { class: "more" }, h("summary", {}, t("amounts.lots")), h("ul", { class: "advice" }, ...amount.lots.map((advice) => h("li", {}, advice)))));
  }
}
