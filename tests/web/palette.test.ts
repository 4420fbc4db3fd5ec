import { describe, expect, test } from "vitest";
import { palettes, strategyStroke } from "../../web/palette.ts";

/** Relative luminance. Source: WCAG 2.2, definition of relative luminance. */
function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const channel = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return channel <= 0.03928 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

/** Contrast ratio of two colours. Source: WCAG 2.2, definition of contrast ratio. */
function contrast(one: string, other: string): number {
  const [high, low] = [luminance(one), luminance(other)].sort((a, b) => b - a) as [number, number];
  return (high + 0.05) / (low + 0.05);
}

describe.each(["light", "dark"] as const)("the %s scheme", (name) => {
  const palette = palettes[name];

  test("can be read: words have a contrast of 4.5 on ground and surface, lines that matter 3", () => {
    for (const behind of [palette.ground, palette.surface]) {
      expect(contrast(palette.ink, behind)).toBeGreaterThan(7);
      expect(contrast(palette.muted, behind)).toBeGreaterThan(4.5);
    }
    expect(contrast(palette.zero, palette.ground)).toBeGreaterThan(3);
  });

  test("draws every strategy with a contrast of 4.5 and more on the ground, so that its name can have its colour", () => {
    for (const colour of palette.strategies) expect(contrast(colour, palette.ground)).toBeGreaterThan(4.5);
  });

  test("gives the first twenty strategies strokes of which no two are alike", () => {
    const strokes = Array.from({ length: 20 }, (_, order) => JSON.stringify(strategyStroke(palette, order)));
    expect(new Set(strokes).size).toBe(20);
  });
});

test("schemes name the same things", () => {
  expect(Object.keys(palettes.dark)).toEqual(Object.keys(palettes.light));
  expect(palettes.dark.tones).toHaveLength(palettes.light.tones.length);
});
