"use strict";
// A sheet resolved once: what was measured where, and the rows that are true for it. Mirrors cases.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [rows, builds, choosing, values, grid] = ["rows", "build", "choosing", "values", "grid"].map(part);

  const SAYS = ["which", "state", "method", "at", "class"];
  const DIAL = ["dial-total", "half-dial"];

  const only = (said, columns) => Object.fromEntries(columns.filter((c) => said[c]).map((c) => [c, said[c]]));

  /** Readings of one item and place that say the same of their row, by part. */
  function groups(sheet, shared, warmth) {
    const found = new Map();
    sheet.readings.forEach((raw, index) => {
      const name = JSON.stringify([raw.item, raw.position, ...SAYS.map((s) => raw[s] || "")]);
      if (!found.has(name)) {
        found.set(name, { item: raw.item, position: raw.position, said: only(raw, SAYS), parts: new Map() });
      }
      const { parts } = found.get(name);
      const tool = sheet.instruments.find((t) => t.id === raw.instrument);
      parts.set(raw.part, [...(parts.get(raw.part) || []), values.reading(raw, index, shared, warmth, tool)]);
    });
    return [...found.values()];
  }

  function caseOf({ item, position, said, parts }, build, engine, shared, derived) {
    const way = parts.size === 1 ? { part: [...parts.keys()][0] } : {};
    const choice = choosing.choose(engine, shared, build, item, position, { ...said, ...way });
    const quantity = shared.quantities[item];
    const about = only(said, ["which", "class"]);
    const sizes = {};
    for (const [own, names] of sizesOf(quantity, shared)) {
      for (const name of names) {
        if (!sizes[own] || !sizes[own].rows.length) {
          sizes[own] = choosing.choose(engine, shared, build, name, position, about);
        }
      }
    }
    return { item, position, said, quantity, parts, choice, sizes, derived };
  }

  /** Bore and shaft of a fit, or the size of a form's part, each with the sizes that it may be. */
  function sizesOf({ outer, inner, of }, shared) {
    if (outer.length || inner.length || !of.length) {
      return [["bore", outer], ["shaft", inner]];
    }
    return [[shared.quantities[of[0]].limit_side === "upper" ? "bore" : "shaft", of]];
  }

  /** Sizes and forms that the same readings give where the engine has a row for them, and those that they do not. */
  function derivedOf(entered, build, engine, shared) {
    const at = (name, position) => JSON.stringify([name, position]);
    const asked = new Set(entered.map((c) => at(c.item, c.position)));
    const [found, missing] = [new Map(), new Map()];
    for (const one of entered) {
      for (const [name, own] of given(one, shared)) {
        const key = at(name, one.position);
        const there = choosing.rowsOf(engine, name).length && !asked.has(key) && !found.has(key);
        if (there && one.parts.has(own)) {
          const parts = new Map([[own, one.parts.get(own)]]);
          const group = { item: name, position: one.position, said: only(one.said, ["which", "class"]), parts };
          sorted(caseOf(group, build, engine, shared, true), key, found, missing);
        }
      }
    }
    return { found: [...found.values()], unjudged: [...missing].filter(([key]) => !found.has(key)).map(([, m]) => m) };
  }

  /** A derived case among those that are judged, or among those that are not, with why; nowhere without a row. */
  function sorted(one, key, found, missing) {
    if (!one.choice.rows.length && !one.choice.asked.length) {
      return;
    }
    const why = whyNot(one);
    if (why) {
      missing.set(key, { one, why });
    } else {
      found.set(key, one);
      missing.delete(key);
    }
  }

  const methodOf = (one, row) => (row && rows.cell(row, "method")) || one.quantity.method;

  /** Why the readings do not give what a row of a derived case asks for; empty where they do. */
  function whyNot(one) {
    const row = one.choice.rows[0] || null;
    if (row && DIAL.includes(rows.cell(row, "method"))) {
      return "its page counts the swing of a dial, which diameters do not give";
    }
    const [own] = one.parts.keys();
    const method = grid.singleMethod(methodOf(one, row), own, one.quantity.limit_side);
    const counted = grid.SINGLE[method](grid.cells([...one.parts.values()].flat()));
    return counted === null ? NEEDS[method] || "it needs more readings" : "";
  }

  const NEEDS = {
    "cross-difference": "it needs readings in two directions at one place",
    "end-difference": "it needs readings at two places in one direction",
    spread: "it needs two readings",
    "neighbour-difference": "it needs readings at two places",
  };

  /** Items that a case's readings give besides its own, each with the part whose readings count. */
  function given({ item, quantity }, shared) {
    const own = quantity.limit_side === "upper" ? "bore" : "shaft";
    let sizes = [...quantity.outer.map((n) => [n, "bore"]), ...quantity.inner.map((n) => [n, "shaft"])];
    if (quantity.kind === "size") {
      sizes = [[item, own]];
    }
    const forms = Object.keys(shared.quantities).flatMap((name) =>
      sizes.filter(([size]) => gives(size, shared.quantities[name], shared)).map(([, by]) => [name, by])
    );
    return [...sizes.filter(([name]) => name !== item), ...forms];
  }

  /** Whether readings of a size give a form; one that compares the counted places is given by none of them. */
  const gives = (size, form, shared) => form.of.includes(size) && form.count === shared.quantities[size].count;

  /** Every case of a sheet, a derived one after those that were entered, and what is not judged, with why. */
  function cases(sheet, engine, shared, warmth) {
    const build = builds.parsed(sheet.build);
    const entered = groups(sheet, shared, warmth).map((g) => caseOf(g, build, engine, shared, false));
    const { found, unjudged } = derivedOf(entered, build, engine, shared);
    return { entered, all: [...entered, ...found], unjudged };
  }

  const made = { SAYS, cases, methodOf };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.cases = made;
  }
})();
