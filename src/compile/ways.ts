import type { Demands } from "./demands.ts";
import type { When } from "./instances.ts";
import type { Branch, EventForm, Move } from "./program.ts";
import type { JointState } from "./states.ts";

/** One way through an event's branches: the branches passed, the node of its chance, the move it makes. */
export interface Way {
  readonly branches: readonly Branch[];
  readonly chance: number;
  readonly move: Move | null;
}

/** All ways through an event's branches, those who take none of them included, as the referee's walk finds them. */
export function waysThrough(form: EventForm, who: JointState, when: When, demands: Demands): readonly Way[] {
  const { graph } = demands;
  const ways: Way[] = [];
  const chanceOf = ({ chance }: Branch): number =>
    chance === null ? graph.constant(1) : demands.value("chance", chance, who, when);
  const visit = (branch: Branch, above: readonly Branch[], chance: number): void => {
    const passed = [...above, branch];
    const { move } = branch;
    if (branch.children.length === 0) {
      ways.push({ branches: passed, chance, move });
      return;
    }
    let left = graph.constant(1);
    for (const child of branch.children) {
      if (child.rest) continue;
      const p = chanceOf(child);
      left = graph.two("subtract", left, p);
      visit(child, passed, graph.two("multiply", chance, p));
    }
    left = graph.two("max", graph.constant(0), demands.node("left", left));
    const remaining = graph.two("multiply", chance, left);
    const rest = branch.children.find((child) => child.rest);
    if (rest !== undefined) visit(rest, passed, remaining);
    else if (graph.valueOf(left) !== 0) {
      // an event of branches alone has not happened to those who took none of them
      const nothing = branch === form.root && form.timing.when === "chance" && branch.chance === null;
      ways.push({ branches: nothing ? [] : passed, chance: remaining, move });
    }
  };
  visit(form.root, [], chanceOf(form.root));
  return ways;
}

/** True where an event leaves nobody where they were. */
export function takesAll({ root, timing }: EventForm, ways: readonly Way[]): boolean {
  const shared = timing.when === "instant" && timing.shares !== null;
  return root.chance === null && !shared && ways.every(({ move }) => move !== null);
}
