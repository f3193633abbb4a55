"use strict";
// How closely rows speak of a thing at a place, and whether two of them speak of the same. Mirrors closeness.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, rows, places, lines] = ["exact", "rows", "places", "lines"].map(part);

  const DETAILS = ["which", "thread", "state", "method", "at"];

  /** Whether a row is a tightening step. @param {Row} row */
  const isStep = (row) => row.cells.joint !== undefined;

  /** @param {any} a @param {any} b */
  const sameSource = (a, b) => a.cells.source === b.cells.source;

  /** Whether a row prints an end that another of its document and detail does not.
   * @param {Row} row @param {any} other @param {Shared} shared */
  const lends = (row, other, shared) =>
    sameSource(row, other) && compatible(row, other, shared) &&
    !lines.within(lines.printedEnds(row), lines.printedEnds(other));

  /** Questions about fitted parts that a row answers, and its size where it bears one. @param {Row} row @param {any} here */
  const partsOf = (row, here) =>
    [...Object.keys(here.family.speaks(row).parts), ...(rows.cell(row, "size") ? ["size"] : [])];

  /** Whether two rows may speak of one thing: the same of several alike, or one of them does not say which.
   * @param {any} one @param {any} other @param {Shared} shared */
  const sameThing = (one, other, shared) => ["purpose", "step"].every((c) => rows.cell(one, c) === rows.cell(other, c)) &&
    ["which", "thread"].every((c) => agree(one, other, c, shared));

  /** Whether a row names all fitted parts that another names and more, or in one document the model too.
   * @param {Row} row @param {any} other @param {any} here */
  function namesMore(row, other, here) {
    const [mine, theirs] = [partsOf(row, here), partsOf(other, here)];
    const all = lines.within(theirs, mine);
    if (all && theirs.length < mine.length) {
      return true;
    }
    const [names, silent] = [here.family.speaks(row).namesModel, !here.family.speaks(other).namesModel];
    return sameSource(row, other) && names && silent && all;
  }

  /** Whether two rows do not name two of several alike, two states, two lengths or two steps.
   * @param {any} one @param {any} other @param {Shared} shared */
  const alikeMeasured = (one, other, shared) =>
    sameThing(one, other, shared) && ["state", "at"].every((c) => agree(one, other, c, shared));

  /** @param {Row} row @param {any} here */
  function rank(row, here) {
    const place = rows.cell(row, "position");
    if (isStep(row)) {
      return place === "all" && here.position !== "all" ? [2, 0] : [0, 0];
    }
    const { number, name } = places.split(here.position);
    if (place === "all") {
      return [2, 0];
    }
    return place === name || place === String(number) ? [0, 0] : [1, places.numbers(place).length];
  }

  /** @param {any} a @param {any} b */
  const apart = (a, b) => a[0] - b[0] || a[1] - b[1];
  /** @param {any} a @param {any} b @param {any} here */
  const closer = (a, b, here) => apart(rank(a, here), rank(b, here)) < 0;

  /** Whether one reading could be of both rows: each detail is the same, or one of them is silent on it.
   * @param {any} one @param {any} other @param {Shared} shared */
  const compatible = (one, other, shared) =>
    sameThing(one, other, shared) && DETAILS.every((c) => agree(one, other, c, shared));

  /** @param {any} one @param {any} other @param {string} column @param {Shared} shared */
  const agree = (one, other, column, shared) =>
    !rows.cell(one, column) || !rows.cell(other, column) || sameDetail(one, other, column, shared);

  /** Whether two rows say the same in a detail; numbers of a condition within half a printed digit.
   * @param {any} one @param {any} other @param {string} column @param {Shared} shared */
  function sameDetail(one, other, column, shared) {
    const [mine, theirs] = [rows.cell(one, column), rows.cell(other, column)];
    const own = rows.cell(one, "at_unit");
    if (mine === theirs) {
      return column !== "at" || own === rows.cell(other, "at_unit") || !mine;
    }
    return column === "at" && Boolean(mine && theirs) && sameAt(mine + " " + own, other, shared);
  }

  /** Whether `2.07 in` is the number that a row's value depends on, within half a printed digit.
   * @param {string} text @param {Row} row @param {Shared} shared */
  function sameAt(text, row, shared) {
    const [number, unit = ""] = text.trim().split(" ");
    const [at, own] = [rows.cell(row, "at"), rows.cell(row, "at_unit")];
    const [mine, theirs] = [unit, own].map((u) => (Object.hasOwn(shared.units, u) ? shared.units[u] : null));
    if (!mine || !theirs || mine.dimension !== theirs.dimension) {
      return number === at && (unit || own) === own;
    }
    /** @param {any} value @param {any} _ */
    const inSi = (value, { factor }) => exact.multiply(value, exact.parse(factor));
    const steps = [inSi(exact.step(number), mine), inSi(exact.step(at), theirs)];
    const off = exact.absolute(exact.subtract(inSi(exact.parse(number), mine), inSi(exact.parse(at), theirs)));
    return !exact.less(exact.divide(exact.largest(steps), exact.whole(2)), off);
  }

  const made = {
    DETAILS, alikeMeasured, apart, closer, compatible, isStep, lends, namesMore, partsOf, rank, sameAt, sameDetail, sameSource,
    sameThing,
  };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.closeness = made;
  }
})();
