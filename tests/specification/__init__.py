"""The instruction set as an executable specification, and the tests that hold the processor core against it."""
