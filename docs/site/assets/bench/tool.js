"use strict";
// The instrument: which one, how finely it reads, how far it may be off, on what it was set.
(function () {
  const api = window.runningFits;
  const { element, button, field } = api.elements;
  const { exact } = api;
  const known = (/** @type {string} */ kind) => api.loaded.shared.instruments[kind];

  /** A number of one unit in another, with two digits. @param {string} text @param {string} from @param {string} to */
  function converted(text, from, to) {
    const { units } = api.loaded.shared;
    if (from === to || !units[from] || !units[to] || units[from].dimension !== units[to].dimension) {
      return text + " " + from;
    }
    const value = exact.divide(exact.multiply(exact.parse(text), exact.parse(units[from].factor)), exact.parse(units[to].factor));
    const near = exact.toNumber(value);
    const places = Math.max(0, 1 - Math.floor(Math.log10(near)));
    return exact.fixed(value, places) + " " + to;
  }

  /** The limit of a class in a unit, its usual one where none is published; empty where there is neither.
   * @param {string} kind @param {string} [unit] @returns {string} */
  function limitOf(kind, unit) {
    const { mpe, mpe_percent: percent, usual, usual_percent: usually, unit: own } = known(kind);
    const length = mpe || usual;
    const found = length ? converted(length, own, unit || own) : percent || usually ? (percent || usually) + " %" : "";
    return found && "± " + found + (mpe || percent ? "" : ", the usual one");
  }

  /** The limit of an instrument, as its sheet gives it or as its class has it. @param {Tool} own @returns {string} */
  function limit(own) {
    const given = own.mpe ? "± " + own.mpe + " " + own.unit : own.mpe_percent ? "± " + own.mpe_percent + " %" : "";
    return given || limitOf(own.instrument, own.unit) || "give its limit of error";
  }

  /** @param {Tool} own */
  function standard(own) {
    const { standard: said } = known(own.instrument);
    if (!limitOf(own.instrument)) {
      return "No limit is known for this class: take it from its certificate or its check.";
    }
    const where = said ? "the limit of its class (" + said + ")" : "common practice, no published limit was read";
    const set = own.instrument === "bore-gauge" && !own.set_on ? " A bore gauge compares: say what it was set on." : "";
    return "The usual value is " + where + ". Yours may be better or worse: its certificate counts." + set;
  }

  /** @param {Sheet} kept */
  function choices(kept) {
    const classes = Object.entries(api.loaded.shared.instruments).map(([kind, { label }]) => ["new/" + kind, "another: " + label]);
    return [...kept.instruments.map((t) => [t.id, api.record.named(t.id, kept)]), ...classes];
  }

  /** @param {string} key @param {string[][]} all @param {string} chosen @param {(value: string) => void} choose */
  function select(key, all, chosen, choose) {
    const options = all.map(([value, label]) => element("option", { value, selected: value === chosen }, label));
    return element("select", { "data-focus": key, on: { change: (/** @type {any} */ event) => choose(event.target.value) } }, options);
  }

  const alike = (/** @type {string} */ a, /** @type {string} */ b) => api.loaded.shared.units[a].dimension === api.loaded.shared.units[b].dimension;
  const typed = (/** @type {any} */ event, /** @type {string} */ unit) => api.numbers.entered(event.target.value, unit) || event.target.value.trim();

  /** The question about its limit, until it is answered; the usual one is offered and marked as that.
   * @param {Tool} own @param {string} name @param {ToolChange} change */
  function question(own, name, change) {
    const usual = limitOf(own.instrument, own.unit);
    if (own.told || own.mpe || own.mpe_percent || !usual) {
      return null;
    }
    const take = () => change({ tool: { told: true } });
    return element("div", { class: "bench-limit" },
      element("p", {}, "By how much can the " + name + " be off at most?"),
      element("div", { class: "bench-chips" },
        button(usual.replace(", the usual one", "") + ", as usual for its class", take, { key: "limit/usual", class: "bench-chip" }),
        button("I know it", () => change({ open: "tool" }), { key: "limit/own", class: "bench-chip" })));
  }

  /** The instrument, what its class says, and what can be changed.
   * @param {Sheet} kept @param {string} id @param {boolean} open @param {ToolChange} change */
  function fold(kept, id, open, change) {
    const own = /** @type {Tool} */ (kept.instruments.find((t) => t.id === id));
    const { named } = api.record;
    const number = (/** @type {string} */ name, /** @type {string} */ label) => field(label, element("input", {
      type: "text", inputmode: "decimal", autocomplete: "off", value: own[name] || "", "data-focus": "tool/" + name,
      on: { change: (/** @type {any} */ event) => change({ tool: { [name]: typed(event, own.unit || ""), fresh: false } }) },
    }));
    const units = Object.keys(api.loaded.shared.units).filter((u) => own.unit && alike(u, own.unit)).map((u) => [u, u]);
    const others = kept.instruments.filter((t) => t.id !== own.id).map((t) => [t.id, named(t.id, kept)]);
    const usual = limitOf(own.instrument, own.unit);
    return element("details", { class: "bench-fold", open: open || !(own.mpe || own.mpe_percent || usual), "data-fold": "tool" },
      element("summary", { "data-focus": "tool" }, "With ", element("strong", {}, named(own.id, kept)), ", " + limit(own)),
      field("Instrument", select("instrument", choices(kept), own.id, (chosen) => change({ instrument: chosen }))),
      element("div", { class: "bench-fields" },
        number("resolution", "It reads in steps of"),
        number("mpe", "It can be off by at most, ±" + (usual ? " (usual: " + usual.replace("± ", "").replace(", the usual one", "") + ")" : "")),
        units.length ? field("Unit of both", select("tool/unit", units, own.unit || "", (unit) => change({ tool: { unit, fresh: false } }))) : null,
        field("Was set on", select("tool/set_on", [["", "nothing"], ...others], own.set_on || "", (set_on) => change({ tool: { set_on } })))
      ),
      element("p", { class: "bench-small" }, standard(own))
    );
  }

  api.tool = { fold, question, limitOf, limit, select };
})();
