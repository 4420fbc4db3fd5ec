import type { Draft, Section, Tree } from "./draft.ts";
import { bmi, change, rate, share, type Wanted, wantedKey } from "./quantities.ts";
import { randomSource } from "./sources.ts";

const times = [0, 0.5, 1, 2, 4];

/** New inputs that are the parameters of a course fitted to points; later expressions may read them. Returns the course. */
export function newCourse(draft: Draft): Section {
  const { dice } = draft;
  const name = draft.name("course");
  const family = dice.one(["return to zero", "return to a plateau", "rise to a level"]);
  const first = family === "rise to a level" ? "level" : "start";
  const size = dice.one([change, bmi]);
  const truth = { size: size === bmi ? 30 : dice.number(0.1, 0.3), rate: dice.number(0.3, 0.8), lasting: 0.4 };
  const at = (time: number): number => {
    const left = Math.exp(-truth.rate * time);
    if (family === "rise to a level") return truth.size * (1 - left);
    return truth.size * (family === "return to zero" ? left : truth.lasting + (1 - truth.lasting) * left);
  };
  const error = Number((truth.size / dice.whole(20, 60)).toPrecision(3));
  const points = times.map((time): Tree => {
    const mean = Number(at(time).toPrecision(4));
    const spread = dice.way<Section>(
      () => ({ se: error }),
      () => ({ sd: 10 * error, n: 100 }),
    );
    return { at: dice.one<string>([`${time} years`, `${12 * time} months`]), mean, ...spread };
  });
  const given = dice.chance(30) ? { [first]: truth.size } : {};
  const rows = times.map((_, i) => times.map((_, j) => (i === j ? 1 : 0.2)));
  draft.courses[name] = {
    family,
    points,
    ...(size === bmi ? { in: "kg/m2" } : {}),
    ...dice.one<Section>([{}, { correlation: 0.3 }, { correlation: rows }]),
    ...(Object.keys(given).length > 0 ? { given } : {}),
    ...dice.one<Section>([{}, { scale: { [first]: "natural" } }, { scale: { [first]: "log", rate: "log" } }]),
    ...(dice.chance(20) ? { note: "read from a figure" } : {}),
    source: randomSource(draft),
  };
  if (family === "return to a plateau" && dice.chance(30))
    (draft.courses[name] as Section)["scale"] = { lasting: "logit" };
  if (!(first in given)) newInput(draft, size, `${name}.${first}`);
  newInput(draft, rate, `${name}.rate`);
  if (family === "return to a plateau") newInput(draft, share, `${name}.lasting`);
  return draft.courses;
}

function newInput(draft: Draft, wanted: Wanted, fitted: string): void {
  const name = draft.name(wanted.is);
  draft.declared[name] = { is: wanted.is, ...wanted.declared };
  draft.evidence[name] = { fitted, ...(draft.dice.chance(20) ? { source: randomSource(draft) } : {}) };
  const input = { byStrategy: false, strategies: draft.strategies, cells: null, fixed: false };
  draft.inputs.push({ name, key: wantedKey(wanted), ...input });
}
