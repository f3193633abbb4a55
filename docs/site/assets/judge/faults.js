"use strict";
// Whether a sheet can be used: its form (from schema/sheet.json) and words. Mirrors sheet_form.py, sheet.py,
// reading_faults.py and build_faults.py; of a sheet that is at fault in form, only that is told.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, places, builds] = ["exact", "places", "build"].map(part);
  const { celsius, kelvin, measuredSize } = part("temperature");
  const { fault, quoted, listed, ofUnit, ofTool, ofMeasuring } = part("tool_faults");
  const { ofTorque } = part("torque_faults");

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

  /** Faults of a sheet's words and numbers. @param {any} sheet @param {Engine} engine @param {Shared} shared */
  function ofWords(sheet, engine, shared) {
    if (!engine || sheet.engine !== engine.engine) {
      return [fault("engine", quoted(sheet.engine), "the engine of the page")];
    }
    const tools = sheet.instruments.flatMap((/** @type {any} */ tool, /** @type {any} */ n) => ofTool(tool, n, sheet, shared));
    const ids = new Set(sheet.instruments.map((/** @type {any} */ t) => t.id));
    const readings = sheet.readings.flatMap((/** @type {any} */ raw, /** @type {any} */ n) => ofReading(raw, "readings[" + n + "]", ids, sheet, engine, shared));
    const torques = (sheet.torques || []).flatMap((/** @type {any} */ raw, /** @type {any} */ n) => ofTorque(raw, "torques[" + n + "]", sheet, engine, shared));
    const build = ofBuild(sheet.build || {}, engine, shared);
    const honing = sheet.honing_unit === undefined ? [] : ofUnit(sheet.honing_unit, "length", "honing_unit", shared);
    const warm = ofTemperatures(sheet, shared);
    return [...build, ...warm, ...(warm.length ? [] : ofRoom(sheet)), ...honing, ...ofMaterials(sheet.materials || {}, shared), ...tools, ...readings, ...torques];
  }

  const [COLDEST, HOTTEST, FARTHEST_APART] = [-40, 100, 50].map(exact.whole);

  const WARM_SHOP = exact.whole(40);

  /** Temperatures that no shop has, or that may be of either scale, a spread beyond reason. @param {any} sheet @param {Shared} shared */
  function ofTemperatures(sheet, shared) {
    const own = ["part_temperature", "room_temperature"].map((name) => [name, sheet[name]]);
    const read = sheet.readings.map((/** @type {any} */ raw, /** @type {any} */ n) => ["readings[" + n + "].temperature", raw.temperature]);
    /** @param {string} text */
    const odd = (text) => exact.less(celsius(text), COLDEST) || exact.less(HOTTEST, celsius(text));
    /** @param {string} text */
    const bare = (text) => /[0-9]$/.test(text.trim()) && exact.less(WARM_SHOP, celsius(text));
    const warm = [...own, ...read].filter(([, text]) => text !== undefined).every(([, text]) => mayBeOtherScale(text));
    /** @param {any} at @param {string} text */
    const asked = (at, text) => mayBeOtherScale(text) && (at === "room_temperature" || warm);
    /** @param {any} at @param {string} text */
    const words = (at, text) => (odd(text) ? "a temperature from -40 degC to 100 degC"
      : bare(text) ? "its unit: " + text.trim() + " C or " + text.trim() + " F" : whichScale(at, text));
    const found = [...own, ...read].filter(([at, text]) => text !== undefined && (odd(text) || bare(text) || asked(at, text)))
      .map(([at, text]) => fault(at, quoted(text), words(at, text)));
    const spread = kelvin(sheet.temperature_spread || "0 K", shared);
    const far = exact.less(spread, exact.ZERO) || exact.less(FARTHEST_APART, spread);
    const expected = "a difference from 0 K to 50 K";
    return far ? [...found, fault("temperature_spread", quoted(sheet.temperature_spread), expected)] : found;
  }

  const ROOM_APART = exact.whole(30);

  /** Faults of temperatures of bores and shafts that are far from that of the instruments. @param {any} sheet */
  function ofRoom({ room_temperature: room, part_temperature: part, readings }) {
    const twenty = exact.whole(20);
    const everywhere = part === undefined ? "20 degC" : part;
    const half = exact.divide(exact.add(celsius(everywhere), twenty), exact.whole(2));
    const middle = room === undefined ? half : celsius(room);
    const told = room === undefined ? "taken to be half way from the parts to 20 C: say room_temperature" : "at " + room;
    const found = new Map();
    readings.forEach((/** @type {any} */ { part: side, temperature }, /** @type {number} */ n) => {
      const off = exact.absolute(exact.subtract(celsius(temperature || everywhere), middle));
      if (["bore", "shaft"].includes(side) && exact.less(ROOM_APART, off)) {
        const said = part === undefined ? ["room_temperature", room] : ["part_temperature", part];
        const [at, text] = temperature ? ["readings[" + n + "].temperature", temperature] : said;
        found.set(at, text);
      }
    });
    return [...found].map(([at, text]) =>
      fault(at, quoted(text), "at most 30 K between parts and instruments, which were " + told));
  }

  const ORDINARY = [-10, 45].map(exact.whole);
  /** @param {any} degrees */
  const isOrdinary = (degrees) => !exact.less(degrees, ORDINARY[0]) && !exact.less(ORDINARY[1], degrees);

  /** Whether a temperature may be in the other scale: no shop is so warm or cold. One in kelvin is meant as it is.
   * @param {string} text */
  const mayBeOtherScale = (text) => !text.trim().endsWith("K") && !isOrdinary(celsius(text));

  /** What to write for the other scale, and for a temperature that is meant as it stands. @param {any} at @param {string} text */
  function whichScale(at, text) {
    const number = text.replace(/[^0-9.,+-]/g, "");
    const [own, other] = /[Ff]$/.test(text.trim()) ? ["F", "C"] : ["C", "F"];
    const [here, there] = [own, other].map((scale) => celsius(number + " " + scale));
    /** @param {any} degrees @param {any} scale */
    const inScale = (degrees, scale) => {
      const plain = exact.toNumber(degrees);
      return Math.round(scale === "C" ? plain : plain * 1.8 + 32) + " °" + scale;
    };
    const slip = isOrdinary(there) ? number + " " + other + ", which is " + inScale(there, own) + ", or " : "";
    const kept = (exact.toNumber(here) + 273.15).toFixed(2) + " K if it was " + number + " °" + own + " ("
      + inScale(here, other) + ") indeed";
    return slip + kept + (at === "room_temperature" ? "" : ", or that of the room too if only the parts were so");
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

  /** Whatever a build names that is none of the engine's. @param {any} build @param {Engine} engine @param {Shared} shared */
  function ofBuild(build, engine, shared) {
    const family = builds.family(engine);
    /** @param {string} path @param {string} word @param {string[]} words */
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
    const documents = (build.documents || []).flatMap((/** @type {string} */ source, /** @type {any} */ n) =>
      among("build.documents[" + n + "]", source, Object.keys(engine.covers)));
    return [...model, ...fitted, ...sizes, ...ofPlaces(build, family, shared), ...documents];
  }

  /** An answer that contradicts what the model always has.
   * @param {any} path @param {string} question @param {string} word @param {any} build @param {any} family */
  function against(path, question, word, build, family) {
    const model = build.model || family.onlyModel;
    const has = family.answers(model)[question];
    if (!has || word === has || word === builds.UNKNOWN) {
      return [];
    }
    /** @param {any} w */
    const named = (w) => quoted(w) + " (" + family.label(question, w) + ")";
    return [fault(path, named(word), named(has) + ", which " + family.label(builds.MODEL, model) + " always has")];
  }

  /** @param {any} part @param {any} given @param {Shared} shared */
  function ofSizes(part, given, shared) {
    if (!Object.hasOwn(shared.repairs, part)) {
      return [fault("build.size." + part, quoted(part), "one of " + Object.keys(shared.repairs))];
    }
    const { sign, label, most } = shared.repairs[part];
    const limit = exact.multiply(exact.parse(most), exact.parse("1/1000"));
    return answersOf(given, "build.size." + part).flatMap(([path, text]) => {
      const size = builds.sizeFrom(text);
      if (!builds.isSize(size) || builds.isStandard(size)) {
        return [];
      }
      if ((size.value.n > 0n) !== (sign === "plus")) {
        return [fault(path, quoted(text), "a size " + (sign === "plus" ? "above" : "below") + " 0 for the " + label)];
      }
      const amount = exact.multiply(exact.absolute(size.value), exact.parse(shared.units[size.unit].factor));
      const expected = "a repair size of the " + label + ", at most " + most + " mm either way";
      return exact.less(limit, amount) ? [fault(path, quoted(text), expected)] : [];
    });
  }

  /** Places of answers that are no place such as all, 3 or top-ring. @param {any} build @param {any} family @param {Shared} shared */
  function ofPlaces(build, family, shared) {
    const model = family.names.includes(build.model) ? [build.model] : [];
    /** @param {any} kind @param {string} question */
    const most = (kind, question) => {
      const by = kind === "size" && (shared.repairs[question] || {}).count;
      return Math.max(...(by ? [by] : ["cylinders", "crankpins", "mains"]).map((c) => family.count(c, model) || 0));
    };
    /** @param {any} path @param {string} place @param {any} last */
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

  /** @param {string} name @param {Shared} shared */
  const named = (name, shared) => Object.hasOwn(shared.positions, name) && shared.positions[name].place;

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

  const SHORTEST = 4;

  /** The fault of a direction that is a known one but for a letter; other words are taken, and prove nothing.
   * @param {any} raw @param {string} at @param {Shared} shared @returns {any[]} */
  function ofDirection({ direction: told = "" }, at, { directions }) {
    const known = told.length < SHORTEST || Object.hasOwn(directions, told) ? [] : Object.keys(directions).sort();
    const near = known.find((word) => word.length >= SHORTEST && isOneOff(told, word));
    return near ? [fault(at + ".direction", quoted(told), "a direction of the list, perhaps " + near)] : [];
  }

  /** Whether two words differ by a letter that is more, less or another, or by two letters that changed places.
   * @param {string} one @param {string} other */
  function isOneOff(one, other) {
    const same = [...one].findIndex((letter, n) => letter !== other[n]);
    const [a, b] = [one, other].map((word) => (same < 0 ? word.slice(one.length) : word.slice(same)));
    const swapped = a.slice(0, 2) === b[1] + b[0] && a.slice(2) === b.slice(2);
    return a.slice(1) === b || a === b.slice(1) || a.slice(1) === b.slice(1) || swapped;
  }

  const FIT_APART = exact.whole(30);

  /** The fault of a reading whose part was far warmer or colder than the other part of its fit.
   * @param {any} raw @param {any} at @param {any} sheet @param {Shared} shared */
  function ofFit(raw, at, sheet, shared) {
    /** @param {any} other */
    const told = (other) => other.temperature || sheet.part_temperature;
    /** @param {string} text */
    const off = (text) => exact.absolute(exact.subtract(celsius(text), celsius(raw.temperature)));
    /** @param {any} other */
    const isFar = (other) => told(other) && isMate(raw, other, shared) && exact.less(FIT_APART, off(told(other)));
    const other = raw.temperature && sheet.readings.find(isFar);
    const words = other && "at most 30 K from the " + other.part + " of its fit, which was at " + told(other);
    return other ? [fault(at + ".temperature", quoted(raw.temperature), words)] : [];
  }

  /** @param {any} one @param {any} other @param {Shared} shared */
  function isMate(one, other, shared) {
    if (one.position !== other.position || !Object.hasOwn(shared.quantities, other.item)) {
      return false;
    }
    const [a, b] = [one, other].map((raw) => measuredSize(raw, shared));
    return Object.values(shared.quantities).some(({ outer, inner }) =>
      (outer.includes(a) && inner.includes(b)) || (inner.includes(a) && outer.includes(b)));
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

  /** A reading for all places where the build differs by place in what its rows depend on.
   * @param {any} raw @param {any} at @param {any} sheet @param {Engine} engine @param {Shared} shared */
  function ofSpread(raw, at, sheet, engine, shared) {
    if (places.split(raw.position).number || !shared.quantities[raw.item].count) {
      return [];
    }
    const build = builds.parsed(sheet.build);
    /** @param {any} given */
    const uneven = (given) => Object.keys(given).filter((name) => builds.uneven(given[name]));
    const items = judgedBy(raw.item, shared);
    const family = builds.family(engine);
    const asked = new Set(engine.rows.filter((/** @type {any} */ r) => items.includes(r.cells.quantity))
      .flatMap((/** @type {any} */ r) => Object.keys(family.speaks(r).parts)));
    const parts = items.map((i) => shared.quantities[i].repair);
    const differing = [
      ...uneven(build.fitted).filter((q) => asked.has(q)).map((q) => q.replaceAll("-", " ")),
      ...uneven(build.size).filter((p) => parts.includes(p)).map((p) => "size of the " + shared.repairs[p].label),
    ];
    const words = "a place such as 1: the " + differing.sort().join(" and the ") + " is not the same at every place";
    return differing.length ? [fault(at + ".position", quoted(raw.position), words)] : [];
  }

  /** An item with what else its readings judge: its sizes, and their forms. @param {string} item @param {Shared} shared */
  function judgedBy(item, shared) {
    const sizes = [item, ...shared.quantities[item].outer, ...shared.quantities[item].inner];
    const forms = Object.keys(shared.quantities).filter((q) => shared.quantities[q].of.some((/** @type {any} */ s) => sizes.includes(s)));
    return [...sizes, ...forms];
  }

  /** Faults of what a reading says of its row: a word that is in no closed list, a number without its unit.
   * @param {any} raw @param {any} at @param {Shared} shared */
  function ofDetails(raw, at, shared) {
    /** @type {Record<string, any>} */
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

  /** Whether a direct reading of that kind cannot be negative; a protrusion or a form can. @param {any} kind @param {any} part */
  const neverNegative = (kind, part) => part === "strip" || (part === "gap" && PLAY.includes(kind));

  const AMOUNTS = ["form", "size", "spring", "force", "torque", "mass"];
  const SWINGS = ["cross-difference", "end-difference", "neighbour-difference", "spread"];

  /** Whether a reading may be one of several of which a form is the difference, on both sides of a dial's zero.
   * @param {any} raw @param {any} _ @param {any} sheet */
  function swings(raw, { kind, method }, sheet) {
    const same = sheet.readings.filter((/** @type {any} */ r) => ["item", "position", "part"].every((k) => r[k] === raw[k]));
    return kind === "form" && SWINGS.includes(method) && same.length > 1;
  }

  /** @param {any} raw @param {any} at @param {any} quantity @param {any} sheet */
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

  /** Faults of a sheet that was filled(). @param {any} sheet @param {Engine} engine @param {Shared} shared */
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
