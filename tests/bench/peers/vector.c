// The reference workload in C with eight draws side by side (vectors of gcc) and an exp of its own:
// gcc -O3 -march=native vector.c -lm. Arguments, printed line, files: see frame.h.
#include <stdint.h>
#include <string.h>
#include "frame.h"

enum { LANES = 8, TUNNEL = 6 };
typedef double V __attribute__((vector_size(8 * LANES)));
typedef int64_t I __attribute__((vector_size(8 * LANES)));

// e^x for |x| < 700: x = n ln 2 + r with n whole, the Taylor polynomial of r to degree 13 (|r| < 0.35: rest below 5e-18),
// n put into the exponent. Source: reduction in two parts of ln 2 after Cody and Waite, 1980.
static inline V expv(V x) {
  const double rounder = 0x1.8p52;
  V shifted = x * 0x1.71547652b82fep0 + rounder;
  V n = shifted - rounder;
  V r = (x - n * 0x1.62e42fee00000p-1) - n * 0x1.a39ef35793c76p-33;
  V r2 = r * r, r4 = r2 * r2, r8 = r4 * r4;
  V a = (1 + r) + r2 * (1.0 / 2 + r * (1.0 / 6));
  V b = (1.0 / 24 + r * (1.0 / 120)) + r2 * (1.0 / 720 + r * (1.0 / 5040));
  V c = (1.0 / 40320 + r * (1.0 / 362880)) + r2 * (1.0 / 3628800 + r * (1.0 / 39916800));
  V d = 1.0 / 479001600 + r * (1.0 / 6227020800.0);
  V e = (a + r4 * b) + r8 * (c + r4 * d);
  return (V)((I)e + ((I)shifted << 52));
}

// what a state with hazards that sum to `sum` loses, and that share of it per unit of hazard
#define LEAVE(sum)              \
  V total = (sum);              \
  V q = 1 - expv(-total);       \
  V k = q / total;

static void runLanes(const V *p, const V *o, V *out) {
  V bmi0 = p[0], L = o[0], r = o[1], pDisc = o[2], cFU = o[4], cEF = p[21], u0 = p[32], bU = p[33];
  const V *cost = p + 22, *event = p + 28, *utility = p + 34;
  V hcDM = p[11], hsDM = p[12], hsCHD = p[13], hcSTR = p[14], hsDMCHD = p[12] * p[13], hcDMSTR = p[11] * p[14];
  V zero = {0}, t[TUNNEL] = {zero + 1}, off = zero, dm = zero, chd = zero, str = zero, dmchd = zero, dmstr = zero, multi = zero;
  V costs = o[3], qaly = zero, ly = zero, events = zero;
  for (int c = 0; c < T; c++) {
    double m = c + 0.5, age = 40 + m / 12, dA = age - 50;
    int row = 40 + c / 12 < 100 ? 40 + c / 12 : 100;
    V bmi = m < 6 ? bmi0 * (1 - L * (m / 6)) : bmi0 * (1 - L * expv(-r * ((m - 6) / 12)));
    V over = bmi - 30;
    V hd = expv(p[1] + p[2] * over + p[3] * dA) * (1.0 / 12);
    V hc = expv(p[4] + p[5] * over + p[6] * dA) * (1.0 / 12);
    V hs = expv(p[7] + p[8] * over + p[9] * dA) * (1.0 / 12);
    V h = life[row] * expv(p[10] * (bmi - 25));
    V newDM, newCHD, newSTR, deaths, nextDM, nextCHD, nextSTR, nextDMCHD, nextDMSTR, nextMULTI, offNext;
    V before = c <= TUNNEL ? t[0] + t[1] + t[2] + t[3] + t[4] + t[5] : zero;
    V after = zero;
    {
      LEAVE(hd + hc + hs + h)
      V left = 1 - q, all = before + off, leaving = all * k;
      nextDM = newDM = leaving * hd;
      nextCHD = newCHD = leaving * hc;
      nextSTR = newSTR = leaving * hs;
      deaths = leaving * h;
      offNext = off * left;
      if (c < TUNNEL) {
        offNext += t[5] * left;
        V stays = t[2] * left;
        offNext += stays * pDisc;
        V t3 = stays * (1 - pDisc);
        t[5] = t[4] * left;
        t[4] = t[3] * left;
        t[3] = t3;
        t[2] = t[1] * left;
        t[1] = t[0] * left;
        t[0] = zero;
        after = t[1] + t[2] + t[3] + t[4] + t[5];
      }
    }
    {
      V a = hc * hcDM, b = hs * hsDM, d = h * p[15];
      LEAVE(a + b + d)
      V leaving = dm * k;
      nextDM += dm * (1 - q);
      nextDMCHD = leaving * a;
      nextDMSTR = leaving * b;
      newCHD += leaving * a;
      newSTR += leaving * b;
      deaths += leaving * d;
    }
    {
      V b = hs * hsCHD, d = h * p[16];
      LEAVE(hd + b + d)
      V leaving = chd * k;
      nextCHD += chd * (1 - q);
      nextDMCHD += leaving * hd;
      nextMULTI = leaving * b;
      newDM += leaving * hd;
      newSTR += leaving * b;
      deaths += leaving * d;
    }
    {
      V b = hc * hcSTR, d = h * p[17];
      LEAVE(hd + b + d)
      V leaving = str * k;
      nextSTR += str * (1 - q);
      nextDMSTR += leaving * hd;
      nextMULTI += leaving * b;
      newDM += leaving * hd;
      newCHD += leaving * b;
      deaths += leaving * d;
    }
    {
      V a = hs * hsDMCHD, d = h * p[18];
      LEAVE(a + d)
      V leaving = dmchd * k;
      nextDMCHD += dmchd * (1 - q);
      nextMULTI += leaving * a;
      newSTR += leaving * a;
      deaths += leaving * d;
    }
    {
      V a = hc * hcDMSTR, d = h * p[19];
      LEAVE(a + d)
      V leaving = dmstr * k;
      nextDMSTR += dmstr * (1 - q);
      nextMULTI += leaving * a;
      newCHD += leaving * a;
      deaths += leaving * d;
    }
    {
      V stays = expv(-(h * p[20]));
      nextMULTI += multi * stays;
      deaths += multi * (1 - stays);
    }
    V tunnel = (before + after) * 0.5, zOff = (off + offNext) * 0.5, zDM = (dm + nextDM) * 0.5, zCHD = (chd + nextCHD) * 0.5,
      zSTR = (str + nextSTR) * 0.5, zDMCHD = (dmchd + nextDMCHD) * 0.5, zDMSTR = (dmstr + nextDMSTR) * 0.5,
      zMULTI = (multi + nextMULTI) * 0.5;
    V amount = zDM * cost[0] + zCHD * cost[1] + zSTR * cost[2] + zDMCHD * cost[3] + zDMSTR * cost[4] + zMULTI * cost[5];
    V health = zDM * utility[0] + zCHD * utility[1] + zSTR * utility[2] + zDMCHD * utility[3] + zDMSTR * utility[4] + zMULTI * utility[5];
    V free = tunnel + zOff;
    costs += costWeight[c] * (tunnel * (cEF + cFU) + zOff * cEF + amount + newDM * event[0] + newCHD * event[1] +
                              newSTR * event[2] + deaths * event[3]);
    qaly += (effectWeight[c] / 12) * (u0 - bU * (bmi - 25)) * (free + health);
    ly += (free + zDM + zCHD + zSTR + zDMCHD + zDMSTR + zMULTI) * (1.0 / 12);
    events += newCHD + newSTR;
    off = offNext, dm = nextDM, chd = nextCHD, str = nextSTR, dmchd = nextDMCHD, dmstr = nextDMSTR, multi = nextMULTI;
  }
  out[0] = costs;
  out[1] = qaly;
  out[2] = ly;
  out[3] = events;
}

static void runAll(const double *rows, int draws, double *out) {
  for (int d = 0; d < draws; d += LANES) {
    V p[P], results[OUT];
    // lanes beyond the last draw repeat it
    for (int l = 0; l < LANES; l++) {
      int draw = d + l < draws ? d + l : draws - 1;
      for (int k = 0; k < P; k++) p[k][l] = rows[draw * P + k];
    }
    for (int s = 0; s < S; s++) {
      runLanes(p, p + 40 + 5 * s, results);
      for (int l = 0; l < LANES && d + l < draws; l++)
        for (int k = 0; k < OUT; k++) out[((d + l) * S + s) * OUT + k] = results[k][l];
    }
  }
}

int main(int argc, char **argv) { return frame(argc, argv, runAll); }
