# Everything starts from Python 3.11 (to 3.13) and make: each target builds .venv/ if it must.

PYTHON  ?= $(shell command -v python3.11 || command -v python3.12 || command -v python3.13 || command -v python3)
BIN     := .venv/bin
INSTALL := $(BIN)/python -m pip --disable-pip-version-check install --quiet --no-input
FAST    := not slow and not browser and not histories and not powercuts and not kills
CONTENT ?= ../shared/tools/check-content

AS_ROOT := $(shell [ "$$(id -u)" = 0 ] || echo sudo -n)

# What decides about a vial, a dose or a date: its own tests must take every branch.
DECIDES := rules ledger vial account rebook screen
PROOFS  := $(DECIDES:%=tests/%) tests/base tests/person
comma   := ,
space   := $() $()

# Tests start the command as a process of its own many times: Python keeps what it has compiled.
unexport PYTHONDONTWRITEBYTECODE

.PHONY: help demo serve test check browser chromium pictures fix docs news bench lock histories assignments advice rankings thawing screenings load taps mutants powercuts kills fuzz engines audit
.DEFAULT_GOAL := help

help:            ## show this list
	@awk -F ':.*## ' '/^[a-z]+:.*## / { printf "make %-10s %s\n", $$1, $$2 }' Makefile

demo: .venv/run.stamp    ## two minutes in an invented district; writes under build/demo only
	$(BIN)/thawline demo --home build/demo

serve: .venv/run.stamp   ## the invented Tuesday at 13:37, in a browser; until Ctrl-C
	@test -f build/rehearsal/DEMO.txt || $(BIN)/thawline demo --home build/rehearsal --until 13:37
	$(BIN)/thawline serve --home build/rehearsal

test: .venv/dev.stamp    ## the fast loop: no browser, no network, no waiting
	$(BIN)/python -m pytest -n 2 -p no:rerunfailures -m "$(FAST)" $(WHICH)

check: .venv/dev.stamp   ## what CI runs; green here means green there
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports --no-cache --no-logo
	@if [ -x "$(CONTENT)" ]; then echo "$(CONTENT) ."; "$(CONTENT)" .; \
	else echo "*** check-content not found here; go on ***" >&2; fi
	@mkdir -p build
	$(BIN)/towncrier build --draft --version next > build/news.md
	$(MAKE) --no-print-directory docs
	$(MAKE) --no-print-directory browser
	$(MAKE) --no-print-directory test WHICH="$(PROOFS) --cov --cov-branch --cov-report="
	$(BIN)/coverage report --fail-under=100 --include='$(subst $(space),$(comma),$(DECIDES:%=src/thawline/%/*))'
	$(MAKE) --no-print-directory test WHICH="$(PROOFS:%=--ignore=%)"

browser: .venv/dev.stamp chromium  ## the pages in a real browser, against a real server
	$(BIN)/python -m pytest -n 2 --dist loadfile -m "browser and not slow" --reruns 1 --only-rerun "^TargetClosedError" --rerun-show-tracebacks tests/web/browser

chromium:                # the system's own package; never a download of a test tool
	@command -v chromium >/dev/null || command -v chromium-browser >/dev/null || \
	{ $(AS_ROOT) apt-get update -q && $(AS_ROOT) apt-get install -q -y --no-install-recommends chromium; } || \
	{ echo "the browser tests need chromium; install your system's package of it" >&2; exit 2; }

pictures: .venv/dev.stamp chromium ## take docs/pictures again: every screen at 13:37 of the invented Tuesday
	$(BIN)/python -m tools.pictures

fix: .venv/dev.stamp     ## let the tools repair what they can
	$(BIN)/ruff check --fix .
	$(BIN)/ruff format .

docs: .venv/dev.stamp    ## the documentation, into build/docs; a warning is an error
	$(BIN)/sphinx-build --quiet --fail-on-warning --keep-going --nitpicky -d build/doctrees docs build/docs

news: .venv/dev.stamp    ## show the changelog as the next release would print it
	$(BIN)/towncrier build --draft --version next

bench: .venv/dev.stamp .venv/bench.stamp   ## measure side by side, in one run
	$(BIN)/python benchmarks/run.py

lock: .venv/lock/stamp   ## choose the versions again and write requirements/*.txt
	$(LOCK) --upgrade --extra build --extra test --extra quality -o requirements/dev.txt pyproject.toml
	$(LOCK) --extra build -c requirements/dev.txt -o requirements/run.txt pyproject.toml
	$(LOCK) --extra build --extra bench -c requirements/dev.txt -o requirements/bench.txt pyproject.toml

# --- the long tiers: none of them is part of `make check` ---

histories: .venv/dev.stamp  ## long random stories of vials, doses and people
	$(BIN)/python -m tests.reference.run_histories
	$(BIN)/python -m pytest -n 2 -m histories --hypothesis-profile=histories

assignments: .venv/dev.stamp  ## a million assignments of second doses; nobody early
	$(BIN)/python -m tests.plan.run_assignments

advice: .venv/dev.stamp     ## 20,000 days of a last hour with and without the advice on the last vial
	$(BIN)/python -m tests.plan.run_advice

rankings: .venv/dev.stamp   ## 60 rankings of rosters against the truth of 10,000 days
	$(BIN)/python -m tests.plan.run_ranking

thawing: .venv/dev.stamp    ## 20,000 days of each rule for thawing, against the table of the methods
	$(BIN)/python -m pytest -m slow tests/against_published_sources/test_thaw_rules_table.py

screenings: .venv/dev.stamp ## 1,000,000 random sets of screening answers
	$(BIN)/python -m pytest -n 2 -m slow tests/screen

engines: .venv/dev.stamp    ## the clinic day beside SimPy and Ciw, 4,000 days
	$(BIN)/python -m pytest -n 2 -m slow tests/plan/test_flow_engines.py

taps: .venv/dev.stamp chromium  ## taps and seconds of each task in a browser, against the budgets
	$(BIN)/python -m pytest -m "browser and slow" tests/web/browser/test_taps.py

powercuts: .venv/dev.stamp  ## cut the power at every write of the ledger
	$(BIN)/python -m pytest -m powercuts

kills: .venv/dev.stamp      ## kill real processes while they write
	$(BIN)/python -m pytest -m kills

fuzz: .venv/dev.stamp       ## random and spoilt logger files, ten minutes of them
	$(BIN)/python tests/exchange/loggers/run_fuzz.py

load: .venv/dev.stamp       ## 60 tablets, 120 requests a second, 30 % acts, a minute; then too many
	$(BIN)/python -m tests.web.run_load 60 120 docs/evidence/load.md

mutants: .venv/dev.stamp    ## break the deciding code in many places; a test must notice nearly all
	$(BIN)/python tools/mutants.py

audit: .venv/dev.stamp      ## known faults in the locked versions; asks the network
	$(BIN)/pip-audit --strict --require-hashes --disable-pip -r requirements/run.txt
	$(BIN)/pip-audit --strict --require-hashes --disable-pip -r requirements/dev.txt
	$(BIN)/pip-audit --strict --require-hashes --disable-pip -r requirements/bench.txt

# --- set-up: every version and its hash come from the lock files; nothing is built from source ---
# --no-deps: the locks are whole, and a resolver would take a newer release for `coverage[toml]`.

LOCK := .venv/lock/bin/uv pip compile --quiet --universal --generate-hashes --no-header --python-version 3.11

.venv/bin/python:
	@test -n "$(PYTHON)" || { echo "no python3 found; install Python 3.11, 3.12 or 3.13" >&2; exit 2; }
	@"$(PYTHON)" -c 'import sys; sys.exit(not (3, 11) <= sys.version_info < (3, 14))' || \
	{ echo "$$("$(PYTHON)" -V) does not fit; say make PYTHON=python3.11 (or 3.12, 3.13)" >&2; exit 2; }
	"$(PYTHON)" -m venv .venv

.venv/%.stamp: requirements/%.txt pyproject.toml | .venv/bin/python
	$(INSTALL) --no-deps --only-binary :all: --require-hashes -r $<
	$(INSTALL) --no-deps --no-build-isolation -e .
	@touch $@

.venv/lock/stamp: | .venv/bin/python
	"$(PYTHON)" -m venv .venv/lock
	.venv/lock/bin/python -m pip --disable-pip-version-check install --quiet --no-input uv
	@touch $@
