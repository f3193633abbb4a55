"use strict";
// Sizes of which the largest or the smallest counts and one reading was taken, which proves neither. Mirrors thin.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [grid, temperature] = ["grid", "temperature"].map(part);
  const { methodOf } = part("case");
  const { atHeight } = part("deriving");
  const { hasShells } = part("spots");

  const PARTS = ["bore", "shaft"];
  const UNSAID = "one reading of its bore, in no direction that is told, may be at the split: read it square to the split too";

  /** Cases of round parts that were read once, of which a page counts the largest or the smallest reading, with why.
   * @param {any} entered @param {Shared} shared */
  function thin(entered, shared) {
    /** @param {any} one @param {string} name */
    const sizeOf = (one, name) => temperature.measuredSize({ item: one.item, part: name }, shared);
    /** @param {any} one @param {string} name */
    const keyOf = (one, name) => JSON.stringify([sizeOf(one, name), one.position, one.said.which || ""]);
    const forms = Object.values(shared.quantities).filter((q) => q.kind === "form");
    /** @param {any} size */
    const isRound = (size) => forms.some((q) => q.of.includes(size));
    const read = new Map();
    entered.forEach((/** @type {any} */ one) => PARTS.forEach((name) => {
      const more = (one.parts.get(name) || []).map((/** @type {any} */ r) => atHeight(r, one.said));
      read.set(keyOf(one, name), [...(read.get(keyOf(one, name)) || []), ...more]);
    }));
    return entered.flatMap((/** @type {any} */ one) => PARTS.flatMap((name) => {
      const method = counted(one, name);
      const cells = grid.cells(read.get(keyOf(one, name)));
      const once = one.parts.has(name) && cells.length === 1;
      if (once && isRound(sizeOf(one, name)) && ["largest", "smallest"].includes(method)) {
        return [{ one, why: "one reading, at one place and in one direction, does not show its " + method }];
      }
      const unsaid = once && name === "bore" && hasShells(one, shared) && !cells[0].by[1];
      return unsaid ? [{ one, why: UNSAID }] : [];
    }));
  }

  /** Which reading of a part counts for the row of a case. @param {any} one @param {string} name */
  function counted(one, name) {
    const [row = null] = one.choice.rows;
    const method = methodOf(one, row);
    if (one.quantity.inner.length && one.parts.size > 1) {
      return grid.PAIRED[grid.pairMethod(method)][PARTS.indexOf(name)];
    }
    return grid.singleMethod(method, name, one.quantity.limit_side);
  }

  const made = { thin };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.thin = made;
  }
})();
