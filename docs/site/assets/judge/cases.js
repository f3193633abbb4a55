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
      parts.set(raw.part, [...(parts.get(raw.part) || []), values.reading(raw, index, shared, warmth, sheet.instruments)]);
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

  /** Fits of bores and shafts that were entered as items of their own, and those that they do not give, with why. */
  function fitsOf(entered, build, engine, shared) {
    const at = (item, position) => JSON.stringify([item, position]);
    const own = new Set(entered.map((c) => at(c.item, c.position)));
    const both = entered.filter(({ parts }) => parts.has("bore") && parts.has("shaft"));
    const whole = new Set(both.map((c) => at(c.item, c.position)));
    const [made, apart] = [[], []];
    for (const [item, { outer, inner }] of Object.entries(shared.quantities)) {
      const [bores, shafts] = [measured(entered, outer, "bore"), measured(entered, inner, "shaft")];
      const spots = bores.size && shafts.size && choosing.rowsOf(engine, item).length ? byPlace(bores, shafts) : [];
      for (const key of spots) {
        const [position, which] = JSON.parse(key);
        const parts = new Map([["bore", bores.get(key)], ["shaft", shafts.get(key)]].filter(([, read]) => read));
        const one = caseOf({ item, position, said: which ? { which } : {}, parts }, build, engine, shared, true);
        if (whole.has(at(item, position)) || !(one.choice.rows.length || one.choice.asked.length)) {
          continue;
        }
        const why = noFit(one, build, engine, shared);
        if (!why) {
          made.push(one);
        } else if (!own.has(at(item, position))) {
          apart.push({ one, why });
        }
      }
    }
    return { made, apart };
  }

  /** Places with which of several alike, those of one place together. */
  function byPlace(bores, shafts) {
    const keys = [...new Set([...bores.keys(), ...shafts.keys()])];
    const place = (key) => JSON.parse(key)[0];
    return [...new Set(keys.map(place))].flatMap((p) => keys.filter((key) => place(key) === p));
  }

  /** Readings of a bore or shaft by place and which of several: of its own item, of a fit whose other part has none. */
  function measured(entered, sizes, own) {
    const found = new Map();
    for (const { item, position, said, parts, quantity } of entered) {
      const fit = own === "bore" ? quantity.outer : quantity.inner;
      if (parts.has(own) && (sizes.includes(item) || fit.some((n) => sizes.includes(n)))) {
        const key = JSON.stringify([position, said.which || ""]);
        found.set(key, [...(found.get(key) || []), ...parts.get(own)]);
      }
    }
    return found;
  }

  /** Why two sizes do not give a fit at a place; empty where they do. */
  function noFit({ parts, quantity }, build, engine, shared) {
    if (parts.size < 2) {
      return "its " + (parts.has("bore") ? "shaft" : "bore") + " was not measured at this place";
    }
    const family = builds.family(engine);
    const columns = new Set([...quantity.outer, ...quantity.inner].map((n) => shared.quantities[n].count));
    const counts = new Set([...columns].map((c) => c && family.count(c, build.model ? [build.model] : [])));
    const alike = counts.size === 1 && (!counts.has(null) || columns.size === 1);
    return alike ? "" : "its bore and its shaft are not counted alike: enter both as readings of the fit";
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
    const { made, apart } = fitsOf(entered, build, engine, shared);
    return { entered, all: [...entered, ...found, ...made], unjudged: [...unjudged, ...apart] };
  }

  const made = { SAYS, cases, methodOf };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.cases = made;
  }
})();
