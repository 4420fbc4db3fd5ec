import type { Program } from "../../../src/compile/program.ts";

// Parameters of the reference workload: 40 common ones, then loss, regain, stops, c_init, c_fu for each strategy.
const common: readonly (readonly [string, number, number])[] = [
  ["bmi0", 36, 40],
  ["lnb_dm", -5.0, -4.6],
  ["bb_dm", 0.08, 0.12],
  ["ba_dm", 0.024, 0.036],
  ["lnb_chd", -5.7, -5.3],
  ["bb_chd", 0.03, 0.05],
  ["ba_chd", 0.05, 0.07],
  ["lnb_str", -6.4, -6.0],
  ["bb_str", 0.025, 0.045],
  ["ba_str", 0.06, 0.08],
  ["bm", 0.022, 0.038],
  ["hr_dm_chd", 1.6, 2.4],
  ["hr_dm_str", 1.4, 2.2],
  ["hr_chd_str", 1.6, 2.4],
  ["hr_str_chd", 1.6, 2.4],
  ["hrm_dm", 1.5, 1.9],
  ["hrm_chd", 1.9, 2.5],
  ["hrm_str", 2.1, 2.9],
  ["hrm_dmchd", 3, 4],
  ["hrm_dmstr", 3.3, 4.3],
  ["hrm_multi", 4, 5],
  ["cef", 40, 60],
  ["cdm", 200, 300],
  ["cchd", 300, 500],
  ["cstr", 450, 750],
  ["cdmchd", 450, 750],
  ["cdmstr", 600, 1000],
  ["cmulti", 800, 1200],
  ["cevdm", 300, 700],
  ["cevchd", 7000, 11000],
  ["cevstr", 9000, 15000],
  ["cdeath", 2000, 4000],
  ["u0", 0.82, 0.88],
  ["bu", 0.003, 0.007],
  ["mdm", 0.9, 0.96],
  ["mchd", 0.84, 0.92],
  ["mstr", 0.74, 0.86],
  ["mdmchd", 0.77, 0.87],
  ["mdmstr", 0.68, 0.82],
  ["mmulti", 0.62, 0.78],
];
const own = ["loss", "regain", "stops", "c_init", "c_fu"];
const ranges = [
  [0.01, 0.05, 0.4, 0.6, 0.2, 0.4, 100, 300, 20, 40],
  [0.08, 0.16, 0.2, 0.4, 0.05, 0.15, 2500, 4500, 80, 120],
  [0.16, 0.28, 0.02, 0.08, 0, 0.04, 8000, 12000, 150, 250],
  [0.1, 0.2, 0.1, 0.3, 0.1, 0.3, 1000, 2000, 200, 300],
];

/** Parameters of the workload in order: name of the component and its range. */
export const parameters: readonly (readonly [string, number, number])[] = [
  ...common,
  ...ranges.flatMap((list, s) => own.map((name, i) => [`${name}[s${s}]`, list[2 * i]!, list[2 * i + 1]!] as const)),
];

/** Uniform of parameter `k` in draw `d`: the 32-bit finaliser of xor-shifts 16, 13, 16 and two odd factors. */
export function uniform(d: number, k: number): number {
  let h = (60 * d + k + 0x9e3779b9) >>> 0;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b) >>> 0;
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35) >>> 0;
  return (((h ^ (h >>> 16)) >>> 0) + 0.5) / 2 ** 32;
}

/** Rows of `draws` draws for the program's components, in its base units (money per month is per year there). */
export function workloadRows(program: Program, draws: number): Float64Array {
  const width = program.components.length;
  const index = new Map(program.components.map(({ key }, i) => [key, i]));
  const monthly = new Set([
    "cef",
    "cdm",
    "cchd",
    "cstr",
    "cdmchd",
    "cdmstr",
    "cmulti",
    "c_fu[s0]",
    "c_fu[s1]",
    "c_fu[s2]",
    "c_fu[s3]",
  ]);
  const rows = new Float64Array(draws * width);
  for (const [k, [name, low, high]] of parameters.entries()) {
    const at = index.get(name);
    if (at === undefined) throw new Error(`no component ${name}`);
    const scale = monthly.has(name) ? 12 : 1;
    for (let d = 0; d < draws; d++) rows[d * width + at] = (low + (high - low) * uniform(d, k)) * scale;
  }
  return rows;
}

/** The same rows for peers: `[draw][60]` in the order of `parameters`, money per month. */
export function peerRows(draws: number): Float64Array {
  const rows = new Float64Array(draws * parameters.length);
  for (const [k, [, low, high]] of parameters.entries())
    for (let d = 0; d < draws; d++) rows[d * parameters.length + k] = low + (high - low) * uniform(d, k);
  return rows;
}
