"use strict";
// Rows that judge an item at a place, for a build that answers every question: the steps of docs/judging.md.
// Mirrors here.py and resolving.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, rows, places, builds, lines] = ["exact", "rows", "places", "build", "lines"].map(part);
  const { DETAILS, alikeMeasured, compatible, isStep, lends, namesMore, sameDetail, sameSource, sameThing } = part("closeness");
  const { apart, closer, partsOf, rank } = part("closeness");

  const { MODEL, UNKNOWN, STANDARD } = builds;

  /** An item at a place of an engine. @param {Engine} engine @param {Shared} shared @param {string} item @param {string} position */
  function hereOf(engine, shared, item, position) {
    return { engine, shared, family: builds.family(engine), item, position };
  }

  /** @param {any} here */
  const repairOf = (here) => here.shared.quantities[here.item] || { repair: "", share: "", count: "" };
  /** @param {string} column @param {any} model @param {any} here */
  const countOf = (column, model, here) => here.family.count(column, model ? [model] : []);

  /** How many places an item has, in a model where given; null where no page says so.
   * @param {string} item @param {any} model @param {any} here */
  function count(item, model, here) {
    const column = (here.shared.quantities[item] || {}).count;
    return column ? countOf(column, model, here) : null;
  }

  /** The repair size that the build tells for an item here; `unknown` where it tells none for sure.
   * @param {any} build @param {any} here */
  function wantedSize(build, here) {
    const { repair, count: own } = repairOf(here);
    if (!repair) {
      return STANDARD;
    }
    const there = here.shared.repairs[repair].count;
    /** @param {any} s */
    const plain = (s) => (builds.isSize(s) ? exact.text(s.value) + " " + (builds.isStandard(s) ? "" : s.unit) : s);
    const uneven = new Set(Object.values(build.size[repair] || {}).map(plain)).size > 1;
    const unlike = own && there && own !== there;
    if (uneven && unlike && countOf(own, build.model, here) !== countOf(there, build.model, here)) {
      return UNKNOWN;
    }
    return builds.sizeAt(build, repair, here.position);
  }

  /** Whether a row speaks of this place, in a model. @param {Row} row @param {any} model @param {any} here */
  function isAt(row, model, here) {
    const most = count(row.cells.quantity, model, here);
    return isStep(row) ? meets(rows.cell(row, "position"), here.position, most)
      : places.holds(rows.cell(row, "position"), here.position, most, here.shared);
  }

  /** Whether two positions of a joint share a fastener, of so many. @param {any} own @param {any} asked @param {any} most */
  function meets(own, asked, most) {
    if (own === "all" || asked === "all" || own === asked) {
      return true;
    }
    const [there, wanted] = [own, asked].map((position) => places.places(position, most) || []);
    return wanted.some((/** @type {any} */ n) => there.includes(n));
  }

  /** Whether no answer of the build contradicts what a row speaks of. @param {Row} row @param {any} build @param {any} here */
  function admits(row, build, here) {
    const speaks = here.family.speaks(row);
    const model = builds.answer(build, MODEL, here.position, here.family);
    if (here.family.names.includes(model) && !speaks.models.includes(model)) {
      if (speaks.namesModel || !build.documents.includes(row.cells.source)) {
        return false;
      }
    }
    return Object.entries(speaks.parts).every(([question, parts]) => {
      const answer = builds.answer(build, question, here.position, here.family);
      return answer === null || answer === UNKNOWN || parts.includes(answer);
    });
  }

  /** Whether a row has the build's repair size, or none and may be shifted to it.
   * @param {Row} row @param {any} build @param {any} here */
  function ofSize(row, build, here) {
    const wanted = wantedSize(build, here);
    if (!builds.isSize(wanted) || !rows.cell(row, "size")) {
      return true;
    }
    return !builds.isStandard(wanted) && builds.sameSize(sizeOf(row), wanted, here.shared);
  }

  /** The repair size that a row bears. @param {Row} row */
  const sizeOf = (row) => (rows.cell(row, "size") ? builds.sizeOf(row.cells.size, row.cells.unit) : STANDARD);

  /** Lines that judge, one for each detail that a sheet could name, and the rows that choices.csv passes over.
   * @param {any} all @param {any} build @param {any} here */
  function resolved(all, build, here) {
    const answer = builds.answer(build, MODEL, here.position, here.family) || "";
    const model = here.family.names.includes(answer) ? answer : "";
    const there = all.filter((/** @type {any} */ r) => admits(r, build, here) && isAt(r, model, here)).map((/** @type {any} */ r) => marked(r, model, here));
    const closest = beforeWider(beforeSilent(sized(there, build, here), here), here);
    const { kept, passed } = decided(closest, here.engine);
    return { lines: linesOf(kept, here), passed };
  }

  /** Rows less those that a line of choices.csv passes over for another of them, and those. @param {any} all @param {Engine} engine */
  function decided(all, engine) {
    const ids = new Set(all.map((/** @type {any} */ r) => r.id));
    const over = new Set(engine.choices.filter((/** @type {any} */ [row, o]) => ids.has(row) && ids.has(o)).map((/** @type {any} */ c) => c[1]));
    return { kept: all.filter((/** @type {any} */ r) => !over.has(r.id)), passed: all.filter((/** @type {any} */ r) => over.has(r.id)) };
  }

  /** @param {Row} row @param {any} model @param {any} here */
  function marked(row, model, here) {
    const other = model && !here.family.speaks(row).models.includes(model);
    const marks = [row.doubt, other ? "of a document for other models, which the sheet admits" : ""].filter(Boolean);
    return marks.length ? { ...row, marks: [...row.marks, ...marks] } : row;
  }

  /** Rows of the build's repair size, else standard rows moved to it; a document's own size lends no end of it.
   * @param {any} all @param {any} build @param {any} here */
  function sized(all, build, here) {
    const wanted = wantedSize(build, here);
    const unsized = all.filter((/** @type {any} */ r) => !rows.cell(r, "size"));
    const standard = unsized.filter((/** @type {any} */ r) => rows.cell(r, "class") !== "repair");
    if (!builds.isSize(wanted) || builds.isStandard(wanted)) {
      return standard;
    }
    const ofThat = all.filter((/** @type {any} */ r) => rows.cell(r, "size") && builds.sameSize(sizeOf(r), wanted, here.shared));
    const same = ofThat.filter((/** @type {any} */ r) => builds.equalSizes(sizeOf(r), wanted));
    const near = same.length ? same : ofThat.map((/** @type {any} */ r) => takenFor(r, wanted));
    const found = near.length ? near : unsized.filter((/** @type {any} */ r) => !standard.includes(r));
    const moved = standard.map((/** @type {any} */ r) => lines.shifted(r, repairOf(here).share, wanted, here.shared)).filter(Boolean);
    return found.length ? [...found, ...moved.filter((/** @type {any} */ m) => found.some((/** @type {any} */ f) => lends(m, f, here.shared)))] : moved;
  }

  /** @param {Row} row @param {any} wanted */
  function takenFor(row, wanted) {
    const mark = "printed for " + builds.sizeText(sizeOf(row)) + ", taken for " + builds.sizeText(wanted);
    return { ...row, marks: [...row.marks, mark] };
  }

  /** Rows less those silent on a fitted part that another names, save for an end that only they print there.
   * @param {any} all @param {any} here */
  function beforeSilent(all, here) {
    /** @param {any} r @param {any} o */
    const over = (r, o) => namesMore(o, r, here) && !lends(r, o, here.shared) && sameThing(o, r, here.shared);
    return all.filter((/** @type {any} */ r) => !all.some((/** @type {any} */ o) => over(r, o)));
  }

  /** Rows of the closest place, save for an end that only a wider row of the same document prints there.
   * @param {any} all @param {any} here */
  function beforeWider(all, here) {
    return all.filter((/** @type {Row} */ row) => {
      const near = all.filter((/** @type {any} */ o) => closer(o, row, here) && alikeMeasured(o, row, here.shared));
      return !near.length || near.some((/** @type {any} */ o) => lends(row, o, here.shared));
    });
  }

  // lines

  /** @param {Row} row */
  const once = (row) => (rows.cell(row, "reading") === "twice" ? 0 : 1);

  /** Rows as lines: those of one document joined end by end, those that print the same one with several pages.
   * @param {any} all @param {any} here */
  function linesOf(all, here) {
    /** @param {any} a @param {any} b */
    const by = (a, b) =>
      partsOf(b, here).length - partsOf(a, here).length || apart(rank(a, here), rank(b, here)) || once(a) - once(b);
    /** @type {any[]} */
    const groups = [];
    for (const row of [...all].sort(by)) {
      const same = groups.find((g) => DETAILS.every((/** @type {string} */ c) => sameDetail(g[0], row, c, here.shared)));
      if (same) {
        same.push(row);
      } else {
        groups.push([row]);
      }
    }
    return withoutEquals(lent(groups.map((g) => together(g, here)), here.shared), here.shared);
  }

  /** Rows of one detail, the closest first, as a line. @param {any} all @param {any} here */
  function together(all, here) {
    const bySource = new Map();
    all.forEach((/** @type {any} */ r) => bySource.set(r.cells.source, [...(bySource.get(r.cells.source) || []), r]));
    const found = [...bySource.values()].flatMap((g) => joined(g, here));
    return oneOfSame(found.sort((a, b) => once(a) - once(b)), here.shared);
  }

  /** Rows that print the same as one with the pages of all. @param {any} all @param {Shared} shared */
  function oneOfSame(all, shared) {
    /** @type {any[]} */
    const found = [];
    for (const row of all) {
      const at = found.findIndex((other) => lines.merged(other, row, shared) !== null);
      if (at < 0) {
        found.push(row);
      } else {
        found[at] = lines.merged(found[at], row, shared);
      }
    }
    return found;
  }

  /** Rows of one document, the closest first, joined end by end; rows that speak as closely and differ stay apart.
   * @param {any} all @param {any} here */
  function joined(all, here) {
    /** @type {any[]} */
    const found = [];
    for (const row of all) {
      /** @param {any} _ */
      const fits = ({ first, line }) => {
        const free = !lines.sharedOf(lines.printedEnds(row), lines.printedEnds(line)).length;
        const nearer = namesMore(first, row, here) || closer(first, row, here);
        return row.cells.unit === line.cells.unit && (free || nearer);
      };
      const own = found.find(fits);
      if (own) {
        own.line = lines.withEnds(own.line, row);
      } else {
        found.push({ first: row, line: row });
      }
    }
    return found.map((f) => f.line);
  }

  /** Lines with the ends that a lone row of their document prints without saying how it is measured.
   * @param {any} all @param {Shared} shared */
  function lent(all, shared) {
    const alone = all.filter((/** @type {any} */ line) => line.length === 1).map((/** @type {any} */ line) => line[0]);
    const lending = alone.filter((/** @type {Row} */ row) => alone.some((/** @type {any} */ base) => takes(base, row, shared)));
    return all.filter((/** @type {any} */ line) => !lending.includes(line[0])).map((/** @type {any} */ line) => {
      /** @param {any} base @param {Row} row */
      const fill = (base, row) => (takes(base, row, shared) ? lines.withEnds(base, row) : base);
      return line.length === 1 ? [lending.reduce(fill, line[0])] : line;
    });
  }

  /** Whether a row has room for the lone limit of another row of its document.
   * @param {any} base @param {Row} row @param {Shared} shared */
  function takes(base, row, shared) {
    const free = lines.printedEnds(row).join() === "limit" && !lines.printedEnds(base).includes("limit");
    return free && sameSource(row, base) && row.cells.unit === base.cells.unit && compatible(row, base, shared);
  }

  /** Lines less those that print what another prints, its pages added to that one. @param {any} all @param {Shared} shared */
  function withoutEquals(all, shared) {
    /** @type {any[]} */
    const found = [];
    for (const line of all) {
      const at = found.findIndex((f) => oneLine(f, line, shared));
      if (at < 0) {
        found.push(line);
      } else if (!lines.sameLine(found[at], line, shared) || line.length === 1) {
        found[at] = oneOfSame([...found[at], ...line], shared);
      }
    }
    return found;
  }

  /** Whether no reading can tell two lines apart in its verdict. @param {any} one @param {any} other @param {Shared} shared */
  function oneLine(one, other, shared) {
    if (lines.sameLine(one, other, shared)) {
      return true;
    }
    const alone = one.length === 1 && other.length === 1 && compatible(one[0], other[0], shared);
    return alone && lines.merged(one[0], other[0], shared) !== null;
  }

  const made = { hereOf, count, wantedSize, isAt, meets, admits, ofSize, sizeOf, resolved, decided };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.resolving = made;
  }
})();
