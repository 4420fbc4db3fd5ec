import type { Input, Program } from "../compile/program.ts";
import type { Place } from "../errors.ts";
import type { MoneyWay } from "../evidence/money.ts";
import type { Component, Reported } from "../evidence/reported.ts";
import { pow } from "../numerics/pow.ts";
import { dimensionText, isNone } from "../schema/dimension.ts";
import { placeIn } from "../schema/document.ts";
import type { Source } from "../schema/evidence.ts";
import type { InputDeclaration } from "../schema/model.ts";
import type { Scenario } from "../schema/scenario.ts";
import type { AppliedJurisdiction } from "../schema/with-jurisdiction.ts";
import { isInvented } from "./cautions.ts";
import { type RegisterFit, registerFit } from "./register-fit.ts";

/** One scalar value of an input. */
export interface RegisterComponent {
  /** `input[strategy][cell]`. */
  readonly key: string;
  readonly strategy: string | null;
  readonly cell: string | null;
  /** Base value in the input's unit; of a choice the index of what is most likely. */
  readonly base: number;
  /** Where it is reported in other money than the scenario's: the value there and the conversion. */
  readonly money: (MoneyWay & { readonly reported: number }) | null;
  readonly form: Reported["form"];
  readonly source: Source;
  readonly why: string | null;
  readonly invented: boolean;
  /** File, line and column of the evidence; its path is the one under which changes replace it. */
  readonly origin: Place;
}

/** An input of the model with the scenario's evidence for it. */
export interface RegisterInput {
  readonly name: string;
  readonly label: string;
  readonly kind: Input["kind"];
  /** Unit of the base values: years, the scenario's currency, kg, m; empty for a bare number. */
  readonly unit: string;
  readonly byStrategy: boolean;
  readonly cells: readonly string[] | null;
  readonly choices: readonly string[] | null;
  /** True where the cells sum to 1. */
  readonly sums: boolean;
  /** As the model declares it; null for the variants of a formula, whose weights stand under `alternatives`. */
  readonly declaration: InputDeclaration | null;
  /** The evidence as the scenario gives it. */
  readonly evidence: unknown;
  readonly origin: Place;
  readonly components: readonly RegisterComponent[];
}

/** What an effective scenario holds, with the origin of every input value. */
export interface Register {
  readonly id: string;
  readonly about: string | null;
  readonly model: { readonly id: string; readonly about: string | null; readonly file: string };
  readonly currency: string;
  /** The stored jurisdiction that the scenario names, and which of its parts the scenario takes from it. */
  readonly jurisdiction: AppliedJurisdiction | null;
  readonly strategies: readonly {
    readonly id: string;
    readonly label: string;
    readonly called: string;
    readonly steps: readonly string[];
    readonly compared: boolean;
    readonly reference: boolean;
  }[];
  readonly groups: readonly {
    readonly id: string;
    readonly label: string;
    readonly share: number;
    readonly attributes: Readonly<Record<string, string | number>>;
  }[];
  readonly inputs: readonly RegisterInput[];
  /** Courses fitted to reported points. */
  readonly fits: readonly RegisterFit[];
  readonly tables: readonly {
    readonly name: string;
    readonly source: Source | null;
    readonly money: MoneyWay | null;
    readonly origin: Place;
  }[];
  /** The scenario with everything it extends merged in. */
  readonly effective: Scenario;
}

/** The register of a scenario, inputs in the model's order. */
export function register(program: Program): Register {
  const { scenario, model, analysis } = program;
  const attributes = [...program.scope.attributes.values()];
  return {
    id: scenario.data.scenario,
    about: scenario.data.about ?? null,
    model: { id: model.data.model, about: model.data.about ?? null, file: model.root.file },
    currency: analysis.currency,
    jurisdiction: program.jurisdiction,
    strategies: program.strategies.map(({ index, id, label, called, steps }) => ({
      id,
      label,
      called,
      steps,
      compared: analysis.compare.includes(index),
      reference: analysis.reference === index,
    })),
    groups: program.groups.map(({ id, label, share, attributes: values }) => ({
      id,
      label,
      share,
      attributes: Object.fromEntries(
        attributes.map((attribute, i) => [attribute.name, attribute.levels?.[values[i]!] ?? values[i]!]),
      ),
    })),
    inputs: program.inputs.map((input) => registerInput(program, input)),
    fits: program.fits.map(registerFit),
    tables: program.tables.map(({ name, money }) => ({
      name,
      source: scenario.data.tables?.[name]?.source ?? null,
      money,
      origin: placeIn(scenario, ["tables", name], true),
    })),
    effective: scenario.data,
  };
}

function registerInput(program: Program, input: Input): RegisterInput {
  const { scenario, model, analysis } = program;
  const { name, label, kind, byStrategy, cells, choices, sums } = input;
  const declaration = model.data.inputs?.[name] ?? null;
  const under = declaration === null ? "alternatives" : "inputs";
  const unit = isNone(input.type.dimension) ? "" : dimensionText(input.type.dimension);
  return {
    name,
    label,
    kind,
    unit: unit.replace("money", analysis.currency),
    byStrategy,
    cells,
    choices,
    sums,
    declaration,
    evidence: scenario.data[under]?.[name] ?? null,
    origin: placeIn(scenario, [under, name], true),
    components: program.components
      .filter((component) => component.input === input.index)
      .map((component) => registerComponent(program, input, component)),
  };
}

/** The base value in the money it is reported in, to 12 digits: what dividing by the factor leaves behind them is rounding. */
export function reportedBase(input: Input, { base, money }: Component): number {
  const [exponent] = input.type.dimension;
  return Number((base / pow(money?.factor ?? 1, exponent)).toPrecision(12));
}

function registerComponent(program: Program, input: Input, component: Component): RegisterComponent {
  const { key, base, reported, source, why, place } = component;
  return {
    key,
    strategy: component.strategy === null ? null : program.strategies[component.strategy]!.id,
    cell: component.cell === null ? null : (input.cells?.[component.cell] ?? null),
    base,
    money: component.money === null ? null : { ...component.money, reported: reportedBase(input, component) },
    form: reported.form,
    source,
    why,
    invented: isInvented(source),
    // the place is that of the form's key, which is the last step of its path
    origin: { ...place, path: place.path.split(".").slice(0, -1).join(".") },
  };
}
