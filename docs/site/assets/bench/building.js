"use strict";
// The build: which engine stands on the bench. Told once; fits, places and questions follow from it.
(function () {
  const api = window.runningFits;
  const { element, button, chips, field } = api.elements;
  const { build: builds, asking, measured } = api;
  const shared = () => api.loaded.shared;
  const { MODEL, OTHER, UNKNOWN } = builds;

  const STAGES = [["found", "as found"], ["machined", "after machining"], ["assembled", "assembled"]];
  const UNKNOWN_WORDS = "not known";

  /** @param {any} answer */
  const plainMap = (answer) => (typeof answer === "object" ? answer : { all: answer });

  /** The answers of a map without those that say no more than `all`, as one word where one is left. @param {any} given */
  function short(given) {
    const own = Object.entries(given).filter(([place, word]) => place === "all" || word !== given.all);
    const found = Object.fromEntries(own.filter(([, word]) => word !== undefined && word !== ""));
    const names = Object.keys(found);
    return names.length ? (names.length === 1 && names[0] === "all" ? found.all : found) : undefined;
  }

  /** Answers about fitted parts less those that a model gives by what it always has.
   * @param {any} fitted @param {string} model @param {any} family */
  function notHad(fitted, model, family) {
    const had = family ? family.answers(model) : {};
    return Object.fromEntries(Object.entries(fitted || {}).filter(([q]) => !Object.hasOwn(had, q)));
  }

  /** A build with an answer at a place or at all; an empty answer is taken back.
   * @param {any} values @param {string} question @param {string} word @param {string} [place] @param {any} [family] @returns {Build} */
  function answered(values, question, word, place = "all", family = null) {
    if (question === MODEL) {
      return without(without({ ...values, model: word, fitted: notHad(values.fitted, word, family) }, "model"), "fitted");
    }
    const [kind, name] = question.startsWith(asking.SIZE) ? ["size", question.slice(asking.SIZE.length)] : ["fitted", question];
    const before = plainMap((values[kind] || {})[name] || {});
    const given = place === "all" ? { ...before, all: word } : { all: before.all || standardOf(kind), ...before, [place]: word };
    return without({ ...values, [kind]: without({ ...(values[kind] || {}), [name]: short(given) }, name) }, kind);
  }

  /** @param {string} kind */
  const standardOf = (kind) => (kind === "size" ? "0" : UNKNOWN);

  /** A map without a name that has nothing to say. @param {any} all @param {string} name @returns {any} */
  function without(all, name) {
    const { [name]: own, ...rest } = all;
    const empty = own === undefined || own === "" || (typeof own === "object" && !Object.keys(own).length);
    return empty ? rest : all;
  }

  /** @param {string} key @param {string} label @param {any[]} all @param {any} chosen @param {(value: any) => void} choose */
  function select(key, label, all, chosen, choose) {
    const options = all.map(([value, words]) => element("option", { value, selected: value === chosen }, words));
    return element("select", { "data-focus": key, "aria-label": label, on: { change: (/** @type {any} */ e) => choose(e.target.value) } }, options);
  }

  /** The whole step: model, stage, fitted parts, sizes, further documents.
   * @param {Engine} engine @param {Build} values @param {string} stage @param {any} acts */
  function step(engine, values, stage, acts) {
    const family = builds.family(engine);
    const questions = measured.questions(engine, values);
    return [
      element("h2", {}, "What stands on the bench?"),
      element("p", { class: "bench-small" }, engine.name + ". Said once: places, ranges and questions follow from it. " +
        "What you cannot tell now stays open and is asked where it matters."),
      modelOf(family, values, acts),
      element("section", {}, element("h3", {}, "When are the readings taken?"),
        chips("Stage", STAGES, stage || "found", acts.setStage)),
      hasOf(family, values),
      ...questions.map((q) => question(q, engine, family, values, acts)),
      sizesOf(engine, values, acts),
      documentsOf(engine, family, values, acts),
      element("div", { class: "bench-buttons" },
        button("To the fits", acts.done, { key: "build/done", class: "bench-key bench-next bench-words" })),
    ];
  }

  /** @param {any} family @param {Build} values @param {any} acts */
  function modelOf(family, values, { setBuild }) {
    /** @param {any} m */
    const words = (m) => [family.models[m].label, family.models[m].known].filter(Boolean).join(", ");
    if (family.onlyModel) {
      return element("p", {}, element("strong", {}, words(family.onlyModel)));
    }
    const all = [...family.names.map((/** @type {any} */ m) => [m, family.models[m].label, words(m)]), [UNKNOWN, UNKNOWN_WORDS]];
    return element("section", {}, element("h3", {}, asking.questionWords(MODEL, shared())),
      chips("Model", all, values.model || UNKNOWN, (word) => setBuild(answered(values, MODEL, word, "all", family))));
  }

  /** What the model always has. @param {any} family @param {Build} values */
  function hasOf(family, values) {
    const has = Object.entries(family.answers(values.model || family.onlyModel));
    const words = has.map(([q, part]) => family.label(q, part)).join(", ");
    return words ? element("p", { class: "bench-small" }, "This model is " + words + ".") : null;
  }

  /** @param {string} question @param {any} family */
  const wordsOf = (question, family) => {
    const listed = family.questions[question];
    const all = listed.includes(OTHER) ? listed : [...listed, OTHER];
    return [...all.map((/** @type {any} */ w) => [w, family.label(question, w)]), [UNKNOWN, UNKNOWN_WORDS]];
  };

  /** @param {any} asked @param {Engine} engine @param {any} family @param {Build} values @param {any} acts */
  function question(asked, engine, family, values, { setBuild, folded }) {
    const given = plainMap((values.fitted || {})[asked] || {});
    const all = wordsOf(asked, family);
    /** @param {string} word @param {string} [place] */
    const set = (word, place) => setBuild(answered(values, asked, word, place));
    const places = placesOf(measured.countedBy(asked, engine), engine, values);
    return element("section", {}, element("h3", {}, asking.questionWords(asked, shared())),
      chips(asking.questionWords(asked, shared()), all, given.all || UNKNOWN, (word) => set(word), "fitted/" + asked),
      byPlace(asked, places, all, given, set, folded));
  }

  /** @param {string} column @param {Engine} engine @param {Build} values */
  function placesOf(column, engine, values) {
    const model = Object.hasOwn(engine.models, values.model || "") ? [values.model] : [];
    const most = column ? builds.family(engine).count(column, model) : 0;
    return Array.from({ length: most || 0 }, (_, n) => String(n + 1));
  }

  /** Places that differ from the others.
   * @param {string} name @param {string[]} places @param {any[]} all @param {any} given @param {any} set @param {(name: string) => boolean} folded */
  function byPlace(name, places, all, given, set, folded) {
    if (places.length < 2) {
      return null;
    }
    const own = places.filter((p) => given[p] !== undefined);
    const options = [["", "as the others"], ...all];
    const fields = places.map((p) => field("No. " + p,
      select(name + "/" + p, "No. " + p, options, given[p] || "", (word) => set(word || given.all, p))));
    const words = own.length ? "different at " + own.join(", ") : "the same at every place";
    return element("details", { class: "bench-fold", "data-fold": "places/" + name, open: folded("places/" + name) || own.length > 0 },
      element("summary", { "data-focus": "places/" + name }, words), element("div", { class: "bench-fields" }, fields));
  }

  // sizes

  const SIGNS = { minus: "ground by", plus: "bored or fitted oversize by" };

  /** @param {Engine} engine @param {Build} values @param {any} acts */
  function sizesOf(engine, values, acts) {
    const { printed, others } = measured.machined(engine);
    const shown = [...printed].map(([part, sizes]) => sizeOf(part, sizes, engine, values, acts));
    const told = others.some((p) => (values.size || {})[p] !== undefined);
    const more = others.map((part) => sizeOf(part, [], engine, values, acts));
    return element("section", {}, element("h3", {}, "What is machined to another size?"),
      element("p", { class: "bench-small" }, "Leave what is standard."), shown,
      more.length ? element("details", { class: "bench-fold", "data-fold": "sizes", open: acts.folded("sizes") || told },
        element("summary", { "data-focus": "sizes" }, "Other machined parts"), more) : null);
  }

  /** @param {string} part @param {any[]} sizes @param {Engine} engine @param {Build} values @param {any} acts */
  function sizeOf(part, sizes, engine, values, { setBuild, folded, say }) {
    const { label, sign, count } = shared().repairs[part];
    const name = label[0].toUpperCase() + label.slice(1);
    const given = plainMap((values.size || {})[part] || {});
    /** @param {string} text @param {string} [place] */
    const set = (text, place) => setBuild(answered(values, asking.SIZE + part, text, place));
    const listed = sizes.map((s) => [s.number + " " + s.unit, SIGNS[sign] + " " + s.number.replace("-", "") + " " + s.unit]);
    const own = [...new Set(Object.values(given))].filter((t) => t && t !== "0" && t !== UNKNOWN && !listed.some(([v]) => v === t));
    const all = [["0", "standard"], ...listed, ...own.map((t) => [t, SIGNS[sign] + " " + t.replace("-", "")]), [UNKNOWN, UNKNOWN_WORDS]];
    /** @param {any} event */
    const typed = (event) => {
      const text = sizeText(event.target.value, sign);
      if (text) {
        set(text);
      } else if (event.target.value.trim()) {
        say("Type the size with its unit, such as 0.25 mm or 0.010 in.");
      }
    };
    const another = element("input", {
      type: "text", autocomplete: "off", placeholder: engine.unit === "in" ? "0.010 in" : "0.25 mm",
      "data-focus": "size/" + part + "/other", on: { change: typed },
    });
    return element("div", { class: "bench-size" },
      element("div", { class: "bench-fields" },
        field(name, select("size/" + part, name, all, given.all || "0", (text) => set(text === "0" && !own.length ? "" : text))),
        field("another size", another)),
      byPlace("size/" + part, placesOf(count, engine, values), all, given, set, folded));
  }

  /** A typed size with the sign of its part: 0.25 mm, .010in, 0,25 mm; an empty text for none, or without its unit.
   * @param {string} typed @param {string} sign */
  function sizeText(typed, sign) {
    const match = /^[+-]?\s*(\d*)(?:[.,](\d+))?\s*(mm|in|")$/.exec(typed.trim());
    if (!match || (!match[1] && !match[2])) {
      return "";
    }
    const number = (match[1] || "0") + (match[2] ? "." + match[2] : "");
    return (sign === "minus" ? "-" : "") + number + " " + (match[3] === '"' ? "in" : match[3]);
  }

  // documents

  /** Books that are for other models: they may be asked to judge, and are marked then.
   * @param {Engine} engine @param {any} family @param {Build} values @param {any} acts */
  function documentsOf(engine, family, values, { setBuild, folded }) {
    const model = values.model || family.onlyModel;
    const covers = Object.entries(engine.covers).filter(([, models]) => models.length && !models.includes(model));
    if (!Object.hasOwn(family.models, model) || !covers.length) {
      return null;
    }
    const chosen = values.documents || [];
    /** @param {string} source */
    const toggled = (source) => (chosen.includes(source) ? chosen.filter((s) => s !== source) : [...chosen, source].sort());
    /** @param {[string, string[]]} cover */
    const box = ([source]) => button(engine.documents[source], () => setBuild(without({ ...values, documents: toggled(source) }, "documents")), {
      key: "document/" + source, class: "bench-chip", "aria-pressed": String(chosen.includes(source)),
    });
    return element("details", { class: "bench-fold", "data-fold": "documents", open: folded("documents") || chosen.length > 0 },
      element("summary", { "data-focus": "documents" }, "Judge by a book for other models too"),
      element("div", { class: "bench-chips" }, covers.map(box)));
  }

  // words

  /** Whether a book is not for the model that is told. @param {string} source @param {string} model @param {Engine} engine */
  function isForOthers(source, model, engine) {
    const covered = engine.covers[source] || [];
    return Object.hasOwn(engine.models, model) && covered.length > 0 && !covered.includes(model);
  }

  /** What the record says of the engine, a line each. @param {Engine} engine @param {Build} values @param {string} [stage] @returns {string[]} */
  function words(engine, values, stage) {
    const family = builds.family(engine);
    const model = values.model || family.onlyModel;
    /** @param {string} place @param {any} given */
    const at = (place, given) => (place !== "all" ? " " + api.words.place(place) : Object.keys(given).length > 1 ? ", the others" : "");
    /** @param {string} name @param {any} answer @param {any} say */
    const told = (name, answer, say) => Object.entries(plainMap(answer)).map(([p, w]) => name + at(p, plainMap(answer)) + ": " + say(w));
    /** @param {string} text */
    const size = (text) => (text === UNKNOWN ? "size not known" : builds.sizeText(builds.sizeFrom(text)));
    /** @param {any} q */
    const part = (q) => (/** @type {any} */ w) => (w === UNKNOWN ? "not known which" : family.label(q, w));
    return [
      ...(model && model !== UNKNOWN ? [family.label(MODEL, model)] : []),
      ...Object.entries(values.fitted || {}).flatMap(([q, a]) => told(q.replaceAll("-", " "), a, part(q))),
      ...Object.entries(values.size || {}).flatMap(([p, a]) => told(shared().repairs[p].label, a, size)),
      ...(values.documents || []).map((s) => "judged by " + engine.documents[s] + " too" +
        (isForOthers(s, model || "", engine) ? ", although it is for other models" : "")),
      "read " + stageWords(stage),
    ];
  }

  /** When readings are taken, in words. @param {string} [stage] @returns {string} */
  const stageWords = (stage) => (STAGES.find(([s]) => s === stage) || STAGES[0])[1];

  api.building = { step, answered, words, stageWords, sizeText };
})();
