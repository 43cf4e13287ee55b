# Each target is a few plain commands in the project's own .venv, made when missing.
PYTHON ?= python3
VENV = .venv
BIN = $(VENV)/bin
# Test pictures of the Pillow source package (licence MIT-CMU), read and thrown away with the .venv.
CORPUS = $(VENV)/corpus/pillow-11.3.0
export VIRTUAL_ENV = $(CURDIR)/$(VENV)

.PHONY: demo test wheel build lint fmt bless bench pictures licences fuzz

demo: build
	$(BIN)/squarewright demo --out demo-plan --overwrite

test: build $(CORPUS)
	cargo fmt --all --check
	cargo fmt --manifest-path rust/fuzz/Cargo.toml --check
	cargo clippy --workspace --all-targets -- -D warnings
	INSTA_UPDATE=no cargo test --workspace
	$(BIN)/python rust/licences.py --check
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/python -m mypy.stubtest squarewright._core
	$(BIN)/pytest --numprocesses 2 --dist loadfile

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

bless: build
	INSTA_UPDATE=always cargo test --package squarewright --test it golden
	$(BIN)/python tests/test_golden.py

pictures: build
	$(BIN)/python examples/pictures.py

# Beside the libraries of the tests, what a person would use instead.
bench: build
	$(BIN)/pip install --quiet scikit-learn opencv-python-headless
	$(BIN)/python tests/bench
	cargo bench --quiet --package squarewright --bench guard
	cargo bench --quiet --package squarewright --bench search -- all

licences: build
	$(BIN)/python rust/licences.py

# Minutes for each corpus; what is found stays in target/fuzz/findings.
MINUTES ?= 10
fuzz: build
	$(BIN)/python rust/fuzz/run.py --minutes $(MINUTES)

$(CORPUS): $(VENV)/made
	$(BIN)/pip download --quiet --no-deps --no-binary :all: --dest $(VENV)/corpus pillow==11.3.0
	tar -xzmf $@.tar.gz -C $(VENV)/corpus pillow-11.3.0/Tests/images pillow-11.3.0/LICENSE

$(VENV)/made: requirements-dev.txt
	$(PYTHON) -m venv $(VENV)
	$(BIN)/pip install --quiet -r requirements-dev.txt
	touch $@
