"use strict";
// Forms that the readings of a part show, and that no page that was read limits. Mirrors unlimited.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, choosing, spots, values] = ["exact", "choosing", "spots", "values"].map(part);
  const { caseOf } = part("case");
  const { grids } = part("deriving");
  const { inUnit, NO_LIMIT } = part("walled");

  const METHODS = ["cross-difference", "end-difference"];
  const NOTHING = 1e-9;

  /** Where each form without a row is proven, the greatest of its places, with its amount as it was read.
   * @param {any} entered @param {any} bench @returns {{one: any, why: string}[]} */
  function unlimited(entered, { sheet, engine, shared, build, means }) {
    /** @param {string} name */
    const isSilent = (name) => {
      const { method, of } = shared.quantities[name];
      return METHODS.includes(method) && !spots.isOval(of, shared) && !choosing.rowsOf(engine, name).length;
    };
    const most = new Map();
    for (const { item, position, said, parts } of grids(entered, isSilent, shared)) {
      const value = values.partValue([...parts.values()].flat(), shared.quantities[item].method, means, false);
      if (value && value.least > NOTHING && exact.less(most.has(item) ? most.get(item).read : exact.ZERO, value.read)) {
        const one = caseOf({ item, position, said, parts }, build, engine, shared);
        const why = NO_LIMIT + "as much as " + inUnit(value.read, sheet.readings[value.readings[0]], shared) + " was found";
        most.set(item, { read: value.read, one, why });
      }
    }
    return [...most.values()];
  }

  const made = { unlimited, NOTHING };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.unlimited = made;
  }
})();
