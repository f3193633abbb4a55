"use strict";
// Which instrument could tell. Mirrors able.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, coverage, uncertainty] = ["exact", "coverage", "uncertainty"].map(part);

  /** @type {Record<string, string[]>} */
  const FAMILIES = {
    "bore minus shaft": ["outside-micrometer", "caliper"],
    bore: ["outside-micrometer", "caliper"],
    shaft: ["outside-micrometer", "caliper"],
    gap: ["dial-indicator", "caliper"],
    strip: ["outside-micrometer", "caliper"],
  };

  /** Distance to the nearest boundary, in SI units; infinite without one. @param {any} at @param {any} found */
  function nearest(at, found) {
    const ends = [found.low, found.high, found.wearLow, found.wearHigh].filter(Boolean).flatMap((e) => [e.strict, e.loose]);
    return Math.min(...ends.map((e) => Math.abs(at - exact.toNumber(e))), found.floor ? Math.abs(at) : Infinity);
  }

  const FINEST = 1.3e-6;

  /**
   * What could decide a value that lies within its uncertainty of a boundary, in a sentence. None that was used already
   * is named: with the finest, repeats and a master of the size are left.
   * @param {any} value @param {any} found @param {Shared} shared @param {any} [used] @param {any} [inches]
   */
  function needed(value, found, shared, used = [], inches = false) {
    const room = nearest(value.at, found);
    const paired = ["bore minus shaft", "bore", "strip"].includes(value.way);
    const twice = paired ? Math.SQRT2 : 1;
    const most = Math.min(room, value.expanded * 0.9);
    const kinds = used.map((/** @type {any} */ t) => shared.instruments[t.kind].kind);
    const others = publishedLimits(value.way, shared).filter((c) => !kinds.includes(c.kind));
    const known = others.map((c) => ({ ...c, expanded: c.expanded * twice }));
    const fit = known.filter((c) => c.expanded < most);
    if (fit.length) {
      /** @param {any} a @param {any} b */
      const more = (a, b) => b.expanded > a.expanded || (b.expanded === a.expanded && b.name > a.name);
      const last = fit.reduce((a, b) => (more(a, b) ? b : a));
      const article = "aeiou".includes(last.name[0]) ? "an " : "a ";
      return article + last.name + (paired ? " and a bore gauge set on it" : "") + " could tell";
    }
    const finer = expandedOf(1e-6, 1e-6) * twice < room;
    if (finer && used.length && used.every((/** @type {any} */ t) => t.resolution > 0 && t.resolution < FINEST)) {
      return "finer tools are not usual: several more readings of each place, and the tools compared with a master of "
        + "the size (gauge blocks, a setting ring), could tell";
    }
    if (finer) {
      const tool = value.way === "gap" ? "a dial indicator" : "a micrometer";
      const gauge = paired ? " and a bore gauge set on it" : "";
      return tool + " reading to " + (inches ? "0.00005 in" : "0.001 mm") + ", checked on gauge blocks," + gauge + " could tell";
    }
    return "it lies on the boundary: no usual instrument can tell; decide as if it were out, or select other parts";
  }

  /** @param {any} limit @param {any} step */
  const expandedOf = (limit, step) =>
    coverage.NORMAL * Math.hypot(uncertainty.rectangular(limit), uncertainty.resolved(step));

  /** @param {any} way @param {Shared} shared */
  function publishedLimits(way, shared) {
    const families = FAMILIES[way] || ["dial-indicator"];
    const names = Object.keys(shared.instruments).filter((n) => families.some((/** @type {any} */ f) => n.startsWith(f)));
    return names.filter((n) => shared.instruments[n].mpe).map((n) => {
      const kind = shared.instruments[n];
      const factor = exact.toNumber(exact.parse(shared.units[kind.unit].factor));
      const expanded = expandedOf(Number(kind.mpe) * factor, Number(kind.resolution || 0) * factor);
      return { name: kind.label.split(",")[0], kind: kind.kind, expanded };
    });
  }

  const made = { needed };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.able = made;
  }
})();
