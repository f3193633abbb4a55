"use strict";
// What rows allow: new range and wear limit in SI units, end by end. An end is {strict, loose}: by the stricter of what
// is printed for it, and by the other. Mirrors bounds.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, rows, lines] = ["exact", "rows", "lines"].map(part);

  const RUNNING = ["clearance", "end-play", "backlash", "gap", "lash"];
  const NUMBERS = ["lower", "upper", "nominal", "tolerance", "limit"];
  const JUST_ABOVE = 1e-12;
  // What share of the largest the least is, by kind or quantity: of the most of the new range, and of the wear limit.
  /** @type {Record<string, number[]>} */
  const LEAST_SHARE = {
    clearance: [6, 12], "pin-in-piston-clearance": [10, 40], gap: [5, 12], "end-play": [12, 15], backlash: [10, 15],
    lash: [2.5, 2.5], protrusion: [7, 7],
  };
  /** @param {any} like */
  const shareOf = (like) => LEAST_SHARE[like].map((/** @type {any} */ n) => exact.divide(exact.whole(2), exact.whole(n * 2)));

  /** @param {string} unit @param {Shared} shared */
  const factorOf = (unit, shared) => exact.parse(shared.units[unit].factor);
  /** @param {any} value */
  const endOf = (value) => (value === null ? null : { strict: value, loose: value });

  /** Bounds with what follows from their ends. @param {any} _ */
  function made({ low, high, limit, side, nominal = null, floor = false, mates = false, scant = null, ample = null }) {
    const [fresh, wearsUp] = [low !== null || high !== null, side !== "lower"];
    const wearLow = !wearsUp && limit !== null ? limit : low;
    const wearHigh = wearsUp && limit !== null ? limit : high;
    const found = { low, high, limit, side, nominal, floor, mates, scant, ample, fresh, wearsUp, wearLow, wearHigh };
    return { ...found, judged: fresh || limit !== null || nominal !== null, openEnd: openEnd(found) };
  }

  /** `lower` or `upper`: the end of a mating size that no page prints, first that to which wear does not go. @param {any} _ */
  function openEnd({ wearLow, wearHigh, side, nominal, mates, fresh }) {
    if (!mates || (nominal !== null && !fresh)) {
      return "";
    }
    /** @type {[string, any][]} */
    const ends = [["lower", wearLow], ["upper", wearHigh]];
    const [open = [""]] = (side === "lower" ? ends.reverse() : ends).filter(([, end]) => end === null);
    return open[0];
  }

  /** @param {any} end @param {any} missing */
  const numbers = (end, missing) =>
    (end === null ? [missing, missing] : [exact.toNumber(end.strict), exact.toNumber(end.loose)]);

  /** Ends for the decision, each [strict, loose]: of the new range, and of what is allowed; open ones infinite. @param {Bounds} b */
  function ends(b) {
    let [low, wearLow] = [b.low, b.wearLow].map((end) => numbers(end, -Infinity));
    let [high, wearHigh] = [b.high, b.wearHigh].map((end) => numbers(end, Infinity));
    if (b.floor) {
      const least = b.scant === null ? 0 : exact.toNumber(b.scant);
      [low, wearLow] = [low, wearLow].map(([strict, loose]) =>
        [Math.max(strict, JUST_ABOVE, least), Math.max(loose, JUST_ABOVE)]);
    }
    if (b.ample !== null) {
      [high, wearHigh] = [high, wearHigh].map(() => [exact.toNumber(b.ample), Infinity]);
    }
    if (b.mates && b.nominal && !b.fresh) {
      if (b.side === "lower") {
        wearHigh = [exact.toNumber(b.nominal.loose), Infinity];
      } else {
        wearLow = [exact.toNumber(b.nominal.strict), -Infinity];
      }
    }
    return { low, high, wearLow, wearHigh };
  }

  /** Whether an interval lies inside what all rows allow (0), or what one of the rows or units allows (1).
   * @param {Bounds} b @param {any} least @param {any} most @param {any} by */
  function holds(b, least, most, by) {
    const { wearLow, wearHigh } = ends(b);
    return wearLow[by] <= least && most <= wearHigh[by];
  }

  /** @param {Bounds} b @param {any} least @param {any} most */
  const allows = (b, least, most) => holds(b, least, most, 0);
  /** @param {Bounds} b @param {any} least @param {any} most */
  const allowsOne = (b, least, most) => holds(b, least, most, 1);

  /** Bounds of a row by the side on which its quantity wears; of two printed units the stricter must hold.
   * @param {Row} row @param {Shared} shared */
  function bounds(row, shared) {
    const quantity = shared.quantities[row.cells.quantity];
    let found = inUnit(row, "", shared);
    if (rows.cell(row, "unit_2")) {
      found = bothUnits(found, inUnit(row, "_2", shared), finerStep(row, shared));
    }
    const upper = found.high || found.limit;
    const positive = upper === null || exact.less(exact.ZERO, upper.loose);
    const open = found.low === null || exact.equal(found.low.strict, exact.ZERO);
    const floor = RUNNING.includes(quantity.kind) && positive && open && found.nominal === null;
    const mates = quantity.kind === "size" && mating(shared).has(row.cells.quantity);
    const like = Object.hasOwn(LEAST_SHARE, row.cells.quantity) ? row.cells.quantity : quantity.kind;
    const scant = floor ? scantOf(found, like) : null;
    return made({ ...found, floor, mates, scant, ample: ampleOf(found, like) });
  }

  /** What a play must be proven above for which no least is printed; null where one is. @param {any} _ @param {any} like */
  function scantOf({ low, high, limit, side }, like) {
    if (low !== null || side === "lower" || !(high || limit)) {
      return null;
    }
    const [ofRange, ofLimit] = shareOf(like);
    return high ? exact.multiply(ofRange, high.strict) : exact.multiply(ofLimit, limit.strict);
  }

  /** What a play must be proven below for which a least alone is printed; null where more is. @param {any} _ @param {any} like */
  function ampleOf({ low, high, limit }, like) {
    const alone = low !== null && exact.less(exact.ZERO, low.strict) && !high && !limit;
    return alone && Object.hasOwn(LEAST_SHARE, like) ? exact.divide(low.strict, shareOf(like)[0]) : null;
  }

  const known = new WeakMap();

  /** Sizes of which too large is as wrong as too small: of the bore and the shaft of a fit, and those of which it is said.
   * @param {Shared} shared */
  function mating(shared) {
    if (!known.has(shared)) {
      const said = Object.entries(shared.quantities).filter(([, q]) => q.both_ends === "yes").map(([name]) => name);
      known.set(shared, new Set([...said, ...Object.values(shared.quantities).flatMap((q) => [...q.outer, ...q.inner])]));
    }
    return known.get(shared);
  }

  /** Bounds by one printed unit; a limit that lies inside the new range of its row never narrows it.
   * @param {Row} row @param {string} suffix @param {Shared} shared */
  function inUnit(row, suffix, shared) {
    const factor = factorOf(rows.cell(row, "unit" + suffix), shared);
    /** @param {string} text */
    const si = (text) => (text === null ? null : exact.multiply(exact.parse(text), factor));
    let side = shared.quantities[row.cells.quantity].limit_side;
    const [low, high] = rows.range(row, suffix).map(si);
    let limit = si(rows.limit(row, side, suffix));
    if (side === "both" && limit !== null) {
      side = low !== null && !exact.less(low, limit) ? "lower" : "upper";
    }
    /** @param {any} end */
    const there = (end) => (end === null ? [] : [end]);
    if (limit !== null) {
      limit = side === "lower" ? exact.smallest([limit, ...there(low)]) : exact.largest([limit, ...there(high)]);
    }
    return made({ low: endOf(low), high: endOf(high), limit: endOf(limit), side, nominal: around(row, suffix, factor) });
  }

  /** Ends of a printed value without a tolerance: half a printed digit to each side.
   * @param {Row} row @param {string} suffix @param {any} factor */
  function around(row, suffix, factor) {
    const nominal = rows.value(row, "nominal" + suffix);
    if (nominal === null || !lines.within(lines.printedEnds(row), ["nominal", "limit"])) {
      return null;
    }
    const half = exact.divide(rows.step(row, "nominal" + suffix), exact.whole(2));
    const at = exact.parse(nominal);
    return { strict: exact.multiply(exact.subtract(at, half), factor), loose: exact.multiply(exact.add(at, half), factor) };
  }

  /** The finer of the steps in which a row's two units are printed, in SI; 0 where it prints no number.
   * @param {Row} row @param {Shared} shared */
  function finerStep(row, shared) {
    const steps = ["", "_2"].flatMap((suffix) => {
      const printed = NUMBERS.filter((c) => rows.cell(row, c + suffix) && rows.value(row, c + suffix) !== null
        && !exact.equal(exact.parse(rows.value(row, c + suffix)), exact.ZERO));
      const coarse = printed.length ? [exact.largest(printed.map((c) => rows.step(row, c + suffix)))] : [];
      return coarse.map((s) => exact.multiply(s, factorOf(rows.cell(row, "unit" + suffix), shared)));
    });
    return steps.length ? exact.smallest(steps) : exact.ZERO;
  }

  /** Bounds by two printed units: ends that differ by less than half of the finer step are one.
   * @param {any} one @param {any} two @param {any} step */
  function bothUnits(one, two, step) {
    const half = exact.divide(step, exact.whole(2));
    /** @param {any} a @param {Bounds} b @param {any} upward */
    const end = (a, b, upward) => {
      const apart = a !== null && b !== null && exact.absolute(exact.subtract(a.strict, b.strict));
      return apart && exact.less(half, apart) ? joined([a, b], upward) : a;
    };
    return made({
      ...one, low: end(one.low, two.low, false), high: end(one.high, two.high, true),
      limit: end(one.limit, two.limit, one.wearsUp),
    });
  }

  /** Ends that all must hold as one; `upper` says on which side they bound. @param {any} all @param {any} upper */
  function joined(all, upper) {
    const [strict, loose] = [all.map((/** @type {any} */ e) => e.strict), all.map((/** @type {any} */ e) => e.loose)];
    const [inner, outer] = upper ? [exact.smallest, exact.largest] : [exact.largest, exact.smallest];
    return { strict: inner(strict), loose: outer(loose) };
  }

  /**
   * Bounds of rows that all must hold: strict is inside all of them, loose inside one; a row is silent on an end that it
   * does not print. The range of one document and the limit of another are not joined: see wearLimit.
   * @param {any} all
   */
  function together(all) {
    const judging = all.filter((/** @type {Bounds} */ b) => b.judged);
    const limited = judging.filter((/** @type {Bounds} */ b) => b.limit !== null);
    const sides = new Set((limited.length ? limited : judging).map((/** @type {Bounds} */ b) => b.side));
    const side = sides.size === 1 ? [...sides][0] : "both";
    /** @param {string} name */
    const there = (name) => judging.map((/** @type {Bounds} */ b) => b[name]).filter((/** @type {any} */ e) => e !== null);
    /** @param {string} name @param {any} upper */
    const end = (name, upper) => (there(name).length ? joined(there(name), upper) : null);
    const nominals = there("nominal");
    const nominal = nominals.length && !judging.some((/** @type {Bounds} */ b) => b.fresh)
      ? { strict: exact.largest(nominals.map((/** @type {any} */ n) => n.strict)), loose: exact.smallest(nominals.map((/** @type {any} */ n) => n.loose)) } : null;
    const positive = judging.some((/** @type {Bounds} */ b) => b.low !== null && !exact.equal(b.low.strict, exact.ZERO));
    const [low, high, limit] = [end("low", false), end("high", true), wearLimit(judging, side)];
    /** @param {any} all @param {any} of */
    const most = (all, of) => (all.length ? of(all) : null);
    return made({
      low, high, limit, side, nominal,
      floor: judging.some((/** @type {Bounds} */ b) => b.floor) && !positive, mates: judging.some((/** @type {Bounds} */ b) => b.mates),
      scant: low === null ? most(there("scant"), exact.largest) : null,
      ample: high || limit ? null : most(there("ample"), exact.smallest),
    });
  }

  /** The limit of all rows; where no row prints both a range and a limit, a range's end on the side of wear counts too.
   * @param {any} judging @param {string} side */
  function wearLimit(judging, side) {
    const limited = judging.filter((/** @type {Bounds} */ b) => b.limit !== null);
    const apart = !limited.some((/** @type {Bounds} */ b) => b.fresh);
    /** @param {Bounds} b */
    const wearEnd = (b) => b.limit || (side === "lower" ? b.low : b.high);
    const there = judging.map((/** @type {Bounds} */ b) => (apart ? wearEnd(b) : b.limit)).filter((/** @type {any} */ e) => e !== null);
    return limited.length ? joined(there, side !== "lower") : null;
  }

  const own = { RUNNING, bounds, together, ends, allows, allowsOne };

  if (node) {
    module.exports = own;
  } else {
    window.runningFits.bounds = own;
  }
})();
