import fc from "fast-check";
import { expect, test } from "vitest";
import { covarianceEllipse, ellipseOutline } from "../../src/analysis/ellipse.ts";

// Chi-square quantile, 2 degrees of freedom, at 0.95: -2 ln 0.05.
const scale95 = 5.991464547107979;

test("uncorrelated quantities give axes along the scales", () => {
  const moments = { meanX: 3, meanY: -7, varianceX: 4, varianceY: 9, covariance: 0 };
  const ellipse = covarianceEllipse(moments, 0.95);
  expect(ellipse.centre).toEqual({ x: 3, y: -7 });
  expect(ellipse.longAxis).toEqual({ x: 0, y: 1 });
  expect(ellipse.longHalf).toBeCloseTo(3 * Math.sqrt(scale95), 12);
  expect(ellipse.shortHalf).toBeCloseTo(2 * Math.sqrt(scale95), 12);
});

test("covariance 1 between variances 2 and 2 turns the ellipse to the diagonal", () => {
  // Constructed: eigenvalues 3 and 1.
  for (const sign of [1, -1]) {
    const moments = { meanX: 0, meanY: 0, varianceX: 2, varianceY: 2, covariance: sign };
    const { longAxis, longHalf, shortHalf } = covarianceEllipse(moments, 0.95);
    expect(longAxis.x).toBeCloseTo(Math.SQRT1_2, 14);
    expect(longAxis.y).toBeCloseTo(sign * Math.SQRT1_2, 14);
    expect(longHalf).toBeCloseTo(Math.sqrt(3 * scale95), 12);
    expect(shortHalf).toBeCloseTo(Math.sqrt(scale95), 12);
  }
});

test("no spread gives a point, and spread in one direction a line", () => {
  const still = covarianceEllipse({ meanX: 1, meanY: 2, varianceX: 0, varianceY: 0, covariance: 0 }, 0.95);
  expect([still.longHalf, still.shortHalf]).toEqual([0, 0]);
  const line = covarianceEllipse({ meanX: 0, meanY: 0, varianceX: 1, varianceY: 4, covariance: 2 }, 0.95);
  expect(line.shortHalf).toBe(0);
  expect(line.longHalf).toBeCloseTo(Math.sqrt(5 * scale95), 12);
});

test.each([0, 1, 1.5, Number.NaN])("a share of %d is refused", (share) => {
  const moments = { meanX: 0, meanY: 0, varianceX: 1, varianceY: 1, covariance: 0 };
  expect(() => covarianceEllipse(moments, share)).toThrow(/between 0 and 1/);
});

test("every point of the outline lies at the squared distance of the share", () => {
  const moments = fc.record({
    meanX: fc.integer({ min: -5, max: 5 }),
    meanY: fc.integer({ min: -5000, max: 5000 }),
    sdX: fc.integer({ min: 1, max: 9 }).map((v) => v / 10),
    sdY: fc.integer({ min: 1, max: 9000 }),
    rho: fc.integer({ min: -9, max: 9 }).map((v) => v / 10),
  });
  fc.assert(
    fc.property(moments, ({ meanX, meanY, sdX, sdY, rho }) => {
      const [varianceX, varianceY, c] = [sdX * sdX, sdY * sdY, rho * sdX * sdY];
      const outline = ellipseOutline(covarianceEllipse({ meanX, meanY, varianceX, varianceY, covariance: c }, 0.95), 8);
      expect(outline.length).toBe(32);
      for (const { x, y } of outline) {
        const [u, v] = [(x - meanX) / sdX, (y - meanY) / sdY];
        const distance = (u * u - 2 * rho * u * v + v * v) / (1 - rho * rho);
        expect(Math.abs(distance / scale95 - 1)).toBeLessThan(1e-6);
      }
    }),
  );
});
