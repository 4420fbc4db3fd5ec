// The reference workload in plain scalar C, straightforward: gcc -O3 -march=native workload.c -lm.
// Arguments, printed line, files: see frame.h.
#include "frame.h"

enum { OFF = 6, DM, CHD, STR, DMCHD, DMSTR, MULTI, DEAD };

static void run(const double *p, const double *o, double *out) {
  double bmi0 = p[0], lnbDM = p[1], bBDM = p[2], bADM = p[3], lnbCHD = p[4], bBCHD = p[5], bACHD = p[6], lnbSTR = p[7],
         bBSTR = p[8], bASTR = p[9], bM = p[10], dmCHD = p[11], dmSTR = p[12], chdSTR = p[13], strCHD = p[14],
         mDM = p[15], mCHD = p[16], mSTR = p[17], mDMCHD = p[18], mDMSTR = p[19], mMULTI = p[20], cEF = p[21];
  const double *cost = p + 22, *event = p + 28, *utility = p + 34;
  double u0 = p[32], bU = p[33], L = o[0], r = o[1], pDisc = o[2], cInit = o[3], cFU = o[4];
  double x[K] = {1}, y[K];
  double costs = cInit, qaly = 0, ly = 0, events = 0;
  for (int c = 0; c < T; c++) {
    double m = c + 0.5, age = 40 + m / 12, dA = age - 50;
    int row = 40 + c / 12 < 100 ? 40 + c / 12 : 100;
    double bmi = m < 6 ? bmi0 * (1 - L * m / 6) : bmi0 * (1 - L * exp(-r * (m - 6) / 12));
    double hd = exp(lnbDM + bBDM * (bmi - 30) + bADM * dA) / 12;
    double hc = exp(lnbCHD + bBCHD * (bmi - 30) + bACHD * dA) / 12;
    double hs = exp(lnbSTR + bBSTR * (bmi - 30) + bASTR * dA) / 12;
    double h = life[row] * exp(bM * (bmi - 25));
    for (int i = 0; i < K; i++) y[i] = 0;
    double newDM = 0, newCHD = 0, newSTR = 0, deaths = 0;

    double H = hd + hc + hs + h, q = 1 - exp(-H), k = q / H;
    double toDM = hd * k, toCHD = hc * k, toSTR = hs * k, toDead = h * k, left = 1 - q;
    for (int i = 0; i <= OFF; i++) {
      double stay = x[i] * left;
      y[DM] += x[i] * toDM;
      y[CHD] += x[i] * toCHD;
      y[STR] += x[i] * toSTR;
      y[DEAD] += x[i] * toDead;
      newDM += x[i] * toDM;
      newCHD += x[i] * toCHD;
      newSTR += x[i] * toSTR;
      deaths += x[i] * toDead;
      if (i == 2) {
        y[OFF] += stay * pDisc;
        y[3] += stay * (1 - pDisc);
      } else y[i < OFF ? i + 1 : OFF] += stay;
    }

    double a = hc * dmCHD, b = hs * dmSTR, d = h * mDM;
    H = a + b + d, q = 1 - exp(-H), k = q / H;
    y[DM] += x[DM] * (1 - q);
    y[DMCHD] += x[DM] * (a * k);
    y[DMSTR] += x[DM] * (b * k);
    y[DEAD] += x[DM] * (d * k);
    newCHD += x[DM] * (a * k);
    newSTR += x[DM] * (b * k);
    deaths += x[DM] * (d * k);

    a = hd, b = hs * chdSTR, d = h * mCHD;
    H = a + b + d, q = 1 - exp(-H), k = q / H;
    y[CHD] += x[CHD] * (1 - q);
    y[DMCHD] += x[CHD] * (a * k);
    y[MULTI] += x[CHD] * (b * k);
    y[DEAD] += x[CHD] * (d * k);
    newDM += x[CHD] * (a * k);
    newSTR += x[CHD] * (b * k);
    deaths += x[CHD] * (d * k);

    a = hd, b = hc * strCHD, d = h * mSTR;
    H = a + b + d, q = 1 - exp(-H), k = q / H;
    y[STR] += x[STR] * (1 - q);
    y[DMSTR] += x[STR] * (a * k);
    y[MULTI] += x[STR] * (b * k);
    y[DEAD] += x[STR] * (d * k);
    newDM += x[STR] * (a * k);
    newCHD += x[STR] * (b * k);
    deaths += x[STR] * (d * k);

    a = hs * dmSTR * chdSTR, d = h * mDMCHD;
    H = a + d, q = 1 - exp(-H), k = q / H;
    y[DMCHD] += x[DMCHD] * (1 - q);
    y[MULTI] += x[DMCHD] * (a * k);
    y[DEAD] += x[DMCHD] * (d * k);
    newSTR += x[DMCHD] * (a * k);
    deaths += x[DMCHD] * (d * k);

    a = hc * dmCHD * strCHD, d = h * mDMSTR;
    H = a + d, q = 1 - exp(-H), k = q / H;
    y[DMSTR] += x[DMSTR] * (1 - q);
    y[MULTI] += x[DMSTR] * (a * k);
    y[DEAD] += x[DMSTR] * (d * k);
    newCHD += x[DMSTR] * (a * k);
    deaths += x[DMSTR] * (d * k);

    q = 1 - exp(-(h * mMULTI));
    y[MULTI] += x[MULTI] * (1 - q);
    y[DEAD] += x[MULTI] * q;
    deaths += x[MULTI] * q;
    y[DEAD] += x[DEAD];

    double z[K], tunnel = 0, amount = 0, health = 0, alive = 0;
    for (int i = 0; i < K; i++) z[i] = (x[i] + y[i]) / 2;
    for (int i = 0; i < OFF; i++) tunnel += z[i];
    for (int i = DM; i < DEAD; i++) {
      amount += z[i] * cost[i - DM];
      health += z[i] * utility[i - DM];
      alive += z[i];
    }
    alive += tunnel + z[OFF];
    costs += costWeight[c] * (tunnel * (cEF + cFU) + z[OFF] * cEF + amount + newDM * event[0] + newCHD * event[1] +
                              newSTR * event[2] + deaths * event[3]);
    qaly += effectWeight[c] * (u0 - bU * (bmi - 25)) * (tunnel + z[OFF] + health) / 12;
    ly += alive / 12;
    events += newCHD + newSTR;
    for (int i = 0; i < K; i++) x[i] = y[i];
  }
  out[0] = costs;
  out[1] = qaly;
  out[2] = ly;
  out[3] = events;
}

static void runAll(const double *rows, int draws, double *out) {
  for (int d = 0; d < draws; d++)
    for (int s = 0; s < S; s++) run(rows + d * P, rows + d * P + 40 + 5 * s, out + (d * S + s) * OUT);
}

int main(int argc, char **argv) { return frame(argc, argv, runAll); }
