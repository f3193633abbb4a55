"use strict";
// A sheet as the bench keeps it, and as it is handed on; its instruments.
(function () {
  const api = window.runningFits;

  api.loaded = { shared: /** @type {any} */ (null), engines: {} };

  /** Called by the data scripts. No table has words that nobody wrote, such as "constructor". @param {any} value */
  api.shared = (value) => {
    Object.values(value).filter((table) => table && !Array.isArray(table) && typeof table === "object").forEach((table) => Object.setPrototypeOf(table, null));
    api.loaded.shared = value;
  };
  /** @param {any} value */
  api.engine = (value) => {
    api.loaded.engines[value.engine] = value;
  };

  /** What the address says was chosen, else what the engine's page kept. @param {string} engine @returns {Record<string, string>} */
  function answers(engine) {
    const named = api.address.build(engine);
    if (Object.keys(named).length) {
      return named;
    }
    try {
      return JSON.parse(window.localStorage.getItem("running-fits/build/" + engine) || "{}") || {};
    } catch {
      return {};
    }
  }

  /** The model and the fitted parts that were chosen on the engine's page.
   * @param {any} engine @returns {Build} */
  function chosen(engine) {
    /** @type {Record<string, string>} */
    const found = answers(engine.engine);
    const parts = Object.entries(found).filter(([question, answer]) => (engine.questions[question] || []).includes(answer));
    const model = Object.hasOwn(engine.models, found.model) ? { model: found.model } : {};
    return parts.length ? { ...model, fitted: Object.fromEntries(parts) } : model;
  }

  /** A new sheet of an engine; `others` are the titles that are taken.
   * @param {any} engine @param {string[]} others @returns {Sheet} */
  function fresh(engine, others) {
    return {
      engine: engine.engine, title: untaken(engine.name, others), build: chosen(engine), stage: "found", serial: "", date: today(),
      checked_by: "", decision: "guarded", instruments: [], readings: [], torques: [],
    };
  }

  /** @param {string} title @param {string[]} others */
  function untaken(title, others) {
    let [found, number] = [title, 1];
    while (others.includes(found)) {
      number += 1;
      found = title + ", sheet " + number;
    }
    return found;
  }

  /** The day in the builder's own time zone. */
  function today() {
    const now = new Date();
    const two = (/** @type {number} */ n) => String(n).padStart(2, "0");
    return [now.getFullYear(), two(now.getMonth() + 1), two(now.getDate())].join("-");
  }

  /** A sheet for the next stage of the same engine: its build and its instruments, without readings.
   * @param {Sheet} sheet @param {string[]} others @returns {Sheet} */
  function following(sheet, others) {
    const { readings, torques, changed, ...rest } = JSON.parse(JSON.stringify(sheet));
    const stage = sheet.stage === "found" ? "machined" : "assembled";
    const [title] = (sheet.title || "").split(", " + NEXT.machined);
    return { ...rest, stage, title: untaken(title + ", " + NEXT[stage], others), date: today(), readings: [], torques: [] };
  }

  const NEXT = /** @type {Record<string, string>} */ ({ machined: "after machining", assembled: "assembled" });

  const OWN = ["changed", "kept", "fresh", "told"];

  /** The bench sheet to hand on: nothing of the page's own, no empty field, no instrument that nobody used.
   * @param {Sheet} kept @returns {any} */
  function exported(kept) {
    const lines = [...kept.readings, ...(kept.torques || [])];
    const direct = new Set(lines.map((r) => r.instrument));
    const set = kept.instruments.filter((t) => direct.has(t.id)).map((t) => t.set_on);
    const used = kept.instruments.filter((t) => !t.fresh || direct.has(t.id) || set.includes(t.id));
    const torques = (kept.torques || []).map(full);
    const { build, ...rest } = kept;
    return full({
      ...rest, build: Object.keys(build).length ? build : null, instruments: used.map(full), readings: kept.readings.map(noted),
      torques: torques.length ? torques : null,
    });
  }

  /** A reading to hand on; one that stands although it looks like a slip says so.
   * @param {Reading} reading */
  function noted({ kept = {}, ...reading }) {
    const said = Object.values(kept).map((words) => "kept as read: " + words);
    return full({ ...reading, note: [reading.note, ...said].filter(Boolean).join(". ").slice(0, 500) });
  }

  /** @param {Record<string, any>} line */
  const full = (line) =>
    Object.fromEntries(Object.entries(line).filter(([k, v]) => v !== "" && v !== null && v !== undefined && !OWN.includes(k)).map(([k, v]) =>
      [k, typeof v === "string" ? plain(v) : v]));
  /** @param {string} words */
  const plain = (words) => words.replace(/[\x00-\x08\x0b-\x1f\x7f-\x9f]/g, " ").trim().slice(0, 500);

  /** How many lines a sheet has, of readings and of tightening. @param {Sheet} sheet */
  const lines = (sheet) => sheet.readings.length + (sheet.torques || []).length;

  // instruments

  /** The scale of a class in a unit of length, or its own. @param {string} kind @param {string} unit */
  function scale(kind, unit) {
    const known = api.loaded.shared.instruments[kind];
    return unit === "in" && known.resolution_in ? { resolution: known.resolution_in, unit } : { resolution: known.resolution, unit: known.unit };
  }

  /** A new instrument of a class, its scale in a unit; its limit is left to its class.
   * @param {Sheet} kept @param {string} kind @param {string} unit @returns {Tool} */
  function instrument(kept, kind, unit) {
    const taken = new Set(kept.instruments.map((t) => t.id));
    let number = 1;
    while (taken.has(kind + "-" + number)) {
      number += 1;
    }
    const made = { id: kind + "-" + number, instrument: kind, ...scale(kind, unit), mpe: "", set_on: "", fresh: true };
    kept.instruments.push(made);
    return made;
  }

  /** The first instrument of a class on the sheet that reads in a unit, a new one where there is none.
   * @param {Sheet} kept @param {string} kind @param {string} unit @returns {Tool} */
  function usual(kept, kind, unit) {
    const wanted = scale(kind, unit).unit;
    const own = kept.instruments.filter((t) => t.instrument === kind);
    return own.find((t) => (t.unit || wanted) === wanted) || own.find((t) => t.unit === unit) || instrument(kept, kind, unit);
  }

  /** An instrument in words: its class, with a number where the sheet has several.
   * @param {string} id @param {Sheet} kept @returns {string} */
  function named(id, kept) {
    const own = kept.instruments.find((t) => t.id === id);
    if (!own || !Object.hasOwn(api.loaded.shared.instruments, own.instrument)) {
      return id;
    }
    const alike = kept.instruments.filter((t) => t.instrument === own.instrument);
    const number = alike.length > 1 ? " No. " + (alike.indexOf(own) + 1) : "";
    return api.loaded.shared.instruments[own.instrument].label + number;
  }

  api.record = { fresh, following, exported, lines, instrument, usual, named };
})();
