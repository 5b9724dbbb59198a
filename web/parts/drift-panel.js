// The gauge measured again on the work: what is left to do at the gauge it really has.

/** @import { Amounts, Making, Ruler } from "../types.js" */
/** @import { Settings } from "../base/settings.js" */

import { fill, h } from "../base/dom.js";
import { wrongWith } from "../base/http.js";
import { length, yarnLength } from "../base/measure.js";
import { advice, number, t } from "../base/words.js";
import { countedField, numberField, selectField } from "./fields.js";

export class DriftPanel {
  /**
   * @param {{making: Making, settings: Settings, change: (change: Partial<Making>) => Promise<unknown>}} options
   *   `change`: keeps something, and answers what was wrong with it.
   */
  constructor({ making, settings, change }) {
    this.settings = settings;
    const again = making.measured_again;
    const units = /** @type {Ruler} */ (settings.value.units);
    const changed = () => undefined;
    this.rowsDone = numberField({ label: t("drift.rowsDone"), value: again?.rows_done ?? null, whole: true });
    this.stitches = countedField({ label: t("swatch.stitches"), over: t("swatch.over"), value: again?.stitches ?? null, unit: units, changed });
    this.rows = countedField({ label: t("swatch.rows"), over: t("swatch.over"), value: again?.rows ?? null, unit: units, changed });
    this.height = numberField({ label: t("drift.height"), value: again?.height?.number ?? null, hint: t("drift.heightHint") });
    this.unit = selectField({ label: t("swatch.unit"), hideLabel: true, value: again?.height?.unit ?? units, options: [["cm", t("unit.cm")], ["in", t("unit.in")]], changed });
    this.height.element.querySelector(".with-unit")?.append(this.unit.element);
    this.told = h("div", { class: "stack", role: "status" });
    const keep = async () => {
      const done = this.rowsDone.value;
      this.rowsDone.fail(done === null ? t("yarn.wrongNumber") : "");
      this.height.fail(this.height.unreadable ? t("yarn.wrongFree") : "");
      const [stitches, rows] = [this.stitches.check(), this.rows.check()];
      if (done === null || stitches === null || rows === null || this.height.unreadable) return;
      const height = this.height.value === null ? null : { number: this.height.value, unit: /** @type {Ruler} */ (this.unit.select.value) };
      const error = await change({ measured_again: { rows_done: done, stitches, rows, height } });
      if (error === null) forget.hidden = false;
      else fill(this.told, h("p", { class: "remark remark-grave" }, wrongWith(error)));
    };
    const forget = h("button", { type: "button", class: "button", hidden: again === null, on: {
      click: () => {
        for (const field of [this.rowsDone, this.stitches, this.rows, this.height]) field.value = null;
        forget.hidden = true;
        this.rowsDone.input.focus();
        void change({ measured_again: null });
      },
    } }, t("drift.forget"));
    this.element = h("details", { class: "card-block", open: again !== null }, h("summary", {}, h("h2", {}, t("drift.title"))),
      h("form", { class: "stack", novalidate: true, on: { submit: (event) => { event.preventDefault(); void keep(); } } }, h("p", { class: "soft" }, t("drift.help")),
        this.rowsDone.element, this.stitches.element, this.rows.element, this.height.element,
        h("div", { class: "button-row" }, h("button", { type: "submit", class: "button" }, t("drift.reckon")), forget)), this.told);
  }

  /** @param {Amounts} told */
  show({ drift, finished, amounts, yarns }) {
    const { units } = this.settings.value;
    if (drift === null) fill(this.told);
    else if ("fault" in drift) fill(this.told, h("p", { class: "remark remark-grave" }, advice(drift.fault.what, drift.fault.hint)));
    else {
      const more = drift.rows_to_go - drift.rows_left;
      const percent = Math.round((drift.yarn - 1) * 100);
      const planned = finished.without_border;
      fill(this.told,
        h("p", { class: "result" }, t("drift.size", {
          width: length(drift.width_cm, units), planned: length(planned.width_cm, units), height: length(drift.height_cm, units), plannedHeight: length(planned.height_cm, units),
        })),
        h("p", {}, more === 0 ? t("drift.asPlanned", { left: drift.rows_left }) : more > 0 ? t("drift.moreRows", { left: drift.rows_left, by: more }) : t("drift.fewerRows", { left: drift.rows_left, by: -more })),
        h("p", {}, percent === 0 ? t("drift.yarnSame") : t("drift.yarn", { percent: Math.abs(percent), more: percent > 0 ? 1 : 0 })),
        amounts.length > 0 && h("ul", { class: "plain-list" }, ...drift.amounts.map((amount) => h("li", {}, t("drift.have", { name: yarns[amount.yarn]?.name ?? "", length: yarnLength(amount.to_have, units, true) })))),
        drift.far ? h("p", { class: "remark" }, t("drift.far")) : drift.early && h("p", { class: "remark" }, t("drift.early", { rows: number(20) })));
    }
  }
}
