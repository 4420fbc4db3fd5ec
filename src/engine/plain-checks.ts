import { byCycle, byDraw, byGroup, type Demand } from "../compile/graph.ts";
import { type Check, type Plan, type Transfer, transfersOf } from "../compile/plan.ts";
import type { View } from "./view.ts";

/** A demand on the value of a node. */
export interface Demanded {
  readonly node: number;
  readonly demand: Demand;
}

/** The checks of a plan by the stage that can make them first, whether there are people or not. */
export interface PlainChecks {
  readonly row: readonly Demanded[];
  readonly groupRow: readonly Demanded[];
  readonly shared: ReadonlyMap<Transfer, readonly Demanded[]>;
  readonly own: ReadonlyMap<Transfer, readonly Demanded[]>;
  /** On numbers that serve all lanes; at the start where the transfer is null. */
  readonly single: readonly (Demanded & { readonly transfer: Transfer | null })[];
}

/** Sorts the checks of a plan by stage, each value once per stage. */
export function plainChecks(plan: Plan, view: View): PlainChecks {
  const row = new Map<string, Demanded>();
  const groupRow = new Map<string, Demanded>();
  const shared = new Map<Transfer, readonly Demanded[]>();
  const own = new Map<Transfer, readonly Demanded[]>();
  const single: (Demanded & { transfer: Transfer | null })[] = [];
  const sort = (checks: readonly Check[], transfer: Transfer | null): readonly [Demanded[], Demanded[]] => {
    const late: [Map<string, Demanded>, Map<string, Demanded>] = [new Map(), new Map()];
    for (const { guard } of checks) {
      const { demand, of } = view.guard(guard);
      const node = view.resolved(of);
      const axes = view.axes[node]!;
      const key = `${demand} ${node}`;
      const group = (axes & byGroup) === 0 ? 0 : 1;
      if ((axes & byDraw) === 0) single.push({ node, demand, transfer });
      else if ((axes & byCycle) === 0) [row, groupRow][group]!.set(key, { node, demand });
      else late[group]!.set(key, { node, demand });
    }
    return [[...late[0].values()], [...late[1].values()]];
  };
  sort(plan.start.checks, null);
  for (const transfer of transfersOf(plan)) {
    const [ofAll, ofOne] = sort(transfer.checks, transfer);
    shared.set(transfer, ofAll);
    own.set(transfer, ofOne);
  }
  return { row: [...row.values()], groupRow: [...groupRow.values()], shared, own, single };
}
