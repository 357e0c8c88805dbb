# Everything a person or a machine does with this repository. `make` alone lists it.

# The interpreter the environments are made from: `make test PYTHON=/path/to/python` names another.
PYTHON ?= $(shell command -v python3.11 || command -v python3 || echo python3)

TEST_PY := .venv/bin/python
RUN_PY := .venv-run/bin/python
CODE := buildsheet tests
TESTS ?=

export PIP_DISABLE_PIP_VERSION_CHECK := 1

.DEFAULT_GOAL := help
.DELETE_ON_ERROR:
.PHONY: help demo serve test check format format-check lint types arrows bench soak pictures env run-env browser lock clean

help: ## lists these commands
	@awk -F ':.*## ' '/^[a-z-]+:.*## / { printf "  make %-13s %s\n", $$1, $$2 }' $(firstword $(MAKEFILE_LIST))

# ---- running ----------------------------------------------------------------

demo: .venv-run/.installed ## takes the demo orders and writes their sheets
	@.venv-run/bin/buildsheet demo

serve: .venv-run/.installed ## serves the workshop's pages and API on this machine
	@.venv-run/bin/buildsheet serve

# ---- testing ----------------------------------------------------------------

test: .venv/.installed browser ## runs every test (one file: make test TESTS=tests/test_units.py)
	$(TEST_PY) -m pytest -n auto --maxprocesses 8 $(TESTS)

check: format-check lint types arrows test ## all that must hold before a commit: what CI runs

format: .venv/.installed ## writes the code in the one format
	$(TEST_PY) -m ruff format $(CODE)
	$(TEST_PY) -m ruff check --select I --fix $(CODE)

format-check: .venv/.installed ## fails where the format differs
	$(TEST_PY) -m ruff format --check --diff $(CODE)

lint: .venv/.installed ## ruff's rules
	$(TEST_PY) -m ruff check $(CODE)

types: .venv/.installed ## mypy, strict
	$(TEST_PY) -m mypy $(CODE)

arrows: .venv/.installed ## who may import whom
	.venv/bin/lint-imports --no-logo

bench: .venv/.installed ## prints measured figures, judges nothing
	@$(TEST_PY) -m tests.bench $(BENCH)

soak: .venv/.installed ## long runs against the real service, with a verdict (one: make soak SOAK=crash)
	@$(TEST_PY) -m tests.soak $(SOAK)

pictures: .venv/.installed browser ## draws the pictures of the README anew (docs/*.png)
	@$(TEST_PY) -m tests.browser.pictures

browser: ## the browser that the page tests drive
	@sh tests/browser/install.sh

env: .venv/.installed ## only makes the test environment (.venv)

run-env: .venv-run/.installed ## only makes the environment that running needs (.venv-run)

# ---- environments -----------------------------------------------------------
# .venv-run holds what running needs, .venv what testing needs besides. `.locked` says that the
# environment is what its lock file says, `.installed` that the command `buildsheet` is in it.

.venv-run/.locked: requirements.lock
.venv/.locked: dev.lock

.venv/.locked .venv-run/.locked:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null || { \
	  echo "buildsheet needs Python 3.11 or newer, and '$(PYTHON)' is not that."; \
	  echo "On Debian: apt-get install python3 python3-venv; another one: make ... PYTHON=/path/to/python3.11"; \
	  exit 1; }
	@$(PYTHON) -c 'import venv, ensurepip' 2>/dev/null || { \
	  echo "'$(PYTHON)' cannot make a virtual environment: its venv or ensurepip module is missing."; \
	  echo "On Debian: apt-get install python3-venv"; \
	  exit 1; }
	@echo "setting up $(@D) from $< (once; about a minute)"
	@$(PYTHON) -m venv --clear $(@D)
	@$(@D)/bin/python -m pip install -qq --require-hashes --no-deps --only-binary :all: -r $<
	@touch $@

.venv/.installed .venv-run/.installed: %/.installed: %/.locked pyproject.toml
	@$(@D)/bin/python -m pip install -qq --no-deps --no-build-isolation --editable .
	@touch $@

# ---- for whoever changes dependencies ------------------------------------------

UV ?= $(shell command -v uv || echo .venv-lock/bin/uv)
COMPILE = $(UV) pip compile --quiet --generate-hashes --universal --python-version 3.11 \
	--no-emit-index-url --no-emit-find-links --custom-compile-command "make lock" pyproject.toml

lock: export UV_SYSTEM_CERTS := 1
lock: $(UV) ## makes both lock files anew from pyproject.toml (newer versions: make lock NEWER=--upgrade)
	$(COMPILE) $(NEWER) --group build --output-file requirements.lock
	$(COMPILE) $(NEWER) --group dev --constraints requirements.lock --output-file dev.lock

.venv-lock/bin/uv:
	@$(PYTHON) -m venv --clear .venv-lock
	@.venv-lock/bin/python -m pip install -qq uv

clean: ## removes the environments and everything else that was made
	rm -rf .venv .venv-run .venv-lock build dist *.egg-info \
	  .mypy_cache .pytest_cache .ruff_cache .hypothesis .import_linter_cache
	find buildsheet tests -name __pycache__ -type d -prune -exec rm -rf {} +
