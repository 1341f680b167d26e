# Annual flow of the Nile at Aswan, 1871 to 1970, in 10^8 m^3: dataset "Nile" of R's package datasets, from
# G. W. Cobb, The problem of the Nile: conditional solution to a changepoint problem, Biometrika 65 (1978), 243-251.
# With it the least-squares split of the series into two levels, computed by R's lm.
# Run from the root of the project: Rscript tests/reference/events/nile.R
flow <- as.numeric(datasets::Nile)
year <- 1871:1970
squares <- sapply(2:99, function(k) deviance(lm(flow ~ as.integer(seq_along(flow) > k))))
best <- which.min(squares) + 1
fit <- lm(flow ~ as.integer(seq_along(flow) > best))
interval <- confint(fit)[2, ]
cat(sprintf(
  '{"version":"%s","firstYear":1871,"firstYearAfter":%d,"shift":%.12g,"lower":%.12g,"upper":%.12g,"flow":[%s]}\n',
  R.version.string, year[best + 1], coef(fit)[2], interval[1], interval[2], paste(flow, collapse = ",")
), file = "tests/reference/events/nile.json")
