# Reference values for tests/src/variation/group-effects.test.ts: run `Rscript group-effects.R > group-effects.json`
# in this folder. Linear models of blocks and groups with effects that add to zero (contr.sum), written with R 4.2.2.
options(digits = 17)
set.seed(20261125)
one <- function(blocks, groups, pairs, shift) {
  block <- pairs[, 1]; group <- pairs[, 2]
  value <- round(12.4 + rnorm(blocks, 0, 0.02)[block] + shift[group] + rnorm(length(block), 0, 0.01), 6)
  fit <- lm(value ~ factor(block) + C(factor(group), contr.sum))
  k <- groups
  last <- tail(coef(fit), k - 1)
  v <- vcov(fit); at <- (nrow(v) - k + 2):nrow(v); v <- v[at, at]
  effect <- c(last, -sum(last))
  error <- c(sqrt(diag(v)), sqrt(sum(v)))
  list(block = block - 1, group = group - 1, value = value, effect = unname(effect), error = unname(error),
       sigma = summary(fit)$sigma, df = fit$df.residual)
}
list_json <- function(x) paste0("[", paste(format(x, digits = 17, trim = TRUE, scientific = TRUE), collapse = ","), "]")
set_json <- function(s) paste0("{", paste(sapply(names(s), function(n)
  paste0('"', n, '":', if (length(s[[n]]) > 1) list_json(s[[n]]) else format(s[[n]], digits = 17))), collapse = ","), "}")
# Every block holds some of the groups only, unevenly.
pairs <- do.call(rbind, lapply(1:12, function(b) cbind(b, sample(1:5, sample(3:9, 1), replace = TRUE, prob = c(5, 4, 3, 2, 1)))))
uneven <- one(12, 5, pairs, c(0, 0.004, -0.01, 0, 0.002))
# Two groups that only a third links.
chain <- rbind(cbind(rep(1:4, each = 6), rep(c(1, 2), 12)), cbind(rep(5:8, each = 5), rep(c(2, 3, 3, 2, 3), 4)))
linked <- one(8, 3, chain, c(0.01, 0, -0.005))
cat(paste0('{"R":"', R.version$major, ".", R.version$minor, '","sets":[', set_json(uneven), ",", set_json(linked), "]}\n"))
