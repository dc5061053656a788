"""The tests; a package, so that one file of tests can import from another: `tests.addon.sample`."""
