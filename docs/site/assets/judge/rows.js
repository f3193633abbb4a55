"use strict";
// One row: what its page prints. Mirrors rows.py and, for words, shown.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const exact = node ? require("./exact.js") : window.runningFits.exact;

  /** @param {Row} row @param {string} column */
  const cell = (row, column) => row.cells[column] || "";

  /** The number to judge by, as text, a registered misprint corrected; null where there is none.
   * @param {Row} row @param {string} column */
  function value(row, column) {
    const text = Object.hasOwn(row.corrected, column) ? row.corrected[column] : cell(row, column);
    return text || null;
  }

  /** One unit of the last printed digit of a column that bears a number, the corrected one of a misprint.
   * @param {Row} row @param {string} column */
  const step = (row, column) => exact.step(row.corrected[column] || cell(row, column));

  /** Lower and upper end as text, from a nominal and its tolerance where the page prints those.
   * @param {Row} row @param {string} [suffix] */
  function range(row, suffix = "") {
    const [nominal, tolerance] = [value(row, "nominal" + suffix), value(row, "tolerance" + suffix)];
    if (nominal !== null && tolerance !== null) {
      return [exact.joined(nominal, tolerance, -1), exact.joined(nominal, tolerance, 1)];
    }
    return [value(row, "lower" + suffix), value(row, "upper" + suffix)];
  }

  /** The wear limit as a value of the quantity; an amount of wear is counted from the end that wears.
   * @param {Row} row @param {string} side @param {string} [suffix] */
  function limit(row, side, suffix = "") {
    const found = value(row, "limit" + suffix);
    if (found === null || cell(row, "limit_as") !== "wear") {
      return found;
    }
    const end = range(row, suffix)[side === "lower" ? 0 : 1];
    const base = end === null ? value(row, "nominal" + suffix) : end;
    return base === null ? null : exact.joined(base, found, side === "lower" ? -1 : 1);
  }

  // words

  /** A cell as text, a misprint corrected and marked with an asterisk. @param {Row} row @param {string} column */
  function shown(row, column) {
    if (!Object.hasOwn(row.corrected, column)) {
      return cell(row, column);
    }
    return (value(row, column) || "?") + "*";
  }

  /** The range as printed in one unit; empty where there is none. @param {Row} row @param {string} suffix */
  function span(row, suffix) {
    const [lower, upper, nominal, tolerance] = ["lower", "upper", "nominal", "tolerance"].map((c) => shown(row, c + suffix));
    const unit = " " + cell(row, "unit" + suffix);
    if (nominal && tolerance) {
      return nominal + " ± " + tolerance + unit;
    }
    if (nominal && !lower && !upper) {
      return nominal + unit;
    }
    const ends = lower && upper ? lower + " to " + upper : lower ? "at least " + lower : upper ? "at most " + upper : "";
    return ends ? ends + unit : "";
  }

  /** The wear limit as printed in one unit; empty where none is printed. @param {Row} row @param {string} suffix */
  function worn(row, suffix) {
    const text = cell(row, "limit" + suffix) ? shown(row, "limit" + suffix) : "";
    const words = cell(row, "limit_as") === "wear" ? "wear " : "";
    return text ? words + text + " " + cell(row, "unit" + suffix) : "";
  }

  /** Range and limit of a row as printed, in one unit or in both. @param {Row} row @param {any} [suffixes] */
  function text(row, suffixes = ["", "_2"]) {
    const there = suffixes.filter((/** @type {any} */ s) => cell(row, "unit" + s));
    const [range_, limit_] = [span, worn].map((f) => there.map((/** @type {any} */ s) => f(row, s)).filter(Boolean).join(" / "));
    return [range_, limit_ && "limit " + limit_].filter(Boolean).join("; ");
  }

  const rows = { cell, value, step, range, limit, text };

  if (node) {
    module.exports = rows;
  } else {
    window.runningFits.rows = rows;
  }
})();
