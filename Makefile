# minisim: make demo | test | check | slow | bench | docs | sanitize | wheel | clean
.SUFFIXES:
.DEFAULT_GOAL := help
export PYTHON CC

BIN := .venv/bin
CORE := $(shell find cpu -name '*.[ch]' -o -name '*.inc' -o -name '*.cdef') cpu/build_core.py
KITTIWAKE := loadouts/kittiwake
# Tests run in as many processes as there are processors; the tests of one file stay together.
PROCESSES := -n auto --dist loadfile

help:
	@echo "make demo      check and boot the machines of the Kittiwake Point Tide Station"
	@echo "make test      the fast tests (some minutes)"
	@echo "make check     style, types, generated pages current, fast tests"
	@echo "make slow      the long tests"
	@echo "make bench     how fast the core is, beside other ways of doing the same work"
	@echo "make sarif-check  the SARIF form against the published schema, and spoiled copies against it too"
	@echo "make sheet-check  the build sheets: structure, accessibility, reference pictures (needs Chromium and poppler)"
	@echo "make ui-test   bench, lessons and event mode in a pseudo-terminal; leaves pictures in build/screens/"
	@echo "make kill-test  kills a process inside a write to a medium, 200 times, and looks at every image"
	@echo "make mutants   plants defects into the core, one after the other; everything must be told by some test"
	@echo "make boot-all   boots every device that boots, on every bus; a file is kept and read back"
	@echo "make sheet-pictures  makes the reference pictures anew, and the two of the README"
	@echo "make docs      writes the generated pages under docs/"
	@echo "make sanitize  the core's tests under the address and undefined-behaviour sanitizers"
	@echo "make goals     what is tested of each instruction; nothing is open without a reason"
	@echo "make flags-mutation  can the trial cases tell each flag of the profiles?"
	@echo "make wheel     builds the wheel and tests it as installed"

.venv/installed: pyproject.toml setup.py $(CORE)
	@tools/prepare
	@touch $@

.venv/installed-dev: .venv/installed
	@tools/prepare dev
	@touch $@

demo: .venv/installed
	@tools/demo

test: .venv/installed-dev
	$(BIN)/python -m pytest -m "not slow" $(PROCESSES)

slow: .venv/installed-dev
	$(BIN)/python -m pytest -m "slow and not pages and not ui" $(PROCESSES)

lint: .venv/installed-dev
	$(BIN)/ruff check .

# Type checkers can't follow the mapping of folders to packages: lay the packages out as links and check there.
types: .venv/installed-dev
	@rm -rf build/tree && mkdir -p build/tree/minisim
	@ln -s $(CURDIR)/minisim/* $(CURDIR)/cpu $(CURDIR)/devices build/tree/minisim/
	cd build/tree && $(CURDIR)/$(BIN)/mypy --config-file $(CURDIR)/pyproject.toml -p minisim

docs: .venv/installed-dev
	$(BIN)/python tools/docs.py

docs-current: .venv/installed-dev
	$(BIN)/python tools/docs.py --check

# The published schema must accept what check prints and refuse spoiled copies of it; FILE=x.sarif looks at that one.
sarif-check: .venv/installed-dev
	$(BIN)/python tools/sarif_check.py $(FILE)

# Structure of every sheet, then the pages as a browser and a printer show them.
sheet-check: .venv/installed-dev
	@tools/prepare sheet-check
	$(BIN)/python -m pytest tests/sheet -m "not slow or pages" $(PROCESSES)

sheet-pictures: .venv/installed-dev
	@tools/prepare sheet-check
	$(BIN)/python tools/sheet_pictures.py

# Screens against references, kills at random moments, random keys for minutes; then pictures in build/screens/.
ui-test: .venv/installed-dev
	$(BIN)/python -m pytest tests/ui -m "ui or not slow"
	$(BIN)/python tools/screens.py

# A process is killed inside a write to a medium, 200 times; every image must be whole.
kill-test: .venv/installed-dev
	$(BIN)/python tools/kill_test.py 200

# Six minutes or so: one build of the reference core with the defects of tests/mutants behind a switch; trial cases, our
# test programs and samples of the property tests must tell each one.
mutants: .venv/installed-dev
	$(BIN)/python -P tools/mutants.py

# Every device that boots, on every bus it exists on: the resident program keeps a file, a second boot reads it back.
boot-all: .venv/installed
	$(BIN)/python tools/boot_all.py

# The recording that tests replay, made anew after a model was changed on purpose; its hash stands in the README too.
visitor-recording: .venv/installed
	rm -f tests/data/visitor.rec
	$(BIN)/minisim media drop $(KITTIWAKE)/media/visitor.floppy
	$(BIN)/minisim boot $(KITTIWAKE)/visitor.yaml --core reference --record tests/data/visitor.rec --until 'guest    good' \
		--type 'list\rprint welcome\rkeep guest\rhigh water 0412\rlow water 1027\r\rprint guest\rverify\r'
	$(BIN)/minisim media drop $(KITTIWAKE)/media/visitor.floppy

check: lint types docs-current sarif-check test

bench: .venv/installed
	@tools/prepare bench
	$(BIN)/python tools/bench.py

# One minute or so: all trial cases and samples of the property tests, each instruction watched.
goals: .venv/installed-dev
	$(BIN)/python tools/coverage_goals.py --write

# One minute or so: every flag of the table of differences turned in a copy of a profile, all trial cases run on it.
flags-mutation: .venv/installed-dev
	$(BIN)/python tools/flags_mutation.py

sanitize: .venv/installed-dev
	tools/sanitize

wheel: .venv/installed-dev
	tools/try-wheel

# The experiment of docs/design/dispatch.md: the core with blocks of decoded instructions, compared and measured.
blocks: .venv/installed-dev
	tools/try-blocks

clean:
	rm -rf .venv build dist *.egg-info cpu/_core*.so .pytest_cache .mypy_cache .ruff_cache .hypothesis
	find . -name __pycache__ -type d -prune -exec rm -rf {} +

.PHONY: help demo test slow lint sheet-check sheet-pictures ui-test kill-test mutants boot-all visitor-recording types docs docs-current sarif-check check bench goals flags-mutation sanitize wheel blocks clean
