import { sameDimension, time } from "../schema/dimension.ts";
import { expressionAt } from "../schema/document.ts";
import type { Branch as BranchDeclaration, EventCase } from "../schema/model.ts";
import { nearestNames } from "../schema/nearest.ts";
import { readBranches } from "./branches.ts";
import { boundAt, type Context, modelPlace } from "./context.ts";
import type { Branch, EventForm, Factor, Match, Move, TimeGrid, Timing } from "./program.ts";
import { readDuration } from "./settings.ts";
import { combinedMove, movesOf } from "./states.ts";
import { bothMatch, readMatch, readMove, wholeCycles } from "./structure.ts";
import { isRate, typeText } from "./type.ts";

/** All forms of all events, and the paths by which events and branches are addressed. */
export interface ReadEvents {
  readonly events: readonly EventForm[];
  readonly paths: readonly string[];
  readonly labels: ReadonlyMap<string, string>;
}

const timings = ["at", "every", "rate", "crude", "chance", "ends", "after"] as const;

/** Reads the model's events. Mistakes go to the findings. */
export function readEvents(context: Context, factors: readonly Factor[], grid: TimeGrid): ReadEvents {
  const paths: string[] = [];
  const indices = new Map<string, number>();
  const pathIndex = (path: string): number => {
    const index = indices.get(path) ?? paths.push(path) - 1;
    indices.set(path, index);
    return index;
  };
  const labels = new Map<string, string>();
  const events: EventForm[] = [];
  for (const [event, [name, declared]] of Object.entries(context.model.data.events ?? {}).entries()) {
    if (declared.label !== undefined) labels.set(name, declared.label);
    if (!/^[a-z][a-z0-9_]*$/.test(name))
      context.findings.add(modelPlace(context, ["events", name], true), "invalid-name", name);
    const { cases, label: _, ...outer } = declared;
    const outerMatch = readMatch(outer.while, ["events", name, "while"], context);
    const outerPath = ["events", name];
    if (cases?.length === 0) context.findings.add(modelPlace(context, [...outerPath, "cases"]), "empty-list", "cases");
    if (cases === undefined) {
      events.push(readForm(event, name, outer, outerPath, () => outerPath, outerMatch));
      continue;
    }
    for (const [index, form] of cases.entries()) {
      const path = ["events", name, "cases", index];
      const merged: EventCase = { ...outer, ...form };
      const match = bothMatch(outerMatch, readMatch(form.while, [...path, "while"], context));
      const place = (key: string) => (key in form ? path : outerPath);
      events.push(readForm(event, name, merged, path, place, match));
    }
  }
  return { events, paths, labels };

  function readForm(
    event: number,
    name: string,
    form: EventCase,
    own: readonly (string | number)[],
    at: (key: keyof EventCase) => readonly (string | number)[],
    match: Match,
  ): EventForm {
    const timing = readTiming(name, form, own, at, match);
    const whole = withMoves(readBranch(name, form, own, at, timing), null);
    const strategies = strategyMask(form.strategies, [...at("strategies"), "strategies"], context);
    if (timing.when === "crude" && movesOf(whole).includes(null)) {
      const why = "a crude incidence is of people who leave: let every branch move them, or use rate or chance";
      context.findings.add(modelPlace(context, [...at("crude"), "crude"], true), "inconsistent-keys", ["crude"], why);
    }
    const said = (["rate", "crude", "at"] as const).find((key) => form[key] !== undefined);
    return {
      event,
      timing,
      strategies,
      match,
      root: whole,
      moves: movesAny(whole),
      source: expressionAt(context.model, said === undefined ? own : [...at(said), said]),
    };
  }

  function readBranch(
    name: string,
    form: EventCase,
    own: readonly (string | number)[],
    at: (key: keyof EventCase) => readonly (string | number)[],
    timing: Timing,
  ): Branch {
    const path = pathIndex(name);
    const isChance = timing.when === "chance";
    const chance = form.chance === undefined ? null : boundAt(context, [...at("chance"), "chance"]);
    const read = readBranches(context, grid, pathIndex, labels);
    return {
      path,
      chance: chance === null ? null : read.chance(chance, isChance ? "cycle" : "case"),
      rest: false,
      move: readMove(form.then, [...at("then"), "then"], context),
      uses: read.uses(form.uses, [...at("uses"), "uses"]),
      children: read.children(
        form.one_of as Readonly<Record<string, BranchDeclaration>> | undefined,
        name,
        [...at("one_of"), "one_of"],
        isChance && chance === null ? "cycle" : "case",
      ),
      source: chance?.source ?? expressionAt(context.model, own),
    };
  }

  function readTiming(
    name: string,
    form: EventCase,
    own: readonly (string | number)[],
    at: (key: keyof EventCase) => readonly (string | number)[],
    match: Match,
  ): Timing {
    const { findings } = context;
    const place = modelPlace(context, own, true);
    const used = timings.filter((key) => form[key] !== undefined);
    const [first, second] = used.filter((key) => key !== "chance");
    if (second !== undefined) findings.add(place, "inconsistent-keys", [first!, second], "an event happens in one way");
    if (used.includes("chance") && (first === "rate" || first === "crude"))
      findings.add(place, "inconsistent-keys", [first, "chance"], "multiply the rate, or branch with one_of");
    for (const key of ["from", "until"] as const) {
      if (form[key] !== undefined && form.every === undefined)
        findings.add(place, "inconsistent-keys", [key], "from and until go with every");
    }
    if (form.shares !== undefined && !Array.isArray(form.at))
      findings.add(place, "inconsistent-keys", ["shares"], "shares go with a list of instants under at");
    const duration = (text: string | number, key: keyof EventCase, ...steps: readonly string[]): number => {
      const where = modelPlace(context, [...at(key), key, ...steps]);
      const years = readDuration(text, grid.cycleYears, where, findings);
      try {
        return wholeCycles(years, grid, key, where);
      } catch (error) {
        findings.catch(error);
        return 1;
      }
    };
    switch (first) {
      case "at": {
        if (Array.isArray(form.at) && form.at.length === 0)
          findings.add(modelPlace(context, [...at("at"), "at"]), "empty-list", "at");
        const list = Array.isArray(form.at) ? form.at.map((_, i) => [...at("at"), "at", i]) : [[...at("at"), "at"]];
        const bounds = list.map((path) => {
          const bound = boundAt(context, path);
          if (!bound.failed && !bound.type.zero && !sameDimension(bound.type.dimension, time))
            findings.add(bound.source.place, "unit-mismatch", typeText(bound.type), "an instant, such as 6 months");
          return bound;
        });
        return {
          when: "instant",
          at: bounds.map(({ node }) => node),
          sources: bounds.map(({ source }) => source),
          every: null,
          from: 0,
          until: null,
          shares: sharesInput(form, at, list.length),
        };
      }
      case "every": {
        const every = duration(form.every!, "every");
        if (every < 1) findings.add(place, "out-of-range", "every", String(form.every), "one cycle or more");
        return {
          when: "instant",
          at: [],
          sources: [],
          every: Math.max(1, every),
          shares: null,
          from: form.from === undefined ? 0 : duration(form.from, "from"),
          until: form.until === undefined ? null : duration(form.until, "until"),
        };
      }
      case "rate": {
        const rate = boundAt(context, [...at("rate"), "rate"]);
        if (!rate.failed && !isRate(rate.type) && !rate.type.zero)
          findings.add(
            rate.source.place,
            "unit-mismatch",
            typeText(rate.type),
            "a rate per time; take hazard_of of a probability",
          );
        return { when: "rate", rate: rate.node };
      }
      case "crude": {
        const p = boundAt(context, [...at("crude"), "crude"]);
        if (p.failed) return { when: "crude", incidence: p.node, years: 1 };
        if (p.type.kind !== "probability" || p.type.period === undefined)
          findings.add(p.source.place, "unit-mismatch", typeText(p.type), "a probability with a period");
        return { when: "crude", incidence: p.node, years: p.type.period ?? 1 };
      }
      case "ends":
      case "after": {
        const key = first as "ends" | "after";
        const entries = Object.entries(form[key] ?? {});
        const [entry] = entries;
        if (entry === undefined || entries.length > 1) {
          findings.add(
            modelPlace(context, [...at(key), key], true),
            "wrong-shape",
            `${entries.length} factors`,
            "one factor",
          );
          return { when: "chance" };
        }
        const [factorName, given] = entry;
        const factor = factors.find((one) => one.name === factorName);
        if (factor === undefined) {
          const known = factors.map((one) => one.name);
          findings.add(
            modelPlace(context, [...at(key), key, factorName], true),
            "unknown-reference",
            "factor",
            factorName,
            nearestNames(factorName, known),
            known,
          );
          return { when: "chance" };
        }
        if (key === "ends") {
          const names = factor.levels.map((level) => level.name);
          const level = names.indexOf(String(given));
          const where = modelPlace(context, [...at("ends"), "ends", factorName]);
          if (level < 0)
            findings.add(
              where,
              "unknown-reference",
              `level of ${factorName}`,
              String(given),
              nearestNames(String(given), names),
              names,
            );
          else if (factor.levels[level]!.lastsNode === null) findings.add(where, "no-clock", factorName, String(given));
          return { when: "ends", factor: factor.index, level: Math.max(0, level) };
        }
        const cycles = duration(given as string | number, "after", factorName);
        const admitted = match[factor.index];
        for (const [i, level] of factor.levels.entries()) {
          if (admitted !== null && admitted !== undefined && !admitted[i]) continue;
          if (level.lastsNode === null && level.cap < cycles)
            findings.add(
              modelPlace(context, [...at("after"), "after", factorName]),
              "no-clock",
              factorName,
              level.name,
            );
        }
        return { when: "after", factor: factor.index, cycles };
      }
      default:
        if (form.chance === undefined && form.one_of === undefined) findings.add(place, "no-timing", name);
        return { when: "chance" };
    }
  }

  function sharesInput(
    form: EventCase,
    at: (key: keyof EventCase) => readonly (string | number)[],
    instants: number,
  ): number | null {
    if (form.shares === undefined) return null;
    const place = modelPlace(context, [...at("shares"), "shares"]);
    const symbol = context.scope.inputs.get(form.shares);
    if (symbol === undefined) {
      const known = [...context.scope.inputs.keys()];
      context.findings.add(place, "unknown-reference", "input", form.shares, nearestNames(form.shares, known), []);
      return null;
    }
    if (symbol.cells?.length !== instants) {
      context.findings.add(place, "missing-cells", `shares of ${instants} instants`, symbol.cells ?? [form.shares]);
      return null;
    }
    return symbol.index;
  }
}

/** The branch with every move in it complete: what a child sets on top of what its parents set. */
function withMoves(branch: Branch, above: Move | null): Branch {
  const move = combinedMove(above, branch.move);
  return { ...branch, move, children: branch.children.map((child) => withMoves(child, move)) };
}

/** True where a branch or one below it moves people. */
export function movesAny(branch: Branch): boolean {
  return branch.move !== null || branch.children.some(movesAny);
}

/** Which strategies a list names; all without a list. Mistakes go to the findings. */
export function strategyMask(
  list: readonly string[] | undefined,
  path: readonly (string | number)[],
  context: Context,
): readonly boolean[] {
  const known = context.scope.strategies;
  if (list === undefined) return known.map(() => true);
  if (list.length === 0) context.findings.add(modelPlace(context, path), "empty-list", "strategies");
  for (const [i, name] of list.entries()) {
    if (!known.includes(name))
      context.findings.add(
        modelPlace(context, [...path, i]),
        "unknown-reference",
        "strategy",
        name,
        nearestNames(name, known),
        known,
      );
  }
  return known.map((name) => list.includes(name));
}
