# Cpm intervals after Boyles (1991) straight from simple samples: mean square about the target with divisor n.
#   Rscript target-index.R     writes target-index.json beside this script
set.seed(20261125)
cases <- list(list(n = 30, mu = 10.02, sd = 0.03, l = 9.9, u = 10.1, t = 10),
              list(n = 100, mu = 5, sd = 0.5, l = 3.5, u = 6.5, t = 5),
              list(n = 12, mu = 1, sd = 0.2, l = -1, u = 3, t = 1.4))
rows <- sapply(cases, function(k) {
  x <- round(rnorm(k$n, k$mu, k$sd), 6)
  tau <- sqrt(mean((x - k$t)^2))
  xi2 <- (mean(x) - k$t)^2 / var(x)
  # Boyles' degrees of freedom take sigma from divisor n - 1 here, as the program does.
  square <- (k$n - 1) / k$n + xi2
  nu <- square^2 * k$n / (1 + 2 * xi2)
  cpm <- (k$u - k$l) / (6 * tau)
  sprintf('{"lower":%s,"upper":%s,"target":%s,"n":%d,"mean":%.17g,"sigma":%.17g,"value":%.15g,"from":%.15g,"to":%.15g}',
    k$l, k$u, k$t, k$n, mean(x), sd(x), (k$u - k$l) / (6 * sqrt(var(x) + (mean(x) - k$t)^2)),
    cpm * sqrt(qchisq(0.025, nu) / nu), cpm * sqrt(qchisq(0.975, nu) / nu))
})
args <- sub('--file=', '', grep('--file=', commandArgs(), value = TRUE))
writeLines(c(sprintf('{"madeBy":"%s, target-index.R","cases":[', R.version.string), paste(rows, collapse = ',\n'), ']}'),
  file.path(dirname(args), 'target-index.json'))
