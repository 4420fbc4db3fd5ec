import { exp } from "../numerics/exp.ts";

/** The scale on which a parameter is normal. */
export type Scale = "natural" | "log" | "logit";

/** A named shape of a course over time: its parameters, their usual scales, its value and the slopes to each. */
export interface CourseFamily {
  readonly parameters: readonly string[];
  readonly scales: readonly Scale[];
  /** Value at a time, given the parameters; `slopes` is filled with the derivatives to them. */
  readonly value: (time: number, parameters: readonly number[], slopes: Float64Array) => number;
}

const returnToZero: CourseFamily = {
  parameters: ["start", "rate"],
  scales: ["natural", "log"],
  value(time, [start = 0, rate = 0], slopes) {
    const left = exp(-rate * time);
    slopes[0] = left;
    slopes[1] = -start * time * left;
    return start * left;
  },
};

const returnToPlateau: CourseFamily = {
  parameters: ["start", "rate", "lasting"],
  scales: ["natural", "log", "logit"],
  value(time, [start = 0, rate = 0, lasting = 0], slopes) {
    const left = exp(-rate * time);
    const kept = lasting + (1 - lasting) * left;
    slopes[0] = kept;
    slopes[1] = -start * (1 - lasting) * time * left;
    slopes[2] = start * (1 - left);
    return start * kept;
  },
};

const riseToLevel: CourseFamily = {
  parameters: ["level", "rate"],
  scales: ["natural", "log"],
  value(time, [level = 0, rate = 0], slopes) {
    const left = exp(-rate * time);
    slopes[0] = 1 - left;
    slopes[1] = level * time * left;
    return level * (1 - left);
  },
};

/**
 * The families by name. `return to zero` is start exp(-rate t); `return to a plateau` is
 * start (lasting + (1 - lasting) exp(-rate t)); `rise to a level` is level (1 - exp(-rate t)).
 */
export const courseFamilies: Readonly<Record<string, CourseFamily>> = {
  "return to zero": returnToZero,
  "return to a plateau": returnToPlateau,
  "rise to a level": riseToLevel,
};
