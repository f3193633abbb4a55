"use strict";
// Readings of one item at one position: a grid of places and directions, and the value that counts. Mirrors grid.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, coverage] = ["exact", "coverage"].map(part);

  const DIFFERENCES = ["cross-difference", "end-difference", "neighbour-difference", "spread"];
  const LEAST = ["smallest", "widest-strip"];

  /** Repeated readings by place and direction, in order. @param {any} readings */
  function cells(readings) {
    const found = new Map();
    for (const r of readings) {
      const key = JSON.stringify([r.place, r.direction]);
      if (!found.has(key)) {
        found.set(key, { by: [r.place, r.direction], values: [] });
      }
      found.get(key).values.push(r.value);
    }
    return [...found.values()];
  }

  /** @param {any} grid */
  const means = (grid) => grid.map((/** @type {any} */ c) => exact.mean(c.values));

  /** @param {any} values */
  function span(values) {
    return values.length > 1 ? exact.subtract(exact.largest(values), exact.smallest(values)) : null;
  }

  /** Largest difference between readings that agree in place (0) or direction (1); null without two of them.
   * @param {any} grid @param {any} by */
  function largestSpan(grid, by) {
    const groups = new Map();
    for (const c of grid) {
      groups.set(c.by[by], [...(groups.get(c.by[by]) || []), exact.mean(c.values)]);
    }
    const spans = [...groups.values()].map(span).filter((s) => s !== null);
    return spans.length ? exact.largest(spans) : null;
  }

  /** Largest difference between the means of two neighbouring places, in the order of the sheet; null with one. @param {any} grid */
  function neighbours(grid) {
    const names = [...new Set(grid.map((/** @type {any} */ c) => c.by[0]))];
    const found = names.map((name) => exact.mean(grid.filter((/** @type {any} */ c) => c.by[0] === name).map((/** @type {any} */ c) => exact.mean(c.values))));
    const apart = found.slice(1).map((value, n) => exact.absolute(exact.subtract(value, found[n])));
    return apart.length ? exact.largest(apart) : null;
  }

  /** @param {any} grid */
  const top = (grid) => exact.largest(means(grid));
  /** @param {any} grid */
  const bottom = (grid) => exact.smallest(means(grid));
  /** @param {any} grid */
  const middle = (grid) => exact.mean(means(grid));

  const SINGLE = {
    "cross-difference": (/** @type {any} */ grid) => largestSpan(grid, 0),
    "dial-total": top,
    "end-difference": (/** @type {any} */ grid) => largestSpan(grid, 1),
    "half-dial": (/** @type {any} */ grid) => exact.divide(top(grid), exact.whole(2)),
    largest: top,
    mean: middle,
    "mean-then-largest": middle,
    "neighbour-difference": neighbours,
    smallest: bottom,
    spread: (/** @type {any} */ grid) => span(means(grid)),
    "total-travel": top,
    "widest-gap": top,
    "widest-strip": bottom,
  };

  const PAIRED = {
    "largest-bore-minus-largest-shaft": ["largest", "largest"],
    "largest-bore-minus-smallest-shaft": ["largest", "smallest"],
    "mean-bore-minus-mean-shaft": ["mean", "mean"],
    "smallest-bore-minus-largest-shaft": ["smallest", "largest"],
    "smallest-bore-minus-mean-shaft": ["smallest", "mean"],
  };

  /** How many cells there are of each place (0) or direction (1). @param {any} grid @param {any} by */
  function counts(grid, by) {
    const found = new Map();
    grid.forEach((/** @type {any} */ c) => found.set(c.by[by], (found.get(c.by[by]) || 0) + 1));
    return [...found.values()];
  }

  /** Error of what a method counts of a grid, and by which factor the scatter of its readings is lowered first.
   * @param {string} method @param {any} grid */
  function order(method, grid) {
    if (!DIFFERENCES.includes(method)) {
      return [coverage.ofLargest(grid.length), 1];
    }
    if (method === "spread") {
      return [coverage.ofSpread(grid.length), 1];
    }
    if (method === "neighbour-difference") {
      const places = counts(grid, 0);
      return [coverage.ofSpread(2, places.length - 1), 1 / Math.sqrt(Math.min(...places))];
    }
    const groups = counts(grid, method === "cross-difference" ? 0 : 1).filter((n) => n > 1);
    return [coverage.ofSpread(Math.max(...groups), groups.length), 1];
  }

  /** Method for readings of one part where the row's own is for a pair, or where none is given.
   * @param {string} method @param {any} part @param {string} side */
  function singleMethod(method, part, side) {
    if (part === "strip") {
      return "widest-strip";
    }
    return Object.hasOwn(SINGLE, method) ? method : { upper: "largest", lower: "smallest", both: "mean" }[side];
  }

  /** Method for a bore and a shaft where the row's own is for one part, or where none is given. @param {string} method */
  function pairMethod(method) {
    return Object.hasOwn(PAIRED, method) ? method : "mean-bore-minus-mean-shaft";
  }

  const made = { DIFFERENCES, LEAST, SINGLE, PAIRED, cells, means, order, singleMethod, pairMethod };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.grid = made;
  }
})();
