// Questions about the yarns of a chart: one more, another in place of one, or one less.

/** @import { PaletteYarn, Yarn } from "../types.js" */

import { h } from "../base/dom.js";
import { t } from "../base/words.js";
import { Dialog } from "./dialog.js";
import { keyOf, plainYarn, YarnForm } from "./yarn-form.js";

/**
 * Yarns of the list to take with one touch.
 * @param {Yarn[]} yarns
 * @param {string} title
 * @param {(yarn: Yarn) => void} take
 */
function offer(yarns, title, take) {
  return yarns.length > 0 && h("section", { class: "stack" }, h("h3", {}, title), h("div", { class: "picker-list offer" }, ...yarns.map((yarn) => {
    const dot = h("span", { class: "dot", "aria-hidden": "true" });
    dot.style.setProperty("background-color", yarn.colour);
    return h("button", { type: "button", class: "picker-one", on: { click: () => take(yarn) } }, dot, h("span", { class: "picker-name" }, yarn.name));
  })));
}

/**
 * Asks for one more yarn.
 * @param {{palette: PaletteYarn[], list: Yarn[], add: (yarn: Yarn) => void, title?: string}} options `list`: the person's yarns.
 */
export function addYarn({ palette, list, add, title = t("chart.addTitle") }) {
  const taken = palette.map(({ key }) => key);
  const name = t("yarns.newName");
  const form = new YarnForm({ yarn: plainYarn(keyOf(name, taken), name, "#b9a58c"), stock: false });
  const take = (/** @type {Yarn} */ yarn) => {
    add(yarn);
    dialog.close();
  };
  const made = () => {
    const yarn = form.check();
    if (yarn !== null) take({ ...yarn, key: keyOf(yarn.name, taken) });
  };
  const free = list.filter(({ key }) => !taken.includes(key));
  const dialog = new Dialog({
    title,
    body: [offer(free, t("chart.addFromList"), take), h("section", { class: "stack" }, free.length > 0 && h("h3", {}, t("chart.addNew")), form.element)],
    actions: [
      h("button", { type: "button", class: "button", on: { click: () => dialog.close() } }, t("action.cancel")),
      h("button", { type: "button", class: "button button-main", on: { click: made } }, t("chart.addYarn")),
    ],
  });
  dialog.open();
}

/**
 * Asks what a yarn shall be in future.
 * @param {object} options
 * @param {PaletteYarn[]} options.palette
 * @param {number} options.index
 * @param {Yarn[]} options.list The person's yarns.
 * @param {(yarn: Yarn) => void} options.change
 * @param {() => void} options.drop Takes it out of the chart.
 */
export function changeYarn({ palette, index, list, change, drop }) {
  const yarn = palette[index];
  if (yarn === undefined) return;
  const form = new YarnForm({ yarn, stock: false });
  const close = (/** @type {() => void} */ work) => {
    work();
    dialog.close();
  };
  const keep = () => {
    const value = form.check();
    if (value !== null) close(() => change(value));
  };
  const taken = palette.map(({ key }) => key);
  const free = list.filter(({ key }) => !taken.includes(key));
  const only = palette.length === 1;
  const used = yarn.stitches > 0;
  const dialog = new Dialog({
    title: t("chart.changeTitle", { name: yarn.name }),
    body: [
      offer(free, t("chart.changeFromList"), (taken) => close(() => change(taken))),
      h("section", { class: "stack" }, free.length > 0 && h("h3", {}, t("chart.changeByHand")), form.element),
      h("section", { class: "drop-yarn" },
        h("button", { type: "button", class: "button button-small grave", disabled: used || only, "aria-describedby": used || only ? "drop-why" : null, on: { click: () => close(drop) } }, t("chart.dropYarn")),
        (used || only) && h("p", { class: "soft", id: "drop-why" }, used ? t("chart.dropUsed", { count: yarn.stitches }) : t("chart.dropOnly"))),
    ],
    actions: [
      h("button", { type: "button", class: "button", on: { click: () => dialog.close() } }, t("action.cancel")),
      h("button", { type: "button", class: "button button-main", on: { click: keep } }, t("action.keep")),
    ],
  });
  dialog.open();
}
