"use strict";
// The step of reading: a fit at a place, what is measured and with what, the pad, the verdict beside it.
(function () {
  const api = window.runningFits;
  const { element, button, chips } = api.elements;
  const { record, words, draw, pad, steps, tool: tools, verdict, choosing, plan } = api;
  const shared = () => api.loaded.shared;

  /** @param {App} app */
  function reading(app) {
    const now = () => /** @type {Now} */ (app.view().now);
    const set = (/** @type {Partial<Now>} */ more) => app.show({ now: { ...now(), ...more } });
    const quantity = () => shared().quantities[now().item];
    const row = () => choice().rows[0] || null;
    const method = () => (row() && row().cells.method) || quantity().method;
    const here = (/** @type {any} */ r) => r.item === now().item && r.position === now().position;
    /** Whether a reading says the same of its row as what is being read. @param {any} r */
    const ofSaid = (r) => api.case.SAYS.every((/** @type {string} */ c) => (r[c] || "") === (now().said[c] || ""));
    const mine = () => app.sheet().readings.map((r, n) => /** @type {[Reading, number]} */ ([r, n])).filter(([r]) => here(r) && ofSaid(r));

    const { kindFor, usual, toolFor } = api.kit.kit(app, now);
    const { questions, placesHere } = api.answering.answering(app, now, mine);
    const { slipsHere, slips } = api.standing.standing(app, mine, (/** @type {number} */ index, /** @type {string} */ told) => takeBack(index, told));

    /** Rows of what is being read that are true for the build, or the questions that are open. */
    function choice() {
      const { item, position, said, part } = now();
      const parts = [...new Set([...mine().map(([r]) => r.part), part])];
      const way = parts.length === 1 ? { part: parts[0] } : {};
      return choosing.choose(app.engine(), shared(), app.build(), item, position, { ...said, ...way });
    }

    // what is read, and with what

    /** Take up a fit at a place; parts to read as its method counts them. @param {any} group @param {string} [position] @param {string} [wanted] */
    function take({ item, said, places, choice: found }, position, wanted) {
      const about = shared().quantities[item];
      const [first] = choosing.linesOf(found).flat();
      const [part] = steps.partsOf(about, (first && first.cells.method) || about.method);
      const unit = first ? first.cells.unit : about.dimension === "length" ? app.engine().unit : firstUnit(about.dimension);
      caught(null);
      app.say("");
      const empty = { place: "", direction: "", typed: "", low: null, between: false, instrument: "" };
      app.show({ step: "read", now: { item, said, position: position || places[0], part: wanted || part, unit, ...empty } });
      choosePart(wanted || part);
    }

    const firstUnit = (/** @type {string} */ dimension) => Object.keys(shared().units).find((u) => shared().units[u].dimension === dimension) || "";

    /** Take up a part with its usual instrument. @param {string} part */
    function choosePart(part) {
      app.edit(() => {
        const between = ["gap", "strip"].includes(part) && now().between;
        set({ part, instrument: toolFor(part).id, typed: "", low: null, between });
      });
    }

    /** The same class of instrument in the unit that is read in. @param {string} unit */
    function chooseUnit(unit) {
      app.edit(() => {
        const own = app.sheet().instruments.find((t) => t.id === now().instrument);
        app.view().now = { ...now(), unit };
        const alike = !own || (own.unit && shared().units[own.unit].dimension === shared().units[unit].dimension);
        const isRead = mine().some(([r]) => r.part === now().part && r.instrument === now().instrument);
        set({ instrument: !own || !alike || own.unit === unit || isRead ? now().instrument : own.instrument === "bore-gauge" ? toolFor(now().part).id : usual(own.instrument).id });
      });
    }

    /** @param {{instrument?: string, tool?: any, open?: string}} change */
    function chooseTool({ instrument, tool, open }) {
      if (open) {
        app.open(open);
        return;
      }
      app.edit((sheet) => {
        const own = sheet.instruments.find((t) => t.id === now().instrument);
        if (tool && own) {
          Object.assign(own, tool);
        } else if (instrument) {
          set({ instrument: instrument.startsWith("new/") ? record.instrument(sheet, instrument.slice(4), now().unit).id : instrument });
        }
      });
    }

    function units() {
      const { dimension } = quantity();
      const all = Object.keys(shared().units).filter((u) => shared().units[u].dimension === dimension);
      return dimension === "length" ? ["in", "mm"] : all;
    }

    /** The result of the fit and place that is being read. @param {any} found */
    const current = (found) => found.results.find((/** @type {any} */ r) => !r.derived && here(r) && ofSaid(r.says)) || null;

    const { caught, stop, press, write, next, paste, takeBack, signed, fractions } = api.taking.taking(app, { quantity, units, chooseUnit, slipsHere, current });

    // the page

    function heading() {
      const found = choice();
      const told = found.rows.length ? steps.printed(found.rows) : found.asked.length ? "" : found.why;
      const pages = found.rows.flatMap((/** @type {any} */ r) => [" ", element("a", { href: r.link }, steps.pages([r]))]);
      const where = [words.place(now().position), ...words.said(now().said)].join(", ");
      return element("header", { class: "bench-head" },
        element("h2", {}, quantity().label),
        element("p", {}, [where, told].filter(Boolean).join(": "), pages),
        element("p", { class: "bench-small" }, "What counts: " + (shared().methods[method()] || method())));
    }

    /** The verdict that stays in sight. @param {any} result @param {any} found */
    function strip(result, found) {
      const open = slipsHere(found).length > 0;
      const refused = found.faults.length || found.refused.length;
      const said = refused ? "nothing is judged: see below" : result ? words.verdict(result) : "no reading yet";
      const kind = refused || open ? "out" : result ? words.kind(result, app.sheet().stage || "found") : "open";
      return element("p", { class: "bench-now bench-" + kind },
        element("span", {}, words.place(now().position) + ": "), element("strong", {}, said),
        result && result.value !== null && result.verdict !== "bad-entry" && !refused ? element("span", {}, " " + words.value(result)) : null,
        open ? element("strong", {}, "; is it a slip?") : null);
    }

    /** Place, part, where on the part, instrument. */
    function chosen() {
      const places = placesHere().map((/** @type {string} */ p) => [p, words.place(p)]);
      const parts = steps.partsOf(quantity(), method()).map(partChip);
      const grid = ["cross-difference", "end-difference", "spread"].includes(method());
      const own = app.sheet().instruments.find((t) => t.id === now().instrument);
      return [
        element("h3", { class: "bench-label" }, "Place"), chips("Place", places, now().position, (/** @type {string} */ position) => set({ position, typed: "", low: null })),
        ...(parts.length > 1 ? [element("h3", { class: "bench-label" }, "Measured"), chips("Measured", parts, now().part, choosePart)] : []),
        element("div", { class: "bench-folds" },
          steps.where(now(), grid || app.folded("where"), set),
          tools.fold(app.sheet(), now().instrument, app.folded("tool"), chooseTool)),
        own ? tools.question(own, record.named(own.id, app.sheet()), chooseTool) : null,
      ];
    }

    /** A part with how often it was read here; its size's name for who cannot see the display. @param {string} part */
    function partChip(part) {
      const count = mine().filter(([r]) => r.part === part).length;
      const read = count ? " (" + count + ")" : "";
      return [part, part + read, words.part(part, quantity()) + read];
    }

    /** What comes next: asked for, never forced. @param {any} found */
    function onward(found) {
      const to = plan.next(app.engine(), app.sheet(), now(), found);
      if (!to) {
        return element("p", { class: "bench-after" }, "Everything that these pages ask for has two readings.");
      }
      if (to.again) {
        return element("p", { class: "bench-after" }, "Now a second reading of the same, without looking at the first.");
      }
      const go = () => (to.isHere ? choosePart(to.part) : take(to.group, to.position, to.part));
      return to.isHere && to.part === now().part ? null
        : button("Go on: " + plan.told(to), go, { key: "go-on", class: "bench-plain bench-onward" });
    }

    /** @param {any} found */
    function padOf(found) {
      const { part, unit, between, typed, low } = now();
      const direct = ["gap", "strip"].includes(part);
      return pad.pad({
        what: words.part(part, quantity()) + ", " + words.place(now().position), typed, low, units: units(), unit, setUnit: chooseUnit,
        signed: signed(), fractions: fractions(), press, write, next, between: direct ? between : null,
        setBetween: (/** @type {boolean} */ b) => set({ between: b, low: null, typed: "" }), after: onward(found),
      });
    }

    function taken() {
      const undo = (/** @type {Reading} */ r, /** @type {number} */ n) => button("take back", () => takeBack(n), {
        key: "taken/" + n, class: "bench-plain", "aria-label": "take back " + words.reading(r),
      });
      const line = (/** @type {[Reading, number]} */ [r, n]) => element("li", {},
        element("span", {}, words.part(r.part, quantity()) + ": " + words.reading(r) + ", " + record.named(r.instrument, app.sheet())), undo(r, n));
      return mine().length
        ? element("section", { class: "bench-taken" }, element("h3", {}, "Read here"), element("ul", {}, mine().map(line)))
        : null;
    }

    function step() {
      if (!now()) {
        return [element("p", {}, "Choose a fit first.")];
      }
      if (!app.sheet().instruments.some((t) => t.id === now().instrument)) {
        now().instrument = usual(kindFor(now().part)).id;
      }
      const found = app.judged();
      const result = current(found);
      const outcome = result ? verdict.card(result, found, app.sheet())
        : element("p", { class: "bench-card bench-open" }, "No reading of this fit at this place yet.");
      return [strip(result, found), element("div", { class: "bench-columns" },
        element("div", {}, heading(), questions(result, choice().asked), chosen(), stop(), padOf(found)),
        element("div", { class: "bench-outcome" },
          ...(verdict.refused(found) ? [verdict.refused(found)] : [...slips(found), outcome]), taken(), verdict.also(found, now().position), verdict.cautions(),
          element("p", { class: "bench-small" }, draw.LEGEND), verdict.left()))];
    }

    const leave = () => caught(null);

    return { step, take, takeBack, press, next, paste, leave };
  }

  api.reading = { reading };
})();
