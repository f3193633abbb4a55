"use strict";
// What speaks against a verdict that passes: other readings of the place, other ways. Mirrors against.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, bounds, grid, rows] = ["exact", "bounds", "grid", "rows"].map(part);
  const { isOval } = part("spots");

  const [RELIEVED, OVAL] = [5e-5, 6e-4];

  /** Where a value lies for the decision: with its U, or for simple acceptance as it is, from mark to mark.
   * @param {any} value @param {any} guarded */
  const interval = (value, guarded) => (guarded ? [value.least, value.most]
    : [value.at - value.marks, value.leastOnly ? Infinity : value.at + value.marks]);

  /** Whether the largest or the smallest reading counts, so that the other one is held to the end that wear leaves.
   * @param {string} method @param {string} side */
  const isStrict = (method, side) => side !== "both" && Object.hasOwn(grid.SINGLE, method) && !method.startsWith("mean");

  /** The reading nearest to the end that wear does not go to, where it is not proven inside; null else, and where another
   * counts. @param {any} way @param {Bounds} b @param {any} guarded */
  function unprovenEnd(way, b, guarded) {
    const other = b.side === "lower" ? way.most : way.least;
    return isStrict(way.value.method, b.side) && other && !isInside(other, b, guarded) ? other : null;
  }

  /** Whether a value is proven inside on the side that wear does not go to. @param {any} value @param {Bounds} b @param {any} guarded */
  function isInside(value, b, guarded) {
    const { wearLow, wearHigh } = bounds.ends(b);
    const [least, most] = interval(value, guarded);
    return b.side === "lower" ? most <= wearHigh[0] : least >= wearLow[0];
  }

  /** The key of what speaks against a pass by the first of some ways; empty where nothing does.
   * @param {any} ways @param {Bounds} b @param {any} one @param {Shared} shared @param {any} guarded @param {any} used */
  function doubt(ways, b, one, shared, guarded, used) {
    for (const way of ways) {
      let [below, above] = spared(way, b, one, shared);
      if (used) {
        [below, above] = b.side === "lower" ? [Infinity, above] : [below, Infinity];
      }
      if (shown(way).some((value) => isOut(value, b, guarded, below, above))) {
        return way === ways[0] ? "one" : "way";
      }
    }
    const { least } = ways[0];
    return b.floor && least && interval(least, guarded)[0] <= 0 ? "tightest" : "";
  }

  /** @param {any} _ */
  const shown = ({ value, least, most }) => [value, least, most].filter(Boolean);

  /** The key of what is open of the state in which a lash was measured, cold or hot; empty where nothing is.
   * @param {any} _ @param {Row} row */
  function stateDoubt({ quantity, said }, row) {
    if (quantity.kind !== "lash" || !row) {
      return "";
    }
    if (rows.cell(row, "state")) {
      return said.state ? "" : "unsaid";
    }
    return said.state && said.state !== "none" ? "state" : "";
  }

  /** Whether a value is proven out, beyond what is spared below and above.
   * @param {any} value @param {Bounds} b @param {any} guarded @param {any} below @param {any} above */
  function isOut(value, b, guarded, below, above) {
    const [least, most] = interval(value, guarded);
    let [low, high] = [bounds.ends(b).wearLow[1], bounds.ends(b).wearHigh[1]];
    if (b.nominal !== null && !b.fresh && b.limit === null) {
      const ends = [b.nominal.strict, b.nominal.loose].map(exact.toNumber);
      [low, high] = [Math.min(...ends), Math.max(...ends)];
    }
    return most < low - below || least > high + above;
  }

  /** The reading on the side of wear where it is proven beyond the new range; null else, and where the mean counts.
   * @param {any} way @param {Bounds} b @param {any} one @param {Shared} shared @param {any} guarded */
  function wornEnd(way, b, one, shared, guarded) {
    const worn = b.wearsUp ? way.most : way.least;
    if (!worn || b.side === "both" || !b.fresh || way.value.method.startsWith("mean")) {
      return null;
    }
    const { low, high } = bounds.ends(b);
    const [below, above] = spared(way, b, one, shared);
    const [least, most] = interval(worn, guarded);
    return (b.wearsUp ? least > high[1] + above : most < low[1] - below) ? worn : null;
  }

  /** How far below and above the ends a reading that does not count may lie: ovals and relieved shells (against.py).
   * @param {any} way @param {Bounds} b @param {any} one @param {Shared} shared */
  function spared({ value: { method, way } }, b, { quantity, parts }, shared) {
    if (b.side === "lower") {
      return [method === "largest" ? OVAL : 0, 0];
    }
    if (isOval(quantity.inner, shared)) {
      return [0, OVAL];
    }
    const smallest = method === "smallest" || method.startsWith("smallest-bore");
    const bores = ["strip", "gap"].includes(way) ? [] : parts.get("bore") || [];
    const around = new Set(bores.map((/** @type {any} */ r) => r.direction)).size > 1;
    return [0, quantity.limit_side === "upper" && smallest && around ? relief(b) : 0];
  }

  /** @param {any} _ */
  function relief({ low, high }) {
    return Math.max(low && high ? exact.toNumber(exact.subtract(high.loose, low.loose)) : 0, RELIEVED);
  }

  const made = { isStrict, unprovenEnd, wornEnd, doubt, stateDoubt, interval, shown };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.against = made;
  }
})();
