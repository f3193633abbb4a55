"use strict";
// One item at one place with its readings, and the rows that are true for it. Mirrors case.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [rows, choosing] = ["rows", "choosing"].map(part);

  const SAYS = ["which", "state", "method", "at", "class"];

  /** @param {any} said @param {any} columns */
  const only = (said, columns) => Object.fromEntries(columns.filter((/** @type {any} */ c) => said[c]).map((/** @type {any} */ c) => [c, said[c]]));

  /** A case with the rows that are true for it; `told` is what chooses its row beside what the sheet says.
   * @param {any} _ @param {any} build @param {Engine} engine @param {Shared} shared @param {any} [told] */
  function caseOf({ item, position, said, parts }, build, engine, shared, told = {}) {
    const way = parts.size === 1 ? { part: [...parts.keys()][0] } : {};
    const choice = choosing.choose(engine, shared, build, item, position, { ...said, ...way, ...told });
    const quantity = shared.quantities[item];
    const about = only(said, ["which", "class"]);
    /** @type {Record<string, Choice>} */
    const sizes = {};
    for (const [own, names] of sizesOf(quantity, shared)) {
      for (const name of names) {
        if (!sizes[own] || !sizes[own].rows.length) {
          sizes[own] = choosing.choose(engine, shared, build, name, position, about);
        }
      }
    }
    return { item, position, said, quantity, parts, choice, sizes, derived: false, again: false, among: false };
  }

  /** Bore and shaft of a fit, or the size of a form's part, each with the sizes that it may be. @param {any} _ @param {Shared} shared */
  function sizesOf({ outer, inner, of }, shared) {
    if (outer.length || inner.length || !of.length) {
      return [["bore", outer], ["shaft", inner]];
    }
    return [[shared.quantities[of[0]].limit_side === "upper" ? "bore" : "shaft", of]];
  }

  /** @param {any} one @param {Row} row */
  const methodOf = (one, row) => (row && rows.cell(row, "method")) || one.quantity.method;

  const made = { SAYS, only, caseOf, methodOf };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.case = made;
  }
})();
