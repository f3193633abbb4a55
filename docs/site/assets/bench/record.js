"use strict";
// What is kept: the readings of each engine, the instruments, what is being typed. Kept in the browser where it allows
// that, and in the page where it does not.
(function () {
  const api = window.runningFits;
  const KEY = "running-fits-bench";
  const EMPTY = { version: 2, engine: null, step: "engine", now: null, sheets: {} };
  const WORDS = ["title", "serial", "date", "checked_by", "part_temperature", "room_temperature"];

  api.loaded = { shared: null, engines: {} };

  /** Called by the data scripts. */
  api.shared = (value) => {
    api.loaded.shared = value;
  };
  api.engine = (value) => {
    api.loaded.engines[value.engine] = value;
  };

  function read() {
    try {
      const found = JSON.parse(window.localStorage.getItem(KEY));
      return found && found.version === EMPTY.version ? { ...EMPTY, ...found, sheets: whole(found.sheets) } : empty();
    } catch {
      return empty();
    }
  }

  const empty = () => ({ ...EMPTY, sheets: {} });

  /** The sheets that are sheets. */
  function whole(sheets) {
    const fits = (s) => s && s.build && Array.isArray(s.instruments) && Array.isArray(s.readings);
    return Object.fromEntries(Object.entries(sheets || {}).filter(([, s]) => fits(s)));
  }

  /** Keep the state; false where the browser does not allow it. */
  function keep(state) {
    try {
      window.localStorage.setItem(KEY, JSON.stringify(state));
      return true;
    } catch {
      return false;
    }
  }

  /** The model and the fitted parts that were chosen on the engine's page. */
  function chosen(engine) {
    let found = {};
    try {
      found = JSON.parse(window.localStorage.getItem("running-fits/build/" + engine.engine)) || {};
    } catch {
      return {};
    }
    const answers = Object.entries(found).filter(([question, answer]) => (engine.questions[question] || []).includes(answer));
    const model = Object.hasOwn(engine.models, found.model) ? { model: found.model } : {};
    return answers.length ? { ...model, fitted: Object.fromEntries(answers) } : model;
  }

  /** The sheet of an engine, a new one where there is none yet; an untouched one is of the build that was chosen. */
  function sheet(state, engine) {
    if (!state.sheets[engine.engine]) {
      state.sheets[engine.engine] = {
        title: engine.name, build: {}, stage: "found", serial: "", date: "", checked_by: "", decision: "guarded",
        instruments: [], readings: [],
      };
    }
    const own = state.sheets[engine.engine];
    if (!own.readings.length && !Object.keys(own.build).length) {
      own.build = chosen(engine);
    }
    return own;
  }

  /** The bench sheet to hand on: no empty field, only instruments that were used. */
  function exported(engine, kept) {
    const direct = new Set(kept.readings.map((r) => r.instrument));
    const set = kept.instruments.filter((t) => direct.has(t.id)).map((t) => t.set_on);
    const used = kept.instruments.filter((t) => direct.has(t.id) || set.includes(t.id));
    const words = Object.fromEntries(WORDS.map((w) => [w, plain(kept[w])]).filter(([, v]) => v));
    return {
      engine, ...words, ...(Object.keys(kept.build).length ? { build: kept.build } : {}), stage: kept.stage,
      decision: kept.decision, instruments: used.map(full), readings: kept.readings.map(full),
    };
  }

  const full = (line) => Object.fromEntries(Object.entries(line).filter(([, v]) => v !== "" && v !== null));
  const plain = (words) => String(words || "").replace(/[\x00-\x1f\x7f-\x9f]/g, " ").trim().slice(0, 500);

  /** A new instrument of a class, its scale in a unit; its limit is left to its class. */
  function instrument(kept, kind, shared, unit) {
    const known = shared.instruments[kind];
    const taken = new Set(kept.instruments.map((t) => t.id));
    let number = 1;
    while (taken.has(kind + "-" + number)) {
      number += 1;
    }
    const inch = unit === "in" && known.resolution_in;
    const scale = inch ? { resolution: known.resolution_in, unit } : { resolution: known.resolution, unit: known.unit };
    kept.instruments.push({ id: kind + "-" + number, instrument: kind, ...scale, mpe: "", set_on: "" });
    return kept.instruments[kept.instruments.length - 1];
  }

  /** The first instrument of a class on the sheet, a new one where there is none. */
  function usual(kept, kind, shared, unit) {
    return kept.instruments.find((t) => t.instrument === kind) || instrument(kept, kind, shared, unit);
  }

  /** An instrument in words: its class, with a number where the sheet has several. */
  function named(id, kept, shared) {
    const own = kept.instruments.find((t) => t.id === id);
    if (!own) {
      return id;
    }
    const alike = kept.instruments.filter((t) => t.instrument === own.instrument);
    const number = alike.length > 1 ? " No. " + (alike.indexOf(own) + 1) : "";
    return shared.instruments[own.instrument].label + number;
  }

  api.record = { read, keep, sheet, exported, instrument, usual, named };
})();
