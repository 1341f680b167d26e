# Reference values for tests/src/shrinkage/shares.test.ts: run `Rscript shares.R > shares.json` in this folder.
# Written with R 4.2.2, jsonlite: adjusted R², F and p of lm().
suppressPackageStartupMessages(library(jsonlite))
set.seed(7)
n <- 30
reuse <- sample(0:8, n, TRUE)
lot <- sample(c("K6", "K7", "K8"), n, TRUE)
furnace <- sample(c("F1", "F2"), n, TRUE)
shrinkage <- round(0.156 + 0.00004 * reuse + 0.0004 * (lot == "K8") + rnorm(n, 0, 0.0003), 7)
parts <- do.call(rbind, lapply(1:8, function(b) {
  m <- sample(6:12, 1)
  data.frame(build = b, x = round(runif(m, 0, 350), 1), y = round(runif(m, 0, 222), 1), z = round(runif(m, 0, 120), 1),
             tray = paste0(if (b %% 2) "F1/" else "F2/", sample(1:3, m, TRUE)))
}))
parts$value <- round(1e-6 * parts$x - 4e-6 * parts$z + 0.0002 * (parts$tray == "F1/2") + rnorm(nrow(parts), 0, 0.0003), 7)
parts$value <- parts$value - ave(parts$value, parts$build)

plain <- function(formula) {
  s <- summary(lm(formula)); f <- s$fstatistic
  list(share = max(0, s$adj.r.squared), f = f[[1]], df = c(f[[2]], f[[3]]), p = pf(f[[1]], f[[2]], f[[3]], lower.tail = FALSE))
}
# Within builds: the model with builds alone against the one with builds and the factor.
within <- function(formula) {
  parts$b <- factor(parts$build)
  one <- lm(value ~ b, parts); two <- lm(formula, parts)
  a <- anova(one, two)
  df2 <- a$Res.Df[2]; width <- a$Df[2]
  list(share = max(0, 1 - (a$RSS[2] / df2) / (a$RSS[1] / a$Res.Df[1])), f = a$F[2], df = c(width, df2), p = a[["Pr(>F)"]][2])
}
cat(toJSON(list(r = R.version.string,
  builds = data.frame(reuse, lot, furnace, shrinkage), parts = parts,
  expected = list(
    "powder reuse" = plain(shrinkage ~ reuse), "powder lot" = plain(shrinkage ~ lot), "furnace" = plain(shrinkage ~ furnace),
    "place in plan" = within(value ~ b + x + y), "height in bed" = within(value ~ b + z), "tray" = within(value ~ b + tray))),
  auto_unbox = TRUE, digits = NA))
