// Rules for the scripts of the bench, its judge and the service worker: what the TypeScript compiler (jsconfig.json) does not see.
const js = require("@eslint/js");
const globals = require("globals");

const rules = {
  ...js.configs.recommended.rules,
  "no-control-regex": "off",
  "no-unused-vars": ["error", { ignoreRestSiblings: true }],
  eqeqeq: "error",
  "no-var": "error",
  "prefer-const": "error",
  "no-eval": "error",
  "no-implied-eval": "error",
  "no-restricted-properties": ["error", { property: "innerHTML" }, { property: "outerHTML" }, { property: "insertAdjacentHTML" }],
};

const script = (more) => ({ sourceType: "script", ecmaVersion: 2023, globals: more });

module.exports = [
  { files: ["**/bench.js", "**/bench/*.js", "**/judge.js", "**/judge/*.js"], languageOptions: script({ ...globals.browser, module: "readonly", require: "readonly" }), rules },
  // coefficients stand as they are published
  { files: ["**/judge/exact.js"], rules: { "no-loss-of-precision": "off" } },
  { files: ["**/sw.js"], languageOptions: script(globals.serviceworker), rules },
];
