"use strict";
// Whether a sheet can be used: its form (from schema/sheet.json) and words. Mirrors sheet_form.py, sheet.py and
// build_faults.py; of a sheet that is at fault in form, only that is told.
(function () {
  const node = typeof module === "object" && module.exports;
  const exact = node ? require("./exact.js") : window.runningFits.exact;
  const places = node ? require("./places.js") : window.runningFits.places;
  const builds = node ? require("./build.js") : window.runningFits.build;
  const { celsius, measuredSize } = node ? require("./temperature.js") : window.runningFits.temperature;

  const fault = (place, found, expected) => ({ place, found, expected });
  const quoted = (value) => JSON.stringify(value);

  /** The sheet without empty fields, and without lines that have no value yet. */
  function filled(sheet) {
    const full = (line) => Object.fromEntries(Object.entries(line).filter(([, v]) => v !== ""));
    const kept = full(sheet);
    for (const table of ["instruments", "readings", "torques", "parts"]) {
      if (Array.isArray(sheet[table])) {
        const told = { readings: "value", torques: "value", parts: "number" }[table];
        kept[table] = sheet[table].filter((line) => !told || line[told] !== "").map(full);
      }
    }
    return kept;
  }

  /** Faults of a sheet's form, field by field. */
  function ofForm(sheet, form) {
    const found = ofFields(sheet, form.sheet, "");
    found.push(...ofBuildForm(sheet.build, form), ...ofMaterialsForm(sheet.materials, form));
    for (const table of ["instruments", "readings", "parts"]) {
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

  /** Faults of the build's form: words by question, sizes by machined part, each one or one a place. */
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
    const odd = listed.map((word, n) => [n, word]).filter(([, word]) => !fits(word, form.word));
    return [...found, ...odd.map(([n, word]) => fault("build.documents[" + n + "]", quoted(word), "a document"))];
  }

  const ofMaterialsForm = (materials, form) =>
    Object.entries(plainObject(materials) ? materials : {}).filter(([, name]) => !fits(name, form.material))
      .map(([size, name]) => fault("materials." + size, quoted(name), "a material"));

  const plainObject = (value) => typeof value === "object" && value !== null && !Array.isArray(value);

  /** Each answer with its path. */
  const answersOf = (answer, at) =>
    (plainObject(answer) ? Object.entries(answer).map(([place, word]) => [at + "." + place, word]) : [[at, answer]]);

  function fits(value, field) {
    if (field.type === "array") {
      return Array.isArray(value) && value.length <= field.maxItems;
    }
    if (field.type === "object") {
      return plainObject(value);
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
    const tools = sheet.instruments.flatMap((tool, n) => ofTool(tool, n, sheet, shared));
    const ids = new Set(sheet.instruments.map((t) => t.id));
    const readings = sheet.readings.flatMap((raw, n) => ofReading(raw, "readings[" + n + "]", ids, sheet, engine, shared));
    const build = ofBuild(sheet.build || {}, engine, shared);
    return [...build, ...ofTemperatures(sheet), ...ofMaterials(sheet.materials || {}, shared), ...tools, ...readings];
  }

  const [COLDEST, HOTTEST] = [-40, 100].map(exact.whole);

  const WARM_SHOP = exact.whole(40);

  /** Temperatures of parts and instruments that no shop has, and numbers without a unit that may be of either scale. */
  function ofTemperatures(sheet) {
    const own = ["part_temperature", "room_temperature"].map((name) => [name, sheet[name]]);
    const read = sheet.readings.map((raw, n) => ["readings[" + n + "].temperature", raw.temperature]);
    const odd = (text) => exact.less(celsius(text), COLDEST) || exact.less(HOTTEST, celsius(text));
    const bare = (text) => /[0-9]$/.test(text.trim()) && exact.less(WARM_SHOP, celsius(text));
    const words = (text) => (odd(text) ? "a temperature from -40 degC to 100 degC"
      : "its unit: " + text.trim() + " C or " + text.trim() + " F");
    return [...own, ...read].filter(([, text]) => text !== undefined && (odd(text) || bare(text)))
      .map(([at, text]) => fault(at, quoted(text), words(text)));
  }

  /** Materials that the dataset does not have, and sizes that it does not. */
  function ofMaterials(materials, shared) {
    return Object.entries(materials).flatMap(([size, name]) => {
      const known = Object.hasOwn(shared.quantities, size) && shared.quantities[size].kind === "size";
      const at = "materials." + size;
      const found = known ? [] : [fault(at, quoted(size), "a size of the dataset, such as piston-skirt-diameter")];
      return [...found, ...ofMaterial(name, at, shared)];
    });
  }

  const ofMaterial = (name, at, shared) =>
    (Object.hasOwn(shared.materials, name) ? [] : [fault(at, quoted(name), "one of " + Object.keys(shared.materials))]);

  /** Whatever a build names that is none of the engine's. */
  function ofBuild(build, engine, shared) {
    const family = builds.family(engine);
    const among = (path, word, words) => (words.includes(word) ? [] : [fault(path, quoted(word), "one of " + words)]);
    const model = build.model === undefined ? [] : among("build.model", build.model, [...family.names, builds.UNKNOWN]);
    const fitted = Object.entries(build.fitted || {}).flatMap(([question, answer]) => {
      const path = "build.fitted." + question;
      if (!Object.hasOwn(family.questions, question)) {
        return among(path, question, Object.keys(family.questions));
      }
      const words = [...family.questions[question], builds.OTHER, builds.UNKNOWN];
      return answersOf(answer, path).flatMap(([at, word]) =>
        [...among(at, word, words), ...(words.includes(word) ? against(at, question, word, build, family) : [])]);
    });
    const sizes = Object.entries(build.size || {}).flatMap(([part, given]) => ofSizes(part, given, shared));
    const documents = (build.documents || []).flatMap((source, n) =>
      among("build.documents[" + n + "]", source, Object.keys(engine.covers)));
    return [...model, ...fitted, ...sizes, ...ofPlaces(build, family, shared), ...documents];
  }

  /** An answer that contradicts what the model always has. */
  function against(path, question, word, build, family) {
    const model = build.model || family.onlyModel;
    const has = family.answers(model)[question];
    if (!has || word === has || word === builds.UNKNOWN) {
      return [];
    }
    const named = (w) => quoted(w) + " (" + family.label(question, w) + ")";
    return [fault(path, named(word), named(has) + ", which " + family.label(builds.MODEL, model) + " always has")];
  }

  function ofSizes(part, given, shared) {
    if (!Object.hasOwn(shared.repairs, part)) {
      return [fault("build.size." + part, quoted(part), "one of " + Object.keys(shared.repairs))];
    }
    const { sign, label } = shared.repairs[part];
    return answersOf(given, "build.size." + part).flatMap(([path, text]) => {
      const size = builds.sizeFrom(text);
      const wrong = builds.isSize(size) && !builds.isStandard(size) && (size.value.n > 0n) !== (sign === "plus");
      return wrong ? [fault(path, quoted(text), "a size " + (sign === "plus" ? "above" : "below") + " 0 for the " + label)] : [];
    });
  }

  /** Places of answers that are no place such as all, 3 or top-ring. */
  function ofPlaces(build, family, shared) {
    const model = family.names.includes(build.model) ? [build.model] : [];
    const most = (kind, question) => {
      const by = kind === "size" && (shared.repairs[question] || {}).count;
      return Math.max(...(by ? [by] : ["cylinders", "crankpins", "mains"]).map((c) => family.count(c, model) || 0));
    };
    const ofPlace = (path, place, last) => {
      if (/^[0-9]+$/.test(place)) {
        const fits = !last || (Number(place) >= 1 && Number(place) <= last);
        return fits ? [] : [fault(path, quoted(place), "a number from 1 to " + last)];
      }
      return named(place, shared) ? [] : [fault(path, quoted(place), "all, a number such as 3, or a named place")];
    };
    return ["fitted", "size"].flatMap((kind) => Object.entries(build[kind] || {}).flatMap(([question, answer]) =>
      (plainObject(answer) ? Object.keys(answer) : []).flatMap((place) =>
        ofPlace(["build", kind, question, place].join("."), place, most(kind, question)))));
  }

  const named = (name, shared) => Object.hasOwn(shared.positions, name) && shared.positions[name].place;

  const IN_UNIT = ["resolution", "mpe", "correction", "zero_shift", "range_from", "range_to"];

  const [BEST, WORST, FINEST, COARSEST, OFF] = [20, 10, 100, 20, 30];
  const part = (a, of) => exact.multiply(a, exact.fraction(1n, BigInt(of)));
  const fold = (a, by) => exact.multiply(a, exact.whole(by));

  /** Limit, step, correction and zero of an instrument that no instrument of its class has: a slip of digits or unit. */
  function ofNumbers(tool, known, at, shared) {
    const own = exact.parse(shared.units[tool.unit || known.unit].factor);
    const si = (text) => exact.multiply(exact.parse(text || "0"), exact.parse(shared.units[known.unit].factor));
    const [limit, step] = [si(known.mpe || known.usual), si(known.resolution || known.mpe)];
    const percent = exact.parse(known.mpe_percent || known.usual_percent || "0");
    const off = fold(limit.n === 0n ? step : limit, OFF);
    const bounds = [
      ["mpe", own, part(limit, BEST), fold(limit, WORST), "a limit"],
      ["mpe_percent", exact.whole(1), part(percent, BEST), fold(percent, WORST), "a limit"],
      ["resolution", own, part(step, FINEST), fold(step, COARSEST), "a step"],
      ["correction", own, exact.ZERO, off, "a correction"],
      ["zero_shift", own, exact.ZERO, off, "a shift"],
    ];
    return bounds.flatMap(([field, factor, least, most, words]) => {
      const value = tool[field] && exact.multiply(exact.absolute(exact.parse(tool[field])), factor);
      const fine = !value || most.n === 0n || !(exact.less(value, least) || exact.less(most, value));
      const shown = (end) => rough(exact.toNumber(end) / exact.toNumber(factor));
      const low = least.n === 0n ? "of at most " : "from " + shown(least) + " to ";
      const unit = field === "mpe_percent" ? "%" : tool.unit || known.unit;
      const expected = words + " of such instruments, " + low + shown(most) + " " + unit;
      return fine ? [] : [fault(at + "." + field, quoted(tool[field]), expected)];
    });
  }

  const ofLimits = (tool, known, at, sheet, shared) =>
    [...ofNumbers(tool, known, at, shared), ...ofPercent(tool, known, at, sheet, shared)];

  /** A limit in percent of an instrument that has one in its unit, or one in its unit too good for what was read. */
  function ofPercent(tool, known, at, sheet, shared) {
    const percent = known.mpe_percent || known.usual_percent;
    const found = [];
    if (tool.mpe_percent && !percent) {
      const expected = "no limit in percent: that of such instruments is in " + known.unit + ", under mpe";
      found.push(fault(at + ".mpe_percent", quoted(tool.mpe_percent), expected));
    }
    if (tool.mpe && percent) {
      const unit = tool.unit || known.unit;
      const largest = largestRead(tool.id, shared.units[unit].dimension, sheet, shared);
      const least = exact.divide(part(exact.multiply(exact.parse(percent), largest), 100 * BEST), exact.parse(shared.units[unit].factor));
      const words = "a limit of such instruments, at least " + rough(exact.toNumber(least)) + " " + unit + " at what was read with it";
      found.push(...(exact.less(exact.parse(tool.mpe), least) ? [fault(at + ".mpe", quoted(tool.mpe), words)] : []));
    }
    return found;
  }

  /** The largest that was read with an instrument, in SI units; 0 where nothing was. */
  function largestRead(id, dimension, sheet, shared) {
    const own = sheet.readings.filter((r) => r.instrument === id && (shared.units[r.unit] || {}).dimension === dimension);
    const si = (r) => exact.multiply(exact.absolute(exact.parse(r.value)), exact.parse(shared.units[r.unit].factor));
    return exact.largest([exact.ZERO, ...own.map(si)]);
  }

  /** Faults of what an instrument was set on: none of the sheet, nothing to set on, itself in the end. */
  function ofSetting(tool, known, at, sheet, shared) {
    const base = sheet.instruments.find((t) => t.id === tool.set_on);
    if (!tool.set_on) {
      return [];
    }
    if (!base || base === tool) {
      return [fault(at, quoted(tool.set_on), "another instrument of this sheet")];
    }
    const own = shared.instruments[base.instrument];
    const dimension = ({ unit }) => shared.units[unit].dimension;
    if (own && (own.sets !== "yes" || dimension(own) !== dimension(known))) {
      return [fault(at, quoted(base.id) + " (" + own.label + ")", "what a " + known.label + " can be set on")];
    }
    if (!known.measures) {
      return [fault(at, quoted(base.id), "nothing: a " + known.label + " is a standard itself")];
    }
    const round = inACircle(tool, sheet);
    return round ? [fault(at, quoted(base.id), "an instrument that was not set on this one in turn")] : [];
  }

  function inACircle(tool, sheet) {
    const seen = new Set();
    let next = tool;
    while (next && !seen.has(next.id)) {
      seen.add(next.id);
      next = sheet.instruments.find((t) => t.id === (next.set_on || ""));
    }
    return Boolean(next);
  }

  /** Faults of a reading that its instrument cannot give, or of a part that its quantity does not have. */
  function ofMeasuring(raw, at, sheet, shared) {
    const own = shared.quantities[measuredSize(raw, shared) || raw.item];
    const [usual, tool] = [shared.instruments[own.instrument], sheet.instruments.find((t) => t.id === raw.instrument)];
    const known = tool && shared.instruments[tool.instrument];
    const [other, words] = [{ bore: "shaft", shaft: "bore" }[raw.part] || "", usual.measures.split(" ")];
    if (own.kind !== "clearance" && words.includes(other) && !words.includes(raw.part)) {
      return [fault(at + ".part", quoted(raw.part), quoted(other) + ": " + own.label.toLowerCase() + " is measured as that")];
    }
    const thing = own.dimension === "length" ? raw.part : own.dimension;
    const wrong = known && !measures(known, thing, own, usual);
    const found = quoted(raw.instrument) + " (" + (known || {}).label + ")";
    return wrong ? [fault(at + ".instrument", found, "an instrument that measures a " + thing)] : [];
  }

  /** Whether an instrument can give a reading of a thing: by what it measures, or as the usual one of a quantity. */
  function measures(known, thing, quantity, usual) {
    const words = known.measures.split(" ");
    if (quantity.dimension === "count" || words.includes(thing)) {
      return true;
    }
    if (quantity.kind === "clearance" || quantity.dimension !== "length") {
      return false;
    }
    return known.kind === usual.kind || (words.includes("height") && usual.measures.split(" ").includes("height"));
  }

  /** Two digits of a number, without an exponent. */
  const rough = (x) => String(Number(Number(x.toPrecision(2)).toFixed(7)));

  function ofTool(tool, n, sheet, shared) {
    const at = "instruments[" + n + "]";
    const again = sheet.instruments.findIndex((t) => t.id === tool.id) < n;
    const found = again ? [fault(at + ".id", quoted(tool.id) + " again", "each instrument once")] : [];
    const known = shared.instruments[tool.instrument];
    if (!known) {
      return [...found, fault(at + ".instrument", quoted(tool.instrument), "a class of the dataset")];
    }
    if (!tool.unit && IN_UNIT.some((k) => tool[k])) {
      found.push(fault(at, "no unit for " + tool.id, "the unit of resolution, limit and shift"));
    } else {
      const wrong = ofUnit(tool.unit || known.unit, shared.units[known.unit].dimension, at + ".unit", shared);
      found.push(...(wrong.length ? wrong : ofLimits(tool, known, at, sheet, shared)));
    }
    return [...found, ...ofSetting(tool, known, at + ".set_on", sheet, shared)];
  }

  function ofUnit(unit, dimension, place, shared) {
    const known = Object.hasOwn(shared.units, unit) && shared.units[unit].dimension === dimension;
    return known ? [] : [fault(place, quoted(unit), "a unit of " + dimension)];
  }

  function ofReading(raw, at, ids, sheet, engine, shared) {
    const quantity = shared.quantities[raw.item];
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
    return [...found, ...where, ...spread, ...ofDetails(raw, at, shared), ...material, ...ofMeasuring(raw, at, sheet, shared), ...ofValue(raw, at, quantity, sheet)];
  }

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

  /** A reading for all places where the build differs by place in what its rows depend on. */
  function ofSpread(raw, at, sheet, engine, shared) {
    if (places.split(raw.position).number || !shared.quantities[raw.item].count) {
      return [];
    }
    const build = builds.parsed(sheet.build);
    const uneven = (given) => Object.keys(given).filter((name) => builds.uneven(given[name]));
    const items = judgedBy(raw.item, shared);
    const family = builds.family(engine);
    const asked = new Set(engine.rows.filter((r) => items.includes(r.cells.quantity))
      .flatMap((r) => Object.keys(family.speaks(r).parts)));
    const parts = items.map((i) => shared.quantities[i].repair);
    const differing = [
      ...uneven(build.fitted).filter((q) => asked.has(q)).map((q) => q.replaceAll("-", " ")),
      ...uneven(build.size).filter((p) => parts.includes(p)).map((p) => "size of the " + shared.repairs[p].label),
    ];
    const words = "a place such as 1: the " + differing.sort().join(" and the ") + " is not the same at every place";
    return differing.length ? [fault(at + ".position", quoted(raw.position), words)] : [];
  }

  /** An item with what else its readings judge: its sizes, and their forms. */
  function judgedBy(item, shared) {
    const sizes = [item, ...shared.quantities[item].outer, ...shared.quantities[item].inner];
    const forms = Object.keys(shared.quantities).filter((q) => shared.quantities[q].of.some((s) => sizes.includes(s)));
    return [...sizes, ...forms];
  }

  /** Faults of what a reading says of its row: a word that is in no closed list, a number without its unit. */
  function ofDetails(raw, at, shared) {
    const tables = { which: shared.positions, state: shared.states, method: shared.methods };
    const found = Object.keys(tables).filter((c) => raw[c] !== undefined && raw[c] !== NONE && !Object.hasOwn(tables[c], raw[c]))
      .map((c) => fault(at + "." + c, quoted(raw[c]), "a word of the dataset"));
    if (raw.at !== undefined && raw.at !== NONE) {
      const [number, unit] = raw.at.split(" ");
      const odd = [!exact.NUMBER.test(number), !Object.hasOwn(shared.units, unit)].filter(Boolean);
      found.push(...odd.map(() => fault(at + ".at", quoted(raw.at), "a number and its unit, such as 2.07 in")));
    }
    return found;
  }

  const NONE = "none";
  const PLAY = ["gap", "end-play", "backlash", "clearance", "lash"];

  /** Whether a direct reading of that kind cannot be negative; a protrusion or a form can. */
  const neverNegative = (kind, part) => part === "strip" || (part === "gap" && PLAY.includes(kind));

  const AMOUNTS = ["form", "size", "spring", "force", "torque", "mass"];
  const SWINGS = ["cross-difference", "end-difference", "neighbour-difference", "spread"];

  /** Whether a reading may be one of several of which a form is the difference, on both sides of a dial's zero. */
  function swings(raw, { kind, method }, sheet) {
    const same = sheet.readings.filter((r) => ["item", "position", "part"].every((k) => r[k] === raw[k]));
    return kind === "form" && SWINGS.includes(method) && same.length > 1;
  }

  function ofValue(raw, at, quantity, sheet) {
    const value = exact.parse(raw.value);
    const found = [];
    if (neverNegative(quantity.kind, raw.part) && value.n < 0n) {
      found.push(fault(at + ".value", quoted(raw.value), "a gap or play of 0 or more"));
    } else if (["bore", "shaft"].includes(raw.part) && value.n <= 0n) {
      found.push(fault(at + ".value", quoted(raw.value), "a size above 0"));
    } else if (AMOUNTS.includes(quantity.kind) && value.n < 0n && !swings(raw, quantity, sheet)) {
      const words = "0 or more: " + quantity.label.toLowerCase() + " is an amount without a sign";
      found.push(fault(at + ".value", quoted(raw.value), words));
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
