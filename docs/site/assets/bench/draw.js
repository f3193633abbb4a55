"use strict";
// A fit drawn to scale: hatched the new range, dotted what wear is allowed, a thick line the limit, a diamond the value
// with its uncertainty.
(function () {
  const api = window.runningFits;
  const { drawn } = api.elements;
  const [WIDTH, HEIGHT, EDGE, TOP, BAND] = [360, 94, 40, 30, 22];

  /** Patterns that the drawings use: once a page. */
  function patterns() {
    const line = drawn("path", { class: "bench-stroke", d: "M0 0V6" });
    const dot = drawn("circle", { class: "bench-dot", cx: 2, cy: 2, r: 0.9 });
    const size = { width: 6, height: 6, patternUnits: "userSpaceOnUse" };
    const hatch = drawn("pattern", { id: "bench-hatch", ...size, patternTransform: "rotate(45)" }, line);
    const defs = drawn("defs", {}, hatch, drawn("pattern", { id: "bench-dots", ...size }, dot));
    return drawn("svg", { width: 0, height: 0, "aria-hidden": "true", class: "bench-defs" }, defs);
  }

  /** Where values lie on the drawing: an axis that shows the range and, where it is not many widths off, the value.
   * @param {number[]} ends @param {any} value @param {number} uncertainty */
  function axis(ends, value, uncertainty) {
    let [least, most] = [Math.min(...ends), Math.max(...ends)];
    const width = most - least || Math.max(uncertainty, Math.abs(ends[0]) * 0.2, 1e-9);
    if (least - 4 * width < value && value < most + 4 * width) {
      [least, most] = [Math.min(least, value - uncertainty), Math.max(most, value + uncertainty)];
    }
    const pad = (most - least) * 0.08 || width;
    [least, most] = [least - pad, most + pad];
    /** @param {number} x */
    const share = (x) => (Math.min(Math.max(x, least), most) - least) / (most - least);
    return { least, most, at: (/** @type {any} */ x) => EDGE + share(x) * (WIDTH - 2 * EDGE), off: (/** @type {any} */ x) => x < least || x > most };
  }

  /** @param {number} start @param {number} end @param {string} kind */
  const box = (start, end, kind) =>
    drawn("rect", { class: kind, x: start, y: TOP, width: Math.max(end - start, 1), height: BAND });

  /** @param {string} text */
  const number = (text) => (text === null ? null : Number(text));

  /** @param {any} range @param {any} on @param {boolean} upward */
  function bands(range, on, upward) {
    const [low, high, limit] = [range.lower, range.upper, range.limit].map(number);
    const [start, end] = [low === null ? on.least : low, high === null ? on.most : high];
    const found = [];
    const alone = low === null && high === null;
    if (limit !== null && alone) {
      const [from, to] = upward ? [on.least, limit] : [limit, on.most];
      found.push(box(on.at(from), on.at(to), "bench-wear"));
    } else if (limit !== null) {
      const [from, to] = limit >= end ? [end, limit] : [limit, start];
      found.push(from < to ? box(on.at(from), on.at(to), "bench-wear") : null);
    }
    return alone ? found : [...found, box(on.at(start), on.at(end), "bench-new")];
  }

  /** @param {any} range @param {any} on */
  function marks(range, on) {
    const base = TOP + BAND / 2;
    const line = drawn("line", { class: "bench-axis", x1: EDGE / 2, x2: WIDTH - EDGE / 2, y1: base, y2: base });
    const named = ["lower", "upper", "limit"].filter((k) => range[k] !== null);
    const sorted = named.map((k) => [on.at(Number(range[k])), k]).sort((a, b) => a[0] - b[0]);
    let last = -99;
    return [line, ...sorted.flatMap(([x, kind]) => {
      const low = TOP + BAND + 16 + (x - last < 74 ? 16 : 0);
      last = low === TOP + BAND + 16 ? x : last;
      const words = (kind === "limit" ? "limit " : "") + range[kind];
      const mark = drawn("line", { class: "bench-" + kind, x1: x, x2: x, y1: TOP - 4, y2: low - 12 });
      return [mark, drawn("text", { x, y: low, "text-anchor": "middle" }, words)];
    })];
  }

  /** The value with its uncertainty; one that is only a least reaches to the end of the axis.
   * @param {any} on @param {any} value @param {number} uncertainty @param {boolean} leastOnly */
  function reading(on, value, uncertainty, leastOnly) {
    const [x, y] = [on.at(value), TOP - 9];
    const [least, most] = [on.at(value - uncertainty), on.at(leastOnly ? on.most : value + uncertainty)];
    /** @param {any} x1 @param {any} x2 @param {any} y1 @param {any} y2 */
    const line = (x1, x2, y1, y2) => drawn("line", { x1, x2, y1, y2 });
    const caps = [least, most].map((e) => line(e, e, y - 4, y + 4));
    const side = value > on.most ? 1 : -1;
    const arrow = "M" + x + " " + (y - 6) + "L" + (x + 11 * side) + " " + y + "L" + x + " " + (y + 6) + "Z";
    const diamond = ["M" + x, y - 6 + "L" + (x + 6), y + "L" + x, y + 6 + "L" + (x - 6), y + "Z"].join(" ");
    const mark = drawn("path", { d: on.off(value) ? arrow : diamond });
    return drawn("g", { class: "bench-value" }, line(least, most, y, y), caps, line(x, x, y + 6, TOP + BAND), mark);
  }

  /** Drawing of a result, or null where there is nothing to draw. @param {Result} result */
  function fit(result) {
    const range = result.range;
    const ends = range ? ["lower", "upper", "limit"].map((k) => number(range[k])).filter((e) => e !== null) : [];
    if (!ends.length || result.value === null || result.verdict === "bad-entry") {
      return null;
    }
    const [value, uncertainty] = [Number(result.value), Number(result.uncertainty)];
    const on = axis(ends, value, uncertainty);
    const words = api.words.sentence(result);
    const upward = range.limit === null || (value <= Number(range.limit)) === (Number(result.margins.limit) >= 0);
    return drawn(
      "svg", { class: "bench-fit", role: "img", "aria-label": words, viewBox: "0 0 " + WIDTH + " " + HEIGHT },
      drawn("title", {}, words), bands(range, on, upward), marks(range, on), reading(on, value, uncertainty, result.least_only)
    );
  }

  const LEGEND =
    "Drawn to scale: hatched the new range, dotted what wear is allowed, a thick line the wear limit, a diamond the " +
    "value with its uncertainty (95 %).";

  api.draw = { patterns, fit, LEGEND };
})();
