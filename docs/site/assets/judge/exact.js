"use strict";
// Exact fractions of big integers, decimals as printed, and the normal distribution. A fraction is {n, d}: lowest
// terms, d above 0. Printed numbers stay exact until statistics start, as in the Python code.
(function () {
  /** @param {bigint} a @param {bigint} b */
  function gcd(a, b) {
    while (b) {
      [a, b] = [b, a % b];
    }
    return a < 0n ? -a : a;
  }

  /** @param {bigint} n @param {bigint} d @returns {Fraction} */
  function fraction(n, d) {
    const by = (d < 0n ? -1n : 1n) * (gcd(n, d) || 1n);
    return { n: n / by, d: d / by };
  }

  const ZERO = fraction(0n, 1n);
  /** @param {number | bigint} n */
  const whole = (n) => fraction(BigInt(n), 1n);
  /** @param {Fraction} a @param {Fraction} b */
  const add = (a, b) => fraction(a.n * b.d + b.n * a.d, a.d * b.d);
  /** @param {Fraction} a */
  const negated = (a) => ({ n: -a.n, d: a.d });
  /** @param {Fraction} a @param {Fraction} b */
  const subtract = (a, b) => add(a, negated(b));
  /** @param {Fraction} a @param {Fraction} b */
  const multiply = (a, b) => fraction(a.n * b.n, a.d * b.d);
  /** @param {Fraction} a @param {Fraction} b */
  const divide = (a, b) => fraction(a.n * b.d, a.d * b.n);
  /** @param {Fraction} a */
  const absolute = (a) => ({ n: a.n < 0n ? -a.n : a.n, d: a.d });
  /** @param {Fraction} a @param {Fraction} b */
  const less = (a, b) => a.n * b.d < b.n * a.d;
  /** @param {Fraction} a @param {Fraction} b */
  const equal = (a, b) => a.n === b.n && a.d === b.d;
  /** @param {Fraction[]} all */
  const largest = (all) => all.reduce((/** @type {any} */ a, /** @type {any} */ b) => (less(a, b) ? b : a));
  /** @param {Fraction[]} all */
  const smallest = (all) => all.reduce((/** @type {any} */ a, /** @type {any} */ b) => (less(b, a) ? b : a));
  /** @param {Fraction[]} all */
  const mean = (all) => divide(all.reduce(add, ZERO), whole(all.length));

  const NUMBER = /^-?[0-9]+(\.[0-9]+)?$/;

  /** Exact value of a plain number such as 0.0015, or of a factor such as 5/9; throws for anything else.
   * @param {string} text @returns {Fraction} */
  function parse(text) {
    const [top, below] = text.split("/");
    if (below !== undefined) {
      return divide(parse(top), parse(below));
    }
    if (!NUMBER.test(text)) {
      throw new RangeError(JSON.stringify(text) + " is not a plain number such as 0.0015");
    }
    return fraction(BigInt(text.replace(".", "")), 10n ** BigInt(digits(text)));
  }

  /** How many decimals a number is printed with. @param {string} text */
  function digits(text) {
    const at = text.indexOf(".");
    return at < 0 ? 0 : text.length - at - 1;
  }

  /** One unit of the last printed digit. @param {string} text */
  const step = (text) => fraction(1n, 10n ** BigInt(digits(text)));

  /** Sum or difference of two printed numbers with the decimals of the finer one. @param {string} a @param {string} b @param {number} sign */
  function joined(a, b, sign) {
    const value = sign < 0 ? subtract(parse(a), parse(b)) : add(parse(a), parse(b));
    return fixed(value, Math.max(digits(a), digits(b)));
  }

  /** @param {bigint} n */
  const bits = (n) => n.toString(16).length * 4;

  /** The nearest floating-point number, ties to even. @param {Fraction} a */
  function toNumber(a) {
    if (a.n === 0n) {
      return 0;
    }
    const top = a.n < 0n ? -a.n : a.n;
    const shift = bits(a.d) - bits(top) + 72;
    const [n, d] = shift >= 0 ? [top << BigInt(shift), a.d] : [top, a.d << BigInt(-shift)];
    const sticky = n % d ? 1n : 0n;
    return (a.n < 0n ? -1 : 1) * Number((n / d) | sticky) * 2 ** -shift;
  }

  /** The exact value of a floating-point number. @param {number} x */
  function fromNumber(x) {
    let shift = 0;
    while (!Number.isInteger(x)) {
      x *= 2;
      shift += 1;
    }
    return fraction(BigInt(x), 1n << BigInt(shift));
  }

  /** The nearest whole number, ties to even. @param {Fraction} a */
  function nearest(a) {
    const twice = 2n * a.d;
    const up = 2n * a.n + a.d;
    let floor = up / twice;
    if (up % twice < 0n) {
      floor -= 1n;
    }
    return up % twice === 0n && floor % 2n ? floor - 1n : floor;
  }

  /** @param {Fraction} a */
  function ceiling(a) {
    const down = a.n / a.d;
    return a.n % a.d > 0n ? down + 1n : down;
  }

  /** Text with so many decimals, rounded half to even. @param {Fraction} a @param {number} places */
  function fixed(a, places) {
    const scaled = nearest(multiply(a, whole(10n ** BigInt(places))));
    const text = (scaled < 0n ? -scaled : scaled).toString().padStart(places + 1, "0");
    const cut = text.length - places;
    return (scaled < 0n ? "-" : "") + text.slice(0, cut) + (places ? "." + text.slice(cut) : "");
  }

  /** Text with digits enough to keep a step, twelve at most. @param {Fraction} a @param {Fraction} by */
  function rounded(a, by) {
    let places = 0;
    while (places < 12 && less(by, fraction(1n, 10n ** BigInt(places)))) {
      places += 1;
    }
    return fixed(a, places);
  }

  /** Exact text: a decimal where it ends, else a fraction. @param {Fraction} a */
  function text(a) {
    for (let places = 0; places < 25; places += 1) {
      if ((a.n * 10n ** BigInt(places)) % a.d === 0n) {
        return fixed(a, places);
      }
    }
    return a.n + "/" + a.d;
  }

  /** Complementary error function, to about 1e-15: a series near 0, a continued fraction beyond. @param {number} x @returns {number} */
  function erfc(x) {
    if (x < 0) {
      return 2 - erfc(-x);
    }
    return x < 3 ? 1 - series(x) : fractionTail(x);
  }

  /** @param {number} x */
  function series(x) {
    let term = x;
    let sum = x;
    for (let n = 1; n < 200 && term > sum * 1e-17; n += 1) {
      term *= (2 * x * x) / (2 * n + 1);
      sum += term;
    }
    return (2 / Math.sqrt(Math.PI)) * Math.exp(-x * x) * sum;
  }

  /** @param {number} x */
  function fractionTail(x) {
    let below = x;
    for (let n = 80; n > 0; n -= 1) {
      below = x + n / 2 / below;
    }
    return Math.exp(-x * x) / (Math.sqrt(Math.PI) * below);
  }

  /** Error function, to about 1e-15. @param {number} x @returns {number} */
  function erf(x) {
    if (x < 0) {
      return -erf(-x);
    }
    return x < 3 ? series(x) : 1 - fractionTail(x);
  }

  /** Standard normal distribution function. @param {number} x */
  function normal(x) {
    return Number.isFinite(x) ? 0.5 * erfc(-x / Math.SQRT2) : x > 0 ? 1 : 0;
  }

  const MIDDLE = [
    [2509.0809287301226727, 33430.575583588128105, 67265.770927008700853, 45921.953931549871457, 13731.693765509461125,
      1971.5909503065514427, 133.14166789178437745, 3.387132872796366608],
    [5226.495278852854561, 28729.085735721942674, 39307.89580009271061, 21213.794301586595867, 5394.1960214247511077,
      687.1870074920579083, 42.313330701600911252, 1],
  ];
  const TAIL = [
    [7.7454501427834140764e-4, 2.27238449892691845833e-2, 2.4178072517745061177e-1, 1.27045825245236838258,
      3.64784832476320460504, 5.7694972214606914055, 4.6303378461565452959, 1.42343711074968357734],
    [1.05075007164441684324e-9, 5.475938084995344946e-4, 1.51986665636164571966e-2, 1.4810397642748007459e-1,
      6.8976733498510000455e-1, 1.6763848301838038494, 2.05319162663775882187, 1],
  ];

  /** @param {number[]} all @param {number} x */
  const polynomial = (all, x) => all.reduce((/** @type {any} */ sum, /** @type {any} */ c) => sum * x + c);
  /** @param {number[][]} _ @param {number} x */
  const ratio = ([top, below], x) => polynomial(top, x) / polynomial(below, x);

  /**
   * Quantile of the standard normal distribution, for shares that are at least 1e-10 from 0 and 1.
   * Source: M. J. Wichura, algorithm AS 241, Applied Statistics 37 (1988), 477.
   * @param {number} share
   */
  function quantile(share) {
    const off = share - 0.5;
    if (Math.abs(off) <= 0.425) {
      return ratio(MIDDLE, 0.180625 - off * off) * off;
    }
    const tail = ratio(TAIL, Math.sqrt(-Math.log(off <= 0 ? share : 1 - share)) - 1.6);
    return off < 0 ? -tail : tail;
  }

  const exact = {
    ZERO, NUMBER, fraction, whole, add, subtract, multiply, divide, absolute, negated, less, equal, largest, smallest,
    mean, parse, digits, step, joined, toNumber, fromNumber, nearest, ceiling, fixed, rounded, text, erf, erfc, normal,
    quantile,
  };

  if (typeof module === "object" && module.exports) {
    module.exports = exact;
  } else {
    window.runningFits = window.runningFits || /** @type {any} */ ({});
    window.runningFits.exact = exact;
  }
})();
