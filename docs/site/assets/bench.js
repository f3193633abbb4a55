"use strict";
// The bench page: engine, fit, reading, verdict, record. Judges with judge.js; what that leaves it names.
(function () {
  const api = window.runningFits;
  const { element, button, chips, replace } = api.elements;
  const { record, words, draw, pad, steps, building, measured, verdict, summary, judge, choosing, asking } = api;
  const root = document.getElementById("bench");
  if (!root || !api.loaded.shared) {
    return;
  }

  let state = record.read();
  let kept = true;
  let caught = null;
  let asked = false;
  let onlyHere = false;
  let at = null;
  const view = element("div", { class: "bench-view" });
  const said = element("p", { class: "bench-said-out", role: "status", "aria-live": "polite" });

  const shared = () => api.loaded.shared;
  const engine = () => api.loaded.engines[state.engine] || null;
  const sheet = () => record.sheet(state, engine());
  const exported = () => record.exported(state.engine, sheet());
  const build = () => api.build.parsed(sheet().build);
  const quantity = () => shared().quantities[state.now.item];
  const row = () => choice().rows[0] || null;
  const method = () => (row() && row().cells.method) || quantity().method;

  /** Rows of what is being read that are true for the build, or the questions that are open. */
  function choice() {
    const { item, position, said } = state.now;
    const read = sheet().readings.filter((r) => here(r) && ofSaid(r)).map((r) => r.part);
    const parts = [...new Set([...read, state.now.part])];
    const way = parts.length === 1 ? { part: parts[0] } : {};
    return choosing.choose(engine(), shared(), build(), item, position, { ...said, ...way });
  }

  const say = (text) => {
    said.textContent = text;
  };

  function change(more) {
    state = { ...state, ...more };
    kept = record.keep(state);
    show();
  }

  const now = (more) => change({ now: { ...state.now, ...more } });

  // engine and fit

  function load(name, done) {
    if (api.loaded.engines[name] || !shared().engines.some((e) => e.engine === name)) {
      done();
      return;
    }
    const failed = () => say("The data of this engine did not load. Is the folder complete?");
    document.head.append(element("script", { src: "bench/" + name + ".js", on: { load: done, error: failed } }));
  }

  function chooseEngine(name) {
    load(name, () => change({ engine: name, step: "build", now: state.engine === name ? state.now : null }));
  }

  /** Take up a fit at its first place; parts to read as its method counts them. */
  function chooseFit({ item, said, places, choice: found }) {
    const about = shared().quantities[item];
    const [first] = choosing.linesOf(found).flat();
    const [part] = steps.partsOf(about, (first && first.cells.method) || about.method);
    const unit = first ? first.cells.unit : about.dimension === "length" ? engine().unit : "";
    say("");
    const empty = { place: "", direction: "", typed: "", low: null, between: false };
    state = { ...state, step: "read", now: { item, said, position: places[0], part, unit, ...empty } };
    choosePart(part);
  }

  /** Class of instrument for a part, by the size of what is measured. */
  function kindFor(part) {
    const kind = steps.toolFor(part, quantity());
    const size = measured.sizeOf(part, state.now.item, engine(), build(), state.now.position);
    return measured.classOf(kind, ["gap", "strip"].includes(part) ? null : size);
  }

  const usual = (kind) => record.usual(sheet(), kind, shared(), engine().unit);

  /** The bore gauge that is set on the micrometer of the shaft, else on one of the bore's size. */
  function boreGauge(part, kind) {
    const size = measured.sizeOf(part, state.now.item, engine(), build(), state.now.position);
    const setting = usual(quantity().inner.length ? kindFor("shaft") : measured.classOf("outside-micrometer", size)).id;
    const own = sheet().instruments.find((t) => t.instrument === kind && (t.set_on || setting) === setting);
    return Object.assign(own || record.instrument(sheet(), kind, shared(), engine().unit), { set_on: setting });
  }

  /** Take up a part with its usual instrument. */
  function choosePart(part) {
    const kind = kindFor(part);
    const tool = kind === "bore-gauge" ? boreGauge(part, kind) : usual(kind);
    const between = ["gap", "strip"].includes(part) && state.now.between;
    now({ part, instrument: tool.id, typed: "", low: null, between });
  }

  function chooseTool({ instrument, tool }) {
    if (tool) {
      Object.assign(sheet().instruments.find((t) => t.id === state.now.instrument), tool);
      now({});
      return;
    }
    const another = instrument.startsWith("new/");
    now({ instrument: another ? record.instrument(sheet(), instrument.slice(4), shared(), engine().unit).id : instrument });
  }

  // reading

  function units() {
    const { dimension } = quantity();
    const all = Object.keys(shared().units).filter((u) => shared().units[u].dimension === dimension);
    return dimension === "length" ? ["in", "mm"] : all;
  }

  const signed = () => state.now.part === "gap" && !judge.neverNegative(quantity().kind, "gap");

  function press(key) {
    state.now = { ...state.now, typed: pad.pressed(state.now.typed, key) };
    kept = record.keep(state);
    say("");
    view.querySelector(".bench-typed").textContent = shown();
  }

  function shown() {
    const { low, typed, between } = state.now;
    return between ? (low === null ? typed + " to …" : low + " to " + typed) : typed;
  }

  /** The reading that is typed, or null while it is none. */
  function typed() {
    const { item, said: about, part, position, place, direction, unit, instrument, low } = state.now;
    const number = pad.number(state.now.typed);
    const value = low === null ? { value: number } : { value: low, to: number };
    return number === null ? null : { item, position, part, place, direction, ...value, unit, instrument, ...about };
  }

  function next() {
    const reading = typed();
    if (reading === null) {
      say("Type the reading first.");
    } else if (state.now.between && state.now.low === null) {
      now({ low: reading.value, typed: "" });
    } else {
      attempt(reading);
    }
  }

  /** Take a reading, unless the sheet could not be used with it. */
  function attempt(reading) {
    const tried = record.exported(state.engine, { ...sheet(), readings: [...sheet().readings, reading] });
    const found = judge.check(tried, engine(), shared());
    if (found.faults.length) {
      caught = { lines: found.faults.map((f) => "Not taken: " + f.found + ", expected " + f.expected) };
      say("");
      show();
      toStop();
      return;
    }
    take(reading, found);
  }

  function take(reading, found) {
    sheet().readings.push(reading);
    const last = sheet().readings.length - 1;
    const mine = found.findings.filter((f) => f.reading === last && f.severity !== "remark");
    caught = mine.length ? { lines: mine.map((f) => f.message + ". " + f.help + "."), reading: last } : null;
    asked = false;
    const result = current(found);
    say(caught ? "" : result ? words.sentence(result) : "Taken.");
    now({ typed: "", low: null });
    toStop();
  }

  /** What was caught comes into sight; as an alert it is also read out. */
  function toStop() {
    const box = view.querySelector(".bench-stop[role]");
    if (box) {
      box.scrollIntoView({ block: "nearest" });
    }
  }

  function takeBack(index) {
    sheet().readings.splice(index, 1);
    caught = null;
    say("Taken back.");
    now({});
  }

  const judged = () => judge.check(exported(), engine(), shared());

  const here = (r) => r.item === state.now.item && r.position === state.now.position;

  /** Whether a reading says the same of its row as what is being read. */
  const ofSaid = (r) => api.case.SAYS.every((c) => (r[c] || "") === (state.now.said[c] || ""));

  /** The result of the fit and place that is being read. */
  const current = (found) => found.results.find((r) => !r.derived && here(r) && ofSaid(r.says)) || null;

  /** An answer to an open question: of a reading, or of the engine, here or at every place. */
  function answer(asked, word) {
    if (asked.detail) {
      const about = { ...state.now.said, [asked.question]: word };
      sheet().readings.filter((r) => here(r) && ofSaid(r)).forEach((r) => Object.assign(r, about));
      now({ said: about });
      return;
    }
    const [number] = state.now.position.split("/");
    const alone = onlyHere && /^[0-9]+$/.test(number) && asked.question !== api.build.MODEL;
    const family = api.build.family(engine());
    sheet().build = building.answered(sheet().build, asked.question, word, alone ? number : "all", family);
    now({});
  }

  /** Whether answers are for the place that is read alone; asked where the engine has several. */
  function scope(asked) {
    const several = placesHere().length > 1 && asked.some((a) => !a.detail && a.question !== api.build.MODEL);
    const set = (chosen) => {
      onlyHere = chosen === "here";
      show();
    };
    const all = [["all", "at every place"], ["here", "at " + words.place(state.now.position) + " only"]];
    return several ? chips("The answer holds", all, onlyHere ? "here" : "all", set) : null;
  }

  const buildActs = {
    setBuild: (values) => {
      sheet().build = values;
      change({});
    },
    setStage: (stage) => {
      sheet().stage = stage;
      change({});
    },
    done: () => go("fit"),
    folded: (name) => folded(name),
    say: (text) => say(text),
  };

  // the step of reading

  const folded = (name) => {
    const fold = view.querySelector('[data-fold="' + name + '"]');
    return Boolean(fold && fold.open);
  };

  function readStep() {
    if (!state.now) {
      return [element("p", {}, "Choose a fit first.")];
    }
    if (!sheet().instruments.some((t) => t.id === state.now.instrument)) {
      state.now.instrument = usual(kindFor(state.now.part)).id;
    }
    const found = judged();
    const result = current(found);
    const outcome = result ? verdict.card(result, found, sheet())
      : element("p", { class: "bench-card bench-open" }, "No reading of this fit at this place yet.");
    const legend = element("p", { class: "bench-small" }, draw.LEGEND);
    const also = verdict.also(found, state.now.position);
    return [element("div", { class: "bench-columns" },
      element("div", {}, heading(), questions(result), chosen(), stop(), padOf()),
      element("div", { class: "bench-outcome" },
        verdict.refused(found) || outcome, taken(), also, verdict.cautions(), legend, verdict.left()))];
  }

  function heading() {
    const found = choice();
    const told = found.rows.length ? steps.printed(found.rows) : found.asked.length ? "" : found.why;
    const pages = found.rows.flatMap((r) => [" ", element("a", { href: r.link }, steps.pages([r]))]);
    const where = [words.place(state.now.position), ...words.said(state.now.said)].join(", ");
    return element("header", { class: "bench-head" },
      element("h2", {}, quantity().label),
      element("p", {}, [where, told].filter(Boolean).join(": "), pages),
      element("p", { class: "bench-small" }, "What counts: " + (shared().methods[method()] || method())));
  }

  /** Questions whose answer separates the rows here; with a reading, each answer bears its verdict. */
  function questions(result) {
    const open = result ? result.questions : choice().asked;
    return open.length ? [scope(open), ...verdict.questions(open, answer, Boolean(result))] : [];
  }

  /** Places of the item that is read, by the build. */
  function placesHere() {
    const { item, position, said: about } = state.now;
    const own = measured.measured(engine(), sheet().build).filter((g) => g.item === item);
    const same = own.filter((g) => JSON.stringify(g.said) === JSON.stringify(about));
    const found = [...new Set((same.length ? same : own).flatMap((g) => g.places))];
    return found.includes(position) ? found : [...found, position];
  }

  /** Place, part, where on the part, instrument. */
  function chosen() {
    const places = placesHere().map((p) => [p, words.place(p)]);
    const parts = steps.partsOf(quantity(), method()).map(partChip);
    const grid = ["cross-difference", "end-difference", "spread"].includes(method());
    const place = (position) => now({ position, typed: "", low: null });
    return [
      element("h4", {}, "Place"), chips("Place", places, state.now.position, place),
      ...(parts.length > 1 ? [element("h4", {}, "Measured"), chips("Measured", parts, state.now.part, choosePart)] : []),
      element("div", { class: "bench-folds" },
        steps.where(state.now, grid || folded("where"), now),
        steps.tool(sheet(), state.now, folded("tool"), chooseTool)),
    ];
  }

  /** A part with how often it was read here; its size's name for who cannot see the display. */
  function partChip(part) {
    const count = sheet().readings.filter((r) => here(r) && ofSaid(r) && r.part === part).length;
    const read = count ? " (" + count + ")" : "";
    return [part, part + read, words.part(part, quantity()) + read];
  }

  /** What was caught at entry: it stays until the builder says what to do. */
  function stop() {
    if (!caught) {
      return null;
    }
    const leave = () => {
      caught = null;
      show();
    };
    const slip = caught.reading !== undefined;
    const undo = slip && button("Take it back", () => takeBack(caught.reading), { key: "back", class: "bench-plain" });
    return element("div", { class: "bench-stop", role: "alert" },
      caught.lines.map((l) => element("p", {}, l)), element("div", { class: "bench-buttons" }, undo || null,
        button(slip ? "It stands as read" : "I see", leave, { key: "leave", class: "bench-plain" })));
  }

  function padOf() {
    const { part, unit, between } = state.now;
    const what = words.part(part, quantity()) + ", " + words.place(state.now.position);
    return pad.pad({
      what, shown: shown(), units: units(), unit, setUnit: (u) => now({ unit: u }), signed: signed(), press, next,
      between: ["gap", "strip"].includes(part) ? between : null,
      setBetween: (b) => now({ between: b, low: null, typed: "" }),
    });
  }

  function taken() {
    const mine = sheet().readings.map((r, n) => [r, n]).filter(([r]) => here(r) && ofSaid(r));
    const undo = (r, n) => button("take back", () => takeBack(n), {
      key: "taken/" + n, class: "bench-plain", "aria-label": "take back " + words.reading(r),
    });
    const line = ([r, n]) => element("li", {},
      element("span", {}, words.part(r.part, quantity()) + ": " + words.reading(r) + ", " + record.named(r.instrument, sheet(), shared())), undo(r, n));
    return mine.length
      ? element("section", { class: "bench-taken" }, element("h3", {}, "Read here"), element("ul", {}, mine.map(line)))
      : null;
  }

  // the record

  function recordStep() {
    const keepWords = (more) => {
      Object.assign(sheet(), more);
      change({});
    };
    const ask = (to) => {
      asked = to;
      show();
    };
    const acts = { keepWords, takeBack, say, asked, ask, clear, folded };
    return summary.record(engine(), sheet(), exported(), judged(), acts);
  }

  function clear() {
    delete state.sheets[state.engine];
    asked = false;
    caught = null;
    say("The record is cleared.");
    change({ now: null, step: "build" });
  }

  // the whole

  const STEPS = { engine: "Engine", build: "Build", fit: "Fit", read: "Read", record: "Record" };

  function go(step) {
    caught = null;
    asked = false;
    say("");
    change({ step });
  }

  function tabs() {
    const open = { engine: true, build: engine(), fit: engine(), read: engine() && state.now, record: engine() };
    return element("nav", { class: "bench-tabs", "aria-label": "Steps" }, Object.entries(STEPS).map(([step, label]) =>
      button(label, () => go(step), {
        key: "step/" + step, class: "bench-tab", disabled: !open[step],
        "aria-current": step === state.step ? "step" : null,
      })));
  }

  function body() {
    if (state.step === "engine" || !engine()) {
      return steps.engines(state, chooseEngine);
    }
    if (state.step === "build") {
      return building.step(engine(), sheet().build, sheet().stage, buildActs);
    }
    if (state.step === "fit") {
      return steps.fitList(engine(), sheet(), state.now, chooseFit);
    }
    return state.step === "read" ? readStep() : null;
  }

  const stored = () => (kept ? null : element("p", { class: "bench-stop" },
    "This browser keeps nothing: save the sheet before you leave the page."));

  /** The step that is open, and the record, which is also what is printed. */
  function show() {
    const content = body();
    const step = content ? element("div", { class: "bench-step" }, content) : null;
    const kind = content ? "bench-record bench-off" : "bench-step bench-record";
    replace(view, [tabs(), stored(), step, engine() ? element("div", { class: kind }, recordStep()) : null]);
    if (at !== null && at !== state.step) {
      arrive();
    }
    at = state.step;
  }

  /** At a new step the reader stands at its heading. */
  function arrive() {
    const head = view.querySelector(".bench-step h2");
    if (head) {
      head.setAttribute("tabindex", "-1");
      head.focus({ preventScroll: true });
      root.scrollIntoView();
    }
  }

  /** Keys of the bench stay at the bench: no shortcut of the page around it may catch them. */
  function onKey(event) {
    const { target } = event;
    const ours = target === document.body || root.contains(target);
    if (!ours || event.ctrlKey || event.altKey || event.metaKey) {
      return;
    }
    event.stopPropagation();
    const inside = (selector) => Boolean(target.closest && target.closest(selector));
    const key = pad.keyed(event);
    if (state.step !== "read" || !key || !engine() || !state.now || inside("input, select, textarea")) {
      return;
    }
    if ((key === "next" && inside("button, a, summary")) || (key === "-" && !signed())) {
      return;
    }
    event.preventDefault();
    if (key === "next") {
      next();
    } else {
      press(key);
    }
  }

  /** An engine that the address names (`bench.html#amc-242`) is chosen once, so that a reload keeps what came after. */
  function named() {
    const name = window.location.hash.slice(1);
    if (name === state.engine || !shared().engines.some((e) => e.engine === name)) {
      return "";
    }
    window.location.hash = "";
    return name;
  }

  root.replaceChildren(draw.patterns(), view, said);
  document.addEventListener("keydown", onKey);
  const wanted = named();
  if (wanted) {
    chooseEngine(wanted);
  } else if (state.engine) {
    load(state.engine, show);
  }
  show();
})();
