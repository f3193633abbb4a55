"use strict";
// Sizes that a sheet's parts name in free text, against the sizes that its build says. Mirrors part_sizes.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (/** @type {string} */ name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const builds = part("build");
  const exact = part("exact");
  const { fault, quoted } = part("tool_faults");

  const OF = /** @type {[string, RegExp][]} */ ([
    ["crankpin", /\b(rod|big[- ]end)\b.*\b(bearings?|shells?)\b/i],
    ["main-journal", /\bmain\b.*\b(bearings?|shells?)\b/i],
    ["cylinder", /\bpistons?\b/i],
  ]);
  const NOT_OF = /\b(bolts?|studs?|screws?|capscrews?|nuts?|caps?|pins?|jets?|bush(es|ings?)?)\b/i;

  const NUMBER = "[+-]?(\\d+\\.\\d+|\\.\\d+|\\d+(?= ?(?:mm|thou)))";
  const UNIT = "(?: ?(mm|in(?:ch)?|thou|\"))?";
  const SIZES = [
    new RegExp("(?<![a-z0-9.])" + NUMBER + UNIT + "[ -]*(?:under|over|u/s|o/s)(?![a-z0-9]*[0-9])", "gi"),
    new RegExp("(?<![a-z])(?:under-?sized?|over-?sized?|u/s|o/s):? *" + NUMBER + UNIT + "(?![a-z0-9.])", "gi"),
  ];
  const STD = /(?<![a-z0-9])(std|standard)(?![a-z0-9])/gi;
  const UNITS = /** @type {Record<string, string[]>} */ ({ mm: ["mm"], in: ["in"], inch: ["in"], "\"": ["in"], thou: ["thou"] });
  const COLUMNS = ["part", "number", "note"];

  /** @typedef {{column: string, text: string, sizes: Size[]}} Said A size that a text names, and what it may mean. */

  /** Parts of another size than the build says, once the parts are machined; a part that names several needs one.
   * @param {any} sheet @param {Shared} shared */
  function ofParts(sheet, shared) {
    const build = builds.parsed(sheet.build);
    const one = (/** @type {any} */ listed, /** @type {number} */ n) => {
      const named = listed.part;
      const [of = null] = OF.find(([, words]) => words.test(named) && !NOT_OF.test(named)) || [];
      const said = of ? COLUMNS.flatMap((column) => told(listed[column] || "", column)).filter(({ sizes }) => isUsual(sizes, of, shared)) : [];
      return !of || !said.length || said.some(({ sizes }) => fits(sizes, build, of, shared)) ? []
        : [fault("parts[" + n + "]." + said[0].column, quoted(said[0].text),
          wanted(build, of) + ", as the build says of the " + shared.repairs[of].label + ": mend the one that is wrong")];
    };
    return (sheet.stage || "found") === "found" ? [] : (sheet.parts || []).flatMap(one);
  }

  /** Sizes that a text names, each as written; without a unit millimetres or inches. @param {string} text @param {string} column @returns {Said[]} */
  function told(text, column) {
    const sized = SIZES.flatMap((pattern) => [...text.matchAll(pattern)]).map(([whole, number, unit]) => ({
      column, text: whole.trim(), sizes: (UNITS[(unit || "").toLowerCase()] || ["mm", "in"]).map((u) => builds.sizeOf(number.replace(/^\./, "0."), u)),
    }));
    return [...sized, ...[...text.matchAll(STD)].map(([whole]) => ({ column, text: whole, sizes: [builds.STANDARD] }))];
  }

  /** Whether what a text names is a usual repair size of a part, or standard. @param {Size[]} sizes @param {string} of @param {Shared} shared */
  const isUsual = (sizes, of, shared) => [builds.STANDARD, ...shared.repairs[of].common.split(", ").map(builds.sizeFrom)]
    .some((usual) => sizes.some((s) => builds.sameSize(usual, s, shared)));

  /** Whether a size is one that the build says of a part at some place, or that may be it.
   * @param {Size[]} sizes @param {any} build @param {string} of @param {Shared} shared */
  const fits = (sizes, build, of, shared) => sizesOf(build, of).some((own) => own === builds.UNKNOWN ||
    sizes.some((s) => builds.sameSize({ ...own, value: exact.absolute(own.value) }, s, shared)));

  /** @param {any} build @param {string} of @returns {any[]} */
  function sizesOf(build, of) {
    const given = build.size[of] || {};
    return [...Object.values(given), ...(Object.hasOwn(given, "all") ? [] : [builds.STANDARD])];
  }

  /** @param {any} build @param {string} of */
  const wanted = (build, of) => [...new Set(sizesOf(build, of).map(builds.sizeText))].join(" or ");

  const made = { ofParts };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.part_sizes = made;
  }
})();
