// The border room: rounds to choose, the corner drawn to scale, whether it lies flat, and the words to
// work from.

/** @import { BorderTold, BorderWish } from "../types.js" */
/** @import { Bus } from "../base/bus.js" */
/** @import { OpenBlanket } from "../base/open-blanket.js" */
/** @import { Settings } from "../base/settings.js" */

import { download, fill, h } from "../base/dom.js";
import { http } from "../base/http.js";
import { MakingKeeper } from "../base/making.js";
import { area, hours, length, yarnLength } from "../base/measure.js";
import { capital, t } from "../base/words.js";
import { BorderDrawing } from "../parts/border-drawing.js";
import { BorderRounds } from "../parts/border-rounds.js";
import { HistoryButtons } from "../parts/history.js";
import { addYarn } from "../parts/yarn-dialogs.js";

export class BorderRoom {
  #asked = 0;

  /** @param {{blanket: OpenBlanket, bus: Bus, settings: Settings, signal: AbortSignal}} options */
  constructor({ blanket, bus, settings, signal }) {
    this.blanket = blanket;
    this.bus = bus;
    this.settings = settings;
    this.signal = signal;
    this.keeper = new MakingKeeper({ blanket, bus, signal, changed: () => void this.#load() });
    this.steps = new HistoryButtons({ blanket, bus, signal });
    this.rounds = new BorderRounds({ settings, change: (wish) => void this.#change(wish), addYarn: () => void this.#addYarn() });
    this.drawing = new BorderDrawing({
      signal, cell: (column, row) => blanket.palette[blanket.cells[row * blanket.columns + column] ?? 0]?.colour ?? "",
    });
    this.notes = h("div", { class: "stack" });
    this.facts = h("section", { class: "card-block stack", "aria-labelledby": "border-facts-title" });
    this.words = h("section", { class: "card-block stack", "aria-labelledby": "border-words-title" });
    this.found = h("div", { class: "making-found stack" });
    this.element = h("div", { class: "making-room" }, h("h1", { class: "unseen" }, this.title),
      h("div", { class: "making-bar" }, h("p", { class: "soft bar-hint" }, t("border.help")), h("span", { class: "spring" }), this.steps.waiting, this.steps.back, this.steps.again), this.notes,
      h("div", { class: "making-body making-wide" }, h("div", { class: "making-given stack" }, this.rounds.element), this.found));
  }

  get title() {
    return t("border.heading", { name: this.blanket.name });
  }

  async open() {
    await this.keeper.load();
    await this.#load();
  }

  async #load() {
    this.#asked += 1;
    const asked = this.#asked;
    try {
      const told = await http.border(this.blanket.id, this.settings.value.terms);
      if (asked !== this.#asked || this.signal.aborted) return;
      this.#show(told);
    } catch (error) {
      if (!this.signal.aborted) this.bus.emit("trouble", { error });
    }
  }

  /** @param {BorderTold} told */
  #show(told) {
    this.rounds.show(told);
    const whole = told.fault !== null && told.fault.round === null ? [`${told.fault.what}. ${told.fault.hint}`] : [];
    fill(this.notes, ...[...whole, ...told.notes].map((note) => h("p", { class: "remark", role: "status" }, capital(note))));
    const { border } = told;
    if (border === null) {
      fill(this.found, h("div", { class: "empty-small" }, h("p", {}, t(told.fault === null ? "border.begin" : "border.notYet"))));
      return;
    }
    if (this.found.children.length !== 3) fill(this.found, this.drawing.element, this.facts, this.words);
    this.drawing.show(told);
    const { units } = this.settings.value;
    fill(this.facts, h("h2", { id: "border-facts-title" }, t("border.lies")), ...border.says.map((words) => h("p", {}, words)),
      h("dl", { class: "facts facts-large" },
        h("dt", {}, t("border.size")), h("dd", {}, area(border.width_cm, border.height_cm, units)),
        h("dt", {}, t("border.depth")), h("dd", {}, length(border.depth_cm, units)),
        h("dt", {}, t("border.hours")), h("dd", {}, hours(border.hours.total)),
        ...border.yarns.flatMap(({ yarn, metres }) => [h("dt", {}, told.yarns[yarn]?.name ?? ""), h("dd", {}, t("border.takes", {
          likely: yarnLength(metres.likely, units), low: yarnLength(metres.low, units), high: yarnLength(metres.high, units),
        }))])));
    fill(this.words, h("div", { class: "between" }, h("h2", { id: "border-words-title" }, t("border.words")), h("button", { type: "button", class: "button button-small", on: { click: () => this.#save(border.words) } }, t("border.save"))),
      h("section", { class: "pick-up", "aria-label": t("border.pickUp") }, h("h3", {}, t("border.pickUp")), ...border.pick_up.map((line) => h("p", {}, line))),
      h("div", { class: "border-words", "data-words": "" }, ...border.words.split("\n").filter((line) => line !== "BORDER" && line !== "").map((line) => (/^(Round \d+ \(.*\)|How it lies):$/.test(line) ? h("h3", {}, line) : h("p", {}, line.replace(/^- /, ""))))));
  }

  /** @param {string} words */
  #save(words) {
    const address = URL.createObjectURL(new Blob([words], { type: "text/plain" }));
    download(address, "border.txt");
    setTimeout(() => URL.revokeObjectURL(address), 10_000);
  }

  /** @param {BorderWish} wish */
  async #change(wish) {
    const error = await this.keeper.change({ border: wish });
    if (error !== null && !this.signal.aborted) this.bus.emit("trouble", { error });
  }

  /** A yarn more for the blanket: it need not make a stitch of the chart. */
  async #addYarn() {
    try {
      const { yarns } = await http.yarns();
      addYarn({ palette: this.blanket.palette, list: yarns, title: t("border.addYarnTitle"), add: (yarn) => this.blanket.addYarn(yarn) });
    } catch (error) {
      this.bus.emit("trouble", { error });
    }
  }
}
