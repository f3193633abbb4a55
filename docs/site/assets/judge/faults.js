"use strict";
// Whether a sheet can be used: its form and its words; of a sheet that is at fault in form, only that is told. Mirrors
// sheet.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [places, builds] = ["places", "build"].map(part);
  const { fault, quoted, listed, ofUnit, ofTool, ofMeasuring } = part("tool_faults");
  const { ofForm, plainObject } = part("form_faults");
  const { ofBuild, ofSpread, ofDetails, named } = part("build_faults");
  const { ofTemperatures, ofRoom, ofFit, ofDirection, ofValue } = part("reading_faults");
  const { ofTorque } = part("torque_faults");
  const { ofParts } = part("part_sizes");

  /** The sheet without empty fields, and without lines that have no value yet. @param {any} sheet */
  function filled(sheet) {
    /** @param {any} line */
    const full = (line) => (plainObject(line) ? Object.fromEntries(Object.entries(line).filter(([, v]) => v !== "")) : line);
    if (!plainObject(sheet)) {
      return sheet;
    }
    const kept = full(sheet);
    for (const table of ["instruments", "readings", "torques", "parts"]) {
      if (Array.isArray(sheet[table])) {
        const told = { readings: "value", torques: "value", parts: "number" }[table];
        kept[table] = sheet[table].filter((line) => !told || !plainObject(line) || line[told] !== "").map(full);
      }
    }
    return kept;
  }

  /** Faults of a sheet's words and numbers. @param {any} sheet @param {Engine} engine @param {Shared} shared */
  function ofWords(sheet, engine, shared) {
    if (!engine || sheet.engine !== engine.engine) {
      return [fault("engine", quoted(sheet.engine), "the engine of the page")];
    }
    const tools = sheet.instruments.flatMap((/** @type {any} */ tool, /** @type {any} */ n) => ofTool(tool, n, sheet, shared));
    const ids = new Set(sheet.instruments.map((/** @type {any} */ t) => t.id));
    const readings = sheet.readings.flatMap((/** @type {any} */ raw, /** @type {any} */ n) => ofReading(raw, "readings[" + n + "]", ids, sheet, engine, shared));
    const torques = (sheet.torques || []).flatMap((/** @type {any} */ raw, /** @type {any} */ n) => ofTorque(raw, "torques[" + n + "]", sheet, engine, shared));
    const ofOne = ofBuild(sheet.build || {}, engine, shared);
    const build = ofOne.length ? ofOne : ofParts(sheet, shared);
    const honing = sheet.honing_unit === undefined ? [] : ofUnit(sheet.honing_unit, "length", "honing_unit", shared);
    const warm = ofTemperatures(sheet, shared);
    return [...build, ...warm, ...(warm.length ? [] : ofRoom(sheet)), ...honing, ...ofMaterials(sheet.materials || {}, shared), ...tools, ...readings, ...torques];
  }

  /** Materials that the dataset does not have, and sizes that it does not. @param {any} materials @param {Shared} shared */
  function ofMaterials(materials, shared) {
    return Object.entries(materials).flatMap(([size, name]) => {
      const known = Object.hasOwn(shared.quantities, size) && shared.quantities[size].kind === "size";
      const at = "materials." + size;
      const found = known ? [] : [fault(at, quoted(size), "a size of the dataset, such as piston-skirt-diameter")];
      return [...found, ...ofMaterial(name, at, shared)];
    });
  }

  /** @param {string} name @param {any} at @param {Shared} shared */
  const ofMaterial = (name, at, shared) =>
    (Object.hasOwn(shared.materials, name) ? [] : [fault(at, quoted(name), "one of " + Object.keys(shared.materials))]);

  /** @param {any} raw @param {any} at @param {any} ids @param {any} sheet @param {Engine} engine @param {Shared} shared */
  function ofReading(raw, at, ids, sheet, engine, shared) {
    const quantity = listed(shared.quantities, raw.item);
    if (!quantity) {
      return [fault(at + ".item", quoted(raw.item), "a quantity of the dataset")];
    }
    const found = ofUnit(raw.unit, quantity.dimension, at + ".unit", shared);
    if (!ids.has(raw.instrument)) {
      found.push(fault(at + ".instrument", quoted(raw.instrument), "an instrument of this sheet"));
    }
    const material = raw.material === undefined ? [] : ofMaterial(raw.material, at + ".material", shared);
    const where = ofPlace(raw, at, sheet, engine, shared);
    const spread = where.length ? [] : ofSpread(raw, at, sheet, engine, shared);
    const said = [...ofDetails(raw, at, shared), ...material];
    const read = [...ofDirection(raw, at, shared), ...ofMeasuring(raw, at, sheet, shared), ...ofValue(raw, at, quantity, sheet)];
    return [...found, ...where, ...spread, ...said, ...read, ...ofFit(raw, at, sheet, shared)];
  }

  /** @param {any} raw @param {any} at @param {any} sheet @param {Engine} engine @param {Shared} shared */
  function ofPlace(raw, at, sheet, engine, shared) {
    const place = places.split(raw.position);
    if (!place || (place.name && !named(place.name, shared))) {
      return [fault(at + ".position", quoted(raw.position), "a named place of the dataset")];
    }
    const column = shared.quantities[raw.item].count;
    const { model } = sheet.build || {};
    const most = column && builds.family(engine).count(column, model ? [model] : []);
    const over = place.number && most && place.number > most;
    return over ? [fault(at + ".position", "place " + place.number + " of " + most, "1 to " + most)] : [];
  }

  /** Faults of a sheet that was filled(). @param {any} sheet @param {Engine} engine @param {Shared} shared */
  function faults(sheet, engine, shared) {
    const form = ofForm(sheet, shared.form);
    return form.length ? form : ofWords(sheet, engine, shared);
  }

  const made = { filled, faults };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.faults = made;
  }
})();
