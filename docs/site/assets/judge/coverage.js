"use strict";
// Factors for 95 %: of Student's distribution, and of the largest, smallest or spread of several readings.
// Mirrors coverage.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @type {any} */
  const exact = node ? require("./exact.js") : window.runningFits.exact;

  const NORMAL = 1.96;
  const HELD = 0.955;
  const ONE_SIDED = exact.quantile(HELD);
  const LEAST_TAIL = 0.02;
  const BOTH = 0.98;
  const [HALF_SPAN, STEPS, HALVINGS, NEWTONS, NARROW] = [8, 320, 60, 10, 1e-3];

  /** Coverage factor for 95 % with so many effective degrees of freedom (JCGM 100:2008, G.3.2 and table G.2). @param {number} freedom */
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

  /** @type {Map<string, CountedError>} */
  const known = new Map();
  /** @param {string} key @param {() => CountedError} made @returns {CountedError} */
  function once(key, made) {
    const found = known.get(key) || made();
    known.set(key, found);
    return found;
  }

  /** Error of the largest of so many readings, in standard deviations of one: alone, lift and reach (see coverage.py).
   * @param {number} count */
  const ofLargest = (count) => once("largest " + count, () => {
    if (count === 1) {
      return { alone: 1, lift: 0, reach: ONE_SIDED };
    }
    const lift = mean((x) => share(x) ** count);
    return { alone: 1, lift, reach: exact.quantile(HELD ** (1 / count)) - lift };
  });

  /** Error of the largest of some spreads, each of so many readings. @param {number} count */
  const ofSpread = (count, groups = 1) => once("spread " + count + " " + groups, () => {
    const lift = mean((width) => (width > 0 ? rangeShare(width, count) ** groups : 0));
    return { alone: Math.SQRT2, lift, reach: rangeQuantile(count, HELD ** (1 / groups)) - lift };
  });

  /** Mean of a distribution from the share below each value. @param {(x: number) => number} below */
  function mean(below) {
    /** @param {number} x */
    const at = (x) => (x >= 0 ? 1 - below(x) : -below(x)) - (x === 0 ? 0.5 : 0);
    return STEP * POINTS.reduce((sum, x) => sum + at(x), 0);
  }

  /** How far the sum of an error within limits ± a and a normal one goes, by the share held on one side (see coverage.py).
   * @param {number} half @param {number} deviation @returns {number} */
  function oneSided(half, deviation) {
    if (half <= NARROW * deviation) {
      return ONE_SIDED * Math.hypot(deviation, half / Math.sqrt(3));
    }
    if (!deviation) {
      return (2 * HELD - 1) * half;
    }
    const a = half / deviation;
    let found = Math.max((2 * HELD - 1) * a, ONE_SIDED);
    for (let n = 0; n < NEWTONS; n += 1) {
      const held = under(found + a) - under(found - a);
      found += (2 * a * HELD - held) / (share(found + a) - share(found - a));
    }
    return found * deviation;
  }

  /** Integral of the normal distribution function up to x. @param {number} x */
  const under = (x) => x * share(x) + density(x);

  /** How far a reading may lie above and below the truth, 95 % of the time, whether places stand out or are alike.
   * @param {number} alone @param {number} reach @param {number} up @param {number} down */
  function halfWidths(alone, reach, up, down) {
    if (!up && !down) {
      return [NORMAL * alone, NORMAL * alone];
    }
    if (up && down) {
      return [BOTH * (up + reach), BOTH * (down + reach)];
    }
    return [up ? up + reach : rest(alone, down + reach), down ? down + reach : rest(alone, up + reach)];
  }

  /** @param {number} alone @param {number} end */
  function rest(alone, end) {
    const left = alone ? share(end / alone) - HELD : 0;
    return alone ? -alone * exact.quantile(Math.max(left, LEAST_TAIL)) : 0;
  }

  /** Quantile of the range of so many standard normal values, by halving. @param {number} count @param {number} held */
  function rangeQuantile(count, held) {
    let [low, high] = [0, 12];
    for (let n = 0; n < HALVINGS; n += 1) {
      const middle = (low + high) / 2;
      [low, high] = rangeShare(middle, count) < held ? [middle, high] : [low, middle];
    }
    return (low + high) / 2;
  }

  const STEP = (2 * HALF_SPAN) / STEPS;
  const POINTS = Array.from({ length: STEPS + 1 }, (_, k) => -HALF_SPAN + STEP * k);

  /** Share of samples whose range is at most `width`: n times the integral of phi(x) (Phi(x) - Phi(x - w))^(n-1).
   * @param {number} width @param {number} count */
  function rangeShare(width, count) {
    /** @param {number} x */
    const at = (x) => density(x) * (share(x) - share(x - width)) ** (count - 1);
    return count * STEP * POINTS.reduce((sum, x) => sum + at(x), 0);
  }

  /** @param {number} x */
  const density = (x) => Math.exp((-x * x) / 2) / Math.sqrt(2 * Math.PI);
  /** @param {number} x */
  const share = (x) => (1 + exact.erf(x / Math.SQRT2)) / 2;

  const made = { NORMAL, ONE_SIDED, factor, ofLargest, ofSpread, oneSided, halfWidths };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.coverage = made;
  }
})();
