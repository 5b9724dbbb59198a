// Begins blankets: from a picture, from a chart file, blank, or the demo.

/** @import { Bus } from "../base/bus.js" */

import { h } from "../base/dom.js";
import { http } from "../base/http.js";
import { area, finished, ROW_TO_STITCH } from "../base/measure.js";
import { address, go } from "../base/router.js";
import { number, t } from "../base/words.js";
import { busy, Dialog } from "../parts/dialog.js";
import { numberField, textField } from "../parts/fields.js";
import { keyOf, plainYarn } from "../parts/yarn-form.js";
import { YarnPicker } from "../parts/yarn-picker.js";

/** @import { Settings } from "../base/settings.js" */

/** Yarns for those who have no list yet. All invented. */
const FIRST_YARNS = [["first.oat", "#f0e2c2"], ["first.rust", "#a3492f"], ["first.night", "#26304f"]];

/** What our own chart pictures carry in a text chunk; see the documents' page. */
const CHART_MARK = "Strandwright version";

/**
 * Whether a file is a chart and not a picture to make one of.
 * @param {Blob & {name?: string, type: string}} file
 */
async function isChart(file) {
  if (/\.csv$/i.test(file.name ?? "") || file.type === "text/csv") return true;
  const head = new TextDecoder("latin1").decode(await file.slice(0, 65536).arrayBuffer());
  return head.includes(CHART_MARK);
}

/** @param {string} [file] */
function nameOf(file = "") {
  const stem = file.replace(/\.[^.]*$/, "").replace(/[_-]+/g, " ").trim();
  return stem === "" || stem === "image" ? t("new.unnamed") : stem.charAt(0).toUpperCase() + stem.slice(1);
}

export class NewBlanket {
  /** @param {{bus: Bus, settings: Settings}} options */
  constructor({ bus, settings }) {
    this.bus = bus;
    this.settings = settings;
  }

  /**
   * Whatever was dropped, pasted or picked.
   * @param {File} file
   */
  async fromFile(file) {
    if (await isChart(file)) await this.fromChart(file);
    else await this.fromPicture(file);
  }

  /** @param {File} file */
  fromPicture(file) {
    return this.#begin(t("new.charting"), "picture", () => http.createFromPicture(nameOf(file.name), file));
  }

  /** @param {File} file */
  fromChart(file) {
    return this.#begin(t("new.reading"), "chart", () => http.createFromChart(nameOf(file.name), file));
  }

  demo() {
    return this.#begin(t("new.demoComing"), "chart", () => http.createDemo());
  }

  /**
   * @param {string} text
   * @param {"picture" | "chart"} room Where to go on.
   * @param {() => Promise<{id: number, notes?: string[]}>} work
   */
  async #begin(text, room, work) {
    const sheet = busy(text);
    try {
      const { id, notes = [] } = await work();
      sheet.done();
      go(address(room, id));
      if (notes.length > 0) this.bus.emit("note", { text: notes.join(" · ") });
    } catch (error) {
      sheet.done();
      this.bus.emit("trouble", { error });
    }
  }

  /** Asks what a blank blanket is to be like. */
  async blank() {
    let yarns;
    try {
      yarns = (await http.yarns()).yarns;
    } catch (error) {
      this.bus.emit("trouble", { error });
      return;
    }
    if (yarns.length === 0) {
      for (const [name = "", colour = ""] of FIRST_YARNS) {
        const words = t(/** @type {"first.oat"} */ (name));
        yarns.push(plainYarn(keyOf(words, yarns.map(({ key }) => key)), words, colour));
      }
    }
    const name = textField({ label: t("new.name"), value: t("new.unnamed"), required: true });
    const size = h("p", { class: "soft", "aria-live": "polite" });
    const measure = () => {
      const [across, upwards, stitches] = [columns.value, rows.value, gauge.value];
      if (!across || !upwards || !stitches) return;
      const tall = rowGauge.value ?? stitches / ROW_TO_STITCH;
      const { width, height } = finished(across, upwards, { stitches, rows: tall, estimated: rowGauge.value === null });
      size.textContent = t("new.size", { size: area(width, height, this.settings.value.units) });
    };
    const columns = numberField({ label: t("new.columns"), value: 100, whole: true, changed: measure });
    const rows = numberField({ label: t("new.rows"), value: 120, whole: true, changed: measure });
    const gauge = numberField({ label: t("picture.gaugeStitches"), value: 12.5, unit: t("picture.in10"), changed: measure });
    const rowGauge = numberField({ label: t("picture.gaugeRows"), value: null, unit: t("picture.in10"), placeholder: number(12.5 / ROW_TO_STITCH, 1), changed: measure });
    const picker = new YarnPicker({ yarns, chosen: yarns.slice(0, 4).map(({ key }) => key), label: t("new.yarns") });
    const wrong = h("p", { class: "wrong", role: "alert" });
    measure();
    const create = async () => {
      const chosen = yarns.filter(({ key }) => picker.chosen.has(key));
      const [across, upwards, stitches] = [columns.value, rows.value, gauge.value];
      if (name.input.value.trim() === "" || !across || !upwards || !stitches || chosen.length === 0) {
        wrong.textContent = t("new.incomplete");
        return;
      }
      const tall = rowGauge.value;
      try {
        const { id } = await http.createBlank({
          name: name.input.value.trim(), columns: across, rows: upwards, yarns: chosen,
          gauge: tall === null ? { stitches } : { stitches, rows: tall },
        });
        dialog.close();
        go(address("chart", id));
      } catch (error) {
        wrong.textContent = error instanceof Error ? error.message : String(error);
      }
    };
    const dialog = new Dialog({
      title: t("new.blankTitle"),
      body: [h("div", { class: "stack" }, name.element, h("div", { class: "field-row" }, columns.element, rows.element),
        h("div", { class: "field-row" }, gauge.element, rowGauge.element), size, picker.element, wrong)],
      actions: [
        h("button", { type: "button", class: "button", on: { click: () => dialog.close() } }, t("action.cancel")),
        h("button", { type: "button", class: "button button-main", on: { click: () => void create() } }, t("new.create")),
      ],
    });
    dialog.open();
  }
}
