"use strict";
// Readings that lie farther apart than the forms of a part allow together, where no form is computed of them. Mirrors
// shape.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, bounds, choosing, grid, values] = ["exact", "bounds", "choosing", "grid", "values"].map(part);
  const { caseOf, methodOf } = part("case");
  const { grids } = part("deriving");
  const { interval } = part("against");

  const [CROSS, END] = ["cross-difference", "end-difference"];

  /** Indexes of the readings of parts that are proven out of form, though no form is computed that shows it: by two
   * readings at two places, each in another direction.
   * @param {any} entered @param {any} bench @returns {Set<number>} */
  function misshapen(entered, bench) {
    const { engine, shared } = bench;
    const parts = new Map();
    for (const own of grids(entered, (/** @type {string} */ name) => choosing.rowsOf(engine, name).length > 0, shared)) {
      const readings = [...own.parts.values()].flat();
      if (shared.quantities[own.item].kind === "form" && isApart(grid.cells(readings))) {
        const { position, said, state } = own;
        const key = JSON.stringify([position, said, state, [...own.parts.keys()], readings.map((r) => r.index)]);
        parts.set(key, [...(parts.get(key) || []), own]);
      }
    }
    const found = [...parts.values()].filter((forms) => {
      const most = allowed(forms, bench);
      return most.has(CROSS) && most.has(END) && least(forms, bench) > most.get(CROSS) + most.get(END);
    });
    return new Set(found.flatMap(([{ parts: read }]) => [...read.values()].flat().map((r) => r.index)));
  }

  /** Whether two of some readings differ in place and direction, and neither corner between them was read.
   * @param {any[]} cells */
  function isApart(cells) {
    const read = new Set(cells.map(({ by }) => JSON.stringify(by)));
    return cells.some(({ by: a }, n) => cells.slice(n + 1).some(({ by: b }) => a[0] !== b[0] && a[1] !== b[1]
      && ![[a[0], b[1]], [b[0], a[1]]].some((corner) => read.has(JSON.stringify(corner)))));
  }

  /** The least by which the readings of a part differ, in SI units. @param {any[]} forms @param {any} bench */
  function least([{ parts }], { means, decision }) {
    const spread = values.partValue([...parts.values()].flat(), "spread", means, false);
    return interval(spread, decision === "guarded")[0];
  }

  /** The most that pages allow of a part's forms, in SI units, by the method that counts; none where a page is silent or
   * counts the swing of a dial. @param {any[]} forms @param {any} bench */
  function allowed(forms, { build, engine, shared }) {
    const found = new Map();
    for (const { item, position, said, parts } of forms) {
      const one = caseOf({ item, position, said, parts }, build, engine, shared);
      const lines = choosing.linesOf(one.choice);
      const methods = new Set(lines.flat().map((/** @type {Row} */ r) => methodOf(one, r)));
      const ends = lines.map((/** @type {Row[]} */ line) => bounds.together(line.map((r) => bounds.bounds(r, shared))).wearHigh);
      if (methods.size === 1 && ends.every((/** @type {any} */ e) => e !== null)) {
        found.set([...methods][0], Math.max(...ends.map((/** @type {any} */ e) => exact.toNumber(e.loose))));
      }
    }
    return found;
  }

  const made = { misshapen };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.shape = made;
  }
})();
