# make demo   vet the sample routes, with maps under outputs/
# make test   all tests
# make lint   style, types and import contracts
# make fuzz   hostile input for every reader (MINUTES=20 SEED=1)
# make release  wheel, source archive and bill of materials into dist/
# make bench  speed, as ratios to a yardstick measured in the same run
# make campaign MINUTES=10 SEED=1  random worlds against a second reading of the rules; goes on
#             where the last run of that seed stopped (REPLAY=n: both sides' reasoning on world n)
# make mutants MINUTES=10 SEED=1  the package changed in small ways: does a test notice? Goes on, too
# make planted ten bugs put into scratch copies, and which test catches which
#
# Each target sets up what it needs on a fresh Debian machine: a virtual environment in .venv
# filled from the locked requirements, and for the tests a browser. A second run does it no more.

PYTHON ?= python3
# Tests of one file stay together: they share what is slow to make. PARALLEL= runs them in turn.
PARALLEL ?= -n auto --maxprocesses 4 --dist loadfile
# Of the long campaigns, for each part of one.
MINUTES ?= 10
SEED ?= 1
VENV := .venv
BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip --disable-pip-version-check install --quiet
ENOUGH := import sys; sys.exit(sys.version_info < (3, 11))

.PHONY: help demo test lint fuzz campaign mutants planted bench docs example release lock clean
.DELETE_ON_ERROR:

help:
	@sed -n '1,/^$$/s/^# \{0,1\}//p' Makefile

demo: $(VENV)/.ready
	$(BIN)/routecheck demo

test: $(VENV)/.ready $(VENV)/.browser
	$(BIN)/python -m pytest $(PARALLEL) $(ARGS)

lint: $(VENV)/.ready
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports

bench: $(VENV)/.ready
	$(BIN)/python -m tests.benchmarks.run $(ARGS)

campaign: $(VENV)/.ready
	OMP_NUM_THREADS=1 $(BIN)/python -m tests.oracle.campaign $(if $(REPLAY),--replay $(REPLAY),\
	  --minutes $(MINUTES) --seed $(SEED))

# Half of the time our own readers, coverage-guided; half of it damaged chart files.
fuzz: $(VENV)/.ready requirements-fuzz.txt
	$(PIP) --require-hashes -r requirements-fuzz.txt
	$(BIN)/python -m tests.fuzz.run --minutes $(MINUTES) --seed $(SEED)
	$(BIN)/python -m tests.fuzz.charts --minutes $(MINUTES) --seed $(SEED)

mutants: $(VENV)/.ready
	$(BIN)/python -m tests.mutants.run --minutes $(MINUTES) --seed $(SEED) $(ARGS)

planted: $(VENV)/.ready
	OMP_NUM_THREADS=1 $(BIN)/python -m tests.oracle.planted $(BUGS)

# The catalogue of checks in docs/ is made from the checks' own docstrings.
docs: $(VENV)/.ready
	$(BIN)/routecheck checks --markdown > docs/checks.md.new
	mv docs/checks.md.new docs/checks.md

# The example that is kept, and the picture of its map in the README.
example: $(VENV)/.ready $(VENV)/.browser
	rm -rf build/example
	$(BIN)/routecheck vet sample_charts/routes/over-a-shoal.gpx --charts sample_charts/charts \
	  --boat sample_charts/boat.toml --tide sample_charts/tide.toml --out build/example; [ $$? = 1 ]
	rm -rf outputs/example && mkdir -p outputs/example && mv build/example/*/* outputs/example
	chromium --headless --no-sandbox --disable-gpu --hide-scrollbars --window-size=1280,800 \
	  --virtual-time-budget=8000 --screenshot=docs/picture.png file://$(CURDIR)/outputs/example/map.html 2>/dev/null

# The bill of materials (CycloneDX) names what the lock pins, each with its hashes.
release: $(VENV)/.ready requirements-release.txt
	rm -rf dist build/lib
	$(PIP) --require-hashes -r requirements-release.txt
	mkdir -p dist
	$(BIN)/python -c "from setuptools.build_meta import build_sdist, build_wheel; \
	  build_sdist('dist'); build_wheel('dist')" >/dev/null
	$(BIN)/cyclonedx-py requirements requirements.txt --pyproject pyproject.toml --short-PURLs \
	  --output-reproducible --of JSON -o dist/routecheck.cdx.json
	cd dist && sha256sum * > SHA256SUMS && cat SHA256SUMS

# Exact versions with hashes, for users and for developers; run it to move to newer releases.
lock: $(VENV)/.python
	$(PIP) uv
	for extra in "" dev fuzz release; do \
	  out=requirements$${extra:+-$$extra}.txt; \
	  { echo "# Exact versions with hashes, made from pyproject.toml by 'make lock'."; \
	    $(BIN)/uv pip compile pyproject.toml $${extra:+--extra $$extra -c requirements.txt} \
	      --universal --generate-hashes --python-version 3.11 --no-header --no-annotate --quiet; \
	  } > $$out.new && mv $$out.new $$out || exit 1; \
	done

clean:
	rm -rf $(VENV) build dist *.egg-info .pytest_cache .mypy_cache .ruff_cache .import_linter_cache

$(VENV)/.python:
	@command -v $(PYTHON) >/dev/null || \
	  { echo "routecheck needs Python 3.11 or newer, and there is no $(PYTHON) here (make PYTHON=... names another)"; exit 1; }
	@$(PYTHON) -c '$(ENOUGH)' || \
	  { echo "routecheck needs Python 3.11 or newer; $(PYTHON) is $$($(PYTHON) -c 'import platform; print(platform.python_version())') (make PYTHON=... names another)"; exit 1; }
	@# Debian keeps the maker of virtual environments in a package of its own.
	$(PYTHON) -c 'import ensurepip' 2>/dev/null || \
	  { [ "$$(id -u)" = 0 ] && apt-get update -qq && apt-get install -qq -y python3-venv; } || \
	  { echo "install the Debian package python3-venv first"; exit 1; }
	$(PYTHON) -m venv --clear $(VENV)
	touch $@

$(VENV)/.ready: $(VENV)/.python requirements-dev.txt pyproject.toml
	$(PIP) --require-hashes -r requirements-dev.txt
	$(PIP) --no-deps --no-build-isolation --editable .
	touch $@

$(VENV)/.browser: $(VENV)/.python
	@command -v chromium >/dev/null || \
	  { [ "$$(id -u)" = 0 ] && apt-get update -qq && apt-get install -qq -y --no-install-recommends chromium; } || \
	  echo "no chromium here: the browser tests will be skipped and will say so"
	touch $@
