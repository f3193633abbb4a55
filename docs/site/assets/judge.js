"use strict";
// Verdicts on a bench sheet in the browser: the same answers as `runningfits check`, proved by the same test vectors.
// What it cannot judge it names. Mirrors judge.py.
(function () {
  const node = typeof module === "object" && module.exports;
  /** @param {string} name */
  const part = (name) => (node ? require("./judge/" + name + ".js") : window.runningFits[name]);
  const [exact, bounds, choosing, cases, lines] = ["exact", "bounds", "choosing", "cases", "lines"].map(part);
  const [values, slips, faults, decide, shown] = ["values", "slips", "faults", "decide", "shown"].map(part);
  const [sense, against, spots, resized] = ["sense", "against", "spots", "resized"].map(part);
  const { ways } = part("by_way");
  const { isWild } = part("repeats");
  const { misshapen } = part("shape");
  const { unmeasured } = part("unmeasured");
  const { unlimited } = part("unlimited");
  const { tapering } = part("strips");
  const { assumed } = part("assumed");
  const { temperatures } = part("temperature");
  const { scatters } = part("scatter");
  const { parsed } = part("build");
  const { neverNegative } = part("reading_faults");
  const [torque, torqueSlips] = ["torque", "torque_slips"].map(part);

  // rows tried on the readings of a case

  /** A row, or none, on the readings: its bounds and the ways of measuring, of which the first decides; not decided.
   * @param {Case} one @param {Row | null} row @param {ReadingBench} bench */
  const trial = (one, row, bench) =>
    withWays({ one, row, bounds: row ? bounds.bounds(row, bench.shared) : null }, ways(one, row, bench.means));

  /** @param {Pick<Untried, "one" | "row" | "bounds">} found @param {Way[]} all @returns {Untried} */
  function withWays(found, all) {
    const [value = null, ...others] = all.map((w) => w.value);
    return { ...found, ways: all, value, others };
  }

  const NONE = { probability: null, withinLimit: null };

  /** A trial with its verdict and probabilities. @param {Untried} found @param {string} decision @returns {Trial} */
  function decided(found, decision) {
    const { value, bounds: b } = found;
    if (!b || !b.judged || !value) {
      return { ...found, ...NONE, verdict: b && b.judged ? "cannot-tell" : "no-range" };
    }
    if (sense.isAbsurd(value, b) || sense.isBelowNothing(against.shown(found.ways[0]), found.one.quantity)) {
      return { ...found, ...NONE, verdict: "bad-entry" };
    }
    const [least, most] = against.interval(value, decision === "guarded");
    const shares = value.leastOnly ? NONE : decide.probabilities(value.at, value.standard, b, value.lifts.length > 0);
    return { ...found, ...shares, verdict: decide.decide(least, most, b) };
  }

  const PASSES = [...decide.PASSED, "past-new"];
  /**
   * A trial with a verdict that passes only where no other reading of the same place speaks against it. Where the
   * largest or the smallest counts, the other one is held to the end that wear leaves: not proven inside, it decides. So
   * does the one on the side of wear that is proven beyond a new range.
   * @param {Untried} found @param {ReadingBench} bench @returns {Trial}
   */
  function sure(found, bench) {
    const first = withheld(decided(found, bench.decision), bench);
    const other = otherEnd(first, bench.decision === "guarded") || wornEnd(first, bench);
    return other ? decided(other, bench.decision) : first;
  }

  /** The same trial by the reading at the other end, to be decided; null where that is proven inside. @param {Trial} found @param {boolean} guarded */
  const otherEnd = (found, guarded) =>
    turned(found, PASSES.includes(found.verdict) && found.bounds ? against.unprovenEnd(found.ways[0], found.bounds, guarded) : null);

  /** A trial by another reading of its first way; null for none. @param {Trial} found @param {Value | null} value */
  const turned = (found, value) => value && withWays(found, [{ value, least: null, most: null }, ...found.ways.slice(1)]);

  /** A new one's trial by the reading on the side of wear, to be decided; null where that is not proven beyond new.
   * @param {Trial} found @param {ReadingBench} bench */
  function wornEnd(found, bench) {
    const { verdict, bounds: b, ways: [first], one } = found;
    return turned(found, verdict === "new" && b ? against.wornEnd(first, b, one, bench.shared, bench.decision === "guarded") : null);
  }

  /** A trial whose verdict would pass, as one that cannot tell where something speaks against it.
   * @param {Trial} found @param {ReadingBench} bench @returns {Trial} */
  function withheld(found, bench) {
    const { verdict, value, bounds: b, one } = found;
    if (![...PASSES, "cannot-tell", "loose"].includes(verdict) || !value || !b) {
      return found;
    }
    const blind = spots.unproven(one, value, bench.engine, bench.shared);
    if (blind && (verdict !== "loose" || spots.TIGHTER_ELSEWHERE.includes(blind))) {
      return doubtful(found, blind);
    }
    if (verdict === "loose") {
      return found;
    }
    if (verdict === "cannot-tell") {
      const wide = bench.decision !== "guarded" && value.marks > 0;
      return wide ? doubtful(found, "wide") : { ...found, doubt: isWildCase(one, bench) ? "repeats" : "" };
    }
    const most = sense.deepest(one.item, bench.engine, bench.shared);
    if (verdict === "past-new" && sense.isBeyondWear(value.at, b, one.item, one.quantity, most)) {
      return { ...found, verdict: "loose" };
    }
    const doubt = verdict === "past-new" && resized.isResized(value, one, b, bench) ? "resized" : doubtOf({ ...found, value, bounds: b }, bench);
    return doubt ? doubtful(found, doubt) : found;
  }

  /** @param {Trial} found @param {string} doubt @returns {Trial} */
  const doubtful = (found, doubt) => ({ ...found, ...NONE, verdict: "cannot-tell", doubt });

  /** Whether a trial that passes is out by its readings as the instruments showed them. @param {Trial} found @param {ReadingBench} bench */
  function isInByCorrections(found, bench) {
    const { one, verdict } = found;
    if (readingsOf(one).every((r) => r.shift.n === 0n)) {
      return false;
    }
    /** @param {SiReading[]} readings @returns {SiReading[]} */
    const asRead = (readings) => readings.map((r) => ({ ...r, value: exact.subtract(r.value, r.shift) }));
    const parts = new Map([...one.parts].map(([own, readings]) => [own, asRead(readings)]));
    const bare = decided(withWays(found, ways({ ...one, parts }, found.row, bench.means)), "simple");
    return OUT.includes(bare.verdict) && bare.verdict !== verdict;
  }

  /** @param {Case} one @param {Pick<ReadingBench, "means">} bench */
  const isWildCase = (one, bench) => !one.among && isWild(readingsOf(one), bench.means);

  /** The key of what speaks against a pass; empty where nothing does.
   * @param {Trial & {value: Value, bounds: Bounds}} found @param {ReadingBench} bench @returns {string} */
  function doubtOf(found, bench) {
    const { decision, shared, means } = bench;
    const { verdict, value, bounds: b, one } = found;
    const guarded = decision === "guarded";
    if (isWildCase(one, { means })) {
      return "repeats";
    }
    if (isInByCorrections(found, bench)) {
      return "corrected";
    }
    if (readingsOf(one).some((r) => bench.misshapen.has(r.index))) {
      return "shape";
    }
    const state = against.stateDoubt(one, found.row);
    if (state) {
      return state;
    }
    if (verdict === "serviceable" && sense.isBeyondNew(value.at, b, one.item, one.quantity)) {
      return "beyond-new";
    }
    const past = verdict === "past-new" && sense.mustStayClear(b, one.quantity);
    if ((past || sense.mustClear(b, one.item, one.quantity)) && value.least <= 0) {
      return "clear";
    }
    const agreeing = verdict === "agrees" || (b.nominal !== null && !bounds.allows(b, value.least, value.most));
    const wide = agreeing && sense.isTooWide(value, b, one.quantity, shared);
    if (wide || (!guarded && verdict !== "past-new" && sense.isTooWideForSimple(value, b, verdict === "new"))) {
      return "wide";
    }
    const told = against.doubt(found.ways, b, one, shared, guarded, verdict === "past-new");
    const strict = against.isStrict(value.method, b.side) && verdict !== "agrees" && ["one", "tightest"].includes(told);
    return strict && otherEnd(found, guarded) ? "" : told;
  }

  /** Rows that all must hold, each tried alone, and the trial of all as one, which gives the verdict.
   * @param {Case} one @param {Row[]} line @param {ReadingBench} bench @returns {Tried} */
  function tried(one, line, bench) {
    const made = (line.length ? line : [null]).map((row) => trial(one, row, bench));
    const speaking = made.filter((t) => t.bounds && t.bounds.judged);
    const [first = made[0]] = speaking;
    const whole = speaking.length > 1 ? { ...first, bounds: bounds.together(speaking.map((t) => t.bounds)) } : first;
    const [trials, joint] = [made.map((t) => sure(t, bench)), sure(whole, bench)];
    return { trials, joint, verdict: joint.verdict, lead: trials.find((t) => t.verdict === joint.verdict) || trials[0] };
  }

  /** The verdict on a case, and what each answer to an open question would give. @param {Case} one @param {ReadingBench} bench @returns {Judged} */
  function judged(one, bench) {
    /** @type {Map<string, Tried>} */
    const done = new Map(choosing.linesOf(one.choice).map((/** @type {Row[]} */ l) => [lines.lineKey(l), tried(one, l, bench)]));
    /** @param {string[]} found */
    const only = (found) => (new Set(found).size === 1 ? found[0] : "which-row");
    /** @param {{lines: Row[][]}} word */
    const answer = (word) => only(word.lines.map((l) => /** @type {Tried} */ (done.get(lines.lineKey(l))).verdict));
    const asked = one.choice.asked.map((a) => ({ ...a, answers: a.answers.map((w) => ({ ...w, verdict: answer(w) })) }));
    const [first] = done.values();
    const verdict = only([...done.values()].map((t) => t.verdict));
    const settled = asked.length > 0 && verdict === first.verdict;
    return { one, tried: first, lead: first.lead, joint: first.joint, asked, settled, verdict };
  }

  const OUT = ["loose", "tight", "past-new", "bad-entry"];

  /** Whether a derived verdict says what none of the entered readings say: that it is out, or of another repair size.
   * @param {Judged} judged @param {Judged[]} all */
  function adds({ one, verdict, joint }, all) {
    /** @param {Judged} j */
    const here = (j) => !j.one.derived && j.one.item === one.item && j.one.position === one.position;
    const out = OUT.includes(verdict) || joint.doubt === "resized";
    return !one.again || (out && !all.some((j) => here(j) && j.verdict === verdict));
  }

  /** @param {string} item @param {SiReading} reading */
  const placed = (item, { index }) => item + " " + index;
  /** @param {Case} one */
  const readingsOf = ({ parts }) => [...parts.values()].flat();

  /** Verdicts; a running size that passed by the one printed end is undecided, unless a fit of the same readings passed.
   * @param {Judged[]} all @returns {Judged[]} */
  function withOpenEnds(all) {
    const passed = all.filter((j) => decide.PASSED.includes(j.verdict));
    const proven = new Set(passed.flatMap(({ one }) => sizesOf(one).flatMap((n) => readingsOf(one).map((r) => placed(n, r)))));
    /** @param {Judged} j */
    const undecided = (j) => passed.includes(j) && j.joint.bounds && j.joint.bounds.openEnd
      && !readingsOf(j.one).every((r) => proven.has(placed(j.one.item, r)));
    return all.map((j) => (undecided(j) ? { ...j, verdict: "cannot-tell", settled: false } : j));
  }

  /** Sizes whose fit a case is, where both were measured. @param {Case} one */
  const sizesOf = ({ parts, quantity }) =>
    (parts.has("bore") && parts.has("shaft") ? [...quantity.outer, ...quantity.inner] : []);

  /** The trial of a cylinder as it will be when it is honed; null of others, and where no honing is to come.
   * @param {Judged} judged @param {ReadingBench} bench @returns {Trial | null} */
  function honed({ one, joint, asked, settled }, bench) {
    const { sheet, shared } = bench;
    const unit = sheet.honing_unit || (joint.row ? joint.row.cells.unit : "mm");
    const allowance = exact.multiply(exact.parse(sheet.honing_allowance || "0"), exact.parse(shared.units[unit].factor));
    const bores = (one.quantity.repair === "cylinder" && one.parts.get("bore")) || [];
    if (sheet.stage === "assembled" || exact.equal(allowance, exact.ZERO) || !bores.length || (asked.length && !settled) || !joint.bounds || !joint.bounds.judged) {
      return null;
    }
    const parts = new Map([...one.parts, ["bore", bores.map((r) => ({ ...r, value: exact.add(r.value, allowance) }))]]);
    const then = { ...one, parts };
    const measured = ways(then, joint.row, bench.means);
    return measured.length ? sure({ ...withWays({ one: then, row: joint.row, bounds: joint.bounds }, measured), doubt: "" }, bench) : null;
  }

  // the whole

  /** What of a sheet would change a verdict here and is not worked out here: then nothing is judged. @param {Sheet} sheet */
  const refused = (sheet) => (sheet.guides ? ["rules of thumb"] : []);

  /** Verdicts on a sheet; `refused` and `faults` say why there are none.
   * @param {Sheet} raw @param {Engine | null} engine @param {Shared} shared @returns {Found} */
  function check(raw, engine, shared) {
    const sheet = faults.filled(raw);
    const none = { results: [], torques: [], findings: [], missing: [], notJudged: [], assumed: [] };
    /** @type {Found} */
    const found = { faults: faults.faults(sheet, engine, shared), refused: [], ...none };
    if (found.faults.length || !engine) {
      return found;
    }
    found.refused = refused(sheet);
    return found.refused.length ? found : whole(found, all(sheet, engine, shared), tightened(sheet, engine, shared, leftJoints(raw)));
  }

  /** @param {Found} found @param {Read} read @param {{torques: TorqueLine[], slipped: Finding[]}} tightened @returns {Found} */
  const whole = (found, read, { torques, slipped }) => ({ ...found, ...read, torques, findings: [...read.findings, ...slipped] });

  /** Verdicts on torque lines, and the slips of these; `left` are the joints of lines without a value.
   * @param {Sheet} sheet @param {Engine} engine @param {Shared} shared @param {string[]} left */
  function tightened(sheet, engine, shared, left) {
    const bench = { sheet, engine, shared, build: parsed(sheet.build), tools: values.instruments(sheet, shared), leftJoints: left };
    const steps = torque.steps(bench);
    const slipped = torqueSlips.findings(steps, bench);
    return { torques: torque.followed(steps, slipped, shared), slipped };
  }

  /** Joints of the torque lines that have no value yet. @param {Sheet} sheet */
  const leftJoints = ({ torques = [] }) => torques.filter((t) => t.value === "").map((t) => t.joint);

  /** @typedef {Pick<Found, "results" | "findings" | "missing" | "notJudged" | "assumed">} Read What is found of the readings. */

  /** @param {Sheet} sheet @param {Engine} engine @param {Shared} shared @returns {Read} */
  function all(sheet, engine, shared) {
    const warmth = temperatures(sheet, shared);
    const tools = values.instruments(sheet, shared);
    const { all: every, entered, unjudged } = cases.cases(sheet, engine, shared, warmth);
    const kinds = new Map([...tools].map(([id, tool]) => [id, tool.kind]));
    const scatter = scatters(kinds, entered.flatMap((/** @type {Case} */ one) => [...one.parts.values()]), shared);
    const decision = sheet.decision || "guarded";
    const build = part("build").parsed(sheet.build);
    const base = { sheet, engine, shared, build, means: { tools, scatter, warmth }, decision };
    const bench = { ...base, misshapen: misshapen(entered, base) };
    /** @type {Judged[]} */
    const tried = every.map((/** @type {Case} */ one) => judged(one, bench));
    const found = withOpenEnds(tried.filter((j) => !j.one.derived || (j.lead.value && adds(j, tried))));
    return {
      results: found.map((j) => shown.result({ ...j, honed: honed(j, bench) }, bench)),
      findings: slips.findings(sheet, every, engine, shared, bench.means),
      missing: unmeasured(every, sheet, engine, shared), assumed: assumed(sheet, every, warmth, shared),
      notJudged: [...unjudged, ...unlimited(entered, base), ...tapering(entered, base)].map((/** @type {{one: Case, why: string}} */ { one, why }) => ({ item: one.item, position: one.position, why })),
    };
  }

  /** @type {RunningFits["judge"]} */
  const judge = { check, neverNegative };

  if (node) {
    module.exports = judge;
  } else {
    window.runningFits.judge = judge;
  }
})();
