# Variance components of unbalanced.csv by restricted maximum likelihood, as reml.json. Run with: Rscript reml.R > reml.json
# R and lme4 of the versions that it writes. Source: D. Bates, M. Mächler, B. Bolker and S. Walker, J. Stat. Softw. 67(1), 2015.
suppressPackageStartupMessages(library(lme4))
d <- read.csv("unbalanced.csv")
control <- lmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-10, maxfun = 1e6), check.conv.singular = "ignore")
fit <- function(f) as.data.frame(VarCorr(lmer(f, d, REML = TRUE, control = control)))
kept <- lmer(value ~ 1 + (1 | part) + (1 | inspector) + (1 | part:inspector), d, control = control)
pooled <- lmer(value ~ 1 + (1 | part) + (1 | inspector), d, control = control)
line <- function(name, model) {
  v <- as.data.frame(VarCorr(model))
  sd <- setNames(v$sdcor, v$grp)
  cat(sprintf('  "%s": {"deviance": %.12f%s},\n', name, deviance(model, REML = TRUE),
    paste0(sprintf(', "%s": %.12g', names(sd), sd), collapse = "")))
}
cat("{\n")
line("kept", kept)
line("pooled", pooled)
cat(sprintf('  "made with": "%s, lme4 %s"\n}\n', R.version.string, packageVersion("lme4")))
