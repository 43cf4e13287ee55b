# Each target is a few plain commands in the project's own .venv, made when missing.
PYTHON ?= python3
VENV = .venv
BIN = $(VENV)/bin
export VIRTUAL_ENV = $(CURDIR)/$(VENV)

.PHONY: demo test wheel build lint fmt bench

demo: build
	$(BIN)/squarewright demo --out demo-plan --overwrite

test: build
	cargo fmt --all --check
	cargo clippy --workspace --all-targets -- -D warnings
	cargo test --workspace
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/python -m mypy.stubtest squarewright._core
	$(BIN)/pytest

build: $(VENV)/made
	$(BIN)/maturin develop --release --quiet

wheel: $(VENV)/made
	$(BIN)/maturin build --release --out dist

lint: build
	cargo clippy --workspace --all-targets -- -D warnings
	$(BIN)/ruff check .

fmt: $(VENV)/made
	cargo fmt --all
	$(BIN)/ruff check --fix .
	$(BIN)/ruff format .

bench: build
	$(BIN)/python examples/bench.py

$(VENV)/made: requirements-dev.txt
	$(PYTHON) -m venv $(VENV)
	$(BIN)/pip install --quiet -r requirements-dev.txt
	touch $@
