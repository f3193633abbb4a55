"use strict";
// Fits of bores and shafts that were entered as items of their own, and those not given, with why. Mirrors fits.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [builds, choosing] = ["build", "choosing"].map(part);
  const { caseOf } = part("case");
  const { atHeight } = part("deriving");

  /** @param {string} item @param {string} position */
  const at = (item, position) => JSON.stringify([item, position]);

  /** Fits that two sizes give which were entered apart, and those for which one is missing or does not belong.
   * @param {any} entered @param {any} build @param {Engine} engine @param {Shared} shared */
  function fits(entered, build, engine, shared) {
    const lines = new Set(entered.map((/** @type {any} */ c) => at(c.item, c.position)));
    const both = entered.filter((/** @type {any} */ { parts }) => parts.has("bore") && parts.has("shaft"));
    const whole = new Set(both.map((/** @type {any} */ c) => at(c.item, c.position)));
    const [made, apart] = [/** @type {any[]} */ ([]), /** @type {any[]} */ ([])];
    for (const item of Object.keys(shared.quantities)) {
      const paired = pairs(entered, item, engine, shared);
      for (const { position, which, parts } of paired) {
        const group = caseOf({ item, position, said: which ? { which } : {}, parts }, build, engine, shared);
        const one = { ...group, derived: true };
        if (!whole.has(at(item, position)) && (one.choice.rows.length || one.choice.asked.length)) {
          const why = lacking(one, paired) || notAlike(one, build, engine, shared);
          if (!why) {
            made.push(one);
          } else if (!lines.has(at(item, position))) {
            apart.push({ one, why });
          }
        }
      }
    }
    return { made, apart };
  }

  /** Readings of the bore and the shaft of a fit by where they were taken, those of one place together.
   * @param {any} entered @param {string} item @param {Engine} engine @param {Shared} shared */
  function pairs(entered, item, engine, shared) {
    const { outer, inner } = shared.quantities[item];
    const [bores, shafts] = [measured(entered, outer, "bore"), measured(entered, inner, "shaft")];
    if (!bores.size || !shafts.size || !choosing.rowsOf(engine, item).length) {
      return [];
    }
    const spots = [...new Set([...bores.keys(), ...shafts.keys()])].map((spot) => [spot, ...JSON.parse(spot)]);
    const places = [...new Set(spots.map(([, position]) => position))];
    return places.flatMap((p) => spots.filter(([, position]) => position === p)).map(([spot, position, which]) => {
      /** @type {[string, any][]} */
      const read = /** @type {any} */ ([["bore", bores.get(spot)], ["shaft", shafts.get(spot)]].filter(([, readings]) => readings));
      return { position, which, parts: new Map(read) };
    });
  }

  /** Readings of a bore or shaft by where they were taken: of its own item, or of a fit of that size.
   * @param {any} entered @param {any} sizes @param {any} own */
  function measured(entered, sizes, own) {
    const found = new Map();
    for (const { item, position, said, parts, quantity } of entered) {
      const fit = own === "bore" ? quantity.outer : quantity.inner;
      if (parts.has(own) && (sizes.includes(item) || fit.some((/** @type {any} */ n) => sizes.includes(n)))) {
        const spot = JSON.stringify([position, said.which || ""]);
        found.set(spot, [...(found.get(spot) || []), ...parts.get(own).map((/** @type {any} */ r) => atHeight(r, said))]);
      }
    }
    return found;
  }

  /** That a fit lacks its bore or its shaft at a place, which stands elsewhere on the sheet; empty where it has both.
   * @param {any} _ @param {any[]} paired */
  function lacking({ parts, position }, paired) {
    if (parts.size === 2) {
      return "";
    }
    const [own, other] = parts.has("bore") ? ["shaft", "bore"] : ["bore", "shaft"];
    if (position === "all") {
      return "its " + own + " was entered place by place: enter its " + other + " so too";
    }
    return paired.some((p) => p.position === "all" && p.parts.has(own))
      ? "its " + own + " was entered for all places at once: enter it place by place" : "its " + own + " was not measured at this place";
  }

  /** Why a bore and a shaft do not give a fit at a place; empty where they do.
   * @param {any} _ @param {any} build @param {Engine} engine @param {Shared} shared */
  function notAlike({ quantity }, build, engine, shared) {
    const family = builds.family(engine);
    const columns = new Set([...quantity.outer, ...quantity.inner].map((n) => shared.quantities[n].count));
    const counts = new Set([...columns].map((c) => c && family.count(c, build.model ? [build.model] : [])));
    const alike = counts.size === 1 && (!counts.has(null) || columns.size === 1);
    return alike ? "" : "its bore and its shaft are not counted alike: enter both as readings of the fit";
  }

  /** @param {any} _ */
  const fitAt = ({ item, position, said }) => JSON.stringify([item, position, said.which || ""]);
  /** @param {any} _ */
  const sized = ({ parts }) => ["bore", "shaft"].filter((own) => parts.has(own)).length;

  /** Cases that were entered, a fit that was read itself with the bore and the shaft that were entered apart.
   * @param {any} entered @param {any} made @param {any} build @param {Engine} engine @param {Shared} shared */
  function joined(entered, made, build, engine, shared) {
    const found = new Map(made.map((/** @type {any} */ one) => [fitAt(one), one.parts]));
    return entered.map((/** @type {any} */ one) => {
      const parts = sized(one) ? undefined : found.get(fitAt(one));
      return parts ? caseOf({ ...one, parts: new Map([...one.parts, ...parts]) }, build, engine, shared) : one;
    });
  }

  /** Fits that two sizes give, without those that joined a fit which was read itself. @param {any} entered @param {any} made */
  function apartFrom(entered, made) {
    const whole = new Set(entered.filter((/** @type {any} */ one) => sized(one) === 2).map(fitAt));
    return made.filter((/** @type {any} */ one) => !whole.has(fitAt(one)));
  }

  const made = { fits, joined, apartFrom };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.fits = made;
  }
})();
