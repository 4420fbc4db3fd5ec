import type { Expansion } from "./expand.ts";
import type { Graph } from "./graph.ts";
import { type Instances, type When, whenInCycle } from "./instances.ts";
import type { EventForm, Program } from "./program.ts";
import type { Settled } from "./settle.ts";
import type { Movement } from "./states.ts";
import { ascending } from "./transfer.ts";
import type { Transition, Transitions } from "./transitions.ts";

/** One event at one boundary: the states before and after, the groups in which it fires, what it does to each state. */
export interface Firing {
  readonly groups: readonly boolean[];
  readonly before: readonly number[];
  readonly after: readonly number[];
  readonly transition: (state: number) => Transition;
}

/** What a boundary brings, and the states that may have people from there on. */
export interface Stage {
  readonly firings: readonly Firing[];
  readonly open: readonly number[];
}

/**
 * The states that may have people, boundary by boundary, as the flows lead from the start. The same set of states is the
 * same list, so that sets can be compared by identity.
 */
export class Itinerary {
  private readonly graph: Graph;
  private readonly program: Program;
  private readonly expansion: Expansion;
  private readonly instances: Instances;
  private readonly transitions: Transitions;
  private readonly byCycle: readonly (readonly InstantAt[])[];
  private readonly moves = new Map<number, Transition>();
  private readonly instants = new Map<string, Transition>();
  private readonly sets = new Map<string, readonly number[]>();
  private readonly when: When;

  constructor(program: Program, expansion: Expansion, instances: Instances, transitions: Transitions) {
    this.graph = instances.graph;
    this.program = program;
    this.expansion = expansion;
    this.instances = instances;
    this.transitions = transitions;
    this.when = whenInCycle(this.graph, program);
    this.byCycle = instantsByCycle(program, expansion.movements[instances.strategy]!);
  }

  /** Steps 2 to 4 for a state. */
  move(state: number): Transition {
    const known = this.moves.get(state) ?? this.transitions.cycle(state, this.when);
    this.moves.set(state, known);
    return known;
  }

  /** Boundaries 0 to the last; `settledAt` gives the nodes as they are in a cycle. */
  stages(start: readonly number[], settledAt: (cycle: number) => Settled): readonly Stage[] {
    const reached = new Map<readonly number[], Map<Settled, readonly number[]>>();
    const stages: Stage[] = [];
    let open = this.set(start);
    for (let c = 0; c < this.program.grid.cycles; c++) {
      const settled = settledAt(c);
      const fired: Firing[] = [];
      for (const instant of this.byCycle[c]!) {
        const firing = this.fire(instant, open, settled);
        fired.push(firing);
        open = firing.after;
      }
      stages.push({ firings: fired, open });
      const known = reached.get(open) ?? new Map<Settled, readonly number[]>();
      const next = known.get(settled) ?? this.set(open.flatMap((i) => this.targets(this.move(i), settled)));
      reached.set(open, known.set(settled, next));
      open = next;
    }
    stages.push({ firings: [], open });
    return stages;
  }

  private fire({ fired, groups, name }: InstantAt, before: readonly number[], settled: Settled): Firing {
    const one = this.graph.constant(1);
    const movement = this.expansion.movements[this.instances.strategy]!;
    const transition = (i: number): Transition => {
      const key = `${name} ${i}`;
      const known = this.instants.get(key);
      if (known !== undefined) return known;
      const [form] = movement.formsFor(this.expansion.states[i]!, (candidate) => fired.has(candidate));
      const found: Transition =
        form === undefined
          ? { moves: new Map([[i, one]]), booked: [], asked: [] }
          : this.transitions.instant(form, this.share(form, fired.get(form)!), i, this.when);
      this.instants.set(key, found);
      return found;
    };
    const moved = before.flatMap((i) => this.targets(transition(i), settled));
    const after = this.set(groups.every(Boolean) ? moved : [...before, ...moved]);
    return { groups, before, after, transition };
  }

  /** Of those still at risk, the share whose instant this is, where shares over the instants of a list are given. */
  private share(form: EventForm, position: number): number {
    const { graph } = this;
    if (form.timing.when !== "instant" || form.timing.shares === null) return graph.constant(1);
    const offsets = this.program.inputs[form.timing.shares]!.offsets[this.instances.strategy]!;
    const left = offsets
      .slice(position)
      .map((offset) => graph.component(offset))
      .reduceRight((sum, part) => graph.two("add", sum, part));
    const part = graph.two("divide", graph.component(offsets[position]!), left);
    return graph.choose(graph.two("greater", left, graph.constant(0)), part, graph.constant(0));
  }

  private targets({ moves }: Transition, settled: Settled): readonly number[] {
    return [...moves].filter(([, node]) => this.graph.valueOf(settled.of(node)) !== 0).map(([target]) => target);
  }

  private set(states: Iterable<number>): readonly number[] {
    const list = ascending(states);
    const key = list.join();
    const known = this.sets.get(key) ?? list;
    this.sets.set(key, known);
    return known;
  }
}

/** One event at a boundary: its forms that fire with their positions in their lists, and the groups in which they do. */
interface InstantAt {
  readonly fired: ReadonlyMap<EventForm, number>;
  readonly groups: readonly boolean[];
  /** The same for the same forms at the same positions. */
  readonly name: string;
}

/** Per cycle the events that fire at its opening, in file order; several times where groups differ in what fires. */
function instantsByCycle(program: Program, movement: Movement): readonly (readonly InstantAt[])[] {
  const firing = program.groups.map((group) => movement.firings(group.index));
  const events = [...new Set(program.events.map(({ event }) => event))];
  const forms = events.map((event) => program.events.filter((form) => form.event === event));
  return Array.from({ length: program.grid.cycles }, (_, c) =>
    forms.flatMap((list, e): readonly InstantAt[] => {
      const fired = firing.map((map) => {
        const pairs = list.flatMap((form) => {
          const position = map.get(form)?.get(c);
          return position === undefined ? [] : [[form, position] as const];
        });
        return {
          fired: new Map(pairs),
          name: `${e}: ${pairs.map(([form, position]) => `${list.indexOf(form)}@${position}`).join()}`,
        };
      });
      const names = [...new Set(fired.filter((one) => one.fired.size > 0).map((one) => one.name))];
      return names.map((name) => ({
        name,
        fired: fired.find((one) => one.name === name)!.fired,
        groups: fired.map((one) => one.name === name),
      }));
    }),
  );
}
