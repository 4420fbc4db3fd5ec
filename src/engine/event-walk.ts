import type { Branch, EventForm, Move, Program } from "../compile/program.ts";
import { inputError } from "../errors.ts";
import { crudeHazard } from "../numerics/crude-incidence.ts";
import type { FormulaValues, Standing } from "./formula-value.ts";

/** One way through an event's branches: the nodes passed, the chance of it, the move it makes. */
export interface Leaf {
  readonly nodes: readonly Branch[];
  readonly chance: number;
  readonly move: Move | null;
}

const sumTolerance = 1e-12;

/** Evaluates rates, chances and branches of events for people standing in a state, and refuses impossible values. */
export class EventWalk {
  private readonly program: Program;
  private readonly values: FormulaValues;
  private readonly where: (state: Standing) => string;

  constructor(program: Program, values: FormulaValues, where: (state: Standing) => string) {
    this.program = program;
    this.values = values;
    this.where = where;
  }

  /** Of those still at risk, the share whose instant this is, when shares over a list of instants are given. */
  instantShare(form: EventForm, position: number): number {
    if (form.timing.when !== "instant" || form.timing.shares === null) return 1;
    const offsets = this.program.inputs[form.timing.shares]!.offsets[this.values.strategy]!;
    let left = 0;
    for (let k = offsets.length - 1; k >= position; k--) left += this.values.row[offsets[k]!]!;
    return left > 0 ? this.values.row[offsets[position]!]! / left : 0;
  }

  /** Yearly rate of a rate event, or the incidence of a crude one. Throws not-finite, rate-negative. */
  rateOf(form: EventForm, state: Standing): number {
    const { timing } = form;
    const node = timing.when === "rate" ? timing.rate : timing.when === "crude" ? timing.incidence : null;
    const rate = node === null ? 0 : this.values.value(node, state);
    if (!Number.isFinite(rate)) throw inputError(form.source.place, "not-finite", String(rate), this.where(state));
    if (rate < 0) throw inputError(form.source.place, "rate-negative", String(rate), this.where(state));
    return rate;
  }

  /** All ways through an event's branches with their chances, those who do none of its branches included. */
  leaves(form: EventForm, state: Standing): readonly Leaf[] {
    const leaves: Leaf[] = [];
    const visit = (branch: Branch, nodes: readonly Branch[], chance: number): void => {
      const passed = [...nodes, branch];
      const { move } = branch;
      if (branch.children.length === 0) {
        leaves.push({ nodes: passed, chance, move });
        return;
      }
      let left = 1;
      for (const child of branch.children) {
        if (child.rest) continue;
        const p = this.chanceOf(child, state);
        left -= p;
        visit(child, passed, chance * p);
      }
      if (left < -sumTolerance)
        throw inputError(branch.source.place, "chance-out-of-range", `branches sum to ${1 - left}`, this.where(state));
      left = Math.max(0, left);
      const rest = branch.children.find((child) => child.rest);
      if (rest !== undefined) visit(rest, passed, chance * left);
      else if (left > 0) {
        // an event of branches alone has not happened to those who took none of them
        const nothing = branch === form.root && form.timing.when === "chance" && branch.chance === null;
        leaves.push({ nodes: nothing ? [] : passed, chance: chance * left, move });
      }
    };
    visit(form.root, [], this.chanceOf(form.root, state));
    return leaves;
  }

  private chanceOf(branch: Branch, state: Standing): number {
    if (branch.chance === null) return 1;
    const p = this.values.value(branch.chance, state);
    if (!Number.isFinite(p)) throw inputError(branch.source.place, "not-finite", String(p), this.where(state));
    if (p < 0 || p > 1 + sumTolerance)
      throw inputError(branch.source.place, "chance-out-of-range", String(p), this.where(state));
    return p;
  }

  /** Step 2: all moving ways of the rate events that apply to a state, with their yearly rates. */
  competing(forms: readonly EventForm[], state: Standing): readonly { readonly leaf: Leaf; readonly rate: number }[] {
    const found: { leaf: Leaf; rate: number }[] = [];
    const crude: { leaf: Leaf; incidence: number; form: EventForm }[] = [];
    for (const form of forms) {
      const yearly = this.rateOf(form, state);
      for (const leaf of this.leaves(form, state)) {
        if (leaf.move === null) continue;
        if (form.timing.when === "crude") crude.push({ leaf, incidence: yearly * leaf.chance, form });
        else found.push({ leaf, rate: yearly * leaf.chance });
      }
    }
    if (crude.length === 0) return found;
    const others = found.reduce((sum, { rate }) => sum + rate, 0);
    const incidence = crude.reduce((sum, one) => sum + one.incidence, 0);
    const { timing, source } = crude[0]!.form;
    const years = timing.when === "crude" ? timing.years : 1;
    const hazard = crudeHazard(incidence, others, years);
    if (!Number.isFinite(hazard))
      throw inputError(source.place, "crude-unreachable", String(incidence), this.where(state));
    for (const one of crude)
      found.push({ leaf: one.leaf, rate: incidence === 0 ? 0 : (hazard * one.incidence) / incidence });
    return found;
  }
}

/** True where an event leaves nobody where they were: subtracting its parts would leave a trace of rounding there. */
export function takesAll({ root, timing }: EventForm, leaves: readonly Leaf[]): boolean {
  const shared = timing.when === "instant" && timing.shares !== null;
  return root.chance === null && !shared && leaves.every(({ move }) => move !== null);
}
