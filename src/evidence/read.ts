import type { Place } from "../errors.ts";
import type { Dimension } from "../schema/dimension.ts";
import { placeIn } from "../schema/document.ts";
import { type Evidence, evidenceForms, type Source } from "../schema/evidence.ts";
import type { Step } from "../schema/located.ts";
import { nearestNames } from "../schema/nearest.ts";
import { noUnit } from "../schema/unit.ts";
import { baseValue, converted } from "./base-value.ts";
import type { MoneyWay } from "./money.ts";
import { readForm } from "./read-form.ts";
import { bareUnit, type Expected, quantityIn } from "./read-quantity.ts";
import type { Component, Conversion, DistributionOptions } from "./reported.ts";
import type { EvidenceContext, InputShape } from "./shape.ts";

/** Everything an entry inherits from the entries around it. */
interface Inherited {
  readonly source?: Source;
  readonly why?: string;
  readonly note?: string;
  readonly in?: string;
  readonly price_year?: number;
}

const anywhere: ReadonlySet<string> = new Set(["source", "why", "note", "in", "price_year"]);

// what may stand beside each form; anything else would be read by nobody
const beside: Readonly<Record<(typeof evidenceForms)[number], readonly string[]>> = {
  fixed: ["per"],
  observed: ["prior", "small", "per", "range", "distribution"],
  mean: ["se", "per", "range", "distribution"],
  estimate: ["interval", "level", "center", "per", "range", "distribution"],
  quantiles: ["per", "range", "distribution"],
  draws: ["column", "per"],
  chosen: [],
  same_as: [],
  fitted: ["range"],
  by: [],
  each: [],
};

/** The scalar components of one input, in order of strategies and cells; mistakes go to the context's findings. */
export function readInput(
  shape: InputShape,
  evidence: Evidence,
  path: readonly Step[],
  context: EvidenceContext,
): readonly Component[] {
  const components: Component[] = [];
  read(evidence, path, { strategy: null, cell: null }, {});
  return components;

  function read(
    entry: Evidence,
    at: readonly Step[],
    spot: { strategy: number | null; cell: number | null },
    above: Inherited,
  ): void {
    const { findings } = context;
    const place = placeIn(context.scenario, at, true);
    const forms = evidenceForms.filter((form) => entry[form] !== undefined);
    const [form] = forms;
    if (form === undefined || forms.length > 1) {
      findings.add(
        place,
        "evidence-form",
        forms.length === 0 ? "no form" : `${forms.length} forms: ${forms.join(", ")}`,
      );
      return;
    }
    for (const key of Object.keys(entry) as (keyof Evidence)[]) {
      if (entry[key] === undefined || key === form || anywhere.has(key) || beside[form].includes(key)) continue;
      const why =
        form === "by" || form === "each" ? `give ${key} beside each value` : `a value given as ${form} has no ${key}`;
      findings.add(placeIn(context.scenario, [...at, key], true), "inconsistent-keys", [form, key], why);
    }
    const inherited: Inherited = { ...above, ...picked(entry) };
    if (form === "by" || form === "each") {
      const names = form === "by" ? (shape.byStrategy ? context.strategies : null) : shape.cells;
      const key = form === "by" ? "strategy" : "cell";
      if (names === null || spot[key] !== null) {
        const why =
          form === "by"
            ? "the model does not give this input by strategy"
            : "the model does not give this input over cells";
        findings.add(placeIn(context.scenario, [...at, form], true), "inconsistent-keys", [form, shape.name], why);
        return;
      }
      for (const [name, inner] of Object.entries(entry[form] ?? {})) {
        const index = names.indexOf(name);
        const innerPath = [...at, form, name];
        if (index < 0) {
          findings.add(
            placeIn(context.scenario, innerPath, true),
            "unknown-reference",
            key,
            name,
            nearestNames(name, names),
            names,
          );
        } else read(inner, innerPath, { ...spot, [key]: index }, inherited);
      }
      return;
    }
    if (shape.byStrategy && spot.strategy === null) {
      // one entry for all strategies: the same number with the same draw
      for (const strategy of context.strategies.keys())
        cells(entry, form, at, { ...spot, strategy }, inherited, strategy > 0);
      return;
    }
    cells(entry, form, at, spot, inherited, false);
  }

  function cells(
    entry: Evidence,
    form: (typeof evidenceForms)[number],
    at: readonly Step[],
    spot: { strategy: number | null; cell: number | null },
    inherited: Inherited,
    repeat: boolean,
  ): void {
    const { findings } = context;
    const place = placeIn(context.scenario, [...at, form], true);
    const source = inherited.source ?? context.fits.get(entry.fitted?.split(".")[0] ?? "")?.source;
    // a fitted course that could not be estimated has been reported where it stands
    if (source === undefined && form !== "fitted")
      findings.add(placeIn(context.scenario, at, true), "source-missing", shape.name);
    if (form === "fixed" && inherited.why === undefined)
      findings.add(placeIn(context.scenario, at, true), "missing-key", "why");
    const ways = new Map<string, MoneyWay>();
    const expected = expectation(inherited, at, ways);
    if (expected === undefined) return;
    const conversion = conversionOf(entry, at);
    const options = optionsOf(entry, expected, at);
    const list = shape.cells === null || spot.cell !== null ? [spot.cell] : [...shape.cells.keys()];
    for (const cell of list) {
      const key = componentKey(shape, context.strategies, spot.strategy, cell);
      const first = repeat ? componentKey(shape, context.strategies, 0, cell) : undefined;
      const reported =
        first !== undefined
          ? ({ form: "same", as: first } as const)
          : readForm(entry, form, { shape, cell, expected, options, findings, at, context });
      if (reported === undefined) continue;
      const base = converted(guardedBase(reported, options, place), conversion);
      const [money = null, other] = ways.values();
      if (other !== undefined)
        findings.add(place, "evidence-invalid", `${shape.name} in two currencies`, "report one value in one money");
      components.push({
        key,
        input: shape.index,
        strategy: spot.strategy,
        cell,
        reported,
        conversion,
        money,
        options,
        base,
        source: source ?? "",
        why: inherited.why ?? inherited.note ?? null,
        place,
      });
    }
  }

  function guardedBase(reported: Component["reported"], options: DistributionOptions, place: Place): number {
    const base = baseValue(reported, shape.kind, options);
    if (reported.form !== "same" && !Number.isFinite(base)) {
      context.findings.add(
        place,
        "evidence-invalid",
        `the base value of ${shape.name} is not a finite number`,
        "check the numbers given",
      );
    }
    return base;
  }

  function expectation(inherited: Inherited, at: readonly Step[], ways: Map<string, MoneyWay>): Expected | undefined {
    const { money } = context;
    const expected: Expected = {
      dimension: shape.dimension,
      currency: money.currency,
      cycleYears: context.cycleYears,
      price: {
        money,
        ...(inherited.price_year === undefined ? {} : { year: inherited.price_year }),
        note: (way) => ways.set(way.from, way),
      },
    };
    if (inherited.price_year !== undefined && shape.dimension[0] === 0) {
      const why = "the model declares this input without money";
      const place = placeIn(context.scenario, [...at, "price_year"], true);
      context.findings.add(place, "inconsistent-keys", ["price_year", shape.name], why);
    }
    if (inherited.in === undefined) return shape.kind === "utility" ? { ...expected, bare: noUnit } : expected;
    const bare = bareUnit(inherited.in, expected, placeIn(context.scenario, [...at, "in"]), context.findings);
    return bare === undefined ? undefined : { ...expected, bare };
  }

  function conversionOf(entry: Evidence, at: readonly Step[]): Conversion {
    if (entry.per === undefined) return { how: "none" };
    const place = placeIn(context.scenario, [...at, "per"]);
    if (shape.period === undefined || (shape.kind === "probability") === (shape.perDimension !== undefined)) {
      context.findings.add(
        place,
        "inconsistent-keys",
        ["per", shape.name],
        "the model declares this input without a period or unit",
      );
      return { how: "none" };
    }
    const text = String(entry.per).trim();
    const dimension: Dimension = shape.perDimension ?? [0, 1, 0, 0, 0, 0];
    const size = quantityIn(
      /^[\d.+-]/.test(text) ? text : `1 ${text}`,
      { dimension, currency: context.money.currency, cycleYears: context.cycleYears },
      place,
      context.findings,
    );
    if (size === undefined) return { how: "none" };
    if (!(size > 0)) {
      context.findings.add(place, "out-of-range", "a period", text, "more than 0");
      return { how: "none" };
    }
    if (size === shape.period) return { how: "none" };
    const ratio = shape.period / size;
    return shape.kind === "probability" ? { how: "period", ratio } : { how: "power", exponent: ratio };
  }

  function optionsOf(entry: Evidence, expected: Expected, at: readonly Step[]): DistributionOptions {
    const bounds = entry.range?.map((bound, i) =>
      quantityIn(bound, expected, placeIn(context.scenario, [...at, "range", i]), context.findings),
    );
    const [low, high] = bounds ?? [];
    if (low !== undefined && high !== undefined && !(low < high)) {
      context.findings.add(
        placeIn(context.scenario, [...at, "range"]),
        "evidence-invalid",
        "the range does not rise",
        "give the lower bound first",
      );
    }
    return {
      ...(entry.prior === undefined ? {} : { prior: entry.prior }),
      ...(entry.small === undefined ? {} : { small: entry.small }),
      ...(entry.center === undefined ? {} : { center: entry.center }),
      ...(entry.distribution === undefined ? {} : { family: entry.distribution }),
      ...(low === undefined || high === undefined ? {} : { range: [low, high] as const }),
    };
  }
}

function picked(entry: Evidence): Inherited {
  return {
    ...(entry.source === undefined ? {} : { source: entry.source }),
    ...(entry.why === undefined ? {} : { why: entry.why }),
    ...(entry.note === undefined ? {} : { note: entry.note }),
    ...(entry.in === undefined ? {} : { in: entry.in }),
    ...(entry.price_year === undefined ? {} : { price_year: entry.price_year }),
  };
}

/** The key of a scalar input: `name`, `name[strategy]`, `name[cell]` or `name[strategy][cell]`. */
export function componentKey(
  shape: { readonly name: string; readonly cells: readonly string[] | null },
  strategies: readonly string[],
  strategy: number | null,
  cell: number | null,
): string {
  return `${shape.name}${strategy === null ? "" : `[${strategies[strategy]}]`}${cell === null ? "" : `[${shape.cells?.[cell]}]`}`;
}
