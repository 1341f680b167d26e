# Clopper-Pearson intervals by binom.test.
#   Rscript binomial.R     writes binomial.csv beside this script
cases <- rbind(c(0, 10), c(0, 300), c(1, 30), c(3, 48), c(10, 10), c(25, 50), c(7, 5000), c(299, 300))
rows <- apply(cases, 1, function(k) sapply(c(0.9, 0.95, 0.99), function(conf) {
  ci <- binom.test(k[1], k[2], conf.level = conf)$conf.int
  sprintf('%d,%d,%g,%.15g,%.15g', k[1], k[2], conf, ci[1], ci[2])
}))
args <- sub('--file=', '', grep('--file=', commandArgs(), value = TRUE))
writeLines(c(paste('#', R.version.string, 'binom.test, binomial.R'), 'count,n,confidence,lower,upper', rows),
  file.path(dirname(args), 'binomial.csv'))
