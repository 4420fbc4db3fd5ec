// What the peers in C share: tables of the reference workload, rows in, outcomes out, time taken.
// Arguments: file of rows (doubles, [draw][60]), number of draws, file for outcomes (doubles, [draw][strategy][4]).
// Prints { "user": seconds of processor time, "wall": seconds } of the loop over draws.
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <time.h>

enum { P = 60, S = 4, T = 480, K = 14, OUT = 4 };

static double life[101], costWeight[T], effectWeight[T];

static void tables(void) {
  for (int a = 0; a <= 100; a++) {
    double q = fmin(0.6, 0.0002 + 0.00002 * exp(0.1 * a));
    life[a] = -log(1 - round(q * 1e6) / 1e6) / 12;
  }
  for (int c = 0; c < T; c++) {
    costWeight[c] = pow(1.03, -(c + 0.5) / 12);
    effectWeight[c] = pow(1.015, -(c + 0.5) / 12);
  }
}

static double user(void) {
  struct rusage usage;
  getrusage(RUSAGE_SELF, &usage);
  return usage.ru_utime.tv_sec + usage.ru_utime.tv_usec * 1e-6;
}

static double wall(void) {
  struct timespec now;
  clock_gettime(CLOCK_MONOTONIC, &now);
  return now.tv_sec + now.tv_nsec * 1e-9;
}

static int frame(int argc, char **argv, void (*run)(const double *rows, int draws, double *out)) {
  if (argc != 4) return 2;
  int draws = atoi(argv[2]);
  size_t in = (size_t)draws * P, outcomes = (size_t)draws * S * OUT;
  double *rows = malloc(sizeof(double) * in), *out = malloc(sizeof(double) * outcomes);
  FILE *file = fopen(argv[1], "rb");
  if (!file || fread(rows, sizeof(double), in, file) != in) return 1;
  fclose(file);
  tables();
  double fromUser = user(), fromWall = wall();
  run(rows, draws, out);
  double toUser = user(), toWall = wall();
  file = fopen(argv[3], "wb");
  if (!file || fwrite(out, sizeof(double), outcomes, file) != outcomes || fclose(file)) return 1;
  printf("{ \"user\": %.6f, \"wall\": %.6f }\n", toUser - fromUser, toWall - fromWall);
  return 0;
}
