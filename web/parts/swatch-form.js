// The swatch: what was counted, measured or weighed, what comes of it at once, and a likely slip to mend
// with one touch.

/** @import { Counted, Measure, PaletteYarn, Remark, Ruler, Swatch, SwatchTold, Unit } from "../types.js" */

import { fill, h } from "../base/dom.js";
import { icon } from "../base/icons.js";
import { capital, t } from "../base/words.js";
import { countedField, numberField, selectField, tick } from "./fields.js";

/** How long the hand must rest before the swatch is tried, in milliseconds. */
const REST = 350;

export class SwatchForm {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;
  #tried = 0;
  #carried = true;

  /**
   * @param {object} options
   * @param {Swatch | null} options.swatch
   * @param {Ruler} options.units
   * @param {PaletteYarn[]} options.palette
   * @param {(swatch: Swatch) => Promise<SwatchTold>} options.tried
   * @param {(swatch: Swatch | null) => void} options.keep
   * @param {(error: unknown) => void} options.trouble
   */
  constructor({ swatch, units, palette, tried, keep, trouble }) {
    this.tried = tried;
    this.keep = keep;
    this.trouble = trouble;
    this.units = units;
    const changed = () => this.#changed();
    this.stitches = countedField({ label: t("swatch.stitches"), over: t("swatch.over"), value: swatch?.stitches ?? null, unit: units, changed });
    this.rows = countedField({ label: t("swatch.rows"), over: t("swatch.over"), value: swatch?.rows ?? null, unit: units, changed });
    this.taken = numberField({ label: t("swatch.taken"), value: swatch?.yarn_taken?.number ?? null, hint: t("swatch.takenHint"), changed });
    this.takenUnit = selectField({
      label: t("swatch.unit"), hideLabel: true, value: swatch?.yarn_taken?.unit ?? (units === "in" ? "oz" : "g"), changed,
      options: [["g", t("unit.g")], ["oz", t("unit.oz")], ["m", t("unit.m")], ["yd", t("unit.yd")], ["cm", t("unit.cm")], ["in", t("unit.in")]],
    });
    this.taken.element.querySelector(".with-unit")?.append(this.takenUnit.element);
    this.#carried = swatch?.carried ?? true;
    this.inside = tick({ label: t("swatch.carried"), checked: this.#carried, changed: (on) => { this.#carried = on; changed(); } });
    this.yarn = selectField({
      label: t("swatch.yarn"), value: swatch?.yarn ?? "", changed,
      options: [["", t("swatch.mainYarn")], .../** @type {[string, string][]} */ (palette.map((yarn) => [yarn.key, yarn.name]))],
    });
    this.across = numberField({ label: t("swatch.wholeStitches"), value: swatch?.whole?.[0] ?? null, whole: true, changed });
    this.up = numberField({ label: t("swatch.wholeRows"), value: swatch?.whole?.[1] ?? null, whole: true, changed });
    this.found = h("div", { class: "swatch-found", role: "status" });
    this.main = h("button", { type: "submit", class: "button button-main" }, t("swatch.take"));
    this.none = h("button", { type: "button", class: "button", hidden: swatch === null, on: { click: () => this.keep(null) } }, t("swatch.none"));
    this.element = h("form", { class: "stack swatch-form", novalidate: true, on: { submit: (event) => { event.preventDefault(); this.#take(); } } },
      this.stitches.element, this.rows.element, this.taken.element, this.inside, this.yarn.element,
      h("details", { class: "more", open: swatch?.whole ? true : false }, h("summary", {}, t("swatch.more")),
        h("div", { class: "stack" }, h("p", { class: "soft" }, t("swatch.wholeHint")), h("div", { class: "field-row" }, this.across.element, this.up.element))),
      this.found, h("div", { class: "button-row" }, this.main, this.none));
    if (swatch !== null) this.#changed();
  }

  /** @returns {Swatch | null} The swatch as far as it is filled in; null without its stitches. */
  get value() {
    const stitches = this.stitches.value;
    if (stitches === null) return null;
    const taken = this.taken.value;
    const [across, up] = [this.across.value, this.up.value];
    return {
      stitches, rows: this.rows.value, carried: this.#carried, yarn: this.yarn.select.value || null,
      yarn_taken: taken === null ? null : { number: taken, unit: /** @type {Unit} */ (this.takenUnit.select.value) },
      whole: across !== null && up !== null ? [across, up] : null,
    };
  }

  /**
   * It is kept, or reckoned without.
   * @param {Swatch | null} swatch
   */
  kept(swatch) {
    this.none.hidden = swatch === null;
    if (swatch !== null) return;
    for (const field of [this.stitches, this.rows, this.taken, this.across, this.up]) field.value = null;
    this.#changed(0);
    this.stitches.count.input.focus();
  }

  /** @param {Swatch} swatch */
  #put(swatch) {
    this.stitches.value = /** @type {Counted} */ (swatch.stitches);
    this.rows.value = swatch.rows;
    const taken = /** @type {Measure | null} */ (swatch.yarn_taken);
    this.taken.value = taken?.number ?? null;
    if (taken !== null) this.takenUnit.select.value = taken.unit;
    this.#changed(0);
  }

  /** @param {number} [rest] */
  #changed(rest = REST) {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.#try(), rest);
  }

  async #try() {
    const swatch = this.value;
    this.#tried += 1;
    const at = this.#tried;
    if (swatch === null) {
      fill(this.found);
      return;
    }
    try {
      const told = await this.tried(swatch);
      if (at === this.#tried) this.#tell(told);
    } catch (error) {
      if (at === this.#tried) this.trouble(error);
    }
  }

  /** @param {SwatchTold} told */
  #tell(told) {
    fill(this.found, told.fault !== null && this.#remark(told.fault, true), ...told.remarks.map((remark) => this.#remark(remark, false)),
      told.says[0] !== undefined && h("p", {}, told.says[0]));
  }

  /**
   * @param {Remark} remark
   * @param {boolean} grave Whether nothing comes of the swatch.
   */
  #remark({ what, hint, mended }, grave) {
    return h("div", { class: grave ? "remark remark-grave" : "remark" }, icon("warn", 18), h("div", { class: "remark-words" },
      h("strong", {}, capital(what)), h("span", {}, capital(hint)),
      mended !== null && h("button", { type: "button", class: "button button-small", "data-do": "mend", on: { click: () => this.#put(mended) } }, t("swatch.mend"))));
  }

  #take() {
    const stitches = this.stitches.check();
    if (!this.rows.empty) this.rows.check();
    this.taken.fail(this.taken.unreadable ? t("yarn.wrongNumber") : "");
    const swatch = this.value;
    if (stitches === null) {
      (this.stitches.count.value === null ? this.stitches.count : this.stitches.along).input.focus();
      return;
    }
    if ((!this.rows.empty && this.rows.value === null) || this.taken.unreadable || swatch === null) return;
    this.keep(swatch);
  }

  /** Stops trying. */
  close() {
    clearTimeout(this.#timer);
  }
}
