import { type Ellipse, ellipseOutline } from "../analysis/ellipse.ts";

const perQuarter = 16;

/** The outline of a pair's ellipse as `[more effect, more cost]`, closed; empty where there is no ellipse. */
export function planeOutline(ellipse: Ellipse | null): readonly (readonly [number, number])[] {
  if (ellipse === null) return [];
  const points = ellipseOutline(ellipse, perQuarter).map(({ x, y }) => [x, y] as const);
  return [...points, points[0]!];
}
