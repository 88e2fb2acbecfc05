# Two commands do all the set-up themselves: make demo, make test.
# Needs python3 (3.11 or newer) with venv and pip, and make. Nothing is installed outside .venv.

PYTHON ?= python3
VENV   := .venv
BIN    := $(VENV)/bin
PORT   ?= 8017
DAY    ?=
ARGS   ?=

.PHONY: demo test test-postgresql check docs bench lock clean

demo: $(VENV)/run.stamp
	$(BIN)/graftwright demo --port $(PORT) $(if $(DAY),--day $(DAY)) $(ARGS)

test: $(VENV)/all.stamp check docs
	$(BIN)/python -m pytest -n 2

# Everything once more with the notebook on a PostgreSQL server of the tests' own.
test-postgresql: $(VENV)/all.stamp
	$(BIN)/python -m tests.postgresql -n 2

check: $(VENV)/all.stamp
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports

# The documents as a site in build/docs; every warning is an error.
docs: $(VENV)/all.stamp
	$(BIN)/python -m sphinx -W --keep-going -q -b html docs build/docs

bench: $(VENV)/all.stamp
	$(BIN)/python -m benchmarks

$(BIN)/python:
	$(PYTHON) -m venv --clear $(VENV)

$(VENV)/run.stamp: $(BIN)/python requirements/run.txt pyproject.toml
	$(BIN)/pip install --quiet --disable-pip-version-check --require-hashes -r requirements/run.txt
	$(BIN)/pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation -e .
	touch $@

$(VENV)/all.stamp: $(VENV)/run.stamp requirements/all.txt
	$(BIN)/pip install --quiet --disable-pip-version-check --require-hashes -r requirements/all.txt
	touch $@

# Pins anew what pyproject.toml asks for, with hashes; needs uv.
lock:
	$(PYTHON) requirements/pin.py

clean:
	rm -rf $(VENV) demo-papers demo-notebook build dist
