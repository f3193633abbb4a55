"use strict";
// Whether what was set was followed: the verdict on each torque line, in words, with what speaks against it.
(function () {
  const api = window.runningFits;
  const { element } = api.elements;
  const { words, rows, verdict } = api;

  /** The verdict on a line of the sheet; nothing where nothing is judged. @param {Found} found @param {number} index */
  const at = (found, index) => found.torques.find((t) => t.index === index) || null;

  /** What the page prints for a line, with its page. @param {TorqueLine} told */
  const printed = (told) => (told.row ? [rows.text(told.row), told.row.cite.text].filter(Boolean).join(", ") : "");

  /** Why a line is not followed, or not proven, and what else its page says. @param {TorqueLine} told @param {Found} found @returns {string[]} */
  function notes(told, found) {
    const slips = found.findings.filter((f) => f.torque === told.index).map((f) => f.message + ". " + f.help);
    const asked = told.questions.map((q) => q.words + " " + q.answers.map((a) => a.label).join(", "));
    const others = told.others.map((r) => rows.text(r) + " (" + r.cite.text + ") must hold too");
    const bare = told.verdict === "cannot-tell" && !told.why && !asked.length;
    const limit = told.percent ? "its limit of " + told.percent + " %" : "its limit";
    const guard = bare && !others.length ? ["the wrench cannot prove it: " + limit + " reaches beyond what is printed"] : [];
    return [...(told.why ? [told.why] : []), ...guard, ...asked, ...others, ...slips];
  }

  /** @param {TorqueLine} told */
  const kind = (told) => words.kind(told);

  /** The verdict beside a line that was recorded. @param {TorqueLine | null} told @param {Found} found */
  function beside(told, found) {
    return told && element("div", { class: "bench-followed bench-" + kind(told) }, element("strong", {}, words.verdict(told)),
      notes(told, found).map((n) => element("p", { class: "bench-small" }, verdict.coded(n))));
  }

  /** The verdict in one cell of a table. @param {TorqueLine | null} told @param {Found} found */
  const cell = (told, found) => (told ? [words.verdict(told), ...notes(told, found)].join("; ") : "not judged");

  /** How the lines of a joint stand, for the line that stays in sight: the last that is not followed, else the last.
   * @param {Found} found @param {number[]} indexes @returns {TorqueLine | null} */
  function standing(found, indexes) {
    const own = found.torques.filter((t) => indexes.includes(t.index));
    const [last = null] = own.slice(-1);
    const bad = own.filter((t) => kind(t) !== "in");
    return bad.length ? bad[bad.length - 1] : last;
  }

  api.followed = { at, printed, beside, cell, standing, kind };
})();
