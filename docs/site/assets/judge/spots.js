"use strict";
// Where on a part its readings were taken, and what they therefore do not prove. Mirrors spots.py.
(function () {
  const node = typeof module === "object" && module.exports;

  const ALONG_PIN = ["along-pin", "along-the-pin", "axial", "lengthwise", "longitudinal", "pin", "pin-axis"];
  const AT_SPLIT = ["at-split", "at-the-split", "split", "at-parting-line", "parting-line"];
  const [LEVEL, UPRIGHT, LYING] = ["horizontal", "vertical", ["opposed"]];
  const FAMILIES = [
    ["front", "rear", "centre", "center", "middle"],
    ["top", "bottom", "centre", "center", "middle"],
    ["vertical", "horizontal"],
    ["axial", "thrust"],
    ["lengthwise", "crosswise"],
    ["at-split", "square-to-split"],
  ];
  const TIGHTER_ELSEWHERE = ["along-pin", "split"];

  /** The key of what the spots of the readings leave open; empty where nothing. */
  function unproven(one, value, layout, shared) {
    if (!["bore minus shaft", "bore", "shaft"].includes(value.way)) {
      return "";
    }
    const [bores, shafts] = ["bore", "shaft"].map((own) => one.parts.get(own) || []);
    if (isPiston(one, shared)) {
      const told = one.position.endsWith("along-pin") || !shafts.length;
      return told || !allIn(ALONG_PIN, shafts) ? "" : "along-pin";
    }
    if (hasShells(one, shared) && allIn([...AT_SPLIT, LYING.includes(layout) ? UPRIGHT : LEVEL], bores)) {
      return "split";
    }
    const apart = value.way === "bore minus shaft" && ["place", "direction"].some((way) => areApart(bores, shafts, way));
    return apart ? "elsewhere" : "";
  }

  /** Whether each of some readings was taken in one of the named directions; a place may name it too. */
  const allIn = (words, readings) =>
    readings.length > 0 && readings.every((r) => words.includes(r.direction) || words.includes(r.place));

  const SIZED = ["clearance", "size"];

  /** Whether the shaft of a fit, or what a size is of, is meant to be out of round. */
  const isPiston = ({ item, quantity }, shared) =>
    SIZED.includes(quantity.kind) && isOval(quantity.inner.length ? quantity.inner : [item], shared);

  /** Whether a part is meant to be out of round: its form has two ends. */
  const isOval = (sizes, shared) => Object.values(shared.quantities).some((q) =>
    q.limit_side === "both" && q.kind === "form" && sizes.some((s) => q.of.includes(s)));

  /** Whether the bore of a fit, or what a size is of, is that of shells with a wall. */
  function hasShells({ item, quantity }, shared) {
    const sizes = quantity.kind === "size" ? [item] : quantity.outer;
    return SIZED.includes(quantity.kind) && sizes.some((s) => shared.quantities[s].walls);
  }

  /** Whether places or directions of bore and shaft are told by words of one family, none of them by both. */
  function areApart(bores, shafts, way) {
    const [bore, shaft] = [bores, shafts].map((all) => all.map((r) => r[way]));
    const within = (family) => [...bore, ...shaft].every((word) => family.includes(word));
    return !bore.some((word) => shaft.includes(word)) && FAMILIES.some(within);
  }

  const made = { unproven, isOval, TIGHTER_ELSEWHERE };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.spots = made;
  }
})();
