# Indices by quantiles and tails beyond the limits, straight from R's distributions. Tails are pnorm(-3).
#   Rscript quantile-method.R     writes quantile-method.json beside this script
tail <- pnorm(-3)
num <- function(x) if (is.na(x)) 'null' else sprintf('%.17g', x)
row <- function(family, parameters, q, p, l, u) {
  low <- q(tail, TRUE); middle <- q(0.5, TRUE); high <- q(tail, FALSE)
  pars <- paste(sprintf('"%s":%.17g', names(parameters), unlist(parameters)), collapse = ',')
  sprintf('{"distribution":{"family":"%s",%s},"lower":%s,"upper":%s,"low":%s,"middle":%s,"high":%s,"spread":%s,"toLower":%s,"toUpper":%s,"below":%s,"above":%s}',
    family, pars, num(l), num(u), num(low), num(middle), num(high), num((u - l) / (high - low)),
    num((middle - l) / (middle - low)), num((u - middle) / (high - middle)), num(if (is.na(l)) NA else p(l, TRUE)), num(if (is.na(u)) NA else p(u, FALSE)))
}
weibull <- function(shape, scale, threshold, l, u) row('Weibull', list(shape = shape, scale = scale, threshold = threshold),
  function(p, lower) threshold + qweibull(p, shape, scale, lower), function(x, lower) pweibull(x - threshold, shape, scale, lower), l, u)
lognormal <- function(mu, sigma, l, u) row('lognormal', list(mu = mu, sigma = sigma),
  function(p, lower) qlnorm(p, mu, sigma, lower), function(x, lower) plnorm(x, mu, sigma, lower), l, u)
gamma_ <- function(shape, scale, l, u) row('gamma', list(shape = shape, scale = scale),
  function(p, lower) qgamma(p, shape, scale = scale, lower.tail = lower), function(x, lower) pgamma(x, shape, scale = scale, lower.tail = lower), l, u)
normal <- function(mean, sigma, l, u) row('normal', list(mean = mean, sigma = sigma),
  function(p, lower) qnorm(p, mean, sigma, lower), function(x, lower) pnorm(x, mean, sigma, lower), l, u)
# Rayleigh is Weibull with shape 2 and scale sigma * sqrt(2).
rayleigh <- function(sigma, l, u) row('Rayleigh', list(sigma = sigma),
  function(p, lower) qweibull(p, 2, sigma * sqrt(2), lower), function(x, lower) pweibull(x, 2, sigma * sqrt(2), lower), l, u)
folded <- function(mu, sigma, l, u) {
  p <- function(x, lower) if (lower) pnorm((x - mu) / sigma) - pnorm((-x - mu) / sigma) else pnorm((x - mu) / sigma, lower.tail = FALSE) + pnorm((x + mu) / sigma, lower.tail = FALSE)
  q <- function(t, lower) uniroot(function(x) p(x, lower) / t - 1, c(1e-9, mu + 12 * sigma), tol = 1e-15)$root
  row('folded normal', list(mu = mu, sigma = sigma), q, p, l, u)
}
johnson <- function(family, pars, from, to, l, u) row(family, pars,
  function(p, lower) from(qnorm(p, lower.tail = lower)), function(x, lower) pnorm(to(x), lower.tail = lower), l, u)
su <- function(g, d, x, k, l, u) johnson('Johnson S_U', list(gamma = g, delta = d, xi = x, lambda = k),
  function(z) x + k * sinh((z - g) / d), function(y) g + d * asinh((y - x) / k), l, u)
sb <- function(g, d, x, k, l, u) johnson('Johnson S_B', list(gamma = g, delta = d, xi = x, lambda = k),
  function(z) x + k * plogis((z - g) / d), function(y) g + d * qlogis((y - x) / k), l, u)
sl <- function(g, d, x, l, u) johnson('Johnson S_L', list(gamma = g, delta = d, xi = x),
  function(z) x + exp((z - g) / d), function(y) g + d * log(y - x), l, u)
rows <- c(
  normal(25.01, 0.02, 24.9, 25.1), weibull(1.8, 0.04, 0, NA, 0.15), weibull(2.6, 0.3, 9.8, 9.85, 10.9), weibull(14, 0.5, 0, 0.2, NA),
  lognormal(-3, 0.4, NA, 0.2), lognormal(3.2, 0.001, 24.4, 24.7), gamma_(3.5, 0.01, NA, 0.12), gamma_(900, 0.01, 8, 10.5),
  rayleigh(0.03, NA, 0.16), folded(0.02, 0.03, NA, 0.15), folded(0, 0.02, NA, 0.1), folded(0.3, 0.02, 0.2, 0.38),
  su(-0.7, 1.6, 20, 0.3, 18.5, 22.5), sb(0.9, 1.1, 2, 5, 2.05, 6.8), sl(1.2, 2.2, 5, 5.1, 8.5))
args <- sub('--file=', '', grep('--file=', commandArgs(), value = TRUE))
writeLines(c(sprintf('{"madeBy":"%s, quantile-method.R","cases":[', R.version.string), paste(rows, collapse = ',\n'), ']}'),
  file.path(dirname(args), 'quantile-method.json'))
