"use strict";
// Places of measured items that have no reading. Mirrors unmeasured.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [places, builds] = ["places", "build"].map(part);

  /** Item and place of what a sheet measured at some places of the engine and not at others, in its order. */
  function unmeasured(cases, sheet, engine, shared) {
    const family = builds.family(engine);
    const model = builds.answer(builds.parsed(sheet.build), builds.MODEL, "all", family);
    const count = (item) => {
      const column = shared.quantities[item].count;
      return (column && family.names.includes(model) && family.count(column, [model])) || 0;
    };
    const groups = new Map();
    cases.filter((c) => !c.derived).forEach(({ item, position }) => {
      const { name, found } = placesOf(position, count(item));
      const key = JSON.stringify([item, name]);
      const own = groups.get(key) || { item, name, found: new Set() };
      found.forEach((n) => own.found.add(n));
      groups.set(key, own);
    });
    return [...groups.values()].filter((g) => g.found.size).flatMap(({ item, name, found }) => {
      const all = Array.from({ length: count(item) }, (_, n) => n + 1).filter((n) => !found.has(n));
      return all.map((n) => ({ item, position: name ? n + "/" + name : String(n) }));
    });
  }

  /** Name that tells one of several at each place, and the numbers of the places; `rear` is the last place itself. */
  function placesOf(position, most) {
    const { number, name } = places.split(position);
    if (number) {
      return { name: name || "", found: [number] };
    }
    const found = places.places(name || "", most) || [];
    return found.length ? { name: "", found } : { name: name || "", found: [] };
  }

  const made = { unmeasured };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.unmeasured = made;
  }
})();
