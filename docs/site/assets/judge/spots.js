"use strict";
// Where on a part its readings were taken, and what they therefore do not prove. Mirrors spots.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [choosing, closeness, rows] = ["choosing", "closeness", "rows"].map(part);

  /** @type {("place" | "direction")[]} */
  const SPOTS = ["place", "direction"];
  const LYING = ["opposed"];
  const TIGHTER_ELSEWHERE = ["along-pin", "crown", "split"];

  /** Words of directions.csv that tell one of some things: along-pin, at-split ... @param {Shared} shared @param {string[]} tells */
  const words = (shared, ...tells) =>
    Object.keys(shared.directions).filter((w) => shared.directions[w].tells.some((t) => tells.includes(t)));

  /** Words that tell places along, or directions across, one thing: of two words of a family one is not the other.
   * @param {Shared} shared */
  function families(shared) {
    const names = new Set(Object.values(shared.directions).flatMap((d) => d.family));
    return [...names].map((f) => Object.keys(shared.directions).filter((w) => shared.directions[w].family.includes(f)));
  }

  /** The key of what the spots of the readings leave open; empty where nothing.
   * @param {Case} one @param {Value} value @param {any} engine @param {Shared} shared */
  function unproven(one, value, engine, shared) {
    if (value.way === "strip") {
      return hasShells(one, shared) && allIn(words(shared, "at-split"), one.parts.get("strip") || []) ? "split" : "";
    }
    if (value.method === "cross-difference") {
      const all = [...one.parts.values()].flat();
      return all.some((r) => r.direction && !Object.hasOwn(shared.directions, r.direction)) ? "across" : "";
    }
    if (!["bore minus shaft", "bore", "shaft"].includes(value.way)) {
      return "";
    }
    const [bores, shafts] = ["bore", "shaft"].map((own) => one.parts.get(own) || []);
    if (bores.length && bores.every((r) => words(shared, "below-rings").includes(r.place)) && isCylinder(one, shared)) {
      return "below-rings";
    }
    if (isPiston(one, shared)) {
      return one.position.endsWith("along-pin") || !shafts.length ? "" : ofPiston(one, engine, shared);
    }
    const shells = hasShells(one, shared) ? ofShells(bores, engine.layout, shared) : "";
    if (shells) {
      return shells;
    }
    const apart = value.way === "bore minus shaft" && SPOTS.some((way) => areApart(bores, shafts, way, shared));
    return apart ? "elsewhere" : "";
  }

  /** Whether each of some readings was taken in one of the named directions; a place may name it too.
   * @param {string[]} words @param {SiReading[]} readings */
  const allIn = (words, readings) =>
    readings.length > 0 && readings.every((r) => words.includes(r.direction) || words.includes(r.place.split(" ")[0]));

  /** The key of what the spots of a piston leave open; empty where nothing.
   * @param {Case} one @param {any} engine @param {Shared} shared */
  function ofPiston(one, engine, shared) {
    const shafts = one.parts.get("shaft") || [];
    if (allIn(words(shared, "along-pin", "at-crown"), shafts)) {
      return allIn(words(shared, "along-pin"), shafts) ? "along-pin" : "crown";
    }
    if (isAtOtherHeight(one, shafts, engine, shared)) {
      return "height";
    }
    return isUnknown(shafts, words(shared, "across-pin"), shared) ? "direction" : "";
  }

  /** Whether each reading of a piston tells its height, and pages print the size of it at other heights alone.
   * @param {Case} one @param {SiReading[]} shafts @param {any} engine @param {Shared} shared */
  function isAtOtherHeight({ item, quantity, said }, shafts, engine, shared) {
    const sizes = quantity.inner.length ? quantity.inner : [item];
    const printed = sizes.flatMap((s) => choosing.rowsOf(engine, s));
    const told = shafts.map((r) => said.at || height(r.place));
    return printed.length > 0 && printed.every((/** @type {Row} */ r) => rows.cell(r, "at"))
      && told.every((h) => h && !printed.some((/** @type {Row} */ r) => closeness.sameAt(h, r, shared)));
  }

  /** The height at which a reading was taken, which stands behind its place. @param {string} place */
  const height = (place) => (/[\d.]+ \S+$/.exec(place) || [""])[0];

  /** The key of what the spots of the bores of a pair of shells leave open; empty where nothing.
   * @param {SiReading[]} bores @param {string} layout @param {Shared} shared */
  function ofShells(bores, layout, shared) {
    const [square, level] = LYING.includes(layout) ? ["level", "upright"] : ["upright", "level"];
    if (allIn(words(shared, "at-split", level), bores)) {
      return "split";
    }
    return isUnknown(bores, words(shared, "square-to-split", square), shared) ? "direction" : "";
  }

  /** Whether directions are told, and they are none of those in which it counts, nor two across each other.
   * @param {SiReading[]} readings @param {string[]} known @param {Shared} shared */
  function isUnknown(readings, known, shared) {
    const told = [...new Set(readings.map((r) => r.direction))];
    const spots = [...told, ...readings.map((r) => r.place)];
    const across = families(shared).some((family) => told.filter((word) => family.includes(word)).length > 1);
    return told.length > 0 && !told.includes("") && !spots.some((word) => known.includes(word)) && !across;
  }

  const SIZED = ["clearance", "size"];

  /** Whether the shaft of a fit, or what a size is of, is meant to be out of round. @param {Case} one @param {Shared} shared */
  const isPiston = ({ item, quantity }, shared) =>
    SIZED.includes(quantity.kind) && isOval(quantity.inner.length ? quantity.inner : [item], shared);

  /** Whether the bore of a fit, or what a size is of, is that in which a piston runs. @param {Case} one @param {Shared} shared */
  function isCylinder(one, shared) {
    if (one.quantity.kind === "clearance") {
      return isPiston(one, shared);
    }
    const fits = Object.values(shared.quantities).filter((q) => q.kind === "clearance" && q.outer.includes(one.item));
    return one.quantity.kind === "size" && fits.some((q) => isOval(q.inner, shared));
  }

  /** Whether a part is meant to be out of round: its form has two ends. @param {string[]} sizes @param {Shared} shared */
  const isOval = (sizes, shared) => Object.values(shared.quantities).some((q) =>
    q.limit_side === "both" && q.kind === "form" && sizes.some((s) => q.of.includes(s)));

  /** Whether the bore of a fit, or what a size is of, is that of shells with a wall. @param {Case} one @param {Shared} shared */
  function hasShells({ item, quantity }, shared) {
    const sizes = quantity.kind === "size" ? [item] : quantity.outer;
    return SIZED.includes(quantity.kind) && sizes.some((s) => shared.quantities[s].walls);
  }

  /** Whether places or directions of bore and shaft are told by words of one family, none of them by both.
   * @param {SiReading[]} bores @param {SiReading[]} shafts @param {"place" | "direction"} way @param {Shared} shared */
  function areApart(bores, shafts, way, shared) {
    const [bore, shaft] = [bores, shafts].map((all) => all.map((r) => r[way]));
    /** @param {string[]} family */
    const within = (family) => [...bore, ...shaft].every((word) => family.includes(word));
    return !bore.some((word) => shaft.includes(word)) && families(shared).some(within);
  }

  const made = { unproven, isOval, words, hasShells, TIGHTER_ELSEWHERE };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.spots = made;
  }
})();
