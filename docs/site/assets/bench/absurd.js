"use strict";
// What no reading can be, of every quantity: many times all that is printed for it, or for the engine where nothing is.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (/** @type {string} */ name) => (node ? require("../judge/" + name + ".js") : window.runningFits[name]);
  const [exact, rows, choosing] = ["exact", "rows", "choosing"].map(part);

  const COLUMNS = ["lower", "upper", "nominal", "limit"];
  /** How many times what is printed is beyond any slip, of a size and of a gap (of at least 0.1 mm); what no engine has of
   * a dimension, in SI, where its pages print nothing of the item. Common practice, no source. */
  const [SIZE, FIT, SMALLEST] = [30, 100, 1e-4];
  const MOST = /** @type {Record<string, number>} */ ({ length: 2, angle: 1e3, force: 1e6, torque: 1e5, mass: 1e4 });

  /** @param {string} value @param {string} unit @param {any} shared */
  const si = (value, unit, shared) => exact.toNumber(exact.multiply(exact.parse(value), exact.parse(shared.units[unit].factor)));

  /** Everything that rows print, in SI without its sign. @param {any[]} all @param {string} dimension @param {any} shared @returns {number[]} */
  function printed(all, dimension, shared) {
    const own = all.filter((r) => r.cells.unit && shared.units[r.cells.unit].dimension === dimension);
    return own.flatMap((r) => COLUMNS.map((c) => rows.value(r, c)).filter((v) => v !== null).map((v) => Math.abs(si(v, r.cells.unit, shared))))
      .filter((v) => v > 0);
  }

  /** The least and most that a reading of a part of an item can be, in SI. @param {any} raw @param {any} engine @param {any} shared
   * @returns {[number, number]} */
  function ends(raw, engine, shared) {
    const quantity = shared.quantities[raw.item];
    const { dimension } = quantity;
    const sized = ["bore", "shaft"].includes(raw.part);
    const names = !sized || quantity.kind === "size" ? [raw.item] : [...quantity.outer, ...quantity.inner, ...quantity.of];
    const own = printed(names.flatMap((name) => choosing.rowsOf(engine, name)), dimension, shared);
    if (own.length && sized) {
      return [Math.min(...own) / SIZE, Math.max(...own) * SIZE];
    }
    if (own.length) {
      return [0, Math.max(...own, dimension === "length" ? SMALLEST : 0) * FIT];
    }
    return [0, MOST[dimension] || 1e6];
  }

  /** Why a reading cannot be one, in words; empty where it can. @param {any} raw @param {any} engine @param {any} shared @returns {string} */
  function absurd(raw, engine, shared) {
    const [least, most] = ends(raw, engine, shared);
    const factor = exact.toNumber(exact.parse(shared.units[raw.unit].factor));
    const words = (/** @type {number} */ end) => Number((end / factor).toPrecision(2)) + " " + raw.unit;
    const odd = [raw.value, raw.to].filter((v) => v !== undefined).find((v) => {
      const size = Math.abs(si(v, raw.unit, shared));
      return size > most || size < least;
    });
    if (odd === undefined) {
      return "";
    }
    const over = Math.abs(si(odd, raw.unit, shared)) > most;
    return odd + " " + raw.unit + ", expected " + (over ? "at most " + words(most) : "at least " + words(least)) +
      ": no reading of this fit lies " + (over ? "above" : "below") + " that";
  }

  const made = { absurd };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.absurd = made;
  }
})();
