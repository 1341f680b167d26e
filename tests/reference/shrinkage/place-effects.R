# Reference values for tests/src/shrinkage/place-effects.test.ts: run `Rscript place-effects.R > place-effects.json` in
# this folder. Written with R 4.2.2, lme4 1.1-31, jsonlite. An unbalanced set: builds of 4 to 16 parts at random places,
# some builds all in one layer, trays of unequal use. REML of lmer() with builds as fixed effects.
suppressPackageStartupMessages({ library(lme4); library(jsonlite) })
set.seed(42)
boxes <- expand.grid(bx = 0:4, by = 0:2)
box_effect <- rnorm(nrow(boxes), 0, 2e-4); layer_effect <- rnorm(5, 0, 1.5e-4); tray_effect <- rnorm(6, 0, 1e-4)
parts <- do.call(rbind, lapply(1:25, function(b) {
  n <- sample(4:16, 1)
  box <- sample(nrow(boxes), n, TRUE); layer <- if (b %% 6 == 0) rep(sample(5, 1), n) else sample(5, n, TRUE)
  tray <- sample(6, n, TRUE, prob = c(5, 3, 3, 2, 1, 1))
  data.frame(build = b, box, layer, tray,
    x = round(boxes$bx[box] * 70 + runif(n, 1, 69), 1), y = round(boxes$by[box] * 70 + runif(n, 1, 69), 1),
    z = round((layer - 1) * 24 + runif(n, 1, 23), 1),
    value = round(rnorm(1, 0, 5e-4) + box_effect[box] + layer_effect[layer] + tray_effect[tray] + rnorm(n, 0, 4e-4), 8))
}))
# Corners of the bed, so that boxes and layers begin and end where they are meant to.
parts[1, c("x", "y", "z", "box", "layer")] <- list(0, 0, 0, 1, 1)
parts[2, c("x", "y", "z", "box", "layer")] <- list(350, 210, 120, 15, 5)
d <- within(parts, { build <- factor(build); box <- factor(box); layer <- factor(layer); tray <- factor(tray); v <- value * 1e4 })
fit <- lmer(v ~ 0 + build + (1 | box) + (1 | layer) + (1 | tray), d,
  control = lmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-12, maxfun = 1e5)))
vc <- as.data.frame(VarCorr(fit)); sd_of <- function(g) vc$sdcor[vc$grp == g] / 1e4
effect <- function(g) { r <- ranef(fit)[[g]]; setNames(as.list(r[[1]] / 1e4), rownames(r)) }
# Doubt of the effects with that of the builds' means in it, by the mixed model equations as full matrices.
X <- model.matrix(~ 0 + build, d); Z <- cbind(model.matrix(~ 0 + box, d), model.matrix(~ 0 + layer, d), model.matrix(~ 0 + tray, d))
s2 <- sigma(fit)^2
G <- c(rep(vc$vcov[vc$grp == "box"], nlevels(d$box)), rep(vc$vcov[vc$grp == "layer"], nlevels(d$layer)), rep(vc$vcov[vc$grp == "tray"], nlevels(d$tray)))
W <- cbind(X, Z); C <- crossprod(W) / s2 + diag(c(rep(0, ncol(X)), 1 / G))
errors <- sqrt(diag(solve(C)))[-(1:ncol(X))] / 1e4
cat(toJSON(list(r = R.version.string, lme4 = as.character(packageVersion("lme4")), parts = parts,
  box = sd_of("box"), layer = sd_of("layer"), tray = sd_of("tray"), residual = sigma(fit) / 1e4,
  boxEffects = effect("box"), layerEffects = effect("layer"), trayEffects = effect("tray"),
  boxErrors = errors[1:nlevels(d$box)], trayErrors = tail(errors, nlevels(d$tray))), auto_unbox = TRUE, digits = NA))
