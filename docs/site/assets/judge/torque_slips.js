"use strict";
// Slips of tightening: the bench rules on the torque lines of a sheet. Words and numbers come from the rule files.
// Mirrors slips.py and rules/B2*.toml.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (/** @type {string} */ name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const { finding } = part("slips");
  const { toolWords } = part("expected");
  const { EVERY, wanted } = part("fasteners");
  const { isForCheck, times } = part("rounds");
  const { numberings, stepKey } = part("torque_rows");
  const { NONE, detailLabel } = part("asking");
  const { split } = part("places");

  // what the rules look at

  const NO_WORDS = /** @type {Record<string, string>} */ ({
    which: "none of those that pages name", purpose: "for no other purpose", thread: "no thread that pages name",
  });

  /** What a line says of its row, in words. @param {any} raw @param {any} shared @returns {string[]} */
  function saidWords(raw, shared) {
    const label = (/** @type {string} */ c) => (raw[c] === NONE ? NO_WORDS[c]
      : c === "purpose" ? shared.purposes[raw[c]] || raw[c] : c === "which" ? positionWords(raw[c], shared) : detailLabel(raw[c], c, shared));
    return ["which", "purpose", "thread"].filter((c) => raw[c] !== undefined).map(label);
  }

  const positionWords = (/** @type {string} */ word, /** @type {any} */ shared) =>
    (Object.hasOwn(shared.positions, word) ? shared.positions[word].label : word);

  /** A place of a sheet in words. @param {string} position @param {any} shared */
  function placeWords(position, shared) {
    const { number = null, name = null } = split(position) || { name: position };
    return [number && String(number), name && positionWords(name, shared)].filter(Boolean).join(", ");
  }

  /** Joint, with what is said of it. @param {any} raw @param {any} shared */
  const jointWords = (raw, shared) => [shared.joints[raw.joint].label.toLowerCase(), ...saidWords(raw, shared)].join(", ");

  const spaced = (/** @type {string} */ word) => word.replaceAll("-", " ");

  /** A torque line as the rules see it. @param {TorqueStep} s @param {any} shared */
  function seen(s, shared) {
    const { nominal, lower, upper, unit = "", action = "", thread_state: printed = "" } = s.row ? s.row.cells : {};
    const [low = null, high = null] = s.ends[0] || [];
    return {
      ...s, low, high, action, torque: s.index,
      words: {
        joint: jointWords(s.raw, shared), position: placeWords(s.raw.position, shared), step: s.raw.step, value: s.raw.value,
        unit: s.raw.unit, tool: toolWords(s.raw.instrument, shared), want: nominal || [lower, upper].filter(Boolean).join(" to "),
        want_unit: unit, thread_state: spaced(s.state), want_state: spaced(printed || (s.states.length === 1 ? s.states[0] : "")),
      },
    };
  }

  const REUSE = /** @type {Record<string, number>} */ ({ no: 1, once: 2 });

  /** A line for each fastener of a torque line. @param {any} s @param {TorqueStep[]} steps @param {TorqueBench} bench @param {Set<string>[]} counts */
  function done(s, steps, bench, counts) {
    const pages = [...s.choice.rows, ...s.choice.passedOver].map((r) => REUSE[r.cells.reuse]).filter(Boolean);
    return s.fasteners.map((/** @type {Fastener} */ f) => ({
      ...s, fastener: f.kind.text, place: f.place, among: f.among, stage: s.raw.step, cycle: f.kind.cycle,
      counts: counts.filter((count) => count.has(stepKey(f.kind, s.raw.step))),
      forCheck: isForCheck(f, s, steps), singleUse: pages.length ? Math.min(...pages) : 0, times: times(f, s, steps, bench),
    }));
  }

  /** Steps that the sheet must have. @param {TorqueStep[]} steps @param {TorqueBench} bench */
  function required(steps, bench) {
    const { shared } = bench;
    const joints = new Set([...steps.map((s) => s.raw.joint), ...bench.leftJoints]);
    const spot = (/** @type {string} */ joint) => {
      const first = steps.find((s) => s.raw.joint === joint);
      return first ? "torques[" + first.index + "].step" : "torques";
    };
    const all = steps.flatMap((s) => s.fasteners.map((f) => /** @type {[Fastener, [number, number]]} */ ([f, [s.done, s.index]])));
    return wanted(all, joints, bench).map((/** @type {Wanted} */ { said, fastener, step, entered }) => ({
      at: spot(fastener.kind.joint), joint: jointWords({ ...said, joint: fastener.kind.joint }, shared), fastener: fastener.kind.text, place: fastener.place, step,
      placeWords: placeWords(fastener.place, shared), entered: entered.map((p) => placeWords(p, shared)).join(", "),
    }));
  }

  // the rules

  const valueOf = (/** @type {number} */ torque) => "torques[" + torque + "].value";
  const between = (/** @type {number} */ x, /** @type {any} */ s, below = 1, above = 1) => x >= s.low * below && x <= s.high * above;

  /** Whether a torque is the printed one, so many times too small or too large. @param {any} s @param {number} by @param {any} n */
  const off = (s, by, { below, above }) => s.low > 0 && s.high !== null &&
    (between(s.si / by, s, below, above) || between(s.si * by, s, below, above));

  /** Rules on one line: whether it hits, by the numbers of the rule file. */
  const SINGLE = /** @type {Record<string, (s: any, n: any) => boolean>} */ ({
    B201: (s, n) => s.action === "tighten" && off(s, 1.3558, n) && !between(s.si, s),
    B202: (s, n) => s.action === "tighten" && off(s, 12, n),
    B203: (s, n) => off(s, 10, n),
    B204: ({ words: { thread_state: own, want_state: printed } }) => own !== "" && printed !== "" && own !== printed,
    B205: (s, { least }) => s.action === "tighten" && ((s.toolTo > 0 && (s.si > s.toolTo * 1.0001 || s.si < least * s.toolTo)) ||
      (s.toolFrom > 0 && s.si < s.toolFrom)),
  });

  /** @param {any} a @param {any} b */
  const samePlace = (a, b) => a.place === b.place || a.place === EVERY || b.place === EVERY;
  /** @param {any} a @param {any} b */
  const maySame = (a, b) => samePlace(a, b) && (a.among === b.among || !a.among || !b.among);
  /** @param {any} a @param {any} b */
  const sameFasteners = (a, b) => a.fastener === b.fastener && maySame(a, b);
  /** Whether a page counts the steps of two lines in one. @param {any} a @param {any} b */
  const oneCount = (a, b) => a.cycle === b.cycle && maySame(a, b) && a.counts.some((/** @type {any} */ c) => b.counts.includes(c));

  /** Those of a list by a name, in its order. @template T @param {T[]} all @param {(one: T) => any} by @returns {T[][]} */
  function grouped(all, by) {
    const found = new Map();
    all.forEach((one) => found.set(by(one), [...(found.get(by(one)) || []), one]));
    return [...found.values()];
  }

  /** Pairs of a line and another that a test picks, by line. @param {any[]} all @param {(b: any, a: any) => boolean} test */
  const pairs = (all, test) =>
    grouped(all.flatMap((b) => all.filter((a) => test(b, a)).map((a) => ({ a, b }))), ({ b }) => b.torque);

  const stageOrder = (/** @type {any[]} */ all) =>
    pairs(all, (b, a) => (sameFasteners(a, b) || oneCount(a, b)) && a.done <= b.done && a.stage > b.stage)
      .map((of) => ({ torque: of[0].b.torque, words: { ...of[0].b.words, later: Math.max(...of.map(({ a }) => a.stage)) } }));

  const twice = (/** @type {any[]} */ all) =>
    pairs(all, (b, a) => sameFasteners(a, b) && a.stage === b.stage && a.index < b.index).map((of) => {
      const first = of.reduce((x, y) => (y.a.index < x.a.index ? y : x));
      return { torque: of[0].b.torque, words: { ...of[0].b.words, first: first.a.index, there: first.a.words.position } };
    });

  const turnOrder = (/** @type {any[]} */ lines) => {
    const later = (/** @type {any} */ b, /** @type {any} */ a) => a.words.joint === b.words.joint && a.words.step === b.words.step &&
      (a.raw.cycle || 1) === (b.raw.cycle || 1) && a.done <= b.done && a.turn !== null && b.turn !== null && a.turn > b.turn;
    return pairs(lines, later).map((of) => {
      const last = of.reduce((x, y) => (y.a.turn > x.a.turn ? y : x));
      return { torque: last.b.torque, words: { ...last.b.words, later: last.a.words.position } };
    });
  };

  /** @param {any[]} must @param {any[]} all */
  function missing(must, all) {
    const there = (/** @type {any} */ s) => all.some((f) => f.fastener === s.fastener && f.stage === s.step && (f.place === s.place || f.place === EVERY));
    return grouped(must.filter((s) => !there(s)), (s) => s.fastener + " " + s.step).map((of) =>
      ({ at: of[0].at, words: { joint: of[0].joint, step: of[0].step, places: [...new Set(of.map((s) => s.placeWords))].join(",") } }));
  }

  const notAll = (/** @type {any[]} */ must) =>
    grouped(must.filter((s) => s.entered), (s) => s.joint).map(([{ at, joint, entered }]) => ({ at, words: { joint, entered } }));

  const forCheck = (/** @type {any[]} */ all, /** @type {boolean} */ last) =>
    grouped(all.filter((f) => last && f.forCheck), (f) => f.index).map(([f]) => ({ torque: f.torque, words: f.words }));

  const usedAgain = (/** @type {any[]} */ all) =>
    grouped(all.filter((f) => f.singleUse > 0 && f.times > f.singleUse), (f) => f.words.joint).map((of) => {
      const most = of.reduce((x, y) => (y.times > x.times ? y : x));
      const places = [...new Set(of.map((f) => f.words.position))].join(",");
      return { at: valueOf(most.torque), words: { joint: most.words.joint, places, single_use: most.singleUse, times: most.times } };
    });

  /** Findings of the bench rules on torque lines, in the order of codes. @param {TorqueStep[]} steps @param {TorqueBench} bench @returns {Finding[]} */
  function findings(steps, bench) {
    const { rules } = bench.shared;
    const lines = steps.map((s) => seen(s, bench.shared));
    const counts = numberings(bench.engine, bench.shared, bench.build, new Set(steps.map((s) => s.raw.joint)));
    const all = lines.flatMap((s) => done(s, steps, bench, counts));
    const must = required(steps, bench);
    const single = Object.entries(SINGLE).map(([code, hit]) => [code, lines.filter((s) => hit(s, rules[code].numbers))]);
    const found = {
      ...Object.fromEntries(single), B206: stageOrder(all), B207: missing(must, all), B208: turnOrder(lines), B209: twice(all),
      B210: notAll(must), B211: forCheck(all, bench.sheet.stage === "assembled"), B212: usedAgain(all),
    };
    return Object.entries(found).flatMap(([code, hits]) => hits.map((/** @type {any} */ { torque, words, at }) =>
      ({ ...finding(code, undefined, words, rules[code]), torque, place: at || valueOf(torque) })));
  }

  const made = { findings };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.torque_slips = made;
  }
})();
