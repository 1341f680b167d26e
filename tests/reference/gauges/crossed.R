# Reference values for tests/src/gauges: run `Rscript crossed.R > crossed.json` in this folder.
# Written with R 4.2.2, lme4 1.1-31, jsonlite. Estimates are lme4's (REML). Profile limits come from a second, plain
# computation with full matrices, compared with lme4's criterion. A limit of a sum or a share is found by writing the
# variances as that value times shares of it, and minimising over the shares.
suppressPackageStartupMessages({ library(lme4); library(jsonlite) })
set.seed(20260518)

simulate_study <- function(parts, inspectors, trials, sds, missing, digits) {
  d <- expand.grid(trial = seq_len(trials), inspector = seq_len(inspectors), part = seq_len(parts))
  a <- rnorm(parts, 0, sds[1]); b <- rnorm(inspectors, 0, sds[2])
  ab <- matrix(rnorm(parts * inspectors, 0, sds[3]), parts)
  d$y <- round(12.5 + a[d$part] + b[d$inspector] + ab[cbind(d$part, d$inspector)] + rnorm(nrow(d), 0, sds[4]), digits)
  d[-sample(nrow(d), missing), ]
}
sets <- list(
  list(name = "a few readings missing", interaction = TRUE,
       data = simulate_study(8, 3, 2, c(0.05, 0.02, 0.012, 0.01), 5, 4)),
  list(name = "many cells missing", interaction = TRUE,
       data = simulate_study(10, 4, 3, c(0.03, 0.015, 0.01, 0.008), 60, 4)),
  list(name = "no interaction to be seen", interaction = TRUE,
       data = simulate_study(9, 3, 3, c(0.04, 0.01, 0, 0.015), 7, 4)),
  list(name = "inspectors alike", interaction = TRUE,
       data = simulate_study(7, 3, 3, c(0.04, 0, 0.006, 0.01), 9, 4)),
  list(name = "one trial, cells missing", interaction = FALSE,
       data = simulate_study(12, 4, 1, c(0.04, 0.02, 0, 0.01), 10, 4)),
  list(name = "a gauge far finer than the parts", interaction = TRUE,
       data = simulate_study(6, 3, 2, c(0.6, 0.3, 0.004, 0.002), 4, 5))
)

analyse <- function(set) {
  d <- set$data
  y <- d$y; n <- length(y)
  d$P <- factor(d$part); d$O <- factor(d$inspector); d$I <- factor(paste(d$part, d$inspector))
  formula <- if (set$interaction) y ~ 1 + (1 | P) + (1 | O) + (1 | I) else y ~ 1 + (1 | P) + (1 | O)
  fit <- suppressMessages(lmer(formula, d, REML = TRUE,
    control = lmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-10, maxfun = 1e5),
                          check.conv.singular = "ignore", check.conv.grad = "ignore")))
  vc <- as.data.frame(VarCorr(fit))
  groups <- c("P", "O", if (set$interaction) "I")
  variances <- c(sapply(groups, function(g) vc$vcov[vc$grp == g]), sigma(fit)^2)
  K <- length(variances)
  blocks <- c(lapply(groups, function(g) outer(d[[g]], d[[g]], "==") * 1), list(diag(n)))
  flat <- sapply(blocks, as.vector)
  one <- rep(1, n)
  deviance_at <- function(v) {
    V <- matrix(flat %*% v, n)
    U <- tryCatch(chol(V), error = function(e) NULL)
    if (is.null(U)) return(1e10)
    z1 <- backsolve(U, one, transpose = TRUE); zy <- backsolve(U, y, transpose = TRUE)
    a <- sum(z1^2)
    (n - 1) * log(2 * pi) + 2 * sum(log(diag(U))) + log(a) + sum((zy - z1 * sum(z1 * zy) / a)^2)
  }
  best <- deviance_at(variances)
  criterion <- as.numeric(REMLcrit(fit))
  stopifnot(abs(best - criterion) < 1e-6)
  target <- best + qchisq(0.95, 1)
  unit <- var(y)
  # Least deviance over log variances of the components in `free`, given a map to all variances.
  least <- function(map, m) {
    starts <- list(rep(log(unit / 3), m), rep(log(unit / 100), m), log(unit) - c(1, 20, 5)[seq_len(m)])
    min(sapply(starts, function(s) nlminb(s, function(x) deviance_at(map(x)), lower = -45, upper = log(unit) + 18,
      control = list(rel.tol = 1e-12, x.tol = 1e-9, iter.max = 1000, eval.max = 5000))$objective))
  }
  # Shares of a total: exp(x) over their sum.
  shares <- function(x) { e <- c(1, exp(x)); e / sum(e) }
  profile_single <- function(k, v) {
    least(function(x) { full <- numeric(K); full[k] <- v; full[-k] <- exp(x); full }, K - 1)
  }
  # As `least`, over shares of a sum (reference: the last component, never 0) and the log of what else is free.
  least_shares <- function(map, m, more) {
    f <- function(x) deviance_at(map(x))
    starts <- lapply(list(0, -3, c(3, -8), c(-8, 3)), function(s) c(rep_len(s, m), rep(log(unit), more)))
    min(sapply(starts, function(s) nlminb(s, f, lower = c(rep(-40, m), rep(-45, more)), upper = c(rep(40, m), rep(log(unit) + 18, more)),
      control = list(rel.tol = 1e-12, x.tol = 1e-9, iter.max = 1000, eval.max = 5000))$objective))
  }
  gauge <- rev(2:K)
  profile_gauge <- function(v) least_shares(function(x) {
    full <- numeric(K); full[gauge] <- v * shares(x[seq_len(K - 2)]); full[1] <- exp(x[K - 1]); full
  }, K - 2, 1)
  profile_share <- function(rho) least_shares(function(x) {
    total <- exp(x[K - 1]); full <- numeric(K); full[gauge] <- total * rho * shares(x[seq_len(K - 2)]); full[1] <- total * (1 - rho); full
  }, K - 2, 1)
  limits <- function(profile, at, zero, most) {
    g <- function(v) profile(v) - target
    low <- if (zero && g(0) <= 0) 0 else uniroot(g, c(if (zero) 0 else at * 0.02, at), tol = 1e-9 * max(at, 1e-3 * unit))$root
    top <- max(at, unit * 1e-3)
    while (g(min(top, most)) < 0 && top < most) top <- top * 1.6
    high <- if (top >= most && g(most) < 0) most else uniroot(g, c(at, min(top, most)), tol = 1e-9 * max(at, 1e-3 * unit))$root
    c(low, high)
  }
  singles <- t(sapply(seq_len(K), function(k) limits(function(v) profile_single(k, v), variances[k], k < K, Inf)))
  of_gauge <- limits(profile_gauge, sum(variances[-1]), FALSE, Inf)
  rho <- sum(variances[-1]) / sum(variances)
  of_share <- limits(profile_share, rho, FALSE, 1 - 1e-12)
  list(name = set$name, interaction = set$interaction, part = d$part, inspector = d$inspector, values = y,
       variances = variances, lower = singles[, 1], upper = singles[, 2], deviance = criterion,
       gauge = of_gauge, share = of_share)
}
cat(toJSON(list(r = R.version.string, lme4 = as.character(packageVersion("lme4")), sets = lapply(sets, analyse)),
           digits = I(17), auto_unbox = TRUE))
