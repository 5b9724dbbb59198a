// The panel "Settings": units, terms, hand, theme, language; what the program is and what to mind.

/** @import { Bus } from "../base/bus.js" */
/** @import { Settings } from "../base/settings.js" */
/** @import { SettingsValue } from "../types.js" */

import { h } from "../base/dom.js";
import { http } from "../base/http.js";
import { languages, t } from "../base/words.js";
import { choice } from "../parts/fields.js";
import { ask } from "../parts/dialog.js";

export class SettingsPanel {
  /** @param {{settings: Settings, bus: Bus}} options */
  constructor({ settings, bus }) {
    const { value } = settings;
    const change = (/** @type {Partial<SettingsValue>} */ part) =>
      void settings.change(part).catch((error) => bus.emit("trouble", { error }));
    this.element = h("div", { class: "stack" },
      choice({
        label: t("settings.units"), value: value.units, changed: (units) => change({ units }),
        options: [["cm", t("settings.cm")], ["in", t("settings.in")]],
      }),
      choice({
        label: t("settings.terms"), value: value.terms, changed: (terms) => change({ terms }),
        options: [["us", t("settings.us")], ["uk", t("settings.uk")]],
      }),
      choice({
        label: t("settings.hand"), value: value.hand, changed: (hand) => change({ hand }),
        options: [["right", t("settings.right")], ["left", t("settings.left")]],
      }),
      h("p", { class: "soft" }, t("settings.handHint")),
      choice({
        label: t("settings.theme"), value: value.theme, changed: (theme) => change({ theme }),
        options: [["system", t("settings.system")], ["light", t("settings.light")], ["dark", t("settings.dark")]],
      }),
      choice({
        label: t("settings.language"), value: value.language, changed: (language) => change({ language }),
        options: languages.map(({ tag, name }) => [tag, name]),
      }),
      h("section", { class: "about" },
        h("h3", {}, t("about.title")), h("p", {}, t("about.what")), h("p", {}, t("about.local")),
        h("h3", {}, t("about.pictureTitle")), h("p", {}, t("about.picture")),
        h("h3", {}, t("about.careTitle")),
        h("ul", {}, h("li", {}, t("about.baby")), h("li", {}, t("about.hands")), h("li", {}, t("about.wash")), h("li", {}, t("about.lots")), h("li", {}, t("about.estimates")))),
      h("div", {}, h("button", { type: "button", class: "button", on: { click: () => void quit() } }, t("settings.quit"))));

    const quit = async () => {
      if (!(await ask({ title: t("settings.quitTitle"), text: t("settings.quitText"), yes: t("settings.quit") }))) return;
      try {
        await http.quit();
        document.querySelectorAll("dialog").forEach((dialog) => dialog.close());
        bus.emit("ended", {});
      } catch (error) {
        bus.emit("trouble", { error });
      }
    };
  }
}
