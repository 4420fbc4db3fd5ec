import type { Place } from "../errors.ts";
import { type Dimension, none } from "../schema/dimension.ts";
import { placeIn } from "../schema/document.ts";
import type { Evidence, evidenceForms } from "../schema/evidence.ts";
import type { Step } from "../schema/located.ts";
import { nearestNames } from "../schema/nearest.ts";
import { noUnit } from "../schema/unit.ts";
import { fittedValue } from "./fitted-value.ts";
import { inRange, rangeText } from "./range.ts";
import { bareIn, type Expected, quantityIn } from "./read-quantity.ts";
import type { Reported } from "./reported.ts";
import type { FormContext } from "./shape.ts";

type Form = Exclude<(typeof evidenceForms)[number], "by" | "each">;

/** One cell of an entry in its reported form, or undefined with a finding. */
export function readForm(
  entry: Evidence,
  form: (typeof evidenceForms)[number],
  given: FormContext,
): Reported | undefined {
  const { shape, cell, expected, findings, at, context } = given;
  const placeOf = (...steps: readonly Step[]): Place => placeIn(context.scenario, [...at, ...steps]);
  const invalid = (what: string, instead: string, ...steps: readonly Step[]): undefined => {
    findings.add(placeOf(...steps), "evidence-invalid", what, instead);
    return undefined;
  };
  const number = (value: string | number | undefined, ...steps: readonly Step[]): number | undefined => {
    if (value === undefined) {
      findings.add(placeOf(...steps.slice(0, -1)), "missing-key", String(steps.at(-1)));
      return undefined;
    }
    return quantityIn(value, expected, placeOf(...steps), findings);
  };
  // numbers beside the value itself, such as a level, are not in the unit of `in`
  const { currency, cycleYears } = expected;
  const itsOwn = (dimension: Dimension): Expected => ({ dimension, currency, cycleYears });
  const ranged = (value: number | undefined, ...steps: readonly Step[]): number | undefined => {
    if (value === undefined) return undefined;
    const vague = shape.kind === "utility" && shape.perDimension !== undefined;
    if (vague || inRange(shape.kind, value)) return value;
    findings.add(placeOf(...steps), "out-of-range", shape.name, String(value), rangeText(shape.kind));
    return undefined;
  };
  const cellName = cell === null ? undefined : shape.cells?.[cell];
  const read: { readonly [key in Form]: () => Reported | undefined } = {
    fixed() {
      const { fixed } = entry;
      if (shape.choices !== null) {
        const index = typeof fixed === "object" ? -1 : shape.choices.indexOf(String(fixed));
        if (index >= 0) return { form: "fixed", value: index };
        findings.add(
          placeOf("fixed"),
          "unknown-reference",
          "choice",
          String(fixed),
          nearestNames(String(fixed), shape.choices),
          shape.choices,
        );
        return undefined;
      }
      if (typeof fixed === "object") {
        if (cellName === undefined)
          return invalid("a map of values for an input without cells", "give one value", "fixed");
        for (const key of Object.keys(fixed)) {
          if (!shape.cells?.includes(key)) {
            findings.add(
              placeIn(context.scenario, [...at, "fixed", key], true),
              "unknown-reference",
              "cell",
              key,
              nearestNames(key, shape.cells ?? []),
              shape.cells ?? [],
            );
          }
        }
        const value = ranged(number(fixed[cellName], "fixed", cellName), "fixed", cellName);
        return value === undefined ? undefined : { form: "fixed", value };
      }
      const value = ranged(number(fixed, "fixed"), "fixed");
      return value === undefined ? undefined : { form: "fixed", value };
    },
    observed() {
      const observed = entry.observed ?? {};
      if (observed.counts !== undefined) return counts(observed.counts);
      if (observed.events !== undefined) {
        const { events } = observed;
        if (!(events >= 0))
          return invalid(`a negative number of events: ${events}`, "give 0 or more", "observed", "events");
        if (observed.person_time !== undefined) {
          if (shape.kind !== "rate")
            return invalid(
              `events over person-time for a ${shape.kind}`,
              "declare a rate, or give events and of",
              "observed",
            );
          const years = quantityIn(
            observed.person_time,
            itsOwn([0, 1, 0, 0, 0, 0]),
            placeOf("observed", "person_time"),
            findings,
          );
          if (years === undefined) return undefined;
          return years > 0
            ? { form: "rate", events, years }
            : invalid("no person-time", "give more than 0", "observed", "person_time");
        }
        if (shape.kind !== "probability" && shape.kind !== "share")
          return invalid(`events of a number for a ${shape.kind}`, "declare a probability or a share", "observed");
        const { of } = observed;
        if (of === undefined)
          return invalid("events without a denominator", "add of, or person_time for a rate", "observed");
        if (!(of > 0) || events > of)
          return invalid(`${events} events of ${of}`, "let events be at most of, and of more than 0", "observed");
        return { form: "share", events, of };
      }
      if (observed.mean === undefined)
        return invalid(
          "an observation without events, counts or mean",
          "give events and of, counts, or mean, sd and n",
          "observed",
        );
      const mean = ranged(number(observed.mean, "observed", "mean"), "observed", "mean");
      const sd = number(observed.sd, "observed", "sd");
      const { n } = observed;
      if (n === undefined) return invalid("a mean without n", "add n, or give mean and se", "observed");
      if (mean === undefined || sd === undefined) return undefined;
      const least = entry.small === "t" ? 4 : 2;
      if (!(n >= least)) return invalid(`n of ${n}`, `give at least ${least}`, "observed", "n");
      if (!(sd >= 0)) return invalid(`a negative sd: ${sd}`, "give 0 or more", "observed", "sd");
      return spread(mean, sd / Math.sqrt(n), n, "observed");
    },
    mean() {
      const mean = ranged(number(entry.mean, "mean"), "mean");
      const se = number(entry.se, "se");
      if (mean === undefined || se === undefined) return undefined;
      if (!(se >= 0)) return invalid(`a negative se: ${se}`, "give 0 or more", "se");
      return spread(mean, se, null, "se");
    },
    estimate() {
      const estimate = ranged(number(entry.estimate, "estimate"), "estimate");
      if (entry.interval === undefined)
        return invalid("an estimate without an interval", "add interval: [low, high] and level: 95%", "estimate");
      const low = ranged(number(entry.interval[0], "interval", 0), "interval", 0);
      const high = ranged(number(entry.interval[1], "interval", 1), "interval", 1);
      const level = quantityIn(entry.level ?? 0.95, itsOwn(none), placeOf("level"), findings);
      if (estimate === undefined || low === undefined || high === undefined || level === undefined) return undefined;
      if (!(low < high) || estimate < low || estimate > high)
        return invalid(
          "the interval does not hold the estimate between rising bounds",
          "give low below estimate below high",
          "interval",
        );
      if (!(level > 0 && level < 1)) return invalid(`a level of ${level}`, "give a share such as 95%", "level");
      return { form: "estimate", estimate, low, high, level };
    },
    quantiles() {
      const pairs: (readonly [number, number])[] = [];
      for (const [key, value] of Object.entries(entry.quantiles ?? {})) {
        const p = quantityIn(key, itsOwn(none), placeOf("quantiles", key), findings);
        const x = ranged(number(value, "quantiles", key), "quantiles", key);
        if (p === undefined || x === undefined) return undefined;
        if (!(p > 0 && p < 1)) return invalid(`a quantile at ${key}`, "give levels between 0 and 1", "quantiles", key);
        pairs.push([p, x]);
      }
      pairs.sort((a, b) => a[0] - b[0]);
      if (pairs.length < 2) return invalid("fewer than two quantiles", "give at least two", "quantiles");
      if (pairs.some(([, x], i) => i > 0 && !(x > pairs[i - 1]![1])))
        return invalid("quantiles that do not rise", "let values rise with their levels", "quantiles");
      return { form: "quantiles", at: pairs.map(([p]) => p), values: pairs.map(([, x]) => x) };
    },
    draws() {
      const name = entry.column ?? `${shape.name}${cellName === undefined ? "" : `.${cellName}`}`;
      try {
        const { bare = noUnit } = expected;
        const column = context.column(entry.draws ?? "", name, placeOf("draws"));
        const values = column.flatMap((x) => bareIn(x, bare, expected, placeOf("draws"), findings) ?? []);
        return { form: "draws", file: entry.draws ?? "", values };
      } catch (error) {
        findings.catch(error);
        return undefined;
      }
    },
    chosen() {
      if (shape.choices === null)
        return invalid(`weights of choices for a ${shape.kind}`, "declare a choice, or give a value", "chosen");
      return weights(entry.chosen ?? {}, shape.choices);
    },
    fitted: () => fittedValue(entry.fitted ?? "", given),
    same_as() {
      const words = (entry.same_as ?? "").split(".");
      // beside other strategies of the same input, a strategy's name alone is enough
      const given =
        words.length === 1 && shape.byStrategy && context.strategies.includes(words[0]!)
          ? [shape.name, ...words]
          : words;
      const key = (parts: readonly string[]): string => `${given[0]}${parts.map((part) => `[${part}]`).join("")}`;
      const parts = given.slice(1);
      // a cell named in full is that cell; otherwise the cell of the same name, or the one value of an input without cells
      const named = parts.some((part) => !context.strategies.includes(part));
      if (cellName === undefined || named) return { form: "same", as: key(parts) };
      return { form: "same", as: key([...parts, cellName]), orElse: key(parts) };
    },
  };
  return read[form as Form]();

  function spread(mean: number, se: number, n: number | null, ...steps: readonly Step[]): Reported | undefined {
    if (
      (given.options.family ?? "beta") === "beta" &&
      (shape.kind === "probability" || shape.kind === "share") &&
      se > 0 &&
      se * se >= mean * (1 - mean)
    ) {
      return invalid(
        `a standard error of ${se} is too large for a share of ${mean}`,
        "its square must lie below mean times one minus mean",
        ...steps,
      );
    }
    return { form: "mean", mean, se, n };
  }

  function counts(found: Readonly<Record<string, number>>): Reported | undefined {
    if (shape.cells === null || cell === null)
      return invalid("counts for an input without cells", "declare the input over cells", "observed", "counts");
    if (!shape.sums)
      return invalid(
        "counts for cells that do not sum to 1",
        "declare a probability or share over cells",
        "observed",
        "counts",
      );
    for (const [key, count] of Object.entries(found)) {
      if (!shape.cells.includes(key)) {
        findings.add(
          placeIn(context.scenario, [...at, "observed", "counts", key], true),
          "unknown-reference",
          "cell",
          key,
          nearestNames(key, shape.cells),
          shape.cells,
        );
        return undefined;
      }
      if (!(count >= 0)) return invalid(`a negative count: ${count}`, "give 0 or more", "observed", "counts", key);
    }
    const list = shape.cells.map((name) => found[name] ?? 0);
    if (!list.some((count) => count > 0))
      return invalid("counts that are all 0", "give at least one count above 0", "observed", "counts");
    const zero = Object.keys(found).find((key) => found[key] === 0);
    if (entry.prior === "none" && zero !== undefined) {
      const instead = "leave the cell out if it cannot happen, or drop prior: none";
      return invalid("a count of 0 without a prior", instead, "observed", "counts", zero);
    }
    return { form: "counts", counts: list, listed: shape.cells.map((name) => found[name] !== undefined), cell };
  }

  function weights(found: Readonly<Record<string, number>>, choices: readonly string[]): Reported | undefined {
    // the weights of a formula's variants stand directly under its name
    const under = at[0] === "alternatives" ? [] : ["chosen"];
    for (const [key, weight] of Object.entries(found)) {
      if (!choices.includes(key)) {
        findings.add(
          placeIn(context.scenario, [...at, ...under, key], true),
          "unknown-reference",
          "choice",
          key,
          nearestNames(key, choices),
          choices,
        );
        return undefined;
      }
      if (!(weight >= 0)) return invalid(`a negative weight: ${weight}`, "give 0 or more", ...under, key);
    }
    const list = choices.map((name) => found[name] ?? 0);
    const sum = list.reduce((total, weight) => total + weight, 0);
    if (Math.abs(sum - 1) > 1e-9) {
      findings.add(placeOf(...under), "shares-sum", shape.name, String(Number(sum.toPrecision(12))));
      return undefined;
    }
    return { form: "chosen", weights: list };
  }
}
