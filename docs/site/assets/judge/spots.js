"use strict";
// Where on a part its readings were taken, and what they therefore do not prove. Mirrors spots.py.
(function () {
  const node = typeof module === "object" && module.exports;

  const ALONG_PIN = [
    "along-pin", "along-the-pin", "pin", "pin-axis", "pin-bosses", "bosses", "at-bosses", "minor-axis",
    "gudgeon", "gudgeon-pin", "along-gudgeon-pin", "wrist-pin", "along-wrist-pin", "piston-pin", "axial",
    "lengthwise", "longitudinal", "fore-and-aft", "front-rear", "small-way", "narrow-way",
  ];
  const ACROSS_PIN = [
    "across-pin", "across-the-pin", "square-to-pin", "across", "crosswise", "transverse", "major-axis",
    "thrust", "thrust-face", "thrust-faces", "across-gudgeon-pin", "across-wrist-pin", "large-way", "wide-way",
  ];
  const AT_SPLIT = [
    "at-split", "at-the-split", "split", "split-line", "at-parting-line", "parting-line", "parting",
    "parting-face", "joint", "joint-face", "joint-line", "cap-joint", "across-joint", "across-joint-face",
    "mating-face", "sideways", "side", "side-to-side", "lateral", "crosswise", "across", "transverse", "9-3",
    "3-9", "port-starboard",
  ];
  const SQUARE_TO_SPLIT = [
    "square-to-split", "across-split", "load", "in-line-with-rod", "along-rod", "rod-axis", "up-and-down",
    "12-6", "6-12",
  ];
  const BELOW_RINGS = [
    "bottom", "skirt", "lower", "low", "below-rings", "below-ring-travel", "unworn", "bdc", "base",
  ];
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
    if (value.way === "strip") {
      return hasShells(one, shared) && allIn(AT_SPLIT, one.parts.get("strip")) ? "split" : "";
    }
    if (!["bore minus shaft", "bore", "shaft"].includes(value.way)) {
      return "";
    }
    const [bores, shafts] = ["bore", "shaft"].map((own) => one.parts.get(own) || []);
    if (bores.length && bores.every((r) => BELOW_RINGS.includes(r.place)) && isCylinder(one, shared)) {
      return "below-rings";
    }
    if (isPiston(one, shared)) {
      return one.position.endsWith("along-pin") || !shafts.length ? "" : ofPiston(shafts);
    }
    const shells = hasShells(one, shared) ? ofShells(bores, layout) : "";
    if (shells) {
      return shells;
    }
    const apart = value.way === "bore minus shaft" && ["place", "direction"].some((way) => areApart(bores, shafts, way));
    return apart ? "elsewhere" : "";
  }

  /** Whether each of some readings was taken in one of the named directions; a place may name it too. */
  const allIn = (words, readings) =>
    readings.length > 0 && readings.every((r) => words.includes(r.direction) || words.includes(r.place));

  /** The key of what the spots of a piston leave open; empty where nothing. */
  function ofPiston(shafts) {
    if (allIn(ALONG_PIN, shafts)) {
      return "along-pin";
    }
    return inOneUnknown(shafts, ACROSS_PIN) ? "direction" : "";
  }

  /** The key of what the spots of the bores of a pair of shells leave open; empty where nothing. */
  function ofShells(bores, layout) {
    const [square, level] = LYING.includes(layout) ? [LEVEL, UPRIGHT] : [UPRIGHT, LEVEL];
    if (allIn([...AT_SPLIT, level], bores)) {
      return "split";
    }
    return inOneUnknown(bores, [...SQUARE_TO_SPLIT, square]) ? "direction" : "";
  }

  /** Whether all readings were taken in one direction, told by a word that is none of those in which it counts. */
  function inOneUnknown(readings, known) {
    const [word, ...others] = new Set(readings.map((r) => r.direction));
    return Boolean(word) && !others.length && !known.includes(word);
  }

  const SIZED = ["clearance", "size"];

  /** Whether the shaft of a fit, or what a size is of, is meant to be out of round. */
  const isPiston = ({ item, quantity }, shared) =>
    SIZED.includes(quantity.kind) && isOval(quantity.inner.length ? quantity.inner : [item], shared);

  /** Whether the bore of a fit, or what a size is of, is that in which a piston runs. */
  function isCylinder(one, shared) {
    if (one.quantity.kind === "clearance") {
      return isPiston(one, shared);
    }
    const fits = Object.values(shared.quantities).filter((q) => q.kind === "clearance" && q.outer.includes(one.item));
    return one.quantity.kind === "size" && fits.some((q) => isOval(q.inner, shared));
  }

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

  const made = { unproven, isOval, hasShells, TIGHTER_ELSEWHERE };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.spots = made;
  }
})();
