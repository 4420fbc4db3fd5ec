/** What is wrong and what to do about it. */
export type Said = readonly [message: string, hint: string];

const nearest = (near: readonly string[], otherwise: string): string =>
  near.length > 0 ? `did you mean ${near.join(" or ")}` : otherwise;

const withArticle = (noun: string): string =>
  /^an? /.test(noun) ? noun : `${/^[aeio]/.test(noun) ? "an" : "a"} ${noun}`;

/** The catalogue of mistakes: one entry per code; grammar: what is wrong, the value found; then what would be right. */
export const says = {
  // Files and YAML
  "file-missing": (path: string): Said => [
    `missing file ${path}`,
    "check the path, which is relative to the file that names it",
  ],
  "file-outside": (path: string): Said => [
    `${path} lies outside the case root`,
    "keep all files of a case below the folder that holds models/",
  ],
  "file-too-large": (size: number, limit: number): Said => [
    `file of ${size} characters is too large`,
    `keep it below ${limit} characters`,
  ],
  "root-missing": (path: string): Said => [
    `no case root above ${path}`,
    "place the file below a folder that holds models/, or give --root",
  ],
  "yaml-syntax": (what: string): Said => [
    `invalid YAML: ${what}`,
    "check indentation, colons and quotes around this place",
  ],
  "yaml-depth": (limit: number): Said => [
    `nesting deeper than ${limit} levels`,
    "flatten the structure; nothing in the language nests so deep",
  ],
  "yaml-alias": (): Said => [
    "YAML anchors, aliases and tags are not part of the language",
    "repeat the value, or use extends or same_as",
  ],
  "yaml-documents": (): Said => ["a second YAML document in one file", "keep one model or scenario per file"],
  "duplicate-key": (key: string): Said => [`duplicate key ${key}`, "keep one of the two"],
  "unquoted-colon": (): Said => [
    "an expression with ' : ' stands without quotes",
    'put the whole expression in double quotes, "a ? b : c"',
  ],
  "unquoted-comma": (): Said => [
    "an expression with a comma or bracket stands without quotes inside {} or []",
    'put the whole expression in double quotes, "max(a, b)"',
  ],
  "csv-shape": (what: string): Said => [
    `invalid table file: ${what}`,
    "give a header line, then one row of numbers per line, separated by commas",
  ],
  // Shape
  "unknown-key": (key: string, near: readonly string[], known: readonly string[]): Said => [
    `unknown key ${key}`,
    nearest(near, `known here: ${known.join(", ")}`),
  ],
  "missing-key": (key: string): Said => [`missing key ${key}`, `add ${key}`],
  "wrong-shape": (found: string, expected: string): Said => [`invalid value ${found}`, `expected ${expected}`],
  "invalid-name": (name: string): Said => [
    `invalid name ${name}`,
    "use lower-case letters, digits and underscores, starting with a letter; levels and strategies may start with a capital",
  ],
  "reserved-name": (name: string): Said => [
    `reserved name ${name}`,
    "choose a name that is not a unit, a function or a word of the language",
  ],
  "duplicate-name": (name: string, other: string): Said => [
    `duplicate name ${name}, already used for ${other}`,
    "choose another name",
  ],
  "inconsistent-keys": (keys: readonly string[], why: string): Said => [`inconsistent keys ${keys.join(" and ")}`, why],
  "empty-list": (what: string): Said => [`missing entries: ${what} is empty`, "name at least one"],
  // Quantities and units
  "quantity-syntax": (text: string): Said => [
    `invalid quantity ${text}`,
    "write a number and a unit, such as 3% / year, 1450 EUR or 25 kg/m2",
  ],
  "unknown-unit": (unit: string, near: readonly string[]): Said => [
    `unknown unit ${unit}`,
    nearest(near, "use year, month, week, day, hour, minute, kg, m, QALY, piece or the scenario's currency"),
  ],
  "currency-differs": (found: string, expected: string): Said =>
    expected === ""
      ? [`currency ${found} in a scenario without a currency`, "add settings: { money: { unit: … } }"]
      : [
          `currency ${found} differs from the scenario's ${expected}`,
          `give it in ${expected}; evidence may say its price_year, to be converted as settings: { money: { conversions } } states`,
        ],
  "conversion-missing": (from: string, endsAt: string, target: string, next: string): Said => [
    `missing conversion of ${from} to ${target}${endsAt === from ? "" : `: the steps stated end at ${endsAt}`}`,
    `add settings: { money: { conversions: { ${endsAt}: { to: ${next}, by: …, factor: …, source: … } } } }`,
  ],
  "unit-mismatch": (found: string, expected: string): Said => [
    `inconsistent unit: found ${found}`,
    `expected ${expected}`,
  ],
  "out-of-range": (what: string, value: string, range: string): Said => [
    `${what} out of range: ${value}`,
    `expected ${range}`,
  ],
  // Expressions
  "expression-too-long": (length: number, limit: number): Said => [
    `expression of ${length} characters is too long`,
    `split it into formulas of at most ${limit} characters`,
  ],
  "expression-syntax": (what: string): Said => [`invalid expression: ${what}`, "check operators, brackets and quotes"],
  "expression-refused": (what: string, instead: string): Said => [`${what} is not part of the language`, instead],
  "unknown-name": (name: string, near: readonly string[]): Said => [
    `unknown name ${name}`,
    nearest(near, "declare it under inputs, formulas, tables, factors or population"),
  ],
  "unknown-function": (name: string, near: readonly string[]): Said => [
    `unknown function ${name}`,
    nearest(
      near,
      "use exp, log, sqrt, abs, min, max, floor, hazard_of, chance_of, with_odds, since, a table or a formula of an earlier time",
    ),
  ],
  "wrong-arguments": (name: string, expected: string): Said => [`invalid arguments of ${name}`, `expected ${expected}`],
  "name-misused": (name: string, what: string, instead: string): Said => [`${name} is ${what}`, instead],
  circular: (names: readonly string[]): Said => [
    `circular definition: ${names.join(" -> ")}`,
    "break the loop; nothing can depend on itself",
  ],
  "units-inconsistent": (what: string, left: string, right: string): Said => [
    `inconsistent units: ${what} of ${left} and ${right}`,
    "bring both sides to the same unit, or convert openly",
  ],
  "kind-crossing": (left: string, right: string, instead: string): Said => [
    `${withArticle(left)} does not combine with ${withArticle(right)} here`,
    instead,
  ],
  "not-a-chance": (found: string): Said => [
    `a chance is missing: found ${found}`,
    "a chance is a probability with a period, a probability of an attempt or case, or a share",
  ],
  "period-misplaced": (where: string): Said => [
    `a probability with a period stands as ${where}`,
    "declare the probability of: attempt or case, or move it to a chance event of its own",
  ],
  "draw-dependent": (what: string): Said => [
    `${what} depends on an uncertain input`,
    "structure may depend only on inputs given as fixed",
  ],
  // Structure
  "unknown-reference": (what: string, name: string, near: readonly string[], known: readonly string[]): Said => [
    `unknown ${what} ${name}`,
    nearest(near, known.length > 0 ? `known: ${known.join(", ")}` : `declare the ${what} first`),
  ],
  "missing-cells": (what: string, cells: readonly string[]): Said => [
    `missing ${what}: ${cells.join(", ")}`,
    "give a value for each",
  ],
  "off-grid": (what: string, below: string, above: string): Said => [
    `${what} does not fall on a whole cycle`,
    `use ${below} or ${above}`,
  ],
  "too-many-states": (count: number, limit: number): Said => [
    `the model expands to ${count} joint states, more than ${limit}`,
    "drop a factor, shorten a clock or merge levels",
  ],
  "too-many-cycles": (count: number, limit: number): Said => [
    `the horizon spans ${count} cycles, more than ${limit}`,
    "shorten the horizon or lengthen the cycle",
  ],
  "no-timing": (event: string): Said => [
    `event ${event} does not say when it happens`,
    "add one of at, every, rate, crude, chance, ends, after or one_of",
  ],
  "no-clock": (factor: string, level: string): Said => [
    `level ${level} of ${factor} keeps no clock`,
    "write the level as { level: { clock: 12 cycles } } or with lasts",
  ],
  "rest-twice": (event: string): Said => [
    `more than one branch of ${event} takes the rest`,
    "let at most one branch take the rest",
  ],
  // Scenario
  "shares-sum": (what: string, sum: string): Said => [`shares of ${what} sum to ${sum}`, "let them sum to 1"],
  "evidence-form": (found: string): Said => [
    `the value is given in ${found}`,
    "give exactly one of fixed, observed, mean with se, estimate with interval, quantiles, draws, chosen, same_as, fitted, by, each",
  ],
  "evidence-invalid": (what: string, instead: string): Said => [what, instead],
  "source-missing": (input: string): Said => [
    `missing source of ${input}`,
    "add source: invented, or source: { cite: … }, here or one level up",
  ],
  "simpson-refused": (why: string): Said => [
    `Simpson's rule does not apply: ${why}`,
    "use counting: trapezoid or middle, or give explicit weights",
  ],
  "weights-length": (found: number, expected: number): Said => [
    `${found} counting weights for ${expected} boundaries`,
    "give one weight per boundary, or first, repeat and last",
  ],
  "table-range": (table: string, value: string, range: string): Said => [
    `table ${table} has no value at ${value}`,
    `its rows span ${range}; set beyond: last to hold the end rows`,
  ],
  "certain-death": (table: string): Said => [
    `table ${table} holds a probability of 1`,
    "set last: certain if nobody outlives that row",
  ],
  // Running
  "chance-out-of-range": (value: string, where: string): Said => [
    `a chance out of range: ${value} ${where}`,
    "keep chances between 0 and 1 and the branches of one event at most 1 together",
  ],
  "rate-negative": (value: string, where: string): Said => [
    `a rate out of range: ${value} ${where}`,
    "keep rates at or above 0",
  ],
  "not-finite": (value: string, where: string): Said => [
    `a result is not a finite number: ${value} ${where}`,
    "check divisions, logarithms and powers in the formulas named",
  ],
  "crude-unreachable": (value: string, where: string): Said => [
    `a crude incidence of ${value} cannot be reached ${where}`,
    "the other hazards of the state leave too few at risk; lower the share or shorten its period",
  ],
  "expectation-failed": (name: string, left: string, relation: string, right: string): Said => [
    `expectation ${name} failed: ${left} is not ${relation} ${right}`,
    "correct the inputs, or the expectation",
  ],
  "worker-lost": (why: string): Said => [
    `a thread of the run ended before its work was done: ${why}`,
    "run it again; if it ends again, let it need less memory with fewer draws or threads",
  ],
  "no-draws": (what: string): Said => [
    `missing draws for ${what}`,
    "give --draws, or runs: { draws: 10000 } in the scenario",
  ],
  "seed-invalid": (seed: string): Said => [`invalid seed ${seed}`, "use at most 100 characters and no slash"],
  "unit-of-work": (what: string, limit: number): Said => [`${what} out of range`, `at most ${limit}`],
} as const satisfies Record<string, (...args: never[]) => Said>;

/** A code of the catalogue. */
export type Code = keyof typeof says;
