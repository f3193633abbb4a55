"use strict";
// Wear that no page prints, and agreement by an uncertainty that is too wide to tell. Mirrors sense.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, bounds, coverage, uncertainty] = ["exact", "bounds", "coverage", "uncertainty"].map(part);

  const FARTHEST = { clearance: 7, gap: 7, "end-play": 2, backlash: 2, lash: 2, form: 10, protrusion: 2 };
  const [FARTHEST_ELSE, WORN_OFF, WORN_OFF_PART, SPRUNG] = [1, 0.0016, 0.75, 0.25];
  const USUAL_TIMES = 3;

  const wearEnd = (b) => (b.wearsUp ? b.wearHigh : b.wearLow);
  const size = (end) => Math.abs(exact.toNumber(end.loose));

  /** How far beyond what rows allow a value may lie on the side of wear; infinite without an end. */
  function farthest(b, { kind, dimension }) {
    const end = wearEnd(b);
    if (end === null) {
      return Infinity;
    }
    if (kind === "size" && dimension === "length") {
      return Math.min(WORN_OFF, WORN_OFF_PART * size(end));
    }
    if (kind === "size" || kind === "spring") {
      return SPRUNG * size(end);
    }
    const by = Object.hasOwn(FARTHEST, kind) ? FARTHEST[kind] : FARTHEST_ELSE;
    return by * Math.max(...[b.low, b.high, end].filter(Boolean).map(size));
  }

  /** Whether a value lies farther out on the side of wear than any page lets a used part be. */
  function isBeyondWear(at, b, quantity) {
    const end = wearEnd(b);
    const off = end === null ? 0 : (at - exact.toNumber(end.loose)) * (b.wearsUp ? 1 : -1);
    return end !== null && off > farthest(b, quantity);
  }

  /** Whether U is so wide that agreement with a printed value without a tolerance says nothing. */
  function isTooWide(value, b, quantity, shared) {
    if (b.nominal === null) {
      return false;
    }
    const ends = [b.nominal.strict, b.nominal.loose].map(exact.toNumber);
    const [middle, half] = [Math.abs(ends[0] + ends[1]) / 2, Math.abs(ends[1] - ends[0]) / 2];
    const usual = USUAL_TIMES * usualExpanded(quantity.instrument, middle, shared);
    return value.expanded > Math.max(half, Math.min(usual, middle / 2));
  }

  /** Expanded uncertainty of one reading by a class of instrument. */
  function usualExpanded(instrument, at, shared) {
    const known = shared.instruments[instrument];
    const factor = exact.toNumber(exact.parse(shared.units[known.unit].factor));
    const si = (text) => Number(text || "0") * factor;
    const percent = Number(known.mpe_percent || known.usual_percent || "0");
    const limit = percent ? (percent / 100) * at : si(known.mpe || known.usual);
    const parts = [uncertainty.rectangular(limit), uncertainty.resolved(si(known.resolution)), si(known.repeatability)];
    return coverage.NORMAL * Math.hypot(...parts);
  }

  /** Whether U is wider than the range by which a value passes: taken as it is, the value then says nothing. */
  function isTooWideForSimple(value, b, fresh) {
    const { low, high, wearLow, wearHigh } = bounds.ends(b);
    const ends = (fresh ? [low[0], high[0]] : [wearLow[0], wearHigh[0]]).filter(Number.isFinite);
    return ends.length > 0 && value.expanded > (ends.length > 1 ? ends[1] - ends[0] : Math.abs(ends[0]));
  }

  /** Whether a form was read below nothing, which no gap under a straightedge and no swing of a dial is. */
  const isBelowNothing = (shown, { kind }) => kind === "form" && shown.some((value) => value.most < 0);

  const made = { isBeyondWear, isTooWide, isTooWideForSimple, isBelowNothing };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.sense = made;
  }
})();
