"use strict";
// Tightening followed stage by stage: what is next, with its angle and its order; each line goes into the sheet.
(function () {
  const api = window.runningFits;
  const { element, drawn, button, chips, link } = api.elements;
  const { stages, rows, words, steps, verdict, numbers, followed, places } = api;
  const shared = () => api.loaded.shared;

  const STATES = [["dry", "dry"], ["oiled", "oiled"], ["compound", "with compound"], ["sealant", "with sealant"], ["as-received", "as they came"]];
  const ACTIONS = /** @type {Record<string, string>} */ ({ tighten: "Tighten to", turn: "Turn on by", loosen: "Loosen", stretch: "Tighten until it has stretched by" });
  const JUDGED = "Each line is judged by what its page prints, the limit of the wrench as guard band; order, rounds and bolts used again " +
    "by all lines of the sheet. Stages that are missing stand in the record.";

  /** @param {Job} job */
  const name = (job) => [shared().joints[job.joint].label, job.position === "all" ? "" : words.place(job.position),
    ...words.said(Object.fromEntries(Object.entries(job.said).filter(([c]) => c !== "purpose"))),
    job.said.purpose ? shared().purposes[job.said.purpose] : ""].filter(Boolean).join(", ");

  /** A printed step in words. @param {any} row */
  const printed = (row) => [ACTIONS[row.cells.action], rows.text(row)].filter(Boolean).join(" ");

  const leading = (/** @type {Stage} */ stage) => stage.choice.rows[0] || null;
  const numbered = (/** @type {string} */ position) => places.numbers(position).map(String);
  const linesOf = (/** @type {Sheet} */ sheet, /** @type {Job} */ job) => (sheet.torques || []).filter((l) => stages.ofJob(l, job));

  /** Lines of the last tightening of a job. @param {Sheet} sheet @param {Job} job @param {number} cycle */
  const round = (sheet, job, cycle) => linesOf(sheet, job).filter((l) => (l.cycle || 1) === cycle);

  /** Places that a stage lacks, in the printed order; of a place that is followed alone, that one.
   * @param {Stage} stage @param {Job} job @param {Order | null} order @param {any[]} done @param {string} place @returns {string[]} */
  function left(stage, job, order, done, place) {
    const mine = done.filter((l) => l.step === stage.step);
    const whole = mine.some((l) => l.position === job.position);
    const all = order && order.each ? order.turns.flatMap((t) => t.places) : [place || job.position];
    return whole ? [] : all.filter((p) => !mine.some((l) => l.position === p || numbered(l.position).includes(p)));
  }

  // choosing a joint

  /** @param {Sheet} sheet @param {Job[]} jobs @param {(key: string) => void} choose */
  function list(sheet, jobs, choose) {
    const row = (/** @type {Job} */ job) => {
      const done = new Set(linesOf(sheet, job).map((l) => l.step)).size;
      const node = button("", () => choose(job.key), { key: "joint/" + job.key, class: "bench-row", "data-words": name(job) });
      const told = job.stages.map((s) => (leading(s) ? printed(leading(s)) : s.choice.asked.map((/** @type {any} */ a) => a.words).join(" "))).join("; then ");
      node.append(element("strong", {}, name(job)), element("span", {}, told),
        element("span", { class: "bench-small" }, done ? done + " of " + job.stages.length + " stages recorded" : ""));
      return node;
    };
    const all = element("div", { class: "bench-list" }, jobs.map(row));
    return [element("h2", {}, "Which joint?"), jobs.length ? steps.finder("Type to find a joint", all)
      : element("p", {}, "No page that was read prints a tightening torque for this build."), all];
  }

  // following the stages

  /** That a page counts the stages through several kinds of bolt; null where it does not. @param {Job[]} others */
  function through(others) {
    const told = others.map((o) => "stage " + o.stages.map((s) => s.step).join(", ") + ": " + name(o));
    return told.length ? element("p", { class: "bench-small" }, "The page counts the stages through several kinds of bolt; those of the others are " +
      told.join("; ") + ". Do all of them in the order of their numbers.") : null;
  }

  /** A turn drawn: from twelve o'clock round. @param {any} row */
  function angle(row) {
    const value = Number(rows.value(row, "nominal") || rows.range(row)[0]) * (row.cells.unit === "deg" ? 1 : 360);
    if (row.cells.action !== "turn" || !(value > 0)) {
      return null;
    }
    const end = ((value % 360) * Math.PI) / 180;
    const [x, y] = [50 + 36 * Math.sin(end), 50 - 36 * Math.cos(end)].map((n) => n.toFixed(1));
    const arc = "M50 14A36 36 0 " + (value % 360 > 180 ? 1 : 0) + " 1 " + x + " " + y;
    return drawn("svg", { class: "bench-turn", role: "img", "aria-label": "a turn of " + value + " degrees", viewBox: "0 0 100 100" },
      drawn("circle", { class: "bench-stroke", cx: 50, cy: 50, r: 16 }), drawn("path", { class: "bench-stroke", d: "M50 50V8" }),
      drawn("path", { class: "bench-arc", d: arc }), drawn("path", { class: "bench-stroke", d: "M50 50L" + x + " " + y }),
      value >= 360 ? drawn("text", { x: 50, y: 55, "text-anchor": "middle" }, "+" + Math.floor(value / 360)) : null);
  }

  /** Places of a turn in words. @param {string[]} all */
  const turn = (all) => (all.length === 1 ? "place " + all[0] : "places " + all.slice(0, -1).join(", ") + " and " + all[all.length - 1] + ", in any order");

  /** @param {Order | null} order @param {string[]} open */
  function orderOf(order, open) {
    if (!order) {
      return element("p", { class: "bench-small" }, "No page that was read prints the order of these fasteners: follow the maker's book.");
    }
    const isDone = (/** @type {string} */ place) => !open.includes(place);
    const mark = (/** @type {any} */ t, /** @type {number} */ n) => element("li", { class: order.each && t.places.includes(open[0]) ? "bench-now-turn" : "" },
      (n + 1) + ": " + turn(t.places) + (order.each ? "" : ", column " + t.column), order.each && t.places.every(isDone) ? " ✓" : "");
    return element("div", {}, element("h3", { class: "bench-label" }, "In this order, counted from the front"),
      element("ol", { class: "bench-order" }, order.turns.map(mark)),
      element("p", { class: "bench-small" }, link(verdict.web(order.cite.address), order.cite.text)));
  }

  /** A stage of the list: done, next or to come. @param {Stage} stage @param {boolean} isNext @param {number} open */
  function line(stage, isNext, open) {
    const row = leading(stage);
    const state = open ? (isNext ? "now" : "to come") : "recorded";
    const told = row ? stage.choice.rows.map(printed).join(" and ") : stage.choice.asked.map((/** @type {any} */ a) => a.words).join(" ");
    const of = row && isNext && [row.cells.thread_state && row.cells.thread_state.replace("-", " "), row.cells.reuse, steps.pages(stage.choice.rows)];
    return element("li", { class: isNext ? "bench-stage bench-stage-now" : "bench-stage", "aria-current": isNext ? "step" : null },
      element("strong", {}, stage.step + ": " + told), element("span", { class: "bench-small" }, [state, ...(of || [])].filter(Boolean).join("; ")));
  }

  /** The whole step. @param {any} engine @param {Sheet} sheet @param {any} build @param {Tightening} at @param {any} acts */
  function step(engine, sheet, build, at, acts) {
    const jobs = stages.jobs(engine, shared(), build);
    const job = jobs.find((/** @type {Job} */ j) => j.key === at.joint);
    return job ? follow(engine, sheet, build, job, stages.countedWith(job, jobs, engine, shared(), build), at, acts) : list(sheet, jobs, (/** @type {string} */ joint) => acts.at({ joint, cycle: 1, place: "", typed: "", unit: "" }));
  }

  /** @param {any} engine @param {Sheet} sheet @param {any} build @param {Job} job @param {Job[]} others @param {Tightening} at @param {any} acts */
  function follow(engine, sheet, build, job, others, at, acts) {
    const order = stages.order(job, engine, shared(), build);
    const done = round(sheet, job, at.cycle);
    const count = order && order.each ? 0 : job.position === "all" ? stages.count(job, engine, shared(), build) : 0;
    const each = Array.from({ length: count }, (_, n) => [String(n + 1), String(n + 1)]);
    const open = (/** @type {Stage} */ s) => left(s, job, order, done, at.place);
    const next = job.stages.find((s) => open(s).length) || null;
    const states = [...new Set(job.stages.flatMap((s) => s.choice.rows.map((/** @type {any} */ r) => r.cells.thread_state).filter(Boolean)))];
    const told = states.length ? "printed for " + states.map((s) => s.replace("-", " ")).join(" and ") + " threads" : "the page does not say for which threads";
    const now = next ? "Stage " + next.step + " of " + job.stages[job.stages.length - 1].step + ": " + (leading(next) ? printed(leading(next)) : "a question is open") : "all stages are recorded";
    return [
      standing(sheet, job, acts.judged(), now, next),
      element("header", { class: "bench-head" }, element("h2", {}, name(job)), element("p", { class: "bench-small" }, told), through(others)),
      element("div", { class: "bench-buttons" }, button("Another joint", () => acts.at({ joint: null }), { key: "joint/other", class: "bench-plain" })),
      ...(count > 1 ? [element("h3", { class: "bench-label" }, "Place"), chips("Place of the joint", [["", "all of them"], ...each], at.place,
        (/** @type {string} */ place) => acts.at({ place, typed: "" }))] : []),
      element("ol", { class: "bench-stages" }, job.stages.map((s) => line(s, s === next, open(s).length))),
      next ? entry(job, next, open(next), order, at, acts) : finished(job, at, acts),
      recorded(sheet, job, acts), verdict.refused(acts.judged()),
      verdict.cautions(), element("p", { class: "bench-small" }, verdict.coded(JUDGED)),
    ];
  }

  /** The line that stays in sight: what is next, and a line that is not followed. @param {Sheet} sheet @param {Job} job @param {Found} found
   * @param {string} now @param {Stage | null} next */
  function standing(sheet, job, found, now, next) {
    const told = followed.standing(found, indexed(sheet, job).map(([, n]) => n));
    const is = told ? followed.kind(told) : "open";
    const words_ = told && is !== "in" ? "; stage " + told.step + ": " + words.verdict(told) : "";
    return element("p", { class: "bench-now bench-" + (is === "out" ? "out" : next || is === "open" ? "open" : "in") }, element("strong", {}, now + words_));
  }

  /** @param {Job} job @param {Tightening} at @param {any} acts */
  function finished(job, at, acts) {
    return element("section", { class: "bench-card" }, element("p", {}, "All stages of " + name(job) + " are recorded."),
      button("Loosened: tighten once more", () => acts.at({ cycle: at.cycle + 1, typed: "" }), { key: "joint/again", class: "bench-plain" }));
  }

  /** @param {Job} job @param {Stage} next @param {string[]} open @param {Order | null} order @param {Tightening} at @param {any} acts */
  function entry(job, next, open, order, at, acts) {
    const row = leading(next);
    if (!row) {
      return element("div", {}, verdict.questions(next.choice.asked, acts.answer, false));
    }
    const { unit: printedUnit } = row.cells;
    const loosen = row.cells.action === "loosen" && !printedUnit;
    const unit = at.unit && fitsUnit(at.unit, printedUnit) ? at.unit : printedUnit || "N.m";
    acts.using(unit);
    const place = order && order.each ? "place " + open[0] + ", " + (order.turns.findIndex((t) => t.places.includes(open[0])) + 1) + " of " + order.turns.length
      : at.place ? "place " + at.place : job.position === "all" ? "every fastener" : words.place(job.position);
    const taken = () => {
      const typed = loosen ? "0" : numbers.entered(acts.typed(), unit);
      const one = typed === null ? null : made(job, next, open[0], typed, loosen ? "N.m" : unit, at);
      one ? acts.take(one, next, open.length > 1) : acts.say(acts.typed() ? acts.typed() + " is no number in " + unit + "." : "Type what was set first.");
    };
    const units = [...new Set([printedUnit || "N.m", row.cells.unit_2, "N.m", "lbf.ft", "deg", "mm", "in", unit])].filter((u) => u && fitsUnit(u, printedUnit));
    return element("div", { class: "bench-columns" },
      element("div", {}, angle(row), orderOf(order, open)),
      element("div", {},
        element("h3", { class: "bench-label" }, "How are the threads?"),
        chips("Threads", [["", "not said"], ...STATES], at.threads, (/** @type {string} */ threads) => acts.at({ threads })),
        acts.tool(row.cells.action === "stretch" ? "outside-micrometer" : "torque-wrench", unit),
        acts.stop(row),
        loosen ? button("Loosened: " + place, taken, { key: "stage/done", class: "bench-key bench-next bench-words" })
          : api.pad.pad({ what: printed(row) + ": " + place, typed: at.typed, low: null, units, unit, setUnit: (/** @type {any} */ u) => acts.at({ unit: u }),
            signed: false, fractions: false, between: null, setBetween: null, press: acts.press, write: acts.write, next: taken })));
  }

  /** @param {string} unit @param {string} printed */
  const fitsUnit = (unit, printed) => shared().units[unit] && shared().units[unit].dimension === (shared().units[printed] || { dimension: "torque" }).dimension;

  /** A line for the sheet. @param {Job} job @param {Stage} stage @param {string} position @param {string} value @param {string} unit @param {Tightening} at */
  function made(job, stage, position, value, unit, at) {
    const cycle = at.cycle > 1 ? { cycle: at.cycle } : {};
    return { joint: job.joint, position, step: stage.step, value, unit, ...job.said, thread_state: at.threads, ...cycle };
  }

  /** What the page says to what was set, in a sentence; empty where it lies inside all that is printed.
   * @param {any} line @param {Stage} stage @returns {string} */
  function against(line, stage) {
    const found = stage.choice.rows.map((/** @type {any} */ row) => [stages.compared(row, line.value, line.unit, shared()), row])
      .find(([how]) => how !== "inside");
    const side = /** @type {Record<string, string>} */ ({ below: "lies below", above: "lies above", other: "is of another kind than" });
    return found ? line.value + " " + line.unit + " " + side[found[0]] + " what is printed: " + printed(found[1]) + " (" + found[1].cite.text + ")" : "";
  }

  /** Lines of a joint, each with its number on the sheet. @param {Sheet} sheet @param {Job} job */
  const indexed = (sheet, job) => (sheet.torques || []).map((l, n) => /** @type {[any, number]} */ ([l, n])).filter(([l]) => stages.ofJob(l, job));

  /** What was recorded of a joint, each line with its verdict. @param {Sheet} sheet @param {Job} job @param {any} acts */
  function recorded(sheet, job, acts) {
    const mine = indexed(sheet, job);
    const found = acts.judged();
    const one = (/** @type {[any, number]} */ [l, n]) => element("li", {},
      element("div", {}, element("span", {}, lineWords(l)), followed.beside(followed.at(found, n), found)),
      button("take back", () => acts.takeBack(n), { key: "torque/" + n, class: "bench-plain", "aria-label": "take back " + lineWords(l) }));
    return mine.length ? element("section", { class: "bench-taken" }, element("h3", {}, "Recorded"), element("ul", {}, mine.map(one))) : null;
  }

  /** A line of the sheet in words. @param {any} l @returns {string} */
  function lineWords(l) {
    const threads = STATES.find(([s]) => s === l.thread_state);
    const again = l.cycle > 1 ? "tightening no. " + l.cycle : "";
    return ["stage " + l.step, l.position === "all" ? "" : words.place(l.position), l.value + " " + l.unit, threads ? "threads " + threads[1] : "", again]
      .filter(Boolean).join(", ");
  }

  api.tightening = { step, against, lineWords };
})();
