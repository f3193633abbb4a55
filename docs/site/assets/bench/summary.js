"use strict";
// The record of an engine: verdicts, every reading, the instruments; to save, to print, to clear.
(function () {
  const api = window.runningFits;
  const { element, button, link, field } = api.elements;
  const { words, tool, verdict, papers } = api;
  const { table } = papers;

  const FIELDS = [
    ["title", "Name of this sheet", "text"], ["serial", "Serial number", "text"], ["date", "Date", "date"],
    ["checked_by", "Read by", "text"], ["part_temperature", "Temperature of the parts", "text"],
    ["room_temperature", "Temperature of the instruments", "text"],
  ];
  const DECISIONS = [["guarded", "guarded"], ["simple", "simple"]];
  const DECIDED = /** @type {Record<string, string>} */ ({
    guarded: "guarded, the uncertainty counts against the part (ISO 14253-1)",
    simple: "simple, the value alone decides",
  });

  const RULES =
    "U holds 95 %, k from the effective degrees of freedom (JCGM 100); in or out is said by ISO 14253-1; probabilities by " +
    "JCGM 106. A value on a limit is inside.";

  /** @param {string} item */
  const label = (item) => (api.loaded.shared.quantities[item] || { label: item }).label;

  /** @param {Found} found */
  function verdicts(found) {
    const sorted = found.results.filter((r) => r.range || !r.derived).sort((a, b) => a.order - b.order);
    /** @param {any} r */
    const chance = (r) => (r.probability ? "; new with probability " + r.probability : "");
    /** @param {any} r */
    const page = (r) => (r.row ? link(verdict.web(r.row.cite.address), r.row.cite.text) : "");
    /** @param {any} r */
    const told = (r) => [words.value(r), words.range(r.range), [words.verdict(r) + chance(r), words.honed(r)].filter(Boolean).join("; "), page(r)];
    /** @param {any} r */
    const cells = (r) => [label(r.item), [words.place(r.position), ...words.said(r.says)].join(", "), ...told(r)];
    const heads = ["Fit", "Place", "Value ± U", "Range", "Verdict", "Page"];
    return table("Verdicts", heads, sorted.map(cells), "Nothing judged yet.");
  }

  /** @param {Found} found */
  function slips(found) {
    /** @param {any} f */
    const where = (f) => (f.reading === undefined ? f.torque === undefined ? "" : "tightening " + (f.torque + 1) + ": " : "reading " + (f.reading + 1) + ": ");
    /** @param {any} f */
    const said = (f) => where(f) + f.message + ". " + f.help;
    const lines = element("ul", {}, found.findings.map((f) => element("li", {}, said(f))));
    const title = element("h3", {}, "Found on the sheet");
    return found.findings.length ? element("section", {}, title, lines) : null;
  }

  /** Places of what was measured that have no reading yet, a line an item. @param {Found} found */
  function missing(found) {
    const items = [...new Set(found.missing.map((m) => m.item))];
    /** @param {string} item */
    const at = (item) => found.missing.filter((m) => m.item === item).map((m) => m.position);
    const lines = items.map((i) => element("li", {}, label(i) + ": " + words.placesIn(at(i))));
    return lines.length ? element("section", {}, element("h3", {}, "Not measured"),
      element("p", {}, words.counted(found)), element("ul", {}, lines)) : null;
  }

  /** Sizes and forms that the pages have for what was read and that the readings do not give, a line a reason.
   * @param {Found} found */
  function notJudged(found) {
    const reasons = [...new Set(found.notJudged.map((m) => m.item + ": " + m.why))];
    /** @param {any} reason */
    const of = (reason) => found.notJudged.filter((m) => m.item + ": " + m.why === reason);
    const lines = reasons.map(of).map((all) => element("li", {},
      label(all[0].item) + ", " + words.placesIn(all.map((m) => m.position)) + ": " + all[0].why));
    return lines.length ? element("section", {}, element("h3", {}, "Not judged"), element("ul", {}, lines)) : null;
  }

  /** What the sheet leaves open, and what was taken instead. @param {Found} found */
  function assumed(found) {
    const lines = element("ul", {}, found.assumed.map((a) => element("li", {}, a)));
    return found.assumed.length ? element("section", {}, element("h3", {}, "Assumed"), lines) : null;
  }

  /** @param {Sheet} sheet @param {(index: number) => void} takeBack */
  function every(sheet, takeBack) {
    /** @param {any} n */
    const undo = (n) => button("take back", () => takeBack(n), {
      key: "every/" + n, class: "bench-plain bench-screen", "aria-label": "take back reading " + (n + 1),
    });
    /** @param {any} r @param {any} n */
    const cells = (r, n) => [
      String(n + 1), label(r.item), words.place(r.position), words.part(r.part, api.loaded.shared.quantities[r.item]),
      words.reading(r), api.record.named(r.instrument, sheet), undo(n),
    ];
    const heads = ["No.", "Fit", "Place", "Part", "Reading", "With", ""];
    return table("Every reading", heads, sheet.readings.map(cells), "No reading yet.");
  }

  /** @param {Tool[]} tools @param {Sheet} sheet */
  function instruments(tools, sheet) {
    /** @param {string} id */
    const name = (id) => api.record.named(id, sheet);
    /** @param {any} t */
    const cells = (t) => [name(t.id), [t.resolution, t.unit].filter(Boolean).join(" "), tool.limit(t), t.set_on ? name(t.set_on) : ""];
    return table("Instruments", ["Instrument", "Step", "Limit of error", "Set on"], tools.map(cells), "None used yet.");
  }

  /** @param {Sheet} sheet @param {(more: any) => void} keepWords */
  function fields(sheet, keepWords) {
    /** @param {any} _ */
    const input = ([name, words, type]) => field(words, element("input", {
      type, value: sheet[name] || "", maxlength: 500, "data-focus": "record/" + name,
      on: { change: (/** @type {any} */ event) => keepWords({ [name]: event.target.value }) },
    }));
    const decision = tool.select("decision", DECISIONS, sheet.decision, (/** @type {any} */ d) => keepWords({ decision: d }));
    const told = element("p", { class: "bench-small" }, "Decided " + DECIDED[sheet.decision] + ".");
    const all = element("div", { class: "bench-fields" }, FIELDS.map(input), field("Decision", decision));
    return element("div", { class: "bench-screen" }, all, told);
  }

  /** The same on paper, with room for a hand. @param {Sheet} sheet */
  function onPaper(sheet) {
    const known = FIELDS.map(([name, words]) => [words, sheet[name] || ""]);
    const lines = [...known, ["Second check", ""], ["Decision", DECIDED[sheet.decision]]];
    return element("dl", { class: "bench-paper" },
      lines.map(([name, said]) => element("div", {}, element("dt", {}, name), element("dd", {}, said))));
  }

  const PAPERS = [["record", "Print the report"], ["filled", "Print the filled sheet"], ["machinist", "Print the page for the machinist"]];

  /** @param {string} text @param {string} name @param {any} acts */
  function savings(text, name, acts) {
    const named = { "aria-label": "The bench sheet as text", "data-focus": "text" };
    const area = element("textarea", { readonly: true, rows: 8, ...named });
    area.value = text;
    /** @param {any} _ */
    const print = ([paper, label]) => button(label, () => acts.print(paper), { key: "print/" + paper, class: "bench-plain" });
    return element("section", { class: "bench-screen" },
      element("p", { class: "bench-small" }, "Some browsers clear what a page keeps after some weeks: a saved file is the record."),
      element("div", { class: "bench-buttons" },
        button("Save as bench sheet", () => acts.save(text, name, "application/json"), { key: "save", class: "bench-plain" }), PAPERS.map(print)),
      element("div", { class: "bench-buttons" },
        button("Another sheet of this engine", acts.another, { key: "sheet/another", class: "bench-plain" }),
        acts.following ? button("A sheet for the next stage", acts.following, { key: "sheet/following", class: "bench-plain" }) : null,
        clearing(acts)),
      element("details", { class: "bench-fold", "data-fold": "sheet", open: acts.folded("sheet") },
        element("summary", { "data-focus": "sheet" }, "The bench sheet as text, to copy"), area));
  }

  /** Cleared only after asking. @param {any} _ */
  function clearing({ asked, ask, clear }) {
    if (!asked) {
      return button("Clear this sheet …", () => ask(true), { key: "clear", class: "bench-plain" });
    }
    return element("span", { class: "bench-ask", role: "alert" }, "Clear all readings of this sheet? Save them first.",
      button("Yes, clear them", clear, { key: "clear-yes", class: "bench-plain" }),
      button("No, keep them", () => ask(false), { key: "clear", class: "bench-plain" }));
  }

  /** What stands on every paper: the engine, who read it and when.
   * @param {string} title @param {Engine} engine @param {Sheet} sheet */
  const head = (title, engine, sheet) => [element("h2", {}, title + ": " + engine.name),
    element("ul", { class: "bench-built" }, api.building.words(engine, sheet.build, sheet.stage).map((/** @type {any} */ l) => element("li", {}, l)))];

  /** The record: what was read and judged, and what can be done with it.
   * @param {Engine} engine @param {Sheet} sheet @param {any} exported @param {Found} found @param {any} acts */
  function record(engine, sheet, exported, found, acts) {
    const text = JSON.stringify(exported, null, 1) + "\n";
    return [
      ...head("Record", engine, sheet),
      fields(sheet, acts.keepWords), onPaper(sheet), verdict.refused(found),
      verdicts(found), missing(found), notJudged(found), slips(found), assumed(found), every(sheet, acts.takeBack), papers.tightened(sheet, found),
      instruments(exported.instruments, sheet),
      savings(text, fileName(sheet), acts), verdict.cautions(),
      element("p", { class: "bench-small" }, "Data " + api.loaded.shared.version + ". " + RULES), verdict.left(),
    ];
  }

  /** @param {Sheet} sheet */
  const fileName = (sheet) =>
    ((sheet.title || sheet.engine).toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "").slice(0, 60) || sheet.engine) + "-bench.json";

  /** The other papers: seen in print alone. @param {Engine} engine @param {Sheet} sheet @param {Found} found */
  function others(engine, sheet, found) {
    /** @param {string} name @param {string} title @param {any} body */
    const paper = (name, title, body) => element("div", { class: "bench-sheet-paper bench-only-" + name },
      head(title, engine, sheet), onPaper(sheet), body, verdict.cautions());
    return [paper("filled", "Bench sheet", papers.filled(sheet)), paper("machinist", "For the machinist", papers.forMachinist(found))];
  }

  api.summary = { record, others };
})();
