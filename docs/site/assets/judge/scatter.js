"use strict";
// How readings of one instrument in one hand scatter, over a whole sheet. Mirrors scatter.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, uncertainty] = ["exact", "uncertainty"].map(part);

  const [ENOUGH, USUAL_FREEDOM] = [6, 4];

  /** A reading at its place and direction; the spread of one hand: what counts, the class's usual, what repeats showed.
   * @typedef {{instrument: string, place: string, direction: string, value: number}} Read
   * @typedef {{deviation: number, freedom: number, usual: number, pooled: number, repeats: number}} Scatter
   * @typedef {{instruments: Record<string, {unit: string, repeatability?: string}>, units: Record<string, {factor: string}>}} Words */

  /**
   * Standard deviation of one reading and its degrees of freedom by instrument: repeats of one place and direction,
   * pooled over the sheet. `kinds` gives the class of each instrument by id, `groups` the readings of each part.
   * @param {Map<string, string>} kinds @param {Read[][]} groups @param {Words} shared @returns {Map<string, Scatter>}
   */
  function scatters(kinds, groups, shared) {
    /** @type {Map<string, number[][]>} */
    const repeats = new Map();
    groups.flatMap(cells).forEach(([tool, cell]) => repeats.set(tool, [...(repeats.get(tool) || []), cell]));
    return new Map([...kinds].map(([tool, kind]) => [tool, scatterOf(repeats.get(tool) || [], usual(kind, shared))]));
  }

  /** Repeats of each place and direction, with their instrument. @param {Read[]} readings @returns {[string, number[]][]} */
  function cells(readings) {
    /** @type {Map<string, [string, number[]]>} */
    const found = new Map();
    for (const r of readings) {
      const key = JSON.stringify([r.instrument, r.place, r.direction]);
      const [, values] = found.get(key) || [r.instrument, []];
      found.set(key, [r.instrument, [...values, r.value]]);
    }
    return [...found.values()];
  }

  /** Usual repeatability of a class in SI units, 0 where none is known. @param {string} kind @param {Words} shared @returns {number} */
  function usual(kind, shared) {
    const known = shared.instruments[kind];
    const factor = exact.parse(shared.units[known.unit].factor);
    return exact.toNumber(exact.multiply(exact.parse(known.repeatability || "0"), factor));
  }

  /** Below six degrees of freedom the usual repeatability joins as four; without repeats it stands alone, as known.
   * @param {number[][]} repeats @param {number} usual @returns {Scatter} */
  function scatterOf(repeats, usual) {
    const { deviation, freedom } = uncertainty.pooled(repeats);
    return { ...withUsual(deviation, freedom, usual), usual, pooled: deviation, repeats: freedom };
  }

  /** @param {number} deviation @param {number} freedom @param {number} common */
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

  /** Standard deviation that readings in steps show: of repeats as it is, of the class's usual hand worked out.
   * @param {Scatter} scatter @param {number} step @returns {number} */
  function shown({ deviation, repeats, usual: common, pooled }, step) {
    const { shownInSteps } = uncertainty;
    if (repeats >= ENOUGH || !common) {
      return repeats ? deviation : shownInSteps(deviation, step);
    }
    const squares = repeats * pooled ** 2 + USUAL_FREEDOM * shownInSteps(common, step) ** 2;
    return Math.sqrt(squares / (repeats + USUAL_FREEDOM));
  }

  /** Standard deviation by all repeats of the sheet but those of one place; null where there are no others.
   * @param {Scatter} scatter @param {number[]} cell @returns {number | null} */
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
