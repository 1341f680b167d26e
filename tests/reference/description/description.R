# Reference values for tests/src/description: run `Rscript description.R > description.json` in this folder.
# Written with R 4.2.2 (stats::shapiro.test, stats::quantile) and jsonlite.
library(jsonlite)
set.seed(20260301)
sample_of <- function(n, kind) {
  x <- switch(kind,
    normal = rnorm(n, 12.5, 0.04), skew = rexp(n), uniform = runif(n), heavy = rt(n, 3),
    gauged = round(rnorm(n, 8, 0.02), 2), near = qnorm(ppoints(n))
  )
  round(x, 5)
}
sets <- list(
  c("normal", 3), c("skew", 3), c("normal", 4), c("heavy", 5), c("normal", 6), c("uniform", 7), c("skew", 8),
  c("normal", 11), c("heavy", 11), c("normal", 12), c("uniform", 20), c("skew", 20), c("gauged", 30), c("near", 40),
  c("normal", 50), c("heavy", 60), c("uniform", 100), c("normal", 200), c("near", 500), c("skew", 100)
)
out <- lapply(sets, function(s) {
  x <- sample_of(as.integer(s[2]), s[1])
  t <- shapiro.test(x)
  p <- c(0, 0.00135, 0.05, 0.25, 0.5, 0.77, 0.99865, 1)
  list(kind = s[1], values = x, w = unname(t$statistic), p = t$p.value,
       type7 = unname(quantile(x, p, type = 7)), type8 = unname(quantile(x, p, type = 8)))
})
# 5000 values too many to write down: (i * 2654435761 mod 2^32) / 2^32 for i = 1..5000, and its square root.
u <- (seq_len(5000) * 2654435761) %% 2^32 / 2^32
large <- lapply(list(u = u, root = sqrt(u), normal = qnorm(u)), function(x) {
  t <- shapiro.test(x); list(w = unname(t$statistic), p = t$p.value)
})
cat(toJSON(list(r = R.version.string, sets = out, large = large), digits = I(17), auto_unbox = TRUE, pretty = FALSE))
