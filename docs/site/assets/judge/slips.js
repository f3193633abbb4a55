"use strict";
// Slips of an entry, beside the verdicts: the bench rules on the readings of a sheet. A comparison with something
// missing is null, neither true nor false, as in the rules' SQL; words come from the rule files. Mirrors slips.py and
// rules/B1*.toml.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (/** @type {string} */ name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const exact = part("exact");
  const { expectations, OTHER_PART } = part("expected");

  /** @param {...any} all */
  const missing = (...all) => all.some((x) => x === null);
  /** @param {any} a @param {any} b */
  const atLeast = (a, b) => (missing(a, b) ? null : a >= b);
  /** @param {any} a @param {any} b */
  const above = (a, b) => (missing(a, b) ? null : a > b);
  /** @param {any} a @param {any} b */
  const both = (a, b) => (a === false || b === false ? false : a === null || b === null ? null : true);
  /** @param {any} a @param {any} b */
  const either = (a, b) => (a === true || b === true ? true : a === null || b === null ? null : false);
  /** @param {any} a */
  const not = (a) => (a === null ? null : !a);
  /** @param {any} x @param {any} a @param {any} b */
  const between = (x, a, b) => both(atLeast(x, a), atLeast(b, x));
  /** @param {any} a @param {any} by */
  const times = (a, by) => (a === null ? null : a * by);
  /** @param {any} a @param {any} by */
  const plus = (a, by) => (a === null ? null : a + by);
  /** @param {any} r @returns {any} */
  const middle = (r) => (missing(r.low, r.high) ? null : (r.low + r.high) / 2);
  /** @param {any} r @returns {any} */
  const off = (r) => (middle(r) === null ? null : r.si - middle(r));
  /** @param {any} r */
  const sized = (r) => r.part === "bore" || r.part === "shaft";

  /** Whether what else was read of the same is so many times the reading, or the reading so many times it.
   * @param {any} r @param {any} least @param {any} most */
  const besideLarger = (r, least, most) => between(r.beside, r.si * least, r.si * most);
  /** @param {any} r @param {any} least @param {any} most */
  const besideSmaller = (r, least, most) =>
    (r.beside === null ? true : between(r.beside, r.si / most, r.si / least));

  /** @param {any} r */
  function tenTimes(r) {
    /** @type {[any, any]} */
    const widened = [times(r.low, 0.95), times(r.high, 1.05)];
    const size = either(between(r.si * 10, ...widened), between(r.si / 10, ...widened));
    const guessed = missing(r.resolution) ? null : r.step < r.resolution / 5;
    const small = both(between(r.si * 10, r.low, r.high), either(besideLarger(r, 5, 20), guessed));
    const large = both(between(r.si / 10, r.low, r.high), besideSmaller(r, 5, 20));
    const far = not(between(r.si, times(r.wearLow, 0.4), times(r.wearHigh, 2.5)));
    return both(above(r.low, 0), sized(r) ? size : both(far, either(small, large)));
  }

  /** Ends that a reading is held against: of a size, whichever is printed. @param {...any} all */
  const first = (...all) => all.find((x) => x !== null) ?? null;
  /** @param {any} r */
  const least = (r) => (sized(r) ? first(r.low, r.high, r.wearLow, r.wearHigh) : r.low);
  /** @param {any} r */
  const most = (r) => (sized(r) ? first(r.high, r.low, r.wearHigh, r.wearLow) : r.high);

  /** @param {any} r */
  function otherUnit(r) {
    /** @type {[any, any]} */
    const widened = [times(least(r), 0.98), times(most(r), 1.02)];
    const small = both(between(r.si * 25.4, ...widened), either(sized(r) || r.oddUnit, besideLarger(r, 12, 50)));
    const large = both(between(r.si / 25.4, ...widened), sized(r) || besideSmaller(r, 12, 50));
    const far = not(between(r.si, times(first(r.wearLow, least(r)), 0.5), times(first(r.wearHigh, most(r)), 2)));
    return both(above(least(r), 0), both(either(small, large), far));
  }

  /** @param {any} r */
  function oneTurn(r) {
    if (!sized(r) || r.kind.toLowerCase().startsWith("caliper") || r.basis === OTHER_PART) {
      return false;
    }
    const by = off(r) === null ? null : Math.abs(off(r));
    /** @param {any} turn @param {any} within */
    const near = (turn, within) => (by === null ? null : Math.abs(by * 1000 - turn) < within);
    const turn = either(near(0.635, 0.06), near(0.5, 0.05));
    return both(above(times(r.low, 1000), 5), both(turn, not(between(r.si, r.wearLow, r.wearHigh))));
  }

  /** @param {any} r */
  function biggerThanNew(r) {
    if (!sized(r) || r.basis === "" || r.basis === OTHER_PART) {
      return false;
    }
    return r.wearsUp ? above(plus(r.low, -2 * r.mpe) === null ? null : r.low - 2 * r.mpe - r.step, r.si)
      : above(r.si, r.high === null ? null : r.high + 2 * r.mpe + r.step);
  }

  /** @param {any} r */
  const beyond = (r) => (r.wearsUp ? r.low - r.si : r.si - r.high);

  /** The middle of what is allowed in the unit of the reading, and how many times that the reading is.
   * @param {any} r @param {any} low @param {any} high */
  function around(r, low, high) {
    const half = (low + high) / 2;
    return { ratio: Math.round((r.si / half) * 100) / 100, middle: half / r.factor };
  }

  const TIE = exact.parse("1.0000000000000003");

  /** A length in the unit of the reading, with its digits; what lies half between two but for its last bit goes up, as
   * the rules' query rounds it. @param {any} r @param {any} x */
  const inUnit = (r, x) =>
    Number(exact.rounded(exact.multiply(exact.parse((x / r.factor).toFixed(40)), TIE), exact.parse("1/" + 10 ** r.digits)));

  /** The same with so many significant digits. @param {any} r @param {any} x @param {any} digits */
  const rough = (r, x, digits) => shown(x / r.factor, digits);

  const TURN = 0.5;

  /** Whether a reading lies more than a turn of the spindle outside a band. @param {any} r @param {any} from @param {any} to */
  const past = (r, from, to) =>
    either(above(plus(times(from, 1000), -TURN), r.si * 1000), above(r.si * 1000, plus(times(to, 1000), TURN)));

  const [LEAVES, THIN, THICK] = [["strip", "feeler-gauge"], 0.99, 1.01];

  /** Whether a strip or a leaf is none of its scale or set. @param {any} r */
  const pastLeaves = (r) => either(above(times(r.spanFrom, THIN), r.si), above(r.si, times(r.spanTo, THICK)));

  /** What an instrument measures, in words. @param {number | null} least @param {number | null} most */
  function spanWords(least, most) {
    const [from, to] = [least, most].map((end) => end !== null && shown(end * 1000) + " mm");
    return most === null ? from + " and more" : least === null ? "up to " + to : from + " to " + to;
  }

  /** @type {Record<string, {hit: (r: any) => any, more: (r: any) => any, by?: (r: any) => any}>} */
  const SINGLE = {
    B101: { hit: tenTimes, more: (/** @type {any} */ r) => around(r, r.low, r.high) },
    B102: { hit: otherUnit, more: (/** @type {any} */ r) => around(r, least(r), most(r)) },
    B103: { hit: oneTurn, more: (/** @type {any} */ r) => ({ off: inUnit(r, off(r)) }) },
    B104: { hit: biggerThanNew, more: (/** @type {any} */ r) => ({ off: inUnit(r, beyond(r)) }) },
    B106: {
      hit: (/** @type {any} */ r) => r.resolution > 0 && r.step < r.resolution / 11,
      more: (/** @type {any} */ r) => ({ shown: rough(r, r.resolution, 3) }),
    },
    B107: {
      hit: (/** @type {any} */ r) => both(above(r.width, 0), atLeast(2 * r.mpe, r.width)),
      more: (/** @type {any} */ r) => ({ good: rough(r, r.mpe, 2), wide: rough(r, r.width, 3) }),
    },
    B108: { hit: (/** @type {any} */ r) => r.kind === "bore-gauge" && r.setOn === "", more: () => ({}) },
    B110: { hit: (/** @type {any} */ r) => r.part === "bore" && r.kind === "caliper", more: () => ({}) },
    B111: {
      hit: (/** @type {any} */ r) => (sized(r) && r.kind.startsWith("outside-micrometer")
        ? past(r, r.spanFrom, r.spanTo) : LEAVES.includes(r.kind) && both(r.si > 0, pastLeaves(r))),
      more: (/** @type {any} */ r) => ({ span: spanWords(r.spanFrom, r.spanTo) }),
    },
    B112: {
      hit: (/** @type {any} */ { repeats }) => repeats.range > repeats.allowed,
      more: (/** @type {any} */ r) => ({ far: rough(r, r.repeats.range, 3), most: rough(r, r.repeats.allowed, 2) }),
    },
    B113: {
      hit: (/** @type {any} */ r) => sized(r) && r.setKind.startsWith("outside-micrometer") &&
        past(r, r.setFrom, r.setTo),
      more: (/** @type {any} */ r) => ({ set_on: r.setWords, span: spanWords(r.setFrom, r.setTo) }),
    },
    B114: {
      hit: (/** @type {any} */ { size }) => size !== null && !size.isPrinted && (size.printed !== "" || !size.isCommon),
      by: (/** @type {any} */ { size }) => [size.part, size.text],
      more: (/** @type {any} */ { size }) => ({
        part_sized: size.part, size: size.text,
        told: size.printed === "" ? "it prints none for it" : "it prints " + size.printed,
      }),
    },
  };
  /** Rules on one reading; of an item, place, what is said of the row, part and instrument the first reading speaks. */

  /** Findings of the bench rules on readings, in the order of readings and codes.
   * @param {any} sheet @param {any} cases @param {Engine} engine @param {Shared} shared @param {any} means */
  function findings(sheet, cases, engine, shared, means) {
    const all = expectations(sheet, cases, engine, shared, means);
    const found = [...single(all), ...largerThanBore(all), ...otherMicrometer(all)];
    const said = found.map(({ code, reading, words }) => finding(code, reading, words, shared.rules[code]));
    /** @param {any} f */
    const place = (f) => "readings[" + f.reading + "].value " + f.code;
    return said.sort((a, b) => (place(a) < place(b) ? -1 : place(a) > place(b) ? 1 : 0));
  }

  /** @param {any} all */
  function single(all) {
    return Object.entries(SINGLE).flatMap(([code, rule]) => {
      const hits = all.filter((/** @type {any} */ r) => rule.hit(r) === true);
      const told = firsts(hits, rule.by || ((/** @type {any} */ r) => [r.raw.item, r.raw.position, r.says, r.part, r.raw.instrument]));
      return told.map((/** @type {any} */ r) => ({ code, reading: r.index, words: { ...words(r), ...rule.more(r) } }));
    });
  }

  /** @param {any} hits @param {any} by */
  function firsts(hits, by) {
    const seen = new Set();
    return hits.filter((/** @type {any} */ r) => {
      const name = JSON.stringify(by(r));
      return seen.has(name) ? false : seen.add(name);
    });
  }

  /** @param {any} r */
  const words = (r) => ({ value: r.raw.value, unit: r.raw.unit, tool: r.named, basis: r.basis });

  /** Shafts with the bores of the same fit, those pairs that a test picks, one for each name that `by` gives.
   * @param {any} all @param {any} test @param {any} by */
  function fits(all, test, by) {
    const pairs = all.filter((/** @type {any} */ r) => r.part === "shaft").flatMap((/** @type {any} */ s) => {
      /** @param {any} b */
      const here = (b) => b.part === "bore" && b.raw.item === s.raw.item && b.raw.position === s.raw.position;
      return all.filter((/** @type {Bounds} */ b) => here(b) && test(s, b) === true).map((/** @type {Bounds} */ b) => ({ s, b }));
    });
    return firsts(pairs, by);
  }

  /** @param {any} all */
  function largerThanBore(all) {
    /** @param {any} s @param {any} b */
    const larger = (s, b) => both(atLeast(s.fitLow, 0), s.si > b.si + 2 * s.mpe + 2 * b.mpe);
    return fits(all, larger, (/** @type {any} */ { s }) => [s.raw.item, s.raw.position]).map((/** @type {any} */ { s, b }) => ({
      code: "B105",
      reading: s.index,
      words: { ...words(s), bore: b.raw.value, bore_unit: b.raw.unit },
    }));
  }

  /** @param {any} all */
  function otherMicrometer(all) {
    /** @param {any} s @param {any} b */
    const other = (s, b) => b.setOn !== "" && b.setOn !== s.raw.instrument;
    return fits(all, other, (/** @type {any} */ { b }) => [b.index]).map((/** @type {any} */ { s, b }) => ({
      code: "B109",
      reading: b.index,
      words: { tool: b.named, set_on: b.setWords, mic: s.named },
    }));
  }

  /** @param {any} code @param {any} reading @param {any} words @param {any} rule */
  function finding(code, reading, words, rule) {
    /** @param {string} text */
    const filled = (text) => text.replace(/\{(\w+)\}/g, (/** @type {any} */ _, /** @type {string} */ name) => shown(words[name]));
    const { name, severity } = rule;
    return { code, name, severity, message: filled(rule.message), help: filled(rule.help), reading, place: "readings[" + reading + "].value" };
  }

  /** A word as it is; a number with six digits, or so many, without needless zeros and never in powers of ten.
   * @param {any} word @param {number} [most] */
  function shown(word, most = 6) {
    if (typeof word !== "number" || word === 0) {
      return String(word);
    }
    const power = Number(word.toExponential(most - 1).split("e")[1]);
    const large = String(Number(word.toPrecision(most)));
    const text = power < most ? exact.fixed(exact.fromNumber(word), most - 1 - power) : large;
    return text.includes(".") ? text.replace(/\.?0+$/, "") : text;
  }

  const CODES = [...Object.keys(SINGLE), "B105", "B109"].sort();

  const slips = { findings, finding, CODES };

  if (node) {
    module.exports = slips;
  } else {
    window.runningFits.slips = slips;
  }
})();
