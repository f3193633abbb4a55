"use strict";
// Uncertainty of readings: components, their sum, effective degrees of freedom. A component is {key, standard, sign,
// freedom, reach, flat}; those of one key are one error and add with their sign. Mirrors uncertainty.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @type {any} */
  const exact = node ? require("./exact.js") : window.runningFits.exact;
  /** @type {any} */
  const coverage = node ? require("./coverage.js") : window.runningFits.coverage;

  /** @param {string} key @param {number} standard @param {number} [sign] @param {number} [freedom]
   * @param {number | null} [reach] @param {boolean} [flat] @returns {Component} */
  const component = (key, standard, sign = 1, freedom = Infinity, reach = null, flat = false) =>
    ({ key, standard, sign, freedom, reach, flat });

  /** Standard uncertainty of limits ± a with nothing known between them (JCGM 100:2008, 4.3.7). @param {number} half */
  const rectangular = (half) => half / Math.sqrt(3);

  /** A component of limits ± a with nothing known between them. @param {string} key @param {number} half @param {number} sign */
  const limits = (key, half, sign = 1) => component(key, rectangular(half), sign, Infinity, null, true);

  /** Standard uncertainty of a reading in steps (JCGM 100:2008, F.2.2.1). @param {number} step */
  const resolved = (step) => step / Math.sqrt(12);

  /** Standard deviation of readings in steps, of a hand of a standard deviation, on the average over all sizes.
   * @param {number} deviation @param {number} step */
  function shownInSteps(deviation, step) {
    return Math.sqrt(deviation < step / (2 * Math.sqrt(Math.PI))
      ? (step * deviation) / Math.sqrt(Math.PI) : deviation ** 2 + step ** 2 / (4 * Math.PI));
  }

  /** Standard deviation of the error that a mean of many readings in steps keeps, by what single readings show.
   * @param {number} shown @param {number} step */
  function leftBySteps(shown, step) {
    const seen = step ? Math.min(shown ** 2 / step ** 2, 1 / (2 * Math.PI)) : 0;
    return step * Math.sqrt(1 / 12 - seen + Math.PI * seen * seen);
  }

  /** Combined standard uncertainty: signed sum within a key, root sum of squares over keys (JCGM 100:2008, 5.2.2).
   * @param {Component[]} parts */
  const combined = (parts) => Math.sqrt([...byKey(parts).values()].reduce((sum, u) => sum + u * u, 0));

  /**
   * How far the sum goes beyond its mean in 95 % on one side, where the readings of a largest are alike: the widest of
   * the limits as the rectangle that it is, all else together as a normal distribution.
   * @param {Component[]} parts @returns {number}
   */
  function reach(parts) {
    const alike = parts.map((c) => (c.reach === null ? c : { ...c, standard: c.reach / coverage.ONE_SIDED }));
    const flat = new Set(parts.filter((c) => c.flat).map((c) => c.key));
    /** @type {[string, number][]} */
    const sums = [...byKey(alike)].map(([key, u]) => [key, Math.abs(u)]);
    const widest = Math.max(0, ...sums.filter(([key]) => flat.has(key)).map(([, u]) => u));
    const squares = sums.reduce((sum, [, u]) => sum + u * u, 0);
    return coverage.oneSided(Math.sqrt(3) * widest, Math.sqrt(Math.max(squares - widest * widest, 0)));
  }

  /** Effective degrees of freedom of a sum (Welch-Satterthwaite, JCGM 100:2008, G.4.1); infinite for type B alone.
   * @param {Component[]} parts */
  function effectiveFreedom(parts) {
    const freedom = new Map(parts.map((c) => [c.key, c.freedom]));
    let [squares, below] = [0, 0];
    for (const [key, u] of byKey(parts)) {
      squares += u * u;
      below += u ** 4 / /** @type {number} */ (freedom.get(key));
    }
    return below ? squares ** 2 / below : Infinity;
  }

  /** @param {Component[]} parts */
  function byKey(parts) {
    /** @type {Map<string, number>} */
    const sums = new Map();
    for (const c of parts) {
      sums.set(c.key, (sums.get(c.key) || 0) + c.sign * c.standard);
    }
    return sums;
  }

  /** Pooled standard deviation of repeats and its degrees of freedom, 0 and 0 without any (JCGM 100:2008, 4.2.4).
   * @param {Fraction[][]} groups */
  function pooled(groups) {
    let [squares, freedom] = [0, 0];
    for (const group of groups) {
      const centre = exact.mean(group);
      const off = group.map((/** @type {Fraction} */ x) => exact.subtract(x, centre));
      squares += exact.toNumber(off.map((/** @type {Fraction} */ x) => exact.multiply(x, x)).reduce(exact.add, exact.ZERO));
      freedom += group.length - 1;
    }
    return freedom ? { deviation: Math.sqrt(squares / freedom), freedom } : { deviation: 0, freedom: 0 };
  }

  /** Growth of a size: L alpha dT, with alpha in 1e-6 per kelvin (JCGM 100:2008, H.1.2). @param {number} size @param {number} expansion @param {number} kelvin */
  const grown = (size, expansion, kelvin) => size * expansion * 1e-6 * kelvin;

  const made = {
    component, limits, rectangular, resolved, shownInSteps, leftBySteps, combined, reach, effectiveFreedom, pooled, grown,
  };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.uncertainty = made;
  }
})();
