"""Long random tests: `make soak`. Whatever is read is refused in words, or its result is right."""
