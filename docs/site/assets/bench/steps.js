"use strict";
// Choosing: the engine, the fit in measuring order, the place, what is measured and with what.
(function () {
  const api = window.runningFits;
  const { element, button, chips, field } = api.elements;
  const { rows, words } = api;

  const plain = (text) => text.toLowerCase().replace(/[^a-z0-9.]+/g, " ").trim();

  /** Whether every word that is typed is in the text, with or without the blanks. */
  function fits(text, typed) {
    const [there, joined] = [plain(text), plain(text).replace(/ /g, "")];
    return plain(typed).split(" ").every((word) => there.includes(word) || joined.includes(word));
  }

  /** A field that narrows a list of buttons; each has its words in data-words. */
  function finder(label, list) {
    const said = element("span", { class: "bench-said", "aria-live": "polite" });
    const input = element("input", {
      type: "search", autocomplete: "off", spellcheck: "false", "data-focus": label,
      on: { input: () => narrow() },
    });
    function narrow() {
      const all = [...list.querySelectorAll("[data-words]")];
      all.forEach((e) => {
        e.hidden = !fits(e.getAttribute("data-words"), input.value);
      });
      list.querySelectorAll("section").forEach((s) => {
        s.hidden = !s.querySelector("[data-words]:not([hidden])");
      });
      const left = all.filter((e) => !e.hidden).length;
      said.textContent = input.value ? left + " of " + all.length : "";
    }
    return element("div", { class: "bench-find" }, field(label, input), said);
  }

  // engine

  function engines(state, choose) {
    const list = element("div", { class: "bench-list" }, api.loaded.shared.engines.map((e) =>
      button("", () => choose(e.engine), {
        key: "engine/" + e.engine, class: "bench-row", "aria-pressed": String(e.engine === state.engine),
        "data-words": [e.engine, e.name, e.known].join(" "),
      })
    ));
    [...list.children].forEach((node, n) => {
      const { name, known } = api.loaded.shared.engines[n];
      node.append(element("strong", {}, name), known ? element("span", { class: "bench-small" }, known) : "");
    });
    return [element("h2", {}, "Which engine?"), finder("Type to find an engine", list), list];
  }

  // fit

  const labelOf = (row) => api.loaded.shared.quantities[row.cells.quantity].label;
  const compare = (a, b) => (a < b ? -1 : a > b ? 1 : 0);

  /** Rows in measuring order, those that choices.csv passes over left out; rows that agree are one. */
  function measured(engine, more) {
    const over = new Set(engine.choices.map((c) => c[1]));
    const kept = engine.rows.filter((r) => !over.has(r.id) && (more || rows.cell(r, "class") === "new"));
    const groups = grouped(kept, (r) => [r.cells.quantity, r.cells.position, r.cells.class].join(" "));
    const order = (row) => api.loaded.shared.quantities[row.cells.quantity].order;
    const name = (row) => row.cells.quantity + " " + row.id;
    return groups.flatMap(rows.distinct).sort((a, b) => order(a) - order(b) || compare(name(a), name(b)));
  }

  function grouped(all, by) {
    const groups = new Map();
    all.forEach((r) => groups.set(by(r), [...(groups.get(by(r)) || []), r]));
    return [...groups.values()];
  }

  function printed(row) {
    const limit = row.limit_text ? "limit " + row.limit_text : "";
    const open = rows.bounds(row, api.loaded.shared).judged ? "" : "nothing to judge by";
    return [row.text, limit, open].filter(Boolean).join("; ");
  }

  function fit(row, chosen, choose) {
    const node = button("", () => choose(row), {
      key: "row/" + row.id, class: "bench-row", "aria-pressed": String(row.id === chosen),
      "data-words": [labelOf(row), row.place, printed(row)].join(" "),
    });
    node.append(
      element("span", { class: "bench-place" }, row.place === "all" ? "every place" : row.place),
      element("span", {}, printed(row)), element("span", { class: "bench-small" }, row.cite)
    );
    return node;
  }

  function fitList(engine, state, choose, setMore) {
    const chosen = state.now && state.now.row;
    const list = element("div", { class: "bench-list" }, grouped(measured(engine, state.more), labelOf).map((all) =>
      element("section", {}, element("h3", {}, labelOf(all[0])), all.map((r) => fit(r, chosen, choose)))
    ));
    const others = engine.rows.some((r) => rows.cell(r, "class") !== "new");
    const more = button(state.more ? "Only new ranges" : "Repair, selective and desired sizes too",
      () => setMore(!state.more), { key: "more", class: "bench-plain", "aria-pressed": String(Boolean(state.more)) });
    return [
      element("h2", {}, "Which fit?"),
      element("p", { class: "bench-small" }, engine.name + (engine.note ? ": " + engine.note : "")),
      finder("Type to find a fit", list), others ? more : null, list,
    ];
  }

  // place, part, where, instrument

  const FIXED = ["front", "rear", "centre", "outer-ends", "intermediate", "front-intermediate", "rear-intermediate"];
  const WITHOUT_COUNT = 12;

  const upTo = (most) => Array.from({ length: most }, (_, n) => String(n + 1));

  /** Places that can be read for a row: each number where they are known, else its own name, also with a number. */
  function placesOf(row, engine) {
    const place = rows.cell(row, "position");
    const count = rows.count(row.cells.quantity, engine, api.loaded.shared);
    if (place === "all") {
      return count ? upTo(count) : ["all", ...upTo(WITHOUT_COUNT)];
    }
    const found = rows.places(place, count);
    if (found && found.length) {
      return found.map(String);
    }
    const numbered = FIXED.includes(place) ? [] : upTo(count || engine.counts.cylinders || 0);
    return [place, ...numbered.map((n) => n + "/" + place)];
  }

  /** Parts that can be measured for a quantity: of a fit both its sizes, the gap itself, a strip. */
  function partsOf(quantity, method) {
    const { kind, limit_side, outer, inner, of } = quantity;
    if (kind === "size") {
      return [limit_side === "upper" ? "bore" : "shaft"];
    }
    if (of.length && !["dial-total", "half-dial"].includes(method)) {
      return [api.loaded.shared.quantities[of[0]].limit_side === "upper" ? "bore" : "shaft", "gap"];
    }
    const sizes = outer.length && inner.length ? ["bore", "shaft"] : [];
    const strip = kind === "clearance" && sizes.length ? ["strip"] : [];
    return kind === "clearance" ? [...sizes, "gap", ...strip] : ["gap", ...sizes];
  }

  const DIRECT = ["feeler-gauge", "dial-indicator", "dial-on-bridge"];

  /** The usual class of instrument for a part of a quantity; what is a difference of sizes is read directly otherwise. */
  function toolFor(part, quantity) {
    const { quantities } = api.loaded.shared;
    const [size] = { bore: quantity.outer, shaft: quantity.inner }[part] || [];
    const [measured] = part === "gap" ? [] : quantity.of;
    if (part === "strip") {
      return "strip";
    }
    if (size || measured) {
      return quantities[size || measured].instrument;
    }
    const worked = part === "gap" && (quantity.inner.length || quantity.of.length);
    return worked && !DIRECT.includes(quantity.instrument) ? "feeler-gauge" : quantity.instrument;
  }

  const GRID =
    "Repeats of one place and direction are averaged. Several places and directions make the grid from which taper and " +
    "out-of-round follow.";
  const NONE = [["", "not said"]];
  const ALONG = [...NONE, ...["front", "centre", "rear", "top", "middle", "bottom"].map((w) => [w, w])];
  const ACROSS = [...NONE, ...["vertical", "horizontal", "lengthwise", "crosswise"].map((w) => [w, w])];

  /** Where on the part: folded away unless the method needs it. */
  function where(now, open, change) {
    const said = [now.place, now.direction].filter(Boolean).join(", ") || "not said";
    return element("details", { class: "bench-fold", open, "data-fold": "where" },
      element("summary", { "data-focus": "where" }, "Where on the part: ", element("strong", {}, said)),
      element("p", { class: "bench-small" }, GRID),
      element("h4", {}, "Along"), chips("Along the part", ALONG, now.place, (place) => change({ place })),
      element("h4", {}, "Across"), chips("Across the part", ACROSS, now.direction, (direction) => change({ direction }))
    );
  }

  /** The instrument, what its class says, and what can be changed. */
  function tool(kept, now, open, change) {
    const own = kept.instruments.find((t) => t.id === now.instrument);
    const short = !own.mpe ? "give its limit of error" : "± " + own.mpe + " " + own.unit;
    const number = (name, label) => field(label, element("input", {
      type: "text", inputmode: "decimal", autocomplete: "off", value: own[name] || "", "data-focus": "tool/" + name,
      on: { change: (event) => change({ tool: { [name]: event.target.value.trim().replace(",", ".") } }) },
    }));
    const units = Object.keys(api.loaded.shared.units).filter((u) => alike(u, own.unit)).map((u) => [u, u]);
    const setOn = (set_on) => change({ tool: { set_on } });
    const others = kept.instruments.filter((t) => t.id !== own.id).map((t) => [t.id, t.id]);
    return element("details", { class: "bench-fold", open: open || !own.mpe, "data-fold": "tool" },
      element("summary", { "data-focus": "tool" }, "With ", element("strong", {}, own.id), ", " + short),
      field("Instrument", select("instrument", choices(kept), own.id, (id) => change({ instrument: id }))),
      element("div", { class: "bench-fields" },
        number("resolution", "Step of its reading"), number("mpe", "Limit of error, ±"),
        field("Unit of both", select("tool/unit", units, own.unit, (unit) => change({ tool: { unit } }))),
        field("Was set on", select("tool/set_on", [["", "nothing"], ...others], own.set_on || "", setOn))
      ),
      element("p", { class: "bench-small" }, standard(own))
    );
  }

  const alike = (a, b) => api.loaded.shared.units[a].dimension === api.loaded.shared.units[b].dimension;

  function standard(own) {
    const known = api.loaded.shared.instruments[own.instrument];
    const limit = known.mpe + " " + known.unit + " (" + known.standard + ")";
    const said = known.mpe
      ? "Limit of its class: " + limit + ". Yours may be better or worse: its certificate counts."
      : "No published limit is known for this class: take it from its certificate or its check.";
    const set = own.instrument === "bore-gauge" && !own.set_on ? " A bore gauge compares: say what it was set on." : "";
    return said + set;
  }

  function choices(kept) {
    const classes = Object.entries(api.loaded.shared.instruments);
    const known = classes.map(([kind, { label }]) => ["new/" + kind, "another: " + label]);
    return [...kept.instruments.map((t) => [t.id, t.id]), ...known];
  }

  function select(key, all, chosen, choose) {
    const options = all.map(([value, label]) => element("option", { value, selected: value === chosen }, label));
    return element("select", { "data-focus": key, on: { change: (event) => choose(event.target.value) } }, options);
  }

  api.steps = { engines, fitList, placesOf, partsOf, toolFor, where, tool, select, printed };
})();
