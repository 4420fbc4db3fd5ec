/** Light or dark. */
export type Scheme = "light" | "dark";

/** The colours of one scheme, for the style sheet and the charts alike. */
export interface Palette {
  /** Behind everything. */
  readonly ground: string;
  /** Behind what lies above the ground: fields, sheets. */
  readonly surface: string;
  readonly ink: string;
  /** Words of second rank; at least 4.5 in contrast on ground and surface. */
  readonly muted: string;
  /** Hairlines and grids. */
  readonly line: string;
  /** Zero lines and axes: stronger than the grid. */
  readonly zero: string;
  /** Of the strategies, in the scenario's order. */
  readonly strategies: readonly string[];
  /** Steps between ink and ground for parts of a whole that are no strategies. */
  readonly tones: readonly string[];
}

/**
 * Strategies' colours were found by search for distance under normal and three kinds of colour-deficient vision
 * (smallest CIELAB distance 26 light, 33 dark) with a contrast of at least 4.5 on the ground.
 */
export const palettes: Readonly<Record<Scheme, Palette>> = {
  light: {
    ground: "#F7F5F0",
    surface: "#FFFFFF",
    ink: "#1B211F",
    muted: "#5A625F",
    line: "#DEDAD0",
    zero: "#77807B",
    strategies: ["#123F38", "#AE500B", "#686D86", "#9E2DBB", "#403200"],
    tones: [
      "#24443F",
      "#5F7F79",
      "#97AEA8",
      "#BECBC4",
      "#5F594C",
      "#8F8776",
      "#B5AC99",
      "#CFC7B4",
      "#3D4A6B",
      "#7684A6",
      "#A9B3CC",
      "#CDD3E2",
    ],
  },
  dark: {
    ground: "#12181D",
    surface: "#1A2229",
    ink: "#E9E6DF",
    muted: "#A3ADB3",
    line: "#2C363D",
    zero: "#7F8A91",
    strategies: ["#ABE8E9", "#EE5D3A", "#7A809F", "#B75AE2", "#F4DFA3"],
    tones: [
      "#C6DEDC",
      "#8FB0AF",
      "#5E8084",
      "#40595F",
      "#D6CBB4",
      "#A69F91",
      "#7C7566",
      "#57524A",
      "#C3CCE4",
      "#8C98B8",
      "#626D8E",
      "#434C68",
    ],
  },
};

/** How one strategy is drawn everywhere: one colour, one dash, one marker. */
export interface StrategyStroke {
  readonly colour: string;
  /** Lengths of dashes and gaps in pixels; empty is solid. */
  readonly dash: readonly number[];
  readonly marker: "circle" | "triangle" | "rectRot" | "rect" | "star";
}

const strokes: readonly Pick<StrategyStroke, "dash" | "marker">[] = [
  { dash: [], marker: "circle" },
  { dash: [8, 4], marker: "triangle" },
  { dash: [2, 3], marker: "rectRot" },
  { dash: [8, 3, 2, 3], marker: "rect" },
  { dash: [12, 3], marker: "star" },
];

/**
 * The stroke of the strategy at a place (from 0) in the scenario's order. Beyond five, colours return with the dash and
 * marker of another, so that no two of the first twenty are alike.
 */
export function strategyStroke(palette: Palette, order: number): StrategyStroke {
  const colour = palette.strategies[order % palette.strategies.length]!;
  const { dash, marker } = strokes[(order + Math.floor(order / strokes.length)) % strokes.length]!;
  return { colour, dash, marker };
}
