"use strict";
// Which rows are true for the engine on the bench, at a place, and which questions are open. Mirrors choosing.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [rows, builds, lines, resolving, asking] = ["rows", "build", "lines", "resolving", "asking"].map(part);

  const { open, openQuestions, buildsOf } = part("open_questions");
  const { UNKNOWN } = builds;
  const { DETAILS, sameAt } = part("closeness");
  const { NONE } = asking;
  const MOST_BUILDS = 2000;
  /** @type {Record<string, string>} */
  const DIRECT = { strip: "widest-strip", gap: "widest-gap" };

  /**
   * Rows of an item at a position that are true for a build: `rows` that all must hold, or the questions that are
   * `asked`, or `why` there is none. `said` is what a line of a sheet says of its row.
   * @param {Engine} engine @param {Shared} shared @param {any} build @param {string} item @param {string} position @param {any} [said]
   */
  function choose(engine, shared, build, item, position, said = {}) {
    const here = resolving.hereOf(engine, shared, item, position);
    const { names } = here.family;
    const models = names.includes(build.model) ? [build.model] : [...names, ""];
    const there = rowsOf(engine, item).filter((/** @type {any} */ r) => models.some((m) => resolving.isAt(r, m, here)));
    const fit = named(there, said, here);
    const all = withoutOpenSelections(fit.filter((/** @type {any} */ r) => resolving.admits(r, build, here)), build, here);
    const found = outcomes(all, build, here);
    const passedOver = [...new Map(found.flatMap((f) => f.passed).map((r) => [r.id, r])).values()];
    const made = { rows: [], asked: [], passedOver, why: "" };
    const kinds = distinct(found.map((f) => f.lines), shared);
    if (kinds.length > 1) {
      return { ...made, asked: askedOf(found, here) };
    }
    const column = kinds[0].length > 1 ? untold(kinds[0], said) : "";
    if (column) {
      return { ...made, asked: [detail(column, kinds[0], here, build, said)] };
    }
    if (kinds[0].length) {
      return { ...made, rows: kinds[0].flat() };
    }
    return { ...made, why: whyNone(there, fit, all, build, here) };
  }

  const byItem = new WeakMap();

  /** Rows of an item of an engine. @param {Engine} engine @param {string} item */
  function rowsOf(engine, item) {
    if (!byItem.has(engine)) {
      const found = new Map();
      engine.rows.forEach((/** @type {any} */ r) => found.set(r.cells.quantity, [...(found.get(r.cells.quantity) || []), r]));
      byItem.set(engine, found);
    }
    return byItem.get(engine).get(item) || [];
  }

  /** Every line that may judge; an empty one where there may be no row. @param {any} choice */
  function linesOf(choice) {
    if (!choice.asked.length) {
      return [choice.rows];
    }
    const every = choice.asked.flatMap((/** @type {any} */ a) => a.answers.flatMap((/** @type {any} */ w) => w.lines));
    return [...new Map(every.map((/** @type {any} */ line) => [lines.lineKey(line), line])).values()];
  }

  // what a line of a sheet says

  /** Rows that are not others than the one that a line of a sheet names, those that name its details first.
   * @param {any} all @param {any} said @param {any} here */
  function named(all, said, here) {
    let fit = all.filter((/** @type {any} */ r) => saidFits(r, said, here));
    for (const column of DETAILS) {
      const naming = said[column] ? fit.filter((/** @type {any} */ r) => rows.cell(r, column)) : [];
      if (naming.length) {
        /** @param {any} r */
        const words = (r) => rows.cell(r, column).split(" ").length;
        const least = Math.min(...naming.map(words));
        fit = column === "which" ? naming.filter((/** @type {any} */ r) => words(r) === least) : naming;
      }
    }
    return fit;
  }

  /** @param {Row} row @param {any} said @param {any} here */
  function saidFits(row, said, here) {
    if (row.cells.joint && !sameStep(row, said)) {
      return false;
    }
    const [asked, own] = [said.class || "new", rows.cell(row, "class")];
    if ((asked === "desired" || own === "desired") && own !== asked) {
      return false;
    }
    if (!DETAILS.every((/** @type {any} */ c) => !said[c] || names(row, c, said[c], here))) {
      return false;
    }
    const [method, ways] = [rows.cell(row, "method"), Object.values(DIRECT)];
    const otherWay = said.part && ways.includes(method) && method !== DIRECT[said.part];
    return !(otherWay && twinByWay(row, here, ways));
  }

  /** Whether a tightening step is for what a line of a sheet says, and bears its number where it says one.
   * @param {Row} row @param {any} said */
  const sameStep = (row, said) => rows.cell(row, "purpose") === (said.purpose || "") &&
    (said.step === undefined || row.cells.step === said.step);

  /** Whether a row names the word in a column, or nothing there; `none` is for rows that name nothing.
   * @param {Row} row @param {string} column @param {string} word @param {any} here */
  function names(row, column, word, here) {
    const cell = rows.cell(row, column);
    if (!cell || word === NONE) {
      return !cell;
    }
    if (column === "at") {
      return sameAt(word, row, here.shared);
    }
    return column === "which" ? cell.split(" ").includes(word) : word === cell;
  }

  /** Whether the same item has a row of another direct way: only then the way of measuring tells rows apart.
   * @param {Row} row @param {any} here @param {any} ways */
  function twinByWay(row, here, ways) {
    /** @param {any} r */
    const method = (r) => rows.cell(r, "method");
    return rowsOf(here.engine, row.cells.quantity).some((/** @type {any} */ r) => ways.includes(method(r)) && method(r) !== method(row));
  }

  // open questions

  /** Rows less those of a size mark that the build does not tell, where other rows of the build's size remain.
   * @param {any} all @param {any} build @param {any} here */
  function withoutOpenSelections(all, build, here) {
    /** @param {any} r */
    const told = (r) => Object.keys(here.family.speaks(r).parts)
      .every((q) => !open(builds.answer(build, q, here.position, here.family)));
    const kept = all.filter((/** @type {any} */ r) => rows.cell(r, "class") !== "selective" || told(r));
    const unknown = resolving.wantedSize(build, here) === UNKNOWN;
    /** @param {any} r */
    const fits = (r) => !rows.cell(r, "size") || (!unknown && resolving.ofSize(r, build, here));
    return kept.some(fits) ? kept : all;
  }

  /** What each set of answers to the open questions leads to, with the rows that choices.csv passes over.
   * @param {any} all @param {any} build @param {any} here */
  function outcomes(all, build, here) {
    const found = [];
    for (const { answers, told } of buildsOf(build, here, openQuestions(all, build, here), all)) {
      found.push({ answers, ...resolving.resolved(all, told, here) });
      if (found.length === MOST_BUILDS) {
        break;
      }
    }
    return found;
  }

  /** @param {any} found @param {Shared} shared */
  function distinct(found, shared) {
    /** @type {any[]} */
    const kinds = [];
    found.forEach((/** @type {any} */ outcome) => {
      if (!kinds.some((k) => sameOutcome(outcome, k, shared))) {
        kinds.push(outcome);
      }
    });
    return kinds;
  }

  /** @param {any} one @param {any} other @param {Shared} shared */
  const sameOutcome = (one, other, shared) =>
    one.length === other.length && one.every((/** @type {any} */ a) => other.some((/** @type {Bounds} */ b) => lines.sameLine(a, b, shared)));

  /** Questions whose answer changes the outcome, each answer with the lines that it may lead to. @param {any} found @param {any} here */
  function askedOf(found, here) {
    const questions = [...new Set(found.flatMap((/** @type {any} */ f) => Object.keys(f.answers)))];
    return questions.map((question) => {
      const byWord = new Map();
      found.filter((/** @type {any} */ f) => f.answers[question]).forEach((/** @type {any} */ { answers, lines: made }) => {
        byWord.set(answers[question], [...(byWord.get(answers[question]) || []), made]);
      });
      const sets = [...byWord.values()].map((v) => distinct(v, here.shared));
      if (sets.slice(1).every((s) => sameKinds(sets[0], s, here.shared))) {
        return null;
      }
      const answers = [...byWord.keys()].map((word, n) => ({
        word, label: asking.answerWords(question, word, here), lines: sets[n].flatMap((o) => (o.length ? o : [[]])),
      }));
      return { question, words: asking.questionWords(question, here.shared), answers, detail: false };
    }).filter(Boolean);
  }

  /** @param {any} one @param {any} other @param {Shared} shared */
  function sameKinds(one, other, shared) {
    const both = distinct([...one, ...other], shared).length;
    return both === one.length && both === other.length;
  }

  // details

  /** The first column that tells lines apart and of which the sheet says nothing; empty where there is none.
   * @param {any} found @param {any} said */
  const untold = (found, said) =>
    DETAILS.find((/** @type {any} */ c) => !said[c] && new Set(found.map((/** @type {any} */ line) => asking.cell(line[0], c))).size > 1) || "";

  /** The question that a column's word on the sheet answers.
   * @param {string} column @param {any} found @param {any} here @param {any} build @param {any} said */
  function detail(column, found, here, build, said) {
    const { engine, shared, item, position } = here;
    const answers = asking.detailAnswers(found.map((/** @type {any} */ line) => line[0]), column, shared).map((/** @type {any} */ [word, label]) => {
      const choice = choose(engine, shared, build, item, position, { ...said, [column]: word });
      return { word, label, lines: linesOf(choice) };
    });
    return { question: column, words: shared.asking[column], answers, detail: true };
  }

  /** Why no row is true here, in a sentence.
   * @param {any} there @param {any} fit @param {any} all @param {any} build @param {any} here */
  function whyNone(there, fit, all, build, here) {
    if (!there.length) {
      return "no page that was read prints it";
    }
    if (!fit.length && Object.hasOwn(here.shared.joints, here.item)) {
      return "the pages print it, but not for the fasteners, thread, purpose or step that the sheet says";
    }
    if (!fit.length) {
      return "the pages print it, but none as the sheet says that it was measured";
    }
    const wanted = resolving.wantedSize(build, here);
    if (all.length && builds.isSize(wanted)) {
      return "no page that was read prints it for " + builds.sizeText(wanted);
    }
    return asking.notAdmitted(fit, build, here);
  }

  const made = { choose, linesOf, rowsOf };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.choosing = made;
  }
})();
