"use strict";
// Whether a used part lies where machining to another repair size than the build's would put it. Mirrors resized.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (/** @type {string} */ name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, builds, sized] = ["exact", "build", "sized"].map(part);

  const [SAME_SIZE, WORN_SHARE, WORN_LEAST] = ["1/50", "1/10", "5/100000"].map(exact.parse);

  /** Where a part would lie that was machined to a repair size other than the build's; only on the side of wear.
   * @param {any} one @param {any} b @param {any} bench @returns {number[][]} */
  function windows({ quantity, position }, b, { engine, shared, build }) {
    const share = exact.parse(quantity.share || "0");
    const range = rangeOf(b);
    if (!quantity.repair || exact.equal(share, exact.ZERO) || range === null) {
      return [];
    }
    const si = (/** @type {any} */ size) => exact.multiply(size.value, exact.parse(shared.units[size.unit].factor));
    const own = builds.sizeAt(build, quantity.repair, position);
    const now = si(builds.isSize(own) ? own : builds.STANDARD);
    const sizes = [...sized.printedSizes(quantity.repair, engine, shared), ...sized.commonSizes(quantity.repair, shared)];
    const there = sizes.map((/** @type {any} */ s) => exact.multiply(share, exact.subtract(si(s), now)))
      .filter((/** @type {any} */ off) => (b.wearsUp ? exact.less(exact.ZERO, off) : exact.less(off, exact.ZERO)))
      .map((/** @type {any} */ off) => moved(range, off, b.wearsUp));
    const [lows, highs] = [0, 1].map((n) => there.map((/** @type {number[]} */ ends) => ends[n]));
    return there.length ? [[Math.min(...lows), Math.max(...highs)]] : [];
  }

  /** The new range, its one end where but one is printed, or the printed value; null without any. @param {any} b @returns {any[] | null} */
  function rangeOf(b) {
    const printed = [b.low, b.high].filter(Boolean).map((/** @type {any} */ e) => e.loose);
    const ends = printed.length ? printed : b.nominal ? [b.nominal.strict, b.nominal.loose] : [];
    return ends.length ? [exact.smallest(ends), exact.largest(ends)] : null;
  }

  /** A range moved by a size, with what is worn or rounded off beyond it.
   * @param {any[]} range @param {any} off @param {boolean} up @returns {number[]} */
  function moved([low, high], off, up) {
    const size = exact.absolute(off);
    const worn = exact.largest([exact.multiply(WORN_SHARE, size), WORN_LEAST]);
    const same = exact.less(low, high) ? exact.multiply(SAME_SIZE, size) : worn;
    const least = exact.subtract(exact.add(low, off), up ? same : worn);
    return [least, exact.add(exact.add(high, off), up ? worn : same)].map(exact.toNumber);
  }

  /** Whether a value may lie, within its U, where another repair size would put it.
   * @param {any} value @param {any} one @param {any} b @param {any} bench */
  const isResized = ({ at, expanded }, one, b, bench) =>
    windows(one, b, bench).some(([low, high]) => low <= at + expanded && at - expanded <= high);

  const made = { isResized };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.resized = made;
  }
})();
