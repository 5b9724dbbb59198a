// The panel "Yarns": the person's list, to add to, change, read from a file and save as one.

/** @import { Yarn } from "../types.js" */
/** @import { OpenBlanket } from "../base/open-blanket.js" */
/** @import { Bus } from "../base/bus.js" */

import { fill, h } from "../base/dom.js";
import { http } from "../base/http.js";
import { icon } from "../base/icons.js";
import { number, t } from "../base/words.js";
import { readList, takeBackList } from "../parts/read-list.js";
import { keyOf, listed, plainYarn, YarnForm } from "../parts/yarn-form.js";

/** How long typing must rest before the list is kept, in milliseconds. */
const REST = 500;

export class YarnsPanel {
  /** @type {Yarn[]} */
  #yarns = [];
  #openKey = "";
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #resting;

  #end = new AbortController();
  /** Whether the news of a changed list is our own. */
  #telling = false;

  /** @param {{bus: Bus, blanket: OpenBlanket | null}} options `blanket`: the open one. */
  constructor({ bus, blanket }) {
    this.bus = bus;
    this.blanket = blanket;
    bus.on("yarns", () => { if (!this.#telling) void this.open(); }, this.#end.signal);
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
    this.#end.abort();
    if (this.#resting !== undefined) void this.#keep();
  }

  #show() {
    this.count.textContent = t("yarns.count", { count: this.#yarns.length });
    if (this.#yarns.length === 0) {
      fill(this.list, h("li", { class: "empty-small" }, t("yarns.empty")));
      void this.#offers();
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
          const value = form.check(false);
          if (value === null) {
            clearTimeout(this.#resting);
            this.#resting = undefined;
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
    if (await this.#keep()) this.bus.emit("note", { text: t("yarns.removed", { name: yarn.name }), undo: () => void takeBackList(this.bus) });
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
      this.#telling = true;
      this.bus.emit("yarns", {});
      this.#telling = false;
      return true;
    } catch (error) {
      this.bus.emit("trouble", { error });
      return false;
    }
  }

  /** @param {HTMLInputElement} input */
  async #read(input) {
    const file = input.files?.[0];
    input.value = "";
    if (file !== undefined) await readList(file, this.bus);
  }

  /** Whose yarns could be taken over: those of the open blanket, and of the demo where it is on the shelf. */
  async #offers() {
    const { blanket } = this;
    /** @type {{name: string, demo: boolean, yarns: Yarn[]}[]} */
    const found = blanket === null ? [] : [{ name: blanket.name, demo: false, yarns: blanket.palette.map(listed) }];
    try {
      const { blankets } = await http.shelf();
      const demo = blankets.find(({ invented }) => invented);
      if (demo !== undefined && demo.id !== blanket?.id) found.push({ name: demo.name, demo: true, yarns: (await http.blanket(demo.id)).palette.map(listed) });
    } catch (error) {
      this.bus.emit("trouble", { error });
    }
    if (this.#yarns.length > 0 || !this.list.isConnected) return;
    fill(this.list, h("li", { class: "empty-small stack" }, h("p", {}, t("yarns.empty")),
      ...found.map(({ name, demo, yarns }) => h("div", {}, h("button", { type: "button", class: "button", on: { click: () => void this.#takeOver(yarns, name) } },
        t(demo ? "yarns.takeDemo" : "yarns.takeOpen", { name, count: yarns.length }))))));
  }

  /**
   * @param {Yarn[]} yarns
   * @param {string} name
   */
  async #takeOver(yarns, name) {
    this.#yarns = yarns;
    this.#show();
    this.list.querySelector("summary")?.focus();
    if (await this.#keep()) this.bus.emit("note", { text: t("yarns.tookOver", { name, count: yarns.length }), undo: () => void takeBackList(this.bus) });
  }
}
