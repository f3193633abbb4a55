"use strict";
// Faults of a sheet's form, field by field (from schema/sheet.json). Mirrors sheet_form.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const { fault, quoted } = part("tool_faults");

  /** Faults of a sheet's form, field by field. @param {any} sheet @param {any} form */
  function ofForm(sheet, form) {
    if (!plainObject(sheet)) {
      return [fault("sheet", quoted(sheet), "an object")];
    }
    const found = ofFields(sheet, form.sheet, "");
    found.push(...ofBuildForm(sheet.build, form), ...ofMaterialsForm(sheet.materials, form));
    for (const table of ["instruments", "readings", "torques", "parts"]) {
      const lines = Array.isArray(sheet[table]) ? sheet[table] : [];
      lines.forEach((line, n) => found.push(...ofFields(line, form[table], table + "[" + n + "]")));
    }
    return found;
  }

  /** @param {any} line @param {any} fields @param {any} at */
  function ofFields(line, fields, at) {
    if (!plainObject(line)) {
      return [fault(at, quoted(line), "an object")];
    }
    const missing = Object.keys(fields).filter((f) => fields[f].required && !Object.hasOwn(line, f));
    /** @param {string} name */
    const place = (name) => (at ? at + "." + name : name);
    const found = missing.length ? [fault(at || "sheet", "no " + missing.join(", "), "the field " + missing)] : [];
    for (const name of Object.keys(line)) {
      if (!Object.hasOwn(fields, name)) {
        found.push(fault(place(name), "the unknown field " + quoted(name), "one of " + Object.keys(fields)));
      } else if (!fits(line[name], fields[name])) {
        found.push(fault(place(name), quoted(line[name]), wanted(line[name], fields[name])));
      }
    }
    return found;
  }

  /** What a field holds instead of a value: of a number with its slip, else by its title. @param {any} value @param {any} field */
  function wanted(value, field) {
    if (typeof value === "number" && fits(String(value), field)) {
      return "text, written as text: " + quoted(String(value));
    }
    const pointed = typeof value === "string" && /^-?\d+,\d+$/.test(value) && fits(value.replace(",", "."), field);
    return pointed ? "a plain number such as 0.0015; write a decimal point, not a comma" : field.title;
  }

  /** Faults of the build's form: words by question, sizes by machined part, each one or one a place.
   * @param {any} build @param {any} form */
  function ofBuildForm(build, form) {
    if (build === undefined || !plainObject(build)) {
      return [];
    }
    const found = ofFields(build, form.build, "build");
    for (const [kind, field] of [["fitted", form.word], ["size", form.size]]) {
      for (const [name, answer] of Object.entries(plainObject(build[kind]) ? build[kind] : {})) {
        const at = "build." + kind + "." + name;
        answersOf(answer, at).filter(([, word]) => !fits(word, field))
          .forEach(([path, word]) => found.push(fault(path, quoted(word), "a word, or one a place")));
      }
    }
    const listed = Array.isArray(build.documents) ? build.documents : [];
    const odd = listed.map((/** @type {string} */ word, /** @type {any} */ n) => [n, word]).filter((/** @type {any} */ [, word]) => !fits(word, form.word));
    return [...found, ...odd.map((/** @type {any} */ [n, word]) => fault("build.documents[" + n + "]", quoted(word), "a document"))];
  }

  /** @param {any} materials @param {any} form */
  const ofMaterialsForm = (materials, form) =>
    Object.entries(plainObject(materials) ? materials : {}).filter(([, name]) => !fits(name, form.material))
      .map(([size, name]) => fault("materials." + size, quoted(name), "a material"));

  /** @param {any} value */
  const plainObject = (value) => typeof value === "object" && value !== null && !Array.isArray(value);

  /** Each answer with its path. @param {any} answer @param {any} at */
  const answersOf = (answer, at) =>
    (plainObject(answer) ? Object.entries(answer).map(([place, word]) => [at + "." + place, word]) : [[at, answer]]);

  /** @param {any} value @param {any} field */
  function fits(value, field) {
    if (field.type === "array") {
      return Array.isArray(value) && value.length <= field.maxItems;
    }
    if (field.type === "object") {
      return plainObject(value);
    }
    if (field.type === "integer") {
      return Number.isInteger(value) && value >= field.minimum && value <= field.maximum;
    }
    const odd = typeof value !== "string" || /[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]/.test(value);
    const long = odd || value.length < (field.minLength || 0) || value.length > (field.maxLength || Infinity);
    const listed = !field.enum || field.enum.includes(value);
    return !long && listed && (!field.pattern || new RegExp(field.pattern, "u").test(value));
  }

  const made = { ofForm, plainObject, answersOf };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.form_faults = made;
  }
})();
