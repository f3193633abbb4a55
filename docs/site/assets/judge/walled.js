"use strict";
// Oil clearances that housings, walls of shells and journals give, where nothing was measured of the shells in place.
// Mirrors walled.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const exact = part("exact");
  const { caseOf } = part("case");

  const NO_LIMIT = "no page that was read limits it; ";
  const MEASURE = ": measure the bore with the shells in and the cap tightened, or the clearance itself";

  /** Fits of shells that only housing, walls and journal give, with their amount as it was read.
   * @param {any[]} entered @param {any[]} both @param {any} build @param {Engine} engine @param {Shared} shared @param {any[]} lines
   * @returns {{one: any, why: string}[]} */
  function walled(entered, both, build, engine, shared, lines) {
    const there = new Set([...entered, ...both].map((c) => JSON.stringify([c.item, c.position])));
    return Object.entries(shared.quantities).flatMap(([name, { outer, inner }]) =>
      outer.map((n) => shared.quantities[n]).filter(({ walls }) => walls && inner.length).flatMap((bore) => {
        const [housings, walls, shafts] = [bore.outer, bore.walls.split(" "), inner].map((sizes) => read(entered, sizes));
        return [...housings].flatMap(([position, housing]) => {
          const [wall, shaft] = [walls.get(position) || walls.get("all"), shafts.get(position)];
          if (there.has(JSON.stringify([name, position])) || !wall || !shaft) {
            return [];
          }
          const parts = new Map([["bore", housing], ["shaft", shaft]]);
          const one = caseOf({ item: name, position, said: {}, parts }, build, engine, shared);
          const amount = exact.subtract(exact.subtract(mean(housing), exact.multiply(exact.whole(2), mean(wall))), mean(shaft));
          const why = "by housing, two walls and journal it is " + inUnit(amount, lines[shaft[0].index], shared)
            + ", without the crush of the shells";
          return [{ one, why: one.choice.rows.length || one.choice.asked.length ? why + MEASURE : NO_LIMIT + why }];
        });
      }));
  }

  /** Readings of some sizes by place. @param {any[]} entered @param {string[]} sizes @returns {Map<string, any[]>} */
  function read(entered, sizes) {
    const found = new Map();
    entered.filter((one) => sizes.includes(one.item)).forEach(({ position, parts }) =>
      found.set(position, [...(found.get(position) || []), ...[...parts.values()].flat()]));
    return found;
  }

  /** @param {any[]} readings */
  const mean = (readings) =>
    exact.divide(readings.map((r) => r.value).reduce(exact.add), exact.whole(readings.length));

  /** An amount in the unit of a line, to the last digit of its value.
   * @param {any} amount @param {any} line @param {Shared} shared */
  const inUnit = (amount, { value, unit }, shared) =>
    exact.fixed(exact.divide(amount, exact.parse(shared.units[unit].factor)), (value.split(".")[1] || "").length) + " " + unit;

  const made = { walled, inUnit, NO_LIMIT };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.walled = made;
  }
})();
