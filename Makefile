# Two commands: `make demo` and `make test`. The rest is for those who change the code.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip install --quiet --no-input --disable-pip-version-check
DEMO := .demo/yard.journal
PORT ?= 8017

.PHONY: demo test lint lock bench docs pictures clean

demo: $(VENV)/ready
	$(BIN)/turnrow demo --at $(DEMO) --port $(PORT)

test: $(VENV)/ready-dev
	$(BIN)/python tools/test.py $(ARGS)

lint: $(VENV)/ready-dev
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

bench: $(VENV)/ready-dev
	$(BIN)/python -m bench all

docs: $(VENV)/ready-dev
	$(BIN)/python tools/docs.py

pictures: $(VENV)/ready-dev
	$(BIN)/python tools/pictures.py

lock:
	uv pip compile pyproject.toml --universal --generate-hashes --no-header --quiet --no-emit-index-url --no-emit-find-links --python-version 3.11 -o requirements.lock
	uv pip compile pyproject.toml --extra build --universal --generate-hashes --no-header --quiet --no-emit-index-url --no-emit-find-links --python-version 3.11 -c requirements.lock -o requirements-build.lock
	uv pip compile pyproject.toml --extra build --extra dev --universal --generate-hashes --no-header --quiet --no-emit-index-url --no-emit-find-links --python-version 3.11 -c requirements-build.lock -o requirements-dev.lock

clean:
	rm -rf $(VENV) .demo

$(VENV)/ready: requirements-build.lock pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(PIP) --require-hashes --no-deps -r requirements-build.lock
	$(PIP) --no-deps --no-build-isolation -e .
	touch $@

$(VENV)/ready-dev: $(VENV)/ready requirements-dev.lock
	$(PIP) --require-hashes --no-deps -r requirements-dev.lock
	touch $@
