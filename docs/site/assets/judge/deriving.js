"use strict";
// Sizes, forms and differences that the readings of other items give, and those not, with why. Mirrors deriving.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [rows, builds, choosing, places, grid] = ["rows", "build", "choosing", "places", "grid"].map(part);
  const { only, caseOf, methodOf } = part("case");

  const DIAL = ["dial-total", "half-dial"];
  const NEIGHBOURS = "neighbour-difference";
  const ABOUT = ["which", "class"];

  /** Cases that the readings give where the engine has a row, and those that they do not give, with why.
   * @param {any} entered @param {any} build @param {Engine} engine @param {Shared} shared */
  function derive(entered, build, engine, shared) {
    const lines = new Set(entered.map((/** @type {any} */ c) => JSON.stringify([c.item, c.position])));
    /** @param {string} name */
    const there = (name) => choosing.rowsOf(engine, name).length > 0;
    const [found, missing] = [/** @type {any[]} */ ([]), new Map()];
    const all = [...grids(entered, there, shared), ...between(entered, there, shared)];
    for (const { item, position, said, parts, among } of all) {
      const { method, count } = shared.quantities[item];
      const told = among ? (count ? { method: NEIGHBOURS } : {}) : method === "spread" ? { method } : {};
      const group = caseOf({ item, position, said, parts }, build, engine, shared, told);
      const one = { ...group, derived: true, again: lines.has(JSON.stringify([item, position])), among };
      const [row = null] = one.choice.rows;
      const other = told.method && row && methodOf(one, row) !== told.method;
      if ((one.choice.rows.length || one.choice.asked.length) && !other) {
        const why = (among && whyNotAmong(one, build, engine)) || whyNot(one);
        if (!why) {
          found.push(one);
        } else if (!one.again) {
          missing.set(JSON.stringify([item, position, why]), { one, why });
        }
      }
    }
    return { found, unjudged: [...missing.values()] };
  }

  /** Groups of readings by a key, in order. @param {any} all */
  function grouped(all) {
    const found = new Map();
    for (const { group, state, part: own, readings } of all) {
      const key = JSON.stringify([group.item, group.position, own, ...ABOUT.map((k) => group.said[k] || ""), state]);
      found.set(key, found.get(key) || { ...group, state, own, readings: [] });
      found.get(key).readings.push(...readings);
    }
    return [...found.values()];
  }

  /** @param {any} _ */
  const aGrid = ({ own, readings, ...group }) => ({ ...group, parts: new Map([[own, readings]]) });

  /** Readings of each size or form that others give, by place, in the order of the sheet.
   * @param {any} entered @param {any} there @param {Shared} shared */
  function grids(entered, there, shared) {
    const all = entered.flatMap((/** @type {any} */ one) => given(one, shared).filter(([name, own]) => there(name) && one.parts.has(own))
      .map(([name, own]) => ({
        group: { item: name, position: one.position, said: only(one.said, ABOUT), among: false },
        state: one.said.state || "", part: own, readings: one.parts.get(own).map((/** @type {any} */ r) => atHeight(r, one.said)),
      })));
    return grouped(all).map(aGrid);
  }

  /** A reading whose place is told with the height at which it was taken. @param {any} reading @param {any} said */
  const atHeight = (reading, said) =>
    (said.at ? { ...reading, place: (reading.place + " " + said.at).trim() } : reading);

  /** Readings of each size of which some form compares the counted places, each place by its number, in their order.
   * @param {any} entered @param {any} there @param {Shared} shared */
  function between(entered, there, shared) {
    const all = entered.flatMap((/** @type {any} */ one) => {
      const { number, name } = places.split(one.position);
      const forms = number ? compared(one, shared) : [];
      return forms.filter(([form, own]) => there(form) && one.parts.has(own)).map(([form, own]) => ({
        group: { item: form, position: name || "all", said: only(one.said, ABOUT), among: true },
        state: one.said.state || "", part: own,
        readings: one.parts.get(own).map((/** @type {any} */ r) => ({ ...r, place: String(number), direction: "" })),
      }));
    });
    /** @param {any} readings */
    const ordered = (readings) => [...readings].sort((a, b) => Number(a.place) - Number(b.place));
    return grouped(all).map((g) => aGrid({ ...g, readings: ordered(g.readings) }));
  }

  /** What a case measures, each with the part that does: bore and shaft of a fit, else the item itself. @param {any} _ */
  function sizesOf({ item, quantity, parts }) {
    if (quantity.kind === "size" || !quantity.inner.length) {
      return [...parts.keys()].map((own) => [item, own]);
    }
    return [...quantity.outer.map((/** @type {any} */ n) => [n, "bore"]), ...quantity.inner.map((/** @type {any} */ n) => [n, "shaft"])];
  }

  /** Parts of some sizes, each once: the bore of a piston may be a cylinder's or a liner's. @param {any[]} sizes */
  const partsOf = (sizes) => [...new Set(sizes.map(([, own]) => own))];

  /** Items that a case's readings give besides its own, each with the part whose readings count.
   * @param {any} one @param {Shared} shared */
  function given(one, shared) {
    const sizes = sizesOf(one);
    /** @param {any} size @param {any} form */
    const gives = (size, form) => form.of.includes(size) && form.count === shared.quantities[size].count;
    const forms = Object.keys(shared.quantities).flatMap((name) =>
      partsOf(sizes.filter(([size]) => gives(size, shared.quantities[name]))).map((own) => [name, own]));
    return [...sizes.filter(([name]) => name !== one.item), ...forms];
  }

  /** Forms that compare the counted places of what a case measures, each with the part whose readings count.
   * @param {any} one @param {Shared} shared */
  function compared(one, shared) {
    return Object.keys(shared.quantities).flatMap((name) => {
      const form = shared.quantities[name];
      /** @param {any} size */
      const counts = (size) => {
        const { count } = shared.quantities[size];
        return form.of.includes(size) && count && (form.count !== count || form.method === "spread");
      };
      return partsOf(sizesOf(one).filter(([size]) => counts(size))).map((own) => [name, own]);
    });
  }

  /** Why the readings do not give what a row of a derived case asks for; empty where they do. @param {any} one */
  function whyNot(one) {
    const [row = null] = one.choice.rows;
    if (row && DIAL.includes(rows.cell(row, "method"))) {
      return "its page counts the swing of a dial, which diameters do not give";
    }
    const [own] = one.parts.keys();
    const method = grid.singleMethod(methodOf(one, row), own, one.quantity.limit_side);
    if (one.quantity.of.length && !grid.DIFFERENCES.includes(method)) {
      return "it counts from the size that the part had when it was new, which the readings do not name";
    }
    const counted = grid.SINGLE[method](grid.cells([...one.parts.values()].flat()));
    return counted === null ? NEEDS[method] || "it needs more readings" : "";
  }

  /** @type {Record<string, string>} */
  const NEEDS = {
    "cross-difference": "it needs readings in two directions at one place",
    "end-difference": "it needs readings at two places in one direction",
    spread: "it needs two readings",
    [NEIGHBOURS]: "it needs readings at two places",
  };

  /** Why places are not compared; empty where they can be. @param {any} one @param {any} build @param {Engine} engine */
  function whyNotAmong(one, build, engine) {
    const [row = null] = one.choice.rows;
    if (builds.uneven(build.size[one.quantity.repair] || {})) {
      return "the places are of different sizes";
    }
    if (methodOf(one, row) !== NEIGHBOURS) {
      return "";
    }
    if (engine.layout !== "inline") {
      return "which places are neighbours their numbers do not tell";
    }
    const numbers = [...new Set([...one.parts.values()].flat().map((r) => Number(r.place)))].sort((a, b) => a - b);
    const whole = numbers.length === numbers[numbers.length - 1] - numbers[0] + 1;
    return whole ? "" : "it needs readings at every place between the first and the last that was read";
  }

  const made = { derive, atHeight, grids };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.deriving = made;
  }
})();
