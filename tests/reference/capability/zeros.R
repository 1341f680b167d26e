# Deviations read on a gauge that steps by d: values of exactly zero lie below d/2. The exact likelihood of them (left-censored
# at d/2, the others by their density) beside which src/capability/above-zero.ts is held.
# Run: Rscript zeros.R > zeros.json
set.seed(20261125)
upper <- 5
fit <- function(x, d, lower, density, start) {
  zeros <- sum(x == 0)
  y <- x[x > 0]
  loss <- function(p) -(sum(density(y, exp(p))) + zeros * lower(d / 2, exp(p)))
  # From several places, each refined, so that the search is not what the figures depend on.
  best <- NULL
  for (factor in c(0.7, 1, 1.4)) {
    p <- log(start * factor)
    for (i in 1:4) p <- optim(p, loss, method = "BFGS", control = list(reltol = 1e-14, maxit = 1000))$par
    if (is.null(best) || loss(p) < loss(best)) best <- p
  }
  exp(best)
}
families <- list(
  Rayleigh = list(
    draw = function(n) sqrt(-2 * log(runif(n))), start = 1,
    lower = function(q, p) log1p(-exp(-q^2 / (2 * p^2))),
    density = function(x, p) log(x) - 2 * log(p) - x^2 / (2 * p^2),
    quantile = function(u, p) p * sqrt(-2 * log1p(-u))),
  Weibull = list(
    draw = function(n) rweibull(n, 1.6, 1.2), start = c(1.5, 1),
    lower = function(q, p) pweibull(q, p[1], p[2], log.p = TRUE),
    density = function(x, p) dweibull(x, p[1], p[2], log = TRUE),
    quantile = function(u, p) qweibull(u, p[1], p[2])),
  gamma = list(
    draw = function(n) rgamma(n, 2, 2), start = c(2, 0.5),
    lower = function(q, p) pgamma(q, p[1], scale = p[2], log.p = TRUE),
    density = function(x, p) dgamma(x, p[1], scale = p[2], log = TRUE),
    quantile = function(u, p) qgamma(u, p[1], scale = p[2])))
cases <- list()
for (name in names(families)) for (d in c(0.1, 0.2)) {
  f <- families[[name]]
  repeat {
    x <- round(f$draw(300) / d) * d
    if (sum(x == 0) >= 1) break
  }
  p <- fit(x, d, f$lower, f$density, f$start)
  q <- f$quantile(c(0.5, pnorm(3)), p)
  cases[[length(cases) + 1]] <- sprintf(
    '  {"family": "%s", "step": %.1f, "zeros": %d, "parameters": [%s], "ppk": %.10f,\n   "values": [%s]}',
    name, d, sum(x == 0), paste(sprintf("%.10f", p), collapse = ", "), (upper - q[1]) / (q[2] - q[1]),
    paste(sprintf("%.1f", x), collapse = ", "))
}
cat('{\n"madeBy": "', R.version.string, '",\n"upper": ', upper, ',\n"cases": [\n', paste(cases, collapse = ",\n"), "\n]\n}\n", sep = "")
