"use strict";
// Slips that stand beside the verdict until the builder keeps what he read or reads again.
(function () {
  const api = window.runningFits;
  const { element, button } = api.elements;
  const { words } = api;
  const capital = (/** @type {string} */ text) => text.slice(0, 1).toUpperCase() + text.slice(1);

  /** @param {App} app @param {() => [Reading, number][]} mine @param {(index: number, words: string) => void} takeBack */
  function standing(app, mine, takeBack) {
    /** Slips of readings here that nobody has said to keep, by reading. @param {any} found @returns {[number, any[]][]} */
    function slipsHere(found) {
      const own = new Set(mine().map(([, n]) => n));
      const open = found.findings.filter((/** @type {any} */ f) => own.has(f.reading) && f.severity !== "remark" &&
        !Object.hasOwn(app.sheet().readings[f.reading].kept || {}, f.code));
      const readings = [...new Set(open.map((/** @type {any} */ f) => f.reading))];
      return readings.map((n) => [/** @type {number} */ (n), open.filter((/** @type {any} */ f) => f.reading === n)]);
    }

    /** A slip stands beside the verdict until the builder says what to do, today or another day. @param {any} found */
    function slips(found) {
      return slipsHere(found).map(([n, all]) => {
        const told = words.reading(app.sheet().readings[n]);
        const keep = () => app.edit((sheet) => {
          sheet.readings[n].kept = { ...sheet.readings[n].kept, ...Object.fromEntries(all.map((f) => [f.code, f.message])) };
          app.say("Kept as read.");
        });
        return element("div", { class: "bench-stop", role: "alert" }, element("p", {}, "Is " + told + " a slip?"),
          all.map((f) => [element("p", {}, f.message + "."), element("p", {}, capital(f.help) + ".")]),
          element("div", { class: "bench-buttons" },
            button("Read again", () => readAgain(n, told), { key: "slip/again/" + n, class: "bench-plain" }),
            button("Keep as read", keep, { key: "slip/keep/" + n, class: "bench-plain" })));
      });
    }

    /** @param {number} n @param {string} told */
    function readAgain(n, told) {
      takeBack(n, told + " is taken out: read again.");
      const field = /** @type {HTMLElement | null} */ (app.root.querySelector(".bench-typed"));
      field && field.focus();
    }

    return { slipsHere, slips };
  }

  api.standing = { standing };
})();
