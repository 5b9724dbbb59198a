// The panel "Yarns": the person's list, to add to, change, read from a file and save as one.

/** @import { Yarn } from "../types.js" */
/** @import { Bus } from "../base/bus.js" */

import { fill, h } from "../base/dom.js";
import { http } from "../base/http.js";
import { icon } from "../base/icons.js";
import { number, t } from "../base/words.js";
import { ask } from "../parts/dialog.js";
import { keyOf, plainYarn, YarnForm } from "../parts/yarn-form.js";

/** How long typing must rest before the list is kept, in milliseconds. */
const REST = 500;

export class YarnsPanel {
  /** @type {Yarn[]} */
  #yarns = [];
  #openKey = "";
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #resting;

  /** @param {{bus: Bus}} options */
  constructor({ bus }) {
    this.bus = bus;
    this.list = h("ul", { class: "yarn-list" });
    this.count = h("p", { class: "soft" });
    this.saved = h("span", { class: "soft", role: "status" });
    const file = h("input", { type: "file", accept: ".toml", class: "unseen", tabindex: -1, "aria-hidden": "true", on: { change: () => this.#read(file) } });
    this.element = h("div", { class: "stack" },
      h("p", {}, t("yarns.intro")),
      h("div", { class: "button-row" },
        h("button", { type: "button", class: "button button-main", on: { click: () => this.#add() } }, icon("plus"), t("yarns.add")),
        h("button", { type: "button", class: "button", on: { click: () => file.click() } }, t("yarns.read")), file,
        h("a", { class: "button", href: http.yarnsFile, download: "yarns.toml" }, t("yarns.save"))),
      h("div", { class: "between" }, this.count, this.saved), this.list);
  }

  async open() {
    try {
      this.#yarns = (await http.yarns()).yarns;
      this.#show();
    } catch (error) {
      this.bus.emit("trouble", { error });
    }
  }

  /** Keeps at once what still rests. */
  close() {
    if (this.#resting !== undefined) void this.#keep();
  }

  #show() {
    this.count.textContent = t("yarns.count", { count: this.#yarns.length });
    if (this.#yarns.length === 0) {
      fill(this.list, h("li", { class: "empty-small" }, t("yarns.empty")));
      return;
    }
    fill(this.list, ...this.#yarns.map((yarn) => this.#entry(yarn)));
  }

  /** @param {Yarn} yarn */
  #entry(yarn) {
    const swatch = h("span", { class: "ball", "aria-hidden": "true" });
    const name = h("span", { class: "yarn-name" });
    const facts = h("small", {});
    const label = () => {
      const now = this.#yarns.find((other) => other.key === yarn.key) ?? yarn;
      swatch.style.setProperty("background-color", now.colour);
      name.textContent = now.name;
      facts.textContent = t("yarns.facts", { metres: number(now.metres ?? 0, 1), grams: number(now.grams ?? 0, 1) })
        + (now.on_hand === undefined || now.on_hand === null ? "" : ` · ${t("yarns.onHandShort", { count: number(now.on_hand) })}`);
    };
    label();
    const inside = h("div", { class: "yarn-inside" });
    const details = h("details", { class: "yarn-entry", open: this.#openKey === yarn.key, on: { toggle: () => details.open && unfold() } },
      h("summary", {}, swatch, h("span", { class: "yarn-words" }, name, facts)), inside);
    const unfold = () => {
      if (inside.childElementCount > 0) return;
      const form = new YarnForm({
        yarn: this.#yarns.find((other) => other.key === yarn.key) ?? yarn,
        changed: () => {
          const value = form.value;
          if (value === null) {
            this.saved.textContent = t("yarns.incomplete");
            return;
          }
          this.#yarns = this.#yarns.map((other) => (other.key === yarn.key ? value : other));
          label();
          this.#keepSoon();
        },
      });
      inside.append(form.element, h("button", { type: "button", class: "button button-small grave", on: { click: () => void this.#remove(yarn) } }, t("yarns.remove")));
    };
    if (this.#openKey === yarn.key) unfold();
    return h("li", {}, details);
  }

  #add() {
    const name = t("yarns.newName");
    const yarn = plainYarn(keyOf(name, this.#yarns.map(({ key }) => key)), name, "#b9a58c");
    this.#yarns = [yarn, ...this.#yarns];
    this.#openKey = yarn.key;
    this.#show();
    this.#keepSoon();
    const input = this.list.querySelector("input");
    input?.focus();
    input?.select();
  }

  /** @param {Yarn} yarn */
  async #remove(yarn) {
    this.#yarns = this.#yarns.filter((other) => other.key !== yarn.key);
    this.#show();
    await this.#keep();
    this.#offerBack(t("yarns.removed", { name: yarn.name }));
  }

  /** @param {string} text What was done to the list. */
  #offerBack(text) {
    const back = async () => {
      try {
        this.#yarns = (await http.takeBackYarns()).yarns;
        this.#show();
        this.bus.emit("yarns", {});
      } catch (error) {
        this.bus.emit("trouble", { error });
      }
    };
    this.bus.emit("note", { text, undo: () => void back() });
  }

  #keepSoon() {
    clearTimeout(this.#resting);
    this.saved.textContent = "";
    this.#resting = setTimeout(() => void this.#keep(), REST);
  }

  async #keep() {
    clearTimeout(this.#resting);
    this.#resting = undefined;
    try {
      await http.putYarns(this.#yarns);
      this.saved.textContent = t("yarns.kept");
      this.bus.emit("yarns", {});
    } catch (error) {
      this.bus.emit("trouble", { error });
    }
  }

  /** @param {HTMLInputElement} input */
  async #read(input) {
    const file = input.files?.[0];
    input.value = "";
    if (file === undefined) return;
    const sure = this.#yarns.length === 0 || await ask({ title: t("yarns.readTitle"), text: t("yarns.readText", { name: file.name }), yes: t("yarns.read") });
    if (!sure) return;
    try {
      const { yarns, notes = [] } = await http.readYarns(file);
      this.#yarns = yarns;
      this.#show();
      this.bus.emit("yarns", {});
      this.#offerBack([t("yarns.wasRead", { count: yarns.length }), ...notes].join(" · "));
    } catch (error) {
      this.bus.emit("trouble", { error });
    }
  }
}
