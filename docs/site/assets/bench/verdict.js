"use strict";
// The verdict on a fit: in words, drawn, with its row, its page and what it leaves open.
(function () {
  const api = window.runningFits;
  const { element, link } = api.elements;
  const { words, draw, steps } = api;

  /** Text whose parts between backticks are shown as what to type. */
  function coded(text) {
    return text.split("`").map((part, n) => (n % 2 ? element("code", {}, part) : part));
  }

  const line = (text, kind) => element("p", { class: kind }, coded(text));

  const LEFT =
    "This page judges readings. It does not judge tightening, corrections for temperature and material, rules of thumb " +
    "or two ways of measuring one fit, and it works out no remedies: save the sheet and run `runningfits check` on it.";

  const left = (kind = "bench-small") => line(LEFT, kind);

  const cautions = () =>
    element("div", { class: "bench-cautions" }, api.loaded.shared.cautions.map((c) => element("p", {}, c)));

  /** A result with everything that belongs to it. */
  function card(result, found, sheet) {
    const facts = result.verdict === "bad-entry" ? [] : factsOf(result, sheet);
    return element("section", { class: "bench-card bench-" + words.kind(result) },
      element("h3", {}, result.label + ", " + words.place(result.position)),
      element("p", { class: "bench-verdict" }, words.verdict(result)), draw.fit(result),
      facts.length ? element("ul", { class: "bench-facts" }, facts.map((f) => element("li", {}, f))) : null,
      cited(result), notes(result, found, sheet).map((n) => line(n, "bench-note"))
    );
  }

  function factsOf(result, sheet) {
    const { value, method, way, probability, probability_within_limit: within, range } = result;
    return [
      value && element("strong", {}, words.value(result)),
      method && way + ", " + (api.loaded.shared.methods[method] || method),
      probability && "in the new range with probability " + probability,
      within && range.limit && "within the limit with " + within,
      margin(result),
      sheet.decision === "simple" && "the value alone decides, as this record asks; U is shown, not used",
    ].filter(Boolean);
  }

  function margin(result) {
    const all = Object.entries(result.margins).filter(([, v]) => v !== null);
    return all.length ? "margin: " + all.map(([k, v]) => k + " " + v).join(", ") + " " + result.unit : "";
  }

  const once = (row) => (row.cells.reading === "twice" ? "" : " (read once)");

  function cited(result) {
    if (result.row) {
      const there = element("a", { href: result.row.link }, "the row");
      const page = link(result.row.address, result.row.cite);
      const said = ["Range ", words.range(result.range), ": ", there, ", ", page, once(result.row)];
      return [element("p", { class: "bench-small" }, said)];
    }
    return result.candidates.map((row) => {
      const said = ["could be ", element("a", { href: row.link }, row.place), ": ", steps.printed(row), " ("];
      return element("p", { class: "bench-small" }, said, link(row.address, row.cite), ")");
    });
  }

  function notes(result, found, sheet) {
    const here = (f) => {
      const raw = sheet.readings[f.reading];
      return raw.item === result.item && raw.position === result.position;
    };
    return [
      ...open(result), ...misprints(result),
      ...result.passed_over.map(passedOver),
      result.row && result.row.cells.note, result.caution,
      ...found.findings.filter(here).map((f) => f.message + ". " + f.help),
    ].filter(Boolean);
  }

  const passedOver = (r) =>
    "another document gives " + steps.printed(r) + " (" + r.cite + "); not used, see choices.csv";

  /** What a verdict leaves open, and who closes it. */
  function open(result) {
    const said = {
      "which-row": "several rows remain: choose the fit with its variant or its place",
      "no-range": "the dataset has no range for it at this place",
      loose: "what can be done about it, with numbers: `runningfits check` on the saved sheet",
      tight: "what can be done about it, with numbers: `runningfits check` on the saved sheet",
    };
    const ways = "which of the two ways decides, and whether they agree, `runningfits check` says";
    return [said[result.verdict], result.needs, result.two_ways && ways];
  }

  function misprints(result) {
    return (result.range ? result.range.misprints : []).map((m) => {
      const right = m.corrected ? "judged as " + m.corrected : "not used for judging";
      return "* misprint: " + m.column + " is printed " + m.printed + ", " + right + ": " + m.why;
    });
  }

  /** Sizes and forms that the same readings give at a place. */
  function also(found, position) {
    const same = found.results.filter((r) => r.derived && r.position === position && r.range);
    const cite = (r) => [" (", link(r.row.address, r.row.cite), ")"];
    const lines = element("ul", {}, same.map((r) => element("li", {}, words.sentence(r), cite(r))));
    const title = element("h3", {}, "From the same readings");
    return same.length ? element("section", { class: "bench-card bench-also" }, title, lines) : null;
  }

  /** Why nothing is judged, or null. */
  function refused(found) {
    const lines = [
      ...found.faults.map((f) => f.place + ": " + f.found + ", expected " + f.expected),
      ...found.refused.map((r) => "not judged on this page: " + r),
    ];
    return lines.length ? element("div", { class: "bench-stop" }, lines.map((l) => element("p", {}, l))) : null;
  }

  api.verdict = { card, also, refused, cautions, left, coded };
})();
