// The place of the person in the pattern: moved by one button, kept where the browser keeps things, and
// shown as a code to type in elsewhere. Without this script the page is all there, only that it stands still.
"use strict";
(() => {
  const one = (id) => document.getElementById(id);
  const { pattern, rows: rowCount, hand } = document.body.dataset;
  const rows = Number(rowCount);
  // Places: 0 is the foundation, then the rows; one more is the end.
  const end = rows + 1;

  /* ---- what is kept ---- */

  const shelf = "strandwright-place-" + pattern;
  let kept = false;
  let state = { place: 0, lines: [], ticks: [] };

  const texts = (list) => (Array.isArray(list) ? list.filter((text) => typeof text === "string") : []);
  const isPlace = (place) => Number.isInteger(place) && place >= 0 && place <= end;

  function take(text) {
    try {
      const found = JSON.parse(text);
      if (isPlace(found.place)) {
        const lines = Array.isArray(found.lines) ? found.lines.filter(Number.isInteger) : [];
        state = { place: found.place, lines, ticks: texts(found.ticks) };
      }
    } catch {
      // What is not ours is not taken.
    }
  }

  function keep() {
    try {
      const text = JSON.stringify(state);
      localStorage.setItem(shelf, text);
      kept = localStorage.getItem(shelf) === text;
    } catch {
      kept = false;
    }
    one("unkept").hidden = kept;
  }

  /* ---- the code: place, pattern, check ---- */

  // 31 signs, a prime number, so that one wrong sign or two that changed places always show: each sign has a
  // weight of its own, and the weighted sum must be a multiple of 31. None looks like another.
  const SIGNS = "23456789ABCDEFGHJKMNPQRSTUVWXYZ";
  const PLACES = 31 ** 3;
  const digest = parseInt(pattern.slice(0, 12), 16);
  const ours = digest % 31 ** 2;
  const shift = Math.floor(digest / 31 ** 2) % PLACES;
  const sum = (signs) => signs.reduce((sum, sign, at) => sum + sign * (at + 2), 0) % 31;

  function codeOf(place) {
    const number = (place + shift) % PLACES;
    const signs = [Math.floor(number / 961), Math.floor(number / 31) % 31, number % 31, Math.floor(ours / 31), ours % 31];
    signs.push((31 - sum(signs)) % 31);
    const letters = signs.map((sign) => SIGNS[sign]).join("");
    return letters.slice(0, 3) + "-" + letters.slice(3);
  }

  /** The place that a code stands for, or what is wrong with it. */
  function placeOf(text) {
    const letters = [...text.toUpperCase().replace(/[\s.\-\u2010-\u2015]/g, "")];
    if (letters.length === 0) return "Type in a code first.";
    const strange = letters.find((letter) => !SIGNS.includes(letter));
    if (strange !== undefined) return `There is no ${strange} in a code: it has the digits 2 to 9 and letters without I, L and O.`;
    if (letters.length !== 6) return `A code has six signs, this has ${letters.length}.`;
    const signs = letters.map((letter) => SIGNS.indexOf(letter));
    const check = signs.pop();
    if ((sum(signs) + check) % 31 !== 0) return "There is a slip in this code: compare it sign by sign.";
    const place = (signs[0] * 961 + signs[1] * 31 + signs[2] + PLACES - shift) % PLACES;
    if (signs[3] * 31 + signs[4] !== ours || place > end) return "This code is for another pattern.";
    return place;
  }

  /* ---- the rows on the page ---- */

  const entries = [...document.querySelectorAll(".rows > li")].map((item) => ({
    item, first: Number(item.dataset.first), last: Number(item.dataset.last),
  }));
  const entryOf = (place) => entries.find(({ first, last }) => first <= place && place <= last);
  const linesOf = (entry) => [...entry.item.querySelectorAll(".line")].map((line) => line.textContent.trim());
  /** Stitches of the row that are made where a line begins. */
  const madeBefore = (line) => Number(/^\((\d+) made\)/.exec(line)?.[1] ?? 0);
  const leftwards = (row) => (row % 2 === 1) === (hand === "right");

  function element(name, className, ...children) {
    const made = document.createElement(name);
    if (className) made.className = className;
    made.append(...children);
    return made;
  }

  /** A line with each thing to do held together, so that none is torn where there is room. */
  function worded(line) {
    const [, made, rest] = /^(\(\d+ made\) )?(.*)$/s.exec(line);
    const steps = rest.split(/(?<=;) /).map((step) => element("span", "step", step));
    const parts = steps.flatMap((step) => [step, " "]);
    return made ? [element("span", "made", made), ...parts] : parts;
  }

  /* ---- the chart around a row ---- */

  const chart = one("chart-cells");
  const cells = chart.dataset.cells.split(";").map((row) => row.split(" ").map((run) => {
    const [yarn, times] = run.split("x").map(Number);
    return { yarn, times: times ?? 1 };
  }));
  const yarns = chart.dataset.yarns.split(" ").map((yarn) => {
    const [symbol, colour, ink] = yarn.split("#");
    return { symbol, colour: "#" + colour, ink: "#" + ink };
  });
  const columns = cells[0].reduce((sum, run) => sum + run.times, 0);
  const [LEFT, TOP] = chart.dataset.from.split(" ").map(Number);
  const [cellWide, cellHigh] = chart.dataset.cell.split(" ").map(Number);
  const WIDE = 26;
  const HIGH = Math.round((WIDE * cellHigh) / cellWide);
  const TALL = Math.round(HIGH * 1.6);
  const AROUND = 2;
  const MARGIN = 56;

  function drawn(name, attributes, text) {
    const made = document.createElementNS("http://www.w3.org/2000/svg", name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    if (text !== undefined) made.textContent = text;
    return made;
  }

  /** A frame that is seen on dark yarn and on light. */
  function framed(x, y, width, height) {
    const group = drawn("g", { class: "frame", fill: "none" });
    for (const [stroke, wide] of [["#fbf8f1", 7], ["#2a262e", 3]]) group.append(drawn("rect", { x, y, width, height, stroke, "stroke-width": wide }));
    return group;
  }

  /** The rows around one, which is drawn larger and framed; its stitches are counted above, as they are made. */
  function strip(row) {
    const top = Math.min(row + AROUND, rows);
    const bottom = Math.max(row - AROUND, 1);
    const width = columns * WIDE;
    const head = 26;
    const foot = head + (top - bottom) * HIGH + TALL;
    const [all, deep] = [width + 2 * MARGIN, foot + 8];
    const svg = drawn("svg", { width: all, height: deep, viewBox: `0 0 ${all} ${deep}`, role: "img" });
    svg.setAttribute("aria-label", `Rows ${bottom} to ${top} of the chart, row ${row} framed; it runs ${leftwards(row) ? "from right to left" : "from left to right"}`);
    const ink = "#2a262e";
    const heightOf = (other) => (other === row ? TALL : HIGH);
    let frame = null;
    let y = head;
    for (let other = top; other >= bottom; y += heightOf(other), other--) {
      const height = heightOf(other);
      const size = Math.min(other === row ? 18 : 14, height * 0.68);
      const middle = y + height / 2 + size * 0.36;
      const group = drawn("g", { "text-anchor": "middle", "font-size": size, "font-weight": other === row ? 700 : 400 });
      let column = 0;
      for (const { yarn, times } of cells[other - 1]) {
        const { symbol, colour, ink } = yarns[yarn];
        group.append(drawn("rect", { x: MARGIN + column * WIDE, y, width: times * WIDE, height, fill: colour }));
        for (let at = 0; at < times; at++, column++) {
          group.append(drawn("text", { x: MARGIN + (column + 0.5) * WIDE, y: middle, fill: ink }, symbol));
        }
      }
      let lines = "";
      for (let at = 0; at <= columns; at++) lines += `M${MARGIN + at * WIDE} ${y}v${height}`;
      group.append(drawn("path", { d: `${lines}M${MARGIN} ${y}h${width}m0 ${height}h${-width}`, stroke: "#9a9398", fill: "none" }));
      svg.append(group);
      const left = leftwards(other);
      const words = left ? `\u2190 ${other}` : `${other} \u2192`;
      const weight = other === row ? 700 : 400;
      svg.append(drawn("text", { x: left ? MARGIN + width + 8 : MARGIN - 8, y: y + height / 2 + 5, "font-size": 13, "font-weight": weight, fill: ink, "text-anchor": left ? "start" : "end" }, words));
      if (other === row) frame = framed(MARGIN, y, width, height);
    }
    for (let made = 10; made <= columns; made += 10) {
      const x = MARGIN + (leftwards(row) ? columns - made : made) * WIDE;
      svg.append(drawn("path", { d: `M${x} ${head}V${foot}`, stroke: ink, "stroke-width": 1.5 }));
      svg.append(drawn("text", { x, y: 17, "font-size": 13, fill: ink, "text-anchor": "middle" }, String(made)));
    }
    svg.append(frame);
    return svg;
  }

  /** Brings the next stitch into sight: the rest of the row lies ahead. */
  function look(row, made) {
    const box = one("strip");
    const left = leftwards(row);
    const x = MARGIN + (left ? columns - made : made) * WIDE;
    const margin = made === 0 ? MARGIN : 2.5 * WIDE;
    box.scrollLeft = left ? x + margin - box.clientWidth : x - margin;
  }

  /** Whether the whole chart has still to be moved to the row. */
  let astray = true;

  /** Frames the row on the whole chart, and brings it into sight there. */
  function frame() {
    const row = Math.min(Math.max(state.place, 1), rows);
    const svg = chart.querySelector("svg");
    svg.querySelector(".frame")?.remove();
    const y = TOP + (rows - row) * cellHigh;
    const width = columns * cellWide;
    svg.append(framed(LEFT, y, width, cellHigh));
    chart.scrollTop = y + (cellHigh - chart.clientHeight) / 2;
    chart.scrollLeft = leftwards(row) ? width + 2 * LEFT : 0;
    astray = true;
  }

  /* ---- what is shown ---- */

  const sideOf = (row) => `${row % 2 === 1 ? "RS" : "WS"} ${leftwards(row) ? "\u2190" : "\u2192"}`;
  const isRow = (place) => place >= 1 && place <= rows;
  const nameOf = (place) => (place === 0 ? "Foundation" : place > rows ? "All rows are done" : `Row ${place}`);

  function show() {
    const { place } = state;
    const entry = entryOf(place);
    one("now-name").textContent = nameOf(place);
    one("now-side").textContent = isRow(place) ? sideOf(place) : "";
    one("left").textContent = isRow(place) ? `of ${rows}${rows === place ? ", the last" : ""}` : "";
    one("thread").setAttribute("d", `M0 2h${(100 * Math.max(place - 1, 0)) / rows}`);
    one("done").textContent = place === 0 ? "Foundation done" : "Row done";
    one("done").disabled = place === end;
    one("back").disabled = place === 0;
    one("code").textContent = codeOf(place);

    one("strip").hidden = !isRow(place);
    one("strip").replaceChildren(...(isRow(place) ? [strip(place)] : []));
    const words = one("now");
    const lines = entry ? linesOf(entry) : [];
    if (!entry) {
      words.replaceChildren("What comes now stands below: weave in the ends, then finish.");
    } else if (lines.length === 1) {
      words.replaceChildren(element("span", "line", ...worded(lines[0])));
    } else {
      words.replaceChildren(...lines.map((line, at) => {
        const box = element("input");
        box.type = "checkbox";
        box.checked = state.lines.includes(at);
        box.addEventListener("change", () => {
          state.lines = lines.map((_, line) => line).filter((line) => words.querySelectorAll("input")[line].checked);
          keep();
          next(lines);
        });
        return element("label", "tick", box, element("span", "", ...worded(line)));
      }));
    }
    for (const { item, first, last } of entries) {
      item.classList.toggle("done", last < place);
      if (first <= place && place <= last) item.setAttribute("aria-current", "step");
      else item.removeAttribute("aria-current");
    }
    if (isRow(place)) next(lines);
    frame();
  }

  /** Looks at the first line of the row that is not ticked. */
  function next(lines) {
    const open = lines.findIndex((_, at) => !state.lines.includes(at));
    look(state.place, open === -1 ? columns : madeBefore(lines[open]));
  }

  function go(place) {
    state.place = place;
    state.lines = [];
    keep();
    show();
    one("said").textContent = [nameOf(place), isRow(place) ? sideOf(place) : ""].join(" ").trim();
    const box = one("place").getBoundingClientRect();
    if (box.top < 0 || box.top > innerHeight) one("place").scrollIntoView({ block: "start", behavior: "instant" });
  }

  /** Comes to a place from elsewhere: the row is what is wanted next. */
  function arrive(place) {
    if (kept) one("move").open = false;
    go(place);
    const next = one(place === end ? "back" : "done");
    next.focus({ preventScroll: true });
  }

  function tick() {
    for (const box of document.querySelectorAll("input[data-tick]")) box.checked = state.ticks.includes(box.dataset.tick);
  }

  /** What a form is told: empty where all is well. */
  function tell(name, wrong) {
    one(name + "-wrong").textContent = wrong;
    if (wrong) one(name + "-in").setAttribute("aria-invalid", "true");
    else one(name + "-in").removeAttribute("aria-invalid");
    if (wrong) one(name + "-in").focus();
    else one(name + "-in").value = "";
  }

  one("done").addEventListener("click", () => {
    if (state.place < end) go(state.place + 1);
    if (one("done").disabled) one("back").focus();
  });
  one("back").addEventListener("click", () => {
    if (state.place > 0) go(state.place - 1);
    if (one("back").disabled) one("done").focus();
  });
  one("code-form").addEventListener("submit", (event) => {
    event.preventDefault();
    const found = placeOf(one("code-in").value);
    tell("code", typeof found === "string" ? found : "");
    if (typeof found === "number") arrive(found);
  });
  one("row-form").addEventListener("submit", (event) => {
    event.preventDefault();
    const text = one("row-in").value.trim();
    const row = /^\d+$/.test(text) ? Number(text) : 0;
    const fits = row >= 1 && row <= rows;
    tell("row", fits ? "" : `Give a row from 1 to ${rows}.`);
    if (fits) arrive(row);
  });
  document.addEventListener("change", ({ target }) => {
    const name = target.dataset?.tick;
    if (name === undefined) return;
    state.ticks = state.ticks.filter((other) => other !== name);
    if (target.checked) state.ticks.push(name);
    keep();
  });
  // The same page in another window of this browser.
  addEventListener("storage", ({ key, newValue }) => {
    if (key !== shelf || newValue === null) return;
    take(newValue);
    show();
    tick();
  });

  /* ---- the screen ---- */

  if (navigator.wakeLock) {
    let lock = null;
    const light = async () => {
      try {
        if (one("awake").checked && document.visibilityState === "visible") lock = await navigator.wakeLock.request("screen");
        else await lock?.release();
      } catch {
        one("awake").checked = false;
      }
    };
    one("awake-line").hidden = false;
    one("awake").checked = false;
    one("awake").addEventListener("change", light);
    document.addEventListener("visibilitychange", light);
  }

  try {
    take(localStorage.getItem(shelf));
  } catch {
    // Nothing is kept here; the code is there for that.
  }
  // The whole chart is laid out when it comes into sight; only then it can be moved.
  chart.addEventListener("contentvisibilityautostatechange", ({ skipped }) => {
    if (skipped || !astray) return;
    frame();
    astray = false;
  });
  one("place").hidden = false;
  keep();
  show();
  tick();
  if (!kept) one("move").open = true;
})();
