// The shelf: all blankets standing on their planks, ways to begin one, and the drawer of those set aside.

/** @import { Card } from "../types.js" */
/** @import { Bus } from "../base/bus.js" */
/** @import { Settings } from "../base/settings.js" */
/** @import { NewBlanket } from "./new-blanket.js" */
/** @import { IconName } from "../base/icons.js" */

import { fill, h } from "../base/dom.js";
import { http } from "../base/http.js";
import { icon } from "../base/icons.js";
import { area, day } from "../base/measure.js";
import { address } from "../base/router.js";
import { number, t } from "../base/words.js";
import { ask, askText } from "../parts/dialog.js";
import { Menu } from "../parts/menu.js";

export class ShelfRoom {
  /** @type {{blankets: Card[], aside: Card[]}} */
  #shelf = { blankets: [], aside: [] };

  /** @param {{bus: Bus, settings: Settings, beginner: NewBlanket, signal: AbortSignal}} options */
  constructor({ bus, settings, beginner, signal }) {
    this.bus = bus;
    this.settings = settings;
    this.beginner = beginner;
    this.signal = signal;
    this.board = h("div", { class: "board" });
    this.drawer = h("div", {});
    this.element = h("div", { class: "shelf" }, h("div", {}, h("h1", {}, t("shelf.title")), h("p", { class: "purpose" }, t("shelf.purpose"))), this.#ways(), this.board, this.drawer);
    bus.on("settings", () => this.#show(), signal);
  }

  get title() {
    return t("shelf.title");
  }

  async open() {
    this.#shelf = await http.shelf();
    this.#show();
  }

  #ways() {
    const picture = this.#picker(".png,.jpg,.jpeg,.webp,image/png,image/jpeg,image/webp", (file) => void this.beginner.fromPicture(file));
    const chart = this.#picker(".png,.csv,image/png,text/csv", (file) => void this.beginner.fromChart(file));
    const way = (/** @type {IconName} */ name, /** @type {string} */ title, /** @type {string} */ hint, /** @type {() => void} */ run, main = false) =>
      h("button", { type: "button", class: main ? "way way-main" : "way", on: { click: run } }, icon(name, 30), h("span", { class: "way-words" }, h("strong", {}, title), h("small", {}, hint)));
    return h("section", { class: "ways", "aria-label": t("shelf.ways") },
      way("picture", t("shelf.fromPicture"), t("shelf.fromPictureHint"), () => picture.click(), true),
      way("chart", t("shelf.fromChart"), t("shelf.fromChartHint"), () => chart.click()),
      way("letters", t("shelf.words"), t("shelf.wordsHint"), () => void this.beginner.words()),
      way("blank", t("shelf.blank"), t("shelf.blankHint"), () => void this.beginner.blank()),
      way("lamp", t("shelf.demo"), t("shelf.demoHint"), () => void this.beginner.demo()), picture, chart);
  }

  /**
   * @param {string} accept
   * @param {(file: File) => void} picked
   */
  #picker(accept, picked) {
    const input = h("input", {
      type: "file", accept, class: "unseen", tabindex: -1, "aria-hidden": "true",
      on: {
        change: () => {
          const file = input.files?.[0];
          input.value = "";
          if (file) picked(file);
        },
      },
    });
    return input;
  }

  #show() {
    const { blankets, aside } = this.#shelf;
    if (blankets.length === 0) fill(this.board, this.#empty());
    else fill(this.board, h("ul", { class: "cards", "aria-label": t("shelf.list") }, ...blankets.map((card) => h("li", { class: "card" }, ...this.#card(card)))));
    if (aside.length === 0) {
      fill(this.drawer);
      return;
    }
    const open = this.drawer.querySelector("details")?.open ?? false;
    fill(this.drawer, h("details", { class: "drawer", open },
      h("summary", {}, icon("basket"), t("shelf.aside", { count: aside.length })),
      h("p", { class: "soft" }, t("shelf.asideHint")),
      h("ul", { class: "aside-list" }, ...aside.map((card) => this.#asideEntry(card)))));
  }

  #empty() {
    const step = (/** @type {string} */ title, /** @type {string} */ text) => h("li", {}, h("strong", {}, title), h("span", {}, text));
    return h("section", { class: "empty" },
      h("div", { class: "empty-drawing", "aria-hidden": "true" }, icon("mark", 96)),
      h("h2", {}, t("shelf.emptyTitle")), h("p", {}, t("shelf.emptyText")),
      h("ol", { class: "steps" }, step(t("shelf.step1"), t("shelf.step1Text")), step(t("shelf.step2"), t("shelf.step2Text")), step(t("shelf.step3"), t("shelf.step3Text"))));
  }

  /** @param {Card} card */
  #picture(card) {
    const image = h("img", { src: http.thumbnail(card), alt: "", loading: "lazy", decoding: "async" });
    image.style.setProperty("aspect-ratio", `${card.width_cm} / ${card.height_cm}`);
    return image;
  }

  /** @param {Card} card */
  #card(card) {
    const menu = new Menu({
      label: t("shelf.menu", { name: card.name }), icon: "more", bare: true,
      items: [
        { label: t("action.rename"), run: () => void this.#rename(card) },
        { label: t("action.duplicate"), run: () => this.#do(async () => { await http.duplicate(card.id); }) },
        { label: t("action.setAside"), hint: t("action.setAsideHint"), run: () => void this.#setAside(card) },
      ],
    });
    return [
      h("a", { class: "card-link", href: address("chart", card.id) },
        h("span", { class: "card-stand" }, h("span", { class: "card-cloth" }, this.#picture(card))),
        h("span", { class: "card-name" }, card.name)),
      h("div", { class: "card-foot" },
        h("div", { class: "card-words" },
          card.invented && h("span", { class: "invented" }, t("shelf.invented")),
          h("span", {}, area(card.width_cm, card.height_cm, this.settings.value.units)),
          h("span", {}, t("shelf.stitches", { columns: number(card.columns), rows: number(card.rows) })),
          h("span", {}, t("shelf.changed", { colours: card.colours, day: day(card.changed) }))),
        menu.element),
    ];
  }

  /** @param {Card} card */
  #asideEntry(card) {
    return h("li", { class: "aside-entry" }, this.#picture(card), h("span", { class: "aside-name" }, card.name),
      h("button", { type: "button", class: "button button-small", on: { click: () => this.#do(() => http.putBack(card.id)) } }, t("action.putBack"), h("span", { class: "unseen" }, ` ${card.name}`)),
      h("button", { type: "button", class: "button button-small grave", on: { click: () => void this.#deleteForGood(card) } }, t("action.deleteForGood"), h("span", { class: "unseen" }, ` ${card.name}`)));
  }

  /** @param {() => Promise<unknown>} work */
  async #do(work) {
    try {
      await work();
      await this.open();
    } catch (error) {
      this.bus.emit("trouble", { error });
    }
  }

  /** @param {Card} card */
  async #rename(card) {
    const name = await askText({ title: t("action.rename"), label: t("new.name"), value: card.name, yes: t("action.rename") });
    if (name !== null && name !== card.name) await this.#do(() => http.rename(card.id, name));
  }

  /** @param {Card} card */
  async #setAside(card) {
    await this.#do(() => http.setAside(card.id));
    this.bus.emit("note", {
      text: t("shelf.wasSetAside", { name: card.name }), undoLabel: t("action.putBack"),
      undo: () => void this.#do(() => http.putBack(card.id)),
    });
  }

  /** @param {Card} card */
  async #deleteForGood(card) {
    const sure = await ask({ title: t("shelf.deleteTitle", { name: card.name }), text: t("shelf.deleteText"), yes: t("action.deleteForGood"), grave: true });
    if (!sure) return;
    await this.#do(async () => {
      await http.deleteForGood(card.id);
      // It takes the place of the note that offers to put it back.
      this.bus.emit("note", { text: t("shelf.deleted", { name: card.name }) });
    });
  }
}
