// All talk with the program: one method for each route, errors of one kind.

/** @import { Alike, Amounts, Blanket, BorderTold, Card, ChartingRequest, Choice, Edited, EndMark, Lesson, Lettering, Making, Operation, RowWords, SettingsValue, StrandPlan, Swatch, SwatchTold, WindMark, Yarn } from "../types.js" */

import { advice } from "./words.js";

/** The program answered, and the answer is a refusal. */
export class Refusal extends Error {
  /**
   * @param {{status: number, what: string, where: string, hint: string}} told
   */
  constructor({ status, what, where, hint }) {
    super(what);
    this.status = status;
    this.what = what;
    this.where = where;
    this.hint = hint;
  }
}

/**
 * What was wrong with something that was to be kept, to be said beside it; nothing where it is kept.
 * @param {unknown} error
 */
export function wrongWith(error) {
  if (error instanceof Refusal) return advice(error.what, error.hint);
  return error === null ? "" : error instanceof Error ? error.message : String(error);
}

/** The program did not answer at all. */
export class Lost extends Error {}

/**
 * @param {Response} response
 * @returns {Promise<Refusal>}
 */
async function refusal(response) {
  /** @type {{what?: string, where?: string, hint?: string}} */
  let error = {};
  try {
    error = (await response.json()).error ?? {};
  } catch {
    // No JSON: the status has to do.
  }
  const { what = `${response.status} ${response.statusText}`, where = "", hint = "" } = error;
  return new Refusal({ status: response.status, what, where, hint });
}

/**
 * @param {string} address
 * @param {RequestInit} [options]
 * @returns {Promise<Response>}
 */
async function ask(address, options = {}) {
  let response;
  try {
    response = await fetch(address, { credentials: "same-origin", cache: "no-store", ...options });
  } catch (error) {
    if (options.signal?.aborted) throw error;
    throw new Lost(String(error));
  }
  if (!response.ok) throw await refusal(response);
  return response;
}

/**
 * @param {string} address
 * @param {AbortSignal} [signal]
 */
async function get(address, signal) {
  return (await ask(address, signal ? { signal } : {})).json();
}

/**
 * @param {string} method
 * @param {string} address
 * @param {unknown} body
 * @param {boolean} [keepalive] Let it finish when the page is closed meanwhile.
 */
async function send(method, address, body, keepalive = false) {
  const headers = { "X-Strandwright": "1", "Content-Type": "application/json" };
  const response = await ask(address, { method, headers, body: JSON.stringify(body), keepalive });
  const text = await response.text();
  return text === "" ? {} : JSON.parse(text);
}

/**
 * @param {string} address
 * @param {Blob} bytes
 * @param {string} type
 */
async function upload(address, bytes, type) {
  const headers = { "X-Strandwright": "1", "Content-Type": type };
  return (await ask(address, { method: "POST", headers, body: bytes })).json();
}

/** @param {number} id */
const at = (id) => `/api/blankets/${id}`;

export const http = {
  /** @returns {Promise<{blankets: Card[], aside: Card[]}>} */
  shelf: () => get("/api/shelf"),

  /**
   * @param {Card} card
   * @returns {string} Address of its fabric thumbnail.
   */
  thumbnail: (card) => `${at(card.id)}/thumbnail.png?r=${card.revision}`,

  /**
   * @param {{name: string, columns: number, rows: number, gauge: {stitches: number, rows?: number}, yarns: Yarn[]}} blank
   * @returns {Promise<{id: number}>}
   */
  createBlank: (blank) => send("POST", "/api/blankets", { from: "blank", ...blank }),

  /** @returns {Promise<{id: number}>} */
  createDemo: () => send("POST", "/api/blankets", { from: "demo" }),

  /**
   * @param {string} name
   * @param {Blob} bytes PNG or CSV.
   * @returns {Promise<{id: number, notes: string[]}>}
   */
  createFromChart: (name, bytes) =>
    upload(`/api/blankets/from-chart?name=${encodeURIComponent(name)}`, bytes, "application/octet-stream"),

  /**
   * @param {string} name
   * @param {Blob} bytes PNG, JPEG or WebP.
   * @returns {Promise<{id: number, notes: string[], picture: {width: number, height: number}}>}
   */
  createFromPicture: (name, bytes) =>
    upload(`/api/blankets/from-picture?name=${encodeURIComponent(name)}`, bytes, "application/octet-stream"),

  /**
   * @param {number} id
   * @param {string} name
   */
  rename: (id, name) => send("POST", `${at(id)}/rename`, { name }),

  /**
   * @param {number} id
   * @returns {Promise<{id: number}>}
   */
  duplicate: (id) => send("POST", `${at(id)}/duplicate`, {}),

  /** @param {number} id */
  setAside: (id) => send("POST", `${at(id)}/set-aside`, {}),

  /** @param {number} id */
  putBack: (id) => send("POST", `${at(id)}/put-back`, {}),

  /** @param {number} id */
  deleteForGood: (id) => send("POST", `${at(id)}/delete-for-good`, {}),

  /**
   * @param {number} id
   * @returns {Promise<Blanket>}
   */
  blanket: (id) => get(at(id)),

  /**
   * @param {number} id
   * @param {number} revision
   * @param {Operation} operation
   * @param {boolean} [keepalive]
   * @returns {Promise<Edited>}
   */
  edit: (id, revision, operation, keepalive) => send("POST", `${at(id)}/edit`, { revision, operation }, keepalive),

  /**
   * @param {number} id
   * @param {number} revision
   * @returns {Promise<Edited>}
   */
  takeBack: (id, revision) => send("POST", `${at(id)}/take-back`, { revision }),

  /**
   * @param {number} id
   * @param {number} revision
   * @returns {Promise<Edited>}
   */
  doAgain: (id, revision) => send("POST", `${at(id)}/do-again`, { revision }),

  /**
   * @param {number} id
   * @param {number} longest Pixels of the longest side.
   */
  picture: (id, longest) => `${at(id)}/picture.jpg?max=${longest}`,

  /**
   * @param {number} id
   * @param {ChartingRequest} request
   * @returns {Promise<{job: string | number}>}
   */
  chartPicture: (id, request) => send("POST", `${at(id)}/chart-picture`, request),

  /**
   * @param {number} id
   * @param {ChartingRequest} request
   * @returns {Promise<{job: string | number}>}
   */
  choices: (id, request) => send("POST", `${at(id)}/choices`, request),

  /**
   * The charts found so far.
   * @param {string | number} job
   * @returns {Promise<{choices: Choice[], notes: string[]}>}
   */
  found: (job) => get(`/api/jobs/${job}/choices`),

  /**
   * @param {string | number} job
   * @param {number} choice
   */
  choicePicture: (job, choice) => `/api/jobs/${job}/choices/${choice}.png`,

  /**
   * @param {number} id
   * @param {number} revision
   * @param {string | number} job
   * @param {number} choice
   * @returns {Promise<Edited>}
   */
  takeChoice: (id, revision, job, choice) => send("POST", `${at(id)}/take-choice`, { revision, job, at: choice }),

  /**
   * @param {Lettering} lettering
   * @param {{stitches: number, rows?: number | null}} gauge
   * @returns {Promise<{columns: number, rows: number, cells: string}>}
   */
  lettering: (lettering, gauge) => send("POST", "/api/lettering", { lettering, gauge }),

  /**
   * @param {{name: string, lettering: Lettering, margin: number, gauge: {stitches: number, rows?: number}, letters: Yarn, ground: Yarn}} words
   * @returns {Promise<{id: number}>}
   */
  createFromWords: (words) => send("POST", "/api/blankets", { from: "words", ...words }),

  /**
   * @param {number} id
   * @param {number} revision
   * @param {"right" | "wrong"} face
   * @param {number} longest Pixels of the longer side.
   */
  fabric: (id, revision, face, longest) => `${at(id)}/fabric.png?face=${face}&max=${longest}&r=${revision}`,

  /**
   * A part of the fabric, from its lower left cell.
   * @param {number} id
   * @param {number} revision
   * @param {"right" | "wrong"} face
   * @param {{column: number, row: number, columns: number, rows: number}} part
   */
  fabricPart: (id, revision, face, { column, row, columns, rows }) =>
    `${at(id)}/fabric.png?face=${face}&max=1400&column=${column}&row=${row}&columns=${columns}&rows=${rows}&r=${revision}`,

  /**
   * @param {number} id
   * @returns {Promise<Alike>}
   */
  alike: (id) => get(`${at(id)}/alike`),

  /** @param {string | number} job */
  cancelJob: (job) => send("POST", `/api/jobs/${job}/cancel`, {}),

  /**
   * Follows long work to its end.
   * @param {string | number} job
   * @param {(progress: {stage: string, done: number, found?: number}) => void} progress
   * @param {AbortSignal} signal Stops listening; the work goes on.
   * @returns {Promise<Partial<Edited> & {notes?: string[]}>} Its result.
   */
  followJob(job, progress, signal) {
    return new Promise((resolve, reject) => {
      const source = new EventSource(`/api/jobs/${job}/events`);
      const end = () => source.close();
      signal.addEventListener("abort", () => { end(); reject(signal.reason); }, { once: true });
      source.addEventListener("progress", (event) => progress(JSON.parse(event.data)));
      source.addEventListener("done", (event) => {
        end();
        resolve(JSON.parse(event.data).result);
      });
      source.addEventListener("failed", (event) => {
        end();
        const { what = "", where = "", hint = "" } = JSON.parse(event.data).error ?? {};
        reject(new Refusal({ status: 422, what, where, hint }));
      });
      source.addEventListener("error", () => {
        end();
        reject(new Lost("the stream of progress broke off"));
      });
    });
  },

  /**
   * @param {number} id
   * @param {AbortSignal} signal
   * @returns {Promise<StrandPlan>}
   */
  strands: (id, signal) => get(`${at(id)}/strands`, signal),

  /**
   * @param {number} id
   * @param {number} row From 1.
   * @param {"us" | "uk"} terms
   * @param {AbortSignal} signal
   * @returns {Promise<RowWords>}
   */
  row: (id, row, terms, signal) => get(`${at(id)}/rows/${row}?terms=${terms}`, signal),

  /**
   * @param {number} id
   * @param {string} name
   */
  file: (id, name) => `${at(id)}/files/${name}`,

  /**
   * Lays the pattern out on paper.
   * @param {number} id
   * @returns {Promise<{pages: number, revision: number}>}
   */
  paper: (id) => get(`${at(id)}/paper`),

  /**
   * @param {number} id
   * @param {number} page From 1.
   * @param {number} revision
   * @returns {string} Address of a page to look at.
   */
  page: (id, page, revision) => `${at(id)}/paper/${page}?r=${revision}`,

  /** @param {number} id */
  printed: (id) => `${at(id)}/pattern.pdf`,

  /** @param {number} id */
  takeAway: (id) => `${at(id)}/pattern.html`,

  /** @returns {Promise<{id: number}>} */
  createPractice: () => send("POST", "/api/blankets", { from: "practice" }),

  /**
   * @param {number} id
   * @returns {Promise<{revision: number, making: Making}>}
   */
  making: (id) => get(`${at(id)}/making`),

  /**
   * @param {number} id
   * @param {number} revision
   * @param {Making} making
   * @param {boolean} [keepalive]
   * @returns {Promise<Edited>}
   */
  putMaking: (id, revision, making, keepalive) => send("PUT", `${at(id)}/making`, { revision, making }, keepalive),

  /**
   * The gauge of the swatch for the whole blanket.
   * @param {number} id
   * @param {number} revision
   * @returns {Promise<Edited>}
   */
  takeGauge: (id, revision) => send("POST", `${at(id)}/take-gauge`, { revision }),

  /**
   * What a swatch would say; nothing is kept.
   * @param {number} id
   * @param {Swatch} swatch
   * @returns {Promise<SwatchTold>}
   */
  trySwatch: (id, swatch) => send("POST", `${at(id)}/swatch`, { swatch }),

  /**
   * @param {number} id
   * @param {string} today YYYY-MM-DD.
   * @returns {Promise<Amounts>}
   */
  amounts: (id, today) => get(`${at(id)}/amounts?today=${today}`),

  /**
   * @param {number} id
   * @param {"us" | "uk"} terms
   * @returns {Promise<BorderTold>}
   */
  border: (id, terms) => get(`${at(id)}/border?terms=${terms}`),

  /**
   * @param {number} id
   * @returns {Promise<{entries: WindMark[][]}>}
   */
  winding: (id) => get(`${at(id)}/winding`),

  /**
   * @param {number} id
   * @returns {Promise<{ends: EndMark[]}>}
   */
  ends: (id) => get(`${at(id)}/ends`),

  /**
   * @param {number} id
   * @param {"winding" | "ends"} list
   * @param {string[]} marks
   * @param {boolean} ticked
   */
  tick: (id, list, marks, ticked) => send("POST", `${at(id)}/${list}`, { marks, ticked }, true),

  /**
   * What each row of the practice patch teaches; none for any other chart.
   * @param {number} id
   * @returns {Promise<{lessons: Lesson[]}>}
   */
  lessons: (id) => get(`${at(id)}/lessons`),

  /** @returns {Promise<{yarns: Yarn[]}>} */
  yarns: () => get("/api/yarns"),

  /** @param {Yarn[]} yarns */
  putYarns: (yarns) => send("PUT", "/api/yarns", { yarns }),

  /**
   * @param {Blob} text A `yarns.toml`.
   * @returns {Promise<{yarns: Yarn[], notes?: string[]}>}
   */
  readYarns: (text) => upload("/api/yarns/read", text, "application/toml"),

  /**
   * The list as it was before its last change.
   * @returns {Promise<{yarns: Yarn[]}>}
   */
  takeBackYarns: () => send("POST", "/api/yarns/take-back", {}),

  /** Address of the list as a document. */
  yarnsFile: "/api/yarns.toml",

  /** @returns {Promise<SettingsValue>} */
  settings: () => get("/api/settings"),

  /** @param {SettingsValue} value */
  putSettings: (value) => send("PUT", "/api/settings", value),

  quit: () => send("POST", "/api/quit", {}),
};
