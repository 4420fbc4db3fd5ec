import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { bindExpression } from "../../src/compile/bind.ts";
import type { Expression } from "../../src/compile/expression.ts";
import { parseExpression } from "../../src/compile/parse.ts";
import { InputError } from "../../src/errors.ts";
import { openStudy } from "../../src/study.ts";
import { caseFiles, fixed, scenarioPath } from "../case.ts";

const place = { file: "x.yaml", line: 1, column: 1, path: "formulas.x" };
const parse = (text: string | number | boolean) => parseExpression(text, place);

/** The code of what is wrong, with what was refused; undefined where an expression is of the language. */
function problem(work: () => unknown): { readonly code: string; readonly message: string } | undefined {
  try {
    work();
    return undefined;
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    expect(error.findings).toHaveLength(1);
    return error.findings[0];
  }
}

const name = (text: string, ...parts: readonly string[]): Expression => ({ op: "name", name: text, parts });
const number = (value: number): Expression => ({ op: "number", value });

describe("an expression of the language", () => {
  test.each<readonly [text: string | number | boolean, tree: Expression]>([
    [3, number(3)],
    [true, number(1)],
    ["false", number(0)],
    ["1.5e2", number(150)],
    ["a", name("a")],
    ["a.B", name("a", "B")],
    ["price.swallowed.first", name("price", "swallowed", "first")],
    ["a[stage]", { op: "look_up", of: name("a") as Expression & { op: "name" }, key: "stage" }],
    [
      "price.swallowed[stage]",
      { op: "look_up", of: name("price", "swallowed") as Expression & { op: "name" }, key: "stage" },
    ],
    ["2 years", { op: "multiply", left: number(2), right: name("years") }],
    ["-2 years", { op: "multiply", left: number(-2), right: name("years") }],
    ["1 cycle", { op: "multiply", left: number(1), right: name("cycles") }],
    ["25 kg/m2", { op: "divide", left: { op: "multiply", left: number(25), right: name("kg") }, right: name("m2") }],
    ["-a", { op: "negate", of: name("a") }],
    ["+a", name("a")],
    ["not a", { op: "not", of: name("a") }],
    ["a ^ b ^ c", { op: "power", left: name("a"), right: { op: "power", left: name("b"), right: name("c") } }],
    ["a - b - c", { op: "subtract", left: { op: "subtract", left: name("a"), right: name("b") }, right: name("c") }],
    ["a and b or c", { op: "or", left: { op: "and", left: name("a"), right: name("b") }, right: name("c") }],
    ["a < b", { op: "less", left: name("a"), right: name("b") }],
    ["a <= b", { op: "less_or_equal", left: name("a"), right: name("b") }],
    ["a != b", { op: "unequal", left: name("a"), right: name("b") }],
    ["a ? b : c", { op: "if", test: name("a"), yes: name("b"), no: name("c") }],
    ["max(a, 2)", { op: "call", name: "max", args: [name("a"), number(2)] }],
    ["bmi(time - 1)", { op: "call", name: "bmi", args: [{ op: "subtract", left: name("time"), right: number(1) }] }],
    [" (\n ((a))\n) ", name("a")],
  ])("%j", (text, tree) => {
    expect(parse(text)).toEqual(tree);
  });
});

describe("refused by name", () => {
  test.each([
    ["a b", "a product without *"],
    ["loss_at end", "a product without *"],
    ["2 a", "a product without *"],
    ["2(3)", "a product without *"],
    ["(a)(b)", "a product without *"],
    ["a(1)(2)", "a product without *"],
    ["1/2 year", "a product without *"],
    ["a years", "a product without *"],
    ["2 visit", "a product without *"],
    ["5%", "a percentage"],
    ["a + 5%", "a percentage"],
    ["a % b", "the remainder %"],
    ["a mod b", "the remainder %"],
    ["a to b", "a unit conversion"],
    ["a in b", "a unit conversion"],
    ["a'", "text in quotes"],
    ['"a"', "text in quotes"],
    ["`a`", "text in quotes"],
    ["a!", "the sign !"],
    ["!a", "the sign !"],
    ["a; b", "several expressions"],
    ["a = 1", "an assignment"],
    ["a.b = 1", "an assignment"],
    ["a[b] = 1", "an assignment"],
    ["f(x) = x", "a function definition"],
    ["1:3", "a range"],
    ["a:b:c", "a range"],
    ["[1, 2]", "a list"],
    ["[]", "a list"],
    ["{}", "a map"],
    ["{ a: 1 }", "a map"],
    ["1 < a < 3", "a chained comparison"],
    ["a .* b", "an element-wise operator"],
    ["a ./ b", "an element-wise operator"],
    ["a .^ b", "an element-wise operator"],
    ["a xor b", "xor"],
    ["a & b", "the operator &"],
    ["a | b", "the operator |"],
    ["~a", "the operator ~"],
    ["a << 2", "the operator <<"],
    ["a >> 2", "the operator >>"],
    ["a >>> 2", "the operator >>>"],
    ["a ?? b", "the operator ??"],
    ["a && b", "&&"],
    ["a || b", "||"],
    ["a ** b", "**"],
    ["a === b", "a comparison of three signs"],
    ["a !== b", "a comparison of three signs"],
    ["a <> b", "<>"],
    ["a =< b", "=< or =>"],
    ["a => b", "=< or =>"],
    ["a # b", "a comment"],
    ["0x10", "a number that is not decimal"],
    ["0b1", "a number that is not decimal"],
    ["a − b", "the character −"],
    ["a × b", "the character ×"],
    ["größe", "the character"],
    ["a\u0000b", "the character"],
    ["null", "the constant null"],
    ["undefined", "the constant undefined"],
    ["NaN", "a number that is not finite"],
    ["Infinity", "a number that is not finite"],
    ["1e400", "a number that is not finite"],
    ["a[1]", "a look-up by anything but a name"],
    ["a[b + 1]", "a look-up by anything but a name"],
    ["a[b.c]", "a look-up by anything but a name"],
    ["a[:]", "a look-up by anything but a name"],
    ["a[b, c]", "this look-up"],
    ["a[b][c]", "this look-up"],
    ["a[b].c", "this look-up"],
    ["(a + b).c", "this look-up"],
    ["f(a).b", "this look-up"],
    ["a?.b", "this look-up"],
    ["a.f(2)", "a function of something"],
    ["a.exp(2)", "a function of something"],
    ["a[b](2)", "a function of something"],
  ])("%s", (text, what) => {
    expect(problem(() => parse(text))).toMatchObject({
      code: "expression-refused",
      message: expect.stringContaining(what) as string,
    });
  });

  test.each([
    "",
    " ",
    "a +",
    "* a",
    "a b c +",
    "(a",
    "a)",
    "max(a,",
    "a ? b",
    "a : b ?",
    "1.2.3",
    "a..b",
    ".a",
    "a,b",
    "@a",
    "a\\b",
    "1 2",
  ])("%j is no expression", (text) => {
    expect(problem(() => parse(text))?.code).toMatch(/^expression-/);
  });

  test("too long, and too deep", () => {
    expect(problem(() => parse(`1${" + 1".repeat(600)}`))?.code).toBe("expression-too-long");
    expect(problem(() => parse(`${"(".repeat(51)}1${")".repeat(51)}`))?.code).toBe("expression-syntax");
    expect(parse(`${"(".repeat(50)}1${")".repeat(50)}`)).toEqual(number(1));
    const last = (times: number): readonly string[] => [
      `${"-".repeat(times)}1`,
      `${"not ".repeat(times)}a`,
      `${"- + not ".repeat(times / 3)}${"-".repeat(times % 3)}a`,
      `${"a?b:".repeat(times)}c`,
      `${"1^".repeat(times)}1`,
      `${"a^-".repeat(times)}1`,
    ];
    for (const text of last(100)) expect(parse(text)).toHaveProperty("op");
    for (const text of last(101)) expect(problem(() => parse(text))?.message).toContain("deeper than 100 levels");
    expect(problem(() => parse(`${"a=".repeat(101)}1`))?.message).toContain("deeper than 100 levels");
    expect(parse(`1${" - 1".repeat(200)}`)).toHaveProperty("op", "subtract");
  });
});

const ops = new Set([
  ...["number", "name", "look_up", "negate", "not", "if", "call", "and", "or"],
  ...["add", "subtract", "multiply", "divide", "power"],
  ...["less", "less_or_equal", "greater", "greater_or_equal", "equal", "unequal"],
]);

/** Throws where a tree holds anything but plain parts of the language. */
function expectPlain(tree: Expression): void {
  expect(Object.getPrototypeOf(tree)).toBe(Object.prototype);
  expect(ops).toContain(tree.op);
  for (const [key, part] of Object.entries(tree)) {
    if (["op", "name", "key", "value"].includes(key)) expect(["string", "number"]).toContain(typeof part);
    else if (key === "parts") for (const word of part as readonly unknown[]) expect(typeof word).toBe("string");
    else for (const inner of [part].flat() as readonly Expression[]) expectPlain(inner);
  }
}

describe("no way out of the language", () => {
  const { program } = openStudy(
    caseFiles(
      "inputs: { a: { is: number }, b: { is: number, over: [x, y] } }\nfactors: { f: [x, y] }\nstart: { f: x }\nformulas: { h: 2 * a }",
      `${fixed({ a: 1 })}\n  b: { fixed: { x: 1, y: 2 }, why: test, source: invented }`,
    ),
    scenarioPath,
  );
  const bind = (text: string) => bindExpression({ text, place }, program.scope);

  test("names of the language bind", () => {
    for (const text of ["a", "h + 1", "b.x", "b[f]", "f == x ? a : b.y", "exp(a)", "max(a, h)", "min(1, 2, a)"])
      expect(problem(() => bind(text))).toBeUndefined();
  });

  test.each([
    ...["constructor", "__proto__", "prototype", "toString", "valueOf", "hasOwnProperty", "__defineGetter__"],
    ...["a.constructor", "a.__proto__", "b.constructor", "b.__proto__", "b.length", "h.constructor", "b[constructor]"],
    ...[
      "b[__proto__]",
      "b[toString]",
      "f == constructor ? 1 : 0",
      "f == toString ? 1 : 0",
      "f.x",
      "h.s.x",
      "this",
      "self",
    ],
    ...["globalThis", "window", "process", "require", "module", "eval", "Function", "arguments", "pi", "e", "i", "tau"],
    ...["version", "end", "ans", "EUR2", "kgm", "Math", "JSON", "NA"],
  ])("%s is no value", (text) => {
    expect(problem(() => bind(text))).toBeDefined();
  });

  test.each([
    // functions of the parser's library, of JavaScript, and names that lead out of objects
    ...["evaluate", "eval", "parse", "compile", "parser", "import", "config", "create", "createUnit", "unit", "typed"],
    ...["simplify", "derivative", "rationalize", "resolve", "help", "chain", "reviver", "replacer", "print", "format"],
    ...[
      "map",
      "filter",
      "forEach",
      "sort",
      "range",
      "matrix",
      "index",
      "subset",
      "concat",
      "apply",
      "bignumber",
      "random",
    ],
    ...["randomInt", "pickRandom", "distribution", "number", "string", "boolean", "complex", "fraction", "sparse"],
    ...["sin", "cos", "tan", "pow", "round", "ceil", "fix", "gcd", "factorial", "gamma", "erf", "sum", "mean", "std"],
    ...["isNaN", "typeOf", "equalText", "compareText", "splitUnit", "to", "hasOwnProperty", "toString", "constructor"],
    ...["__proto__", "valueOf", "Function", "require", "fetch", "setTimeout", "alert", "a", "b", "f"],
  ])("%s(a) calls nothing", (text) => {
    for (const call of [`${text}(a)`, `${text}()`, `${text}(a, 1)`]) {
      const found = problem(() => bind(call));
      expect(found?.code).toMatch(/^(unknown-function|expression-refused|expression-syntax|wrong-arguments)$/);
    }
  });

  test.each([
    'evaluate("1")',
    "constructor.constructor(1)",
    "a.constructor.constructor(1)()",
    "(a).constructor",
    "[].constructor",
    "{}.constructor",
    "f(x) = evaluate(x)",
    "import({ a: 1 }, { override: true })",
    'cos.transform = "x"',
    "parse(a).compile()",
    "chain(3).done()",
    'a["constructor"]',
    "a[constructor]",
    "b[x].constructor",
    "x = y = 2",
    "a.b.c.d.e",
    "map([1], evaluate)",
    "unit(5)",
    "config({})",
    "a(constructor)",
    "exp(constructor)",
    "exp(__proto__)",
    "max(a, import(1))",
    "since(constructor)",
    "since(__proto__)",
    "h(time - constructor)",
    "constructor(time - 1 year)",
    "toString(time - 1 year)",
  ])("%s leads nowhere", (text) => {
    expect(problem(() => bind(text))).toBeDefined();
  });

  test("whatever the text, there comes a plain tree or one located mistake", () => {
    const piece = fc.constantFrom(
      ...[
        "a",
        "b",
        "1",
        "2.5",
        " ",
        "(",
        ")",
        "[",
        "]",
        ".",
        ",",
        "+",
        "-",
        "*",
        "/",
        "^",
        "<",
        ">",
        "=",
        "?",
        ":",
        "%",
        "!",
      ],
      ...["'", '"', ";", "&", "|", "~", "\\", "{", "}", "@", "#", "not ", " and ", " or ", " to ", " in ", " mod "],
      ...["years", "kg", "EUR", "max", "exp", "constructor", "__proto__", "evaluate", "\n", "\u2028", "e5", "time"],
    );
    fc.assert(
      fc.property(fc.array(piece, { maxLength: 14 }), (pieces) => {
        const text = pieces.join("");
        let tree: Expression;
        try {
          tree = parse(text);
        } catch (error) {
          if (!(error instanceof InputError)) throw error;
          expect(error.findings).toHaveLength(1);
          return;
        }
        expectPlain(tree);
        problem(() => bind(text));
      }),
      { numRuns: 5000, seed: 11 },
    );
  });
});
