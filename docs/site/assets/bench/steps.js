"use strict";
// Choosing: the engine, the fit in measuring order, the place, what is measured and with what.
(function () {
  const api = window.runningFits;
  const { element, button, chips, field } = api.elements;
  const { rows, bounds } = api;

  /** @param {string} text */
  const plain = (text) => text.toLowerCase().replace(/[^a-z0-9.]+/g, " ").trim();

  /** Whether every word that is typed is in the text, with or without the blanks. @param {string} text @param {string} typed */
  function fits(text, typed) {
    const [there, joined] = [plain(text), plain(text).replace(/ /g, "")];
    return plain(typed).split(" ").every((word) => there.includes(word) || joined.includes(word));
  }

  /** A field that narrows a list of buttons; each has its words in data-words. @param {string} label @param {HTMLElement} list */
  function finder(label, list) {
    const said = element("span", { class: "bench-said", "aria-live": "polite" });
    const input = element("input", {
      type: "search", autocomplete: "off", spellcheck: "false", "data-focus": label,
      on: { input: () => narrow() },
    });
    function narrow() {
      const all = /** @type {HTMLElement[]} */ ([...list.querySelectorAll("[data-words]")]);
      all.forEach((e) => {
        e.hidden = !fits(e.getAttribute("data-words") || "", input.value);
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

  /** @param {any} state @param {(value: any) => void} choose */
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
    return [finder("Type to find an engine", list), list];
  }

  // fit

  /** @param {string} item */
  const quantityOf = (item) => api.loaded.shared.quantities[item];

  /** Rows in words: range and limit as printed, all that must hold. @param {any[]} all */
  const printed = (all) => all.map((row) => {
    const open = bounds.bounds(row, api.loaded.shared).judged ? "" : "nothing to judge by";
    return [rows.text(row), open].filter(Boolean).join("; ");
  }).join(" and ");

  /** Pages of rows, with what was done to choose them. @param {any[]} all */
  const pages = (all) => all.map((row) =>
    [row.cite, ...row.also].map((c) => c.text).join("; also ") + row.marks.map((/** @type {any} */ m) => "; " + m).join("")).join(" and ");

  /** @param {Group} group */
  const groupKey = (group) => [group.item, group.places[0], ...Object.values(group.said)].join("/");

  /** @param {Group} group @param {any} chosen @param {(value: any) => void} choose */
  function fit(group, chosen, choose) {
    const { choice, said, places } = group;
    const words = choice.asked.length ? choice.asked.map((a) => a.words).join(" ") : printed(choice.rows);
    const where = [places.join() === "all" ? "every place" : api.words.placesIn(places), ...api.words.said(said)].join(", ");
    const node = button("", () => choose(group), {
      key: "fit/" + groupKey(group), class: "bench-row", "aria-pressed": String(chosen),
      "data-words": [quantityOf(group.item).label, where, words].join(" "),
    });
    node.append(
      element("span", { class: "bench-place" }, where),
      element("span", {}, (choice.asked.length ? "asked first: " : "") + words),
      element("span", { class: "bench-small" }, pages(choice.rows))
    );
    return node;
  }

  /** @param {any[]} all @param {any} by */
  function grouped(all, by) {
    const groups = new Map();
    all.forEach((r) => groups.set(by(r), [...(groups.get(by(r)) || []), r]));
    return [...groups.values()];
  }

  /** @param {Engine} engine @param {Sheet} sheet @param {Now} now @param {(value: any) => void} choose */
  function fitList(engine, sheet, now, choose) {
    const all = api.measured.measured(engine, sheet.build);
    /** @param {any} g */
    const same = (g) => now && now.item === g.item && JSON.stringify(now.said) === JSON.stringify(g.said);
    /** @param {any} g */
    const chosen = (g) => Boolean(same(g) && g.places.includes(now.position));
    const list = element("div", { class: "bench-list" }, grouped(all, (/** @type {any} */ g) => quantityOf(g.item).label).map((own) =>
      element("section", {}, element("h3", {}, quantityOf(own[0].item).label), own.map((/** @type {any} */ g) => fit(g, chosen(g), choose)))
    ));
    const built = api.building.words(engine, sheet.build, sheet.stage).join("; ");
    return [
      element("h2", {}, "Which fit?"),
      element("p", { class: "bench-small" }, engine.name + ": " + built + "."),
      engine.note ? element("details", { class: "bench-fold", "data-fold": "identified" }, element("summary", {}, "How this engine was identified"),
        element("p", {}, engine.note)) : null,
      finder("Type to find a fit", list), list,
    ];
  }

  // place, part, where, instrument

  const DIRECT = ["feeler-gauge", "dial-indicator", "dial-on-bridge", "scale-rule"];
  const INNER = ["bore-gauge", "inside-micrometer", "small-hole-gauge"];

  /** The part of a size: what lies between inner faces is a bore, what is read itself a gap. @param {any} _ */
  function partOfSize({ instrument, limit_side: side }) {
    if (DIRECT.includes(instrument)) {
      return "gap";
    }
    const depth = instrument === "depth-micrometer" && side === "upper";
    return INNER.includes(instrument) || depth ? "bore" : "shaft";
  }

  /** Parts that can be measured for a quantity: of a fit both its sizes, the gap itself, a strip.
   * @param {Quantity} quantity @param {string} method */
  function partsOf(quantity, method) {
    const { kind, outer, inner, of } = quantity;
    if (kind === "size") {
      return [partOfSize(quantity)];
    }
    if (of.length && !["dial-total", "half-dial"].includes(method)) {
      return [api.loaded.shared.quantities[of[0]].limit_side === "upper" ? "bore" : "shaft", "gap"];
    }
    const sizes = outer.length && inner.length ? ["bore", "shaft"] : [];
    const strip = kind === "clearance" && sizes.length ? ["strip"] : [];
    return kind === "clearance" ? [...sizes, "gap", ...strip] : ["gap", ...sizes];
  }

  /** The usual class of instrument for a part of a quantity; what is a difference of sizes is read directly otherwise.
   * @param {string} part @param {Quantity} quantity */
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

  /** Where on the part: folded away unless the method needs it. @param {Now} now @param {boolean} open @param {any} change */
  function where(now, open, change) {
    const said = [now.place, now.direction].filter(Boolean).join(", ") || "not said";
    return element("details", { class: "bench-fold", open, "data-fold": "where" },
      element("summary", { "data-focus": "where" }, "Where on the part: ", element("strong", {}, said)),
      element("p", { class: "bench-small" }, GRID),
      element("h3", { class: "bench-label" }, "Along"), chips("Along the part", ALONG, now.place, (place) => change({ place })),
      element("h3", { class: "bench-label" }, "Across"), chips("Across the part", ACROSS, now.direction, (direction) => change({ direction }))
    );
  }

  api.steps = { engines, fitList, finder, partsOf, toolFor, where, printed, pages };
})();
