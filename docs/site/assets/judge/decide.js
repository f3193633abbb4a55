"use strict";
// The decision: verdict and probabilities of a value with its uncertainty, and its margins. Mirrors decide.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact] = ["exact"].map(part);

  const COVERAGE_FACTOR = 2;

  /** Verdict of a value with its expanded uncertainty (0 for simple acceptance): ISO 14253-1. On a limit is inside. */
  function decide(value, uncertainty, ends, wearsUp) {
    const [least, most] = [value - uncertainty, value + uncertainty];
    const [above, below] = [least > ends.wearHigh, most < ends.wearLow];
    if (wearsUp ? below : above) {
      return "tight";
    }
    if (wearsUp ? above : below) {
      return "loose";
    }
    if (!(least >= ends.wearLow && most <= ends.wearHigh)) {
      return "cannot-tell";
    }
    if (least >= ends.low && most <= ends.high) {
      return "new";
    }
    return most < ends.low || least > ends.high || Number.isNaN(ends.low) ? "worn" : "cannot-tell";
  }

  /** Probability that the true value lies between two limits; null without any (JCGM 106:2012, 7.2 to 7.4). */
  function probability(value, standard, low, high) {
    if (Number.isNaN(low) || Number.isNaN(high)) {
      return null;
    }
    if (!(standard > 0)) {
      return value >= low && value <= high ? 1 : 0;
    }
    return exact.normal((high - value) / standard) - exact.normal((low - value) / standard);
  }

  /** Distance of an exact value to each limit, positive inside. */
  function margins(value, found, limited) {
    const gap = (a, b) => (a === null || b === null ? null : exact.subtract(a, b));
    const worn = found.wearsUp ? found.wearHigh : found.wearLow;
    return {
      lower: gap(value, found.low),
      upper: gap(found.high, value),
      limit: limited ? (found.wearsUp ? gap(worn, value) : gap(value, worn)) : null,
    };
  }

  const made = { COVERAGE_FACTOR, decide, probability, margins };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.decide = made;
  }
})();
