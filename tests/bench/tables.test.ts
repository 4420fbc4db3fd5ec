import { expect, test } from "vitest";
import { withTables } from "./readme.ts";
import { type BenchReport, stepCost, type Way, wayOf } from "./report.ts";
import { growth, spreadOf } from "./statistics.ts";
import { figure, reportText } from "./tables.ts";

const way = (id: string, label: string, seconds: readonly number[], draws = 10_000): Way =>
  wayOf(
    id,
    label,
    draws,
    10_000,
    seconds.map((user) => ({ user, wall: 2 * user })),
  );

const report: BenchReport = {
  measured: "2026-01-02T03:04:05.000Z",
  quick: false,
  machine: { processor: "A processor", cores: 2, memoryGb: 8, versions: { node: "20.0.0", R: null } },
  workload: {
    draws: 10_000,
    ways: [
      way("plain-c", "plain C", [2, 1, 3]),
      way("steelyard", "Steelyard, one thread", [0.5, 0.8, 0.4]),
      way("r-loops", "base R, loops", [7], 100),
    ],
    absent: [{ label: "NumPy", reason: "python3 with numpy is not there" }],
    steps: { all: 10_000, inhabited: 5_000 },
  },
  demo: {
    draws: 1000,
    ways: [way("rows", "1,000 draws, rows evaluated", [0.5])],
    steps: { all: 100_000, inhabited: 10_000 },
  },
  growth: {
    around: { draws: 4000, cycles: 120, states: 50 },
    axes: [
      {
        axis: "states",
        sizes: [
          { draws: 4000, cycles: 120, states: 25 },
          { draws: 4000, cycles: 120, states: 50 },
        ],
        user: [spreadOf([0.2]), spreadOf([0.5])],
        ratios: growth([0.2, 0.5]),
      },
    ],
  },
  million: { draws: 1_000_000, user: 432.1, wall: 500, memoryMb: 321 },
};

test("figures show three digits", () => {
  expect([0.012345, 1, 1.005, 99.96, 123.4, 1234.5, 9996, 0].map(figure)).toEqual([
    "0.0123",
    "1.00",
    "1.00",
    "100",
    "123",
    "1,230",
    "10,000",
    "0",
  ]);
});

test("a part of the draws is told for all of them", () => {
  expect(report.workload.ways[2]!.user.median).toBe(700);
  expect(report.workload.ways[2]!.wall.median).toBe(1400);
});

test("the cost of a step is that of one row in one state", () => {
  // Source: by hand; 0.5 s / (10,000 x 10,000) and / (10,000 x 5,000).
  const { all, inhabited } = stepCost(report.workload.ways[1]!, 10_000, report.workload.steps);
  expect(all).toBeCloseTo(5, 12);
  expect(inhabited).toBeCloseTo(10, 12);
});

test("the tables say medians, quartiles, ratios to plain C, what is scaled, who is absent, and where", () => {
  expect(reportText(report)).toMatchInlineSnapshot(`
    "Reference workload: 10,000 draws, 4 strategies, 480 cycles, 14 states
      Seconds                 User       Quartiles   Wall  User / plain C  Wall / plain C  Rounds
      ---------------------  -----  --------------  -----  --------------  --------------  ------
      plain C                 2.00    1.50 to 2.50   4.00            1.00            1.00       3
      Steelyard, one thread  0.500  0.450 to 0.650   1.00           0.250           0.250       3
      base R, loops            700      700 to 700  1,400             350             350       1
      base R, loops: from 100 draws, told for 10,000
      not measured: NumPy: python3 with numpy is not there

    The demo, balloon-pathways
      Seconds                       User       Quartiles  Wall  Rounds
      ---------------------------  -----  --------------  ----  ------
      1,000 draws, rows evaluated  0.500  0.500 to 0.500  1.00       1
      1,000,000 draws, the whole command: 432 s user, 500 s wall, 321 MB at most
      a state, strategy and cycle of a row and group: 5.00 ns, of the workload 5.00 ns, ratio 1.00;
      counting only states in which anybody can be: 50.0 ns, 10.0 ns, ratio 5.00

    Doubling: a generated ring of states; where not doubled, 4,000 draws, 120 cycles, 50 states
      Doubled  Size  User seconds       Quartiles  Times the one before
      -------  ----  ------------  --------------  --------------------
      states     25         0.200  0.200 to 0.200
                 50         0.500  0.500 to 0.500                  2.50

    Measured 2026-01-02 on A processor, 2 cores, 8 GB; node 20.0.0."
  `);
});

test("the readme keeps all but what stands between its marks", () => {
  const readme = "before\n<!-- bench -->\nold\n<!-- /bench -->\nafter\n";
  const once = withTables(readme, "new $& table");
  expect(once).toBe("before\n<!-- bench -->\n```\nnew $& table\n```\n<!-- /bench -->\nafter\n");
  expect(withTables(once, "new $& table")).toBe(once);
  expect(() => withTables("no marks", "x")).toThrow("no <!-- bench -->");
});
