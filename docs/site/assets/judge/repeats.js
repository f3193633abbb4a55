"use strict";
// Repeats of one place that lie farther apart than instrument and hand can bring them. Mirrors repeats.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, scatter, values] = ["exact", "scatter", "values"].map(part);

  const [WILD, WORST_HAND] = [6, 5];

  /** How far the repeats of each reading's place lie apart, and how far they may, by the number of the reading.
   * @param {any} readings @param {any} means */
  function apart(readings, means) {
    const found = new Map();
    for (const r of readings) {
      const key = JSON.stringify([r.part, r.place, r.direction]);
      found.set(key, found.get(key) || []);
      found.get(key).push(r);
    }
    return new Map([...found.values()].flatMap((own) => {
      const one = apartOf(own, means);
      return own.map((/** @type {any} */ r) => [r.index, one]);
    }));
  }

  /** @param {any} own @param {any} means */
  function apartOf(own, means) {
    const all = own.map((/** @type {any} */ r) => r.value);
    const tools = [...new Set(own.map((/** @type {any} */ r) => r.instrument))].sort();
    /** @param {any} tool */
    const of = (tool) => own.filter((/** @type {any} */ r) => r.instrument === tool).map((/** @type {any} */ r) => r.value);
    const hand = Math.max(...tools.map((t) => handOf(of(t), means.scatter.get(t))));
    const step = Math.max(...tools.map((t) => means.tools.get(t).resolution));
    const marks = 2 * exact.toNumber(exact.largest(own.map((/** @type {any} */ r) => r.half)));
    const size = exact.toNumber(exact.largest(all.map(exact.absolute)));
    const scales = tools.length > 1 ? tools.reduce((sum, t) => sum + values.limitOf(t, means.tools, size), 0) : 0;
    const range = exact.toNumber(exact.subtract(exact.largest(all), exact.smallest(all)));
    return { range, allowed: WILD * hand + step + marks + scales };
  }

  /** Spread of the hand as the rest of the sheet shows it, no better than its class and no worse than the worst hand.
   * @param {any} own @param {any} known */
  function handOf(own, known) {
    const [shown, usual] = [scatter.without(known, own), known.usual];
    if (!usual) {
      return shown === null ? Infinity : shown;
    }
    return Math.min(Math.max(shown || 0, usual), WORST_HAND * usual);
  }

  /** Whether the repeats of some place lie too far apart. @param {any} readings @param {any} means */
  const isWild = (readings, means) => [...apart(readings, means).values()].some((a) => a.range > a.allowed);

  const made = { apart, isWild };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.repeats = made;
  }
})();
