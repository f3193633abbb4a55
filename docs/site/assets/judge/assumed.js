"use strict";
// What a sheet leaves open and is assumed for it, in sentences. Mirrors assumed.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, temperature, spots] = ["exact", "temperature", "spots"].map(part);

  /** Temperatures, materials, spots and valves that the sheet does not give, and what was taken instead.
   * @param {any} sheet @param {any} cases @param {any} warmth @param {Shared} shared */
  function assumed(sheet, cases, warmth, shared) {
    return [
      ...ofTemperatures(sheet, warmth), ...ofApart(sheet, cases), ...ofWarmed(sheet, warmth, shared),
      ...ofMaterials(sheet, warmth, shared), ...ofSpots(sheet, shared), ...ofValves(sheet, shared),
    ];
  }

  /** Fits whose bore and shaft were not of one temperature when they were measured, by the most of all places.
   * @param {any} sheet @param {any} cases */
  function ofApart(sheet, cases) {
    const most = new Map();
    for (const { parts, quantity } of cases.filter((/** @type {any} */ c) => c.parts.has("bore") && c.parts.has("shaft"))) {
      const told = ["bore", "shaft"].flatMap((own) => parts.get(own))
        .map((r) => sheet.readings[r.index].temperature || sheet.part_temperature).filter(Boolean);
      const warm = told.map(temperature.celsius);
      const apart = warm.length ? exact.subtract(exact.largest(warm), exact.smallest(warm)) : exact.ZERO;
      const label = quantity.label.toLowerCase();
      most.set(label, exact.largest([most.get(label) || exact.ZERO, apart]));
    }
    return [...most].filter(([, apart]) => apart.n !== 0n).map(([label, apart]) =>
      "Bore and shaft of " + label + " were " + Number(exact.rounded(apart, exact.parse("0.1"))) + " K apart when they were "
        + "measured: each is taken to 20 °C by its own temperature.");
  }

  /** What readings were and what they became at 20 degrees Celsius: of each size the one that moved the most.
   * @param {any} sheet @param {any} warmth @param {Shared} shared */
  function ofWarmed(sheet, warmth, shared) {
    const most = new Map();
    sheet.readings.forEach((/** @type {any} */ raw) => {
      const read = exact.parse(raw.value);
      const became = exact.multiply(read, temperature.correction(raw, shared, warmth));
      const moved = exact.absolute(exact.subtract(became, read));
      const digits = (raw.value.split(".")[1] || "").length;
      const shows = !exact.less(exact.multiply(moved, exact.whole(2n * 10n ** BigInt(digits))), exact.whole(1));
      const size = temperature.measuredSize(raw, shared);
      const off = exact.multiply(moved, exact.parse(shared.units[raw.unit].factor));
      if (shows && exact.less(most.has(size) ? most.get(size).off : exact.ZERO, off)) {
        const words = raw.value + " " + raw.unit + " was read and became " + exact.fixed(became, digits + 1) + " " + raw.unit;
        most.set(size, { off, words });
      }
    });
    return [...most].map(([size, { words }]) =>
      "What is measured as " + shared.quantities[size].label.toLowerCase() + " is taken to 20 °C: " + words + ".");
  }

  /** @param {any} sheet @param {any} warmth */
  function ofTemperatures(sheet, warmth) {
    const sized = sheet.readings.filter((/** @type {any} */ r) => ["bore", "shaft"].includes(r.part));
    const parts = "The temperature of the parts is not given: " + temperature.UNKNOWN_KELVIN + " K about 20 °C are "
      + "counted, which matters for parts of unlike materials.";
    const tools =
      "The temperature of the instruments is not given: it is taken to lie between 20 °C and that of the parts.";
    const apart = sized.length && !exact.equal(warmth.roomHalf, exact.ZERO);
    return [sized.every((/** @type {any} */ r) => temperature.known(r, warmth)) ? "" : parts, apart ? tools : ""].filter(Boolean);
  }

  /** @param {any} sheet @param {any} _ @param {Shared} shared */
  function ofMaterials(sheet, { materials }, shared) {
    const silent = sheet.readings.filter((/** @type {any} */ r) => r.material === undefined);
    const sizes = [...new Set(silent.map((/** @type {any} */ r) => temperature.measuredSize(r, shared)))];
    const usual = sizes.filter((s) => s && !Object.hasOwn(materials, s) && shared.quantities[s].material);
    return usual.map((s) => {
      const { label, material } = shared.quantities[s];
      return "The material of what is measured as " + label.toLowerCase() + " is not given: "
        + shared.materials[material].label + ", the usual one (common practice).";
    });
  }

  /** Where pistons were read of which no reading tells in which direction. @param {any} sheet @param {Shared} shared */
  function ofSpots(sheet, shared) {
    const known = spots.words(shared, "along-pin", "across-pin", "at-crown");
    const ovals = sheet.readings.filter((/** @type {any} */ r) =>
      r.part === "shaft" && spots.isOval([temperature.measuredSize(r, shared)], shared));
    return ovals.some((/** @type {any} */ r) => !r.direction && !known.includes(r.place))
      ? ["In which direction a piston was measured is not told: it is taken to be square to its pin, at the height "
        + "that the page names."]
      : [];
  }

  /** Lashes of an assembled engine of which one line stands for several valves. @param {any} sheet @param {Shared} shared */
  function ofValves(sheet, shared) {
    const lashes = sheet.readings.filter((/** @type {any} */ r) =>
      shared.quantities[r.item].kind === "lash" && ["all", "intake", "exhaust"].includes(r.position));
    const items = [...new Set(lashes.map((/** @type {any} */ r) => r.item))];
    return sheet.stage !== "assembled" ? [] : items.map((item) => shared.quantities[item].label
      + ": a line without the number of a cylinder is taken for each valve that it names; what each of them read is not on "
      + "the sheet.");
  }

  const made = { assumed };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.assumed = made;
  }
})();
