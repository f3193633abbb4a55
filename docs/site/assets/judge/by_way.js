"use strict";
// The ways in which a case was measured, each with the least and the most that it shows. Mirrors by_way.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [cases, grid, values] = ["case", "grid", "values"].map(part);

  const [TIGHTEST, WIDEST] = ["smallest-bore-minus-largest-shaft", "largest-bore-minus-smallest-shaft"];

  /** Each way of measuring, {value, least, most}: bounds last, else the least uncertain first.
   * @param {Case} one @param {Row} row @param {any} means */
  function ways(one, row, means) {
    const { quantity, parts } = one;
    const method = cases.methodOf(one, row);
    const thermal = quantity.dimension === "length";
    const found = [];
    if (quantity.inner.length && parts.has("bore") && parts.has("shaft")) {
      const [counted, least, most] = [grid.pairMethod(method), TIGHTEST, WIDEST].map((m) => fit(one, m, means, thermal));
      const several = ["bore", "shaft"].some((own) => grid.cells(parts.get(own)).length > 1);
      found.push(counted && { value: counted, least: several ? least : null, most: several ? most : null });
    }
    for (const own of quantity.inner.length ? ["gap", "strip"] : ["bore", "shaft", "gap", "strip"]) {
      if (parts.has(own)) {
        found.push(single(one, own, method, means, thermal && (own === "bore" || own === "shaft")));
      }
    }
    /** @param {any} _ @param {any} _ */
    const order = ({ value: a }, { value: b }) => a.leastOnly - b.leastOnly || a.standard - b.standard;
    return found.filter(Boolean).sort(order);
  }

  /** Bore minus shaft, each by what a method counts of it.
   * @param {Case} one @param {string} method @param {any} means @param {any} thermal */
  function fit(one, method, means, thermal) {
    const [bore, shaft] = ["bore", "shaft"].map((own, n) =>
      values.partValue(one.parts.get(own), grid.PAIRED[method][n], means, thermal));
    return bore && shaft && values.difference(bore, shaft, method);
  }

  /** @param {Case} one @param {any} own @param {string} method @param {any} means @param {any} thermal */
  function single(one, own, method, means, thermal) {
    const readings = one.parts.get(own);
    const way = grid.singleMethod(method, own, one.quantity.limit_side);
    const value = values.partValue(readings, way, means, thermal);
    const lone = [...grid.DIFFERENCES, "half-dial"].includes(way) || grid.cells(readings).length === 1;
    /** @param {any} m */
    const by = (m) => (lone ? null : values.partValue(readings, m, means, thermal));
    return value && { value, least: by("smallest"), most: by("largest") };
  }

  const made = { ways };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.by_way = made;
  }
})();
