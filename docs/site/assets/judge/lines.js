"use strict";
// Lines of rows that all must hold: sizes worked out, ends joined within a document, which rows print the same.
// Mirrors lines.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, rows, builds] = ["exact", "rows", "build"].map(part);

  const ENDS = ["lower", "upper", "limit"];
  const NUMBERS = ["lower", "upper", "nominal", "tolerance", "limit"];
  const PRINTED = ["lower", "upper", "limit", "nominal"];
  const SHIFTED = ["lower", "upper", "nominal", "limit"];

  /** @param {string} unit @param {Shared} shared */
  const factorOf = (unit, shared) => exact.parse(shared.units[unit].factor);
  /** @param {any} from @param {any} fits */
  const kept = (from, fits) => Object.fromEntries(Object.entries(from).filter(([column]) => fits(column)));

  /** A standard row moved to a repair size by its quantity's share; null where nobody says by how much it moves.
   * @param {Row} row @param {any} share @param {any} wanted @param {Shared} shared */
  function shifted(row, share, wanted, shared) {
    if (!share) {
      return null;
    }
    if (exact.equal(exact.parse(share), exact.ZERO)) {
      return row;
    }
    const cells = { ...row.cells };
    const by = exact.multiply(exact.parse(share), exact.multiply(wanted.value, factorOf(wanted.unit, shared)));
    for (const suffix of ["", "_2"].filter((s) => cells["unit" + s])) {
      const moved = exact.divide(by, factorOf(cells["unit" + suffix], shared));
      for (const column of SHIFTED) {
        const value = rows.value(row, column + suffix);
        if (value !== null && !(column === "limit" && rows.cell(row, "limit_as") === "wear")) {
          cells[column + suffix] = evenly(exact.add(exact.parse(value), moved), rows.step(row, column + suffix));
        }
      }
    }
    /** @param {string} column */
    const tolerance = (column) => column.replace("_2", "") === "tolerance";
    const mark = "worked out from the standard size for " + builds.sizeText(wanted);
    return {
      ...row, cells, corrected: kept(row.corrected, tolerance), misprints: kept(row.misprints, tolerance),
      marks: [...row.marks, mark],
    };
  }

  /** A worked-out end as text in the printed digits, with up to three more only where it comes out even with them.
   * @param {any} value @param {any} step */
  function evenly(value, step) {
    const digits = step.d.toString().length - 1;
    /** @param {any} places */
    const even = (places) => (value.n * 10n ** BigInt(places)) % value.d === 0n;
    const more = [0, 1, 2, 3].find((n) => even(digits + n)) || 0;
    return exact.fixed(value, digits + more);
  }

  /** Which of lower, upper, limit and nominal a row prints; a nominal with its tolerance prints both ends. @param {Row} row */
  function printedEnds(row) {
    const [lower, upper] = rows.range(row);
    /** @type {Record<string, any>} */
    const ends = { lower, upper, limit: rows.value(row, "limit"), nominal: rows.value(row, "nominal") };
    return PRINTED.filter((k) => ends[k] !== null);
  }

  /** @param {any} a @param {any} b */
  const within = (a, b) => a.every((/** @type {any} */ x) => b.includes(x));
  /** @param {any} a @param {any} b */
  const sameSet = (a, b) => a.length === b.length && within(a, b);
  /** @param {any} a @param {any} b */
  const sharedOf = (a, b) => a.filter((/** @type {any} */ x) => b.includes(x));

  /** A row with those ends of another row of its document that it does not print, in the other's page and marks.
   * @param {Row} row @param {any} other */
  function withEnds(row, other) {
    const own = printedEnds(row);
    const lacking = printedEnds(other).filter((e) => !own.includes(e));
    const columns = ENDS.filter((c) => lacking.includes(c) && rows.cell(other, c));
    if (within(["lower", "upper"], lacking) && rows.cell(other, "tolerance")) {
      columns.push("nominal", "tolerance");
    }
    if (!columns.length || rows.cell(row, "unit") !== rows.cell(other, "unit")) {
      return row;
    }
    const found = { cells: { ...row.cells }, corrected: { ...row.corrected }, misprints: { ...row.misprints } };
    const suffixes = rows.cell(row, "unit_2") === rows.cell(other, "unit_2") ? ["", "_2"] : [""];
    columns.flatMap((c) => suffixes.map((s) => c + s)).forEach((name) => take(name, other, found));
    if (columns.includes("limit")) {
      found.cells.limit_as = rows.cell(other, "limit_as");
    }
    return { ...row, ...found, also: cites(row, other), marks: lentMarks(row, other, columns) };
  }

  /** @param {string} name @param {any} other @param {any} _ */
  function take(name, other, { cells, corrected, misprints }) {
    cells[name] = rows.cell(other, name);
    if (Object.hasOwn(other.corrected, name)) {
      corrected[name] = other.corrected[name];
      misprints[name] = other.misprints[name];
    }
  }

  /** @param {Row} row @param {any} other @param {any} columns */
  function lentMarks(row, other, columns) {
    const from = columns.filter((/** @type {any} */ c) => c !== "tolerance").join(" and ") + " from " + other.page;
    const marks = rows.cell(row, "page") === rows.cell(other, "page") ? [...row.marks] : [...row.marks, from];
    other.marks.filter((/** @type {any} */ m) => !marks.includes(m)).forEach((/** @type {any} */ m) => marks.push(m));
    return marks;
  }

  /** Two rows that print the same as one line with the pages of both; null where they differ.
   * @param {any} one @param {any} other @param {Shared} shared */
  function merged(one, other, shared) {
    const [mine, theirs] = [printedEnds(one), printedEnds(other)];
    if (!(within(mine, theirs) || within(theirs, mine)) || !alike(one, other, shared)) {
      return null;
    }
    const finer = () => exact.less(finest(other, shared), finest(one, shared));
    const fuller = theirs.length > mine.length || (theirs.length === mine.length && finer());
    const [base, more] = fuller ? [other, one] : [one, other];
    return { ...base, also: cites(base, more) };
  }

  /** @param {any} c */
  const citeKey = (c) => c.source + ":" + c.page;

  /** Further pages of a line that two rows make. @param {Row} row @param {any} other */
  function cites(row, other) {
    const found = new Map([...row.also, other.cite, ...other.also].map((c) => [citeKey(c), c]));
    found.delete(citeKey(row.cite));
    return [...found.values()];
  }

  /** Whether the ends that two rows both print, at least one, are equal within half a printed digit in either unit.
   * @param {any} one @param {any} other @param {Shared} shared */
  function alike(one, other, shared) {
    const both = sharedOf(printedEnds(one), printedEnds(other));
    const limitAs = rows.cell(one, "limit_as") === rows.cell(other, "limit_as");
    if (!both.length || (both.includes("limit") && !limitAs)) {
      return false;
    }
    return ["", "_2"].some((a) => ["", "_2"].some((b) => {
      const unit = rows.cell(one, "unit" + a);
      return unit && unit === rows.cell(other, "unit" + b) && close(one, other, a, b, both, shared);
    }));
  }

  /** Whether ends in one unit are equal within half a printed digit.
   * @param {any} one @param {any} other @param {any} a @param {any} b @param {any} both @param {Shared} shared */
  function close(one, other, a, b, both, shared) {
    const factor = factorOf(rows.cell(one, "unit" + a), shared);
    return both.every((/** @type {string} */ name) => {
      const [mine, theirs] = [end(one, name, a), end(other, name, b)];
      if (mine === null || theirs === null) {
        return false;
      }
      const apart = exact.multiply(exact.absolute(exact.subtract(mine.value, theirs.value)), factor);
      const half = exact.multiply(exact.largest([mine.step, theirs.step]), exact.divide(factor, exact.whole(2)));
      return exact.equal(apart, exact.ZERO) || exact.less(apart, half);
    });
  }

  /** An end in one printed unit and its printed step. @param {Row} row @param {string} name @param {string} suffix */
  function end(row, name, suffix) {
    const [lower, upper] = rows.range(row, suffix);
    /** @type {Record<string, any>} */
    const ends = { lower, upper };
    const value = Object.hasOwn(ends, name) ? ends[name] : rows.value(row, name + suffix);
    if (value === null) {
      return null;
    }
    const columns = rows.cell(row, name + suffix) ? [name + suffix] : ["nominal" + suffix, "tolerance" + suffix];
    return { value: exact.parse(value), step: exact.largest(columns.map((c) => rows.step(row, c))) };
  }

  /** The finest printed step of a row in SI units. @param {Row} row @param {Shared} shared */
  function finest(row, shared) {
    const there = NUMBERS.filter((c) => rows.cell(row, c) && rows.value(row, c) !== null);
    const least = there.length ? exact.smallest(there.map((c) => rows.step(row, c))) : exact.whole(1);
    return exact.multiply(least, factorOf(rows.cell(row, "unit"), shared));
  }

  /** @param {any} cells */
  const full = (cells) => Object.entries(cells).filter(([, v]) => v).sort(([a], [b]) => (a < b ? -1 : 1));
  /** @param {any} a @param {any} b */
  const sameCells = (a, b) => a.id === b.id && JSON.stringify(full(a.cells)) === JSON.stringify(full(b.cells));

  /** Whether two rows are one and the same in everything. @param {any} a @param {any} b */
  const sameRow = (a, b) =>
    sameCells(a, b) && ["corrected", "marks", "also"].every((k) => JSON.stringify(a[k]) === JSON.stringify(b[k]));

  /** Whether two lines judge alike: as many rows, each with the same ends as one of the other line.
   * @param {any} one @param {any} other @param {Shared} shared */
  function sameLine(one, other, shared) {
    /** @param {any} a */
    const twin = (a) => other.some((/** @type {any} */ b) => sameSet(printedEnds(a), printedEnds(b)) && alike(a, b, shared));
    return one.length === other.length && one.every((/** @type {any} */ a) => twin(a) || other.some((/** @type {any} */ b) => sameRow(a, b)));
  }

  /** @param {any} line */
  const lineKey = (line) => JSON.stringify(line.map((/** @type {any} */ r) => [r.id, full(r.cells)]));

  const made = { shifted, printedEnds, within, sharedOf, withEnds, merged, alike, sameLine, lineKey };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.lines = made;
  }
})();
