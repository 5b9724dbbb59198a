// Changes of more than a stitch: chosen from a list, with the numbers that each one needs, and done.

/** @import { Operation, PaletteYarn, Region } from "../types.js" */
/** @import { OpenBlanket } from "../base/open-blanket.js" */
/** @import { Bus } from "../base/bus.js" */
/** @import { Key } from "../base/words.js" */

import { fill, freshId, h } from "../base/dom.js";
import { t } from "../base/words.js";
import { choice, numberField } from "./fields.js";

/**
 * @typedef {object} Part A field of the form.
 * @property {HTMLElement} element
 * @property {() => number | string | null} read
 */

/**
 * @typedef {object} Want What a change asks for before it can be done.
 * @property {"number" | "yarn" | "choice" | "row" | "column"} kind
 * @property {Key} label
 * @property {number | null} [value] To begin with; null: none needed.
 * @property {[string, Key][]} [options]
 */

/** @typedef {Record<string, any>} Values */

/**
 * @typedef {object} Change
 * @property {Key} words
 * @property {Key} help
 * @property {boolean} [area] It needs a marked area.
 * @property {Record<string, Want>} wants
 * @property {(values: Values, area: Region | null) => Operation} make
 */

/** @type {Want} */
const YARN = { kind: "yarn", label: "change.yarn" };
/** @type {Want} */
const WHERE = { kind: "choice", label: "change.where", options: [["all", "change.everywhere"], ["area", "change.inArea"]] };

/**
 * @param {Values} values
 * @param {Region | null} area
 */
const inside = ({ where }, area) => (where === "area" ? { region: area } : {});

/**
 * All changes, in groups. Columns and rows of the form count from 1, as people do.
 * @type {[Key, Record<string, Change>][]}
 */
const GROUPS = [
  ["change.tidy", {
    clean: {
      words: "change.clean", help: "change.cleanHelp", wants: { below: { kind: "number", label: "change.below", value: 3 }, where: WHERE },
      make: (values, area) => ({ do: "clean", below: values.below, ...inside(values, area) }),
    },
    smooth: { words: "change.smooth", help: "change.smoothHelp", wants: { where: WHERE }, make: (values, area) => ({ do: "smooth", ...inside(values, area) }) },
    background: {
      words: "change.background", help: "change.backgroundHelp", wants: { tolerance: { kind: "number", label: "change.tolerance", value: 12 }, yarn: YARN },
      make: ({ tolerance, yarn }) => ({ do: "background", tolerance, yarn }),
    },
  }],
  ["change.colours", {
    replace: {
      words: "change.replace", help: "change.replaceHelp",
      wants: {
        from: { kind: "yarn", label: "change.from" }, to: { kind: "yarn", label: "change.to" },
        where: { ...WHERE, options: [["all", "change.everywhere"], ["area", "change.inArea"], ["row", "change.inRow"]] },
        row: { kind: "row", label: "change.rowNumber", value: null },
      },
      make: ({ from, to, where, row }, area) => ({ do: "replace", from, to, ...(where === "row" ? { row: (row ?? 1) - 1 } : inside({ where }, area)) }),
    },
    exchange: {
      words: "change.exchange", help: "change.exchangeHelp", wants: { one: YARN, other: { kind: "yarn", label: "change.other" }, where: WHERE },
      make: (values, area) => ({ do: "exchange", one: values.one, other: values.other, ...inside(values, area) }),
    },
    merge: {
      words: "change.merge", help: "change.mergeHelp", wants: { from: { kind: "yarn", label: "change.goes" }, to: { kind: "yarn", label: "change.stays" } },
      make: ({ from, to }) => ({ do: "merge", from, to }),
    },
  }],
  ["change.areaTitle", {
    move: {
      words: "change.move", help: "change.moveHelp", area: true,
      wants: { right: { kind: "number", label: "change.right", value: 0 }, up: { kind: "number", label: "change.up", value: 0 }, yarn: { kind: "yarn", label: "change.leave" } },
      make: ({ right, up, yarn }, area) => ({ do: "move", region: /** @type {Region} */ (area), to: [(area?.column ?? 0) + right, (area?.row ?? 0) + up], yarn }),
    },
    copy: {
      words: "change.copy", help: "change.copyHelp", area: true,
      wants: { right: { kind: "number", label: "change.right", value: 0 }, up: { kind: "number", label: "change.up", value: 0 } },
      make: ({ right, up }, area) => ({ do: "copy", region: /** @type {Region} */ (area), to: [(area?.column ?? 0) + right, (area?.row ?? 0) + up] }),
    },
    repeat: {
      words: "change.repeat", help: "change.repeatHelp", area: true, wants: { drop: { kind: "number", label: "change.drop", value: 0 } },
      make: ({ drop }, area) => ({ do: "repeat", region: /** @type {Region} */ (area), ...(drop ? { drop } : {}) }),
    },
    mirror: {
      words: "change.mirror", help: "change.mirrorHelp",
      wants: { way: { kind: "choice", label: "change.way", options: [["sideways", "change.sideways"], ["upside_down", "change.upsideDown"]] }, where: WHERE },
      make: (values, area) => ({ do: "mirror", way: values.way, ...inside(values, area) }),
    },
    shape: {
      words: "change.shape", help: "change.shapeHelp",
      wants: {
        shape: { kind: "choice", label: "change.shapeKind", options: [["ellipse", "change.oval"], ["rounded_rectangle", "change.rounded"], ["heart", "change.heart"]] },
        radius: { kind: "number", label: "change.radius", value: 10 }, where: WHERE, yarn: { kind: "yarn", label: "change.outside" },
      },
      make: (values, area) => ({
        do: "crop_to_shape", shape: values.shape, yarn: values.yarn, ...(values.shape === "rounded_rectangle" ? { radius: values.radius } : {}), ...inside(values, area),
      }),
    },
  }],
  ["change.size", {
    frame: {
      words: "change.frame", help: "change.frameHelp",
      wants: {
        stitches: { kind: "number", label: "change.frameStitches", value: 3 }, rows: { kind: "number", label: "change.frameRows", value: 3 }, yarn: YARN,
        place: { kind: "choice", label: "change.framePlace", options: [["round", "change.frameRound"], ["over", "change.frameOver"]] },
      },
      make: ({ stitches, rows, yarn, place }) => ({ do: "frame", stitches, rows, yarn, place }),
    },
    resize: {
      words: "change.resize", help: "change.resizeHelp",
      wants: {
        left: { kind: "number", label: "change.left", value: 0 }, right: { kind: "number", label: "change.rightEdge", value: 0 },
        bottom: { kind: "number", label: "change.bottom", value: 0 }, top: { kind: "number", label: "change.top", value: 0 }, yarn: YARN,
      },
      make: ({ left, right, bottom, top, yarn }) => ({ do: "resize", left, right, bottom, top, yarn }),
    },
    insert_rows: {
      words: "change.insertRows", help: "change.insertRowsHelp", wants: { at: { kind: "row", label: "change.underRow", value: 1 }, count: { kind: "number", label: "change.count", value: 1 } },
      make: ({ at, count }) => ({ do: "insert_rows", at: at - 1, count }),
    },
    delete_rows: {
      words: "change.deleteRows", help: "change.deleteRowsHelp", wants: { at: { kind: "row", label: "change.fromRow", value: 1 }, count: { kind: "number", label: "change.count", value: 1 } },
      make: ({ at, count }) => ({ do: "delete_rows", at: at - 1, count }),
    },
    insert_columns: {
      words: "change.insertColumns", help: "change.insertColumnsHelp", wants: { at: { kind: "column", label: "change.besideColumn", value: 1 }, count: { kind: "number", label: "change.count", value: 1 } },
      make: ({ at, count }) => ({ do: "insert_columns", at, count }),
    },
    delete_columns: {
      words: "change.deleteColumns", help: "change.deleteColumnsHelp", wants: { at: { kind: "column", label: "change.fromColumn", value: 1 }, count: { kind: "number", label: "change.count", value: 1 } },
      make: ({ at, count }) => ({ do: "delete_columns", at, count }),
    },
    enlarge: {
      words: "change.enlarge", help: "change.enlargeHelp", wants: { by: { kind: "number", label: "change.times", value: 2 } },
      make: ({ by }) => ({ do: "enlarge", by }),
    },
  }],
];

/** @type {Record<string, Change>} */
const CHANGES = Object.assign({}, ...GROUPS.map(([, changes]) => changes));

export class ChangesPanel {
  /** @type {Region | null} */
  #area = null;
  /** @type {Record<string, Part>} */
  #parts = {};

  /**
   * @param {{blanket: OpenBlanket, bus: Bus, signal: AbortSignal, chosen: () => number, hand: () => "right" | "left"}} options `chosen`: the yarn to
   *   stitch with.
   */
  constructor({ blanket, bus, signal, chosen, hand }) {
    this.blanket = blanket;
    this.bus = bus;
    this.chosen = chosen;
    this.hand = hand;
    const id = freshId("change");
    this.which = h("select", { id, on: { change: () => this.#build() } }, ...GROUPS.map(([group, changes]) =>
      h("optgroup", { label: t(group) }, ...Object.entries(changes).map(([name, { words }]) => h("option", { value: name }, t(words))))));
    this.help = h("p", { class: "soft" });
    this.form = h("div", { class: "stack" });
    this.wrong = h("p", { class: "wrong", role: "alert" });
    this.go = h("button", { type: "submit", class: "button button-main" }, t("change.do"));
    this.element = h("details", { class: "more changes" }, h("summary", {}, t("change.title")),
      h("form", { class: "stack", on: { submit: (event) => { event.preventDefault(); this.#do(); } } },
        h("label", { class: "field", for: id }, h("span", {}, t("change.which")), this.which), this.help, this.form, this.wrong, h("div", {}, this.go)));
    bus.on("palette", () => this.#build(), signal);
    this.#build();
  }

  /** @param {Region | null} area The marked one. */
  mark(area) {
    this.#area = area;
    this.#needs();
  }

  get #change() {
    return /** @type {Change} */ (CHANGES[this.which.value] ?? CHANGES.clean);
  }

  #build() {
    const { help, wants } = this.#change;
    this.help.textContent = t(help);
    this.#parts = Object.fromEntries(Object.entries(wants).map(([name, want]) => [name, this.#part(want)]));
    fill(this.form, ...Object.values(this.#parts).map(({ element }) => element));
    this.#needs();
  }

  /**
   * @param {Want} want
   * @returns {Part}
   */
  #part({ kind, label, value = null, options = [] }) {
    if (kind === "yarn") {
      const id = freshId("yarn");
      const select = h("select", { id }, ...this.blanket.palette.map((/** @type {PaletteYarn} */ yarn, at) => h("option", { value: at, selected: at === this.chosen() }, `${yarn.symbol} · ${yarn.name}`)));
      return { element: h("label", { class: "field", for: id }, h("span", {}, t(label)), select), read: () => Number(select.value) };
    }
    if (kind === "choice") {
      let chosen = options[0]?.[0] ?? "";
      const element = choice({
        label: t(label), value: chosen, options: options.map(([key, words]) => [key, t(words)]), changed: (key) => { chosen = key; this.#needs(); },
      });
      return { element, read: () => chosen };
    }
    const field = numberField({ label: t(label), value, whole: true });
    // Columns count from where row 1 begins, as below the chart; the program counts from the left.
    const right = kind === "column" && this.hand() === "right";
    return { element: field.element, read: () => (field.value === null || kind !== "column" ? field.value : right ? this.blanket.columns - field.value : field.value - 1) };
  }

  #values() {
    return Object.fromEntries(Object.entries(this.#parts).map(([name, part]) => [name, part.read()]));
  }

  /** Says that an area has to be marked first, where it has. */
  #needs() {
    const needed = this.#change.area === true || this.#values().where === "area";
    this.wrong.textContent = needed && this.#area === null ? t("change.markFirst") : "";
    this.go.disabled = needed && this.#area === null;
  }

  #do() {
    const values = this.#values();
    const open = Object.entries(this.#change.wants).find(([name, { kind }]) => kind !== "choice" && values[name] === null && !(name === "row" && values.where !== "row"));
    if (open !== undefined) {
      this.wrong.textContent = t("change.incomplete", { field: t(open[1].label) });
      return;
    }
    this.wrong.textContent = "";
    this.blanket.operate(this.#operation(values));
  }

  /** @param {Values} values */
  #operation(values) {
    const operation = this.#change.make(values, this.#area);
    // From the right the columns to delete or the place to insert lie the other way round.
    if (this.hand() === "right" && operation.do === "delete_columns") return { ...operation, at: operation.at - operation.count + 1 };
    if (this.hand() === "right" && operation.do === "insert_columns") return { ...operation, at: operation.at + 1 };
    return operation;
  }
}
