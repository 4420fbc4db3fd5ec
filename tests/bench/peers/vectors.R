# The reference workload in base R, vectorised over draws: loops over strategies and cycles only.
# Arguments: file of rows (doubles, [draw][60]), number of draws, file for outcomes (doubles, [draw][strategy][4]).
# Prints { "user": seconds of processor time, "wall": seconds } of the loops.
arguments <- commandArgs(TRUE)
draws <- as.integer(arguments[2])
rows <- matrix(readBin(arguments[1], "double", 60 * draws), nrow = draws, byrow = TRUE)
cycles <- 480
ages <- 0:100
life <- -log(1 - round(pmin(0.6, 0.0002 + 0.00002 * exp(0.1 * ages)), 6)) / 12

run <- function(p, o) {
  L <- o[[1]]; r <- o[[2]]; pDisc <- o[[3]]; cEF <- p[[22]]; cTunnel <- p[[22]] + o[[5]]
  hcDMSTR <- p[[12]] * p[[15]]; hsDMCHD <- p[[13]] * p[[14]]
  costs <- o[[4]]; qaly <- 0; years <- 0; events <- 0
  t1 <- 1; t2 <- t3 <- t4 <- t5 <- t6 <- off <- dm <- chd <- str <- dmchd <- dmstr <- multi <- 0
  for (c in 0:(cycles - 1)) {
    m <- c + 0.5
    dA <- 40 + m / 12 - 50
    bmi <- if (m < 6) p[[1]] * (1 - L * m / 6) else p[[1]] * (1 - L * exp(-r * ((m - 6) / 12)))
    over <- bmi - 30
    hd <- exp(p[[2]] + p[[3]] * over + p[[4]] * dA) / 12
    hc <- exp(p[[5]] + p[[6]] * over + p[[7]] * dA) / 12
    hs <- exp(p[[8]] + p[[9]] * over + p[[10]] * dA) / 12
    h <- life[min(100, 40 + c %/% 12) + 1] * exp(p[[11]] * (bmi - 25))
    tunnel <- if (c < 6) t1 + t2 + t3 + t4 + t5 + t6 else 0
    # those without an event
    total <- hd + hc + hs + h
    left <- exp(-total)
    leaving <- (tunnel + off) * ((1 - left) / total)
    toDM <- leaving * hd; toCHD <- leaving * hc; toSTR <- leaving * hs; toDead <- leaving * h
    offNext <- off * left
    tunnelNext <- 0
    if (c < 6) {
      stays <- t3 * left
      offNext <- offNext + t6 * left + stays * pDisc
      t6 <- t5 * left; t5 <- t4 * left; t4 <- stays * (1 - pDisc); t3 <- t2 * left; t2 <- t1 * left; t1 <- 0
      tunnelNext <- t2 + t3 + t4 + t5 + t6
    }
    # diabetes
    a <- hc * p[[12]]; b <- hs * p[[13]]; d <- h * p[[16]]
    total <- a + b + d; stay <- exp(-total); leaving <- dm * ((1 - stay) / total)
    dmNext <- dm * stay + toDM
    dmToDMCHD <- leaving * a; dmToDMSTR <- leaving * b; toDead <- toDead + leaving * d
    # heart
    b <- hs * p[[14]]; d <- h * p[[17]]
    total <- hd + b + d; stay <- exp(-total); leaving <- chd * ((1 - stay) / total)
    chdNext <- chd * stay + toCHD
    chdToDMCHD <- leaving * hd; chdToMULTI <- leaving * b; toDead <- toDead + leaving * d
    # stroke
    b <- hc * p[[15]]; d <- h * p[[18]]
    total <- hd + b + d; stay <- exp(-total); leaving <- str * ((1 - stay) / total)
    strNext <- str * stay + toSTR
    strToDMSTR <- leaving * hd; strToMULTI <- leaving * b; toDead <- toDead + leaving * d
    # pairs
    a <- hs * hsDMCHD; d <- h * p[[19]]
    total <- a + d; stay <- exp(-total); leaving <- dmchd * ((1 - stay) / total)
    dmchdNext <- dmchd * stay + dmToDMCHD + chdToDMCHD
    dmchdToMULTI <- leaving * a; toDead <- toDead + leaving * d
    a <- hc * hcDMSTR; d <- h * p[[20]]
    total <- a + d; stay <- exp(-total); leaving <- dmstr * ((1 - stay) / total)
    dmstrNext <- dmstr * stay + dmToDMSTR + strToDMSTR
    dmstrToMULTI <- leaving * a; toDead <- toDead + leaving * d
    stay <- exp(-(h * p[[21]]))
    multiNext <- multi * stay + chdToMULTI + strToMULTI + dmchdToMULTI + dmstrToMULTI
    toDead <- toDead + multi * (1 - stay)
    newDM <- toDM + chdToDMCHD + strToDMSTR
    newCHD <- toCHD + dmToDMCHD + strToMULTI + dmstrToMULTI
    newSTR <- toSTR + dmToDMSTR + chdToMULTI + dmchdToMULTI
    # twice the mean membership
    zTunnel <- tunnel + tunnelNext; zOff <- off + offNext; zDM <- dm + dmNext; zCHD <- chd + chdNext
    zSTR <- str + strNext; zDMCHD <- dmchd + dmchdNext; zDMSTR <- dmstr + dmstrNext; zMULTI <- multi + multiNext
    costs <- costs + 1.03^(-m / 12) * ((zTunnel * cTunnel + zOff * cEF + zDM * p[[23]] + zCHD * p[[24]] +
      zSTR * p[[25]] + zDMCHD * p[[26]] + zDMSTR * p[[27]] + zMULTI * p[[28]]) / 2 +
      newDM * p[[29]] + newCHD * p[[30]] + newSTR * p[[31]] + toDead * p[[32]])
    free <- zTunnel + zOff
    qaly <- qaly + (1.015^(-m / 12) / 24) * (p[[33]] - p[[34]] * (bmi - 25)) * (free + zDM * p[[35]] + zCHD * p[[36]] +
      zSTR * p[[37]] + zDMCHD * p[[38]] + zDMSTR * p[[39]] + zMULTI * p[[40]])
    years <- years + (free + zDM + zCHD + zSTR + zDMCHD + zDMSTR + zMULTI) / 24
    events <- events + newCHD + newSTR
    off <- offNext; dm <- dmNext; chd <- chdNext; str <- strNext
    dmchd <- dmchdNext; dmstr <- dmstrNext; multi <- multiNext
  }
  rbind(costs, qaly, years, events)
}

columns <- lapply(1:60, function(k) rows[, k])
outcomes <- array(0, c(4, 4, draws))
before <- proc.time()
for (s in 0:3) outcomes[, s + 1, ] <- run(columns[1:40], columns[41:45 + 5 * s])
taken <- proc.time() - before
writeBin(as.vector(outcomes), arguments[3])
cat(sprintf('{ "user": %.6f, "wall": %.6f }\n', taken[["user.self"]], taken[["elapsed"]]))
