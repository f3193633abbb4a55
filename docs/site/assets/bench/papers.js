"use strict";
// What is printed beside the report: the filled sheet, line by line as it was read, and the page for the machinist.
(function () {
  const api = window.runningFits;
  const { element } = api.elements;
  const { words } = api;
  const shared = () => api.loaded.shared;

  /** @param {string} title @param {string[]} heads @param {any[][]} lines @param {string} none */
  function table(title, heads, lines, none) {
    if (!lines.length) {
      return element("section", {}, element("h3", {}, title), element("p", {}, none));
    }
    const cell = (/** @type {any} */ content, /** @type {number} */ n) => element("td", { "data-label": heads[n] || null }, content);
    const head = element("tr", {}, heads.map((h) => element("th", { scope: "col" }, h)));
    const body = lines.map((line) => element("tr", {}, line.map(cell)));
    return element("section", {}, element("h3", {}, title),
      element("table", { class: "bench-table" }, element("thead", {}, head), element("tbody", {}, body)));
  }

  const label = (/** @type {string} */ item) => (shared().quantities[item] || { label: item }).label;

  /** Readings of one part of a fit at a place, in the order in which they were taken. @param {Sheet} sheet @returns {Reading[][]} */
  function together(sheet) {
    const found = new Map();
    const key = (/** @type {any} */ r) => [r.item, r.position, r.part, ...api.case.SAYS.map((/** @type {string} */ c) => r[c] || "")].join("/");
    sheet.readings.forEach((r) => found.set(key(r), [...(found.get(key(r)) || []), r]));
    const order = (/** @type {Reading[]} */ all) => (shared().quantities[all[0].item] || { order: 0 }).order;
    return [...found.values()].sort((a, b) => order(a) - order(b));
  }

  /** The sheet as it was filled in: each part once, its readings beside each other, room for initials. @param {Sheet} sheet */
  function filled(sheet) {
    const said = (/** @type {any} */ r) => Object.fromEntries(api.case.SAYS.filter((/** @type {string} */ c) => r[c]).map((/** @type {string} */ c) => [c, r[c]]));
    const line = (/** @type {Reading[]} */ all) => {
      const [first] = all;
      const where = [words.place(first.position), ...words.said(said(first))].join(", ");
      const part = shared().quantities[first.item] ? words.part(first.part, shared().quantities[first.item]) : first.part;
      return [label(first.item), where, part, words.reading(first), all.slice(1).map(words.reading).join("; "),
        api.record.named(first.instrument, sheet), ""];
    };
    const heads = ["Fit", "Place", "Part", "First reading", "Further readings", "With", "Initials"];
    return [table("As read", heads, together(sheet).map(line), "No reading yet."), tightened(sheet, null)];
  }

  /** Every line of tightening in the order in which it was done, with its verdict, or with room for initials where
   * nothing is to be judged. @param {Sheet} sheet @param {Found | null} found */
  function tightened(sheet, found) {
    const { followed } = api;
    const all = sheet.torques || [];
    const joint = (/** @type {any} */ l) => (shared().joints[l.joint] || { label: l.joint }).label;
    const line = (/** @type {any} */ l, /** @type {number} */ n) =>
      [String(l.order || n + 1), joint(l), api.tightening.lineWords(l), api.record.named(l.instrument, sheet), ...(found ? told(found, n) : [""])];
    const told = (/** @type {Found} */ of, /** @type {number} */ n) => {
      const one = followed.at(of, n);
      return [one ? followed.printed(one) : "", followed.cell(one, of)];
    };
    const heads = ["No.", "Joint", "Set", "With", ...(found ? ["Printed", "Verdict"] : ["Initials"])];
    return all.length ? table("Tightened", heads, all.map(line), "") : null;
  }

  /** Sizes for the machinist: found, wanted, room for what was measured after. @param {any} found */
  function forMachinist(found) {
    const sizes = found.results.filter((/** @type {any} */ r) => (shared().quantities[r.item] || {}).kind === "size" && r.value !== null)
      .sort((/** @type {any} */ a, /** @type {any} */ b) => a.order - b.order);
    const cite = (/** @type {any} */ r) => (r.row ? r.row.cite.text : "");
    const line = (/** @type {any} */ r) => [label(r.item), [words.place(r.position), ...words.said(r.says)].join(", "), words.value(r),
      words.range(r.range) || words.verdict(r), words.verdict(r), cite(r), ""];
    const heads = ["Size", "Place", "Found ± U", "Printed", "As found", "Page", "Measured after"];
    return [table("Sizes for the machinist", heads, sizes.map(line), "No size was read."),
      element("p", {}, "Found is the value that counts for each size. What to take off and which repair size to choose is yours to agree; " +
        "`runningfits note` works it out from the saved sheet.".replaceAll("`", ""))];
  }

  api.papers = { table, filled, tightened, forMachinist };
})();
