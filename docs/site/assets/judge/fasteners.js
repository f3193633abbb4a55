"use strict";
// Fasteners of a torque line: which of a joint it speaks of, and what is printed for those. Mirrors fasteners.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const part = (/** @type {string} */ name) => (node ? require("./" + name + ".js") : window.runningFits[name]);
  const [builds, choosing, places, resolving] = ["build", "choosing", "places", "resolving"].map(part);
  const { NONE } = part("asking");
  const { hereOf, lines } = part("torque_rows");

  const EVERY = "all";

  /** A kind of fasteners in one round of tightening, with a text that is the same for the same.
   * @param {string} joint @param {string} which @param {string} thread @param {string} purpose @param {number} cycle @returns {Kind} */
  const kindOf = (joint, which, thread, purpose, cycle) =>
    ({ joint, which, thread, purpose, cycle, text: [joint, which, thread, purpose, cycle].join("|") });

  /** Each once. @template T @param {T[]} all @returns {T[]} */
  const each = (all) => [...new Map(all.map((one) => [JSON.stringify(one), one])).values()];

  /** Fasteners that a torque line speaks of, each once. @param {any} raw @param {Choice} choice @param {TorqueBench} bench @returns {Fastener[]} */
  function fasteners(raw, choice, bench) {
    const row = choice.rows[0] || choosing.linesOf(choice).flat()[0];
    const said = raw.which || "";
    const words = row ? (row.cells.which || "").split(" ").filter(Boolean) : [said].filter((w) => w && w !== NONE);
    const among = words.includes(said) || said === NONE ? "" : said;
    const thread = row ? row.cells.thread || "" : raw.thread || "";
    const found = words.includes(said) ? [said] : words.length ? words : [""];
    const kinds = found.map((w) => kindOf(raw.joint, w, thread, raw.purpose || "", raw.cycle || 1));
    const there = raw.position === EVERY ? [EVERY] : placesOf(raw.joint, raw.position, bench);
    return kinds.flatMap((kind) => there.map((place) => ({ kind, place, among })));
  }

  /** Places of a joint that a position stands for: numbers where they are known, else the position itself.
   * @param {string} joint @param {string} position @param {TorqueBench} bench @returns {string[]} */
  function placesOf(joint, position, bench) {
    const most = counted(joint, bench);
    const found = position === EVERY ? Array.from({ length: most || 0 }, (_, n) => n + 1) : places.places(position, most) || [];
    return found.length ? found.map(String) : [position];
  }

  /** How many places a joint has in the model on the bench, or as many as a page numbers; null where nobody says.
   * @param {string} joint @param {TorqueBench} bench @returns {number | null} */
  function counted(joint, { engine, shared, build }) {
    const here = hereOf(engine, shared, joint, EVERY);
    const model = builds.answer(build, builds.MODEL, EVERY, here.family);
    const { count: column } = shared.joints[joint];
    const known = column && here.family.names.includes(model) ? here.family.count(column, [model]) : null;
    const turns = engine.sequences.filter((/** @type {Row} */ r) => r.cells.joint === joint && resolving.admits(r, build, here));
    const all = turns.flatMap((/** @type {Row} */ r) => places.numbers(r.cells.row)).concat(known || []);
    return all.length ? Math.max(...all) : null;
  }

  /** Steps that a sheet must have, for fasteners as they were done (with their place in order and sheet): at the last
   * stage those of every fastener of the joints that are named, in their last round; before it, those that were entered.
   * @param {[Fastener, [number, number]][]} done @param {Set<string>} named @param {TorqueBench} bench @returns {Wanted[]} */
  function wanted(done, named, bench) {
    const whole = bench.sheet.stage === "assembled";
    const joints = whole ? named : new Set(done.map(([f]) => f.kind.joint));
    return lines(bench.engine, bench.shared, bench.build, joints).flatMap((/** @type {any} */ line) => {
      const purpose = line.said.purpose || "";
      return whole && !purpose ? ofWhole(line, done, bench)
        : ofEntered(line, done.map(([f]) => f).filter((f) => f.kind.purpose === purpose));
    });
  }

  const plain = (/** @type {string | undefined} */ which) => (which && which !== NONE ? which : "");
  const threadOf = (/** @type {any} */ line) => choosing.linesOf(line.choice).flat()[0].cells.thread || "";

  /** Whether a printed line speaks of the kind of a fastener, whatever its place. @param {any} line @param {Fastener} fastener */
  const isOf = (line, { kind }) =>
    kind.joint === line.joint && kind.thread === threadOf(line) && kind.which === plain(line.said.which);

  /** A step at each place of a printed line, in the round of tightening that was the last there.
   * @param {any} line @param {[Fastener, [number, number]][]} done @param {TorqueBench} bench @returns {Wanted[]} */
  function ofWhole(line, done, bench) {
    const own = done.filter(([f]) => isOf(line, f) && !f.kind.purpose);
    const known = placesOf(line.joint, line.position, bench);
    const isEvery = known.length === 1 && known[0] === EVERY;
    const some = each(own.filter(([f]) => f.among || f.place !== EVERY).map(([f]) => f.among || f.place));
    const unknown = isEvery || own.some(([f]) => f.among);
    const there = isEvery && own.length ? each(own.map(([f]) => f.place)) : known;
    return there.map((place) => {
      const here = own.filter(([f]) => [place, EVERY].includes(f.place)).sort(([, a], [, b]) => a[0] - b[0] || a[1] - b[1]);
      const last = here.length ? here[here.length - 1][0].kind.cycle : 1;
      const kind = kindOf(line.joint, plain(line.said.which), threadOf(line), "", last);
      return { said: line.said, fastener: { kind, place, among: "" }, step: Number(line.said.step), entered: unknown ? some : [] };
    });
  }

  /** A step for each fastener of a printed line that was entered. @param {any} line @param {Fastener[]} done @returns {Wanted[]} */
  const ofEntered = (line, done) => each(done.filter((f) => isOf(line, f)))
    .map((fastener) => ({ said: line.said, fastener, step: Number(line.said.step), entered: [] }));

  /** States of the thread that the documents of a line print for its fasteners, at this step or another one.
   * @param {Row} row @param {Row[]} also @param {TorqueBench} bench @returns {string[]} */
  function states(row, also, { engine, shared, build }) {
    const cell = (/** @type {Row} */ r, /** @type {string} */ c) => r.cells[c] || "";
    const here = hereOf(engine, shared, row.cells.quantity, row.cells.position);
    const sources = [row, ...also].flatMap((r) => [r.cite, ...r.also]).map((c) => c.source);
    const agree = (/** @type {Row} */ r, /** @type {string} */ c) => !cell(r, c) || !cell(row, c) || cell(r, c) === cell(row, c);
    const same = engine.torques.filter((/** @type {Row} */ r) => r.cells.quantity === row.cells.quantity &&
      sources.includes(r.cells.source) && cell(r, "purpose") === cell(row, "purpose") &&
      agree(r, "which") && agree(r, "thread") && resolving.admits(r, build, here));
    const told = (/** @type {Row[]} */ all) => each(all.map((r) => cell(r, "thread_state")).filter(Boolean));
    const ofStep = told(same.filter((/** @type {Row} */ r) => r.cells.step === row.cells.step));
    return ofStep.length ? ofStep : told(same);
  }

  const made = { placesOf, EVERY, fasteners, wanted, states };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.fasteners = made;
  }
})();
