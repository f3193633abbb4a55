"use strict";
// A sheet resolved once: what was measured where, and the rows that are true for it. Mirrors cases.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [builds, values] = ["build", "values"].map(part);
  const { SAYS, only, caseOf } = part("case");
  const { derive } = part("deriving");
  const { fits, joined, apartFrom } = part("fits");
  const { thin } = part("thin");
  const { walled } = part("walled");

  /** Readings of one item and place that say the same of their row, by part.
   * @param {any} sheet @param {Shared} shared @param {any} warmth */
  function groups(sheet, shared, warmth) {
    const found = new Map();
    sheet.readings.forEach((/** @type {any} */ raw, /** @type {any} */ index) => {
      const name = JSON.stringify([raw.item, raw.position, ...SAYS.map((/** @type {any} */ s) => raw[s] || "")]);
      if (!found.has(name)) {
        found.set(name, { item: raw.item, position: raw.position, said: only(raw, SAYS), parts: new Map() });
      }
      const { parts } = found.get(name);
      parts.set(raw.part, [...(parts.get(raw.part) || []), values.reading(raw, index, shared, warmth, sheet.instruments)]);
    });
    return [...found.values()];
  }

  /** Every case of a sheet, a derived one after those that were entered, and what is not judged, with why.
   * @param {any} sheet @param {Engine} engine @param {Shared} shared @param {any} warmth */
  function cases(sheet, engine, shared, warmth) {
    const build = builds.parsed(sheet.build);
    const entered = groups(sheet, shared, warmth).map((g) => caseOf(g, build, engine, shared));
    const { found, unjudged } = derive(entered, build, engine, shared);
    const { made: both, apart } = fits(entered, build, engine, shared);
    const whole = joined(entered, both, build, engine, shared);
    const once = ["machined", "assembled"].includes(sheet.stage) ? thin(entered, shared) : [];
    const byWalls = walled(entered, both, build, engine, shared, sheet.readings);
    return { entered, all: [...whole, ...found, ...apartFrom(whole, both)], unjudged: [...unjudged, ...apart, ...byWalls, ...once] };
  }

  const made = { cases };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.cases = made;
  }
})();
