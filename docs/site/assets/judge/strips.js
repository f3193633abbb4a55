"use strict";
// Fits whose strips were crushed by more at one end than at the other. Mirrors strips.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const values = part("values");
  const { inUnit } = part("walled");
  const { NOTHING } = part("unlimited");

  /** Fits of which strips at several places prove a taper, with its amount as it was read.
   * @param {any[]} entered @param {any} bench @returns {{one: any, why: string}[]} */
  function tapering(entered, { sheet, shared, means }) {
    return entered.flatMap((one) => {
      const strips = one.parts.get("strip");
      const value = strips && values.partValue(strips, "spread", means, false);
      return value && value.least > NOTHING
        ? [{ one, why: "its strips differ by " + inUnit(value.read, sheet.readings[value.readings[0]], shared)
          + " from place to place: bore or journal tapers; measure both at front and rear" }]
        : [];
    });
  }

  const made = { tapering };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.strips = made;
  }
})();
