# Needs only git, Python >= 3.11 and make; nothing here needs root.
PYTHON ?= python3
VENV ?= .venv
BIN := $(VENV)/bin
RUN_STAMP := $(VENV)/.runtime
DEV_STAMP := $(VENV)/.dev

.PHONY: demo app test lint bench docs lock clean

demo: $(RUN_STAMP)  ## the main job, end to end, on the demo plan
	$(BIN)/plumbrail demo --out demo-out

app: $(RUN_STAMP)  ## the app in a browser, with the demo job
	$(BIN)/plumbrail app

test: $(DEV_STAMP)  ## all tests
	$(BIN)/python -m pytest -q -n auto --maxprocesses 4 --dist loadfile

lint: $(DEV_STAMP)  ## style, types, import contracts
	$(BIN)/ruff check src tests benchmarks docs
	$(BIN)/ruff format --check src tests benchmarks docs
	$(BIN)/mypy
	$(BIN)/lint-imports

bench: $(DEV_STAMP)  ## speed, as ratios side by side in one run
	$(BIN)/python -m benchmarks

docs: $(DEV_STAMP)  ## pages made from code and tests
	$(BIN)/python -m docs.make

lock:  ## pin the newest releases that pyproject.toml allows; both files agree
	rm -rf build/lock && $(PYTHON) -m venv build/lock/dev && $(PYTHON) -m venv build/lock/run
	build/lock/dev/bin/python -m pip install -q '.[dev]'
	build/lock/dev/bin/python -m pip freeze --exclude plumbrail > requirements/dev.txt
	build/lock/run/bin/python -m pip install -q -c requirements/dev.txt .
	build/lock/run/bin/python -m pip freeze --exclude plumbrail > requirements/runtime.txt

$(BIN)/python:
	$(PYTHON) -m venv $(VENV)

$(RUN_STAMP): requirements/runtime.txt pyproject.toml | $(BIN)/python
	$(BIN)/python -m pip install -q -r requirements/runtime.txt
	$(BIN)/python -m pip install -q --no-deps -e .
	touch $@

$(DEV_STAMP): requirements/dev.txt $(RUN_STAMP)
	$(BIN)/python -m pip install -q -r requirements/dev.txt
	touch $@

clean:
	rm -rf $(VENV) demo-out
