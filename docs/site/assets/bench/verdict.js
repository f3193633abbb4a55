"use strict";
// The verdict on a fit: in words, drawn, with its row, its page and what it leaves open.
(function () {
  const api = window.runningFits;
  const { element, button, link } = api.elements;
  const { words, draw, steps, rows } = api;

  /** Text whose parts between backticks are shown as what to type. @param {string} text */
  function coded(text) {
    return text.split("`").map((part, n) => (n % 2 ? element("code", {}, part) : part));
  }

  /** @param {string} text @param {string} kind */
  const line = (text, kind) => element("p", { class: kind }, coded(text));

  const LEFT =
    "This page judges readings and tightening. It does not judge by rules of thumb, and it works out no remedies: save " +
    "the sheet and run `runningfits check` on it.";

  const left = (kind = "bench-small") => line(LEFT, kind);

  const cautions = () =>
    element("div", { class: "bench-cautions" }, api.loaded.shared.cautions.map((c) => element("p", {}, c)));

  /** A result with everything that belongs to it. @param {Result} result @param {Found} found @param {Sheet} sheet */
  function card(result, found, sheet) {
    const facts = result.verdict === "bad-entry" ? [] : factsOf(result, sheet);
    return element("section", { class: "bench-card bench-" + words.kind(result, sheet.stage || "found") },
      element("h3", {}, [result.label, words.place(result.position), ...words.said(result.says)].join(", ")),
      element("p", { class: "bench-verdict" }, words.verdict(result)), draw.fit(result),
      facts.length ? element("ul", { class: "bench-facts" }, facts.map((f) => element("li", {}, f))) : null,
      cited(result), notes(result, found, sheet).map((n) => line(n, "bench-note"))
    );
  }

  /** @param {Result} result @param {Sheet} sheet */
  function factsOf(result, sheet) {
    const { value, method, way, probability, probability_within_limit: within, range } = result;
    return [
      value && element("strong", {}, words.value(result)),
      value && !result.least_only && "± holds 95 % (k = " + result.coverage_factor + ")",
      result.bias && result.bias + " " + result.unit + " taken off: the largest, smallest or spread of several reads wide",
      method && way + ", " + (api.loaded.shared.methods[method] || method),
      probability && "in the new range with probability " + probability,
      within && range.limit && "within the limit with " + within,
      margin(result),
      sheet.decision === "simple" && "the value alone decides, as this record asks; U is shown, not used",
    ].filter(Boolean);
  }

  /** @param {Result} result */
  function margin(result) {
    const all = Object.entries(result.margins).filter(([, v]) => v !== null);
    return all.length ? "margin: " + all.map(([k, v]) => k + " " + v).join(", ") + " " + result.unit : "";
  }

  /** @param {Row} row */
  const once = (row) => (row.cells.reading === "twice" ? "" : " (read once)");

  /** @param {Row} row */
  function pageOf(row) {
    const pages = [row.cite, ...row.also].flatMap((c, n) => [n ? "; also " : "", link(web(c.address), c.text)]);
    return [element("a", { href: row.link }, "the row"), ", ", pages, once(row), row.marks.map((m) => "; " + m)].flat(2);
  }

  /** An address that is one on the web. @param {string} address */
  const web = (address) => (/^https?:\/\//.test(address) ? address : "");

  /** @param {Result} result */
  function cited(result) {
    if (!result.row) {
      return null;
    }
    const others = result.others.map((o) => element("p", { class: "bench-small" },
      words.range(o) + " must hold too: " + words.verdict({ ...o, range: o }) + " (", pageOf(o.row), ")"));
    return [element("p", { class: "bench-small" }, "Range ", words.range(result.range), ": ", pageOf(result.row)), ...others];
  }

  /** Open questions, each answer as a button with its ranges, its pages and the verdict that it would give.
   * @param {any} asked @param {any} answer @param {boolean} judged */
  function questions(asked, answer, judged) {
    /** @param {any} w */
    const told = (w) => [...new Map(w.lines.flat().map((/** @type {any} */ r) => [r.id, r])).values()];
    /** @param {any} w */
    const range = (w) => (told(w).length ? told(w).map((r) => rows.text(r) + " (" + steps.pages([r]) + ")").join(" or ")
      : "no page that was read prints it");
    /** @param {any} a */
    const one = (a) => (/** @type {any} */ w) => {
      const verdict = judged && w.verdict ? ": " + words.verdict({ verdict: w.verdict, range: null }) : "";
      const node = button("", () => answer(a, w.word), { key: "answer/" + a.question + "/" + w.word, class: "bench-row" });
      node.append(element("strong", {}, w.label + verdict), element("span", { class: "bench-small" }, range(w)));
      return node;
    };
    return asked.map((/** @type {any} */ a) => element("section", { class: "bench-asked" }, element("h3", {}, a.words),
      element("div", { class: "bench-list" }, a.answers.map(one(a)))));
  }

  /** @param {Result} result @param {Found} found @param {Sheet} sheet */
  function notes(result, found, sheet) {
    /** @param {any} f */
    const here = (f) => {
      const raw = f.reading === undefined ? null : sheet.readings[f.reading];
      return raw && raw.item === result.item && raw.position === result.position;
    };
    return [
      ...open(result), ...result.agreement.flatMap(agreement), ...misprints(result),
      ...result.passed_over.map(passedOver),
      result.row && result.row.cells.note, result.caution,
      ...found.findings.filter((f) => here(f) && (f.severity === "remark" || isKept(f, sheet))).map((f) => slipWords(f, sheet)),
    ].filter(Boolean);
  }

  /** Whether the builder has said that a reading stands although it looks like a slip; until then it is asked beside the verdict.
   * @param {Finding} f @param {Sheet} sheet */
  const isKept = (f, sheet) => f.reading !== undefined && Object.hasOwn(sheet.readings[f.reading].kept || {}, f.code);

  /** A remark, or what was kept as read although it looks like a slip. @param {any} f @param {Sheet} sheet */
  const slipWords = (f, sheet) =>
    (isKept(f, sheet) ? "kept as read: " + f.message : f.message + ". " + f.help);

  /** @param {any} r */
  const passedOver = (r) =>
    "another document gives " + steps.printed([r]) + " (" + r.cite.text + "); not used, see choices.csv";

  const REMEDY = "what can be done about it, with numbers: `runningfits check` on the saved sheet";

  /** What a verdict leaves open, and who closes it. @param {Result} result */
  function open(result) {
    const said = /** @type {Record<string, string>} */ ({
      "which-row": "the answer decides: see the question",
      "no-range": result.why || "the page gives nothing to judge by",
      loose: REMEDY, tight: REMEDY, "past-new": REMEDY,
    });
    const settled = result.settled && "a question is open, but every answer gives the same verdict";
    const told = ["new", "worn", "serviceable", "cannot-tell"].includes(result.verdict);
    return [said[result.verdict], result.needs, result.interference && told && api.loaded.shared.interference,
      words.honed(result), settled];
  }

  /** What another way of measuring says, and the likely causes of a disagreement. @param {any} a */
  function agreement(a) {
    const reads = a.way + " reads " + a.value + " ± " + a.uncertainty + " " + a.unit;
    const told = (a.agrees ? "agrees" : "disagrees") + " (off " + a.difference + ", allowed " + a.allowed + ")";
    return [reads + ": " + told, ...a.causes.map((/** @type {any} */ c) => "perhaps " + c)];
  }

  /** @param {Result} result */
  function misprints(result) {
    return (result.range ? result.range.misprints : []).map((/** @type {any} */ m) => {
      const right = m.corrected ? "judged as " + m.corrected : "not used for judging";
      return "* misprint: " + m.column + " is printed " + m.printed + ", " + right + ": " + m.why;
    });
  }

  /** Sizes and forms that the same readings give at a place. @param {Found} found @param {string} position */
  function also(found, position) {
    const same = found.results.filter((r) => r.derived && r.position === position && r.range);
    /** @param {any} r */
    const cite = (r) => [" (", link(web(r.row.cite.address), r.row.cite.text), ")"];
    const lines = element("ul", {}, same.map((r) => element("li", {}, words.sentence(r), cite(r))));
    const title = element("h3", {}, "From the same readings");
    return same.length ? element("section", { class: "bench-card bench-also" }, title, lines) : null;
  }

  /** Why nothing is judged, or null. @param {Found} found */
  function refused(found) {
    const lines = [
      ...found.faults.map((f) => f.place + ": " + f.found + ", expected " + f.expected),
      ...found.refused.map((r) => "not judged on this page: " + r),
    ];
    return lines.length ? element("div", { class: "bench-stop" }, lines.map((l) => element("p", {}, l))) : null;
  }

  api.verdict = { card, also, refused, cautions, left, coded, questions, web };
})();
