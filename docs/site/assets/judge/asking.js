"use strict";
// Questions to the builder and their answers, in words. Mirrors asking.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [rows, builds] = ["rows", "build"].map(part);

  const NONE = "none";
  const SIZE = "size of ";

  /** A question to the builder in words. @param {string} question @param {Shared} shared */
  function questionWords(question, shared) {
    if (question === builds.MODEL) {
      return "Which model is it?";
    }
    if (question.startsWith(SIZE)) {
      return "To what size is the " + shared.repairs[question.slice(SIZE.length)].label + " machined?";
    }
    return shared.questions[question] || "Which " + question.replaceAll("-", " ") + "?";
  }

  /** @param {string} question @param {string} word @param {any} here */
  const answerWords = (question, word, here) =>
    (question.startsWith(SIZE) ? word : here.family.label(question, word));

  /** Whom the pages that print it are for, in a sentence: the models, of rows for this model the fitted parts.
   * @param {any} all @param {any} build @param {any} here */
  function notAdmitted(all, build, here) {
    const { family } = here;
    const model = builds.answer(build, builds.MODEL, here.position, family);
    const [models, parts] = [new Set(), new Set()];
    for (const row of all) {
      const speaks = family.speaks(row);
      if (family.names.includes(model) && !speaks.models.includes(model)) {
        speaks.models.forEach((/** @type {any} */ m) => models.add(family.models[m].label));
      } else {
        const words = contradicted(row, build, here);
        words && parts.add(words);
      }
    }
    const whom = [...(parts.size ? parts : models)].sort();
    const listed = whom.slice(0, 4).join("; ") + (whom.length > 4 ? " and others" : "");
    return listed ? "the pages that print it are for " + listed : "no page that was read prints it";
  }

  /** The parts of a row that an answer of the build contradicts, in words. @param {Row} row @param {any} build @param {any} _ */
  function contradicted(row, build, { family, position }) {
    return Object.entries(family.speaks(row).parts).flatMap(([question, words]) => {
      const answer = builds.answer(build, question, position, family);
      const open = answer === null || answer === builds.UNKNOWN || words.includes(answer);
      return open ? [] : [...words].sort().map((w) => family.label(question, w));
    }).join(", ");
  }

  /** What a row says of a detail. @param {Row} row @param {string} column */
  const cell = (row, column) =>
    (column === "at" ? (rows.cell(row, "at") + " " + rows.cell(row, "at_unit")).trim() : rows.cell(row, column));

  /** Words that a line of a sheet may say in a column to tell rows apart, each with its label.
   * @param {any} all @param {string} column @param {Shared} shared */
  function detailAnswers(all, column, shared) {
    const found = new Map();
    for (const row of all) {
      const text = cell(row, column);
      const words = !text ? [NONE] : column === "which" ? text.split(" ") : [text];
      words.filter((/** @type {any} */ w) => !found.has(w)).forEach((/** @type {any} */ w) => found.set(w, detailLabel(w, column, shared)));
    }
    return [...found];
  }

  /** A word of a detail in trade words. @param {string} word @param {string} column @param {Shared} shared */
  function detailLabel(word, column, shared) {
    if (word === NONE) {
      return "none of these";
    }
    /** @type {Record<string, string | {label: string}> | undefined} */
    const table = { which: shared.positions, state: shared.states, method: shared.methods }[column];
    const listed = table && Object.hasOwn(table, word) ? table[word] : "";
    const plain = table ? word.replaceAll("-", " ") : word;
    return (typeof listed === "string" ? listed : listed.label) || (column === "at" ? "at " + word : plain);
  }

  const made = { NONE, SIZE, questionWords, answerWords, cell, detailAnswers, detailLabel, notAdmitted };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.asking = made;
  }
})();
