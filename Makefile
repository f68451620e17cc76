# make demo: the main job on the embedded drill; make test: everything that must hold.
GO ?= go
export CGO_ENABLED = 0

.PHONY: build demo test tools lint cross bench bench-duckdb fuzz pictures

build:
	$(GO) build -o runproof ./cmd/runproof

demo: build
	./runproof demo demo-out

test: tools lint cross
	$(GO) test -count=1 ./...

# the font check of the PDF tests, and the server that the ledger's tests start on loopback; where one cannot be installed they skip it and say so
tools:
	@command -v pdffonts >/dev/null || (apt-get update -qq && apt-get install -y -qq poppler-utils) || echo "pdffonts is not to be had: its check is skipped"
	@command -v initdb >/dev/null || ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1 || \
		(apt-get update -qq && apt-get install -y -qq --no-install-recommends postgresql) || echo "POSTGRESQL IS NOT TO BE HAD: the ledger is tested on SQLite only"

lint:
	$(GO) vet ./...
	@out=$$($(GO) tool gofumpt -l $$(git ls-files '*.go')); if [ -n "$$out" ]; then echo "not gofumpt-ed (run: go tool gofumpt -w FILE):"; echo "$$out"; exit 1; fi
	$(GO) tool staticcheck ./...

# one binary for the laptops that technicians have
cross:
	GOOS=windows GOARCH=amd64 $(GO) build -o /dev/null ./cmd/runproof
	GOOS=darwin GOARCH=arm64 $(GO) build -o /dev/null ./cmd/runproof
	GOOS=linux GOARCH=arm64 $(GO) build -o /dev/null ./cmd/runproof

bench:
	$(GO) test -run '^$$' -bench . ./...

# the review beside DuckDB and numpy, which it installs: bench/README.md
bench-duckdb:
	bench/run

# a few seconds for each reader; longer runs by hand with -fuzztime
fuzz:
	@for p in $$($(GO) list ./...); do for f in $$($(GO) test -list '^Fuzz' $$p | grep '^Fuzz'); do \
		echo "$$p $$f"; $(GO) test -run '^$$' -fuzz "^$$f$$" -fuzztime 10s $$p || exit 1; done; done

# the pictures of README.md, made by the program
pictures: demo
	cp demo-out/plan.svg demo-out/harness.svg demo-out/side.svg demo-out/portmap.svg demo-out/alarms.svg demo-out/runs-by-time.svg demo-out/skips.svg docs/pictures/
	cp demo-out/catch-seed.svg docs/pictures/catch.svg
	cp demo-out/replay/replay.svg demo-out/season/season.svg docs/pictures/
