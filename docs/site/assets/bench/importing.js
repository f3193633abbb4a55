"use strict";
// A bench sheet that comes in as text: read as the command reads it, refused with every reason.
(function () {
  const api = window.runningFits;
  const { judge } = api;
  const LARGEST = 5_000_000;
  const fault = (/** @type {string} */ place, /** @type {string} */ found, /** @type {string} */ expected) => place + ": " + found + ", expected " + expected;
  const quoted = (/** @type {unknown} */ word) => JSON.stringify(word) ?? String(word);

  /** The sheet in a text, or why there is none. @param {string} text @returns {{sheet: any, faults: string[]}} */
  function parsed(text) {
    if (text.length > LARGEST) {
      return { sheet: null, faults: [fault("the file", "more than 5 MB", "a bench sheet")] };
    }
    let sheet = null;
    try {
      sheet = JSON.parse(text.replace(/^\uFEFF/, ""));
    } catch (error) {
      return { sheet, faults: [fault("the file", /** @type {Error} */ (error).message, "a bench sheet as JSON")] };
    }
    const twice = firstTwice(text);
    if (twice) {
      return { sheet: null, faults: [fault(twice, "the key again", "each key once")] };
    }
    const isSheet = sheet && typeof sheet === "object" && !Array.isArray(sheet);
    const known = isSheet && api.loaded.shared.engines.some((/** @type {any} */ e) => e.engine === sheet.engine);
    const lists = isSheet && ["instruments", "readings"].filter((name) => !Array.isArray(sheet[name]));
    const faults = !isSheet ? [fault("the file", "no bench sheet", "an object with engine, instruments and readings")]
      : [...(known ? [] : [fault("engine", quoted(sheet.engine), "an engine of the dataset, version " + api.loaded.shared.version)]),
        ...(lists || []).map((/** @type {any} */ name) => fault(name, quoted(sheet[name]) || "nothing", "a list"))];
    return { sheet, faults };
  }

  /** The first key that stands twice in an object of a text that is JSON, or nothing. @param {string} text @returns {string} */
  function firstTwice(text) {
    /** @type {(Set<string> | null)[]} */
    const at = [];
    const marks = text.matchAll(/"(?:[^"\\]|\\.)*"|[[\]{}]/g);
    for (const { 0: mark, index } of marks) {
      const own = at[at.length - 1];
      if (mark === "{" || mark === "[") {
        at.push(mark === "{" ? new Set() : null);
      } else if (mark === "}" || mark === "]") {
        at.pop();
      } else if (own && /^\s*:/.test(text.slice(index + mark.length, index + mark.length + 200))) {
        const key = JSON.parse(mark);
        if (own.has(key)) {
          return key;
        }
        own.add(key);
      }
    }
    return "";
  }

  /** Why a sheet cannot be used, its engine loaded; nothing where it can. @param {any} sheet @param {any} engine @returns {string[]} */
  function faults(sheet, engine) {
    const { shared } = api.loaded;
    const found = judge.check(sheet, engine, shared).faults.map((/** @type {any} */ f) => fault(f.place, f.found, f.expected));
    const torques = Array.isArray(sheet.torques) ? sheet.torques : [];
    const ids = new Set(sheet.instruments.map((/** @type {any} */ t) => t && t.id));
    return [...found, ...torques.flatMap((/** @type {any} */ line, /** @type {number} */ n) => ofTorque(line, "torques[" + n + "]", ids, shared))];
  }

  /** @param {any} line @param {string} at @param {Set<string>} ids @param {any} shared @returns {string[]} */
  function ofTorque(line, at, ids, shared) {
    if (!line || typeof line !== "object" || Array.isArray(line)) {
      return [fault(at, quoted(line), "a tightening step")];
    }
    const form = shared.form.torques;
    const missing = Object.keys(form).filter((name) => form[name].required && !Object.hasOwn(line, name));
    const odd = Object.keys(line).filter((name) => !Object.hasOwn(form, name) || !fits(line[name], form[name]));
    const found = [
      ...missing.map((name) => fault(at, "no " + name, "the field " + name)),
      ...odd.map((name) => fault(at + "." + name, quoted(line[name]), form[name] ? form[name].title : "one of " + Object.keys(form))),
    ];
    return found.length ? found : [
      ...(Object.hasOwn(shared.joints, line.joint) ? [] : [fault(at + ".joint", quoted(line.joint), "a joint of the dataset")]),
      ...(Object.hasOwn(shared.units, line.unit) ? [] : [fault(at + ".unit", quoted(line.unit), "a unit of the dataset")]),
      ...(ids.has(line.instrument) ? [] : [fault(at + ".instrument", quoted(line.instrument), "an instrument of this sheet")]),
    ];
  }

  /** @param {any} value @param {any} field */
  function fits(value, field) {
    if (field.type === "integer") {
      return Number.isInteger(value) && value >= field.minimum && value <= field.maximum;
    }
    const listed = !field.enum || field.enum.includes(value);
    const long = typeof value !== "string" || value.length > (field.maxLength || Infinity);
    return !long && listed && (!field.pattern || new RegExp(field.pattern, "u").test(value));
  }

  /** A sheet as the bench keeps it. @param {any} sheet @returns {Sheet} */
  function taken(sheet) {
    return { title: "", stage: "found", decision: "guarded", ...sheet, build: sheet.build || {}, torques: sheet.torques || [] };
  }

  api.importing = { parsed, faults, taken };
})();
