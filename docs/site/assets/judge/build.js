"use strict";
// The build on the bench, and the family that it is one of. Mirrors build.py and engine_models.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, places] = ["exact", "places"].map(part);

  const [MODEL, OTHER, UNKNOWN] = ["model", "other", "unknown"];
  const SAME_SIZE = exact.parse("1/50");

  /** A repair size, signed: minus for journals, plus for bores. @param {string} number @param {string} unit @returns {Size} */
  const sizeOf = (number, unit) => ({ number, value: exact.parse(number), unit });
  const STANDARD = sizeOf("0", "mm");

  /** @param {MaybeSize} size @returns {size is Size} */
  const isSize = (size) => typeof size === "object" && size !== null;
  /** @param {Size} size @returns {boolean} */
  const isStandard = (size) => exact.equal(size.value, exact.ZERO);

  /** A size with its sign and unit; `standard` for none. @param {Size} size */
  function sizeText(size) {
    if (isStandard(size)) {
      return "standard";
    }
    return (size.number.startsWith("-") ? "" : "+") + size.number + " " + size.unit;
  }

  /** A size from `-0.25 mm`, `0` or `unknown`. @param {string} text @returns {MaybeSize} */
  function sizeFrom(text) {
    if (text === UNKNOWN || text === "standard") {
      return text === UNKNOWN ? UNKNOWN : STANDARD;
    }
    const [number, unit] = text.trim().split(" ");
    const found = sizeOf(number.replace(/^\+/, ""), unit || "mm");
    return isStandard(found) && !unit ? STANDARD : found;
  }

  /** @param {Size} size @param {Shared} shared @returns {Fraction} */
  const si = (size, shared) => exact.multiply(size.value, exact.parse(shared.units[size.unit].factor));
  /** @param {Size} a @param {Size} b @returns {boolean} */
  const equalSizes = (a, b) => exact.equal(a.value, b.value) && a.unit === b.unit;

  /** Whether two sizes are one: within two in a hundred of each other.
   * @param {Size} one @param {Size} other @param {Shared} shared */
  function sameSize(one, other, shared) {
    const [a, b] = [si(one, shared), si(other, shared)];
    const most = exact.multiply(SAME_SIZE, exact.largest([exact.absolute(a), exact.absolute(b)]));
    return !exact.less(most, exact.absolute(exact.subtract(a, b)));
  }

  /** The build of a sheet that fits its schema. @param {Build} [values] @returns {ParsedBuild} */
  function parsed(values = {}) {
    /** @param {Answer} answer */
    const byPlace = (answer) => (typeof answer === "object" ? answer : { all: String(answer) });
    /** @template T @param {Record<string, Answer> | undefined} given @param {(answers: ByPlace<string>) => ByPlace<T>} make */
    const each = (given, make) => Object.fromEntries(Object.entries(given || {}).map(([k, v]) => [k, make(byPlace(v))]));
    /** @param {ByPlace<string>} given */
    const sizes = (given) => Object.fromEntries(Object.entries(given).map(([at, text]) => [at, sizeFrom(text)]));
    return {
      model: values.model || "", fitted: each(values.fitted, (a) => a), size: each(values.size, sizes),
      documents: values.documents || [],
    };
  }

  /**
   * The answer of a map from places to answers at 3, top-ring or 3/top-ring; `all` is for the rest. At a span such as 1-4
   * it is the answer that all of its places have; null where they differ.
   * @template T @param {ByPlace<T>} given @param {string} place @returns {T | null}
   */
  function atPlace(given, place) {
    const cut = place.lastIndexOf("/");
    const [number, name] = cut < 0 ? [place, place] : [place.slice(0, cut), place.slice(cut + 1)];
    const key = [place, number || place, name, "all"].find((k) => Object.hasOwn(given, k));
    const span = key === undefined || key === "all" ? places.numbers(place) : [];
    if (span.length > 1) {
      const [first, ...others] = span.map((/** @type {number} */ n) => atPlace(given, String(n)));
      return others.every((/** @type {T | null} */ a) => a === first) ? first : null;
    }
    return key === undefined ? null : given[key];
  }

  /** The answer to a question at a place: a part, a model, `unknown`, or null where it was not given.
   * @param {ParsedBuild} build @param {string} question @param {string} place @param {Family} family */
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
   * places it is the size that all of them have; `unknown` where they differ.
   * @param {ParsedBuild} build @param {string} part @param {string} place @returns {MaybeSize} */
  function sizeAt(build, part, place) {
    const given = build.size[part] || {};
    const span = Object.hasOwn(given, place) ? [] : places.numbers(place);
    if (span.length > 1) {
      const sizes = span.map((/** @type {number} */ n) => sizeAt(build, part, String(n)));
      return uneven({ ...sizes, all: sizes[0] }) ? UNKNOWN : sizes[0];
    }
    const found = atPlace(given, place);
    return found === null ? STANDARD : found;
  }

  /** A build with one more answer for every place. @param {ParsedBuild} build @param {string} question @param {string} word */
  function told(build, question, word) {
    if (question === MODEL) {
      return { ...build, model: word };
    }
    return { ...build, fitted: { ...build.fitted, [question]: { all: word } } };
  }

  /** Whether answers by place, or sizes, differ from place to place; a place without one has the standard size.
   * @param {ByPlace<MaybeSize>} given */
  function uneven(given) {
    /** @param {MaybeSize | null} a */
    const plain = (a) => (a !== null && isSize(a) ? (isStandard(a) ? null : [exact.text(a.value), a.unit]) : a);
    const all = Object.hasOwn(given, "all") ? Object.values(given) : [...Object.values(given), null];
    return new Set(all.map((a) => JSON.stringify(plain(a)))).size > 1;
  }

  // the family

  /** @type {WeakMap<Engine, Family>} */
  const families = new WeakMap();

  /** Models, covers and questions of an engine family. @param {Engine} engine @returns {Family} */
  function family(engine) {
    const found = families.get(engine) || familyOf(engine);
    families.set(engine, found);
    return found;
  }

  /** @param {Engine} engine @returns {Family} */
  function familyOf({ models, covers, questions, labels, others }) {
    const names = Object.keys(models);
    const question = Object.fromEntries(
      Object.entries(questions).flatMap(([q, parts]) => parts.filter((p) => p !== OTHER).map((p) => [p, q]))
    );
    /** @type {Map<string, Spoken>} */
    const known = new Map();

    /** Models that a row speaks of, parts by question, and whether its own cell names the models. @param {Row} row */
    function speaks(row) {
      const [applies, source] = [row.cells.applies || "", row.cells.source];
      const key = applies + "\n" + source;
      const found = known.get(key) || spoken(applies.split(" ").filter(Boolean), source);
      known.set(key, found);
      return found;
    }

    /** @param {string[]} words @param {string} source @returns {Spoken} */
    function spoken(words, source) {
      const named = words.filter((w) => Object.hasOwn(models, w));
      /** @type {Record<string, string[]>} */
      const parts = {};
      words.filter((w) => Object.hasOwn(question, w)).forEach((w) => {
        parts[question[w]] = [...(parts[question[w]] || []), w];
      });
      const covered = Object.hasOwn(covers, source) && covers[source].length ? covers[source] : names;
      return { models: named.length ? named : covered, parts, namesModel: named.length > 0 };
    }

    /** Questions that a model answers by what it always has. @param {string} model */
    function answers(model) {
      const has = Object.hasOwn(models, model) ? models[model].has : [];
      return Object.fromEntries([...has].sort().filter((p) => Object.hasOwn(question, p)).map((p) => [question[p], p]));
    }

    /** How many of a thing some models have: the most; null where unknown. @param {ModelCount} column @param {string[]} asked */
    function count(column, asked = []) {
      const there = asked.filter((m) => Object.hasOwn(models, m));
      const all = (there.length ? there : names).map((m) => models[m][column]).filter((n) => n !== undefined);
      return all.length ? Math.max(...all) : null;
    }

    /** An answer in trade words. @param {string} asked @param {string} word */
    function label(asked, word) {
      if (asked === MODEL) {
        return Object.hasOwn(models, word) ? models[word].label : word;
      }
      if (word === OTHER) {
        return others[asked] || "another";
      }
      return Object.hasOwn(labels, word) ? labels[word] : word;
    }

    /** What a row's `applies` names, in trade words. @param {string} applies */
    function words(applies) {
      /** @param {string} w */
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
