"use strict";
// What there is to measure for a build, in measuring order, and what about the engine has to be told for that.
// Mirrors sheets/blank.py and sheets/tools.py.
(function () {
  const api = window.runningFits;
  const { exact, rows, places, build: builds, resolving, choosing } = api;
  const shared = () => api.loaded.shared;
  /** @param {string} item */
  const quantityOf = (item) => shared().quantities[item];

  /** Rows that no answer of a build contradicts, of the sizes that it has.
   * @param {any[]} all @param {Engine} engine @param {any} build */
  function trueFor(all, engine, build) {
    return all.filter((row) => {
      const here = resolving.hereOf(engine, shared(), row.cells.quantity, row.cells.position);
      return resolving.admits(row, build, here) && resolving.ofSize(row, build, here);
    });
  }

  /** @param {any} build @param {Engine} engine */
  const modelOf = (build, engine) => (Object.hasOwn(engine.models, build.model) ? [build.model] : []);

  /** How many places an item has in the model that is built, or null.
   * @param {string} item @param {Engine} engine @param {any} build */
  function count(item, engine, build) {
    const column = quantityOf(item).count;
    return column ? builds.family(engine).count(column, modelOf(build, engine)) : null;
  }

  /**
   * Places to measure for a row: each number where they are known, else the row's own position. A named place of
   * something that each cylinder has, such as a ring, is there once a cylinder.

   * @param {Row} row @param {Engine} engine @param {any} build */
  function placesOf(row, engine, build) {
    const { quantity: item, position } = row.cells;
    const numbers = Array.from({ length: count(item, engine, build) || 0 }, (_, n) => String(n + 1));
    if (position === "all") {
      return numbers.length ? numbers : ["all"];
    }
    const found = places.places(position, numbers.length || null);
    if (found && found.length) {
      return found.map(String);
    }
    const each = numbers.length && !["", "mains"].includes(quantityOf(item).count);
    return each ? numbers.map((n) => n + "/" + position) : [position];
  }

  /** @param {any} a @param {any} b */
  const compare = (a, b) => (a < b ? -1 : a > b ? 1 : 0);

  /** Whether a row is true for a build at a place, and none is that choices.csv prefers to it there.
   * @param {Row} row @param {string} place @param {Engine} engine @param {any} build */
  function asks(row, place, engine, build) {
    const here = resolving.hereOf(engine, shared(), row.cells.quantity, place);
    /** @param {any} r */
    const fits = (r) => resolving.admits(r, build, here) && resolving.ofSize(r, build, here);
    const before = engine.choices.filter(([, over]) => over === row.id).map(([own]) => own);
    const [model = null] = modelOf(build, engine);
    const there = before.length ? choosing.rowsOf(engine, row.cells.quantity).filter((/** @type {any} */ r) => before.includes(r.id)) : [];
    return fits(row) && !there.some((/** @type {any} */ r) => resolving.isAt(r, model, here) && fits(r));
  }

  /** Items with the places where rows of a build ask for a reading and the classes there, in measuring order.
   * @param {Engine} engine @param {any} build */
  function spots(engine, build) {
    /** @param {any} r */
    const wide = (r) => (r.cells.position === "all" ? 0 : 1);
    /** @param {any} a @param {any} b */
    const by = (a, b) =>
      quantityOf(a.cells.quantity).order - quantityOf(b.cells.quantity).order ||
      compare(a.cells.quantity, b.cells.quantity) || wide(a) - wide(b) || compare(a.cells.position, b.cells.position);
    const found = new Map();
    for (const row of [...engine.rows].sort(by)) {
      const { quantity: item } = row.cells;
      const own = found.get(item) || new Map();
      placesOf(row, engine, build).filter((/** @type {any} */ p) => asks(row, p, engine, build)).forEach((/** @type {any} */ p) =>
        own.set(p, [...(own.get(p) || []), rows.cell(row, "class")]));
      if (own.size) {
        found.set(item, own);
      }
    }
    return found;
  }

  /** Choices of an item at a place, one for each thing that a reading itself would have to name.
   * @param {Engine} engine @param {any} build @param {string} item @param {string} position @param {string[]} classes */
  function choicesAt(engine, build, item, position, classes) {
    /** @type {Record<string, string>[]} */
    const todo = [classes.every((c) => c === "desired") ? { class: "desired" } : {}];
    const found = [];
    while (todo.length) {
      const said = todo.shift() || {};
      const choice = choosing.choose(engine, shared(), build, item, position, said);
      const [asked] = choice.asked;
      if (asked && asked.detail && !said[asked.question]) {
        todo.push(...asked.answers.filter((/** @type {any} */ a) => a.word).map((/** @type {any} */ a) => ({ ...said, [asked.question]: a.word })));
      } else if (choosing.linesOf(choice).some((/** @type {any} */ line) => line.length)) {
        found.push({ said: { ...said, ...stateOf(item, choice) }, choice });
      }
    }
    return found;
  }

  /** The state in which a lash is to be measured, where all of its rows print the same: the record says so.
   * @param {string} item @param {Choice} choice @returns {Record<string, string>} */
  function stateOf(item, choice) {
    const states = new Set(choice.rows.map((r) => rows.cell(r, "state")));
    const one = quantityOf(item).kind === "lash" && states.size === 1 && !states.has("");
    return one ? { state: [...states][0] } : {};
  }

  /** What tells one choice from another: what is said of the row, the rows or the questions. @param {any} _ */
  const keyOf = ({ said, choice }) => JSON.stringify([said, choice.rows.map((/** @type {any} */ r) => [r.id, r.marks, r.cells]),
    choice.asked.map((/** @type {any} */ a) => [a.question, a.answers.map((/** @type {any} */ w) => [w.word, w.lines.map((/** @type {any} */ l) => l.map((/** @type {any} */ r) => r.id))])])]);

  /** What to measure of an item: places that have the same rows stand together.
   * @param {Engine} engine @param {any} build @param {string} item @param {any} positions */
  function groups(engine, build, item, positions) {
    const found = new Map();
    for (const [position, classes] of positions) {
      for (const one of choicesAt(engine, build, item, position, classes)) {
        const key = keyOf(one);
        found.set(key, found.get(key) || { item, ...one, places: [] });
        found.get(key).places.push(position);
      }
    }
    return [...found.values()];
  }

  const kept = { engine: null, build: "", all: [] };

  /** Everything to measure for a build, in measuring order; the last answer is kept.
   * @param {Engine} engine @param {Build} values */
  function measured(engine, values) {
    const key = JSON.stringify(values || {});
    if (kept.engine !== engine || kept.build !== key) {
      const build = builds.parsed(values);
      const all = [...spots(engine, build)].flatMap(([item, own]) => groups(engine, build, item, own));
      Object.assign(kept, { engine, build: key, all });
    }
    return kept.all;
  }

  // what has to be told

  /** Questions about fitted parts that rows of the model depend on; those that the model answers are left out.
   * @param {Engine} engine @param {Build} [values] */
  function questions(engine, values = {}) {
    const build = builds.parsed({ model: values.model, documents: values.documents, size: values.size });
    const family = builds.family(engine);
    const answered = family.answers(build.model || family.onlyModel);
    const there = trueFor(engine.rows, engine, build);
    const asked = new Set(there.flatMap((r) => Object.keys(family.speaks(r).parts)));
    return Object.keys(family.questions).filter((q) => asked.has(q) && !Object.hasOwn(answered, q));
  }

  /** What the places of a question are counted by, from the rows that depend on it.
   * @param {string} question @param {Engine} engine */
  function countedBy(question, engine) {
    const family = builds.family(engine);
    const own = engine.rows.filter((r) => Object.hasOwn(family.speaks(r).parts, question));
    return own.map((r) => quantityOf(r.cells.quantity).count).find(Boolean) || "";
  }

  /** Machined parts whose repair sizes the engine's pages print, and those by which a standard row is moved.
   * @param {Engine} engine */
  function machined(engine) {
    const printed = new Map();
    const others = new Set();
    for (const row of engine.rows) {
      const { repair } = quantityOf(row.cells.quantity);
      if (repair && rows.cell(row, "size")) {
        printed.set(repair, [...(printed.get(repair) || []), resolving.sizeOf(row)]);
      } else if (repair) {
        others.add(repair);
      }
    }
    /** @param {any[]} all */
    const once = (all) => all.filter((s, n) => all.findIndex((o) => builds.sameSize(o, s, shared())) === n);
    const sizes = [...printed].map(([part, all]) => /** @type {[string, any[]]} */ ([part, once(all).sort((a, b) => Math.abs(a.number) - Math.abs(b.number))]));
    return { printed: new Map(sizes), others: [...others].filter((p) => !printed.has(p)).sort() };
  }

  // instruments

  /** The middle of a row's range, or the end that it prints, in metres; null for none. @param {Row} row */
  function middle(row) {
    const ends = [...rows.range(row), rows.value(row, "nominal")].filter((e) => e !== null);
    if (!ends.length && rows.value(row, "limit") !== null && rows.cell(row, "limit_as") !== "wear") {
      ends.push(rows.value(row, "limit"));
    }
    const unit = shared().units[row.cells.unit];
    return ends.length ? exact.multiply(exact.mean(ends.map(exact.parse)), exact.parse(unit.factor)) : null;
  }

  /** Size in metres of what is measured at a part of an item, at a place first; null where no page tells.
   * @param {string} part @param {string} item @param {Engine} engine @param {any} build @param {string} [position] */
  function sizeOf(part, item, engine, build, position = "all") {
    const quantity = quantityOf(item);
    const names = /** @type {Record<string, string[]>} */ ({ bore: quantity.outer, shaft: quantity.inner });
    const fit = [...(names[part] || []), ...names.shaft, ...names.bore];
    const own = quantity.kind === "size" ? [item] : quantity.of.length ? quantity.of : fit.length ? fit : [item];
    /** @param {any} r */
    const there = (r) => (rows.cell(r, "position") === position ? 0 : 1);
    const known = own.flatMap((name) => choosing.rowsOf(engine, name)).sort((a, b) => there(a) - there(b));
    const all = trueFor(known, engine, build);
    return all.filter((r) => shared().units[r.cells.unit].dimension === "length").map(middle).find(Boolean) || null;
  }

  /** The class of a kind of instrument whose span holds a size; the kind itself where none is known.
   * @param {string} kind @param {any} size */
  function classOf(kind, size) {
    const known = Object.entries(shared().instruments);
    /** @param {any} line */
    const factor = (line) => exact.parse(shared().units[line.unit].factor);
    /** @param {any} line */
    const ends = (line) => [line.span_from, line.span_to].map((e) => exact.multiply(exact.parse(e), factor(line)));
    /** @param {any} _ */
    const holds = ([, line]) => {
      if (line.kind !== kind || !line.span_to) {
        return false;
      }
      const [from, to] = ends(line);
      return !exact.less(size, from) && exact.less(size, to);
    };
    const found = size && known.find(holds);
    return found ? found[0] : kind;
  }

  api.measured = { measured, questions, countedBy, machined, count, sizeOf, classOf };
})();
