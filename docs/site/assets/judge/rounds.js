"use strict";
// Rounds of tightening: how often a fastener was tightened, and whether the last time was for running. Mirrors rounds.py.
(function () {
  const node = typeof module === "object" && module.exports;
  const { EVERY } = node ? require("./fasteners.js") : window.runningFits.fasteners;

  /** Whether a fastener was tightened for another purpose than running, and for running no more after that.
   * @param {Fastener} fastener @param {TorqueStep} step @param {TorqueStep[]} steps */
  function isForCheck(fastener, step, steps) {
    if (!fastener.kind.purpose) {
      return false;
    }
    const after = (/** @type {TorqueStep} */ s) => s.fasteners.some((f) => !f.kind.purpose && mayBeOne(f, fastener) &&
      isAfter(f.kind.cycle, s, fastener.kind.cycle, step));
    return !steps.some(after);
  }

  /** Whether two lines may speak of the same fastener: what only one of them says does not tell them apart.
   * @param {Fastener} one @param {Fastener} other */
  function mayBeOne(one, other) {
    const like = (/** @type {string} */ a, /** @type {string} */ b) => a === b || !(a && b);
    return one.kind.joint === other.kind.joint && like(one.kind.which, other.kind.which) &&
      like(one.kind.thread, other.kind.thread) && samePlace(one, other);
  }

  /** @param {Fastener} one @param {Fastener} other */
  const samePlace = (one, other) => one.place === other.place || [one.place, other.place].includes(EVERY);

  /** Whether a line was done after another: by their round, and by an order that both lines give.
   * @param {number} cycle @param {TorqueStep} step @param {number} before @param {TorqueStep} earlier */
  function isAfter(cycle, step, before, earlier) {
    const ordered = step.raw.order !== undefined && earlier.raw.order !== undefined;
    return cycle === before || (ordered && step.done < earlier.done) ? step.done > earlier.done : cycle > before;
  }

  /** How often a fastener had been tightened with this line: as the sheet counts, else the rounds that it shows. A torque
   * for measuring is one round, and so is a strip read under the joint.
   * @param {Fastener} fastener @param {TorqueStep} step @param {TorqueStep[]} steps @param {TorqueBench} bench @returns {number} */
  function times(fastener, step, steps, bench) {
    if (step.raw.cycle !== undefined) {
      return fastener.kind.cycle;
    }
    const there = steps.filter((s) => s.done <= step.done).flatMap((s) => s.fasteners).filter((f) => sameBolt(f, fastener));
    const rounds = new Set(there.map(({ kind }) => kind.purpose + "|" + kind.cycle));
    const squeezed = bench.shared.joints[fastener.kind.joint].strip;
    const strips = bench.sheet.readings.some((/** @type {any} */ r) => r.part === "strip" && r.item === squeezed);
    return rounds.size + (strips && new Set(there.map(({ kind }) => kind.purpose)).size === 1 ? 1 : 0);
  }

  /** @param {Fastener} one @param {Fastener} other */
  const sameBolt = (one, other) => samePlace(one, other) &&
    ["joint", "which", "thread"].every((c) => /** @type {any} */ (one.kind)[c] === /** @type {any} */ (other.kind)[c]);

  const made = { isForCheck, times };

  if (node) {
    module.exports = made;
  } else {
    window.runningFits.rounds = made;
  }
})();
