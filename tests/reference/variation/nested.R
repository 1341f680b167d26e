# Reference values for tests/src/variation: run `Rscript nested.R > nested.json` in this folder.
# Written with R 4.2.2, lme4 1.1-31, jsonlite. Estimates are lme4's (REML). The profile limits come from a second,
# plain computation with full matrices, which is also compared with lme4's criterion.
suppressPackageStartupMessages({ library(lme4); library(jsonlite) })
set.seed(20260411)

simulate_nested <- function(children, sds, mean, digits) {
  # children: for each level, a function that draws the number of members; the last one draws repeats.
  rows <- list()
  walk <- function(level, labels, value) {
    for (i in seq_len(children[[level]]())) {
      if (level == length(children)) {
        rows[[length(rows) + 1]] <<- c(labels, value + rnorm(1, 0, sds[level]))
      } else {
        walk(level + 1, c(labels, i), value + rnorm(1, 0, sds[level]))
      }
    }
  }
  walk(1, c(), mean)
  m <- do.call(rbind, rows)
  list(levels = lapply(seq_len(ncol(m) - 1), function(k) m[, k]), values = round(m[, ncol(m)], digits))
}
pick <- function(...) { v <- c(...); function() v[sample.int(length(v), 1)] }
fixed <- function(n) function() n

dyestuff <- list(levels = list(as.integer(Dyestuff$Batch)), values = Dyestuff$Yield)
sets <- list(
  list(name = "furnace load, build, part, repeat", data = simulate_nested(
    list(fixed(7), pick(1, 2, 3), pick(1, 2, 4), pick(1, 2, 3)), c(0.02, 0.012, 0.009, 0.004), 12.5, 4)),
  list(name = "build, part, repeat; builds do not differ", data = simulate_nested(
    list(fixed(8), pick(2, 3, 5), pick(1, 2, 4)), c(0, 0.01, 0.006), 31.75, 4)),
  list(name = "furnace load, build, repeat; builds hide in the scatter", data = simulate_nested(
    list(fixed(9), pick(1, 2, 3), pick(2, 3, 7)), c(0.03, 0.0005, 0.02), 6.35, 4)),
  list(name = "build, part; of very different sizes", data = simulate_nested(
    list(fixed(12), pick(1, 1, 2, 5, 20)), c(0.05, 0.01), 101.6, 4)),
  list(name = "dyestuff: O. L. Davies and P. L. Goldsmith, Statistical Methods in Research and Production (1972)",
       data = dyestuff)
)

analyse <- function(set) {
  y <- set$data$values
  n <- length(y)
  ids <- list()
  for (k in seq_along(set$data$levels)) {
    ids[[k]] <- factor(if (k == 1) set$data$levels[[1]] else paste(ids[[k - 1]], set$data$levels[[k]], sep = "/"))
  }
  frame <- data.frame(y = y)
  for (k in seq_along(ids)) frame[[paste0("g", k)]] <- ids[[k]]
  formula <- as.formula(paste("y ~ 1 +", paste0("(1 | g", seq_along(ids), ")", collapse = " + ")))
  fit <- suppressMessages(lmer(formula, frame, REML = TRUE,
    control = lmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-10, maxfun = 1e5),
                          check.conv.singular = "ignore", check.conv.grad = "ignore")))
  vc <- as.data.frame(VarCorr(fit))
  sds <- sapply(seq_along(ids), function(k) vc$sdcor[vc$grp == paste0("g", k)])
  sds <- c(sds, sigma(fit))

  blocks <- c(lapply(ids, function(id) outer(id, id, "==") * 1), list(diag(n)))
  one <- rep(1, n)
  deviance_at <- function(s) {
    V <- Reduce(`+`, Map(function(b, v) b * v^2, blocks, s))
    U <- chol(V)
    z1 <- backsolve(U, one, transpose = TRUE); zy <- backsolve(U, y, transpose = TRUE)
    a <- sum(z1^2)
    (n - 1) * log(2 * pi) + 2 * sum(log(diag(U))) + log(a) + sum((zy - z1 * sum(z1 * zy) / a)^2)
  }
  unit <- sd(y)
  best <- deviance_at(sds)
  criterion <- as.numeric(REMLcrit(fit))
  stopifnot(abs(best - criterion) < 1e-6)
  K <- length(sds)
  # Variables: standard deviations in units of sd(y); the residual as a logarithm.
  profile <- function(k, s) {
    others <- setdiff(seq_len(K), k)
    starts <- list(sds[others], pmax(sds[others], 0.1 * unit), rep(0.5 * unit, K - 1))
    f <- function(x) { full <- numeric(K); full[k] <- s; full[others] <- ifelse(others == K, exp(x), x) * unit; deviance_at(full) }
    min(sapply(starts, function(st) {
      x0 <- ifelse(others == K, log(st / unit), st / unit)
      nlminb(x0, f, lower = ifelse(others == K, -20, 0), control = list(rel.tol = 1e-14, x.tol = 1e-12, iter.max = 1000, eval.max = 5000))$objective
    }))
  }
  target <- best + qchisq(0.95, 1)
  limits <- t(sapply(seq_len(K), function(k) {
    g <- function(s) profile(k, s) - target
    low <- if (k < K && g(0) <= 0) 0 else uniroot(g, c(if (k == K) sds[k] * 0.2 else 0, sds[k]), tol = 1e-11)$root
    top <- max(sds[k], 0.05 * unit)
    while (g(top) < 0) top <- top * 1.6
    c(low, uniroot(g, c(sds[k], top), tol = 1e-11)$root)
  }))
  list(name = set$name, values = y, levels = set$data$levels, sds = sds, mean = unname(fixef(fit)),
       meanError = sqrt(as.numeric(vcov(fit))), deviance = criterion, lower = limits[, 1], upper = limits[, 2])
}
cat(toJSON(list(r = R.version.string, lme4 = as.character(packageVersion("lme4")), sets = lapply(sets, analyse)),
           digits = I(17), auto_unbox = TRUE))
