"use strict";
// Questions that a build leaves open, and each set of answers to them. Mirrors choosing.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [rows, builds, resolving, asking] = ["rows", "build", "resolving", "asking"].map(part);

  const { MODEL, OTHER, UNKNOWN, STANDARD } = builds;
  const { SIZE } = asking;

  /** @param {any} answer */
  const open = (answer) => answer === null || answer === UNKNOWN;

  /** @param {any} here */
  const repairOf = (here) => (here.shared.quantities[here.item] || {}).repair || "";

  /** Questions that some row depends on and that the build does not answer. @param {any} all @param {any} build @param {any} here */
  function openQuestions(all, build, here) {
    const { family, position } = here;
    const asked = [...new Set(all.flatMap((/** @type {any} */ r) => Object.keys(family.speaks(r).parts)))];
    const found = asked.filter((q) => open(builds.answer(build, q, position, family)));
    if (open(builds.answer(build, MODEL, position, family)) && byModel(all, here, found)) {
      found.unshift(MODEL);
    }
    if (resolving.wantedSize(build, here) === UNKNOWN && repairOf(here)) {
      found.push(SIZE + repairOf(here));
    }
    return found;
  }

  /** Whether the model tells rows apart: by its documents, by its places, or by a part that it always has.
   * @param {any} all @param {any} here @param {any} asked */
  function byModel(all, here, asked) {
    const { family } = here;
    if (all.some((/** @type {any} */ r) => !family.names.every((/** @type {any} */ m) => family.speaks(r).models.includes(m)))) {
      return true;
    }
    /** @param {any} r */
    const places = (r) => new Set(family.names.map((/** @type {any} */ m) => resolving.isAt(r, m, here)));
    if (all.some((/** @type {any} */ r) => places(r).size > 1)) {
      return true;
    }
    return asked.some((/** @type {any} */ q) => new Set(family.names.map((/** @type {any} */ m) => family.answers(m)[q])).size > 1);
  }

  /** Each set of answers to the questions, with the build that has them.
   * @param {any} build @param {any} here @param {any} asked @param {any} all @returns {Generator<any>} */
  function* buildsOf(build, here, asked, all) {
    if (!asked.length) {
      yield { answers: {}, told: build };
      return;
    }
    const [question, ...rest] = asked;
    for (const [word, next] of toldOf(build, here, question, all)) {
      for (const { answers, told } of buildsOf(next, here, rest, all)) {
        yield { answers: { ...(word ? { [question]: word } : {}), ...answers }, told };
      }
    }
  }

  /** @param {any} build @param {any} here @param {string} question @param {any} all */
  function* toldOf(build, here, question, all) {
    if (question.startsWith(SIZE)) {
      const repair = question.slice(SIZE.length);
      for (const size of sizesOf(all)) {
        yield [builds.sizeText(size), { ...build, size: { ...build.size, [repair]: { all: size } } }];
      }
    } else if (!open(builds.answer(build, question, here.position, here.family))) {
      yield ["", build];
    } else {
      for (const word of possible(question, all, here.family)) {
        yield [word, builds.told(build, question, word)];
      }
    }
  }

  /** Standard, and the repair sizes that rows bear, each once. @param {any} all */
  function sizesOf(all) {
    /** @type {any[]} */
    const found = [];
    for (const size of all.filter((/** @type {any} */ r) => rows.cell(r, "size")).map(resolving.sizeOf)) {
      if (!found.some((s) => builds.equalSizes(s, size))) {
        found.push(size);
      }
    }
    return [STANDARD, ...found];
  }

  /** Answers to a question; those parts that no row here names count as one.
   * @param {string} question @param {any} all @param {any} family */
  function possible(question, all, family) {
    if (question === MODEL) {
      return family.names;
    }
    const words = family.questions[question] || [OTHER];
    const spoken = new Set(all.flatMap((/** @type {any} */ r) => family.speaks(r).parts[question] || []));
    const silent = words.find((/** @type {any} */ w) => !spoken.has(w));
    return words.filter((/** @type {any} */ w) => spoken.has(w) || w === silent);
  }

  const made = { open, openQuestions, buildsOf };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.open_questions = made;
  }
})();
