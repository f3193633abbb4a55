"use strict";
// A sheet resolved once: what was measured where, and the rows that are true for it. Mirrors cases.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [rows, builds, choosing, values] = ["rows", "build", "choosing", "values"].map(part);

  const SAYS = ["which", "state", "method", "at", "class"];
  const DIAL = ["dial-total", "half-dial"];

  const only = (said, columns) => Object.fromEntries(columns.filter((c) => said[c]).map((c) => [c, said[c]]));

  /** Readings of one item and place that say the same of their row, by part. */
  function groups(sheet, shared) {
    const found = new Map();
    sheet.readings.forEach((raw, index) => {
      const name = JSON.stringify([raw.item, raw.position, ...SAYS.map((s) => raw[s] || "")]);
      if (!found.has(name)) {
        found.set(name, { item: raw.item, position: raw.position, said: only(raw, SAYS), parts: new Map() });
      }
      const { parts } = found.get(name);
      const tool = sheet.instruments.find((t) => t.id === raw.instrument);
      parts.set(raw.part, [...(parts.get(raw.part) || []), values.reading(raw, index, shared, tool)]);
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

  /** Sizes and forms that the same readings give, where the engine has a row for them. */
  function derivedOf(entered, build, engine, shared) {
    const at = (name, position) => JSON.stringify([name, position]);
    const asked = new Set(entered.map((c) => at(c.item, c.position)));
    const found = new Map();
    for (const one of entered) {
      for (const [name, own] of given(one, shared)) {
        const key = at(name, one.position);
        const there = choosing.rowsOf(engine, name).length && !asked.has(key) && !found.has(key);
        if (there && one.parts.has(own)) {
          const parts = new Map([[own, one.parts.get(own)]]);
          const group = { item: name, position: one.position, said: only(one.said, ["which", "class"]), parts };
          const made = caseOf(group, build, engine, shared, true);
          const [row] = made.choice.rows;
          if (!row || !DIAL.includes(rows.cell(row, "method"))) {
            found.set(key, made);
          }
        }
      }
    }
    return [...found.values()];
  }

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

  /** Every case of a sheet; a derived one stands after those that were entered. */
  function cases(sheet, engine, shared) {
    const build = builds.parsed(sheet.build);
    const entered = groups(sheet, shared).map((g) => caseOf(g, build, engine, shared, false));
    return [...entered, ...derivedOf(entered, build, engine, shared)];
  }

  const made = { SAYS, cases };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.cases = made;
  }
})();
