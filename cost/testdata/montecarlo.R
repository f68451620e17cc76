# Check figures for the estimate: the same model written a second time, in R,
# with its own draws. Rscript montecarlo.R > montecarlo.csv (R 4 and later; no
# packages). 2 000 000 draws a case; low, middle and high are the quantiles 0.05,
# 0.5 and 0.95; *_from and *_to are the quantiles between which those of 10 000
# draws lie within four standard errors, p +- 4 sqrt(p (1-p) / 10000).
set.seed(20261125)
n <- 2000000
m <- 10000

# triangle by two uniform numbers folded at its mode (not by the inverse that
# the program uses)
tri <- function(a, c, b) {
  if (a == b) return(rep(a, n))
  left <- runif(n) < (c - a) / (b - a)
  u <- pmax(runif(n), runif(n)) # density 2u: rises towards the mode
  ifelse(left, a + (c - a) * u, b - (b - c) * u)
}

bare <- function(k, s, r, e) {
  open <- k * s
  reached <- pmin(r, open / 2) * 2
  (open - e * reached) / open
}

# every event's ground is off by the same part
strips <- function() tri(0.97, 1, 1.03)

yield <- function(d, h) d / (h + d) # of what the crop can reach

short <- function(k, s, left, r, e, plants, half, help) {
  b <- bare(k, s, r, e)
  lack <- if (left == 0) 1 else 1 - yield(left * plants, half) / yield(plants, half)
  pmin(b, lack * (1 - help * (1 - b)))
}

out <- function(case, what, v) {
  p <- c(0.05, 0.5, 0.95)
  se <- 4 * sqrt(p * (1 - p) / m)
  q <- as.numeric(quantile(v, c(rbind(p - se, p, p + se))))
  cat(case, what, sprintf("%.8g", q), sep = ","); cat("\n")
}

cat("case,what,low_from,low,low_to,middle_from,middle,middle_to,high_from,high,high_to\n")

# one blocked row of canola, 400 m at 0.25 m
area <- 400 * 0.25
out("canola single", "harvest_m2", area * strips() * short(1, 0.25, 0, tri(.15, .2, .25), tri(.5, .7, .9), tri(75, 90, 110), tri(2, 6, 15), tri(0, .5, 1)))

# two rows of spring wheat side by side, 300 m each; yield and price as ranges
area <- 2 * 300 * 0.25
lost <- area * strips() * short(2, 0.25, 0, tri(.1, .15, .2), tri(.4, .6, .8), tri(248, 275, 301), tri(20, 50, 80), tri(0, .5, 1))
kg <- lost / 1e4 * tri(4, 5, 5.5) * 1000
out("spring wheat pair", "harvest_m2", lost)
out("spring wheat pair", "lost_kg", kg)
out("spring wheat pair", "lost", kg / 1000 * tri(190, 215, 240))

# a run of peas that lost half its flow over 500 m
area <- 500 * 0.25
out("pea half", "harvest_m2", area * strips() * short(1, 0.25, 0.5, tri(.07, .12, .17), tri(.2, .4, .6), tri(75, 80, 85), tri(20, 40, 80), tri(0, .5, 1)))

# a head of eight rows of soybean that lost 60 % over 250 m; 60 kg/ha metered
# over the 2 m of it; seed at 1.1 to 1.5 a kg, beans at 400 a t, 3 t/ha
area <- 8 * 250 * 0.25
lost <- area * strips() * short(8, 0.25, 0.4, tri(.2, .25, .3), tri(.5, .7, .9), tri(44, 48, 52), tri(3, 8, 16), tri(0, .5, 1))
stayed <- tri(0, .5, 1) * 0.6 * 60 / 1e4 * area
out("soybean starved", "saved_kg", stayed)
out("soybean starved", "net", lost / 1e4 * 3 * 400 - stayed * tri(1.1, 1.3, 1.5))
