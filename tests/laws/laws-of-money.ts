import { bestAt, increments } from "../../src/analysis/increments.ts";
import { compareNetBenefit, highestNetBenefit } from "../../src/analysis/net-benefit.ts";
import { accountTotal, entriesOf, entryTotal } from "../../src/analysis/totals.ts";
import { constant } from "../../src/compile/bound.ts";
import type { Program } from "../../src/compile/program.ts";
import { compensatedSum } from "../../src/numerics/sum.ts";
import { demand, demandNear, demandSameBits } from "./demand.ts";
import { everywhere, type Law } from "./law.ts";
import { rerun, rerunFirst } from "./opened.ts";

/** A rate of 0 leaves every amount as it is. */
export const noDiscountingAtZero: Law = (one) => {
  const none = [{ afterYears: 0, rate: 0 }];
  const { program, row, traced } = one;
  const discount = { ...program.analysis.discount, costs: none, effects: none };
  const found = rerun({ ...program, analysis: { ...program.analysis, discount } }, row);
  for (const [k, groups] of found.entries()) {
    for (const [g, { raw, discounted }] of groups.entries()) {
      demandSameBits(discounted, raw, "amounts discounted at 0");
      demandSameBits(raw, traced[k]![g]!.raw, "undiscounted amounts");
    }
  }
};

/** Amounts too small for all their digits, which shares of people too small to matter leave behind, as 0. */
const normal = (list: Float64Array): Float64Array => list.map((value) => (Math.abs(value) < 1e-290 ? 0 : value));

/** Inputs and tables of money times 1/8 give 1/8 of every amount of money, and all else unchanged, bit for bit. */
export const moneyScales: Law = ({ program, row, traced }) => {
  const factor = 2 ** -3;
  const isMoney = (kind: string | undefined) => kind === "cost" || kind === "money";
  const scaled = row.map((value, i) =>
    isMoney(program.inputs[program.components[i]!.input]!.kind) ? value * factor : value,
  );
  const times = (list: Float64Array): Float64Array => list.map((value) => value * factor);
  const tables = program.tables.map((table) =>
    isMoney(program.model.data.tables?.[table.name]?.is)
      ? { ...table, y: table.y.map(times), slopes: table.slopes.map(times) }
      : table,
  );
  const T = program.grid.cycles;
  for (const [k, groups] of rerun({ ...program, tables }, scaled).entries()) {
    for (const [g, found] of groups.entries()) {
      const was = traced[k]![g]!;
      for (const key of ["membership", "events", "resources", "curves", "lifeYears"] as const)
        demandSameBits(found[key], was[key], key);
      for (const [e, entry] of program.entries.entries()) {
        const account = program.accounts[entry.account]!;
        for (const key of ["raw", "discounted"] as const) {
          const amounts = was[key].subarray(e * T, (e + 1) * T);
          const expected = account.isMoney ? times(amounts) : amounts;
          const scaledAmounts = found[key].subarray(e * T, (e + 1) * T);
          demandSameBits(normal(scaledAmounts), normal(expected), `${account.name}.${entry.line}`);
        }
      }
    }
  }
};

/** Accounts are the sums of their lines, and of what each bearer bears beside what nobody bears. */
export const linesSumToAccounts: Law = ({ program, results }) => {
  const bearers = [...new Set(program.entries.map(({ bearer }) => bearer))];
  const parts = bearers.filter((bearer) => bearer !== null).map((bearer) => ({ name: bearer, bearers: [bearer] }));
  const perspectives = [{ name: "everybody", bearers: null }, { name: "nobody", bearers: [] }, ...parts];
  const shared: Program = { ...program, analysis: { ...program.analysis, perspectives } };
  for (const { mixed } of results) {
    for (const account of program.accounts) {
      const total = (perspective: string) => accountTotal(shared, mixed, account.index, perspective);
      const entries = program.entries.flatMap((entry, e) => (entry.account === account.index ? [e] : []));
      const scale = entries.reduce((sum, e) => sum + mixed.absolute[e]!, 0);
      const lines = entries.reduce((sum, e) => sum + entryTotal(program, mixed, e), 0);
      demandNear(total("everybody"), lines, scale, `the lines of ${account.name}`);
      // what nobody bears stands in each perspective
      const common = total("nobody");
      const apart = parts.reduce((sum, { name }) => sum + total(name) - common, common);
      demandNear(apart, lines, scale, `the bearers of ${account.name}`);
      for (const { name } of program.analysis.perspectives) {
        const own = entriesOf(program, account.index, name).reduce((sum, e) => sum + entryTotal(program, mixed, e), 0);
        demandNear(accountTotal(program, mixed, account.index, name), own, scale, `${account.name}, ${name}`);
      }
    }
  }
};

/** Accounts that count add up what happened; years lived while alive are the life years. */
export const countsAreWhatHappened: Law = (one) => {
  const { program } = one;
  const T = program.grid.cycles;
  const sumOf = (list: Float64Array, row: number) => compensatedSum(list.subarray(row * T, (row + 1) * T));
  everywhere(one, (found, where) => {
    for (const [e, entry] of program.entries.entries()) {
      const account = program.accounts[entry.account]!;
      const { count } = program.model.data.accounts[account.name]!;
      if (count === undefined) continue;
      const paths = [count].flat().map((path) => program.paths.indexOf(path));
      const happened = paths.reduce((sum, path) => sum + sumOf(found.events, path), 0);
      demandNear(sumOf(found.raw, e), happened, Math.abs(happened), `account ${account.name}, ${where}`);
    }
    const lived = program.entries.findIndex(({ account }) => program.accounts[account]!.name === "life_years");
    const years = compensatedSum(found.lifeYears);
    demandNear(sumOf(found.raw, lived), years, years, `account life_years, ${where}`);
  });
};

/** At prices of 1 the cost of resources is their use. */
export const useTimesPriceIsCost: Law = ({ program, row }) => {
  const resources = program.resources.map((resource) => ({ ...resource, price: constant(1) }));
  const found = rerunFirst({ ...program, resources }, row);
  const T = program.grid.cycles;
  for (const e of program.entries.keys()) {
    const postings = program.postings.filter(({ entry }) => entry === e);
    if (postings.some(({ by }) => by !== "resource")) continue;
    for (let c = 0; c < T; c++) {
      const used = postings.map((posting) =>
        posting.by === "resource" ? found.resources[posting.resource * T + c]! : 0,
      );
      const all = used.reduce((sum, x) => sum + x, 0);
      demandNear(
        found.raw[e * T + c]!,
        all,
        Math.abs(all),
        `line ${program.entries[e]!.line} at prices of 1, cycle ${c}`,
      );
    }
  }
};

/** At any threshold the frontier names a strategy of the highest net benefit (any of the tied). */
export const frontierAnswersNetBenefit: Law = ({ program, results }) => {
  const { cost, effect } = program.analysis;
  const options = results.map(({ id, mixed }) => {
    return { id, cost: accountTotal(program, mixed, cost), effect: accountTotal(program, mixed, effect) };
  });
  const lines = increments(options);
  for (let k = 0; k < 200; k++) {
    const threshold = k === 0 ? 0 : 10 ** (k / 25 - 1);
    const best = highestNetBenefit(options, threshold);
    const answer = bestAt(lines, threshold);
    const lead = compareNetBenefit(threshold, best.cost, best.effect, answer.cost, answer.effect);
    demand(
      best.id === answer.id || lead === 0,
      () => `at ${threshold} ${best.id} is best, the frontier says ${answer.id}`,
    );
  }
};
