"use strict";
// Whether the repair size that a sheet claims for a part is one that pages print for it, or a common step. Mirrors
// sized.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, rows, builds, resolving] = ["exact", "rows", "build", "resolving"].map(part);

  /** What the build says of the size of a case's part; null for the standard size and one that is not known.
   * @param {any} _ @param {any} build @param {Engine} engine @param {Shared} shared */
  function claimed({ quantity, position }, build, engine, shared) {
    const wanted = quantity.repair ? builds.sizeAt(build, quantity.repair, position) : null;
    if (!builds.isSize(wanted) || builds.isStandard(wanted)) {
      return null;
    }
    const [printed, common] = [printedSizes(quantity.repair, engine, shared), commonSizes(quantity.repair, shared)];
    /** @param {any} known */
    const among = (known) => known.some((/** @type {any} */ s) => builds.sameSize(wanted, s, shared));
    return {
      part: shared.repairs[quantity.repair].label, text: builds.sizeText(wanted),
      printed: [...new Set(printed.map(builds.sizeText))].join(", "), isPrinted: among(printed), isCommon: among(common),
    };
  }

  /** Repair sizes of a machined part that an engine's rows bear, the smallest first.
   * @param {any} repair @param {Engine} engine @param {Shared} shared */
  function printedSizes(repair, engine, shared) {
    const own = engine.rows.filter((/** @type {any} */ r) => rows.cell(r, "size") && (shared.quantities[r.cells.quantity] || {}).repair === repair);
    /** @param {any} s */
    const si = (s) => exact.multiply(exact.absolute(s.value), exact.parse(shared.units[s.unit].factor));
    /** @param {any} a @param {Bounds} b */
    const order = (a, b) => (exact.equal(si(a), si(b)) ? (a.unit < b.unit ? -1 : Number(a.unit > b.unit)) : exact.less(si(a), si(b)) ? -1 : 1);
    return own.map(resolving.sizeOf).sort(order);
  }

  /** @param {any} repair @param {Shared} shared */
  const commonSizes = (repair, shared) => {
    const { common, sign } = shared.repairs[repair];
    const listed = common.split(", ").filter(Boolean);
    return listed.map((/** @type {string} */ text) => builds.sizeFrom((sign === "minus" ? "-" : "") + text));
  };

  const made = { claimed, printedSizes, commonSizes };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.sized = made;
  }
})();
