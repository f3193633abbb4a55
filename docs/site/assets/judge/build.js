"use strict";
// The build on the bench, and the family that it is one of. Mirrors build.py and engine_models.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, places] = ["exact", "places"].map(part);

  const [MODEL, OTHER, UNKNOWN] = ["model", "other", "unknown"];
  const SAME_SIZE = exact.parse("1/50");

  /** A repair size, signed: minus for journals, plus for bores. */
  const sizeOf = (number, unit) => ({ number, value: exact.parse(number), unit });
  const STANDARD = sizeOf("0", "mm");

  const isSize = (size) => typeof size === "object" && size !== null;
  const isStandard = (size) => exact.equal(size.value, exact.ZERO);

  /** A size with its sign and unit; `standard` for none. */
  function sizeText(size) {
    if (isStandard(size)) {
      return "standard";
    }
    return (size.number.startsWith("-") ? "" : "+") + size.number + " " + size.unit;
  }

  /** A size from `-0.25 mm`, `0` or `unknown`. */
  function sizeFrom(text) {
    if (text === UNKNOWN || text === "standard") {
      return text === UNKNOWN ? UNKNOWN : STANDARD;
    }
    const [number, unit] = text.trim().split(" ");
    const found = sizeOf(number.replace(/^\+/, ""), unit || "mm");
    return isStandard(found) && !unit ? STANDARD : found;
  }

  const si = (size, shared) => exact.multiply(size.value, exact.parse(shared.units[size.unit].factor));
  const equalSizes = (a, b) => exact.equal(a.value, b.value) && a.unit === b.unit;

  /** Whether two sizes are one: within two in a hundred of each other. */
  function sameSize(one, other, shared) {
    const [a, b] = [si(one, shared), si(other, shared)];
    const most = exact.multiply(SAME_SIZE, exact.largest([exact.absolute(a), exact.absolute(b)]));
    return !exact.less(most, exact.absolute(exact.subtract(a, b)));
  }

  /** The build of a sheet that fits its schema. */
  function parsed(values = {}) {
    const byPlace = (answer) => (typeof answer === "object" ? answer : { all: String(answer) });
    const each = (given, make) => Object.fromEntries(Object.entries(given || {}).map(([k, v]) => [k, make(byPlace(v))]));
    const sizes = (given) => Object.fromEntries(Object.entries(given).map(([at, text]) => [at, sizeFrom(text)]));
    return {
      model: values.model || "", fitted: each(values.fitted, (a) => a), size: each(values.size, sizes),
      documents: values.documents || [],
    };
  }

  /**
   * The answer of a map from places to answers at 3, top-ring or 3/top-ring; `all` is for the rest. At a span such as 1-4
   * it is the answer that all of its places have; null where they differ.
   */
  function atPlace(given, place) {
    const cut = place.lastIndexOf("/");
    const [number, name] = cut < 0 ? [place, place] : [place.slice(0, cut), place.slice(cut + 1)];
    const key = [place, number || place, name, "all"].find((k) => Object.hasOwn(given, k));
    const span = key === undefined || key === "all" ? places.numbers(place) : [];
    if (span.length > 1) {
      const [first, ...others] = span.map((n) => atPlace(given, String(n)));
      return others.every((a) => a === first) ? first : null;
    }
    return key === undefined ? null : given[key];
  }

  /** The answer to a question at a place: a part, a model, `unknown`, or null where it was not given. */
  function answer(build, question, place, family) {
    if (question === MODEL) {
      return build.model || family.onlyModel || null;
    }
    const given = atPlace(build.fitted[question] || {}, place);
    if (given !== null && given !== UNKNOWN) {
      return given;
    }
    return family.answers(build.model || family.onlyModel)[question] || given;
  }

  /** The repair size of a machined part at a place: standard where none is named; `unknown` where so said. At a span of
   * places it is the size that all of them have; `unknown` where they differ. */
  function sizeAt(build, part, place) {
    const given = build.size[part] || {};
    const span = Object.hasOwn(given, place) ? [] : places.numbers(place);
    if (span.length > 1) {
      const sizes = span.map((n) => sizeAt(build, part, String(n)));
      return uneven({ ...sizes, all: sizes[0] }) ? UNKNOWN : sizes[0];
    }
    const found = atPlace(given, place);
    return found === null ? STANDARD : found;
  }

  /** A build with one more answer for every place. */
  function told(build, question, word) {
    if (question === MODEL) {
      return { ...build, model: word };
    }
    return { ...build, fitted: { ...build.fitted, [question]: { all: word } } };
  }

  /** Whether answers by place, or sizes, differ from place to place; a place without one has the standard size. */
  function uneven(given) {
    const plain = (a) => (isSize(a) ? (isStandard(a) ? null : [exact.text(a.value), a.unit]) : a);
    const all = Object.hasOwn(given, "all") ? Object.values(given) : [...Object.values(given), null];
    return new Set(all.map((a) => JSON.stringify(plain(a)))).size > 1;
  }

  // the family

  const families = new WeakMap();

  /** Models, covers and questions of an engine family. */
  function family(engine) {
    if (!families.has(engine)) {
      families.set(engine, familyOf(engine));
    }
    return families.get(engine);
  }

  function familyOf({ models, covers, questions, labels, others }) {
    const names = Object.keys(models);
    const question = Object.fromEntries(
      Object.entries(questions).flatMap(([q, parts]) => parts.filter((p) => p !== OTHER).map((p) => [p, q]))
    );
    const known = new Map();

    /** Models that a row speaks of, parts by question, and whether its own cell names the models. */
    function speaks(row) {
      const [applies, source] = [row.cells.applies || "", row.cells.source];
      const key = applies + "\n" + source;
      if (!known.has(key)) {
        known.set(key, spoken(applies.split(" ").filter(Boolean), source));
      }
      return known.get(key);
    }

    function spoken(words, source) {
      const named = words.filter((w) => Object.hasOwn(models, w));
      const parts = {};
      words.filter((w) => Object.hasOwn(question, w)).forEach((w) => {
        parts[question[w]] = [...(parts[question[w]] || []), w];
      });
      const covered = Object.hasOwn(covers, source) && covers[source].length ? covers[source] : names;
      return { models: named.length ? named : covered, parts, namesModel: named.length > 0 };
    }

    /** Questions that a model answers by what it always has. */
    function answers(model) {
      const has = Object.hasOwn(models, model) ? models[model].has : [];
      return Object.fromEntries([...has].sort().filter((p) => Object.hasOwn(question, p)).map((p) => [question[p], p]));
    }

    /** How many of a thing some models have: the most; null where unknown. */
    function count(column, asked = []) {
      const there = asked.filter((m) => Object.hasOwn(models, m));
      const all = (there.length ? there : names).map((m) => models[m][column]).filter((n) => n !== undefined);
      return all.length ? Math.max(...all) : null;
    }

    /** An answer in trade words. */
    function label(asked, word) {
      if (asked === MODEL) {
        return Object.hasOwn(models, word) ? models[word].label : word;
      }
      if (word === OTHER) {
        return others[asked] || "another";
      }
      return Object.hasOwn(labels, word) ? labels[word] : word;
    }

    /** What a row's `applies` names, in trade words. */
    function words(applies) {
      const known_ = (w) => (Object.hasOwn(models, w) ? models[w].label : labels[w] || w);
      return applies.split(" ").filter(Boolean).map(known_).join(", ");
    }

    return { models, names, questions, onlyModel: names.length === 1 ? names[0] : "", speaks, answers, count, label, words };
  }

  const made = {
    MODEL, OTHER, UNKNOWN, STANDARD, sizeOf, isSize, isStandard, sizeText, sizeFrom, equalSizes, sameSize, parsed, atPlace,
    answer, sizeAt, told, uneven, family,
  };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.build = made;
  }
})();
