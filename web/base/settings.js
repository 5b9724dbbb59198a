// The person's settings: loaded once, put into effect, and kept by the program.

/** @import { SettingsValue } from "../types.js" */
/** @import { Bus } from "./bus.js" */

import { http } from "./http.js";
import { speak } from "./words.js";

export class Settings {
  /** @type {SettingsValue} */
  value = { units: "cm", terms: "us", hand: "right", language: "en", theme: "system" };

  /** @param {{bus: Bus}} options */
  constructor({ bus }) {
    this.bus = bus;
  }

  async load() {
    this.value = { ...this.value, ...(await http.settings()) };
    this.#apply();
  }

  /** @param {Partial<SettingsValue>} change */
  async change(change) {
    const before = this.value;
    this.value = { ...before, ...change };
    this.#apply();
    try {
      await http.putSettings(this.value);
      this.bus.emit("settings", {});
    } catch (error) {
      this.value = before;
      this.#apply();
      throw error;
    }
  }

  #apply() {
    document.documentElement.dataset.theme = this.value.theme;
    speak(this.value.language);
  }
}
