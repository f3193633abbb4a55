"use strict";
// Factors for 95 %: of Student's distribution, and of the largest, smallest or spread of several readings.
// Mirrors coverage.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const exact = node ? require("./exact.js") : window.runningFits.exact;

  const NORMAL = 1.96;
  const HELD = 0.96;
  const LEAST_TAIL = 0.02;
  const [HALF_SPAN, STEPS, HALVINGS] = [8, 320, 60];

  /** Coverage factor for 95 % with so many effective degrees of freedom (JCGM 100:2008, G.3.2 and table G.2). */
  function factor(freedom) {
    if (freedom === Infinity) {
      return NORMAL;
    }
    const [z, n] = [NORMAL, freedom];
    const first = (z ** 3 + z) / 4;
    const second = (5 * z ** 5 + 16 * z ** 3 + 3 * z) / 96;
    const third = (3 * z ** 7 + 19 * z ** 5 + 17 * z ** 3 - 15 * z) / 384;
    return z + first / n + second / n ** 2 + third / n ** 3;
  }

  /** Bias and widening of the largest of so many readings, in standard deviations of one. */
  const ofLargest = (count) => (count > 1 ? holdingBoth(1, exact.quantile(HELD ** (1 / count))) : [0, 1]);

  /** Bias and widening of the largest of some spreads, each of so many readings, in standard deviations of one. */
  const ofSpread = (count, groups = 1) => holdingBoth(Math.SQRT2, rangeQuantile(count, HELD ** (1 / groups)));

  /** Bias and widening from the standard deviation of one place's error and the end that holds all alike. */
  function holdingBoth(alone, alike) {
    const below = -alone * exact.quantile(Math.max(share(alike / alone) - HELD, LEAST_TAIL));
    return [(alike - below) / 2, (alike + below) / (2 * NORMAL)];
  }

  const known = new Map();

  /** Quantile of the range of so many standard normal values, by halving. */
  function rangeQuantile(count, held) {
    const key = count + " " + held;
    if (!known.has(key)) {
      let [low, high] = [0, 12];
      for (let n = 0; n < HALVINGS; n += 1) {
        const middle = (low + high) / 2;
        [low, high] = rangeShare(middle, count) < held ? [middle, high] : [low, middle];
      }
      known.set(key, (low + high) / 2);
    }
    return known.get(key);
  }

  const STEP = (2 * HALF_SPAN) / STEPS;
  const POINTS = Array.from({ length: STEPS + 1 }, (_, k) => -HALF_SPAN + STEP * k);

  /** Share of samples whose range is at most `width`: n times the integral of phi(x) (Phi(x) - Phi(x - w))^(n-1). */
  function rangeShare(width, count) {
    const at = (x) => density(x) * (share(x) - share(x - width)) ** (count - 1);
    return count * STEP * POINTS.reduce((sum, x) => sum + at(x), 0);
  }

  const density = (x) => Math.exp((-x * x) / 2) / Math.sqrt(2 * Math.PI);
  const share = (x) => (1 + exact.erf(x / Math.SQRT2)) / 2;

  const made = { NORMAL, factor, ofLargest, ofSpread };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.coverage = made;
  }
})();
