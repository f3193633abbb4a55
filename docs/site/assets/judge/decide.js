"use strict";
// The decision: verdict on an interval, and probabilities of conformance. Mirrors decide.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, bounds] = ["exact", "bounds"].map(part);

  const PASSED = ["new", "worn", "serviceable", "agrees"];

  /**
   * Verdict of an interval by what rows allow: proved only when the whole of it lies inside the strict ends, or outside
   * the loose ones (ISO 14253-1). A value on a limit is inside. Simple acceptance is an interval without width.
   * @param {any} least @param {any} most @param {Bounds} b
   */
  function decide(least, most, b) {
    const { low, high, wearLow, wearHigh } = bounds.ends(b);
    const middle = b.nominal ? [exact.toNumber(b.nominal.strict), exact.toNumber(b.nominal.loose)] : [NaN, NaN];
    const [limited, unlimited] = [b.limit !== null, b.nominal !== null && !b.fresh && b.limit === null];
    const below = most < wearLow[1] || (unlimited && most < Math.min(...middle));
    const above = least > wearHigh[1] || (unlimited && least > Math.max(...middle));
    if (b.wearsUp ? below : above) {
      return "tight";
    }
    if (b.wearsUp ? above : below) {
      return limited || b.side === "both" ? "loose" : "past-new";
    }
    if (unlimited && Number.isFinite(least) && Number.isFinite(most) && least <= middle[1] && most >= middle[0]) {
      return "agrees";
    }
    const inside = least >= wearLow[0] && most <= wearHigh[0];
    if (!(inside || agreesWithin(least, most, b, middle)) || !(b.fresh || limited)) {
      return "cannot-tell";
    }
    if (b.fresh && least >= low[0] && most <= high[0]) {
      return "new";
    }
    return b.fresh && (most < low[1] || least > high[1]) ? "worn" : "serviceable";
  }

  /** @param {Bounds} b */
  const boundedByValue = (b) => b.nominal !== null && !b.fresh && b.limit !== null;

  /** Whether a value lies within the limit and agrees with a printed value that bounds it on the other side.
   * @param {any} least @param {any} most @param {Bounds} b @param {any} middle */
  function agreesWithin(least, most, b, middle) {
    const { wearLow, wearHigh } = bounds.ends(b);
    const known = boundedByValue(b) && Number.isFinite(least) && Number.isFinite(most);
    return known && (b.wearsUp ? most >= middle[0] && most <= wearHigh[0] : least <= middle[1] && least >= wearLow[0]);
  }

  /** Probability that the true value lies between two limits (JCGM 106:2012, 7.2 to 7.4).
   * @param {any} value @param {any} standard @param {any} low @param {any} high */
  function probability(value, standard, low, high) {
    if (!(standard > 0)) {
      return value >= low && value <= high ? 1 : 0;
    }
    return exact.normal((high - value) / standard) - exact.normal((low - value) / standard);
  }

  /**
   * Probabilities that the true value lies in the new range and within what is allowed; null for what is not printed.
   * Beside a printed value the wear limit alone counts. Of a lifted value those that are not near 0 or 1 are not given:
   * whether its places are alike, its readings cannot tell.
   * @param {any} value @param {any} standard @param {Bounds} b @param {boolean} lifted
   */
  function probabilities(value, standard, b, lifted) {
    const { low, high, wearLow: least, wearHigh: most } = bounds.ends(b);
    const wearLow = boundedByValue(b) && b.wearsUp ? [-Infinity] : least;
    const wearHigh = boundedByValue(b) && !b.wearsUp ? [Infinity] : most;
    /** @param {number} share */
    const told = (share) => (lifted && share > NEARLY && share < 1 - NEARLY ? null : share);
    return {
      probability: b.fresh ? told(probability(value, standard, low[0], high[0])) : null,
      withinLimit: b.fresh || b.limit !== null ? told(probability(value, standard, wearLow[0], wearHigh[0])) : null,
    };
  }

  const NEARLY = 0.05;

  /** Distance of an exact value to each printed limit, positive inside. @param {any} value @param {Bounds} b */
  function margins(value, b) {
    /** @param {any} a @param {any} c */
    const gap = (a, c) => exact.subtract(a, c);
    const limit = b.limit && (b.wearsUp ? gap(b.limit.strict, value) : gap(value, b.limit.strict));
    return { lower: b.low && gap(value, b.low.strict), upper: b.high && gap(b.high.strict, value), limit };
  }

  const made = { PASSED, decide, probabilities, margins };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.decide = made;
  }
})();
