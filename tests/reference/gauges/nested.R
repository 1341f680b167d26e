# Reference values for tests/src/gauges/nested-study.test.ts: run `Rscript nested.R > nested.json` in this folder.
# Written with R 4.2.2, lme4 1.1-31, jsonlite. Every inspector has parts of his own. Mean squares and F are aov's,
# variances are lme4's (REML).
suppressPackageStartupMessages({ library(lme4); library(jsonlite) })
set.seed(20261125)

simulate <- function(parts, inspectors, trials, sds, missing) {
  d <- expand.grid(trial = seq_len(trials), part = seq_len(parts), inspector = seq_len(inspectors))
  b <- rnorm(inspectors, 0, sds[1]); a <- matrix(rnorm(parts * inspectors, 0, sds[2]), parts)
  d$y <- round(12.5 + b[d$inspector] + a[cbind(d$part, d$inspector)] + rnorm(nrow(d), 0, sds[3]), 4)
  if (missing == 0) d else d[-sample(nrow(d), missing), ]
}

analyse <- function(name, d) {
  d$O <- factor(d$inspector); d$P <- factor(paste(d$inspector, d$part))
  fit <- suppressMessages(lmer(y ~ 1 + (1 | O) + (1 | P), d, REML = TRUE,
    control = lmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-10, maxfun = 1e5),
                          check.conv.singular = "ignore", check.conv.grad = "ignore")))
  vc <- as.data.frame(VarCorr(fit))
  out <- list(name = name, part = d$part, inspector = d$inspector, values = d$y,
    variances = list(inspector = vc$vcov[vc$grp == "O"], part = vc$vcov[vc$grp == "P"], repeatability = sigma(fit)^2))
  if (length(unique(table(d$P))) == 1) {
    a <- anova(lm(y ~ O + P, d))
    f <- a$"Mean Sq"[1:2] / a$"Mean Sq"[2:3]
    out$analysis <- list(df = a$Df, sumOfSquares = a$"Sum Sq", f = f,
      p = pf(f, a$Df[1:2], a$Df[2:3], lower.tail = FALSE))
  }
  out
}

cat(toJSON(list(r = R.version.string, lme4 = as.character(packageVersion("lme4")), sets = list(
  analyse("five parts each, all readings there", simulate(5, 3, 3, c(0.04, 0.05, 0.01), 0)),
  analyse("two inspectors, two readings", simulate(8, 2, 2, c(0.03, 0.02, 0.02), 0)),
  analyse("readings missing", simulate(6, 4, 3, c(0.04, 0.03, 0.01), 11))
)), digits = I(17), auto_unbox = TRUE))
