import { compile, type EvalFunction } from "mathjs";

// The reference workload with an expression library: every formula of a cycle is an expression, compiled once and
// evaluated each cycle; flows and sums are plain loops.

const formulas: readonly (readonly [string, string])[] = [
  ["bmi", "m < 6 ? bmi0 * (1 - L * m / 6) : bmi0 * (1 - L * exp(-r * (m - 6) / 12))"],
  ["hd", "exp(lnb_dm + bb_dm * (bmi - 30) + ba_dm * dA) / 12"],
  ["hc", "exp(lnb_chd + bb_chd * (bmi - 30) + ba_chd * dA) / 12"],
  ["hs", "exp(lnb_str + bb_str * (bmi - 30) + ba_str * dA) / 12"],
  ["h", "life * exp(bm * (bmi - 25))"],
  ["H", "hd + hc + hs + h"],
  ["left", "exp(-H)"],
  ["free_dm", "hd * (1 - left) / H"],
  ["free_chd", "hc * (1 - left) / H"],
  ["free_str", "hs * (1 - left) / H"],
  ["free_dead", "h * (1 - left) / H"],
  ["H", "hc * hr_dm_chd + hs * hr_dm_str + h * hrm_dm"],
  ["dm_stay", "exp(-H)"],
  ["dm_dmchd", "hc * hr_dm_chd * (1 - dm_stay) / H"],
  ["dm_dmstr", "hs * hr_dm_str * (1 - dm_stay) / H"],
  ["dm_dead", "h * hrm_dm * (1 - dm_stay) / H"],
  ["H", "hd + hs * hr_chd_str + h * hrm_chd"],
  ["chd_stay", "exp(-H)"],
  ["chd_dmchd", "hd * (1 - chd_stay) / H"],
  ["chd_multi", "hs * hr_chd_str * (1 - chd_stay) / H"],
  ["chd_dead", "h * hrm_chd * (1 - chd_stay) / H"],
  ["H", "hd + hc * hr_str_chd + h * hrm_str"],
  ["str_stay", "exp(-H)"],
  ["str_dmstr", "hd * (1 - str_stay) / H"],
  ["str_multi", "hc * hr_str_chd * (1 - str_stay) / H"],
  ["str_dead", "h * hrm_str * (1 - str_stay) / H"],
  ["H", "hs * hr_dm_str * hr_chd_str + h * hrm_dmchd"],
  ["dmchd_stay", "exp(-H)"],
  ["dmchd_multi", "hs * hr_dm_str * hr_chd_str * (1 - dmchd_stay) / H"],
  ["dmchd_dead", "h * hrm_dmchd * (1 - dmchd_stay) / H"],
  ["H", "hc * hr_dm_chd * hr_str_chd + h * hrm_dmstr"],
  ["dmstr_stay", "exp(-H)"],
  ["dmstr_multi", "hc * hr_dm_chd * hr_str_chd * (1 - dmstr_stay) / H"],
  ["dmstr_dead", "h * hrm_dmstr * (1 - dmstr_stay) / H"],
  ["multi_stay", "exp(-h * hrm_multi)"],
  ["multi_dead", "1 - multi_stay"],
  ["c_tunnel", "cef + c_fu"],
  ["health", "u0 - bu * (bmi - 25)"],
  ["cost_weight", "1.03^(-m / 12)"],
  ["effect_weight", "1.015^(-m / 12)"],
];

const [off, dm, chd, str, dmchd, dmstr, multi, dead] = [6, 7, 8, 9, 10, 11, 12, 13] as const;
const states = 14;

/** Moves of the states with a disease: from, to, its chance. */
const moves: readonly (readonly [number, number, string])[] = [
  [dm, dmchd, "dm_dmchd"],
  [dm, dmstr, "dm_dmstr"],
  [dm, dead, "dm_dead"],
  [chd, dmchd, "chd_dmchd"],
  [chd, multi, "chd_multi"],
  [chd, dead, "chd_dead"],
  [str, dmstr, "str_dmstr"],
  [str, multi, "str_multi"],
  [str, dead, "str_dead"],
  [dmchd, multi, "dmchd_multi"],
  [dmchd, dead, "dmchd_dead"],
  [dmstr, multi, "dmstr_multi"],
  [dmstr, dead, "dmstr_dead"],
  [multi, dead, "multi_dead"],
];
const stays: readonly (readonly [number, string])[] = [
  [dm, "dm_stay"],
  [chd, "chd_stay"],
  [str, "str_stay"],
  [dmchd, "dmchd_stay"],
  [dmstr, "dmstr_stay"],
  [multi, "multi_stay"],
];
const stateCosts = ["cdm", "cchd", "cstr", "cdmchd", "cdmstr", "cmulti"];
const stateShares = ["mdm", "mchd", "mstr", "mdmchd", "mdmstr", "mmulti"];
const ownNames = ["L", "r", "stops", "c_init", "c_fu"];

/** Yearly probabilities of death to six places, as monthly hazards. */
const life = Array.from({ length: 101 }, (_, age) => {
  const q = Math.min(0.6, 0.0002 + 0.00002 * Math.exp(0.1 * age));
  return -Math.log(1 - Math.round(q * 1e6) / 1e6) / 12;
});

/** Outcomes `[draw][strategy][4]` of the first `draws` rows of the workload's own units, `names` being their columns. */
export function expressionOutcomes(rows: Float64Array, draws: number, names: readonly string[]): Float64Array {
  const compiled = formulas.map(([name, text]): readonly [string, EvalFunction] => [name, compile(text)]);
  const outcomes = new Float64Array(draws * 16);
  for (let d = 0; d < draws; d++) {
    const scope = new Map<string, number>();
    for (const [k, name] of names.slice(0, 40).entries()) scope.set(name, rows[60 * d + k]!);
    for (let s = 0; s < 4; s++) {
      for (const [k, name] of ownNames.entries()) scope.set(name, rows[60 * d + 40 + 5 * s + k]!);
      outcomes.set(oneRun(compiled, scope), (d * 4 + s) * 4);
    }
  }
  return outcomes;
}

function oneRun(
  compiled: readonly (readonly [string, EvalFunction])[],
  scope: Map<string, number>,
): readonly [number, number, number, number] {
  const value = (name: string): number => scope.get(name)!;
  let x = new Float64Array(states);
  let y = new Float64Array(states);
  x[0] = 1;
  let [costs, qaly, years, events] = [value("c_init"), 0, 0, 0];
  for (let c = 0; c < 480; c++) {
    scope.set("m", c + 0.5);
    scope.set("dA", 40 + (c + 0.5) / 12 - 50);
    scope.set("life", life[Math.min(100, 40 + Math.floor(c / 12))]!);
    for (const [name, formula] of compiled) scope.set(name, formula.evaluate(scope) as number);
    y.fill(0);
    const left = value("left");
    let someFree = 0;
    for (let i = 0; i <= off; i++) {
      someFree += x[i]!;
      const stay = x[i]! * left;
      const stops = i === 2 ? value("stops") : 0;
      y[off]! += stay * stops;
      y[Math.min(i + 1, off)]! += stay * (1 - stops);
    }
    let newDm = someFree * value("free_dm");
    let newChd = someFree * value("free_chd");
    let newStr = someFree * value("free_str");
    let deaths = someFree * value("free_dead");
    y[dm]! += newDm;
    y[chd]! += newChd;
    y[str]! += newStr;
    for (const [i, stay] of stays) y[i]! += x[i]! * value(stay);
    for (const [i, j, name] of moves) {
      const flow = x[i]! * value(name);
      if (j !== dead) y[j]! += flow;
      if (j === dead) deaths += flow;
      else if (name === "chd_dmchd" || name === "str_dmstr") newDm += flow;
      else if (name === "dm_dmchd" || name === "str_multi" || name === "dmstr_multi") newChd += flow;
      else newStr += flow;
    }
    let tunnel = 0;
    for (let i = 0; i < off; i++) tunnel += (x[i]! + y[i]!) / 2;
    const free = (x[off]! + y[off]!) / 2;
    let [amount, health, alive] = [tunnel * value("c_tunnel") + free * value("cef"), tunnel + free, tunnel + free];
    for (let i = dm; i < dead; i++) {
      const z = (x[i]! + y[i]!) / 2;
      amount += z * value(stateCosts[i - dm]!);
      health += z * value(stateShares[i - dm]!);
      alive += z;
    }
    amount += newDm * value("cevdm") + newChd * value("cevchd") + newStr * value("cevstr") + deaths * value("cdeath");
    costs += value("cost_weight") * amount;
    qaly += (value("effect_weight") * value("health") * health) / 12;
    years += alive / 12;
    events += newChd + newStr;
    [x, y] = [y, x];
  }
  return [costs, qaly, years, events];
}
