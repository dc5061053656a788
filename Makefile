# PYTHON=... picks the Python, and with it the Blender: 3.11 runs Blender 4.5 LTS, 3.13 runs 5.2 LTS.
# A version (3.13), a command or a path will do.

python := $(shell .ci/find-python "$(PYTHON)")
ifeq ($(python),)
    $(error No usable Python: see the message above)
endif
minor := $(shell $(python) -c 'import sys; print("%d.%d" % sys.version_info[:2])')
env := .venv/$(minor)
lint_4_5 := .venv/$(minor)-lint-blender-4.5
lint_5_2 := .venv/$(minor)-lint-blender-5.2

# No target reads or writes the user's own Blender settings, nor Python modules from elsewhere.
export BLENDER_USER_RESOURCES := $(CURDIR)/.cache/blender
export PYTHONNOUSERSITE := 1
unexport PYTHONPATH PYTHONHOME

.PHONY: help env lint-env demo test lint ruff types format extension bench soak locks clean

help:
	@echo 'make demo       set up, render one scene, print its placement, findings and where the stills are'
	@echo 'make test       set up, run the tests, those in the embedded Blender included'
	@echo 'make lint       ruff, then strict types against the stubs of Blender 4.5 and of 5.2'
	@echo 'make format     let ruff lay out the code'
	@echo 'make extension  build the extension for Linux, Windows and macOS into dist/'
	@echo 'make bench      time the irradiance against Radiance, Cycles, trimesh and raw Embree, some 6 minutes'
	@echo 'make soak       ten thousand scene files spoilt at random, mesh files, a million triangles, some 40 minutes'
	@echo 'make locks      renew the requirements*.lock files from pyproject.toml (needs uv)'
	@echo 'make clean      remove environments, caches and all that was built'
	@echo 'With any of them: PYTHON=3.13 for Blender 5.2 LTS, PYTHON=3.11 for 4.5 LTS'

env:
	@.ci/system-libraries $(python)
	@.ci/venv $(python) $(env) requirements.lock
	@.ci/link $(env)

lint-env:
	@.ci/venv $(python) $(lint_4_5) requirements-lint-4.5.lock
	@.ci/venv $(python) $(lint_5_2) requirements-lint-5.2.lock

# Exit status 1 says that a check fails: a result to be shown like any other.
demo: env
	$(env)/bin/heatcore stills scenes/lodge_porch.toml --out out/lodge_porch || [ $$? = 1 ]

# Each worker has its own process, and with it its own Blender.
test: env
	$(env)/bin/python -m pytest --numprocesses=auto --maxprocesses=4 --dist=loadfile

lint: ruff types

ruff: lint-env
	$(lint_4_5)/bin/ruff check
	$(lint_4_5)/bin/ruff format --check

types: lint-env
	$(lint_4_5)/bin/mypy --cache-dir .cache/mypy-$(minor)-blender-4.5
	$(lint_5_2)/bin/mypy --cache-dir .cache/mypy-$(minor)-blender-5.2

format: lint-env
	$(lint_4_5)/bin/ruff check --fix
	$(lint_4_5)/bin/ruff format

extension: env
	$(env)/bin/python .ci/extension.py

# A target that is missed on a busy machine is printed as missed, and no failure.
bench: env
	$(env)/bin/python -m tests.bench

# What fails is kept under .cache/soak with what was said. SOAK='--scenes 500 --seed 7' for less, or for other files.
soak: env
	$(env)/bin/python -m tests.soak $(SOAK)

# The versions already locked stay, unless pyproject.toml rules them out. To move one:
# make locks UPGRADE='--upgrade-package shapely', or --upgrade for all.
compile := uv pip compile --quiet --generate-hashes --no-emit-index-url --no-header \
    --python-version 3.11 $(UPGRADE) pyproject.toml
locks:
	$(compile) --universal --group blender --group build --group test -o requirements.lock
	$(compile) --universal --group lint --group stubs-blender-4-5 -c requirements.lock \
	    -o requirements-lint-4.5.lock
	$(compile) --universal --group lint --group stubs-blender-5-2 -c requirements.lock \
	    -o requirements-lint-5.2.lock
	$(compile) --no-emit-package numpy --no-emit-package tqdm -c requirements.lock \
	    -o requirements-extension.lock

clean:
	rm -rf .venv .cache .mypy_cache .pytest_cache .ruff_cache .hypothesis dist out
