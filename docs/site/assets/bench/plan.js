"use strict";
// What comes next, in the trade's order: a second reading, the other part of the fit, the next place, the next fit.
(function () {
  const api = window.runningFits;
  const { steps, measured, choosing, words } = api;
  const WANTED = 2;
  /** Readings of a part at a place: a second one, by an ordinary hand, shows the slip of the first. */

  /** @param {any} quantity @param {string} method @param {Set<string>} read @returns {string[]} */
  function needed(quantity, method, read) {
    const parts = steps.partsOf(quantity, method);
    const both = ["bore", "shaft"].filter((p) => parts.includes(p));
    const other = parts.filter((/** @type {string} */ p) => !both.includes(p) && read.has(p));
    if (other.length && !both.some((p) => read.has(p))) {
      return other;
    }
    return both.length === 2 ? both : [parts[0]];
  }

  /** Parts of a spot that lack readings, with how many they have. @param {any} group @param {string} position @param {Sheet} sheet */
  function lacking(group, position, sheet) {
    const same = (/** @type {any} */ r) => r.item === group.item && r.position === position &&
      api.case.SAYS.every((/** @type {string} */ c) => (r[c] || "") === (group.said[c] || ""));
    const mine = sheet.readings.filter(same);
    const quantity = api.loaded.shared.quantities[group.item];
    const [first] = choosing.linesOf(group.choice).flat();
    const method = (first && first.cells.method) || quantity.method;
    const parts = needed(quantity, method, new Set(mine.map((r) => r.part)));
    const count = (/** @type {string} */ part) => mine.filter((r) => r.part === part).length;
    return parts.map((part) => ({ part, count: count(part) })).filter((p) => p.count < WANTED);
  }

  /** What comes next after what is being read; null where everything has its readings.
   * @param {any} engine @param {Sheet} sheet @param {Now} now @param {any} found @returns {Next | null} */
  function next(engine, sheet, now, found) {
    const all = measured.measured(engine, sheet.build);
    const said = JSON.stringify(now.said);
    const at = all.findIndex((/** @type {any} */ g) => g.item === now.item && JSON.stringify(g.said) === said && g.places.includes(now.position));
    const derived = new Set(found.results.filter((/** @type {any} */ r) => r.derived).map((/** @type {any} */ r) => r.item + " " + r.position));
    const spots = all.flatMap((/** @type {any} */ group) => group.places.map((/** @type {string} */ position) => ({ group, position })));
    const here = at < 0 ? 0 : spots.findIndex((/** @type {any} */ s) => s.group === all[at] && s.position === now.position);
    for (const spot of [...spots.slice(here), ...spots.slice(0, here)]) {
      const [first, ...rest] = lacking(spot.group, spot.position, sheet);
      const isHere = at >= 0 && spot.group === all[at] && spot.position === now.position;
      if (!first || (!isHere && derived.has(spot.group.item + " " + spot.position))) {
        continue;
      }
      const own = isHere && [first, ...rest].find((p) => p.part === now.part);
      return { ...spot, ...(own || first), isHere, again: Boolean(own && own.count) };
    }
    return null;
  }

  /** @param {Next} to @returns {string} */
  function told({ group, position, part }) {
    const quantity = api.loaded.shared.quantities[group.item];
    const name = words.part(part, quantity);
    const fit = name === quantity.label ? [] : [quantity.label];
    return [...fit, words.place(position), ...words.said(group.said), name].join(", ");
  }

  api.plan = { next, told };
})();
