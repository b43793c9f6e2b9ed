# Every command of the project. 'make' alone lists them.
PYTHON ?= python3
PORT ?= 8765
BIN := .venv/bin

.PHONY: help run test check bench bench-quick pictures clean

help:
	@echo "make run      install once, then open the library on http://127.0.0.1:$(PORT)"
	@echo "make test     run every test"
	@echo "make check    formatting, lint, types, import contracts, security lint"
	@echo "make bench    measure, side by side with other engines (bench-quick: two minutes)"
	@echo "make pictures draw the README's pictures again"
	@echo "make clean    remove what make made"

run: .venv/run.stamp
	@$(BIN)/lowshelf serve --port $(PORT) --offer-demo

test: .venv/test.stamp
	$(BIN)/python -m pytest $(PYTEST)

check: .venv/test.stamp
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/bandit -q -r library server -c pyproject.toml

bench: .venv/bench.stamp
	$(BIN)/python -m tests.bench

bench-quick: .venv/bench.stamp
	$(BIN)/python -m tests.bench --quick

pictures: .venv/test.stamp
	$(BIN)/python -m tests.pictures

clean:
	rm -rf .venv build dist *.egg-info .pytest_cache .mypy_cache .ruff_cache

.venv/bin/python:
	$(PYTHON) -c 'import sys; sys.exit("Lowshelf needs Python 3.11 or newer" if sys.version_info < (3, 11) else 0)'
	$(PYTHON) -m venv .venv

.venv/run.stamp: pyproject.toml | .venv/bin/python
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -e .
	@touch $@

.venv/test.stamp: pyproject.toml | .venv/bin/python
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -e '.[test]'
	@touch $@ .venv/run.stamp

.venv/bench.stamp: pyproject.toml | .venv/bin/python
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -e '.[test,bench]'
	@touch $@ .venv/test.stamp .venv/run.stamp
