# Each verb sets up what it needs in .venv from the lock file, so a fresh machine needs only Python 3.11+ and make.
PYTHON ?= python3
BIN := .venv/bin

.PHONY: all demo test fuzz referee lint bench lock wheel clean
all: lint test

.venv/ready: requirements.lock pyproject.toml
	$(PYTHON) -m venv .venv
	$(BIN)/pip install --quiet --require-hashes -r requirements.lock
	$(BIN)/pip install --quiet --no-deps --no-build-isolation -e .
	touch $@

demo: .venv/ready
	$(BIN)/regrip plan docs/examples/lower-three-supports.yaml

test: .venv/ready
	$(BIN)/pytest -n auto

# The same tests on new random examples, twenty times as many.
fuzz: .venv/ready
	$(BIN)/pytest -n auto --hypothesis-profile=search

# The whole decision against the second opinion on 1,000 random cases; `make test` takes six of each kind.
referee: .venv/ready
	REGRIP_REFEREE=all $(BIN)/pytest -n auto tests/referee

lint: .venv/ready
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/codespell README.md DEVELOPERS.md docs catalogue solver cli tests

bench: .venv/ready
	$(BIN)/python -m tests.benchmarks

# What is handed out: one file that pip, pipx and uv install.
wheel: .venv/ready
	$(BIN)/python -m hatchling build -t wheel

# Re-resolve the pins; needs uv. The lock names no package index.
lock:
	uv pip compile --quiet --universal --python-version 3.11 --all-extras --generate-hashes --no-emit-index-url --no-header pyproject.toml -o requirements.lock

clean:
	rm -rf .venv .mypy_cache .pytest_cache .ruff_cache .hypothesis
