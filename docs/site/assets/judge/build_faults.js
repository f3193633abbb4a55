"use strict";
// Faults of a build: words that are none of the engine's, sizes and places that no part has. Mirrors build_faults.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, places, builds] = ["exact", "places", "build"].map(part);
  const { fault, quoted } = part("tool_faults");
  const { plainObject, answersOf } = part("form_faults");

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
      return answersOf(answer, path).flatMap((/** @type {[string, string]} */ [at, word]) =>
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
    return answersOf(given, "build.size." + part).flatMap((/** @type {[string, string]} */ [path, text]) => {
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
      if (/^(0|[1-9][0-9]*)$/.test(place)) {
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

  const NONE = "none";

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

  const made = { ofBuild, ofSpread, ofDetails, named };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.build_faults = made;
  }
})();
