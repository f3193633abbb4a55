"use strict";
// Two ways of measuring one fit: whether they agree, and what may be behind it when not. Mirrors two_ways.py, whose
// causes come with the data.
(function () {
  const node = typeof module === "object" && module.exports;
  const exact = node ? require("./exact.js") : window.runningFits.exact;

  const DIRECT = ["strip", "gap"];

  /** Agreement of two values: |x1 - x2| <= sqrt(U1^2 + U2^2), that is E_n <= 1 (ISO 13528, 9.7).
   * @param {any} deciding @param {any} other @param {Shared} shared */
  function compare(deciding, other, shared) {
    const off = exact.toNumber(exact.subtract(other.value, deciding.value));
    const expanded = Math.hypot(deciding.expanded, other.expanded);
    const agrees = Math.abs(off) <= expanded * (1 + 1e-12);
    const direct = DIRECT.includes(other.way);
    const way = direct ? other.way : deciding.way;
    const larger = String((off > 0) === direct);
    const listed = shared.causes[way] || shared.causes.gap;
    return { other, difference: off, expanded, agrees, causes: agrees ? [] : listed[larger] };
  }

  const made = { compare };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.two_ways = made;
  }
})();
