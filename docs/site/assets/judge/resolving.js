"use strict";
// Rows that judge an item at a place, for a build that answers every question: the steps of docs/judging.md.
// Mirrors resolving.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, rows, places, builds, lines] = ["exact", "rows", "places", "build", "lines"].map(part);

  const DETAILS = ["which", "thread", "state", "method", "at"];
  const { MODEL, UNKNOWN, STANDARD } = builds;

  /** An item at a place of an engine. */
  function hereOf(engine, shared, item, position) {
    return { engine, shared, family: builds.family(engine), item, position };
  }

  const repairOf = (here) => here.shared.quantities[here.item] || { repair: "", share: "", count: "" };
  const countOf = (column, model, here) => here.family.count(column, model ? [model] : []);

  /** How many places an item has, in a model where given; null where no page says so. */
  function count(item, model, here) {
    const column = (here.shared.quantities[item] || {}).count;
    return column ? countOf(column, model, here) : null;
  }

  /** The repair size that the build tells for an item here; `unknown` where it tells none for sure. */
  function wantedSize(build, here) {
    const { repair, count: own } = repairOf(here);
    if (!repair) {
      return STANDARD;
    }
    const there = here.shared.repairs[repair].count;
    const plain = (s) => (builds.isSize(s) ? exact.text(s.value) + " " + (builds.isStandard(s) ? "" : s.unit) : s);
    const uneven = new Set(Object.values(build.size[repair] || {}).map(plain)).size > 1;
    const unlike = own && there && own !== there;
    if (uneven && unlike && countOf(own, build.model, here) !== countOf(there, build.model, here)) {
      return UNKNOWN;
    }
    return builds.sizeAt(build, repair, here.position);
  }

  /** Whether a row is a tightening step. */
  const isStep = (row) => row.cells.joint !== undefined;

  /** Whether a row speaks of this place, in a model. */
  function isAt(row, model, here) {
    const most = count(row.cells.quantity, model, here);
    return isStep(row) ? meets(rows.cell(row, "position"), here.position, most)
      : places.holds(rows.cell(row, "position"), here.position, most, here.shared);
  }

  /** Whether two positions of a joint share a fastener, of so many. */
  function meets(own, asked, most) {
    if (own === "all" || asked === "all" || own === asked) {
      return true;
    }
    const [there, wanted] = [own, asked].map((position) => places.places(position, most) || []);
    return wanted.some((n) => there.includes(n));
  }

  /** Whether no answer of the build contradicts what a row speaks of. */
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

  /** Whether a row has the build's repair size, or none and may be shifted to it. */
  function ofSize(row, build, here) {
    const wanted = wantedSize(build, here);
    if (!builds.isSize(wanted) || !rows.cell(row, "size")) {
      return true;
    }
    return !builds.isStandard(wanted) && builds.sameSize(sizeOf(row), wanted, here.shared);
  }

  /** The repair size that a row bears. */
  const sizeOf = (row) => (rows.cell(row, "size") ? builds.sizeOf(row.cells.size, row.cells.unit) : STANDARD);

  /** Lines that judge, one for each detail that a sheet could name, and the rows that choices.csv passes over. */
  function resolved(all, build, here) {
    const answer = builds.answer(build, MODEL, here.position, here.family) || "";
    const model = here.family.names.includes(answer) ? answer : "";
    const there = all.filter((r) => admits(r, build, here) && isAt(r, model, here)).map((r) => marked(r, model, here));
    const closest = beforeWider(beforeSilent(sized(there, build, here), here), here);
    const { kept, passed } = decided(closest, here.engine);
    return { lines: linesOf(kept, here), passed };
  }

  /** Rows less those that a line of choices.csv passes over for another of them, and those. */
  function decided(all, engine) {
    const ids = new Set(all.map((r) => r.id));
    const over = new Set(engine.choices.filter(([row, o]) => ids.has(row) && ids.has(o)).map((c) => c[1]));
    return { kept: all.filter((r) => !over.has(r.id)), passed: all.filter((r) => over.has(r.id)) };
  }

  function marked(row, model, here) {
    const other = model && !here.family.speaks(row).models.includes(model);
    const marks = [row.doubt, other ? "of a document for other models, which the sheet admits" : ""].filter(Boolean);
    return marks.length ? { ...row, marks: [...row.marks, ...marks] } : row;
  }

  /** Rows of the build's repair size, else standard rows moved to it; a document's own size lends no end of it. */
  function sized(all, build, here) {
    const wanted = wantedSize(build, here);
    const unsized = all.filter((r) => !rows.cell(r, "size"));
    const standard = unsized.filter((r) => rows.cell(r, "class") !== "repair");
    if (!builds.isSize(wanted) || builds.isStandard(wanted)) {
      return standard;
    }
    const ofThat = all.filter((r) => rows.cell(r, "size") && builds.sameSize(sizeOf(r), wanted, here.shared));
    const same = ofThat.filter((r) => builds.equalSizes(sizeOf(r), wanted));
    const near = same.length ? same : ofThat.map((r) => takenFor(r, wanted));
    const found = near.length ? near : unsized.filter((r) => !standard.includes(r));
    const moved = standard.map((r) => lines.shifted(r, repairOf(here).share, wanted, here.shared)).filter(Boolean);
    return found.length ? [...found, ...moved.filter((m) => found.some((f) => lends(m, f, here.shared)))] : moved;
  }

  function takenFor(row, wanted) {
    const mark = "printed for " + builds.sizeText(sizeOf(row)) + ", taken for " + builds.sizeText(wanted);
    return { ...row, marks: [...row.marks, mark] };
  }

  const sameSource = (a, b) => a.cells.source === b.cells.source;

  /** Whether a row prints an end that another of its document and detail does not. */
  const lends = (row, other, shared) =>
    sameSource(row, other) && compatible(row, other, shared) &&
    !lines.within(lines.printedEnds(row), lines.printedEnds(other));

  /** Questions about fitted parts that a row answers, and its size where it bears one. */
  const partsOf = (row, here) =>
    [...Object.keys(here.family.speaks(row).parts), ...(rows.cell(row, "size") ? ["size"] : [])];

  /** Rows less those silent on a fitted part that another names, save for an end that only they print there. */
  function beforeSilent(all, here) {
    const over = (r, o) => namesMore(o, r, here) && !lends(r, o, here.shared) && sameThing(o, r, here.shared);
    return all.filter((r) => !all.some((o) => over(r, o)));
  }

  /** Whether two rows may speak of one thing: the same of several alike, or one of them does not say which. */
  const sameThing = (one, other, shared) => ["purpose", "step"].every((c) => rows.cell(one, c) === rows.cell(other, c)) &&
    ["which", "thread"].every((c) => agree(one, other, c, shared));

  /** Whether a row names all fitted parts that another names and more, or in one document the model too. */
  function namesMore(row, other, here) {
    const [mine, theirs] = [partsOf(row, here), partsOf(other, here)];
    const all = lines.within(theirs, mine);
    if (all && theirs.length < mine.length) {
      return true;
    }
    const [names, silent] = [here.family.speaks(row).namesModel, !here.family.speaks(other).namesModel];
    return sameSource(row, other) && names && silent && all;
  }

  /** Rows of the closest place, save for an end that only a wider row of the same document prints there. */
  function beforeWider(all, here) {
    return all.filter((row) => {
      const near = all.filter((o) => closer(o, row, here) && alikeMeasured(o, row, here.shared));
      return !near.length || near.some((o) => lends(row, o, here.shared));
    });
  }

  /** Whether two rows do not name two of several alike, two states, two lengths or two steps. */
  const alikeMeasured = (one, other, shared) =>
    sameThing(one, other, shared) && ["state", "at"].every((c) => agree(one, other, c, shared));

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

  const apart = (a, b) => a[0] - b[0] || a[1] - b[1];
  const closer = (a, b, here) => apart(rank(a, here), rank(b, here)) < 0;

  /** Whether one reading could be of both rows: each detail is the same, or one of them is silent on it. */
  const compatible = (one, other, shared) =>
    sameThing(one, other, shared) && DETAILS.every((c) => agree(one, other, c, shared));

  const agree = (one, other, column, shared) =>
    !rows.cell(one, column) || !rows.cell(other, column) || sameDetail(one, other, column, shared);

  /** Whether two rows say the same in a detail; numbers of a condition within half a printed digit. */
  function sameDetail(one, other, column, shared) {
    const [mine, theirs] = [rows.cell(one, column), rows.cell(other, column)];
    const own = rows.cell(one, "at_unit");
    if (mine === theirs) {
      return column !== "at" || own === rows.cell(other, "at_unit") || !mine;
    }
    return column === "at" && Boolean(mine && theirs) && sameAt(mine + " " + own, other, shared);
  }

  /** Whether `2.07 in` is the number that a row's value depends on, within half a printed digit. */
  function sameAt(text, row, shared) {
    const [number, unit = ""] = text.trim().split(" ");
    const [at, own] = [rows.cell(row, "at"), rows.cell(row, "at_unit")];
    const [mine, theirs] = [unit, own].map((u) => (Object.hasOwn(shared.units, u) ? shared.units[u] : null));
    if (!mine || !theirs || mine.dimension !== theirs.dimension) {
      return number === at && (unit || own) === own;
    }
    const inSi = (value, { factor }) => exact.multiply(value, exact.parse(factor));
    const steps = [inSi(exact.step(number), mine), inSi(exact.step(at), theirs)];
    const off = exact.absolute(exact.subtract(inSi(exact.parse(number), mine), inSi(exact.parse(at), theirs)));
    return !exact.less(exact.divide(exact.largest(steps), exact.whole(2)), off);
  }

  // lines

  const once = (row) => (rows.cell(row, "reading") === "twice" ? 0 : 1);

  /** Rows as lines: those of one document joined end by end, those that print the same one with several pages. */
  function linesOf(all, here) {
    const by = (a, b) =>
      partsOf(b, here).length - partsOf(a, here).length || apart(rank(a, here), rank(b, here)) || once(a) - once(b);
    const groups = [];
    for (const row of [...all].sort(by)) {
      const same = groups.find((g) => DETAILS.every((c) => sameDetail(g[0], row, c, here.shared)));
      if (same) {
        same.push(row);
      } else {
        groups.push([row]);
      }
    }
    return withoutEquals(lent(groups.map((g) => together(g, here)), here.shared), here.shared);
  }

  /** Rows of one detail, the closest first, as a line. */
  function together(all, here) {
    const bySource = new Map();
    all.forEach((r) => bySource.set(r.cells.source, [...(bySource.get(r.cells.source) || []), r]));
    const found = [...bySource.values()].flatMap((g) => joined(g, here));
    return oneOfSame(found.sort((a, b) => once(a) - once(b)), here.shared);
  }

  /** Rows that print the same as one with the pages of all. */
  function oneOfSame(all, shared) {
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

  /** Rows of one document, the closest first, joined end by end; rows that speak as closely and differ stay apart. */
  function joined(all, here) {
    const found = [];
    for (const row of all) {
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

  /** Lines with the ends that a lone row of their document prints without saying how it is measured. */
  function lent(all, shared) {
    const alone = all.filter((line) => line.length === 1).map((line) => line[0]);
    const lending = alone.filter((row) => alone.some((base) => takes(base, row, shared)));
    return all.filter((line) => !lending.includes(line[0])).map((line) => {
      const fill = (base, row) => (takes(base, row, shared) ? lines.withEnds(base, row) : base);
      return line.length === 1 ? [lending.reduce(fill, line[0])] : line;
    });
  }

  /** Whether a row has room for the lone limit of another row of its document. */
  function takes(base, row, shared) {
    const free = lines.printedEnds(row).join() === "limit" && !lines.printedEnds(base).includes("limit");
    return free && sameSource(row, base) && row.cells.unit === base.cells.unit && compatible(row, base, shared);
  }

  /** Lines less those that print what another prints, its pages added to that one. */
  function withoutEquals(all, shared) {
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

  /** Whether no reading can tell two lines apart in its verdict. */
  function oneLine(one, other, shared) {
    if (lines.sameLine(one, other, shared)) {
      return true;
    }
    const alone = one.length === 1 && other.length === 1 && compatible(one[0], other[0], shared);
    return alone && lines.merged(one[0], other[0], shared) !== null;
  }

  const made = { DETAILS, hereOf, count, wantedSize, isAt, meets, admits, ofSize, sizeOf, resolved, decided, sameAt };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.resolving = made;
  }
})();
