"use strict";
// Places of measured items that have no reading. Mirrors unmeasured.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [places, builds] = ["places", "build"].map(part);

  /**
   * Item and place of what has no reading, in the sheet's order: places of the engine where an item was not measured
   * that was at others. Lines without a value are none of a sheet's in the browser.
   */
  function unmeasured(cases, sheet, engine, shared) {
    const family = builds.family(engine);
    const model = builds.answer(builds.parsed(sheet.build), builds.MODEL, "all", family);
    const count = (item) => {
      const column = shared.quantities[item].count;
      return (column && family.names.includes(model) && family.count(column, [model])) || 0;
    };
    const groups = new Map();
    cases.filter((c) => !c.derived).forEach(({ item, position }) => {
      const there = placesOf(item, position, count(item), shared);
      if (there) {
        const key = JSON.stringify([item, there.name]);
        const own = groups.get(key) || { item, name: there.name, found: new Set() };
        there.found.forEach((n) => own.found.add(n));
        groups.set(key, own);
      }
    });
    return [...groups.values()].flatMap(({ item, name, found }) => {
      const all = Array.from({ length: count(item) }, (_, n) => n + 1).filter((n) => !found.has(n));
      return all.map((n) => ({ item, position: name ? n + "/" + name : String(n) }));
    });
  }

  /**
   * Name that tells one of several at each place, and the numbers of the places; null for a place of its own. `rear`
   * is the last place itself; a reading for all places, or of the top rings, is none of the counted ones.
   */
  function placesOf(item, position, most, shared) {
    const { number, name } = places.split(position);
    if (number) {
      return { name: name || "", found: [number] };
    }
    if (name === "all") {
      return { name: "", found: [] };
    }
    const found = places.places(name || "", most) || [];
    if (found.length) {
      return { name: "", found };
    }
    return ["", "mains"].includes(shared.quantities[item].count) ? null : { name: name || "", found: [] };
  }

  const made = { unmeasured };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.unmeasured = made;
  }
})();
