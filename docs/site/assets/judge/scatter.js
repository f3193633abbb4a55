"use strict";
// How readings of one instrument in one hand scatter, over a whole sheet. Mirrors scatter.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, uncertainty] = ["exact", "uncertainty"].map(part);

  const [ENOUGH, USUAL_FREEDOM] = [6, 4];

  /**
   * Standard deviation of one reading and its degrees of freedom by instrument: repeats of one place and direction,
   * pooled over the sheet. `kinds` gives the class of each instrument by id, `groups` the readings of each part.
   */
  function scatters(kinds, groups, shared) {
    const repeats = new Map();
    groups.flatMap(cells).forEach(([tool, cell]) => repeats.set(tool, [...(repeats.get(tool) || []), cell]));
    return new Map([...kinds].map(([tool, kind]) => [tool, scatterOf(repeats.get(tool) || [], usual(kind, shared))]));
  }

  /** Repeats of each place and direction, with their instrument. */
  function cells(readings) {
    const found = new Map();
    for (const r of readings) {
      const key = JSON.stringify([r.instrument, r.place, r.direction]);
      found.set(key, found.get(key) || [r.instrument, []]);
      found.get(key)[1].push(r.value);
    }
    return [...found.values()];
  }

  /** Usual repeatability of a class in SI units, 0 where none is known. */
  function usual(kind, shared) {
    const known = shared.instruments[kind];
    const factor = exact.parse(shared.units[known.unit].factor);
    return exact.toNumber(exact.multiply(exact.parse(known.repeatability || "0"), factor));
  }

  /** Below six degrees of freedom the usual repeatability joins as four; without repeats it stands alone, as known. */
  function scatterOf(repeats, usual) {
    const { deviation, freedom } = uncertainty.pooled(repeats);
    return { ...withUsual(deviation, freedom, usual), usual, pooled: deviation, repeats: freedom };
  }

  function withUsual(deviation, freedom, common) {
    if (freedom >= ENOUGH || !common) {
      return { deviation, freedom: freedom || Infinity };
    }
    if (!freedom) {
      return { deviation: common, freedom: Infinity };
    }
    const total = freedom + USUAL_FREEDOM;
    const squares = freedom * deviation ** 2 + USUAL_FREEDOM * common ** 2;
    return { deviation: Math.sqrt(squares / total), freedom: total };
  }

  /** Standard deviation that readings in steps show: of repeats as it is, of the class's usual hand worked out. */
  function shown({ deviation, repeats, usual: common, pooled }, step) {
    const { shownInSteps } = uncertainty;
    if (repeats >= ENOUGH || !common) {
      return repeats ? deviation : shownInSteps(deviation, step);
    }
    const squares = repeats * pooled ** 2 + USUAL_FREEDOM * shownInSteps(common, step) ** 2;
    return Math.sqrt(squares / (repeats + USUAL_FREEDOM));
  }

  /** Standard deviation by all repeats of the sheet but those of one place; null where there are no others. */
  function without({ pooled, repeats }, cell) {
    const own = uncertainty.pooled([cell]);
    const left = repeats - own.freedom;
    const squares = pooled ** 2 * repeats - own.deviation ** 2 * own.freedom;
    return left > 0 ? Math.sqrt(Math.max(squares, 0) / left) : null;
  }

  const made = { scatters, shown, without };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.scatter = made;
  }
})();
