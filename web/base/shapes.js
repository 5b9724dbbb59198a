// Which cells a line or a flood takes: only to show them before the program's answer, which counts.

/**
 * Cells of a line of one stitch's width, both ends included (Bresenham's algorithm).
 * @param {[number, number]} from Column and row.
 * @param {[number, number]} to
 * @returns {[number, number][]}
 */
export function lineCells(from, to) {
  let [column, row] = from;
  const across = Math.abs(to[0] - column);
  const upwards = -Math.abs(to[1] - row);
  const stepColumn = column < to[0] ? 1 : -1;
  const stepRow = row < to[1] ? 1 : -1;
  let error = across + upwards;
  /** @type {[number, number][]} */
  const cells = [];
  for (;;) {
    cells.push([column, row]);
    if (column === to[0] && row === to[1]) return cells;
    const twice = 2 * error;
    if (twice >= upwards) {
      error += upwards;
      column += stepColumn;
    }
    if (twice <= across) {
      error += across;
      row += stepRow;
    }
  }
}

/**
 * Cells of one yarn that hang together with a cell, side by side or one above the other.
 * @param {Uint8Array} cells
 * @param {number} columns
 * @param {number} rows
 * @param {[number, number]} at
 * @returns {number[]}
 */
export function floodCells(cells, columns, rows, at) {
  const start = at[1] * columns + at[0];
  const yarn = cells[start];
  const seen = new Uint8Array(columns * rows);
  const found = [start];
  seen[start] = 1;
  for (let next = 0; next < found.length; next += 1) {
    const cell = found[next] ?? 0;
    const column = cell % columns;
    for (const [neighbour, inside] of /** @type {[number, boolean][]} */ ([
      [cell - 1, column > 0], [cell + 1, column + 1 < columns],
      [cell - columns, cell >= columns], [cell + columns, cell + columns < columns * rows],
    ])) {
      if (inside && seen[neighbour] === 0 && cells[neighbour] === yarn) {
        seen[neighbour] = 1;
        found.push(neighbour);
      }
    }
  }
  return found;
}
