# Pairwright. `make demo` to see it run, `make test` to see its tests pass; both do their own set-up.

PYTHON ?= python3
IN := .venv/bin/
WITH_DATABASE := $(IN)python -m workshop.database run
# On a server shared by several checkouts each has a test database of its own.
export TEST_DATABASE_NAME ?= test_pairwright_$(shell pwd -P | cksum | cut -d ' ' -f 1)

.DEFAULT_GOAL := help
.PHONY: help demo serve test drawings bench check format pins machine-for-papers machine-for-browser
.DELETE_ON_ERROR:

help:
	@echo "make demo     start the invented workshop on http://127.0.0.1:8000"
	@echo "make serve    start your own workshop there"
	@echo "make test     run every test"
	@echo "make drawings draw the stored drawings again"
	@echo "make bench    print how long things take"
	@echo "make check    format, lint, types, import rules, migrations, production settings"
	@echo "make format   format the code"
	@echo "make pins     compile requirements*.txt from pyproject.toml (needs uv)"

# The stamp is written last, so that an interrupted installation is taken up again.
.venv/%.stamp: %.txt
	@$(PYTHON) -m workshop.machine environment
	@echo "Installing $< into .venv ..."
	@$(PYTHON) -m venv .venv
	@$(IN)python -m pip install --quiet --disable-pip-version-check --require-hashes -r $<
	@touch $@

machine-for-papers:
	@$(PYTHON) -m workshop.machine papers

machine-for-browser:
	@$(PYTHON) -m workshop.machine papers browser

demo: .venv/requirements.stamp machine-for-papers
	@$(IN)python -m workshop.launch --demo --stop-with-parent

serve: .venv/requirements.stamp machine-for-papers
	@$(IN)python -m workshop.launch --stop-with-parent

test: .venv/requirements-development.stamp machine-for-browser
	$(WITH_DATABASE) $(IN)python -m pytest -n 2

# What `tests/prescriptions/test_cut_away_stored.py` compares with: look at each that changed.
drawings: .venv/requirements-development.stamp
	@$(IN)python -m tests.prescriptions.draw_again

bench: .venv/requirements-development.stamp
	@$(IN)python -m tests.benchmarks.prescription_panel
	@$(WITH_DATABASE) $(IN)python -m tests.benchmarks.panel_request

check: .venv/requirements-development.stamp
	$(IN)ruff format --check
	$(IN)ruff check
	$(IN)mypy .
	$(IN)lint-imports
	$(WITH_DATABASE) $(IN)python manage.py makemigrations --check --dry-run
	PAIRWRIGHT_HTTPS=1 PAIRWRIGHT_SECRET_KEY="$$($(IN)python -c 'import secrets; print(secrets.token_urlsafe(64))')" \
		$(IN)python manage.py check --deploy --fail-level WARNING

format: .venv/requirements-development.stamp
	$(IN)ruff format
	$(IN)ruff check --fix

pins:
	uv pip compile pyproject.toml $(PINNED) --output-file requirements.txt
	uv pip compile pyproject.toml $(PINNED) --extra development --output-file requirements-development.txt

PINNED := --quiet --python-version 3.11 --generate-hashes --no-emit-index-url --no-header
