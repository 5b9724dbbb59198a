// House rules of the pages in ../web: no import cycles, components import no siblings, no HTML from
// text, short modules that say what they are for, and every word in use and in its place.

import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, normalize, relative } from "node:path";
import { fileURLToPath } from "node:url";

const WEB = join(dirname(fileURLToPath(import.meta.url)), "..", "web");
const LONGEST = 600;
/** The words of a language are one list, however long. */
const WORDS = /^words\//;
/** From the lowest to the highest: a folder uses only those below it, or those named with it. */
const LAYERS = { words: [], base: ["words", "base"], canvas: ["base", "canvas"], parts: ["base", "canvas"], rooms: ["base", "canvas", "parts"] };
/** Plain helpers, not components, that their neighbours may use. */
const SHARED = new Set(["parts/fields.js", "parts/dialog.js", "parts/yarn-form.js"]);
const FORBIDDEN = /\b(innerHTML|outerHTML|insertAdjacentHTML|document\.write|createContextualFragment|setHTMLUnsafe|eval|new Function)\b/;

/** @type {string[]} */
const faults = [];
const files = readdirSync(WEB, { recursive: true }).map(String).filter((file) => /\.(js|css|html)$/.test(file)).map((file) => file.replaceAll("\\", "/"));
const sources = new Map(files.map((file) => [file, readFileSync(join(WEB, file), "utf8")]));

/** @type {Map<string, string[]>} */
const imports = new Map();
for (const [file, text] of sources) {
  const lines = text.split("\n").length - 1;
  if (lines > LONGEST && !WORDS.test(file)) faults.push(`${file}: ${lines} lines, the most is ${LONGEST}`);
  if (file.endsWith(".html") && /\sstyle\s*=|\son\w+\s*=|<script(?![^>]*\ssrc=)/.test(text)) faults.push(`${file}: a style, a listener or a script inside`);
  if (/https?:\/\//.test(text.replaceAll("http://www.w3.org/2000/svg", ""))) faults.push(`${file}: an address elsewhere`);
  if (!file.endsWith(".js")) continue;
  if (!text.startsWith("// ")) faults.push(`${file}: does not begin with what it is for`);
  if (FORBIDDEN.test(text)) faults.push(`${file}: makes HTML or code of text`);
  const used = [...text.matchAll(/^import .* from "(\..*)";$/gm)].map(([, path = ""]) => normalize(join(dirname(file), path)).replaceAll("\\", "/"));
  imports.set(file, used);
  for (const other of used) {
    if (!sources.has(other)) faults.push(`${file}: ${other} is not there`);
    const [from, to] = [dirname(file), dirname(other)];
    if (from === "." || (SHARED.has(other) && from === to)) continue;
    if (!LAYERS[/** @type {keyof typeof LAYERS} */ (from)]?.includes(to)) faults.push(`${file}: imports ${other}`);
  }
}

/**
 * @param {string} file
 * @param {string[]} way
 */
function walk(file, way) {
  if (way.includes(file)) {
    faults.push(`an import cycle: ${[...way.slice(way.indexOf(file)), file].join(" → ")}`);
    return;
  }
  for (const next of imports.get(file) ?? []) walk(next, [...way, file]);
}
walk("main.js", []);

const words = sources.get("words/en.js") ?? "";
const keys = [...words.matchAll(/^ {2}"?([\w. -]+)"?: /gm)].map(([, key = ""]) => key);
const code = [...sources].filter(([file]) => file.endsWith(".js") && !file.startsWith("words/")).map(([, text]) => text).join("\n");
/** Keys that are put together at run time, by their beginnings. */
const composed = [...code.matchAll(/`([a-zA-Z]+(?:\.[a-zA-Z]+)*\.)\$\{/g)].map(([, stem = ""]) => stem);
for (const key of keys) {
  if (!code.includes(`"${key}"`) && !composed.some((stem) => key.startsWith(stem))) faults.push(`words/en.js: nobody says ${key}`);
}
for (const file of files) {
  const colour = /#[0-9a-f]{6}\b/i.exec((file.endsWith(".css") && file !== "tokens.css" && sources.get(file)) || "");
  if (colour) faults.push(`${file}: the colour ${colour[0]} belongs into tokens.css`);
}

if (faults.length > 0) {
  console.error(faults.join("\n"));
  process.exit(1);
}
console.log(`${relative(process.cwd(), WEB) || "web"}: ${files.length} files in order`);
