# The reference workload in base R as one would first write it: loops over draws, strategies and cycles, a transition
# matrix a cycle, the next membership by a matrix product.
# Arguments: file of rows (doubles, [draw][60]), number of draws, file for outcomes (doubles, [draw][strategy][4]).
# Prints { "user": seconds of processor time, "wall": seconds } of the loops.
arguments <- commandArgs(TRUE)
draws <- as.integer(arguments[2])
rows <- matrix(readBin(arguments[1], "double", 60 * draws), nrow = draws, byrow = TRUE)
cycles <- 480
ages <- 0:100
life <- -log(1 - round(pmin(0.6, 0.0002 + 0.00002 * exp(0.1 * ages)), 6)) / 12
OFF <- 7; DM <- 8; CHD <- 9; STR <- 10; DMCHD <- 11; DMSTR <- 12; MULTI <- 13; DEAD <- 14

run <- function(p, o) {
  L <- o[1]; r <- o[2]; pDisc <- o[3]
  x <- c(1, rep(0, 13))
  costs <- o[4]; qaly <- 0; years <- 0; events <- 0
  stateCost <- c(rep(p[22] + o[5], 6), p[22], p[23:28], 0)
  stateUtility <- c(rep(1, 7), p[35:40], 0)
  alive <- c(rep(1, 13), 0)
  for (c in 0:(cycles - 1)) {
    m <- c + 0.5
    dA <- 40 + m / 12 - 50
    bmi <- if (m < 6) p[1] * (1 - L * m / 6) else p[1] * (1 - L * exp(-r * (m - 6) / 12))
    hd <- exp(p[2] + p[3] * (bmi - 30) + p[4] * dA) / 12
    hc <- exp(p[5] + p[6] * (bmi - 30) + p[7] * dA) / 12
    hs <- exp(p[8] + p[9] * (bmi - 30) + p[10] * dA) / 12
    h <- life[min(100, 40 + c %/% 12) + 1] * exp(p[11] * (bmi - 25))
    chances <- function(hazards) {
      total <- sum(hazards)
      hazards * (1 - exp(-total)) / total
    }
    P <- matrix(0, 14, 14)
    free <- chances(c(hd, hc, hs, h))
    left <- 1 - sum(free)
    for (i in 1:7) P[i, c(DM, CHD, STR, DEAD)] <- free
    for (i in c(1, 2, 4, 5)) P[i, i + 1] <- left
    P[3, 4] <- left * (1 - pDisc)
    P[3, OFF] <- left * pDisc
    P[6, OFF] <- left
    P[OFF, OFF] <- left
    P[DM, c(DMCHD, DMSTR, DEAD)] <- chances(c(hc * p[12], hs * p[13], h * p[16]))
    P[CHD, c(DMCHD, MULTI, DEAD)] <- chances(c(hd, hs * p[14], h * p[17]))
    P[STR, c(DMSTR, MULTI, DEAD)] <- chances(c(hd, hc * p[15], h * p[18]))
    P[DMCHD, c(MULTI, DEAD)] <- chances(c(hs * p[13] * p[14], h * p[19]))
    P[DMSTR, c(MULTI, DEAD)] <- chances(c(hc * p[12] * p[15], h * p[20]))
    P[MULTI, DEAD] <- chances(h * p[21])
    for (i in DM:DEAD) P[i, i] <- 1 - sum(P[i, ])
    y <- as.vector(x %*% P)
    someFree <- sum(x[1:7])
    newDM <- someFree * free[1] + x[CHD] * P[CHD, DMCHD] + x[STR] * P[STR, DMSTR]
    newCHD <- someFree * free[2] + x[DM] * P[DM, DMCHD] + x[STR] * P[STR, MULTI] + x[DMSTR] * P[DMSTR, MULTI]
    newSTR <- someFree * free[3] + x[DM] * P[DM, DMSTR] + x[CHD] * P[CHD, MULTI] + x[DMCHD] * P[DMCHD, MULTI]
    deaths <- sum(x[1:13] * P[1:13, DEAD])
    z <- (x + y) / 2
    costs <- costs + 1.03^(-m / 12) *
      (sum(z * stateCost) + newDM * p[29] + newCHD * p[30] + newSTR * p[31] + deaths * p[32])
    qaly <- qaly + 1.015^(-m / 12) * (p[33] - p[34] * (bmi - 25)) * sum(z * stateUtility) / 12
    years <- years + sum(z * alive) / 12
    events <- events + newCHD + newSTR
    x <- y
  }
  c(costs, qaly, years, events)
}

outcomes <- numeric(16 * draws)
before <- proc.time()
for (d in 1:draws) {
  for (s in 0:3) {
    at <- ((d - 1) * 4 + s) * 4
    outcomes[at + 1:4] <- run(rows[d, 1:40], rows[d, 41:45 + 5 * s])
  }
}
taken <- proc.time() - before
writeBin(outcomes, arguments[3])
cat(sprintf('{ "user": %.6f, "wall": %.6f }\n', taken[["user.self"]], taken[["elapsed"]]))
