// Begins blankets: from a picture, from a chart file, blank, or the demo.

/** @import { Bus } from "../base/bus.js" */

import { h } from "../base/dom.js";
import { http } from "../base/http.js";
import { area, finished, ROW_TO_STITCH } from "../base/measure.js";
import { address, go, setQuery } from "../base/router.js";
import { capital, remarks, t } from "../base/words.js";
import { ask, busy, Dialog } from "../parts/dialog.js";
import { gaugeField, numberField, textField } from "../parts/fields.js";
import { LetteringForm } from "../parts/lettering-form.js";
import { readList } from "../parts/read-list.js";
import { keyOf, plainYarn } from "../parts/yarn-form.js";
import { YarnPicker } from "../parts/yarn-picker.js";

/** @import { Settings } from "../base/settings.js" */
/** @import { Yarn } from "../types.js" */

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

/**
 * Whether a file is surely no chart: JPEG, WebP, or a PNG without a palette, of which each cell's yarn
 * can't be read.
 * @param {Blob} file
 */
async function isPhotograph(file) {
  const head = new Uint8Array(await file.slice(0, 32).arrayBuffer());
  const begins = (/** @type {string} */ text, at = 0) => [...text].every((letter, place) => head[at + place] === letter.charCodeAt(0));
  if (begins("\u0089PNG")) return head[25] !== 3;
  return begins("\u00ff\u00d8\u00ff") || (begins("RIFF") && begins("WEBP", 8));
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
   * Whatever was dropped or pasted: the first of it.
   * @param {File[]} files
   */
  async fromFiles(files) {
    const [file] = files;
    if (file === undefined) return;
    const notes = files.length > 1 ? [t("new.oneAtATime", { name: file.name, others: files.length - 1 })] : [];
    if (/\.toml$/i.test(file.name)) {
      if (await readList(file, this.bus, true)) setQuery("panel", "yarns", "push");
    } else if (await isChart(file)) {
      await this.fromChart(file, notes);
    } else {
      await this.fromPicture(file, notes);
    }
  }

  /**
   * @param {File} file
   * @param {string[]} [notes]
   */
  fromPicture(file, notes = []) {
    return this.#begin(t("new.charting"), "picture", () => http.createFromPicture(nameOf(file.name), file), notes);
  }

  /**
   * @param {File} file
   * @param {string[]} [notes]
   */
  async fromChart(file, notes = []) {
    if (await isPhotograph(file)) {
      if (await ask({ title: t("new.photoTitle"), text: t("new.photoText", { name: file.name }), yes: t("new.photoYes") })) await this.fromPicture(file, notes);
      return;
    }
    await this.#begin(t("new.reading"), "chart", () => http.createFromChart(nameOf(file.name), file), notes);
  }

  demo() {
    return this.#begin(t("new.demoComing"), "chart", () => http.createDemo());
  }

  /**
   * @param {string} text
   * @param {"picture" | "chart"} room Where to go on.
   * @param {() => Promise<{id: number, notes?: string[]}>} work
   * @param {string[]} [before] Remarks that are there already.
   */
  async #begin(text, room, work, before = []) {
    const sheet = busy(text);
    try {
      const { id, notes = [] } = await work();
      sheet.done();
      const all = [...before, ...notes];
      // Told in the room that is entered now, which clears away what was said before it.
      if (all.length > 0) addEventListener("hashchange", () => this.bus.emit("note", { text: remarks(...all.slice(0, 2)) }), { once: true });
      go(address(room, id));
    } catch (error) {
      sheet.done();
      this.bus.emit("trouble", { error });
    }
  }

  /**
   * The person's yarns, or a few to begin with.
   * @returns {Promise<Yarn[] | null>} Null where they can't be had.
   */
  async #yarns() {
    let yarns;
    try {
      yarns = (await http.yarns()).yarns;
    } catch (error) {
      this.bus.emit("trouble", { error });
      return null;
    }
    if (yarns.length === 0) {
      for (const [name = "", colour = ""] of FIRST_YARNS) {
        const words = t(/** @type {"first.oat"} */ (name));
        yarns.push(plainYarn(keyOf(words, yarns.map(({ key }) => key)), words, colour));
      }
    }
    return yarns;
  }

  /** Asks which words a blanket is to have. */
  async words() {
    const yarns = await this.#yarns();
    if (yarns === null) return;
    const chooseYarn = (/** @type {string} */ label, /** @type {number} */ chosen) => {
      const select = h("select", {}, ...yarns.map(({ name }, at) => h("option", { value: at, selected: at === chosen }, name)));
      return { select, element: h("label", { class: "field" }, h("span", {}, label), select) };
    };
    const { units } = this.settings.value;
    const stitches = gaugeField({ label: t("picture.gaugeStitches"), value: 12.5, units });
    const rows = gaugeField({ label: t("picture.gaugeRows"), value: null, units, usual: 12.5 / ROW_TO_STITCH });
    const margin = numberField({ label: t("words.margin"), value: 4, whole: true, unit: t("picture.unitStitches") });
    const gauge = () => {
      const across = stitches.value || 12.5;
      return rows.value ? { stitches: across, rows: rows.value } : { stitches: across };
    };
    const form = new LetteringForm({
      set: (lettering) => http.lettering(lettering, gauge()), proportion: ROW_TO_STITCH, room: null,
      changed: () => { create.disabled = form.block === null; },
    });
    const letters = chooseYarn(t("words.yarn"), Math.min(1, yarns.length - 1));
    const ground = chooseYarn(t("words.ground"), 0);
    const wrong = h("p", { class: "wrong", role: "alert" });
    const begin = async () => {
      const [yarn, around] = [yarns[Number(letters.select.value)], yarns[Number(ground.select.value)]];
      if (yarn === undefined || around === undefined) return;
      try {
        const name = (form.value.text.split("\n")[0] ?? "").trim().slice(0, 80) || t("new.unnamed");
        const { id } = await http.createFromWords({ name, lettering: form.value, margin: margin.value ?? 0, gauge: gauge(), letters: yarn, ground: around });
        dialog.close();
        go(address("chart", id));
      } catch (error) {
        wrong.textContent = capital(error instanceof Error ? error.message : String(error));
      }
    };
    const create = h("button", { type: "button", class: "button button-main", disabled: true, on: { click: () => void begin() } }, t("new.create"));
    const dialog = new Dialog({
      title: t("words.blanketTitle"),
      body: [form.element, h("div", { class: "field-row" }, letters.element, ground.element, margin.element), h("div", { class: "field-row" }, stitches.element, rows.element), wrong],
      actions: [h("button", { type: "button", class: "button", on: { click: () => dialog.close() } }, t("action.cancel")), create],
    });
    dialog.open();
    form.text.focus();
  }

  /** Asks what a blank blanket is to be like. */
  async blank() {
    const yarns = await this.#yarns();
    if (yarns === null) return;
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
    const { units } = this.settings.value;
    const gauge = gaugeField({ label: t("picture.gaugeStitches"), value: 12.5, units, changed: measure });
    const rowGauge = gaugeField({ label: t("picture.gaugeRows"), value: null, units, usual: 12.5 / ROW_TO_STITCH, changed: measure });
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
        wrong.textContent = capital(error instanceof Error ? error.message : String(error));
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
