# Reference figures for the package's tests, by R 4.2.2 (base, stats): made once with
#   Rscript reference.R > reference.json
# Inputs are invented (drawn with a seed) and stand in the output beside what R says of them.
options(digits = 15)
num <- function(x) paste0("[", paste(ifelse(is.na(x), "null", formatC(x, digits = 15, format = "g")), collapse = ","), "]")
rows <- function(m) paste0("[", paste(apply(m, 1, num), collapse = ","), "]")
out <- character()
put <- function(name, ...) out <<- c(out, sprintf('  "%s": {%s}', name, paste(..., sep = ", ")))
f <- function(key, v) if (length(v) == 1) sprintf('"%s": %s', key, formatC(v, digits = 15, format = "g")) else sprintf('"%s": %s', key, num(v))

# A catch test: 12 runs, 3 repeats of unlike length.
set.seed(11)
m <- round(outer(150 * (1 + rnorm(12, 0, 0.06)), c(0.9, 1, 1.15)) * (1 + matrix(rnorm(36, 0, 0.03), 12)), 1)
analyse <- function(m) {
  k <- nrow(m); r <- ncol(m)
  d <- data.frame(g = as.vector(m), run = factor(rep(1:k, r)), rep = factor(rep(1:r, each = k)))
  d <- d[!is.na(d$g), ]
  # quasi-independence: the Poisson likelihood's margins are the data's
  fit <- glm(g ~ run + rep, family = quasipoisson, data = d, control = glm.control(epsilon = 1e-14, maxit = 100))
  fac <- exp(c(0, coef(fit)[grep("^rep", names(coef(fit)))])); fac <- fac / mean(fac)
  d$x <- d$g / fac[as.integer(d$rep)]
  tab <- anova(lm(x ~ run, data = d))
  n <- table(d$run); h <- k / sum(1 / n)
  means <- tapply(d$x, d$run, mean)
  dfw <- nrow(d) - k - (r - 1)
  msw <- sum(resid(lm(x ~ run, data = d))^2) / dfw
  s2 <- var(means)
  # Ting et al. (1990): s2 - msw/h, alpha 0.025 on either side
  a <- 0.025; n1 <- k - 1; n2 <- dfw; A <- s2; B <- msw / h
  G1 <- 1 - 1 / qf(1 - a, n1, Inf); H1 <- 1 / qf(a, n1, Inf) - 1
  G2 <- 1 - 1 / qf(1 - a, n2, Inf); H2 <- 1 / qf(a, n2, Inf) - 1
  Fu <- qf(1 - a, n1, n2); Fl <- qf(a, n1, n2)
  G12 <- ((Fu - 1)^2 - G1^2 * Fu^2 - H2^2) / Fu
  H12 <- ((1 - Fl)^2 - H1^2 * Fl^2 - G2^2) / Fl
  low <- A - B - sqrt(G1^2 * A^2 + H2^2 * B^2 + G12 * A * B)
  high <- A - B + sqrt(H1^2 * A^2 + G2^2 * B^2 + H12 * A * B)
  c(f("factors", fac), f("means", as.vector(means)), f("grand", mean(means)), f("cv", sd(means) / mean(means)),
    f("within_ms", msw), f("within_df", dfw), f("between", A - B), f("between_low", low), f("between_high", high),
    f("f", s2 * h / msw), f("p", pf(s2 * h / msw, n1, n2, lower.tail = FALSE)), f("per_run", h))
}
put("whole", sprintf('"grams": %s', rows(m)), paste(analyse(m), collapse = ", "))
gaps <- m; gaps[2, 3] <- NA; gaps[7, 1] <- NA; gaps[7, 2] <- NA; gaps[11, 2] <- NA
put("gaps", sprintf('"grams": %s', rows(gaps)), paste(analyse(gaps), collapse = ", "))
# The textbook's form: without repeat effects, variance components by aov on one-way data.
one <- anova(lm(as.vector(m[, 1:2]) ~ factor(rep(1:12, 2))))
put("oneway", f("ms_run", one[1, 3]), f("ms_within", one[2, 3]), f("f", one[1, 4]), f("p", one[1, 5]))

# CV intervals by the noncentral t (pt takes a noncentrality up to 37.62).
limit <- function(K, n, p) uniroot(function(cv) pt(sqrt(n) / K, n - 1, sqrt(n) / cv) - p, c(sqrt(n) / 37.6, 50 * K), tol = 1e-13)$root
K <- c(0.35, 0.5, 0.3, 0.2); n <- c(6, 10, 24, 5)
put("noncentral", f("k", K), f("n", n), f("low", mapply(function(k, n) limit(k, n, 0.025), K, n)), f("high", mapply(function(k, n) limit(k, n, 0.975), K, n)))
tq <- c(2, 10, 30, 3.5); tv <- c(3, 11, 23, 1); td <- c(1.5, 12, 28, 2)
put("noncentral_t", f("t", tq), f("v", tv), f("d", td), f("p", mapply(pt, tq, tv, td)))

# Patterns: heads of 8, 8 and 6 outlets, two outlets missing.
set.seed(23)
head <- rep(c("A", "B", "C"), c(8, 8, 6)); outlet <- c(1:8, 1:8, 1:6); n.of <- rep(c(8, 8, 6), c(8, 8, 6))
th <- 2 * pi * (outlet - 1) / n.of
reach <- round(runif(22, 0.9, 3.4), 2)
y <- round(100 * (1 + c(A = 0.03, B = -0.04, C = 0.02)[head] + 0.05 * cos(th - 1) - 0.02 * (reach - 2) + rnorm(22, 0, 0.02)), 2)
keep <- !(head == "A" & outlet == 3) & !(head == "C" & outlet == 5)
d <- data.frame(y = y / mean(y[keep]), head, th, reach, co = cos(th), si = sin(th))[keep, ]
single <- lm(y ~ co + si, data = d[d$head == "A", ]); null1 <- lm(y ~ 1, data = d[d$head == "A", ])
pooled <- lm(y ~ head + co + si, data = d); nullp <- lm(y ~ head, data = d)
hose <- lm(y ~ head + reach, data = d)
tilt <- function(m, null) { b <- coef(m)[["co"]]; c <- coef(m)[["si"]]; a <- anova(null, m); V <- vcov(m)[c("co", "si"), c("co", "si")]; A <- sqrt(b^2 + c^2); u <- c(b, c) / A
  c(f("amplitude", A), f("deg", (atan2(c, b) * 180 / pi) %% 360), f("f", a[2, 5]), f("p", a[2, 6]), f("se", sqrt(drop(t(u) %*% V %*% u)))) }
hd <- anova(nullp)
hose.ci <- confint(hose)["reach", ]
put("pattern", sprintf('"head": ["%s"]', paste(head[keep], collapse = '","')), f("outlet", outlet[keep]), f("of", n.of[keep]), f("reach", reach[keep]), f("y", y[keep]),
  f("heads_f", hd[1, 4]), f("heads_p", hd[1, 5]), f("within_sd", sqrt(hd[2, 3])), f("slope", coef(hose)[["reach"]]), f("slope_low", hose.ci[[1]]), f("slope_high", hose.ci[[2]]), f("slope_p", summary(hose)$coefficients["reach", 4]))
put("tilt_a", paste(tilt(single, null1), collapse = ", "))
put("tilt_all", paste(tilt(pooled, nullp), collapse = ", "))
# Outlet places alike on heads: two-way layout, three heads of 8.
p8 <- round(100 + matrix(rnorm(24, 0, 2), 3) + rep(rnorm(8, 0, 3), each = 3) + c(-4, 0, 4), 2)
two <- anova(lm(as.vector(p8) ~ factor(rep(1:3, 8)) + factor(rep(1:8, each = 3))))
put("places", sprintf('"y": %s', rows(p8)), f("f", two[2, 4]), f("p", two[2, 5]), f("effect", colMeans(p8) - mean(p8)))
cat("{\n", paste(out, collapse = ",\n"), "\n}\n", sep = "")
