"""Trial cases: written tables of what a processor is documented to do, and their runner."""
