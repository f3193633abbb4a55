"use strict";
// Wear that no page prints, and agreement by an uncertainty that is too wide to tell. Mirrors sense.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, bounds, coverage, uncertainty] = ["exact", "bounds", "coverage", "uncertainty"].map(part);

  /** @type {Record<string, number[]>} */
  const FARTHEST = {
    clearance: [5, 0.00025], "ring-side-clearance": [7, 0.00045], gap: [7, 0.0035], "end-play": [1.9, 0.0005],
    backlash: [1.6, 0.0002], form: [10, 0.0002], protrusion: [1, 0.0005],
    "rod-bearing-clearance": [3.2, 0.00016], "main-bearing-clearance": [3, 0.0002],
  };
  const [RUN_OFF, WORN_OFF, CUT_OFF] = [[0.00015, 0.004], [0.0004, 0.004], [0.0016, 0]];
  const CUT = ["valve-seat-width", "head-bolt-length", "rod-bolt-length", "liner-counterbore-depth"];
  /** @type {Record<string, number>} */
  const HELD_OFF = {
    "rod-big-end-bore": 0.00005, "main-housing-bore": 0.00005, "balance-housing-bore": 0.00005, "cam-housing-bore":
    0.00005, "rod-bearing-wall": 0.00006, "main-bearing-wall": 0.00006, "cam-bearing-outside-diameter": 0.00006,
    "rod-bearing-outside-diameter": 0.00006, "main-bearing-outside-diameter": 0.00006, "valve-seat-bore": 0.00005,
    "valve-seat-diameter": 0.00005, "valve-guide-housing-bore": 0.00005, "valve-guide-diameter": 0.00005,
    "liner-housing-bore": 0.00008, "liner-diameter": 0.00008, "liner-counterbore-depth": 0.00005,
    "liner-counterbore-diameter": 0.00015, "liner-flange-diameter": 0.00015, "liner-flange-thickness": 0.00005,
    "liner-insert-thickness": 0.00005, "spacer-plate-thickness": 0.00005, "rod-small-end-bore": 0.00008,
    "pin-bushing-bore": 0.00008, "piston-pin-bore": 0.00006, "pin-diameter": 0.00006, "rod-bolt-hole": 0.00005,
    "rod-dowel-hole": 0.00005, "rod-dowel-diameter": 0.00005, "thrust-washer-thickness": 0.0001,
    "balance-thrust-washer-thickness": 0.0001, "idler-thrust-washer-thickness": 0.0001,
    "cam-thrust-plate-thickness": 0.0001, "cam-lift": 0.00025, "head-material-removal": 0, "valve-margin": 0.001,
    "spring-squareness": 0.001,
  };
  const UNWORN = ["block-height", "head-thickness"];
  const SHIMMED = ["liner-counterbore-depth"];
  const [MOST_OFF, SPRUNG] = [0.75, 0.17];
  const RUNNING = ["clearance", "end-play", "backlash", "gap", "lash"];
  const RUNS_FREE = [
    "rod-bearing-clearance", "main-bearing-clearance", "cam-bearing-clearance", "balance-bearing-clearance",
    "piston-clearance",
  ];
  const [UNWORN_TIMES, STIFFER_TIMES] = [3, 2];
  const USUAL_TIMES = 3;

  /** The end of what rows allow on the side of wear, that of a printed value without a tolerance too; null without.
   * @param {Bounds} b @returns {number | null} */
  function endOfWear(b) {
    const end = b.wearsUp ? b.wearHigh : b.wearLow;
    if (end === null && b.nominal) {
      const both = [b.nominal.strict, b.nominal.loose].map(exact.toNumber);
      return b.wearsUp ? Math.max(...both) : Math.min(...both);
    }
    return end === null ? null : exact.toNumber(end.loose);
  }

  /** How far beyond what rows allow a value may lie on the side of wear; infinite without an end.
   * @param {Bounds} b @param {string} item @param {Quantity} quantity @param {number} deep */
  function farthest(b, item, { kind, dimension }, deep) {
    const end = endOfWear(b);
    if (end === null) {
      return Infinity;
    }
    if (isCut(b, item)) {
      return 0;
    }
    const own = Math.abs(end);
    if (kind === "size" || kind === "spring") {
      return Math.max(farthestSize(own, b, item, kind, dimension), deep - own);
    }
    if (kind === "protrusion" && b.high !== null && exact.less(b.high.loose, exact.ZERO)) {
      return FARTHEST.protrusion[1];
    }
    const [times, most] = FARTHEST[[item, kind].find((name) => Object.hasOwn(FARTHEST, name)) || ""] || [1, Infinity];
    const largest = Math.max(own, ...[b.low, b.high].flatMap((e) => (e ? [Math.abs(exact.toNumber(e.loose))] : [])));
    return Math.min(times * largest, Math.max(most, largest));
  }

  /** Whether a size of which a new range and no limit is printed lies beyond that by a cut alone, for it never wears.
   * @param {Bounds} b @param {string} item */
  const isCut = (b, item) => UNWORN.includes(item) && (b.low !== null || b.high !== null) && b.limit === null;

  /** @param {number} own @param {Bounds} b @param {string} item @param {string} kind @param {string} dimension */
  function farthestSize(own, b, item, kind, dimension) {
    if (Object.hasOwn(HELD_OFF, item)) {
      return HELD_OFF[item];
    }
    if (kind === "spring" || dimension !== "length") {
      return SPRUNG * own;
    }
    const [off, part] = room(b, item);
    return Math.min(off + part * own, MOST_OFF * own);
  }

  /** How far a size may lie beyond its new range: in metres, and as a share of itself. @param {Bounds} b @param {string} item */
  const room = (b, item) => (CUT.includes(item) ? CUT_OFF : b.mates || b.wearsUp ? RUN_OFF : WORN_OFF);

  /** The most that any page of an engine allows of a size that is shimmed; 0 of others.
   * @param {string} item @param {Engine} engine @param {Shared} shared */
  function deepest(item, engine, shared) {
    const there = SHIMMED.includes(item) ? engine.rows.filter((r) => r.cells.quantity === item) : [];
    /** @type {Bounds[]} */
    const found = there.map((r) => bounds.bounds(r, shared));
    const ends = found.flatMap((b) => [b.high, b.limit]);
    return Math.max(0, ...ends.flatMap((e) => (e ? [exact.toNumber(e.loose)] : [])));
  }

  /** Whether a value lies farther out on the side of wear than any page lets a used part be.
   * @param {number} at @param {Bounds} b @param {string} item @param {Quantity} quantity @param {number} most */
  function isBeyondWear(at, b, item, quantity, most) {
    const end = endOfWear(b);
    const far = end !== null && (at - end) * (b.wearsUp ? 1 : -1) > farthest(b, item, quantity, most);
    return far || (end !== null && hasLetGo(at, b, quantity));
  }

  /** Whether a press fit has become a play, or what must stand proud no longer does.
   * @param {number} at @param {Bounds} b @param {Quantity} quantity */
  function hasLetGo(at, b, { kind }) {
    if (b.wearsUp) {
      return kind === "clearance" && b.high !== null && !exact.less(exact.ZERO, b.high.loose) && at > 0;
    }
    return kind === "protrusion" && b.low !== null && exact.less(exact.ZERO, b.low.loose) && at <= 0;
  }

  /** Whether a size or load lies so far inside the only limit that is printed for it that it is hardly that part's.
   * @param {number} at @param {Bounds} b @param {string} item @param {Quantity} quantity */
  function isBeyondNew(at, b, item, { kind, dimension }) {
    if (b.limit === null || b.fresh || b.nominal || !["size", "spring"].includes(kind)) {
      return false;
    }
    const limit = exact.toNumber(b.limit.loose);
    const off = (at - limit) * (b.wearsUp ? -1 : 1);
    if (dimension === "force") {
      return off > (STIFFER_TIMES - 1) * Math.abs(limit);
    }
    const [metres, share] = room(b, item);
    return dimension === "length" && b.side !== "both" && off > UNWORN_TIMES * (metres + share * Math.abs(limit));
  }

  /** Whether U is so wide that agreement with a printed value without a tolerance says nothing.
   * @param {Value} value @param {Bounds} b @param {Quantity} quantity @param {Shared} shared */
  function isTooWide(value, b, quantity, shared) {
    if (b.nominal === null) {
      return false;
    }
    const ends = [b.nominal.strict, b.nominal.loose].map(exact.toNumber);
    const [middle, half] = [Math.abs(ends[0] + ends[1]) / 2, Math.abs(ends[1] - ends[0]) / 2];
    const usual = USUAL_TIMES * usualExpanded(quantity.instrument, middle, shared);
    return value.expanded > Math.max(half, Math.min(usual, middle / 2));
  }

  /** Expanded uncertainty of one reading by a class of instrument. @param {string} instrument @param {number} at @param {Shared} shared */
  function usualExpanded(instrument, at, shared) {
    const known = shared.instruments[instrument];
    const factor = exact.toNumber(exact.parse(shared.units[known.unit].factor));
    /** @param {string} text */
    const si = (text) => Number(text || "0") * factor;
    const percent = Number(known.mpe_percent || known.usual_percent || "0");
    const limit = percent ? (percent / 100) * at : si(known.mpe || known.usual);
    const parts = [uncertainty.rectangular(limit), uncertainty.resolved(si(known.resolution)), si(known.repeatability)];
    return coverage.NORMAL * Math.hypot(...parts);
  }

  /** Whether U is wider than the range by which a value passes: taken as it is, the value then says nothing.
   * @param {Value} value @param {Bounds} b @param {boolean} fresh */
  function isTooWideForSimple(value, b, fresh) {
    const { low, high, wearLow, wearHigh } = bounds.ends(b);
    const ends = (fresh ? [low[0], high[0]] : [wearLow[0], wearHigh[0]]).filter(Number.isFinite);
    return ends.length > 0 && value.expanded > (ends.length > 1 ? ends[1] - ends[0] : Math.abs(ends[0]));
  }

  /** Whether a play that passes by what is printed must be proven above zero beside.
   * @param {Bounds} b @param {string} item @param {Quantity} quantity */
  function mustClear(b, item, quantity) {
    if (b.nominal !== null && !b.fresh) {
      return RUNNING.includes(quantity.kind) && exact.less(exact.ZERO, b.nominal.loose);
    }
    return allowsInterference(b, quantity) && RUNS_FREE.includes(item);
  }

  /** Whether what lies past the new range must be proven above zero: a play, and what must stand proud.
   * @param {Bounds} b @param {Quantity} quantity */
  function mustStayClear(b, { kind }) {
    const least = b.low ? exact.toNumber(b.low.loose) : endOfWear(b);
    return [...RUNNING, "protrusion"].includes(kind) && least !== null && least > 0;
  }

  /** Whether a printed fit reaches from interference to clearance. @param {Bounds} b @param {Quantity} quantity */
  function allowsInterference(b, { kind }) {
    const top = b.high || b.limit;
    const below = b.low !== null && exact.less(b.low.loose, exact.ZERO);
    return kind === "clearance" && below && (!top || exact.less(exact.ZERO, top.loose));
  }

  /** Whether a form was read below nothing, which no gap under a straightedge and no swing of a dial is.
   * @param {Value[]} shown @param {Quantity} quantity */
  const isBelowNothing = (shown, { kind }) => kind === "form" && shown.some((value) => value.most < 0);

  const [ABSURD, SMALLEST] = [100, 1e-4];

  /** Whether a value is a hundred times all that is printed for it: no reading at all. @param {Value} value @param {Bounds} b */
  function isAbsurd(value, b) {
    const ends = [b.low, b.high, b.limit, b.nominal].flatMap((e) => (e ? [e.strict, e.loose] : []));
    return Math.abs(value.at) > ABSURD * Math.max(SMALLEST, ...ends.map((e) => Math.abs(exact.toNumber(e))));
  }

  const made = {
    isAbsurd, isCut, mustClear, mustStayClear, allowsInterference, deepest, isBeyondWear, isBeyondNew, isTooWide,
    isTooWideForSimple, isBelowNothing,
  };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.sense = made;
  }
})();
