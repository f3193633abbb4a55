"use strict";
// What a sheet leaves open and is assumed for it, in sentences. Mirrors assumed.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [exact, temperature] = ["exact", "temperature"].map(part);

  /** Temperatures and materials that the sheet does not give, and what was taken instead. */
  function assumed(sheet, warmth, shared) {
    return [...ofTemperatures(sheet, warmth), ...ofMaterials(sheet, warmth, shared)];
  }

  function ofTemperatures(sheet, warmth) {
    const sized = sheet.readings.filter((r) => ["bore", "shaft"].includes(r.part));
    const parts = "The temperature of the parts is not given: " + temperature.UNKNOWN_KELVIN + " K about 20 °C are "
      + "counted, which matters for parts of unlike materials.";
    const tools =
      "The temperature of the instruments is not given: it is taken to lie between 20 °C and that of the parts.";
    const apart = sized.length && !exact.equal(warmth.roomHalf, exact.ZERO);
    return [sized.every((r) => temperature.known(r, warmth)) ? "" : parts, apart ? tools : ""].filter(Boolean);
  }

  function ofMaterials(sheet, { materials }, shared) {
    const silent = sheet.readings.filter((r) => r.material === undefined);
    const sizes = [...new Set(silent.map((r) => temperature.measuredSize(r, shared)))];
    const usual = sizes.filter((s) => s && !Object.hasOwn(materials, s) && shared.quantities[s].material);
    return usual.map((s) => {
      const { label, material } = shared.quantities[s];
      return "The material of what is measured as " + label.toLowerCase() + " is not given: "
        + shared.materials[material].label + ", the usual one (common practice).";
    });
  }

  const made = { assumed };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.assumed = made;
  }
})();
