"use strict";
// Whether a sheet can be used: its form (from schema/sheet.json) and words. Mirrors sheet_form.py and sheet.py; of a
// sheet that is at fault in form, only that is told.
(function () {
  const node = typeof module === "object" && module.exports;
  const exact = node ? require("./exact.js") : window.runningFits.exact;
  const rows = node ? require("./rows.js") : window.runningFits.rows;

  const fault = (place, found, expected) => ({ place, found, expected });
  const quoted = (value) => JSON.stringify(value);

  /** The sheet without empty fields, and without lines that have no value yet. */
  function filled(sheet) {
    const full = (line) => Object.fromEntries(Object.entries(line).filter(([, v]) => v !== ""));
    const kept = full(sheet);
    for (const table of ["instruments", "readings", "torques"]) {
      if (Array.isArray(sheet[table])) {
        kept[table] = sheet[table].filter((l) => table === "instruments" || l.value !== "").map(full);
      }
    }
    return kept;
  }

  /** Faults of a sheet's form, field by field. */
  function ofForm(sheet, form) {
    const found = ofFields(sheet, form.sheet, "");
    for (const table of ["instruments", "readings"]) {
      const lines = Array.isArray(sheet[table]) ? sheet[table] : [];
      lines.forEach((line, n) => found.push(...ofFields(line, form[table], table + "[" + n + "]")));
    }
    return found;
  }

  function ofFields(line, fields, at) {
    const missing = Object.keys(fields).filter((f) => fields[f].required && !Object.hasOwn(line, f));
    const place = (name) => (at ? at + "." + name : name);
    const found = missing.length ? [fault(at || "sheet", "no " + missing.join(", "), "the field " + missing)] : [];
    for (const name of Object.keys(line)) {
      if (!Object.hasOwn(fields, name)) {
        found.push(fault(place(name), "the unknown field " + quoted(name), "one of " + Object.keys(fields)));
      } else if (!fits(line[name], fields[name])) {
        found.push(fault(place(name), quoted(line[name]), fields[name].title));
      }
    }
    return found;
  }

  function fits(value, field) {
    if (field.type === "array") {
      return Array.isArray(value) && value.length <= field.maxItems;
    }
    const odd = typeof value !== "string" || /[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]/.test(value);
    const long = odd || value.length < (field.minLength || 0) || value.length > (field.maxLength || Infinity);
    const listed = !field.enum || field.enum.includes(value);
    return !long && listed && (!field.pattern || new RegExp(field.pattern, "u").test(value));
  }

  /** Faults of a sheet's words and numbers. */
  function ofWords(sheet, engine, shared) {
    if (!engine || sheet.engine !== engine.engine) {
      return [fault("engine", quoted(sheet.engine), "the engine of the page")];
    }
    const found = sheet.instruments.flatMap((tool, n) => ofTool(tool, n, sheet, shared));
    const ids = new Set(sheet.instruments.map((t) => t.id));
    return [...found, ...sheet.readings.flatMap((raw, n) => ofReading(raw, "readings[" + n + "]", ids, engine, shared))];
  }

  const IN_UNIT = ["resolution", "mpe", "zero_shift", "range_from", "range_to"];

  function ofTool(tool, n, sheet, shared) {
    const at = "instruments[" + n + "]";
    const again = sheet.instruments.findIndex((t) => t.id === tool.id) < n;
    const found = again ? [fault(at + ".id", quoted(tool.id) + " again", "each instrument once")] : [];
    const known = shared.instruments[tool.instrument];
    if (!known) {
      return [...found, fault(at + ".instrument", quoted(tool.instrument), "a class of the dataset")];
    }
    if (used(sheet).has(tool.id) && !["mpe", "mpe_percent"].some((k) => tool[k] || known[k])) {
      found.push(fault(at, "no limit of error for " + tool.id, "mpe: no published limit is known for its class"));
    }
    if (!tool.unit && IN_UNIT.some((k) => tool[k])) {
      found.push(fault(at, "no unit for " + tool.id, "the unit of resolution, limit and shift"));
    } else if (tool.unit) {
      found.push(...ofUnit(tool.unit, shared.units[known.unit].dimension, at + ".unit", shared));
    }
    if (tool.set_on && (tool.set_on === tool.id || !sheet.instruments.some((t) => t.id === tool.set_on))) {
      found.push(fault(at + ".set_on", quoted(tool.set_on), "another instrument of this sheet"));
    }
    return found;
  }

  /** Instruments that readings were taken with, and those that they were set on. */
  function used(sheet) {
    const direct = new Set(sheet.readings.map((r) => r.instrument));
    const set = sheet.instruments.filter((t) => direct.has(t.id) && t.set_on).map((t) => t.set_on);
    return new Set([...direct, ...set]);
  }

  function ofUnit(unit, dimension, place, shared) {
    const known = Object.hasOwn(shared.units, unit) && shared.units[unit].dimension === dimension;
    return known ? [] : [fault(place, quoted(unit), "a unit of " + dimension)];
  }

  function ofReading(raw, at, ids, engine, shared) {
    const quantity = shared.quantities[raw.item];
    if (!quantity) {
      return [fault(at + ".item", quoted(raw.item), "a quantity of the dataset")];
    }
    const found = ofUnit(raw.unit, quantity.dimension, at + ".unit", shared);
    if (!ids.has(raw.instrument)) {
      found.push(fault(at + ".instrument", quoted(raw.instrument), "an instrument of this sheet"));
    }
    return [...found, ...ofPlace(raw, at, engine, shared), ...ofValue(raw, at, quantity)];
  }

  function ofPlace(raw, at, engine, shared) {
    const place = rows.split(raw.position);
    const most = rows.count(raw.item, engine, shared);
    if (!place || (place.name && !Object.hasOwn(shared.positions, place.name))) {
      return [fault(at + ".position", quoted(raw.position), "a named place of the dataset")];
    }
    const over = place.number && most && place.number > most;
    return over ? [fault(at + ".position", "place " + place.number + " of " + most, "1 to " + most)] : [];
  }

  const PLAY = ["gap", "end-play", "backlash", "clearance", "lash"];

  /** Whether a direct reading of that kind cannot be negative; a protrusion or a form can. */
  const neverNegative = (kind, part) => part === "strip" || (part === "gap" && PLAY.includes(kind));

  function ofValue(raw, at, quantity) {
    const value = exact.parse(raw.value);
    const found = [];
    if (neverNegative(quantity.kind, raw.part) && value.n < 0n) {
      found.push(fault(at + ".value", quoted(raw.value), "a gap or play of 0 or more"));
    }
    if (["bore", "shaft"].includes(raw.part) && value.n <= 0n) {
      found.push(fault(at + ".value", quoted(raw.value), "a size above 0"));
    }
    if (raw.to !== undefined && !exact.less(value, exact.parse(raw.to))) {
      found.push(fault(at + ".to", quoted(raw.to), "more than the value"));
    }
    return found;
  }

  /** Faults of a sheet that was filled(). */
  function faults(sheet, engine, shared) {
    const form = ofForm(sheet, shared.form);
    return form.length ? form : ofWords(sheet, engine, shared);
  }

  const made = { filled, faults, neverNegative };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.faults = made;
  }
})();
