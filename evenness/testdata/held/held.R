# One catch test and one day for the package's tests, drawn and judged by R 4.2.2
# (base) without anything of this program: Rscript held.R, beside map.csv of its
# drill. Figures are invented. truth.json holds how each run was made and what R
# itself says of bags and of counts over true gains.
options(digits = 12)
map <- read.csv("map.csv"); n <- nrow(map); col <- paste0(map$node, ":", map$port)
set.seed(77)
out <- (1 + rep(rnorm(3, 0, 0.02), each = 12)) * (1 + rnorm(n, 0, 0.05)); out <- out / mean(out)
gain <- exp(rnorm(n, 0, 0.25)); per <- 110; tkw <- 40
z <- function(rows, per.sample) matrix(rpois(rows * n, per.sample), ncol = n)
rows <- z(50, 0.1); bags <- NULL
for (r in 1:3) {
  L <- 40 + 10 * r
  # gusts are the same for bag and sensor
  flow <- matrix(rep(out * per * (0.9 + 0.1 * r) * 0.5, each = 2 * L), ncol = n) * matrix(rgamma(2 * L * n, 30, 30), ncol = n)
  rows <- rbind(rows, matrix(rpois(length(flow), flow * rep(gain, each = 2 * L)), ncol = n), z(30, 0.1))
  bags <- rbind(bags, data.frame(run = map$run, "repeat" = r, grams = round(rpois(n, colSums(flow)) * tkw / 1000 * (1 + rnorm(n, 0, 0.01)), 1), check.names = FALSE))
}
write.csv(bags, "bags.csv", row.names = FALSE, quote = FALSE)
put <- function(name, time, counts, extra = NULL) {
  d <- data.frame(time, counts); names(d) <- c("time", col); if (!is.null(extra)) d <- cbind(d, extra)
  f <- gzfile(name, "w"); write.csv(d, f, row.names = FALSE, quote = FALSE); close(f)
}
put("catch.csv.gz", seq_len(nrow(rows)) * 0.5, rows)
day <- NULL; work <- NULL
for (p in 1:3) {
  mu <- outer(1 + 0.05 * sin((1:240) / 17 + p), out * per * gain) * matrix(rgamma(240 * n, 30, 30), ncol = n)
  day <- rbind(day, matrix(rpois(length(mu), mu), ncol = n), z(20, 0.2)); work <- c(work, rep(1, 240), rep(0, 20))
}
put("day.csv.gz", seq_len(nrow(day)), day, data.frame(work))
m <- matrix(bags$grams, n)
fac <- exp(c(0, coef(glm(g ~ run + rep, family = quasipoisson, control = glm.control(epsilon = 1e-14, maxit = 100), data = data.frame(g = as.vector(m), run = factor(rep(1:n, 3)), rep = factor(rep(1:3, each = n)))))[n + 1:2])); fac <- fac / mean(fac)
x <- sweep(m, 2, fac, "/"); mm <- rowMeans(x); within <- sum((x - mm)^2) / (3 * n - n - 2)
steady <- colSums(day[work == 1, ]) / gain
num <- function(v) paste0("[", paste(formatC(v, digits = 10, format = "g"), collapse = ", "), "]")
cat(sprintf('{\n  "own": %.10g,\n  "catch_cv": %.10g,\n  "catch_between": %.10g,\n  "day_cv_with_true_gains": %.10g,\n  "raw_cv": %.10g,\n  "gain": %s,\n  "flow": %s\n}\n',
  sd(out) / mean(out), sd(mm) / mean(mm), sqrt(var(mm) - within / 3) / mean(mm), sd(steady) / mean(steady), sd(colSums(day)) / mean(colSums(day)), num(gain), num(out)), file = "truth.json")
