"use strict";
// Places of measured items that have no reading. Mirrors unmeasured.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [places, builds, rows] = ["places", "build", "rows"].map(part);
  const [resolving, choosing] = ["resolving", "choosing"].map(part);

  /**
   * Item and place of what has no reading, in the sheet's order: places of the engine where an item was not measured
   * that was at others, and those of several at a place that have a row of the same item. Where nobody says how many
   * places there are, that is a line for all, unless as many
   * were read as the largest model has. Lines without a value are none of a sheet's in the browser.
   * @param {any} cases @param {any} sheet @param {Engine} engine @param {Shared} shared
   */
  function unmeasured(cases, sheet, engine, shared) {
    const [family, build] = [builds.family(engine), builds.parsed(sheet.build)];
    const model = builds.answer(build, builds.MODEL, "all", family);
    /** @param {string} item */
    const columnOf = (item) => shared.quantities[item].count;
    /** @param {string} item */
    const count = (item) =>
      (columnOf(item) && family.names.includes(model) ? family.count(columnOf(item), [model]) : null);
    /** Cylinders where an item that nothing counts was read at the valves of some. @param {any} _ */
    const cylinders = ({ item, name, found }) => (["intake", "exhaust"].includes(name) && found.size > 0 && !columnOf(item) &&
      family.names.includes(model) ? family.count("cylinders", [model]) : null);
    const entered = cases.filter((/** @type {any} */ c) => !c.derived);
    const groups = new Map();
    /** @param {string} item @param {string} name */
    const group = (item, name) => {
      const key = JSON.stringify([item, name]);
      groups.set(key, groups.get(key) || { item, name, found: new Set() });
      return groups.get(key).found;
    };
    entered.forEach((/** @type {any} */ { item, position }) => {
      const there = placesOf(item, position, count(item), shared);
      if (there) {
        there.found.forEach((/** @type {any} */ n) => group(item, there.name).add(n), group(item, there.name));
      }
    });
    const apart = siblings(entered, build, engine, shared, count).filter(({ item, position }) =>
      !inEach(item, shared) || !group(item, position));
    const read = new Set(entered.map((/** @type {any} */ c) => c.item + " " + c.position));
    const missing = [...groups.values()].flatMap(({ item, name, found }) => {
      const most = cylinders({ item, name, found }) || count(item);
      const largest = (columnOf(item) && family.count(columnOf(item), [])) || 0;
      const whole = largest > 0 && Array.from({ length: largest }, (_, n) => n + 1).every((n) => found.has(n));
      const open = most === null && columnOf(item) && !whole && !read.has(item + " " + (name || "all"));
      const all = Array.from({ length: most || 0 }, (_, n) => n + 1).filter((n) => !found.has(n));
      return [...(open ? [name || "all"] : []), ...all.map((n) => (name ? n + "/" + name : String(n)))]
        .map((position) => ({ item, position }));
    });
    const told = new Map([...apart, ...missing].map((m) => [m.item + " " + m.position, m]));
    return [...told.values()];
  }

  /** @param {string} item @param {Shared} shared */
  const inEach = (item, shared) => !["", "mains"].includes(shared.quantities[item].count);

  /** Items with the names of what there are several of at a place, of which a row speaks and no reading: the exhaust.
   * @param {any} entered @param {any} build @param {Engine} engine @param {Shared} shared @param {any} count */
  function siblings(entered, build, engine, shared, count) {
    const items = [...new Set(entered.map((/** @type {any} */ c) => c.item))].filter((item) => shared.quantities[item].count !== "mains");
    return items.flatMap((item) => {
      const there = entered.filter((/** @type {any} */ c) => c.item === item).map((/** @type {any} */ c) => c.position);
      /** @param {Row} row */
      const isTrue = (row) => {
        const here = resolving.hereOf(engine, shared, item, rows.cell(row, "position"));
        return rows.cell(row, "class") === "new" && resolving.admits(row, build, here) && resolving.ofSize(row, build, here);
      };
      /** @param {string} name */
      const isOf = (name) => (/** @type {string} */ place) => place === "all" || places.holds(name, place, count(item), shared);
      const names = choosing.rowsOf(engine, item).filter(isTrue).map((/** @type {Row} */ row) => rows.cell(row, "position"));
      /** @param {string} name */
      const counted = (name) => name === "all" || places.places(name, count(item)) !== null;
      return names.filter((/** @type {string} */ name) => !counted(name) && !there.some(isOf(name))).map((/** @type {string} */ position) => ({ item, position }));
    });
  }

  /**
   * Name that tells one of several at each place, and the numbers of the places; null for a place of its own. `rear`
   * is the last place itself; a reading for all places, or of the top rings, is none of the counted ones.
   * @param {string} item @param {string} position @param {any} most @param {Shared} shared
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
    return inEach(item, shared) ? { name: name || "", found: [] } : null;
  }

  const made = { unmeasured };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.unmeasured = made;
  }
})();
