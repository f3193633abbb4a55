"use strict";
// The bench page: sheet, engine, build, fit, reading, tightening, record. Judges with judge.js; what that leaves it names.
(function () {
  const api = window.runningFits;
  const { element, replace } = api.elements;
  const { store, record, draw, steps, building, summary, sheets, judge, noticing, frame } = api;
  const root = document.getElementById("bench");
  if (!root || !api.loaded.shared) {
    return;
  }

  const shared = () => api.loaded.shared;
  /** What this window shows. @type {View} */
  let view = store.view();
  /** The sheet that is open. @type {Sheet | null} */
  let open = null;
  /** What another window did to the sheet, until it is seen. @type {{words: string, gone: boolean} | null} */
  let elsewhere = null;
  /** Why a sheet that was to be brought in was not. @type {string[]} */
  let refused = [];
  /** @type {any} */
  let found = null;
  /** @type {string | null} */
  let at = null;
  let [depth, asked, paper] = [0, false, ""];
  const shown = element("div", { class: "bench-view" });
  const said = element("p", { class: "bench-said-out", role: "status", "aria-live": "polite" });

  const engine = () => (open && api.loaded.engines[open.engine]) || null;
  const sheet = () => /** @type {Sheet} */ (open);
  const titles = () => store.sheets().map((/** @type {[string, Sheet]} */ [, s]) => s.title || "");
  /** Say a thing; what stands in sight already is for the ear alone. */
  const say = (/** @type {string} */ text, heard = false) => {
    said.textContent = text;
    said.classList.toggle("bench-heard", heard);
  };
  const judged = () => (found = found || judge.check(record.exported(sheet()), engine(), shared()));
  const keepView = () => store.keepView(view);
  const folded = (/** @type {string} */ name) => frame.folded(shown, name);
  const unfold = (/** @type {string} */ name) => frame.unfold(shown, name);

  /** Change the sheet: unless another window changed it meanwhile; then what it has now is shown first.
   * @param {(sheet: Sheet) => void} change */
  function edit(change) {
    const id = /** @type {string} */ (view.sheet);
    if (!depth && (elsewhere && elsewhere.gone || !store.isFresh(id))) {
      adopt("What you typed still stands: look at the sheet, then press again.");
      return;
    }
    depth += 1;
    try {
      change(sheet());
    } finally {
      depth -= 1;
    }
    if (!depth) {
      sheet().changed = new Date().toISOString();
      store.write(id, sheet());
      show();
    }
  }

  /** Take over what another window made of the sheet. @param {string} more */
  function adopt(more) {
    const newer = store.read(/** @type {string} */ (view.sheet));
    const words = newer ? "This sheet was changed in another window: it has " + record.lines(newer) + " lines now, here it had " + record.lines(sheet()) + ". "
      : "This sheet was cleared in another window; here it still stands. ";
    elsewhere = { words: words + more, gone: !newer };
    open = newer || open;
    say("");
    frame.keepingTyped(shown, show);
  }

  store.listen((/** @type {any} */ id) => {
    if (id === view.sheet && !store.isFresh(id)) {
      adopt("");
    } else if (view.step === "engine") {
      show();
    }
  });
  frame.leaving(shown, () => Boolean(open && record.lines(open) > 0 && store.isHere(/** @type {string} */ (view.sheet))));
  window.addEventListener("pageshow", (event) => event.persisted && view.sheet && !store.isFresh(view.sheet) && adopt(""));

  // sheets

  const load = (/** @type {string} */ name, /** @type {() => void} */ done) => frame.load(name, done, say);

  /** Open a sheet that is kept, or one that is not yet; `otherwise` where it cannot be: no page stays empty.
   * @param {string} id @param {string} name @param {() => void} done @param {() => void} [otherwise] */
  function take(id, name, done, otherwise = () => at === null && show()) {
    const lost = (/** @type {string} */ words) => (otherwise(), say(words));
    frame.load(name, () => {
      const kept = store.read(id);
      const own = api.loaded.engines[kept ? kept.engine : name];
      if (!own || store.isDamaged(id)) {
        lost(own ? "The sheet that was open cannot be read. Save what is there as a file; nothing is written over it." : "This version of the data does not have that engine.");
        return;
      }
      /** @type {Sheet} */
      const made = kept || record.fresh(own, titles());
      if (!record.lines(made) && !Object.keys(made.build).length) {
        made.build = record.fresh(own, []).build;
      }
      open = made;
      elsewhere = null;
      api.address.keep(own.engine);
      view.sheet = id;
      view.engine = own.engine;
      done();
    }, lost);
  }

  /** Whether a kept sheet of an engine is open, of the model that the address names. @param {string} name */
  function isOnBench(name) {
    const [{ model }, kept] = [api.address.build(name), view.sheet && store.read(view.sheet)];
    return Boolean(kept && open && open.engine === name && (!model || open.build.model === model));
  }

  /** Choose an engine: its sheet that was changed last, of the model that the address names, else a new one. @param {string} name */
  function chooseEngine(name) {
    const { model } = api.address.build(name);
    const own = store.sheets().filter((/** @type {[string, Sheet]} */ [, s]) => s.engine === name);
    const isOpen = isOnBench(name);
    const free = (/** @type {Sheet} */ s) => !model || !s.build.model || !record.lines(s);
    const last = own.find((/** @type {[string, Sheet]} */ [, s]) => s.build.model === model) || own.find((/** @type {[string, Sheet]} */ [, s]) => free(s));
    const id = isOpen ? /** @type {string} */ (view.sheet) : last ? last[0] : store.newName(name);
    const built = () => model && !record.lines(sheet()) && Object.assign(sheet(), { build: record.fresh(engine(), []).build });
    take(id, name, () => (built(), show({ step: "build", now: isOpen ? view.now : null, tighten: isOpen ? view.tighten : null })));
  }

  /** A further sheet, kept at once. @param {Sheet} made */
  function add(made) {
    const id = store.newName(made.engine);
    store.write(id, { ...made, changed: new Date().toISOString() });
    take(id, made.engine, () => show({ step: made.readings.length ? "record" : "build", now: null, tighten: null }));
  }

  const kept = (/** @type {string} */ text, /** @type {string} */ name, /** @type {string} */ type) => noticing.save(text, name, type, say);

  function clear() {
    const { engine: name } = sheet();
    store.remove(/** @type {string} */ (view.sheet));
    asked = false;
    take(store.newName(name), name, () => show({ now: null, tighten: null, step: "build" }));
    say("The sheet is cleared.");
  }

  // the steps

  /** @type {App} */
  const app = {
    root, view: () => view, sheet, engine: () => /** @type {Engine} */ (engine()), build: () => api.build.parsed(sheet().build), judged, edit, show, say, keepView, folded, open: unfold,
  };
  const reading = api.reading.reading(app);
  const wrench = api.wrench.wrench(app);

  /** @param {string} step */
  function go(step) {
    reading.leave();
    wrench.leave();
    [asked, refused] = [false, []];
    say("");
    show({ step });
  }

  function tabs() {
    const is = /** @type {Record<string, any>} */ ({ engine: true, build: engine(), fit: engine(), read: engine() && view.now, tighten: engine(), record: engine() });
    return frame.tabs(view.step, (/** @type {string} */ step) => Boolean(is[step]), go);
  }

  function engineStep() {
    const refuse = (/** @type {string[]} */ faults) => {
      refused = faults;
      frame.keepingTyped(shown, show);
    };
    const acts = { open: (/** @type {string} */ id) => take(id, (store.read(id) || { engine: "" }).engine, () => show({ step: "record", now: null, tighten: null })),
      load, add: (/** @type {Sheet} */ made) => (refused = [], add(made)), refuse, save: kept, folded };
    const why = refused.length ? element("div", { class: "bench-stop", role: "alert" }, element("p", {}, "Not brought in:"),
      element("ul", {}, refused.map((f) => element("li", {}, f)))) : null;
    return [element("h2", {}, "Which engine?"), why, ...sheets.step(view.sheet, acts), ...steps.engines({ engine: open && open.engine }, chooseEngine)];
  }

  const buildActs = {
    setBuild: (/** @type {Build} */ values) => edit((s) => {
      s.build = values;
    }),
    setStage: (/** @type {string} */ stage) => edit((s) => {
      s.stage = stage;
    }),
    done: () => go("fit"), folded, say,
  };

  function body() {
    if (view.step === "engine" || !engine()) {
      return engineStep();
    }
    const each = /** @type {Record<string, () => any>} */ ({
      build: () => building.step(engine(), sheet().build, sheet().stage, buildActs),
      fit: () => steps.fitList(engine(), sheet(), view.now, reading.take),
      read: reading.step, tighten: wrench.step, record: () => null,
    });
    return (each[view.step] || engineStep)();
  }

  function recordStep() {
    const acts = {
      keepWords: (/** @type {any} */ more) => edit((s) => Object.assign(s, more)), takeBack: reading.takeBack, say, asked, folded, save: kept, clear,
      ask: (/** @type {boolean} */ to) => {
        asked = to;
        show();
      },
      another: () => add(record.fresh(engine(), titles())),
      following: sheet().stage === "assembled" ? null : () => add(record.following(sheet(), titles())),
      print: (/** @type {string} */ name) => {
        paper = name;
        show();
        window.print();
      },
    };
    return summary.record(engine(), sheet(), record.exported(sheet()), judged(), acts);
  }

  window.addEventListener("afterprint", () => {
    paper = "";
    show();
  });

  // the whole

  function notices() {
    const seen = () => {
      if (elsewhere && elsewhere.gone) {
        store.write(/** @type {string} */ (view.sheet), sheet());
      }
      elsewhere = null;
      frame.keepingTyped(shown, show);
      frame.enterTyped(shown);
    };
    return noticing.notices(store.trouble(), elsewhere, { seen, clear });
  }

  /** Show the page, with what changed of the view. @param {Partial<View>} [more] */
  function show(more = {}) {
    const before = place();
    view = { ...view, ...more };
    if (depth) {
      return;
    }
    keepView();
    (place() === before ? api.address.mark : api.address.push)({ bench: view });
    found = null;
    const content = body();
    const step = content ? element("div", { class: "bench-step" }, content) : null;
    const kind = content ? "bench-record bench-off" : "bench-step bench-record";
    const whole = engine() ? element("div", { class: kind }, recordStep()) : null;
    shown.dataset.paper = paper || "record";
    replace(shown, [tabs(), ...notices(), step, whole, ...(paper && engine() ? summary.others(engine(), sheet(), judged()) : [])]);
    if (at !== null && at !== view.step) {
      frame.arrive(root, shown);
    }
    at = view.step;
  }

  /** What the Back button goes through: steps, fits, places, joints. */
  const place = () => JSON.stringify([view.step, view.sheet, view.now && [view.now.item, view.now.position, view.now.said], view.tighten && view.tighten.joint]);

  window.addEventListener("popstate", ({ state }) => {
    const kept = state && state.bench;
    if (!kept) {
      return;
    }
    reading.leave();
    wrench.leave();
    say("");
    const shownAgain = () => {
      view = { ...view, step: kept.step, tighten: kept.tighten, now: kept.now && { ...kept.now, typed: frame.typedAt(kept.now, view.now) } };
      show();
    };
    kept.sheet && kept.sheet !== view.sheet ? take(kept.sheet, kept.engine || "", shownAgain) : shownAgain();
  });

  /** The step that takes numbers, while one is open. */
  const typing = () => (!engine() ? null : view.step === "read" && view.now ? reading : view.step === "tighten" && view.tighten && view.tighten.joint ? wrench : null);

  /** An engine that the address names is chosen, unless its sheet of that model is open. */
  function start() {
    const { engine: name } = api.address;
    const known = shared().engines.some((/** @type {any} */ e) => e.engine === name);
    api.address.mark({ bench: view });
    known && !isOnBench(name) ? chooseEngine(name) : show();
  }

  root.replaceChildren(draw.patterns(), shown, said);
  api.keys.listen(root, shown, typing);
  if (view.sheet && view.engine) {
    take(view.sheet, view.engine, start, start);
  } else {
    start();
  }
})();
