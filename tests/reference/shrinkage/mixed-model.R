# Reference values for tests/src/shrinkage/fit.test.ts: run `Rscript mixed-model.R > mixed-model.json` in this folder.
# Written with R 4.2.2, lme4 1.1-31, jsonlite. An unbalanced set: builds split over furnace loads and loads shared by
# builds, 4 to 14 parts of two part numbers, some characteristics on every second part only.
#
# `lme4`: REML of single values along X and along Z, with parts as random effects; the cells alone do not hold all that
#   it sees, so that it agrees closely, not to the digit.
# `dense`: the same model as the program's, from cell means with full matrices and a general-purpose optimiser: X, Y and
#   diameters in their plane together. Agrees to the digit.
suppressPackageStartupMessages({ library(lme4); library(jsonlite) })
set.seed(20261125)

kept <- c(X = 0.8438, Y = 0.8413, Z = 0.8336)
characteristics <- data.frame(
  id      = 1:13,
  group   = c(1, 1, 1, 1, 1, 1, 1, 2, 2, 2, 2, 2, 2),
  nominal = c(42, 18, 5.2, 26, 3.2, 16, 6, 45, 28, 20, 7.5, 12.4, 16),
  axis    = c("X", "X", "X", "Y", "Y", "Z", "XY", "X", "X", "Y", "Z", "Z", "XY"),
  sense   = c(1, 0, -1, 1, 1, 1, -1, 1, 0, 0, 1, 0, 1),
  every   = c(1, 1, 2, 1, 2, 1, 1, 1, 1, 1, 1, 2, 1))

builds <- 24
scale <- data.frame(X = c(rep(1.1851, 15), rep(1.1862, 9)), Y = rep(1.1887, builds), Z = rep(1.1996, builds))
loads_of <- lapply(seq_len(builds), function(b) c(ceiling(b * 0.7), if (b %% 4 == 0) ceiling(b * 0.7) + 1))
n_loads <- max(unlist(loads_of))
build_effect <- sapply(names(kept), function(a) rnorm(builds, 0, 0.0004))
load_effect <- sapply(names(kept), function(a) rnorm(n_loads, 0, 0.0003))
offset <- sapply(names(kept), function(a) rnorm(builds, 0.005, 0.0015))

rows <- list()
for (b in seq_len(builds)) for (g in 1:2) {
  parts <- sample(4:14, 1)
  for (i in seq_len(parts)) {
    load <- loads_of[[b]][1 + (i %% length(loads_of[[b]]))]
    part <- rnorm(3, 0, 0.0005); names(part) <- names(kept)
    for (r in which(characteristics$group == g)) {
      ch <- characteristics[r, ]
      # The place within the load decides who is measured, so that the fewer are among the more.
      if ((i - 1) %/% length(loads_of[[b]]) %% ch$every != 0) next
      along <- strsplit(ch$axis, "")[[1]]
      size <- mean(sapply(along, function(a) ch$nominal * scale[b, a] *
        (kept[[a]] + build_effect[b, a] + load_effect[load, a]) + ch$nominal * part[[a]] + ch$sense * offset[b, a]))
      rows[[length(rows) + 1]] <- data.frame(id = ch$id, build = b, load = load, part = paste(g, b, i),
        value = round(size + rnorm(1, 0, 0.003), 4))
    }
  }
}
d <- do.call(rbind, rows)
d <- merge(d, characteristics, by = "id")
cells <- aggregate(value ~ id + build + load, d, function(v) c(n = length(v), mean = mean(v),
  m2 = sum((v - mean(v))^2), min = min(v), max = max(v)))
cells <- cbind(cells[, 1:3], as.data.frame(cells$value))

along_axis <- function(axis) {
  own <- d[d$axis == axis, ]
  own$size <- own$nominal * scale[cbind(own$build, match(axis, names(scale)))]
  own$b <- factor(own$build); own$l <- factor(own$load); own$p <- factor(own$part)
  # Sizes are taken off the true line, only to spare the optimiser large numbers.
  own$y <- own$value - own$size * kept[[axis]]
  fit <- lmer(y ~ 0 + size + sense + (0 + size | b) + (0 + sense | b) + (0 + size | l) + (0 + nominal | p), own,
    control = lmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-12, maxfun = 1e5),
                          check.conv.singular = "ignore", check.conv.grad = "ignore"))
  vc <- as.data.frame(VarCorr(fit))
  sd_of <- function(g, v) vc$sdcor[vc$grp == g & vc$var1 == v]
  groups <- vc$grp
  b_size <- vc$sdcor[grepl("^b", groups) & vc$var1 %in% "size"]
  b_sense <- vc$sdcor[grepl("^b", groups) & vc$var1 %in% "sense"]
  error <- sqrt(diag(as.matrix(vcov(fit))))
  list(shrinkage = 1 - kept[[axis]] - fixef(fit)[["size"]], shrinkageError = error[[1]],
       offset = fixef(fit)[["sense"]], offsetError = error[[2]],
       buildShrinkage = b_size, buildOffset = b_sense, loadShrinkage = sd_of("l", "size"),
       part = sd_of("p", "nominal"), own = sigma(fit))
}

# Scatter of parts from the variances inside cells: weighted least squares on pooled variances.
pooled <- aggregate(cbind(m2, n - 1) ~ id, cells, sum)
names(pooled) <- c("id", "m2", "df")
pooled <- merge(pooled, characteristics, by = "id")
pooled$v <- pooled$m2 / pooled$df
share <- function(axis, a) ifelse(axis == a, 1, ifelse(axis == "XY" & a != "Z", 0.5, 0))
M <- sapply(names(kept), function(a) (share(pooled$axis, a) * pooled$nominal)^2)
M <- cbind(M, 1)
fitted <- pooled$v
for (i in 1:60) {
  w <- pooled$df / fitted^2
  components <- solve(t(M) %*% (w * M), t(M) %*% (w * pooled$v))
  fitted <- as.vector(M %*% components)
}
stopifnot(all(components > 0))
own_variance <- components[4] + pmax(0, pooled$v - fitted - 2 * pooled$v * sqrt(2 / pooled$df))
names(own_variance) <- pooled$id

dense <- function() {
  cells <- merge(cells, characteristics, by = "id")
  cells <- cells[order(cells$build, cells$load, cells$group, cells$id), ]
  n <- nrow(cells)
  W <- sapply(names(kept), function(a) share(cells$axis, a))
  x <- sapply(names(kept), function(a) W[, a] * cells$nominal * scale[cbind(cells$build, match(a, names(scale)))])
  z <- W * cells$sense
  y <- cells$mean - as.vector(x %*% kept)
  R <- matrix(0, n, n)
  unit <- paste(cells$build, cells$load, cells$group)
  for (i in 1:n) for (j in which(unit == unit[i])) {
    R[i, j] <- sum(W[i, ] * W[j, ] * components[1:3]) * cells$nominal[i] * cells$nominal[j] / max(cells$n[i], cells$n[j])
    if (i == j) R[i, j] <- R[i, j] + own_variance[[as.character(cells$id[i])]] / cells$n[i]
  }
  same <- function(g) outer(g, g, "==") * 1
  B <- same(cells$build); L <- same(cells$load)
  V_parts <- c(lapply(1:3, function(a) B * outer(x[, a], x[, a])), lapply(1:3, function(a) B * outer(z[, a], z[, a])),
               lapply(1:3, function(a) L * outer(x[, a], x[, a])))
  X <- cbind(x, z)
  solved <- function(theta) {
    V <- R
    for (k in seq_along(V_parts)) V <- V + theta[k]^2 * V_parts[[k]]
    C <- chol(V)
    iX <- backsolve(C, X, transpose = TRUE); iy <- backsolve(C, y, transpose = TRUE)
    A <- crossprod(iX)
    beta <- solve(A, crossprod(iX, iy))
    list(deviance = 2 * sum(log(diag(C))) + as.numeric(determinant(A)$modulus) + sum((iy - iX %*% beta)^2),
         beta = as.vector(beta), error = sqrt(diag(solve(A))))
  }
  start <- c(rep(4e-4, 3), rep(1.5e-3, 3), rep(2e-4, 3))
  f <- function(s) solved(s * start)$deviance
  best <- list(par = rep(1, 9))
  for (i in 1:4) best <- nlminb(best$par, f, lower = 0, control = list(rel.tol = 1e-15, x.tol = 1e-12, iter.max = 500, eval.max = 2000))
  at <- solved(best$par * start)
  list(sds = best$par * start, shrinkage = 1 - kept - at$beta[1:3], offset = at$beta[4:6],
       shrinkageError = at$error[1:3], offsetError = at$error[4:6], part = sqrt(components[1:3]), own = sqrt(components[4]))
}

cat(toJSON(list(r = R.version.string, lme4 = as.character(packageVersion("lme4")),
  characteristics = characteristics, scale = scale, cells = cells,
  alongX = along_axis("X"), alongZ = along_axis("Z"), dense = dense()),
  auto_unbox = TRUE, digits = NA))
