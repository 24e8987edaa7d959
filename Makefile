# Two commands serve a fresh machine: make run, make test.

GO ?= go
SAMPLE := data/sample/community-garden.hedgereach
STATICCHECK := honnef.co/go/tools/cmd/staticcheck@v0.7.0

# The race detector needs a C compiler. One flag set for vet, tests and the program that the end-to-end test drives, so that
# Fyne's C code is compiled once.
RACE = $(shell [ "$$($(GO) env CGO_ENABLED)" = 1 ] && echo -race)
TESTFLAGS = GOFLAGS="$$($(GO) env GOFLAGS) $(RACE)"

.PHONY: help run test lint build bench docs screenshots clean

help: ## this list
	@sed -n 's/^\([a-z]*\):.*## /\1\t/p' Makefile | expand -t 14

run: ## open the window on the sample garden (with no display: report on it and write its plot map)
	@.ci/setup build
	@if [ "$$(uname)" = Linux ] && [ -z "$${DISPLAY:-}$${WAYLAND_DISPLAY:-}" ]; then \
		echo "There is no display here, so no window: this is the sample garden's report, and its plot map goes to dist/."; \
		mkdir -p dist; \
		$(GO) run . check $(SAMPLE) && $(GO) run . sheet $(SAMPLE) -o dist/plot-map.pdf && echo "Plot map: dist/plot-map.pdf"; \
	else \
		echo "The first build compiles the window toolkit and takes some minutes; after that it is seconds."; \
		$(GO) run . --sample; \
	fi

test: ## all checks: format, vet, staticcheck where it can be had, tests with the race detector, the window driven for real
	@.ci/setup test
	@unformatted=$$(gofmt -l .); [ -z "$$unformatted" ] || { echo "gofmt would change: $$unformatted"; exit 1; }
	@$(TESTFLAGS) $(GO) vet ./...
	@if $(TESTFLAGS) $(GO) list -m $(firstword $(subst /cmd/, ,$(STATICCHECK)))@$(lastword $(subst @, ,$(STATICCHECK))) >/dev/null 2>&1; then \
		$(TESTFLAGS) $(GO) run $(STATICCHECK) ./...; \
	else \
		echo "staticcheck could not be had; going on without it"; \
	fi
	$(TESTFLAGS) $(GO) test -timeout 40m $$($(GO) list ./... | grep -v /app/endtoend)
	$(TESTFLAGS) $(GO) test -timeout 40m ./app/endtoend # the real window has the machine to itself: a person's hand does not wait

lint: ## format, vet and staticcheck only
	@.ci/setup build
	@unformatted=$$(gofmt -l .); [ -z "$$unformatted" ] || { echo "gofmt would change: $$unformatted"; exit 1; }
	$(GO) vet ./...
	$(GO) run $(STATICCHECK) ./...

build: ## the program, as ./hedgereach
	@.ci/setup build
	$(GO) build -o hedgereach .

bench: ## how fast it is: work a frame, work a site, ratios to other programs
	@.ci/setup bench
	$(GO) test -run '^$$' -bench . -benchmem ./...

docs: ## write anew what is written from the data: data/CATALOGUE.md
	$(GO) generate ./data

screenshots: ## take the pictures of the README from the real program
	@.ci/setup test
	$(GO) run ./screenshots

clean: ## remove what was built
	rm -rf hedgereach dist
