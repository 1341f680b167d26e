# Positions of holes at maximum material condition, judged in units of each part's own tolerance, straight from the definition:
# the tolerance of a part is the stated one and the bonus, by how much its hole is larger than its maximum material size
# (ISO 2692, ASME Y14.5; from memory). Beside them thicknesses between two limits of the part's own.
#   Rscript own-tolerance.R     writes own-tolerance.csv, a measuring file, and own-tolerance.json beside this script
set.seed(2692)
n <- 120
build <- rep(sprintf('B%02d', 1:12), each = 10)
hole <- round(runif(n, 10.00, 10.20), 3)        # maximum material size of a hole is its least: 10.00
stated <- 0.25
bonus <- round(hole - 10.00, 3)
own <- stated + bonus
x <- rnorm(n, 0, 0.045); y <- rnorm(n, 0, 0.045)
position <- round(2 * sqrt(x^2 + y^2) * own / 0.29, 4)
runout <- round(own * rnorm(n, 0.5, 0.17), 4)
wall <- round(runif(n, 2, 3), 2)                # the middle differs by part, and the width with it
half <- round(0.05 * wall, 3)
low <- round(wall - half, 3); high <- round(wall + half, 3)
thickness <- round(wall + rnorm(n, 0.1, 0.4) * half, 4)
lines <- c('part number,revision,serial,build,characteristic,kind,tolerance,bonus,own lower limit,own upper limit,value',
  sprintf('P-1,A,S%03d,%s,7,position,%s,%s,,,%s', 1:n, build, stated, bonus, position),
  sprintf('P-1,A,S%03d,%s,8,other,%s,%s,,,%s', 1:n, build, stated, bonus, runout),
  sprintf('P-1,A,S%03d,%s,9,thickness,,,%s,%s,%s', 1:n, build, low, high, thickness))
writeLines(lines, 'own-tolerance.csv')

num <- function(x) sprintf('%.17g', x)
object <- function(l) paste0('{', paste(sprintf('"%s":%s', names(l), vapply(l, function(v) if (length(v) == 1) num(v) else
  paste0('[', paste(num(v), collapse = ','), ']'), '')), collapse = ','), '}')
u <- position / own
# As of any kind without a floor: mean and standard deviation.
w <- runout / own
plain <- list(mean = mean(w), sigmaOverall = sd(w), ppk = (1 - mean(w)) / (3 * sd(w)), least = min(own), greatest = max(own),
  outside = sum(runout > own))
# As of a position: Rayleigh by maximum likelihood, its quantiles at pnorm(-3), 0.5 and 1 - pnorm(-3), and its tail.
s <- sqrt(sum(u^2) / (2 * n))
q <- function(p, lower) qweibull(p, 2, s * sqrt(2), lower)
rayleigh <- list(sigma = s, ppk = (1 - q(0.5, TRUE)) / (q(pnorm(-3), FALSE) - q(0.5, TRUE)),
  above = pweibull(1, 2, s * sqrt(2), lower.tail = FALSE))
v <- (thickness - (low + high) / 2) / ((high - low) / 2)
both <- list(mean = mean(v), sigmaOverall = sd(v), pp = 2 / (6 * sd(v)), ppk = min(1 - mean(v), mean(v) + 1) / (3 * sd(v)),
  least = min(high - low), greatest = max(high - low), outside = sum(thickness > high | thickness < low))
writeLines(sprintf('{"madeBy":"%s, own-tolerance.R","plain":%s,"rayleigh":%s,"both":%s,"outside":%s}', R.version.string,
  object(plain), object(rayleigh), object(both), num(sum(position > own))), 'own-tolerance.json')
